//! Exact decimal numbers as people write them.
//!
//! Reads one form only: digits with at most one point. Never guesses what a comma or a space meant.

use crate::error::{Error, Result};
use rust_decimal::Decimal;

/// Most digits of a number.
const DIGITS: usize = 18;

/// Reads a number with at most `decimals` digits after the point. Spaces around it do not count.
///
/// # Errors
/// Anything else: a comma, a sign of currency, more decimals, more than 18 digits; the text says how to write it. No
/// place is named.
pub fn decimal(text: &str, decimals: u8) -> Result<Decimal> {
    let text = text.trim();
    let (negative, digits) = text.strip_prefix('-').map_or((false, text), |rest| (true, rest));
    let (whole, fraction) = digits.split_once('.').unwrap_or((digits, "0"));
    let plain = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    if text.is_empty() {
        return Err(Error::new("error-number-empty", ""));
    }
    if !plain(whole) || !plain(fraction) {
        return Err(refusal(text));
    }
    let fraction = if digits.contains('.') { fraction } else { "" };
    if fraction.len() > usize::from(decimals) {
        let key = if decimals == 0 { "error-number-whole" } else { "error-number-decimals" };
        return Err(Error::new(key, "").with("most", decimals).with("value", short(text)));
    }
    if whole.trim_start_matches('0').len() + fraction.len() > DIGITS {
        return Err(Error::new("error-number-long", "").with("most", DIGITS));
    }
    let all = whole.bytes().chain(fraction.bytes());
    let number = all.fold(0_i64, |number, digit| number * 10 + i64::from(digit - b'0'));
    let places = u32::try_from(fraction.len()).unwrap_or(0);
    Ok(Decimal::new(if negative { -number } else { number }, places))
}

/// Why a text is no number, and how to write it.
fn refusal(text: &str) -> Error {
    let value = short(text);
    if let Some((whole, fraction)) = text.split_once(',')
        && !text.contains('.')
        && (1..=2).contains(&fraction.len())
        && [whole, fraction].iter().all(|part| part.bytes().all(|byte| byte.is_ascii_digit()))
    {
        let whole = if whole.is_empty() { "0" } else { whole };
        return Error::new("error-number-comma", "").with("value", value).with("better", format!("{whole}.{fraction}"));
    }
    let grouped = text.contains([',', '\'', '’', ' ', '\u{a0}', '\u{202f}', '_']) || text.matches('.').count() > 1;
    Error::new(if grouped { "error-number-grouped" } else { "error-number" }, "").with("value", value)
}

/// The start of a text that may be long, for messages.
pub(super) fn short(text: &str) -> String {
    const MOST: usize = 40;
    let mut out: String = text.chars().take(MOST).map(|c| if c.is_control() { ' ' } else { c }).collect();
    if text.chars().nth(MOST).is_some() {
        out.push('…');
    }
    out
}

/// An amount of minor units as digits, with the point where the currency has decimals: `1234.50`, `-0.05`.
pub(super) fn digits(minor: i64, decimals: u8) -> String {
    let sign = if minor < 0 { "-" } else { "" };
    let (size, places) = (minor.unsigned_abs(), usize::from(decimals));
    if places == 0 {
        return format!("{sign}{size}");
    }
    let unit = 10_u64.pow(u32::from(decimals));
    format!("{sign}{}.{:0places$}", size / unit, size % unit)
}
