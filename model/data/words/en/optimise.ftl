# The choice for the whole job.

conflict-one = What { $part } is held to is not permitted as the rest stands. Let go of the hold or choose another action.
conflict-route = No permitted option of { $part } is joined in the way it is held to. Hold it to another way to join, or let go of the hold.
conflict-cuts = { $part } cannot be cut where it is held to. Move the cut lines back into their windows, or let go of the hold.
conflict-together = What these parts are held to cannot stand together: { $parts }. Let go of one of the holds.
