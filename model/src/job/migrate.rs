//! Brings a file of an earlier version up to the current one, before its fields are read.
//!
//! Each version's step stays here for ever, with a saved sample in `tests/saved/`. Never touches a newer file.

use super::wire::VERSION;
use crate::error::{Error, Result};

/// The current form of a file's text, or `None` where it is current already.
///
/// # Errors
/// Where no step leads from this version.
pub(super) fn to_current(version: u32, _text: &str) -> Result<Option<String>> {
    // Versions 2 to 4 only add fields, so that an earlier file reads as it stands.
    if (1..=VERSION).contains(&version) {
        Ok(None)
    } else {
        Err(Error::new("error-job-version", "version").with("version", VERSION))
    }
}
