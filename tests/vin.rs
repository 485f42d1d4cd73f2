//! Vehicle identification numbers against 49 CFR 565.15: transliteration (Table III), weights (Table IV), check digit
//! (Table V) and model year (Table VII), with published examples. Several numbers carry real manufacturer identifiers:
//! they are tests only and never appear in the demo.

use model::vin::Vin;

/// Number, whether the check digit fits, source.
const EXAMPLES: &[(&str, bool, &str)] = &[
    (
        "1G4AH59H45G118341",
        true,
        "sample calculation printed in 49 CFR 565, Table V of the older text (sum 411, remainder 4)",
    ),
    ("1J9RP1A36A1644345", true, "sample in the agency's guidance for new manufacturers (sum 314, 28 6/11)"),
    ("JH2RC3605MM101581", true, "sample in Canadian guidance (sum 280, remainder 5)"),
    ("1M8GDM9AXKP042788", true, "public library test: remainder 10 gives X"),
    ("11111111111111111", true, "artificial, well known: the weights sum to 89, 89 mod 11 = 1"),
    ("22222222222222222", true, "computed: any run of one digit fits"),
    ("1XPTD40X6JD456115", true, "public library readme"),
    ("1XPTD40X0JD456115", false, "the same with the check digit 0"),
    ("1HGCM82633A004352", true, "public library test"),
    ("1HGCM82633A004353", false, "the same with the last digit changed"),
    ("1VWBH7A31DC104945", false, "public library test: check digit corrupted"),
    ("12345678901234567", false, "artificial (sum 304, remainder 7)"),
    ("1M8GDM9AXSP042788", true, "computed: K typed as S cannot be seen, both count 2; a right digit proves nothing"),
    ("5GZCZ43D13S812715", true, "from memory, sum 408 computed"),
    ("SGZCZ43D13S812715", false, "from memory, S typed for 5; sum 384 computed"),
];

#[test]
fn check_digits_of_published_examples() {
    for (vin, fits, source) in EXAMPLES {
        match Vin::read(vin) {
            Ok(_) => assert!(fits, "{vin} accepted; {source}"),
            Err(error) => {
                assert!(!fits, "{vin}: {error}; {source}");
                assert_eq!(error.key, "vin-check", "{vin}");
            }
        }
    }
}

#[test]
fn forms_that_never_occur() {
    for (vin, key) in [
        ("1M8GDM9AIKP042788", "vin-character"),
        ("1HGBH41JXMN10918", "vin-length"),
        ("1HGBH41JXMN1091867", "vin-length"),
        ("", "vin-length"),
        ("1M8GDM9AXKP04278ß", "vin-character"),
    ] {
        assert_eq!(Vin::read(vin).expect_err(vin).key, key, "{vin}");
    }
    assert_eq!(Vin::read(" 1m8gdm9axkp042788 ").expect("small letters").as_str(), "1M8GDM9AXKP042788");
}

#[test]
fn model_years() {
    // 49 CFR 565.15 (d) Table VII, with the cycle by position 7 (565.15 (b)): a letter means 2010 to 2039. The codes
    // come from two public transcriptions that agree.
    for (code, letter_cycle) in [
        ('A', 2010),
        ('D', 2013),
        ('K', 2019),
        ('L', 2020),
        ('S', 2025),
        ('T', 2026),
        ('Y', 2030),
        ('1', 2031),
        ('9', 2039),
    ] {
        for (seventh, year) in [('A', letter_cycle), ('5', letter_cycle - 30)] {
            let text = with_check_digit(&format!("1AAAAA{seventh}A0{code}A000001"));
            let vin = Vin::read(&text).expect("the digit was computed");
            assert_eq!(vin.model_year(), Some(year), "{text}");
        }
    }
    // 0, U and Z are never year codes.
    for code in ['0', 'U', 'Z'] {
        let text = with_check_digit(&format!("1AAAAAAA0{code}A000001"));
        assert_eq!(Vin::read(&text).expect("well formed").model_year(), None, "{text}");
    }
}

/// Tries each check digit: exactly one may fit.
fn with_check_digit(template: &str) -> String {
    let fitting: Vec<String> = "0123456789X"
        .chars()
        .map(|digit| format!("{}{digit}{}", &template[..8], &template[9..]))
        .filter(|text| Vin::read(text).is_ok())
        .collect();
    assert_eq!(fitting.len(), 1, "{template}: one digit fits, no more");
    fitting[0].clone()
}
