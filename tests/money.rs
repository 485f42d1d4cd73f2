//! Money against the outside: amounts, roundings and estimates against Python's decimal, currencies against ISO 4217 and
//! CLDR, price lists against Python's csv; and price lists that no spreadsheet should have written.

use checks::{Numbers, project, python, read};
use model::catalogue::{Body, Book, generic};
use model::decide::Pick;
use model::error::Error;
use model::estimate::{
    LINE_MAX, MONEY_UNITS, Tariff, day_seconds, estimate, line_cost, own_hours, storage_line, to_json, worth,
};
use model::money::{Currency, Decimal, Money, Rounding, decimal, divide};
use model::plan::{Shop, plan};
use model::prices::{FAULTS_MAX, PriceList};
use model::rates::Rates;
use model::terms::{Bed, Cab, Category};
use proptest::prelude::*;
use serde_json::{Value, json};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// Asks Python; every answer must be the same.
fn agree(cases: &[Value]) {
    let given = Value::from(cases.to_vec()).to_string();
    let answers: Vec<Value> = serde_json::from_str(&python("tests/outside/money.py", &given)).expect("a list");
    assert_eq!(answers.len(), cases.len());
    let wrong: Vec<&Value> = answers.iter().filter(|answer| !answer.is_null()).take(5).collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
}

fn currency(code: &str) -> Currency {
    Currency::from_code(code).expect(code)
}

/// A number of up to that many digits with up to `places` decimals.
fn number(numbers: &mut Numbers, digits: u32, places: usize) -> Decimal {
    let size = 10_i64.pow(1 + u32::try_from(numbers.below(digits as usize)).expect("small"));
    let mantissa = i64::try_from(numbers.bits() % size.unsigned_abs()).expect("small");
    // Halves are where roundings differ.
    let mantissa = if numbers.below(3) == 0 { mantissa / 10 * 10 + 5 } else { mantissa };
    let sign = if numbers.below(4) == 0 { -1 } else { 1 };
    Decimal::new(sign * mantissa, u32::try_from(numbers.below(places + 1)).expect("small"))
}

#[test]
fn sums_products_and_roundings_are_those_of_pythons_decimal() {
    let mut numbers = Numbers::new(1);
    let mut cases = Vec::new();
    for round in 0..6_000 {
        let money = currency(["JPY", "EUR", "BHD", "UYW"][round % 4]);
        let rounding = Rounding::ALL[numbers.below(Rounding::ALL.len())];
        let (decimals, name) = (money.decimals(), rounding.word());
        let (quantity, each) = (number(&mut numbers, 6, 4), number(&mut numbers, 8, 6));
        let product = Money::times(quantity, each, money, rounding).expect("in range").minor;
        cases.push(
            json!({"judge": "times", "quantity": quantity.to_string(), "each": each.to_string(), "decimals": decimals,
            "rounding": name, "ours": product}),
        );
        let (percent, product) = (number(&mut numbers, 5, 3), product % 10_000_000_000_000);
        let share = Money { minor: product, currency: money }.percent(percent, rounding).expect("in range").minor;
        cases.push(json!({"judge": "percent", "minor": product, "percent": percent.to_string(), "decimals": decimals,
            "rounding": name, "ours": share}));
        let all: Vec<i64> = (0..numbers.below(30)).map(|_| number(&mut numbers, 15, 0).mantissa() as i64).collect();
        let sum =
            all.iter().try_fold(Money::zero(money), |sum, minor| sum.plus(Money { minor: *minor, currency: money }));
        cases.push(json!({"judge": "plus", "all": all, "ours": sum.expect("in range").minor}));
        let amount = Money { minor: number(&mut numbers, 18, 0).mantissa() as i64, currency: money };
        assert_eq!(Money::parse(&amount.amount(), money), Ok(amount), "{amount}");
        cases.push(json!({"judge": "text", "text": amount.amount(), "decimals": decimals, "ours": amount.minor}));
    }
    agree(&cases);
}

/// Halves, their neighbours and negative numbers, by hand.
#[test]
fn each_rounding_does_what_its_name_says() {
    let tenths = [-15, -14, -5, -1, 0, 1, 5, 6, 14, 15, 16, 25];
    for (rounding, wanted) in [
        (Rounding::HalfEven, [-2, -1, 0, 0, 0, 0, 0, 1, 1, 2, 2, 2]),
        (Rounding::HalfUp, [-2, -1, -1, 0, 0, 0, 1, 1, 1, 2, 2, 3]),
        (Rounding::HalfDown, [-1, -1, 0, 0, 0, 0, 0, 1, 1, 1, 2, 2]),
        (Rounding::Up, [-2, -2, -1, -1, 0, 1, 1, 1, 2, 2, 2, 3]),
        (Rounding::Down, [-1, -1, 0, 0, 0, 0, 0, 0, 1, 1, 1, 2]),
    ] {
        assert_eq!(tenths.map(|one| divide(one, 10, rounding)), wanted, "{rounding}");
    }
    assert_eq!(divide(i128::MAX, i128::MAX, Rounding::Up), 1);
    assert_eq!(divide(i128::MIN + 1, i128::MAX, Rounding::HalfUp), -1);
}

