# Reasons of the built-in rule book, in the order of the book, and the messages of its reader.
# Arguments: depth, extent, edge, joint, no-cut and thickness in mm; area in cm2; share in percent; count; part;
# no-section (a sentence); and the limit of each number that the rule itself names: depth-limit and so on.

rule-basis-common-practice = common practice, no source
rule-basis-published-source = published source: { $source }
rule-basis-makers-procedure = vehicle maker's procedure: { $source }
rule-basis-shop-policy = shop's own policy: { $source }

section-not-divided = The body book gives no cut line for this part; it is not made to be divided.
section-no-place = The damage cannot be placed between the cut lines of the part; mark it where the part is seen with its cut lines.
section-every-cell = The damage reaches every piece between the cut lines; sectioning would renew the whole part.
section-no-line = No cut line can keep { $clearance } mm from the damage and the stated distance from every no-cut area; sectioning would renew the whole part.


## Asking
rule-refer-always = The vehicle maker may always be asked first; the maker's procedure comes before this book.

## Leave
rule-leave-polish = The colour coat is whole, so the scratch is polished out and nothing is lost by leaving the paint.
rule-leave-plastic-scratch = A scratch in unpainted plastic changes neither its hold nor its work.
rule-leave-lamp-scratch = A light scratch in the lens is polished out; the lamp stays tight and keeps its beam.
rule-leave-glass-scratch = A light scratch in a side or rear pane does not weaken it and lies outside the driver's main view.
rule-leave-sound-earlier-repair = An earlier repair of an outer panel that holds and looks right may stay.
rule-leave-mechanical-scratch = A scratch on the surface of this unit does not touch its work.

## Refinish
rule-refinish-scratch = Only the paint is hurt; the panel keeps its shape and is refinished.
rule-refinish-structure-scratch = Only the protective coat is hurt; it is made good so that no corrosion starts.
rule-refinish-surface-corrosion = The corrosion lies on the surface and covers { $share } % of the part; up to { $share-limit } % is taken back to sound metal and coated again.
rule-corrosion-panel-paint = After the corrosion is taken out, the panel is painted.
rule-refinish-shallow-tube = The hollow is soft and { $depth } mm deep; up to { $depth-limit } mm the profile keeps its shape, if a measurement confirms it, and only its coat is made good.
rule-refinish-shallow-frame = The frame is measured and within tolerance, and the mark is soft and { $depth } mm deep; up to { $depth-limit } mm only its coat is made good.

## Repair of outer panels
rule-repair-outer-sheet = The sheet is { $depth } mm deep over { $share } % of the panel; up to { $depth-limit } mm and { $share-limit } % it can be brought back to shape.
rule-repair-hail = The hail dents are soft and at most { $depth } mm deep, { $count } of them; such a field can be worked out over the whole panel.
rule-hail-too-many = There are { $count } dents; beyond { $count-limit } in one panel the sheet cannot be worked true again.
rule-hail-too-deep = The deepest hail dent is { $depth } mm; beyond { $depth-limit } mm the sheet of a hail field is stretched too far.
rule-repair-paintless = The paint is whole, the dents are soft and { $depth } mm deep, and the back can be reached: up to { $depth-limit } mm they are pressed out and the paint stays.
rule-repair-needs-paint = The work goes through the paint, so the panel is refinished.
rule-outer-too-deep = The damage is { $depth } mm deep; beyond { $depth-limit } mm aluminium sheet is stretched too far to come back.
rule-outer-steel-too-deep = The damage is { $depth } mm deep; beyond { $depth-limit } mm this part is not brought back to shape.
rule-outer-too-sharp = The metal is bent sharply and { $depth } mm deep; beyond { $depth-limit } mm a sharp bend in aluminium cracks when it is pulled.
rule-outer-too-wide = The damage covers { $share } % of the panel; beyond { $share-limit } % too little sound shape is left to work from.
rule-outer-closed-behind = No tool reaches the back of the panel; beyond { $depth-limit } mm the damage, here { $depth } mm deep, cannot be brought out from the front.
rule-outer-feature-line = A sharp bend { $depth } mm deep crosses a pressed line of the panel; beyond { $depth-limit } mm the line does not come back true.
rule-outer-hem-edge = The sharp damage is { $edge } mm from the hemmed edge; within { $edge-limit } mm the hem and its adhesive have opened.
rule-outer-spent = A kink or a buckle has folded the sheet; folded sheet does not come back to shape.
rule-repair-short-tear = The tear is { $extent } mm long and clear of the edge; up to { $extent-limit } mm it may be welded in an outer panel by a qualified aluminium welder.
rule-outer-long-tear = The torn place is { $extent } mm long; beyond { $extent-limit } mm a tear in an outer panel is not closed.
rule-outer-edge-tear = The tear runs into the edge of the panel, where it would open again.
rule-outer-tear-unequipped = A tear in aluminium sheet can only be welded, and the shop has no aluminium welding.
rule-missing = What is missing can only be replaced.
rule-corrosion-deep = The corrosion has eaten { $depth } mm into the metal; eaten metal is cut out or replaced, not coated.
rule-corrosion-wide = The corrosion covers { $share } % of the part; beyond { $share-limit } % it is not treated in place.
rule-repair-misfit = A bolted or clipped part that sits wrong is set right at its fasteners once what carries it is known to be true.
rule-misfit-adjust = Gaps and flush are set and checked against the neighbours.
rule-misfit-not-cut-away = A bonded panel that sits wrong is not cured by cutting a piece out of it: what stays would sit as wrong as before.
rule-misfit-carried = A bonded or structural part cannot sit wrong unless what carries it has moved: the body is measured first.
rule-misfit-measure-first = Only a wrong position is seen; until the body is measured nobody knows which part to renew.
rule-crack-check-pulled = Aluminium that was bent and pulled may hide cracks: it is checked with dye penetrant afterwards.
rule-aluminium-heat = Aluminium shows no glow before it is ruined: any heat stays within the maker's limit of temperature and time and is watched with a gauge.

