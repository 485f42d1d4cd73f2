# The choice for the whole job.

conflict-one = What { $part } is held to is not permitted as the rest stands. Let go of the hold or choose another action.
conflict-route = No permitted option of { $part } is joined in the way it is held to. Hold it to another way to join, or let go of the hold.
conflict-cuts = { $part } cannot be cut where it is held to. { $reason } Move the line, or let go of the hold.
conflict-together = What these parts are held to cannot stand together: { $parts }. { $reason } Let go of one of the holds.
conflict-clash = No permitted plan keeps all section joints apart. { $reason } Ask the maker before anything is cut.

notice-unpriced = No price is known for this service part: { $what }. It counts as nothing until the price list in Shop has a row { $service }.

# What is compared: "sectioning the floor pan (cut at …) instead of replacing the floor pan".
doing-leave = leaving the { $part } as it is
doing-refinish = refinishing the { $part }
doing-repair = repairing the { $part }
doing-section = sectioning the { $part } ({ $section })
doing-replace = replacing the { $part }
doing-replace-skin = exchanging the outer skin of the { $part }
doing-joined = { $doing } by { $way }
doing-refer = asking the maker about the { $part }
difference-saves = { $chosen } instead of { $other } saves { $saved }.
difference-costs = { $chosen } instead of { $other } costs { $more } more.
difference-both = { $chosen } instead of { $other } saves { $saved } and costs { $more } more.
difference-same = { $chosen } instead of { $other } makes no difference in money, hours or days.
difference-clash = { $sentence } The other choice would put two section joints too near each other.
difference-best = The plan for the least { $aim } differs by { $changes }. Against this plan { $comparison }
difference-best-saves = it saves { $saved }.
difference-best-costs = it costs { $more } more.
difference-best-both = it saves { $saved } and costs { $more } more.
difference-best-same = it comes to the same.
difference-best-part = { $chosen } instead of { $other }
amount-hours = { $hours } h
amount-days = { $days } days in the shop