#[test]
fn what_does_not_fit_is_an_error() {
    let euro = currency("EUR");
    let most = Money { minor: i64::MAX, currency: euro };
    let least = Money { minor: i64::MIN, currency: euro };
    let one = Money { minor: 1, currency: euro };
    assert_eq!(most.plus(one).expect_err("too large").key, "error-money-large");
    assert_eq!(least.minus(one).expect_err("too small").key, "error-money-large");
    assert_eq!(most.plus(least).map(|sum| sum.minor), Ok(-1));
    assert_eq!(most.plus(Money::zero(currency("JPY"))).expect_err("two currencies").key, "error-money-currencies");
    assert!(most.percent(Decimal::new(101, 0), Rounding::Up).is_err());
    assert!(Money::times(Decimal::MAX, Decimal::MAX, euro, Rounding::Up).is_err());
    assert!(Money::times(Decimal::MAX, Decimal::ONE, euro, Rounding::Up).is_err());
    assert_eq!(least.amount(), "-92233720368547758.08");
}

#[test]
fn a_number_that_could_mean_two_things_is_refused_with_how_to_write_it() {
    for (text, key, told) in [
        ("1,50", "error-number-comma", "Write 1.50."),
        (",5", "error-number-comma", "Write 0.5."),
        ("1,234", "error-number-grouped", "1234.50"),
        ("1,234.50", "error-number-grouped", "1234.50"),
        ("1.234,50", "error-number-grouped", "1234.50"),
        ("1 234.50", "error-number-grouped", "1234.50"),
        ("1'234", "error-number-grouped", "1234.50"),
        ("1.234.567", "error-number-grouped", "1234.50"),
        ("", "error-number-empty", "Write one"),
        ("  ", "error-number-empty", "Write one"),
        ("$5", "error-number", "no sign of currency"),
        ("5 €", "error-number-grouped", "point before the decimals"),
        ("5.", "error-number", "at most one point"),
        (".5", "error-number", "at most one point"),
        ("+5", "error-number", "at most one point"),
        ("1e3", "error-number", "at most one point"),
        ("--1", "error-number", "at most one point"),
        ("-", "error-number", "at most one point"),
        ("٣", "error-number", "at most one point"),
        ("NaN", "error-number", "at most one point"),
        ("1.234", "error-money-decimals", "USD has 2 decimals"),
        ("1234567890123456789", "error-number-long", "18 digits"),
    ] {
        let error = Money::parse(text, currency("USD")).expect_err(text);
        assert_eq!(error.key, key, "{text}: {error}");
        assert!(error.to_string().contains(told), "{text}: {error}");
    }
    let yen = Money::parse("100.5", currency("JPY")).expect_err("yen have no decimals");
    assert_eq!(yen.key, "error-money-whole");
    assert_eq!(Money::parse(" 0012.5 ", currency("USD")).map(|one| one.minor), Ok(1_250));
    assert_eq!(Money::parse("-0.05", currency("USD")).map(|one| one.amount()), Ok("-0.05".to_owned()));
    assert_eq!(Money::parse("7", currency("KWD")).map(|one| one.to_string()), Ok("7.000 KWD".to_owned()));
}

proptest! {
    #[test]
    fn no_text_makes_a_number_panic(text in "\\PC{0,40}", decimals in 0_u8..5) {
        if let Ok(number) = decimal(&text, decimals) {
            prop_assert!(number.scale() <= u32::from(decimals));
            prop_assert_eq!(decimal(&number.to_string(), decimals), Ok(number));
        }
    }
}

/// Every active code with minor units, and no other: ISO 4217 list one, as written in tests/outside/iso4217.txt.
#[test]
fn currencies_are_those_of_iso_4217() {
    let mut listed = BTreeMap::new();
    for line in read("tests/outside/iso4217.txt").lines().filter(|line| !line.starts_with('#')) {
        let (units, codes) = line.split_once(' ').expect("units and codes");
        if let Ok(units) = units.parse::<u8>() {
            listed.extend(codes.split(' ').map(|code| (code.to_owned(), units)));
        }
    }
    assert_eq!(listed.len(), 165);
    let ours: BTreeMap<String, u8> = Currency::all().map(|one| (one.code().to_owned(), one.decimals())).collect();
    assert_eq!(ours, listed);
    assert_eq!(Currency::all().count(), 165, "each once");
    for code in ["XXX", "XAU", "usd", "US", "USDE", "", "DEM"] {
        assert!(Currency::from_code(code).is_err(), "{code}");
    }
}

