//! Vehicle identification number: form, check digit and model year after 49 CFR 565.15.
//!
//! A right check digit does not prove a number, and a wrong one does not stop a job: the result is a hint to read again.

use crate::error::{Error, Result};

/// Weights by position, 49 CFR 565.15 (c) Table IV; position 9 carries the check digit itself.
const WEIGHTS: [u32; 17] = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];
/// Model-year codes in order, 49 CFR 565.15 (d) Table VII; they repeat every 30 years from 1980.
const YEAR_CODES: &str = "ABCDEFGHJKLMNPRSTVWXY123456789";
const FIRST_YEAR: u16 = 1980;

/// A well-formed number: 17 characters, capital letters and digits without I, O and Q, right check digit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Vin(String);

impl Vin {
    /// Reads a number; small letters and spaces are accepted.
    ///
    /// # Errors
    /// Wrong length, a character that never occurs, or a check digit that does not fit; the place is the position.
    pub fn read(text: &str) -> Result<Self> {
        let vin: String = text.chars().filter(|c| !c.is_whitespace()).map(|c| c.to_ascii_uppercase()).collect();
        let count = vin.chars().count();
        if count != WEIGHTS.len() {
            return Err(Error::new("vin-length", "vin").with("count", count));
        }
        let mut sum = 0;
        for (at, (character, weight)) in vin.chars().zip(WEIGHTS).enumerate() {
            let Some(value) = value(character) else {
                return Err(Error::new("vin-character", "vin").with("character", character).with("position", at + 1));
            };
            sum += value * weight;
        }
        let wanted = match sum % 11 {
            10 => 'X',
            rest => char::from_digit(rest, 10).unwrap_or('0'),
        };
        let found = vin.chars().nth(8).unwrap_or('0');
        if wanted != found {
            return Err(Error::new("vin-check", "vin").with("wanted", wanted).with("found", found));
        }
        Ok(Self(vin))
    }

    /// The 17 characters.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// Model year of a light vehicle: position 10 names the year, a letter at position 7 the cycle from 2010, a digit
    /// that from 1980 (565.15 (b) and (d)). `None` where position 10 holds no year code.
    pub fn model_year(&self) -> Option<u16> {
        let mut characters = self.0.chars();
        let cycle = if characters.nth(6)?.is_ascii_digit() { 0 } else { 30 };
        let code = characters.nth(2)?;
        let at = YEAR_CODES.chars().position(|known| known == code)?;
        Some(FIRST_YEAR + cycle + u16::try_from(at).ok()?)
    }
}

/// Transliteration, 49 CFR 565.15 (c) Table III.
fn value(character: char) -> Option<u32> {
    match character {
        '0'..='9' => character.to_digit(10),
        'A' | 'J' => Some(1),
        'B' | 'K' | 'S' => Some(2),
        'C' | 'L' | 'T' => Some(3),
        'D' | 'M' | 'U' => Some(4),
        'E' | 'N' | 'V' => Some(5),
        'F' | 'W' => Some(6),
        'G' | 'P' | 'X' => Some(7),
        'H' | 'Y' => Some(8),
        'R' | 'Z' => Some(9),
        _ => None,
    }
}
