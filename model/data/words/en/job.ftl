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
error-job-stamp = "{ $value }" is not a time as Cutline writes it. Save the file again from Cutline.
error-job-damaged = This change does not match its own check sum: a byte was altered. Take the file from a copy, or remove all "changes" to keep the job as it stands.
error-job-differs = The job does not agree with its changes. Remove "changes" to keep the job as it stands here, or save the file again from Cutline.
error-job-mixed = This change belongs to another job. Take the file from a copy.
error-job-empty = This job has no changes. Take it from a copy.
error-mark-gone = This mark is no longer there. It may have been removed in another window.
error-mark-exists = A mark of this name was there before. Give the new mark another name.
