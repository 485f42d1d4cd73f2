# Sections: what forbids a cut line, a section in one line, and the names of cells and cut lines.
# Lengths in mm. A cell stands within a sentence; a cut line stands after "cut". A name that holds for one part only has
# the part in its key: cut-apron-tube-front.

section-words = cut { $lines }, needs { $needs }
section-words-bare = cut { $lines }
section-needs-sleeve = a backing sleeve { $width } mm wide
section-needs-lap = an overlap { $width } mm wide
list-and = { $most } and { $last }
section-clash = The joint of the { $part } { $cut } and that of the { $other } { $second } can be at most { $distance } mm apart; section joints of parts that lie on each other are kept { $needed } mm apart (common practice, no source).

line-near-damage = the damage
line-near-no-cut = the { $what }
line-near-joint = the end of the joint with the { $part }
line-too-near = The line { $cut } would run { $distance } mm from { $what }; { $needed } mm must stay free.
line-through = The line { $cut } would run through { $what } or leave it on the old side; { $needed } mm must stay free.
line-window = The line { $cut } may be moved by at most { $needed } mm, not by { $distance } mm.
line-nearest = The nearest permitted place is { $distance } mm from where the book draws the line.
line-nearest-drawn = The nearest permitted place is where the book draws the line.
line-both-sides = Damage lies on both sides of the line { $cut }; wherever it runs, a damaged piece would stay or less than { $clearance } mm of sound metal would be left.
line-open = The line { $cut } could run here, but no other permitted line closes the piece on its other sides.
line-damaged = This piece is damaged, or less than { $clearance } mm from damage, and must be renewed: { $cell }.
line-every-cell = Every piece would be renewed; that is a replacement, not a section.
line-unknown-cell = The part has no piece named { $cell }; choose among the pieces that are drawn.
line-unknown-cut = The part has no cut line named { $cut }; choose among the lines that are drawn.

cell-back-panel-sill = lower strip
cell-back-panel-middle = middle below the window
cell-back-panel-window-frame = window frame
cut-back-panel-below-window = below the window
cut-back-panel-lower = above the lower strip

cell-front-foot-left = front footwell, left
cell-front-foot-tunnel = front of the tunnel
cell-front-foot-right = front footwell, right
cell-front-seat-left = under the front seat, left
cell-front-seat-tunnel = tunnel between the front seats
cell-front-seat-right = under the front seat, right
cell-second-foot-left = rear footwell, left
cell-second-foot-tunnel = tunnel at the rear footwell
cell-second-foot-right = rear footwell, right
cell-rear-seat-left = under the rear seat, left
cell-rear-seat-tunnel = middle under the rear seat
cell-rear-seat-right = under the rear seat, right
cell-rear-edge-left = rear edge, left
cell-rear-edge-tunnel = rear edge, middle
cell-rear-edge-right = rear edge, right
cut-at-front-seat-front-member = at the first cross-member
cut-at-front-seat-rear-member = at the second cross-member
cut-at-rear-seat-member = at the third cross-member
cut-at-rear-member = at the last cross-member
cut-left-of-tunnel = left of the tunnel
cut-right-of-tunnel = right of the tunnel

cell-rocker-front-end = front end
cell-rocker-under-front-door = piece under the front door
cell-rocker-under-b-pillar = piece under the B-pillar
cell-rocker-rear-end = rear end
cut-front-door-front = under the front of the front door
cut-front-door-rear = under the rear of the front door
cut-rear-door = under the rear door

cell-bed-floor-front = front piece
cell-bed-floor-middle = piece between the wheelhouses
cell-bed-floor-rear-middle = piece behind the wheelhouses
cell-bed-floor-rear = rear piece
cut-at-cross-sill-2 = at the second cross-sill
cut-at-cross-sill-4 = at the fourth cross-sill
cut-at-cross-sill-5 = at the fifth cross-sill

cell-bed-side-inner-front = front piece
cell-arch-front = front half of the wheel arch
cell-arch-rear = rear half of the wheel arch
cell-bed-side-inner-rear = rear piece
cut-front-of-arch = in front of the wheel arch
cut-over-arch = over the wheel arch
cut-rear-of-arch = behind the wheel arch

cell-left-post = left post
cell-lower-tie-bar = lower tie bar
cell-right-post = right post
cut-lower-tie-bar-left = at the left end of the tie bar
cut-lower-tie-bar-right = at the right end of the tie bar

