# How it goes back together: the joint map, what it says and what is wrong.

environment-harsh = outdoors, damp or salt
environment-normal = dry storage without climate control
environment-controlled = kept dry and at an even temperature

joint-screening-aid = Strength figures are a screening aid only. The vehicle maker's procedure and a qualified engineer decide.

joint-note-faces = This is a closed profile: the map shows the face of this view. The maker's procedure says which other faces are joined.
joint-note-sleeve = The ends are butted over a backing sleeve { $mm } mm wide, fastened on both sides of the cut.
joint-note-flange = The body book gives no flange width; { $mm } mm is taken from the shop's list. Measure the flange before drilling.
joint-note-shortened = This view shows the joint at { $share } % of its true length: take pitches from the numbers, not from the map.
joint-note-assumed = No view of the body book shows the edge that these parts share: the line is the edge nearest to the other part. Check it on the truck.
joint-note-behind-bend = Where the flange shows too narrow for a row at its middle, the row stands up to { $mm } mm from the edge, on the flat behind the bend. Check that both sheets lie there.
joint-note-left-out-one = 1 place is left out: it keeps no distance to an edge, a bend or another fastener.
joint-note-left-out = { $count } places are left out: they keep no distance to an edge, a bend or another fastener.
joint-why-both-sides = Both sides can be reached: self-piercing rivets can be set.
joint-why-one-side = Only one side can be reached: structural blind rivets take the place of self-piercing ones.
joint-why-beside = New rivets sit between the old places: metal that was pierced once is not pierced again.
joint-why-old-holes = Blind rivets use the places of the old rivets, drilled to size.
joint-why-screws = Flow-drill screws come back as structural blind rivets in the same places.
joint-why-kept = The factory's places are used again.
joint-why-bolts = Bolts go back into their own holes with new fasteners where the maker asks for them.
joint-why-cold = The factory welded here; this way joins cold, so the places are new.
joint-why-mixed = Unlike metals cannot be welded: this joint is riveted and bonded.
joint-time-short = Closing all bonded joints of this part takes about { $fitting } minutes for one person, the adhesive stays open for { $working }. Work with { $people } people, or fit dry, bond in stages and close each stage in time.

joint-heat-foam = foam
joint-heat-wiring = wiring
joint-heat-adhesive = bonded joint
joint-heat-sealer = sealer
joint-heat-glass-edge = edge of bonded glass

joint-inches = { $value } mm is too thin for a sheet; it looks like inches. If so, write { $mm }.
joint-stack-thick = The stack is { $grip } mm with adhesive, but the { $kind } in the shop's list take no more than { $high } mm. Add one with a longer grip to the list, or ask the maker for another way.
joint-stack-thin = The stack is { $grip } mm with adhesive, but the { $kind } in the shop's list need at least { $low } mm. Add one with a shorter grip to the list.
joint-stack-between = The stack is { $grip } mm with adhesive; the sizes of { $kind } in the shop's list leave a gap there. Add one whose grip takes it.
joint-no-kind = The shop's list has no { $kind }. Add some whose grip takes { $grip } mm.
joint-flange-narrow = The strip is { $width } mm wide; one row needs at least { $least } mm. A smaller fastener in the shop's list or a wider overlap would make it possible; else ask the maker.
joint-no-place = None of { $wanted } places keeps its distances: { $why }. It takes { $straight } mm of straight flange, { $least } mm wide between edge and bend, clear of other fasteners. { $would }
joint-few-places = Only { $count } of { $wanted } places keep their distances: { $why }. A flange { $least } mm wide between edge and bend would take them. { $would }
joint-short = The { $mm } mm of this joint that are opened are too short for a { $kind }: it takes { $straight } mm of straight flange, and its distance to an old place. A cut that opens more of the joint would make it possible; else ask the maker what holds it here.
joint-would-smaller = A { $kind } of { $mm } mm that grips { $grip } mm would find enough places: add one to the shop's list if the maker permits it.
joint-would-none = No thinner { $kind } of the trade would find enough places either: ask the maker where they go, or for another way.
joint-no-route = No way to join the { $part } is permitted: { $why }. A rule that permits one, with the maker's procedure behind it, would make it possible; else choose another action or ask the maker.
joint-would-maker = Ask the maker where they go.
joint-note-smaller = The { $first } mm fastener would keep its distances at too few places here; the one of { $taken } mm is taken.
joint-note-other-face = On the map these places lie near those of another joint of this part. The body book does not say on which face or flange each lies: check on the truck that they keep apart before drilling.
joint-hinders-edge = { $count } stand less than { $mm } mm from an edge or an opening
joint-hinders-bend = { $count } stand less than { $mm } mm from a bend
joint-hinders-other = { $count } stand less than { $mm } mm from another fastener
joint-hinders-barred = { $count } stand where nothing may be set
joint-no-view = No view of the body book shows this joint of { $mm } mm: it cannot be drawn. Mark its fasteners from the maker's sheet.
joint-no-adhesive = The shop's list has no adhesive for { $use } joints. Add one.
joint-no-filler = These metals have no filler that is known to be safe. Weld nothing here before the maker's procedure says so.
joint-no-setting = The sheet is { $mm } mm thick; the shop's list has welding settings up to { $most } mm. Add settings that a welding test has proved.
joint-filler-lacks = The weld needs a filler of the { $filler } family, which the shop's list lacks. Add one.
joint-no-barrier = Aluminium would touch steel here: the shop's list has neither an adhesive nor a barrier for it. Add one.
joint-not-coated = The fastener is not coated, but it joins aluminium and steel. Choose a coated one.

fastener-self-piercing-rivet = self-piercing rivet
fastener-structural-blind-rivet = structural blind rivet
fastener-solid-rivet = solid rivet
fastener-bolt = bolt

joint-map-title = { $part }, { $view }
joint-map-scale = { $mm } mm
joint-sheet-page = page { $page }
joint-sheet-counted = Page { $page } of { $pages }: row { $row }, column { $column }
joint-sheet-joins = to page { $page }
joint-sheet-true = True size. Measure the bar: 100 mm.
joint-sheet-again = If it is not, print again without scaling.
joint-sheet-fitted = Overview at { $share } % of true size: no template.
joint-map-empty = No joint of this job has a place on a map.

error-joining-format = This is no joining list of version 1. Write "format": "cutline-joining" and "version": 1.
error-joining-object = This must be an object of named fields.
error-joining-field = There is no such field. Use one of: { $known }.
error-joining-text = This must be a text that is not empty.
error-joining-word = This is not a known word. Use one of: { $known }.
error-joining-number = This must be a number from { $low } to { $high }.
error-joining-inches = { $value } is too small for millimetres; it looks like inches. If so, write { $mm }.
error-joining-grip = This must be the thinnest and the thickest stack, two numbers in millimetres, the smaller first, up to 100.
error-joining-yes = This must be true or false.
error-joining-list = This must be a list that is not empty.
error-joining-twice = The id "{ $id }" stands twice. Give each its own.
error-joining-order = Settings go from the thinnest sheet to the thickest. Put them in order.