/// CLDR (through Babel) gives the decimals in daily use; of these currencies the small change is out of use, so that they
/// have none there. It knows every code but one, which is younger than that data.
#[test]
fn currencies_are_those_of_cldr_but_for_those_whose_small_change_is_out_of_use() {
    const OUT_OF_USE: [&str; 13] =
        ["AFN", "ALL", "IQD", "IRR", "KPW", "LAK", "LBP", "MGA", "MMK", "RSD", "SOS", "SYP", "YER"];
    let daily = |one: Currency| match one.code() {
        "XAD" => -1,
        code if OUT_OF_USE.contains(&code) => 0,
        _ => i32::from(one.decimals()),
    };
    let case = |one: Currency| json!({"judge": "currency", "code": one.code(), "ours": daily(one)});
    agree(&Currency::all().map(case).collect::<Vec<_>>());
}

fn list(csv: &str) -> Result<PriceList, Vec<Error>> {
    PriceList::read(csv.as_bytes(), "own", "1", currency("USD"))
}

const HEADER: &str = "service_part,price,delivery_days\n";

/// Every service part of every body, gathered here from the resolved books.
fn sold() -> BTreeSet<String> {
    let mut out = BTreeSet::new();
    for book in model::catalogue::generic_description().resolve_all().expect("every body resolves") {
        for part in &book.parts {
            out.insert(part.base.clone());
            let sections = part.sections.iter().flat_map(|sections| &sections.service);
            out.extend(sections.map(|section| format!("{}/{}", part.base, section.id)));
            if part.has("hem") {
                out.insert(format!("{}/outer-skin", part.base));
            }
        }
    }
    out
}

#[test]
fn the_built_in_list_has_every_service_part_and_nothing_else() {
    let listed: BTreeSet<String> = PriceList::demo().items.keys().map(ToString::to_string).collect();
    assert_eq!(listed, sold());
    assert!(listed.len() > 140, "{}", listed.len());
    for (id, item) in &PriceList::demo().items {
        assert!(item.demo && item.price.minor > 0 && (1..=30).contains(&item.days), "{id}: {item:?}");
        if let Some((whole, _)) = id.as_str().split_once('/') {
            assert!(item.price.minor < PriceList::demo().items[whole].price.minor, "{id} is dearer than the whole");
        }
    }
    let sums = BTreeSet::from_iter(model::catalogue::generic_description().sold().into_keys());
    assert_eq!(sums, sold());
}

#[test]
fn a_list_is_read_in_every_form_that_spreadsheets_write() {
    let plain =
        format!("{HEADER}fender,350.50,3\nfender-left,340.00,4\nrocker/front-section,99,0\nhood/outer-skin,1.5,365\n");
    let read = list(&plain).expect("a good list");
    assert_eq!(read.own, 4);
    let quoted =
        "\"service_part\",\"price\",\"delivery_days\"\r\n\"fender\",\"350.50\",\"3\"\r\n \"fender-left\",340.00, 4\r\n";
    for (name, text) in [
        ("a byte order mark", format!("\u{feff}{plain}")),
        ("ends of lines of two characters", plain.replace('\n', "\r\n")),
        ("ends of lines of the other character", plain.replace('\n', "\r")),
        ("blank lines", plain.replace('\n', "\n\n  \n")),
        ("rows of nothing", format!("{plain},,\n\"\",,\n")),
        ("no last end of line", plain.trim_end().to_owned()),
        ("spaces round fields", plain.replace(',', " , ")),
        ("quotes", plain.replace("fender,350.50,3", "\"fender\",\"350.50\",\"3\"")),
    ] {
        assert_eq!(list(&text).as_ref(), Ok(&read), "{name}");
    }
    // A quote after a space is no quote of RFC 4180.
    assert_eq!(list(quoted).expect_err("a space before a quote")[0].place, "line 3, column 1 (service_part)");
    let price = |part: &str, body: Body| {
        let book = generic(body);
        let (id, item) = read.find(book.part(&part.into()).expect(part), None).expect("a price");
        (id.to_string(), item.price.amount(), item.days, item.demo)
    };
    let body = Body { cab: Cab::FourDoor, bed: Bed::Short };
    assert_eq!(price("fender-left", body), ("fender-left".into(), "340.00".into(), 4, false));
    assert_eq!(price("fender-right", body), ("fender".into(), "350.50".into(), 3, false));
    assert!(price("roof", body).3, "the roof comes from the built-in list");
}

/// Line, column (0: none), key and words of a fault.
type Told = (usize, usize, &'static str, &'static str);