## Plastic, composite, lamps and glass
rule-repair-plastic = The damage is { $extent } mm long and clear of the mounts; up to { $extent-limit } mm plastic is welded or bonded from behind.
rule-plastic-too-long = The damage is { $extent } mm long; beyond { $extent-limit } mm a repair of plastic does not last.
rule-plastic-spent = Plastic that was folded is weak along the fold.
rule-plastic-mount = The break runs into a mount, which has to carry load.
rule-lamp-replace = A broken lamp lets in water and loses its beam; its housing and lens are not mended.
rule-composite = Harm inside a composite does not show from outside; without the maker's procedure it is replaced.
rule-glass-chip = The chip is { $extent } mm wide and { $edge } mm from the edge; up to { $extent-limit } mm and beyond { $edge-limit } mm from the edge it may be filled, if it lies outside the driver's main view and local rules allow it.
rule-glass-long-crack = The crack is { $extent } mm long; beyond { $extent-limit } mm it keeps running.
rule-glass-edge-crack = The crack is { $edge } mm from the edge; within { $edge-limit } mm the pane is under stress and the crack runs on.
rule-glass-tempered = This pane is hardened glass; once hurt it can burst and is not filled.

## Structure
rule-repair-structure-soft = The dent is soft, { $depth } mm deep, and clear of joints and anchor points; up to { $depth-limit } mm and { $share-limit } % structural aluminium sheet may be brought back.
rule-structure-sharp = Structural aluminium that was bent sharply has lost strength along the bend and is not straightened.
rule-structure-too-deep = The damage is { $depth } mm deep; beyond { $depth-limit } mm structural sheet no longer carries as it was made to.
rule-structure-too-wide = The damage covers { $share } % of the part; beyond { $share-limit } % structural sheet is not brought back in place.
rule-structure-joint = The damage reaches a factory joint or an anchor point; what holds there cannot be judged after bending.
rule-structure-torn = A tear or a crack in structure is not repairable.
rule-tube-never-straighten = A kinked, cracked or buckled profile is never straightened: it is sectioned inside a permitted window or replaced.
rule-tube-no-repair = A closed profile cannot be pulled back without weakening its corners.
rule-tube-too-deep = The hollow is { $depth } mm deep; beyond { $depth-limit } mm the profile has lost its shape and with it its strength.
rule-energy-absorber = This part is made to fold once and take the energy of the impact; a used one is replaced whole.
rule-intrusion-beam = An intrusion beam protects the people inside; it is replaced, never repaired.
rule-casting = A casting breaks rather than bends and hides its cracks; it is replaced whole.
rule-magnesium-fire = Magnesium dust and chips burn and are not put out with water: it is not ground, drilled or heated without the maker's procedure.
rule-laminated-refer = Laminated steel holds a soft core between two sheets; heat, welding and hammering destroy it, so the maker is asked first.
rule-earlier-structural-repair = An earlier repair in the structure cannot be judged from outside; the maker's procedure decides what may stand on it.
rule-replace-structure = The part may be replaced whole at its factory joints.
rule-replace-structure-steel = The steel part may be replaced whole at its factory joints.