cell-nose = nose
cell-bend = bend
cell-apron-tube-rear = rear length
cell-root = root at the cab
cut-apron-tube-front = behind the nose
cut-apron-tube-middle = behind the bend
cut-apron-tube-rear = in front of the root

cell-foot = foot
cell-upper = upper piece
cut-a-pillar-lower = above the foot
cell-b-pillar-middle = middle
cell-top = top
cut-b-pillar-lower = above the foot
cut-b-pillar-upper = below the top

cell-lower = lower corner
cell-quarter-outer-middle = middle
cut-quarter-outer-lower = above the lower corner
cut-quarter-outer-upper = through the upper corner

cell-bed-side-outer-front-end = front end
cell-wheel-front = front half over the wheel
cell-wheel-rear = rear half over the wheel
cell-bed-side-outer-rear-end = rear end
cut-bed-side-outer-front = behind the front end
cut-over-wheel = over the wheel
cut-bed-side-outer-rear = in front of the rear end

cutmap-open = Where to cut
cutmap-label = Cut lines of the { $part }
cutmap-how = Drag a chosen line within its band or to another permitted line. Tap a crossed-out line to read what forbids it.
cutmap-stands = { $words }. { $share } % of the part is renewed.
cutmap-change = If the line is left here:
cutmap-would = Cut { $line }, { $moved } from where the book draws the line.
cutmap-would-drawn = Cut { $line }, where the book draws the line.
cutmap-would-damage = { $distance } of sound metal to the damage.
cutmap-more = Renewed as well: { $cells }.
cutmap-less = Stays: { $cells }.
cutmap-share = { $after } % of the part is renewed, not { $before } %.
cutmap-length = { $after } to cut and join, not { $before }.
cutmap-keep = Cut here
cutmap-drop = Leave as it was
cutmap-here = Cut at this line
cutmap-here-named = Cut at this line: { $line }
cutmap-recommended = As recommended
cutmap-handle-chosen = Chosen cut line { $line }: arrow keys move it by 1 mm, page keys go to the next line, Enter keeps it
cutmap-handle-permitted = Permitted cut line { $line }
cutmap-handle-forbidden = Forbidden cut line { $line }: read why
cutmap-goes = goes
cutmap-legend-stays = stays
cutmap-legend-goes = goes, hatched
cutmap-legend-damage = damage
cutmap-legend-no-cut = no cut may run here
cutmap-legend-chosen = chosen line and its band
cutmap-legend-permitted = permitted line and its band
cutmap-legend-forbidden = forbidden line
cutmap-line-chosen = cut here.
cutmap-line-permitted = permitted.
cutmap-line-forbidden = forbidden.
cutmap-room = May move { $right } one way and { $left } the other from where the book draws it.
cutmap-room-off = May run from { $from } to { $to } beside where the book draws it.
cutmap-no-room = May not move from this place.
cutmap-near = { $distance } from { $what }
cutmap-keeps = It runs { $list }.
cutmap-drawn = Where the book draws it, it would run { $list }.

# Sections that are sold; they stand after the part's name: "floor pan: front footwell, left".
service-lower-section = lower section
service-lower-half = lower half
service-upper-section = upper section
service-front-section = front section
service-front-half = front half
service-rear-section = rear section
service-rear-half = rear half
service-left-half = left half
service-right-half = right half
service-front-foot-left = front footwell, left
service-front-foot-right = front footwell, right
service-front-foot-full = front footwell, whole width
service-front-seat-left = under the front seat, left
service-front-seat-right = under the front seat, right
service-front-seat-full = under the front seats, whole width
service-second-foot-left = rear footwell, left
service-second-foot-right = rear footwell, right
service-second-foot-full = rear footwell, whole width
service-rear-seat-left = under the rear seat, left
service-rear-seat-right = under the rear seat, right
service-rear-seat-full = under the rear seat, whole width
service-rear-edge-left = rear edge, left
service-rear-edge-right = rear edge, right
service-rear-edge-full = rear edge, whole width
service-lower-tie-bar = lower tie bar
service-nose-section = nose
service-long-section = all but the root at the cab
service-apron-tube-front-section = nose and bend
service-foot-section = foot
service-lower-two-thirds = lower two thirds
service-lower-corner = lower corner
service-lower-and-middle = lower and middle piece
service-rear-end-section = rear end
service-wheel-and-rear = wheel arch and rear end