#[test]
fn every_fault_of_a_list_is_told_with_its_line_and_column() {
    let head = |rows: &str| format!("{HEADER}{rows}");
    let long = "x".repeat(100_000);
    let column = ["", ", column 1 (service_part)", ", column 2 (price)", ", column 3 (delivery_days)"];
    let cases: Vec<(String, Vec<Told>)> = vec![
        (String::new(), vec![(0, 0, "error-csv-empty", "service_part,price,delivery_days")]),
        ("\u{feff}\r\n\n ".into(), vec![(0, 0, "error-csv-empty", "The file is empty")]),
        (HEADER.into(), vec![(0, 0, "error-csv-no-rows", "no rows")]),
        ("fender,350,3\n".into(), vec![(1, 0, "error-csv-header", "it is fender,350,3")]),
        ("part,price,days\nfender,1,1\n".into(), vec![(1, 0, "error-csv-header", "in this order")]),
        (HEADER.replace(',', ";"), vec![(1, 0, "error-csv-separator", "commas")]),
        (HEADER.replace(',', "\t"), vec![(1, 0, "error-csv-separator", "commas")]),
        (head("fender,350,3\nfendor,1,1\n"), vec![(3, 1, "error-csv-part-unknown", "\"fendor\"")]),
        (head("roof-left,1,1\n"), vec![(2, 1, "error-csv-part-unknown", "roof-left")]),
        (head("rocker/front,1,1\n"), vec![(2, 1, "error-csv-section-unknown", "rocker/front-section")]),
        (head("fender/front,1,1\n"), vec![(2, 1, "error-csv-section-none", "comes whole only")]),
        (head(",1,1\n"), vec![(2, 1, "error-csv-part-missing", "Give its id")]),
        (head("fender,1,1\nhood,2,2\nfender,3,3\n"), vec![(4, 1, "error-csv-twice", "on line 2")]),
        (head("fender,-1,1\n"), vec![(2, 2, "error-csv-negative", "below zero")]),
        (head("fender,1.005,1\n"), vec![(2, 2, "error-money-decimals", "USD has 2 decimals")]),
        (head("fender,\"1,50\",1\n"), vec![(2, 2, "error-number-comma", "Write 1.50")]),
        (head("fender,1,50,1\n"), vec![(2, 0, "error-csv-columns", "has 4 columns")]),
        (head("fender,1\n"), vec![(2, 0, "error-csv-columns", "has 2 columns")]),
        (head("fender\n"), vec![(2, 0, "error-csv-columns", "has 1 columns")]),
        (head("fender,,\n"), vec![(2, 2, "error-number-empty", "missing"), (2, 3, "error-csv-days", "0 to 365")]),
        (head("fender,$1,1\n"), vec![(2, 2, "error-number", "no sign of currency")]),
        (head("fender,10000000000.01,1\n"), vec![(2, 2, "error-csv-price-large", "10000000000.00 USD")]),
        (head("fender,1,366\n"), vec![(2, 3, "error-csv-days", "0 to 365")]),
        (head("fender,1,+3\nhood,1,2.5\n"), vec![(2, 3, "error-csv-days", ""), (3, 3, "error-csv-days", "")]),
        (
            head("fender,1,-1\n\n\r\nnone,x,soon\n"),
            vec![
                (2, 3, "error-csv-days", ""),
                (5, 1, "error-csv-part-unknown", ""),
                (5, 2, "error-number", ""),
                (5, 3, "error-csv-days", ""),
            ],
        ),
        (head("\"fender,1,1\nhood,1,1\n"), vec![(2, 1, "error-csv-quote", "not close on the same line")]),
        (head("fender,1,\"1\n"), vec![(2, 3, "error-csv-quote", "not close")]),
        (head("fender,1,\"1"), vec![(2, 3, "error-csv-quote", "not close")]),
        (head("fender,1,\""), vec![(2, 3, "error-csv-quote", "not close")]),
        (head("\"fen\nder\",1,1\nnone,1,1\n"), vec![(2, 1, "error-csv-quote", "not read")]),
        (
            head(&format!("{long},1,1\nfender,1,{long}\n")),
            vec![(2, 1, "error-csv-long", "200 characters"), (3, 3, "error-csv-long", "200 characters")],
        ),
        (head(&format!("\"{long}\nfender,1,1\n")), vec![(2, 1, "error-csv-quote", "not close")]),
        (head(&",".repeat(50_000)), vec![(0, 0, "error-csv-no-rows", "")]),
        (head("fender,1,1\nhood,1\u{fffd},1\n"), vec![(3, 0, "error-csv-text", "UTF-8")]),
    ];
    for (text, wanted) in cases {
        let errors = list(&text).expect_err("a broken list");
        let start: String = text.chars().take(80).collect();
        assert_eq!(errors.len(), wanted.len(), "{start:?}: {errors:#?}");
        for (error, (line, at, key, told)) in errors.iter().zip(wanted) {
            assert_eq!(error.key, key, "{start:?}: {error}");
            let place = if line == 0 { String::new() } else { format!("line {line}{}", column[at]) };
            assert_eq!(error.place, place, "{start:?}: {error}");
            assert!(error.to_string().contains(told), "{start:?}: {error}");
            assert!(!error.to_string().contains('{') && error.to_string().len() < 600, "{error}");
        }
    }
    for (bytes, line) in [
        (&b"service_part,price,delivery_days\nfender,1,1\nhood,\xff,1\n"[..], "line 3"),
        (b"\xff\xfes\0e\0r\0v\0", "line 1"),
        (b"PK\x03\x04\0\0\0", "line 1"),
    ] {
        let errors = PriceList::read(bytes, "own", "1", currency("USD")).expect_err("no text");
        assert_eq!((errors.len(), errors[0].key, &*errors[0].place), (1, "error-csv-text", line));
    }
    let large = format!("{HEADER}{}", "fender,1,1\n".repeat(200_000));
    assert_eq!(list(&large).expect_err("too large")[0].key, "error-csv-large");
    let many = format!("{HEADER}{}", "nothing,1,1\n".repeat(200));
    let errors = list(&many).expect_err("many faults");
    assert_eq!((errors.len(), errors[FAULTS_MAX].key), (FAULTS_MAX + 1, "error-csv-more"));
    assert_eq!(errors[FAULTS_MAX - 1].place, format!("line {}, column 1 (service_part)", FAULTS_MAX + 1));
}

