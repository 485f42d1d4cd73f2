# Trade words, one key for each value of model/src/terms.rs.
layer-skin = skin
layer-structure = structure
layer-frame = frame

view-left = left side
view-right = right side
view-front = front
view-rear = rear
view-top = from above
view-underside = from below

cab-two-door = two-door cab
cab-extended = extended cab
cab-four-door = four-door cab
bed-short = short bed
bed-standard = standard bed
bed-long = long bed

role-bolted-outer = bolted outer part
role-bonded-outer = bonded outer part
role-closure = door, hood or tailgate
role-structural = structural part
role-frame = frame
role-glass = glass
role-trim = trim
role-mechanical = mechanical part

material-aluminium-5xxx-sheet = aluminium sheet, 5xxx alloy
material-aluminium-6xxx-sheet = aluminium sheet, 6xxx alloy
material-aluminium-6xxx-extrusion = aluminium extrusion, 6xxx alloy
material-aluminium-casting = aluminium casting
material-mild-steel = mild steel
material-high-strength-steel = high-strength steel
material-ultra-high-strength-steel = ultra-high-strength steel
material-laminated-steel = laminated steel
material-magnesium = magnesium
material-composite = composite
material-glass = glass
material-plastic = plastic
material-rubber = rubber

metal-aluminium = aluminium
metal-steel = steel
metal-magnesium = magnesium
metal-other = no metal

form-sheet = sheet
form-tube = tube
form-extrusion = extrusion
form-casting = casting
form-assembly = assembly
form-pane = pane
form-moulding = moulding

behind-open = its back can be reached
behind-covered = its back can be reached after other parts are off
behind-closed = its back cannot be reached

joint-self-piercing-rivet = self-piercing rivets
joint-flow-drill-screw = flow-drill screws
joint-structural-blind-rivet = structural blind rivets
joint-solid-rivet = solid rivets
joint-adhesive = structural adhesive
joint-spot-weld = spot welds
joint-mig-weld = MIG weld
joint-bolt = bolts
joint-hem = hem
joint-clip = clips
joint-bonded-glass = bonded glass

route-riveted-bonded = rivets with adhesive
route-welded = MIG weld
route-bolted = bolts
route-hemmed = hem with adhesive
route-bonded = adhesive

join-butt = butt joint
join-lap = lap joint

no-cut-hinge = hinge
no-cut-latch = latch
no-cut-belt-anchor = belt anchor
no-cut-body-mount = body mount
no-cut-suspension-point = suspension point
no-cut-steering-point = steering point
no-cut-lifting-point = lifting point
no-cut-reinforcement-end = end of a reinforcement

direction-rearward = rearward
direction-forward = forward
direction-inward = inward
direction-outward = outward
direction-up = upward
direction-down = downward

mark-scratch = scratch
mark-dent = dent
mark-crease = crease
mark-tear = tear
mark-crack = crack
mark-kink = kink
mark-buckle = buckle
mark-hail-field = hail
mark-misfit = misfit
mark-corrosion = corrosion
mark-missing = missing
mark-earlier-repair = earlier repair

colour-family-solid = solid
colour-family-metallic = metallic
colour-family-pearl = pearl

coat-whole = paint whole
coat-clear-only = clear coat only
coat-through-colour = through the colour
coat-bare-metal = bare metal

action-leave = leave
action-refinish = refinish
action-repair = repair
action-section = section
action-replace = replace
action-refer = refer

stage-secure = secure
stage-measure = measure
stage-strip = strip
stage-cut = cut
stage-straighten = straighten
stage-fit = fit
stage-join = join
stage-seal-and-isolate = seal and isolate
stage-prepare = prepare
stage-refinish = refinish
stage-refit = refit
stage-calibrate = calibrate
stage-inspect = inspect
stage-road-test = road test

basis-published-source = published source
basis-makers-procedure = maker's procedure
basis-shop-policy = shop policy
basis-common-practice = common practice, no source

frame-state-not-measured = not measured
frame-state-within-tolerance = measured, within tolerance
frame-state-out-of-tolerance = measured, out of tolerance

inspection-not-yet = not yet looked at
inspection-sound = sound
inspection-damaged = damaged

place-front = front
place-front-left = front left corner
place-left = left side
place-rear-left = rear left corner
place-rear = rear
place-rear-right = rear right corner
place-right = right side
place-front-right = front right corner
place-above = from above
place-below = from below

aim-money = money
aim-hours = hours of work
aim-days = days in the shop

skill-body = body work
skill-structure = structural work
skill-welding = aluminium welding
skill-refinish = refinish
skill-mechanical = mechanical work
skill-electrical = electrical work
skill-measuring = measuring
skill-glass = glass

unit-bolt = bolt
unit-connector = connector
unit-clip = clip
unit-fastener = fastener
unit-dent = dent
unit-metre-cut = metre cut
unit-metre-joint = metre joined
unit-square-metre = square metre

wait-adhesive-cure = adhesive cures
wait-glass-cure = glass adhesive cures
wait-paint-dry = paint dries

category-parts = parts
category-labour = labour
category-materials = materials
category-sublet = work done outside
category-storage = storage
