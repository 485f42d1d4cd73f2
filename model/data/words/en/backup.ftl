# Backup and restore.

error-backup-none = This is no backup that Cutline made. Choose a file whose name begins with cutline-backup.
error-backup-empty = This file is empty. Choose another copy of the backup.
error-backup-newer = This backup was made by a newer Cutline (version { $version }). Update Cutline, then restore again. Nothing was taken.
error-backup-entries = This file has more than { $most } entries, which no backup of Cutline has. Nothing was taken. Choose another file.
error-backup-manifest = Its list of contents cannot be read: { $detail }. What proves whole can be taken; what is missing cannot be named.
error-backup-name = This cannot be the name of an entry ({ $detail }).
error-backup-stretch = From byte { $at } on there is a stretch that cannot be read. What follows it was read.
error-backup-kind = It is a link, a folder or a device, not a plain entry. It was passed over.
error-backup-path = It is no name that a backup has. It was passed over.
error-backup-twice = It stands here twice. The first was taken, the other passed over.
error-backup-large = It is larger than { $most } MB, which no such entry is. It was passed over.
error-backup-sum = A byte of it was altered: its check sum is wrong. It was passed over.
error-backup-text = It is no text. It was passed over.
error-backup-cut = The file ends in the middle of it.

backup-plan-new = "{ $title }" comes back with { $edits }.
backup-plan-adds = "{ $title }" gains { $edits }.
backup-plan-joins = "{ $title }" gains { $edits }; { $keeps } that only this tablet has stay.
backup-edits = { $count } edits
backup-edits-one = 1 edit
