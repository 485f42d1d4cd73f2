# Messages about jobs, their files and how they are kept.

error-job-format = This is not a Cutline job file. Its first field should be "format": "cutline-job". Choose a file that Cutline saved.
error-job-version = This is not a version of the job file that Cutline knows. The current version is { $version }.
error-job-newer = This was made by a newer Cutline (version { $version }). Update Cutline to open it. Nothing in it was changed.
error-job-size = This file is larger than { $most } MB, which no job file is. Choose another file.
error-job-field = This cannot be read: { $detail }. Correct it in the file, or save the file again from Cutline.
error-job-name = "{ $value }" cannot be a name here. Use 1 to 64 of the characters a to z, 0 to 9 and hyphen.
error-job-long = This text is too long. Use at most { $most } characters.
error-job-date = "{ $value }" is not a day. Write year, month and day, such as 2026-11-20, or leave it empty.
error-job-number = { $value } is too large here. Use 0 to { $most }.
error-job-points = An outline needs { $least } to { $most } points. Draw it again.
error-job-marks = This job has { $most } marks, which is as many as one job holds. Remove some, or draw larger ones.
error-job-needs = This holds what only version { $version } can hold. Write version { $version } here, or save the file again from Cutline.
error-job-option-empty = This holds to nothing. Give a way to join, pieces to renew or a moved cut, or leave the part out.
error-job-option-many = Too many are named here. Name at most { $most }.
error-job-option-order = The pieces must be sorted by name, each once.
error-job-move = A cut line cannot be moved by { $value } mm. Use -{ $most } to { $most }, and leave out what is not moved.
error-job-digits = This currency has { $wanted } decimals. Take the file from a copy.
error-job-revisions = This job has { $most } revisions, which is as many as one job holds. Make a new job for this vehicle to freeze more.
error-revision-long = This revision is too long. It holds at most { $most } lines.
error-revision-twice = Two lines of this revision bear the same key. Save the file again from Cutline.
error-revision-sum = The sums of this revision are not those of its lines. Take the file from a copy.
error-job-stamp = "{ $value }" is not a time as Cutline writes it. Save the file again from Cutline.
error-job-damaged = This change does not match its own check sum: a byte was altered. Take the file from a copy, or remove all "changes" to keep the job as it stands.
error-job-differs = The job does not agree with its changes. Remove "changes" to keep the job as it stands here, or save the file again from Cutline.
error-job-mixed = This change belongs to another job. Take the file from a copy.
error-job-empty = This job has no changes. Take it from a copy.
error-mark-gone = This mark is no longer there. It may have been removed in another window.
error-mark-exists = A mark of this name was there before. Give the new mark another name.

# How edits are kept. The first part says why, the second what it means and what to do.

saving-full = The store of this browser is full.
saving-blocked = This browser does not let Cutline keep anything, as in a private window.
saving-held = Another tab runs an older Cutline and holds the store. Close that tab, then load this page again.
saving-broken = The store of this browser failed ({ $detail }).
saving-quick-only = The last minute of work is lost if the browser is stopped now. Save this job as a file, then make room or open Cutline in a normal window.
saving-nowhere = Your edits are on this screen only. Save this job as a file before you close it.
quick-blocked = This browser does not let Cutline keep anything in local storage, as in a private window. Save each job as a file before you close this page.
settings-quick-only = The settings are lost if the browser is stopped within the next minute.
settings-nowhere = The settings hold only until you close this page.
settings-damaged = The settings of this tablet could not be read and were set aside, not deleted. Look at the shop screen and set again what is missing.
entry-set-aside = Part of the job "{ $job }" cannot be read and was set aside, not deleted. { $why }
clock-ahead = The job "{ $title }" holds a change dated { $day }, which is in the future. Check the date of every tablet: until that day, that change wins over later ones.
job-not-here = There is no job "{ $job }" on this tablet. Open its file, or choose one from the list.
import-as-copy = A job of the same name is here already, so "{ $title }" was added beside it.
file-refused = This browser did not save the file. Try another browser, or copy the text of the job.
job-copy-title = { $title } (copy)

# Room on the tablet, told before it is short.

room-short = Only { $free } of room are left for Cutline. Put jobs that are done away, empty the bins of photos, and save a backup; then new photos and edits have room again.
room-little = less than 0.1 MB
room-megabytes = { $value } MB
room-gigabytes = { $value } GB