#[test]
fn the_decimals_of_a_price_are_those_of_its_currency() {
    let read = |price: &str, code: &str| {
        PriceList::read(format!("{HEADER}fender,{price},1\n").as_bytes(), "own", "1", currency(code))
    };
    for (price, code, key) in [
        ("100", "JPY", None),
        ("100.0", "JPY", Some("error-money-whole")),
        ("1.125", "KWD", None),
        ("1.1255", "KWD", Some("error-money-decimals")),
        ("1.125", "EUR", Some("error-money-decimals")),
    ] {
        assert_eq!(read(price, code).err().map(|errors| errors[0].key), key, "{price} {code}");
    }
    // What the shop's list lacks has the same number as in the built-in list, rounded to a half of the even neighbour.
    let yen = read("100", "JPY").expect("a good list");
    assert_eq!(yen.items.len(), PriceList::demo().items.len());
    let dear = &yen.items["grille"];
    assert_eq!((dear.price.to_string(), dear.demo), ("328 JPY".to_owned(), true));
    assert_eq!(PriceList::demo().items["grille"].price.to_string(), "328.50 USD");
}

#[test]
fn a_list_that_is_written_is_read_back_and_python_reads_the_same() {
    let own = list(&format!("{HEADER}hood,350.50,3\nfender-left,340.00,4\nrocker/front-section,99,0\n")).expect("good");
    for (with_demo, rows) in [(false, 3), (true, PriceList::demo().items.len() + 1)] {
        let csv = own.to_csv(with_demo);
        let again = list(&csv).expect("its own list");
        assert_eq!(again.own, rows);
        for (id, item) in &again.items {
            assert_eq!((item.price, item.days), (own.items[id].price, own.items[id].days), "{id}");
        }
        let mut wanted = vec![json!(["service_part", "price", "delivery_days"])];
        let those = own.items.iter().filter(|(_, item)| with_demo || !item.demo);
        wanted.extend(those.map(|(id, item)| json!([id.as_str(), item.price.amount(), item.days.to_string()])));
        agree(&[json!({"judge": "rows", "csv": csv, "ours": wanted})]);
    }
}

proptest! {
    #[test]
    fn no_bytes_make_a_list_panic(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        let _ = PriceList::read(&bytes, "own", "1", currency("USD"));
    }

    /// Text that is nearly a list: pieces of one in any order.
    #[test]
    fn no_text_makes_a_list_panic_and_what_is_read_is_written_back(
        rows in proptest::collection::vec("(fender|hood|rocker/rear-half|\"fender\"|x|\")?(,|;|\"|\n|\r)?(1|1.5|1,5|-1|\"2\"|)(,|\r\n|)(3|400|x|)(\n|\r|\r\n|)", 0..20)
    ) {
        let text = format!("{HEADER}{}", rows.concat());
        match list(&text) {
            Ok(read) => prop_assert_eq!(list(&read.to_csv(false)), Ok(read)),
            Err(errors) => {
                prop_assert!(!errors.is_empty() && errors.len() <= FAULTS_MAX + 1);
                let lines = text.matches('\n').count() + text.matches('\r').count() + 1;
                for error in errors {
                    let digits = error.place.trim_start_matches("line ").split(',').next().unwrap_or_default();
                    prop_assert!(digits.is_empty() || digits.parse::<usize>().is_ok_and(|line| (1..=lines).contains(&line)));
                }
            }
        }
    }
}

/// A shop with rates as given: currency, rounding, percent of tax on everything.
fn shop(code: &str, rounding: Rounding, tax: &[&str; 5]) -> Shop {
    let mut rates = (**Rates::demo()).clone();
    rates.currency = currency(code);
    rates.rounding = rounding;
    for (at, percent) in tax.iter().enumerate() {
        rates.tax[at] = decimal(percent, 3).expect("a percentage");
    }
    Shop { prices: PriceList::demo_in(rates.currency), rates: Arc::new(rates), ..Shop::default() }
}

