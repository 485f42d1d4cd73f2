//! Reading a price list from CSV (RFC 4180, UTF-8 with or without a byte order mark, any line ends).
//!
//! Finds every fault, each with its line and column, up to a limit. Never guesses: not a separator, not a decimal comma,
//! not the name of a part.

use super::{PriceList, ServicePrice};
use crate::catalogue::{OUTER_SKIN, generic_description};
use crate::error::Error;
use crate::ids::ServiceId;
use crate::money::{Currency, Money};
use csv_core::ReadFieldResult;
use std::collections::BTreeMap;

/// Names of the columns, in this order; the first row of a list.
pub const HEADER: [&str; 3] = ["service_part", "price", "delivery_days"];
/// Most faults that are told at once.
pub const FAULTS_MAX: usize = 50;
/// Largest file, bytes.
pub const FILE_MAX: usize = 1 << 20;
/// Longest delivery time, working days.
pub const DAYS_MAX: u32 = 365;
/// Greatest price, minor units.
pub const PRICE_MAX: i64 = 1_000_000_000_000;
/// Longest field, bytes.
const FIELD_MAX: usize = 200;

type Sold = BTreeMap<String, bool>;

impl PriceList {
    /// Reads a shop's list of prices in `currency`; what it lacks comes from the built-in list.
    ///
    /// # Errors
    /// Every fault with its line and its column (1 is the part, 2 the price, 3 the days), at most [`FAULTS_MAX`] and then
    /// one that says that there are more.
    pub fn read(csv: &[u8], id: &str, edition: &str, currency: Currency) -> Result<Self, Vec<Error>> {
        let own = rows(csv, currency, Some(&generic_description().sold()))?;
        let count = own.len();
        let mut items = PriceList::demo_in(currency).items.clone();
        items.extend(own);
        Ok(Self { id: id.to_owned(), edition: edition.to_owned(), currency, own: count, items })
    }
}

/// The rows of a list; with `sold`, only parts that are sold.
pub(super) fn rows(
    csv: &[u8],
    currency: Currency,
    sold: Option<&Sold>,
) -> Result<BTreeMap<ServiceId, ServicePrice>, Vec<Error>> {
    let csv = csv.strip_prefix(b"\xef\xbb\xbf").unwrap_or(csv);
    whole(csv).map_err(|error| vec![error])?;
    let mut list = List { currency, sold, items: BTreeMap::new(), lines: BTreeMap::new(), faults: Vec::new() };
    let mut records = Records { csv, at: 0, line: 1, reader: csv_core::Reader::new() };
    match records.next() {
        None => return Err(vec![Error::new("error-csv-empty", "").with("wanted", HEADER.join(","))]),
        Some(header) => check_header(&header).map_err(|error| vec![error])?,
    }
    let mut count = 0;
    while let Some(record) = records.next() {
        count += 1;
        list.take(&record);
        if record.torn || list.faults.len() > FAULTS_MAX {
            break;
        }
    }
    if count == 0 {
        list.faults.push(Error::new("error-csv-no-rows", ""));
    }
    if list.faults.len() > FAULTS_MAX {
        list.faults.truncate(FAULTS_MAX);
        list.faults.push(Error::new("error-csv-more", "").with("count", FAULTS_MAX));
    }
    if list.faults.is_empty() { Ok(list.items) } else { Err(list.faults) }
}

/// What is wrong with the file as a whole.
fn whole(csv: &[u8]) -> Result<(), Error> {
    if csv.len() > FILE_MAX {
        return Err(Error::new("error-csv-large", "").with("most", FILE_MAX >> 10));
    }
    // The first byte that is no text; a browser that decodes the file puts U+FFFD there.
    let text = std::str::from_utf8(csv);
    let bad = match text {
        Ok(text) => text.find(['\u{fffd}', '\0']),
        Err(error) => Some(error.valid_up_to()),
    };
    match bad {
        Some(at) => {
            let line = csv[..at].iter().filter(|byte| **byte == b'\n').count() + 1;
            Err(Error::new("error-csv-text", format!("line {line}")))
        }
        None => Ok(()),
    }
}

