# Photos: taking them, the list of a job, one photo with its pins, and what is wrong with a file.

photos = Photos
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