fn jobs() -> Vec<model::job::Job> {
    let mut out = Vec::new();
    let mut files: Vec<_> = std::fs::read_dir(project().join("public/demo")).expect("demo jobs").collect();
    files.sort_by_key(|file| file.as_ref().expect("readable").file_name());
    for file in files {
        let text = std::fs::read_to_string(file.expect("readable").path()).expect("a file");
        let session = model::job::wire::read_file(&text).expect("a job").open("judge".into()).expect("a session");
        out.push((**session.job()).clone());
    }
    out.extend((1..=24).map(|seed| model::generate::job(seed, 1 + seed as usize).expect("a made-up job")));
    out
}

/// What stands for each part of a job, and its work.
fn work(book: &Book, job: &model::job::Job, shop: &Shop) -> (Vec<Pick>, Vec<model::operations::Operation>) {
    let made = plan(book, model::rules::general(), job, shop);
    (made.picks, made.operations)
}

/// Python multiplies, rounds, sums, taxes and counts again what an estimate shows, and the program's exact number.
#[test]
fn every_total_is_the_exact_sum_of_what_is_shown() {
    let shops = [
        Shop::default(),
        shop("EUR", Rounding::HalfUp, &["19", "19", "19", "19", "19"]),
        shop("JPY", Rounding::HalfEven, &["10", "8", "10", "0", "10"]),
        shop("KWD", Rounding::HalfDown, &["7.125", "0.5", "33.333", "0.001", "100"]),
        shop("CLF", Rounding::Up, &["7.125", "0.5", "33.333", "0.001", "99.999"]),
        shop("USD", Rounding::Down, &["7.125", "0.5", "33.333", "0.001", "99.999"]),
    ];
    let mut cases = Vec::new();
    let mut lines = 0;
    for job in jobs() {
        let book = generic(Body { cab: job.vehicle.cab, bed: job.vehicle.bed });
        let (picks, operations) = work(book, &job, &Shop::default());
        for shop in &shops {
            let made = estimate(&Tariff::new(shop), book, &picks, &operations);
            lines += made.lines.len();
            let program: i128 = made.lines.iter().map(|line| i128::from(line_cost(line, &shop.rates))).sum();
            let mut case = to_json(book, &shop.rates, &made);
            case["judge"] = "estimate".into();
            case["program"] = program.to_string().into();
            case["hands"] = shop.times.pace.hands.into();
            case["day_seconds"] = day_seconds(shop).into();
            case["ours"] = json!([]);
            cases.push(case);
        }
    }
    assert!(lines > 5_000, "{lines}");
    agree(&cases);
}

/// Lines of an operation and of a pick do not depend on what else is planned.
#[test]
fn an_estimate_is_the_sum_of_its_operations_and_picks() {
    let shop = Shop::default();
    for job in jobs() {
        let book = generic(Body { cab: job.vehicle.cab, bed: job.vehicle.bed });
        let (picks, operations) = work(book, &job, &shop);
        let made = estimate(&Tariff::new(&shop), book, &picks, &operations);
        let mut lines: Vec<_> = picks.iter().flat_map(|pick| model::estimate::part_lines(&shop, book, pick)).collect();
        lines.extend(operations.iter().flat_map(|one| Tariff::new(&shop).lines(one)));
        let lead = picks.iter().map(|pick| model::estimate::lead_days(&shop, book, pick)).max().unwrap_or(0);
        assert_eq!(made.lead_days, lead);
        lines.extend(storage_line(&shop, lead));
        assert_eq!(made.lines, lines);
        for line in &lines {
            let (counted, what) = (line.counted(), line.words(book));
            let spoken = |text: &str| !text.is_empty() && !text.contains(['{', '$']) && !text.contains("-many");
            assert!(spoken(&counted) && spoken(&what) && !what.starts_with("supply-"), "{counted}: {what}");
            assert_eq!(counted.ends_with('s'), line.quantity != Decimal::ONE, "{counted}");
        }
        let seconds: u64 = operations.iter().map(|one| own_hours(&Tariff::new(&shop), one).seconds).sum();
        assert_eq!(made.hours.planned_s, seconds);
        for (kind, longest) in &made.waits {
            let waits = operations.iter().filter_map(|one| own_hours(&Tariff::new(&shop), one).wait);
            assert_eq!(waits.filter(|(known, _)| known == kind).map(|(_, seconds)| seconds).max(), Some(*longest));
        }
    }
}

