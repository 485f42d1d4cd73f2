//! Sums in words: money, hours and days, and how two of them differ.
//!
//! Whole numbers in, text out. What is rounded for reading says so by its unit; an operation's hours are never rounded,
//! so that the terms shown add up to the sum shown.

use crate::words::{t, tf};
use model::job::Revision;

/// Narrow space that does not break: between the thousands of a number, as in ISO 80000-1.
const THIN: char = '\u{202f}';

/// The currency of a plan and how its minor units are written.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Coin {
    code: String,
    digits: u8,
}

impl Coin {
    /// The currency of a frozen plan.
    #[must_use]
    pub fn of(plan: &Revision) -> Self {
        Self { code: plan.currency.clone(), digits: plan.digits }
    }
    /// An amount with its currency.
    #[must_use]
    pub fn say(&self, minor: i64) -> String {
        let sign = if minor < 0 { "\u{2212}" } else { "" };
        tf("plan-money", &[("amount", &format!("{sign}{}", self.bare(minor))), ("currency", &self.code)])
    }
    /// How much more or less.
    #[must_use]
    pub fn differ(&self, minor: i64) -> String {
        let amount = tf("plan-money", &[("amount", &self.bare(minor)), ("currency", &self.code)]);
        more_or_less(minor, &amount)
    }
    /// The amount without sign and currency.
    fn bare(&self, minor: i64) -> String {
        let digits = usize::from(self.digits);
        let text = format!("{:0>width$}", minor.unsigned_abs(), width = digits + 1);
        let (whole, part) = text.split_at(text.len() - digits);
        let whole = grouped(whole);
        if part.is_empty() { whole } else { format!("{whole}.{part}") }
    }
}

/// Digits in threes.
fn grouped(digits: &str) -> String {
    let mut out = String::with_capacity(digits.len() + 4);
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            out.push(THIN);
        }
        out.push(digit);
    }
    out
}

/// "12 more", "12 less" or "the same", for a difference and its size in words.
fn more_or_less(sign: i64, size: &str) -> String {
    match sign {
        0 => t("plan-same"),
        1.. => tf("plan-more", &[("size", size)]),
        _ => tf("plan-less", &[("size", size)]),
    }
}

/// A duration to the second: `1 h 4 min 30 s`; what is nothing is left out.
#[must_use]
pub fn exact(seconds: u64) -> String {
    let (hours, minutes, rest) = (seconds / 3_600, seconds / 60 % 60, seconds % 60);
    let mut parts = Vec::new();
    for (number, key) in [(hours, "plan-hours"), (minutes, "plan-minutes"), (rest, "plan-seconds")] {
        if number > 0 || (key == "plan-minutes" && seconds == 0) {
            parts.push(tf(key, &[("count", &number.to_string())]));
        }
    }
    parts.join(" ")
}

/// A duration in hours and minutes, rounded to the minute.
#[must_use]
pub fn hours(seconds: u64) -> String {
    exact((seconds + 30) / 60 * 60)
}

/// How many hours more or less, rounded to the minute.
#[must_use]
pub fn hours_differ(seconds: i64) -> String {
    let minutes = (seconds.unsigned_abs() + 30) / 60;
    let sign = if minutes == 0 { 0 } else { seconds.signum() };
    more_or_less(sign, &exact(minutes * 60))
}

/// Days to a tenth, rounded up, so that nothing is promised early.
#[must_use]
pub fn days([numerator, denominator]: [u64; 2]) -> String {
    let tenths = (numerator * 10).div_ceil(denominator.max(1));
    days_of(tenths)
}

/// How many days more or less of two fractions with one denominator, to the nearest tenth.
#[must_use]
pub fn days_differ(numerator: i64, denominator: u64) -> String {
    let denominator = denominator.max(1);
    let tenths = (numerator.unsigned_abs() * 10 + denominator / 2) / denominator;
    more_or_less(if tenths == 0 { 0 } else { numerator.signum() }, &days_of(tenths))
}

fn days_of(tenths: u64) -> String {
    let text = if tenths.is_multiple_of(10) {
        grouped(&(tenths / 10).to_string())
    } else {
        format!("{}.{}", tenths / 10, tenths % 10)
    };
    tf(if tenths == 10 { "plan-days-one" } else { "plan-days" }, &[("count", &text)])
}

#[cfg(test)]
mod tests {
    use super::*;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    fn euro() -> Coin {
        Coin { code: "EUR".into(), digits: 2 }
    }

    #[test]
    fn money_is_whole_minor_units_in_threes() {
        assert_eq!(euro().say(1_234_567), "12\u{202f}345.67 EUR");
        assert_eq!(euro().say(-5), "\u{2212}0.05 EUR");
        assert_eq!(Coin { code: "JPY".into(), digits: 0 }.say(1_000), "1\u{202f}000 JPY");
        assert_eq!(euro().differ(-250), "2.50 EUR less");
        assert_eq!(euro().differ(0), "the same");
    }

    #[test]
    fn hours_to_the_second_and_to_the_minute() {
        assert_eq!(exact(3_870), "1 h 4 min 30 s");
        assert_eq!(exact(0), "0 min");
        assert_eq!(hours(3_870), "1 h 5 min");
        assert_eq!(hours_differ(-29), "the same");
        assert_eq!(hours_differ(-7_200), "2 h less");
    }

    #[test]
    fn days_are_not_promised_early() {
        assert_eq!(days([61, 20]), "3.1 days");
        assert_eq!(days([20, 20]), "1 day");
        assert_eq!(days_differ(10, 20), "0.5 days more");
    }
}