fn check_header(header: &Record) -> Result<(), Error> {
    let found: Vec<&str> = header.fields.iter().map(|field| field.text.trim()).collect();
    let wanted = HEADER.join(",");
    let place = format!("line {}", header.line);
    match &found[..] {
        found if found == HEADER => Ok(()),
        [one] if one.contains([';', '\t']) => Err(Error::new("error-csv-separator", place).with("wanted", wanted)),
        _ => {
            let found: String = found.join(",").chars().take(60).collect();
            Err(Error::new("error-csv-header", place).with("wanted", wanted).with("found", found))
        }
    }
}

/// The list so far and what is wrong with it.
struct List<'s> {
    currency: Currency,
    sold: Option<&'s Sold>,
    items: BTreeMap<ServiceId, ServicePrice>,
    /// Line on which each row stands.
    lines: BTreeMap<ServiceId, usize>,
    faults: Vec<Error>,
}

impl List<'_> {
    fn take(&mut self, record: &Record) {
        if record.torn {
            let last = record.fields.len();
            return self.fault(Error::new("error-csv-quote", ""), record, last);
        }
        if let Some(long) = record.fields.iter().position(|field| field.long) {
            return self.fault(Error::new("error-csv-long", "").with("most", FIELD_MAX), record, long + 1);
        }
        let [part, price, days] = &record.fields[..] else {
            let error = Error::new("error-csv-columns", "").with("count", record.fields.len());
            return self.fault(error.with("wanted", HEADER.join(",")), record, 0);
        };
        // All three are looked at, so that one reading tells every fault.
        let id = self.part(part.text.trim(), record).map_err(|error| self.fault(error, record, 1));
        let price = price_of(&price.text, self.currency).map_err(|error| self.fault(error, record, 2));
        let days = days_of(days.text.trim()).map_err(|error| self.fault(error, record, 3));
        if let (Ok(id), Ok(price), Ok(days)) = (id, price, days) {
            self.items.insert(id, ServicePrice { price, days, demo: false });
        }
    }

    fn fault(&mut self, error: Error, record: &Record, column: usize) {
        let name = HEADER.get(column.wrapping_sub(1)).map(|name| format!(" ({name})")).unwrap_or_default();
        let column = if column == 0 { String::new() } else { format!(", column {column}{name}") };
        self.faults.push(Error { place: format!("line {}{column}", record.line), ..error });
    }

    /// The service part of a row, if it is sold and stands here for the first time.
    fn part(&mut self, name: &str, record: &Record) -> Result<ServiceId, Error> {
        if name.is_empty() {
            return Err(Error::new("error-csv-part-missing", ""));
        }
        if let Some(sold) = self.sold {
            known(sold, name)?;
        }
        let id = ServiceId::from(name);
        match self.lines.insert(id.clone(), record.line) {
            Some(first) => {
                self.lines.insert(id, first);
                Err(Error::new("error-csv-twice", "").with("name", name).with("line", first))
            }
            None => Ok(id),
        }
    }
}

/// Whether a part of that name is sold, and if not, what is.
fn known(sold: &Sold, name: &str) -> Result<(), Error> {
    let (part, section) = name.split_once('/').map_or((name, None), |(part, section)| (part, Some(section)));
    let base = ["-left", "-right"]
        .iter()
        .find_map(|side| part.strip_suffix(side))
        .filter(|base| sold.get(*base) == Some(&true));
    let base = base.unwrap_or(part);
    if !sold.contains_key(base) {
        return Err(Error::new("error-csv-part-unknown", "").with("name", name));
    }
    let Some(section) = section else { return Ok(()) };
    if sold.contains_key(&format!("{base}/{section}")) {
        return Ok(());
    }
    let from = format!("{base}/");
    let those = sold.range(from.clone()..).map(|(id, _)| id.as_str()).take_while(|id| id.starts_with(&from));
    let those = those.collect::<Vec<_>>().join(", ");
    let key = if those.is_empty() { "error-csv-section-none" } else { "error-csv-section-unknown" };
    Err(Error::new(key, "").with("name", name).with("part", part).with("known", those).with("skin", OUTER_SKIN))
}

