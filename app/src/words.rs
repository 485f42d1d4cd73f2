//! Interface text and numbers for people: a thin door to the message catalogue, with lengths in the person's units.
//!
//! Never holds a sentence itself; all text stands in `model/data/words`.

use model::words::{Language, say};

/// Millimetres in an inch, exactly (international inch, 1959).
const MM_IN_INCH: f64 = 25.4;

/// The text of a key.
#[must_use]
pub fn t(key: &str) -> String {
    say(Language::English, key, &[])
}

/// The text of a key with a capital letter in front, for a button or a heading; trade words are kept small.
#[must_use]
pub fn cap(key: &str) -> String {
    raised(&t(key))
}

/// A text with a capital letter in front.
#[must_use]
pub fn raised(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

/// A text with a small letter in front, for a name inside a sentence.
#[must_use]
pub fn lowered(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map(|first| first.to_lowercase().chain(letters).collect()).unwrap_or_default()
}

/// The text of a key with its arguments filled in.
#[must_use]
pub fn tf(key: &str, arguments: &[(&str, &str)]) -> String {
    say(Language::English, key, arguments)
}

/// The text of a key for a number: `<key>-one` for 1, else `<key>`, with `{ $count }` filled in.
#[must_use]
pub fn count(key: &str, number: usize) -> String {
    let text = number.to_string();
    if number == 1 { tf(&format!("{key}-one"), &[("count", &text)]) } else { tf(key, &[("count", &text)]) }
}

/// A number of bytes in megabytes, or gigabytes from a thousand of these on.
#[must_use]
pub fn megabytes(bytes: f64) -> String {
    let megabytes = bytes / f64::from(1 << 20);
    if megabytes < 0.1 {
        t("room-little")
    } else if megabytes < 1000.0 {
        tf("room-megabytes", &[("value", &format!("{megabytes:.1}"))])
    } else {
        tf("room-gigabytes", &[("value", &format!("{:.0}", megabytes / 1024.0))])
    }
}

/// A length: whole millimetres, or inches to a tenth (to a hundredth below one inch).
#[must_use]
pub fn length(mm: f64, imperial: bool) -> String {
    if imperial {
        let inches = mm / MM_IN_INCH;
        let text = if inches < 1.0 { format!("{inches:.2}") } else { format!("{inches:.1}") };
        tf("ui-inches", &[("value", &text)])
    } else {
        tf("ui-millimetres", &[("value", &format!("{mm:.0}"))])
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    #[test]
    fn lengths_speak_the_units_of_the_person() {
        assert_eq!(length(18.4, false), "18\u{a0}mm");
        assert_eq!(length(25.4, true), "1.0\u{a0}in");
        assert_eq!(length(3.0, true), "0.12\u{a0}in");
    }
}
