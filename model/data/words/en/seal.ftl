# Privacy at rest. The few texts of the screen that asks for the passphrase stand in app.ftl.

error-seal-entry = It is sealed and cannot be opened: a byte was altered, or it was sealed for another place.
error-seal-lock = The lock of this tablet is damaged. Nothing was changed. Restore the last backup on another tablet, and keep this one for who can mend it.
error-seal-newer = A newer Cutline (version { $version }) sealed this tablet. Update Cutline to open it. Nothing was changed.
error-seal-short = This passphrase is too short. Use at least { $least } characters; four words that do not belong together are good.
error-seal-wrong = This passphrase does not open it. Nothing was changed. Try again.
