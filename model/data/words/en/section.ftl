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
