# Why a plan differs from an earlier one.

revision-cause-mark-added = 1 mark was added
revision-cause-marks-added = { $count } marks were added
revision-cause-mark-changed = 1 mark was changed
revision-cause-marks-changed = { $count } marks were changed
revision-cause-mark-removed = 1 mark was removed
revision-cause-marks-removed = { $count } marks were removed
revision-cause-hold = another choice was held to
revision-cause-found = someone looked behind
revision-cause-aim = the plan aims at something else
revision-cause-vehicle = facts of the whole vehicle changed
revision-cause-shop = what the shop can do changed
revision-cause-book = another edition of the body book
revision-cause-rules = other rules
revision-cause-times = another edition of the time book
revision-cause-prices = another edition of the price list
revision-cause-rates = other rates
revision-cause-shared = the choice for another part, through work that both share
revision-cause-sum = follows from the sums
revision-cause-program = nothing in the job or its books changed; this Cutline works it out in another way
error-revision-currency = This revision is in { $before } and the plan is now in { $after }. Money in two currencies cannot be held against each other.

# Lines of a frozen plan.

revision-line-what = { $work }: { $what }
revision-line-how = { $counted } × { $each } { $currency }
