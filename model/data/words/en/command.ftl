# The command line.
command-usage = Usage: cutline plan JOB.json [--rules RULES.json] [--rates RATES.json] [--prices PRICES.csv] [--times TIMES.json] [--joining LIST.json] [--aluminium-welding yes|no], cutline solve [--mps] [--objective money|hours|days] JOB.json, cutline draw JOB.json --view left|right|front|rear|top|underside [--layer skin|structure|frame] [--line], cutline draw JOB.json --cuts PART, cutline joints JOB.json [--svg | --csv | --template a4|letter] [--part PART] [--joining LIST.json], cutline generate --seed NUMBER --parts COUNT, cutline check-backup BACKUP.tar, cutline check-book BOOK.json, cutline check-rules RULES.json, cutline check-rates RATES.json, cutline check-prices PRICES.csv [--rates RATES.json]
command-value = { $option } needs a value after it.
command-option = { $option } is not an option. Run cutline without anything to see the options.
command-unknown = { $option } cannot be "{ $value }". Run cutline without anything to see what it can be.
command-book-good = { $id } edition { $edition }: { $bodies } bodies, up to { $parts } parts, no fault found.
command-rules-good = { $id } edition { $edition }: { $rules } rules, no fault found.
command-rates-good = { $id } edition { $edition }: rates in { $currency } with { $materials } materials, no fault found.
command-prices-good = { $own } prices in { $currency } for { $all } service parts, no fault found.
command-backup-good = { $jobs } with { $edits } and { $photos }, all whole.
command-backup-part = Not whole. What can be taken: { $jobs } with { $edits } and { $photos }.
command-backup-missing = Missing: { $name }.
command-number = { $option } cannot be "{ $value }". Write a whole number in digits.
error-generate-parts = { $parts } parts cannot be damaged. Write a number from 1 to { $most }; bodies differ in how many parts they have.
command-cuts-part = No damage is marked on { $part }. Give the id of a damaged part as `cutline plan` writes it.