#[test]
fn what_is_done_outside_is_charged_once_and_takes_no_hours() {
    let shop = Shop::default();
    let outside: Vec<_> = jobs()
        .iter()
        .flat_map(|job| work(generic(Body { cab: job.vehicle.cab, bed: job.vehicle.bed }), job, &shop).1)
        .filter(|one| one.work.word() == "wheel-alignment")
        .collect();
    assert!(!outside.is_empty());
    for one in &outside {
        let lines = Tariff::new(&shop).lines(one);
        assert_eq!(lines.len(), 1, "{lines:?}");
        assert_eq!((lines[0].category, lines[0].amount.amount()), (Category::Sublet, "129.00".to_owned()));
        assert_eq!(own_hours(&Tariff::new(&shop), one).seconds, 0);
        let mut rates = (**Rates::demo()).clone();
        rates.sublet.clear();
        let inside = Shop { rates: Arc::new(rates), ..shop.clone() };
        assert_eq!(Tariff::new(&inside).lines(one)[0].category, Category::Labour);
        assert!(own_hours(&Tariff::new(&inside), one).seconds > 0);
    }
}

#[test]
fn a_part_that_the_shops_list_lacks_is_priced_by_the_built_in_list_and_says_so() {
    let body = Body { cab: Cab::FourDoor, bed: Bed::Short };
    let book = generic(body);
    let own = list(&format!("{HEADER}hood,350.50,3\n")).expect("a good list");
    let shop = Shop { prices: Arc::new(own), ..Shop::default() };
    let line = |part: &str, shop: &Shop| {
        let pick = Pick { part: part.into(), action: model::terms::Action::Replace, route: None, section: None };
        let mut lines = model::estimate::part_lines(shop, book, &pick);
        assert_eq!(lines.len(), 1);
        let line = lines.remove(0);
        (line.words(book), line.amount.amount())
    };
    assert_eq!(line("hood", &shop), ("hood".into(), "350.50".into()));
    let fender = PriceList::demo().items["fender"].price.amount();
    assert_eq!(
        line("fender-left", &shop),
        ("left fender (price of the demo list, not of the shop)".into(), fender.clone())
    );
    assert_eq!(line("fender-left", &Shop::default()), ("left fender".into(), fender), "all of it is the demo list");
    let mut empty = (**PriceList::demo()).clone();
    empty.items.clear();
    let none = Shop { prices: Arc::new(empty), ..Shop::default() };
    assert_eq!(line("roof", &none), ("roof (no price known, counted as nothing)".into(), "0.00".into()));
}

/// Of a closure whose skin is exchanged only the skin is ordered; of a section the sections, or the whole part where no
/// section covers it.
#[test]
fn only_what_is_fitted_is_ordered() {
    let shop = Shop::default();
    let mut seen = BTreeSet::new();
    for job in jobs() {
        let book = generic(Body { cab: job.vehicle.cab, bed: job.vehicle.bed });
        let made = plan(book, model::rules::general(), &job, &shop);
        for candidate in made.candidates.iter().flat_map(|part| &part.list) {
            let pick = &candidate.pick;
            let lines = model::estimate::part_lines(&shop, book, pick);
            let ids: Vec<String> =
                lines.iter().filter_map(|line| line.service.as_ref()).map(ToString::to_string).collect();
            let base = &book.part(&pick.part).expect("a part").base;
            let wanted: Vec<String> = match (pick.action.word(), pick.route.map(model::terms::Route::word)) {
                ("replace", Some("hemmed")) => vec![format!("{base}/outer-skin")],
                ("replace", _) => vec![base.clone()],
                ("section", _) => match &pick.section.as_ref().expect("a place to cut").service {
                    none if none.is_empty() => vec![base.clone()],
                    some => some.iter().map(|section| format!("{base}/{section}")).collect(),
                },
                _ => Vec::new(),
            };
            assert_eq!(ids, wanted, "{pick:?}");
            let hem = pick.route == Some(model::terms::Route::Hemmed);
            seen.insert((pick.action, hem));
        }
    }
    assert!(seen.len() >= 6, "every action and the exchange of a skin: {seen:?}");
}

/// Labour and materials grow with the work: more of anything never costs less.
#[test]
fn more_work_never_costs_less() {
    let shop = Shop::default();
    let cost = |one: &model::operations::Operation| -> i64 {
        Tariff::new(&shop).lines(one).iter().map(|line| line_cost(line, &shop.rates)).sum()
    };
    let mut numbers = Numbers::new(7);
    for job in jobs() {
        let book = generic(Body { cab: job.vehicle.cab, bed: job.vehicle.bed });
        for one in work(book, &job, &shop).1 {
            let mut more = one.clone();
            more.amount.area_mm2 += numbers.within(0.0, 1e5);
            more.amount.cut_mm += numbers.within(0.0, 300.0);
            more.amount.joint_mm += numbers.within(0.0, 300.0);
            more.amount.fasteners += u32::try_from(numbers.below(9)).expect("small");
            more.amount.units.clips += u32::try_from(numbers.below(9)).expect("small");
            assert!(cost(&more) >= cost(&one), "{one:?}");
        }
    }
}

