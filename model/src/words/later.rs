//! The texts that no first screen shows: one constant, which the app's bundle brings behind the first screen.
//!
//! Only [`table`] may touch that constant: before the rest has arrived its bytes are not there, and the bundler lets this
//! one function wait for them.

use std::hint::black_box;
use std::sync::OnceLock;

/// The marker line, then a line for each key: key, tab, text; shorter keys first.
static TEXT: &str = include_str!(concat!(env!("OUT_DIR"), "/later.txt"));

/// Keys and texts, shorter keys first.
///
/// # Panics
/// Where the text is not there, which would be a fault of the bundler: no wrong word may be shown.
#[inline(never)]
pub(super) fn table() -> &'static [(&'static str, &'static str)] {
    static TABLE: OnceLock<Vec<(&'static str, &'static str)>> = OnceLock::new();
    TABLE.get_or_init(|| {
        // What the compiler knows of the constant says nothing of what has arrived.
        let mut lines = black_box(TEXT).lines();
        assert!(lines.next().is_some_and(|line| line.starts_with("CUTLINE-LATER:")), "the texts have arrived");
        lines.filter_map(|line| line.split_once('\t')).collect()
    })
}
