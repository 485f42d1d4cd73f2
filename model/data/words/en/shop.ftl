# Text of the shop: settings, rule book, room, help and limits.

shop-tablet = This tablet
shop-look = Look
shop-look-auto = As the tablet is set
shop-look-light = Light
shop-look-dark = Dark
shop-look-sun = Bright sun
shop-look-note = Bright sun is for outdoors: black on white, thick lines, larger letters.
shop-gloves = Larger keys for gloves
shop-hand = Hand that taps
shop-hand-left = Left
shop-hand-right = Right
shop-units = Lengths
shop-units-metric = Millimetres
shop-units-imperial = Inches

shop-equipment = What this shop can do
shop-equipment-note = The rules permit or forbid ways to join by this. A plan changes at once when it changes.
shop-welding = Aluminium welding: equipment and a qualified welder
shop-bay = A clean aluminium bay with its own tools and extraction

shop-rules = Rule book
shop-rules-now = In force: { $title } ({ $id }, edition { $edition }), { $count } rules.
shop-rules-built-in = This is the built-in book of general trade practice. Load the shop's own book to lay the maker's procedures over it.
shop-rules-own = The shop's own book stands over the built-in one. What it does not speak of stays as it was.
shop-rules-load = Load the shop's rule book
shop-rules-drop = Go back to the built-in book
shop-rules-taken = "{ $title }" is in force from now on. Every plan has been made again.
shop-file-refused = { $file } was not taken, and nothing was changed.
shop-file-faults = It has { $count } faults:
shop-file-faults-one = It has 1 fault:
shop-rules-large = It is larger than { $most } kB, which no rule book is. Choose another file.

shop-joining = Joining list
shop-joining-now = In force: { $name }, edition { $edition }: { $fasteners } fasteners, { $adhesives } adhesives, { $settings } welding settings, { $coats } coats.
shop-joining-lives = Where the vehicles live: { $environment }.
shop-joining-built-in = This is an invented list. Load the shop's own, with what stands on its shelf and in the data sheets that came with it: joint plans, materials and the time that adhesives need follow it.
shop-joining-own = This is the shop's own list. Joint plans, materials and the time that adhesives need follow it.
shop-joining-load = Load the shop's joining list
shop-joining-save = Save the list as a file
shop-joining-drop = Go back to the built-in list
shop-joining-taken = "{ $name }" is in force from now on. Joint plans, materials and waits have been made again.
shop-joining-unused = The shop's own joining list is not used; the built-in one stands: { $why }
shop-joining-large = It is larger than { $most } kB, which no joining list is. Choose another file.
shop-joining-file = joining-list.json
shop-joining-field = Field { $field }
shop-joining-row = { $list }, row { $row }
shop-joining-place = { $list }, row { $row }, { $field }

shop-camera-file = Keep the camera's own file too
shop-camera-file-note = Photos are kept without the place and the device that the camera writes into them. The camera's own file has both, and takes ten times the room.
shop-store = Room on this tablet
shop-store-jobs = { $count } jobs are kept here.
shop-store-jobs-one = 1 job is kept here.
shop-store-used = In use: { $used } of { $most } that the browser gives.
shop-store-used-only = In use: { $used }.
shop-store-not-told = The browser does not tell how much room is in use.
shop-store-quick = The quick store for open and recent jobs is { $share } % full. Older jobs leave it by themselves.
shop-store-quick-blocked = The browser blocks the quick store, so the jobs are kept in the journal only.
shop-store-kept = The browser has promised to keep the jobs even when space runs short.
shop-store-not-kept = The browser may throw the jobs away when the tablet runs out of space. Putting Cutline on the home screen or asking here helps; a file is safest.
shop-store-unknown = The browser does not tell whether it keeps the jobs when space runs short. Save a file of what matters.
shop-store-keep = Ask the browser to keep them

shop-keys = Keyboard
shop-keys-note = On the walk, with the truck in focus.
shop-key-arrows = Arrow keys
shop-key-arrows-does = go to the nearest part in that direction
shop-key-ends = Home and End
shop-key-ends-does = go to the first and the last part
shop-key-enter = Enter
shop-key-enter-does = marks the part, or opens it if it is marked
shop-key-delete = Delete
shop-key-delete-does = removes the selected mark
shop-key-zoom = Plus and minus
shop-key-zoom-does = zoom in and out
shop-key-escape = Escape
shop-key-escape-does = closes the sheet or the form
shop-key-tab = Tab
shop-key-tab-does = goes to the lists, which do everything that the truck does

shop-about = About
shop-about-what = Cutline { $version } helps to decide how a damaged aluminium-bodied pickup may be repaired, and says why.
shop-about-data = The truck is a generic body of our own drawing. The demo jobs, the people and the shop in them are invented. Jobs stay on this tablet unless you save a file and pass it on.

shop-app-preparing = The app itself is being stored on this device. Stay connected until it says ready.
shop-app-ready = The app is stored on this device and starts without a network.
shop-app-newer = The app starts without a network. A newer version waits to be taken.
shop-app-none = This browser or this address cannot store the app: without a network it will not start. The jobs are kept all the same.
shop-app-build = Version { $name }
