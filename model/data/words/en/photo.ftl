# Photos: taking them, the list of a job, one photo with its pins, and what is wrong with a file.

photo-take = Photo
photo-choose = From the tablet
photos-running = { $count } photos are being kept
photos-running-one = 1 photo is being kept
photos-failed = { $count } photos were not kept
photos-failed-one = 1 photo was not kept
photo-again = Try again
photo-give-up = Give up this photo
photos-of = Photos of
photos-of-all = The whole job
photos-none = No photo yet. The key “Photo” opens the camera; photos of a marked place are taken from the walk while its mark is selected.
photos-count = { $count } photos
photos-count-one = 1 photo
photos-of-mark = Photos of this mark
photos-key = Photos of this job
photos-bin = Bin: { $count } photos
photos-bin-one = Bin: 1 photo
photos-bin-note = Their space is freed { $days } days after they went in, or when the job is put away.
photos-bin-empty = Free their space now, for good
photo-name = { $of }, { $day }
photo-mark = { $part }: { $kind }
photo-mark-gone = A mark that is no longer there
photo-missing = Not on this tablet
photo-missing-why = The picture itself is not on this tablet: its space was freed, or only the job came here. Restore a backup of the tablet that took it.
photo-restore = Out of the bin
photo-before = Photo before
photo-next = Next photo
photo-pin = Pin: { $mark }
photo-pin-add = Put a pin for a mark
photo-pin-choose = Choose a mark
photo-pin-move = Tap the picture where it is to be seen, or move the pin with the arrow keys.
photo-to-mark = Show it on the truck
photo-unpin = Take the pin away
photo-bin = Into the bin
photo-facts = Taken { $at }. { $width } × { $height } pixels, { $kilobytes } kB.
photo-unreadable = The tablet could not read this file. Take the photo again, or choose the file again.
photo-undecodable = This picture is damaged or too large for this tablet. Take it again, if possible with a lower resolution.
photo-full = There is no room left on this tablet, so this photo is not kept. Put finished jobs away, empty the bins of photos, then press “Try again”.
photo-not-kept = This photo is not kept. Press “Try again”.
photo-of-job = Of the job
photo-in-bin = In the bin
photo-not-in-bin = Not in the bin
photo-pins-one = 1 pin
photo-pins = { $count } pins

# Why a file is not taken as a photo, and what to do.

photo-empty = This file is empty. Take the photo again, or choose another file.
photo-large = This file is larger than { $most } megabytes. Save it smaller, or take the photo with a lower resolution.
photo-no-picture = This file is no picture. Choose a photo in the form JPEG, PNG or WebP.
photo-kind = This is a { $kind } file, which not every browser can show. Save it as JPEG, or set the camera to JPEG, and choose it again.
photo-lies = This file says that it is { $claimed }, but inside it is { $kind }. Check where it comes from, give it the right ending and choose it again.
photo-cut = This { $kind } file is cut short or damaged: it does not say how large the picture is. Take the photo again, or copy the file again.
photo-pixels = This picture has { $megapixels } megapixels; at most { $most } are taken, so that the tablet can hold it. Save it smaller and choose it again.

# Photos in a job file.

error-photo-exists = A photo of this name was there before. Give the new photo another name.
error-photo-gone = This photo is no longer there. Take it again, or undo the change that took it away.
error-photo-many = A job holds at most { $most } photos. Put those that say nothing into the bin.
error-photo-pins = A photo holds at most { $most } pins.
error-photo-time = "{ $value }" is no day and time. Write it as 2026-11-25T14:03.
error-photo-size = A picture is at least one pixel wide and high and has at most { $most } megapixels.
error-photo-hash = A SHA-256 is 64 digits out of 0-9 and a-f.
