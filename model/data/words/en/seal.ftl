# Privacy at rest. The few texts of the screen that asks for the passphrase stand in app.ftl.

error-seal-entry = It is sealed and cannot be opened: a byte was altered, or it was sealed for another place.
error-seal-lock = The lock of this tablet is damaged. Nothing was changed. Restore the last backup on another tablet, and keep this one for who can mend it.
error-seal-newer = A newer Cutline (version { $version }) sealed this tablet. Update Cutline to open it. Nothing was changed.
error-seal-short = This passphrase is too short. Use at least { $least } characters; four words that do not belong together are good.
error-seal-wrong = This passphrase does not open it. Nothing was changed. Try again.

seal-no-chance = This browser has no source of randomness fit for keys. Nothing was changed.
seal-not-saved = Some edit could not be saved yet, so that nothing was locked or changed. Make room, then try again.

privacy = Passphrase
privacy-off = Jobs and pictures lie open on this tablet for whoever can unlock it.
privacy-on = Jobs and pictures on this tablet are sealed under a passphrase. It is asked for at each start.
privacy-what = A passphrase seals all jobs, their titles and all pictures on this tablet. Settings and books of the shop stay open, and so do backups: they are plain files. What was kept here before may stay in the browser's own files for a while.
privacy-forgotten = A forgotten passphrase cannot be recovered by anybody, and the jobs are lost with it. Make a backup first, and write the passphrase down where you keep keys.
privacy-new = New passphrase
privacy-again = New passphrase again
privacy-old = Passphrase in force
privacy-differ = The two are not the same. Type both again.
privacy-seal = Set the passphrase
privacy-seal-sure = I can keep it: seal this tablet
privacy-seal-not = Not now
privacy-set = This tablet is sealed.
privacy-working = Everything is written again: { $count } entries done. You can go on working; if the page is closed, the next start goes on.
privacy-lock = Lock now
privacy-change = Change it or take it away
privacy-renew = Change the passphrase
privacy-changed = The new passphrase is in force.
privacy-drop-note = Without a passphrase everything on this tablet is written again, open. Type the passphrase in force above.
privacy-drop = Take the passphrase away
privacy-drop-sure = Open everything for good
privacy-drop-not = Keep it
privacy-dropped = There is no passphrase any more.
privacy-minutes = Locks by itself
privacy-minutes-after = after { $count } minutes
privacy-minutes-after-one = after 1 minute
privacy-minutes-never = only by key
privacy-minutes-less = Lock sooner
privacy-minutes-more = Lock later

unlock = This tablet is sealed
unlock-why = Type the passphrase to open the jobs on it.
unlock-passphrase = Passphrase
unlock-open = Open
unlock-busy = Working the passphrase out…
unlock-note = Trying costs nothing and changes nothing. A forgotten passphrase cannot be recovered; the jobs then come back from a backup only.
secret-show = Show

backup-sealed = The passphrase of this tablet does not seal the file.
backup-plain = Make an open backup
backup-plain-sure = Make it, and keep the file safe
backup-plain-not = Not now
