# Text of the app's own screens. Trade words stand with the model; nothing here names a rule or a reason.

ui-millimetres = { $value } mm
ui-inches = { $value } in

# Frame
ui-app-places = Places of the app
ui-gate = Gate
ui-walk = Walk
ui-plan = Plan
photos = Photos
ui-shop = Shop
ui-undo = Undo
ui-redo = Do again
ui-close = Close
ui-saved = Saved
ui-saving = Saving
ui-not-saved = Not saved
ui-save-file = Save as a file
ui-broken = Cutline stopped working.
ui-broken-why = Your work is saved on this tablet up to the last change that was shown as saved. Load Cutline again to go on.
ui-broken-reload = Load again
ui-no-job = This job is not open.
ui-no-job-why = It may still be loading, or it is not on this tablet.
ui-to-gate = Go to the gate

# Gate
ui-new-title = New vehicle
ui-marks = { $count } marks
ui-marks-one = 1 mark

# Map
ui-map-name = { $place } of the truck. Each part is a button.
ui-map-keys = Arrow keys go from part to part. Enter marks a part. Delete removes the selected mark. Plus and minus zoom. Escape closes.
ui-pen-on = The pen marks. Fingers move and zoom.
ui-pen-fingers = Let fingers mark
ui-adding = Tap where the other mark goes.

# Places round the truck
ui-places = Where you stand
ui-place-front = Front
ui-place-front-left = Front left corner
ui-place-left = Left side
ui-place-rear-left = Rear left corner
ui-place-rear = Rear
ui-place-rear-right = Rear right corner
ui-place-right = Right side
ui-place-front-right = Front right corner
ui-place-above = Above
ui-place-below = Below
ui-place-short-front = Front
ui-place-short-front-left = Front left
ui-place-short-left = Left side
ui-place-short-rear-left = Rear left
ui-place-short-rear = Rear
ui-place-short-rear-right = Rear right
ui-place-short-right = Right side
ui-place-short-front-right = Front right
ui-place-short-above = Above
ui-place-short-below = Below
ui-peel = Peel away
ui-zoom = Zoom
ui-zoom-in = Larger
ui-zoom-out = Smaller
ui-zoom-whole = Whole truck

# Lists
ui-lists = Lists
ui-tab-round = Walk round
ui-tab-parts = Parts
ui-tab-found = Findings
ui-tab-behind = Look behind
ui-search = Find a part
ui-search-none = No part has this name. Try a shorter word.
ui-mark-part = Mark { $part }
ui-found-none = Nothing is marked yet. Tap the damage on the truck.
ui-behind-none = Nothing behind the damage needs a look so far.
ui-behind-why = Look at these before you trust the plan. Nearest first.

# Questions
ui-which = Which part?
ui-menu-look = Look at it without marking
ui-menu-scratch = Draw a scratch
ui-menu-hail = Hail over the whole part
ui-menu-missing = The part is missing

# Sheet of a part
ui-made-of = { $material }, { $thickness }
ui-part-unmarked = This part is not marked.
ui-mark-here = Mark damage on it
ui-marks-of-part = Marks on this part
ui-kind = What is it?
ui-kinds-more = Other damage
ui-depth = How deep, at most?
ui-depth-more = Deeper
ui-depth-exact = Depth
ui-coat = Paint
ui-edge = Bent
ui-edge-soft = Soft, like a bowl
ui-edge-sharp = Sharp, like a fold
ui-remove-mark = Remove
ui-another-mark = Another mark
ui-more = Size and note
ui-less = Close
ui-length = Length
ui-width = Width
ui-shorter = Shorter
ui-longer = Longer
ui-narrower = Narrower
ui-wider = Wider
ui-shallower = Shallower
ui-deeper = Deeper
ui-dents = Dents
ui-dents-count = { $count } dents
ui-dents-count-one = 1 dent
ui-fewer = Fewer
ui-more-dents = More
ui-note = Note

# Decision
ui-options-open = All options and why
ui-options-close = Close the options
ui-held-over = Chosen by you. Recommended: { $action }.
ui-hold-refused = You chose to { $action }. The rules do not permit it here.
ui-also-needed = Also needed:
ui-care = Take care:

ui-newer = A newer version of Cutline is ready on this device.
ui-newer-take = Use it now
ui-newer-waits = It starts as soon as every edit is saved.
