//! When a change was made: wall-clock time that never runs backwards within what a device has seen.
//!
//! A hybrid logical clock (Kulkarni and others, "Logical Physical Clocks", 2014): the wall time in milliseconds, and a
//! counter where the wall stands still or is behind. Never reads a clock; the time comes in.

use crate::error::{Error, Result};
use serde::{Deserialize, Serialize};

/// Last millisecond of the year 9999, the greatest time that the written form can hold.
const LAST_MS: u64 = 253_402_300_799_999;
/// Greatest counter of the written form.
const LAST_COUNT: u16 = 9_999;
const DAY_MS: u64 = 86_400_000;

/// A time and a counter. Written as `2026-11-25T10:28:13.123Z/0001`; text order is time order.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Stamp {
    /// Milliseconds since the start of 1970, UTC.
    ms: u64,
    /// Tells apart stamps of one millisecond.
    count: u16,
}

impl Stamp {
    /// The stamp of a new change: later than everything in `seen`, and not before the wall time `now_ms`.
    #[must_use]
    pub fn after(seen: Self, now_ms: u64) -> Self {
        let now = now_ms.min(LAST_MS);
        if now > seen.ms {
            Self { ms: now, count: 0 }
        } else if seen.count < LAST_COUNT {
            Self { ms: seen.ms, count: seen.count + 1 }
        } else {
            // Only at the end of the year 9999 does this stand still; then the change's own id decides.
            Self { ms: (seen.ms + 1).min(LAST_MS), count: 0 }
        }
    }

    /// Whether this lies more than a day after the wall time: a device with a wrong clock made it.
    pub fn is_far_ahead(self, now_ms: u64) -> bool {
        self.ms > now_ms.saturating_add(DAY_MS)
    }

    /// Wall time, milliseconds since the start of 1970, UTC.
    pub fn ms(self) -> u64 {
        self.ms
    }

    /// The day, `YYYY-MM-DD`, UTC.
    pub fn day(self) -> String {
        let (year, month, day) = civil(self.ms / DAY_MS);
        format!("{year:04}-{month:02}-{day:02}")
    }

    /// Reads the written form.
    ///
    /// # Errors
    /// Where the text is not exactly the form that [`Display`](std::fmt::Display) writes.
    pub fn parse(text: &str) -> Result<Self> {
        let wrong = || Error::new("error-job-stamp", "at").with("value", text.chars().take(40).collect::<String>());
        let bytes = text.as_bytes();
        if bytes.len() != 29 || !text.is_ascii() {
            return Err(wrong());
        }
        let number = |from: usize, to: usize| text[from..to].parse::<u64>().map_err(|_| wrong());
        let (year, month, day) = (number(0, 4)?, number(5, 7)?, number(8, 10)?);
        let (hour, minute, second) = (number(11, 13)?, number(14, 16)?, number(17, 19)?);
        let (milli, count) = (number(20, 23)?, number(25, 29)?);
        let days = days_from_civil(year, month, day).ok_or_else(wrong)?;
        let ms = days * DAY_MS + ((hour * 60 + minute) * 60 + second) * 1000 + milli;
        let stamp = Self { ms, count: u16::try_from(count).map_err(|_| wrong())? };
        // Writing it again proves the separators, the ranges and that there was no sign or space.
        if stamp.to_string() == text { Ok(stamp) } else { Err(wrong()) }
    }
}

/// Days since 1970-01-01 of a calendar day (proleptic Gregorian), `None` where there is no such day from 1970 to 9999.
pub(super) fn days_from_civil(year: u64, month: u64, day: u64) -> Option<u64> {
    let leap = year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
    let length = match month {
        1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
        4 | 6 | 9 | 11 => 30,
        2 => 28 + u64::from(leap),
        _ => return None,
    };
    if !(1970..=9999).contains(&year) || day == 0 || day > length {
        return None;
    }
    // Count from 1 March of year 0, so that the leap day is the last of its year.
    let (y, m) = if month > 2 { (year, month - 3) } else { (year - 1, month + 9) };
    let days = y * 365 + y / 4 - y / 100 + y / 400 + (153 * m + 2) / 5 + day - 1;
    Some(days - 719_468)
}

/// Calendar day of a number of days since 1970-01-01.
fn civil(days: u64) -> (u64, u64, u64) {
    let days = days + 719_468;
    let (era, of_era) = (days / 146_097, days % 146_097);
    let year_of_era = (of_era - of_era / 1_460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let m = (5 * of_year + 2) / 153;
    let day = of_year - (153 * m + 2) / 5 + 1;
    let month = if m < 10 { m + 3 } else { m - 9 };
    (era * 400 + year_of_era + u64::from(month <= 2), month, day)
}

impl std::fmt::Display for Stamp {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let of_day = self.ms % DAY_MS;
        let (second, milli) = (of_day / 1000, of_day % 1000);
        let (hour, minute, second) = (second / 3600, second / 60 % 60, second % 60);
        write!(f, "{}T{hour:02}:{minute:02}:{second:02}.{milli:03}Z/{:04}", self.day(), self.count)
    }
}

impl Serialize for Stamp {
    fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Stamp {
    fn deserialize<D: serde::Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let text = std::borrow::Cow::<'de, str>::deserialize(from)?;
        Self::parse(&text).map_err(|error| serde::de::Error::custom(error.message(crate::words::Language::English)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Source: RFC 3339 section 5.8 (the leap-year day before it) and POSIX.1-2017 section 4.16 (seconds since the Epoch).
    #[test]
    fn known_days() {
        for (ms, day) in [
            (0, "1970-01-01"),
            (951_782_400_000, "2000-02-29"),
            (1_764_066_493_123, "2025-11-25"),
            (LAST_MS, "9999-12-31"),
        ] {
            assert_eq!(Stamp { ms, count: 0 }.day(), day);
        }
    }

    #[test]
    fn text_and_back_keeps_order() {
        let mut last = Stamp::default();
        for step in 0..5_000_u64 {
            let next = Stamp::after(last, (step * 7_919) % 40_000_000_000_000);
            assert!(next > last && next.to_string() > last.to_string());
            assert_eq!(Stamp::parse(&next.to_string()).unwrap(), next);
            last = next;
        }
    }

    #[test]
    fn wrong_text_is_refused() {
        for text in [
            "",
            "2026-11-25T10:28:13.123Z",
            "2026-02-30T10:28:13.123Z/0000",
            "2026-11-25T24:00:00.000Z/0000",
            "2026-11-25 10:28:13.123Z/0000",
            "+026-11-25T10:28:13.123Z/0000",
            "2026-11-25T10:28:13.123Zé001",
        ] {
            assert!(Stamp::parse(text).is_err(), "{text}");
        }
    }

    #[test]
    fn the_end_of_time_does_not_panic() {
        let last = Stamp { ms: LAST_MS, count: LAST_COUNT };
        assert_eq!(Stamp::after(last, u64::MAX).ms, LAST_MS);
        assert!(last.is_far_ahead(1_764_066_493_123) && !last.is_far_ahead(u64::MAX));
    }
}