fn price_of(text: &str, currency: Currency) -> Result<Money, Error> {
    let price = Money::parse(text, currency)?;
    if price.minor < 0 {
        return Err(Error::new("error-csv-negative", "").with("value", text.trim()));
    }
    if price.minor > PRICE_MAX {
        let most = Money { minor: PRICE_MAX, currency };
        return Err(Error::new("error-csv-price-large", "").with("most", most));
    }
    Ok(price)
}

fn days_of(text: &str) -> Result<u32, Error> {
    let days = text.parse().ok().filter(|days| *days <= DAYS_MAX && !text.starts_with('+'));
    days.ok_or_else(|| Error::new("error-csv-days", "").with("most", DAYS_MAX))
}

/// One row as written.
struct Record {
    line: usize,
    fields: Vec<Field>,
    /// A quote opens in its last field that does not close on the same line: what follows cannot be told apart.
    torn: bool,
}

#[derive(Default)]
struct Field {
    text: String,
    long: bool,
}

/// The rows of a file, blank ones left out.
struct Records<'c> {
    csv: &'c [u8],
    at: usize,
    line: usize,
    reader: csv_core::Reader,
}

impl Records<'_> {
    fn next(&mut self) -> Option<Record> {
        loop {
            let record = self.record()?;
            if record.torn || record.fields.iter().any(|field| field.long || !field.text.trim().is_empty()) {
                return Some(record);
            }
        }
    }

    fn record(&mut self) -> Option<Record> {
        while let Some(b'\r' | b'\n') = self.csv.get(self.at) {
            // The end of a line is LF, CR LF or CR.
            self.line += usize::from(self.csv[self.at] == b'\n' || self.csv.get(self.at + 1) != Some(&b'\n'));
            self.at += 1;
        }
        if self.at == self.csv.len() {
            return None;
        }
        let mut record = Record { line: self.line, fields: Vec::new(), torn: false };
        loop {
            let from = self.at;
            let (text, long, last) = self.field()?;
            let raw = &self.csv[from..self.at];
            let open = raw.first() == Some(&b'"') && raw.iter().filter(|byte| **byte == b'"').count() % 2 == 1;
            // Only a quoted field goes on over the end of a line.
            let within = raw.strip_suffix(b"\n").or_else(|| raw.strip_suffix(b"\r")).unwrap_or(raw);
            record.torn = open || within.iter().any(|byte| matches!(byte, b'\r' | b'\n'));
            record.fields.push(Field { text, long });
            if last || record.torn {
                self.back_to_line_end(last);
                return Some(record);
            }
        }
    }

    /// One field, whether it was longer than [`FIELD_MAX`], and whether it ends the row.
    fn field(&mut self) -> Option<(String, bool, bool)> {
        let (mut buffer, mut length, mut long) = ([0; FIELD_MAX], 0, false);
        loop {
            let (result, read, written) = self.reader.read_field(&self.csv[self.at..], &mut buffer[length..]);
            self.at += read;
            length += written;
            match result {
                // Once more with nothing left says what the last field was.
                ReadFieldResult::InputEmpty => {}
                ReadFieldResult::OutputFull => (long, length) = (true, 0),
                ReadFieldResult::Field { record_end } => {
                    return Some((String::from_utf8_lossy(&buffer[..length]).into_owned(), long, record_end));
                }
                ReadFieldResult::End => return None,
            }
        }
    }

    /// The reader has passed the byte that ends the line; it is counted with the blank lines that may follow.
    fn back_to_line_end(&mut self, last: bool) {
        if last && self.at > 0 && matches!(self.csv[self.at - 1], b'\r' | b'\n') {
            self.at -= 1;
        }
    }
}