## High-strength steel
rule-hard-steel-no-section = High-strength steel is cut nowhere but in a window that its maker gives, and this book has none.
rule-hard-steel-no-heat = High-strength steel gets no heat: above the maker's limit it loses the strength for which it was chosen.
rule-hard-steel-spent = High-strength steel that was kinked, creased or torn is replaced, not straightened.
rule-hard-steel-soft-dent = The dent is soft and { $depth } mm deep; up to { $depth-limit } mm it may be pressed out cold.
rule-hard-steel-deep = The dent is { $depth } mm deep or sharp; more than a soft, shallow dent in high-strength steel is not pressed out.
rule-hardest-steel-no-repair = Ultra-high-strength steel cannot be bent back; a deformed part is replaced.

## Frame
rule-frame-measure-first = The frame has not been measured; before its shape is known nothing is done to it.
rule-frame-out-of-tolerance = The frame is out of tolerance; the maker's procedure decides whether it is pulled cold, renewed or given up.
rule-frame-spent = A kinked, creased or torn frame member is neither heated nor sectioned nor straightened in general practice: the maker is asked.
rule-frame-dent-deep = The dent in the frame is { $depth } mm deep or sharp; whether such a member may stay is the maker's word.
rule-frame-mount-hit = The damage reaches a mount or a suspension point of the frame; its place and strength are the maker's word.
rule-frame-welded-on = This member is welded to the frame; renewing it needs the maker's procedure and heat that general practice does not allow.
rule-frame-bolted-on = The frame is within tolerance and this member is bolted on, so it may be replaced.
rule-frame-always-measured = Whatever touches the frame is measured before and after.

## Section
rule-section-aluminium = Aluminium may be sectioned here: a permitted cut line keeps its distance from the damage and from every no-cut area.
rule-section-mild-steel = Mild steel may be sectioned here: a permitted cut line keeps its distance from the damage and from every no-cut area.
rule-section-none-found = { $no-section }
rule-section-not-divided = The body book gives no cut line for this part; it is not made to be divided.

## Replace
rule-replace-panel = An outer panel or closure may be replaced by a new one.
rule-replace-trim = A trim part or lamp may be replaced by a new one.
rule-replace-glass = The pane may be replaced by a new one.
rule-replace-mechanical = The unit may be replaced by a new one.

## Wheels, running gear, restraints, fuel, high voltage
rule-wheel-no-repair = A bent, cracked or torn wheel or tyre is replaced; a failure on the road cannot be seen coming.
rule-running-gear = A hit on suspension, axle or steering is never left or bent back: the part is replaced and its mounting points are measured.
rule-wheel-alignment = A hit that hurt a wheel has also gone into the suspension: the wheels are aligned.
rule-mechanical-no-repair = A unit of this kind is not mended in body work.
rule-restraint-replace = A part of the restraint system that was hit or used is replaced and never mended.
rule-restraint-deployed = A restraint has deployed: every part of the system goes through the maker's inspection list.
rule-fuel-unit = Damage to a fuel tank is never left or mended.
rule-high-voltage-unit = A damaged high-voltage unit is touched only by qualified persons under the maker's procedure.
rule-high-voltage-vehicle = The vehicle has a high-voltage system: a qualified person makes it safe and checks that it is dead before work starts.

## What the work brings with it
rule-measure-structure = Structure is measured before and after, and the report stays with the job.
rule-inspect-restraints = After structural work the restraint system goes through the maker's inspection list.
rule-refinish-new = The new metal or part is painted to match.
rule-protect-structure = Bare metal in the structure gets its protective coat back.
rule-protect-cavity = A cavity that was opened is protected again after joining.
rule-isolate-mixed = Aluminium and steel meet at this part: bare metals never touch, so every such joint gets its isolation and coated fasteners back.
rule-flow-drill-screws = Flow-drill screws are not set again in a used hole: structural blind rivets with adhesive take their place.
rule-new-rivets = A self-piercing rivet cannot be used twice: new ones, or structural blind rivets, are set with adhesive.
rule-foam-out = Foam and sealer near cutting and heat come out first and are renewed afterwards.
rule-glass-out = Glass that is bonded to this part comes out before it is cut or drilled.
rule-clean-bay = Aluminium is worked in the clean bay with its own tools and extraction, away from steel dust.
rule-clean-bay-set-up = The shop has no clean aluminium bay: a place is cleared of steel dust, curtained off and given its own tools and extraction first.
rule-clean-bay-replace = Drilling and dressing aluminium joints is done in the clean bay with its own tools and extraction.
rule-clean-bay-set-up-replace = The shop has no clean aluminium bay: a place is cleared of steel dust, curtained off and given its own tools and extraction first.
rule-sensor-calibrate = A sensor sits in or behind this part: it is calibrated after the work.
rule-lamp-aim = A lamp that was loosened or renewed is aimed.
rule-lamp-carrier-aim = The front lamps sit on this part, so they are aimed afterwards.

