# Cautions in full: the danger, whom it concerns, and what comes before this program's word.

caution-restraints = restraints
caution-high-voltage = high voltage
caution-fuel = fuel
caution-glass = glass
caution-lifting = lifting
caution-aluminium-dust = aluminium dust
caution-isocyanates = isocyanates
caution-heat = heat limits
caution-weld-fume = weld fume
caution-stored-energy = stored energy

caution-text-restraints = Airbags and belt tensioners can fire during work. For everyone in or near the cab: only trained persons make them safe, by the maker's procedure and its waiting time, before this step.
caution-text-high-voltage = High voltage can kill and stays after the vehicle is off. For everyone near the vehicle: only qualified persons switch it off and prove it dead, by the maker's procedure and local codes.
caution-text-fuel = Fuel and its vapour catch fire from sparks and heat. For the technician and everyone in the bay: remove or shield the fuel, ventilate, keep a suitable extinguisher at hand; local fire codes and the maker's procedure come first.
caution-text-glass = Glass breaks into sharp pieces and heavy panes slip. For the technician and helpers: gloves, eye protection and two persons; the adhesive maker says when the vehicle may be moved.
caution-text-lifting = A raised vehicle or a heavy part can fall. For everyone under or beside it: use the maker's lifting points, rated stands and enough hands; local workplace codes come first.
caution-text-aluminium-dust = Aluminium dust can burn and explode, and steel dust on it corrodes and sparks. For the technician and everyone in the bay: own tools, extraction made for aluminium, no open flame, the right extinguisher and never water; local fire codes come first.
caution-text-isocyanates = Paint, primer and some adhesives give off isocyanates that can harm the lungs for life. For the painter and everyone near the booth: supplied air, booth and skin protection by the product's data sheet and local codes.
caution-text-heat = Too much heat takes the strength from aluminium and high-strength steel and gives no sign. For the technician: no heat where the maker forbids it, elsewhere only up to the maker's limit of temperature and time, with a gauge.
caution-text-weld-fume = Weld fume and ozone harm the lungs, the arc harms eyes and skin. For the welder and everyone near: extraction, screens and protection by local codes; only a qualified welder, by the maker's procedure.
caution-text-stored-energy = Springs, gas struts, pressure and charged parts let their energy go at once. For the technician: release it or hold it safely first, by the maker's procedure.
