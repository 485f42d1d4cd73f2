//! The time book in force: the built-in one with the shop's own changes, and the way to change one time.

use crate::in_force::InForce;
use crate::state::{AppState, Settings};
use model::terms::Unit;
use model::times::{TimeBook, WorkTime};
use std::sync::Arc;

/// One of the times of a work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Which {
    /// Once an operation.
    SetUp,
    /// For each unit.
    Each(Unit),
    /// What the truck waits for afterwards.
    Wait,
}

/// The book in force for the text of a shop's changes, which may be empty.
#[must_use]
pub fn in_force(changes: &str) -> InForce<TimeBook> {
    let built_in = TimeBook::general();
    InForce::of(changes, || Arc::clone(built_in), |changes| built_in.with(changes))
}

/// The times of a work that a person may change, set-up first.
#[must_use]
pub fn times_of(work: &WorkTime) -> Vec<Which> {
    let mut all = vec![Which::SetUp];
    all.extend(work.per.iter().map(|(unit, _)| Which::Each(*unit)));
    // How long an adhesive takes stands in the joining list.
    all.extend(work.wait.filter(|wait| !wait.is_cure()).map(|_| Which::Wait));
    all
}

/// A time of a work in seconds; `None` where the work has none such.
#[must_use]
pub fn seconds(work: &WorkTime, which: Which) -> Option<u32> {
    match which {
        Which::SetUp => Some(work.set_up.seconds),
        Which::Each(unit) => work.per.iter().find(|(known, _)| *known == unit).map(|(_, each)| each.seconds),
        Which::Wait => work.wait.map(|_| work.wait_minutes * 60),
    }
}

/// Changes the book in force and keeps what now differs from the built-in one with the settings.
pub fn change(app: AppState, change: impl FnOnce(&mut TimeBook)) {
    app.update_settings(|settings: &mut Settings| {
        let mut book = (*in_force(&settings.time_book).value).clone();
        change(&mut book);
        settings.time_book = book.changes(TimeBook::general()).unwrap_or_default();
    });
}

/// Sets one time of a work in the book; what the work does not have stays away.
pub fn set(book: &mut TimeBook, work: &str, which: Which, seconds: u32) {
    let Some(work) = book.works.get_mut(work) else { return };
    match which {
        Which::SetUp => work.set_up.seconds = seconds,
        Which::Each(unit) => {
            if let Some((_, each)) = work.per.iter_mut().find(|(known, _)| *known == unit) {
                each.seconds = seconds;
            }
        }
        Which::Wait => work.wait_minutes = seconds.div_ceil(60),
    }
}

/// Reads minutes as a person writes them, with a point or a comma, as whole seconds; `None` where it is no number from 0
/// to `most` seconds.
#[must_use]
pub fn read_minutes(text: &str, most: u32) -> Option<u32> {
    let text = text.trim().replace(',', ".");
    if text.is_empty() || !text.chars().all(|letter| letter.is_ascii_digit() || letter == '.') {
        return None;
    }
    let seconds = text.parse::<f64>().ok()? * 60.0;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // within 0 and most
    (seconds <= f64::from(most)).then(|| seconds.round() as u32)
}

/// Seconds as minutes with at most two decimals: `7.5`.
#[must_use]
pub fn minutes(seconds: u32) -> String {
    let text = format!("{:.2}", f64::from(seconds) / 60.0);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    #[test]
    fn minutes_are_read_as_they_are_shown() {
        for seconds in (0..7_200).chain([359_999, 360_000]) {
            assert_eq!(read_minutes(&minutes(seconds), 360_000), Some(seconds));
        }
        assert_eq!(read_minutes(" 7,5 ", 360_000), Some(450));
        for wrong in ["", "-1", "ten", "1e3", "6000.1", "1.2.3"] {
            assert_eq!(read_minutes(wrong, 360_000), None, "{wrong}");
        }
    }

    #[test]
    fn changes_that_cannot_be_used_stand_not_at_all() {
        let now = in_force(r#"{"format":"cutline-time-changes","version":1,"works":{"dream":{}}}"#);
        assert_eq!(&now.value, TimeBook::general());
        assert!(now.problem.is_some_and(|why| why.contains("works.dream")));
        assert_eq!(in_force("").problem, None);
    }

    #[test]
    fn a_time_is_set_and_set_back() {
        let mut book = (**TimeBook::general()).clone();
        let before = seconds(&book.works["prepare"], Which::SetUp).expect("a set-up");
        set(&mut book, "prepare", Which::SetUp, before + 60);
        assert!(book.changes(TimeBook::general()).is_some_and(|text| text.contains("prepare")));
        set(&mut book, "prepare", Which::SetUp, before);
        assert_eq!(book.changes(TimeBook::general()), None);
        for (name, work) in &TimeBook::general().works {
            for which in times_of(work) {
                let mut book = (**TimeBook::general()).clone();
                set(&mut book, name, which, 120);
                assert_eq!(seconds(&book.works[name], which), Some(120), "{name}");
            }
        }
    }
}