## Ways to join
rule-join-section-riveted = Every cut line of this section may be joined with rivets and structural adhesive.
rule-join-section-welded = Every cut line of this section may be MIG welded, and the shop is equipped for aluminium.
rule-join-section-bonded = Every cut line of this section may be joined with adhesive over a backing piece.
rule-join-section-welded-steel = Every cut line of this section may be welded in mild steel.
rule-join-welding-unequipped = Aluminium is welded only with the right equipment and a qualified welder, and the shop has not both.
rule-join-replace-riveted = The part is joined again with new self-piercing rivets, or structural blind rivets where only one side is open, and structural adhesive.
rule-join-replace-welded = The factory welded this part, and the shop is equipped to weld aluminium.
rule-join-replace-welded-steel = The factory welded this mild steel part, and it may be welded again.
rule-welded-on-unequipped = The factory welded this part on, and the shop has no aluminium welding; a shop that has it takes the work.
rule-join-bolted = The part is bolted or clipped on.
rule-join-mechanical = The unit is bolted on.
rule-join-glass = The pane is bonded in with new adhesive; the vehicle stays put until that has cured as its maker says.
rule-join-adhesive = The factory bonded this part, and it is bonded again.
rule-join-hem = The damage is { $depth } mm deep and stays in the outer skin; up to { $depth-limit } mm the skin alone may be exchanged at its hem, if the frame of the closure proves straight.
rule-join-hem-too-deep = The damage is { $depth } mm deep; beyond { $depth-limit } mm the frame of the closure is bent too and the whole closure is renewed.

## Actions of which no rule speaks
rule-none-leave = Something would be lost by leaving this damage: its strength, its protection or its work.
rule-none-refinish = More than the paint is hurt, or the part carries no paint to make good.
rule-none-repair = No general practice is known by which this damage is repaired in place.
rule-none-section = No general practice is known by which a piece of this part is renewed for this damage.
rule-none-replace = No general practice is known by which this part is replaced.

error-word = "{ $word }" is not known here. Use one of: { $known }.
error-rules-version = The version must be the number { $known }.
error-rules-many = A rule book holds at most { $limit } rules. Split it.
error-rule-object = This must be an object in braces.
error-rule-list = This must be a list in brackets.
error-rule-text = This must be a text that is not empty.
error-rule-number = This must be a number.
error-rule-yes-no = This must be true or false.
error-rule-missing = This field is missing. Add it; the published schema shows its form.
error-rule-field = This field is not known here. Remove it or use one of: { $known }.
error-rule-name = "{ $name }" is no name. Use small letters, digits and hyphens, a letter first, at most 80 characters.
error-rule-twice = The rule "{ $rule }" is already there. Give each rule its own id.
error-rule-silent = The rule "{ $rule }" says nothing. Let it permit, forbid or require something.
error-rule-reason = The message catalogue has no "{ $key }". Name a reason of the catalogue or write the reason in "text".
error-rule-source = A rule that stands on { $kind } names its source. Add the source.
error-rule-source-common = Common practice has no source. Remove the source, or say which kind of basis it is.
error-rule-deep = Conditions stand inside each other more than { $limit } deep. Write them flatter.
error-rule-bound = A bound needs "over", "up_to" or both.
error-rule-verdict = Each entry says exactly one of: permit, forbid, permit_route, forbid_route, require.
error-rule-with = Name at least one action in "with".
error-rule-with-action = "with" belongs to a way to join or to a requirement, not to an action.
error-rule-refer = Asking the vehicle maker cannot be forbidden. Remove this.
error-rule-work = No work is called "{ $word }". Use one of: { $known }.
error-rule-unreachable = The rule "{ $rule }" can never speak: its conditions exclude each other. Correct them or remove the rule.
error-rule-contradiction = The rule "{ $rule }" permits { $action }, but whenever it speaks the rule "{ $other }" forbids it. Narrow one of them.
error-rule-override = The book "{ $book }" has no rule "{ $rule }" to override. Correct the id.