/// The greatest rates that are read, on the largest made-up jobs: nothing wraps, and no line reaches its bound in silence.
#[test]
fn the_greatest_rates_stay_exact() {
    let mut text: Value = serde_json::from_str(&read("model/data/rates/demo.json")).expect("JSON");
    let most = json!("100000000");
    for price in text["labour"].as_object_mut().expect("labour").values_mut() {
        *price = json!("1000000");
    }
    text["storage_per_day"] = most.clone();
    text["sublet"]["wheel-alignment"] = most.clone();
    let rates = Rates::read(&text.to_string()).expect("within the limits");
    let shop = Shop { rates: Arc::new(rates), ..Shop::default() };
    let job = model::generate::job(3, 60).expect("a made-up job");
    let book = generic(Body { cab: job.vehicle.cab, bed: job.vehicle.bed });
    let (picks, operations) = work(book, &job, &Shop::default());
    let made = estimate(&Tariff::new(&shop), book, &picks, &operations);
    let sum: i128 = made.lines.iter().map(|line| i128::from(line.amount.minor)).sum();
    assert_eq!(i128::from(made.net.minor), sum);
    assert!(made.lines.iter().all(|line| line.amount.minor < LINE_MAX));
    let program = made.lines.iter().try_fold(0_i64, |sum, line| sum.checked_add(line_cost(line, &shop.rates)));
    assert!(program.is_some_and(|sum| sum > MONEY_UNITS), "{program:?}");
}

#[test]
fn how_near_the_limit_a_plan_is_is_said_in_words_without_a_verdict() {
    let dollars = |minor| Money { minor, currency: currency("USD") };
    let seventy = Decimal::new(70, 0);
    for (total, value, threshold, key, told) in [
        (
            500_000,
            Some(dollars(1_000_000)),
            seventy,
            "worth-below",
            "comes to 50\u{a0}% of the vehicle's value of 10000.00 USD. The shop's own limit is 70\u{a0}%; 2000.00 USD remain",
        ),
        (599_999, Some(dollars(1_000_000)), seventy, "worth-below", "1000.01 USD remain"),
        (600_000, Some(dollars(1_000_000)), seventy, "worth-near", "near the shop's own limit"),
        (699_999, Some(dollars(1_000_000)), seventy, "worth-near", "0.01 USD remain"),
        (700_000, Some(dollars(1_000_000)), seventy, "worth-above", "it is 0.00 USD beyond"),
        (1_000_000, Some(dollars(1_000_000)), seventy, "worth-above", "100\u{a0}%"),
        (
            1_340_000,
            Some(dollars(1_000_000)),
            seventy,
            "worth-above-value",
            "costs more than the vehicle's value of 10000.00 USD: 134\u{a0}% of it",
        ),
        (
            1_100_000,
            Some(dollars(1_000_000)),
            Decimal::new(1205, 1),
            "worth-above-value-below",
            "limit is 120.5\u{a0}%; 1050.00 USD remain",
        ),
        (0, Some(dollars(1)), seventy, "worth-below", "0\u{a0}%"),
        (1, Some(dollars(0)), seventy, "worth-zero", "Correct the value"),
        (1, None, seventy, "worth-unknown", "not recorded"),
        (
            1,
            Some(Money { minor: 5, currency: currency("EUR") }),
            seventy,
            "worth-currency",
            "in the currency of the plan",
        ),
        (i64::MAX, Some(dollars(1)), Decimal::new(199_999, 3), "worth-above-value", "%"),
        (i64::MAX, Some(dollars(i64::MAX)), Decimal::new(199_999, 3), "worth-near-not", ""),
    ] {
        let said = worth(dollars(total), value, threshold);
        if key == "worth-near-not" {
            assert_eq!(said.percent, Some(Decimal::new(1_000, 1)), "{said:?}");
            continue;
        }
        assert_eq!(said.key, key, "{said:?}");
        let words = said.words();
        assert!(words.contains(told), "{words}");
        assert!(!words.contains('{') && !words.contains('$'), "{words}");
    }
}

/// The description of the list in the W3C's vocabulary (CSV on the Web, 2015) says what the reader takes: columns, limits
/// and the form of an id, tried on every row of the built-in list.
#[test]
fn the_published_description_of_the_list_fits_the_reader() {
    let text: Value = serde_json::from_str(&read("public/schema/price-list.csv-metadata.json")).expect("JSON");
    let columns = text["tableSchema"]["columns"].as_array().expect("columns");
    let names: Vec<&str> = columns.iter().filter_map(|column| column["titles"].as_str()).collect();
    assert_eq!(names, model::prices::HEADER);
    assert_eq!(columns[2]["datatype"]["maximum"], model::prices::DAYS_MAX.to_string());
    assert!(columns[1]["dc:description"].as_str().is_some_and(|said| said.contains("10^12")));
    assert_eq!(model::prices::PRICE_MAX, 10_i64.pow(12));
    let form =
        |id: &str| id.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit() || b"-/".contains(&byte));
    for id in PriceList::demo().items.keys() {
        assert!(form(id.as_str()) && id.as_str().matches('/').count() <= 1, "{id}");
    }
}
