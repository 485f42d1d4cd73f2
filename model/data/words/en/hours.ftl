# Hours: the time book and what is wrong with one.

error-time-lacks = This field is missing. A whole time book gives it.
error-time-object = This must be an object of named fields.
error-time-field = There is no such field. Use one of: { $known }.
error-time-text = This must be a text that is not empty.
error-time-number = This must be a whole number from { $low } to { $high }.
error-time-spread = The spread must be a number from 0 to 1.
error-time-word = This is not a known word. Use one of: { $known }.
error-time-missing = The work "{ $name }" has no time. Add it: every work of a plan needs one.
error-time-unknown = There is no work "{ $name }" in this time book. Correct its name or take it out.
