//! Joins the browser's local storage to the model's idea of a store, and says refusals in words.

use crate::platform::{Refusal, quick};
use crate::words::{t, tf};
use model::job::store::{Store, StoreError};

/// Local storage as the model's store.
pub struct Quick;

fn error(refusal: Refusal) -> StoreError {
    match refusal {
        Refusal::Full => StoreError::Full,
        Refusal::Blocked | Refusal::Held => StoreError::Blocked,
        Refusal::Broken(detail) => StoreError::Broken(detail),
    }
}

impl Store for Quick {
    fn keys(&self, prefix: &str) -> Result<Vec<String>, StoreError> {
        quick::keys(prefix).map_err(error)
    }
    fn get(&self, key: &str) -> Result<Option<String>, StoreError> {
        quick::get(key).map_err(error)
    }
    fn put(&mut self, key: &str, text: &str) -> Result<(), StoreError> {
        quick::put(key, text).map_err(error)
    }
    fn remove(&mut self, key: &str) -> Result<(), StoreError> {
        quick::remove(key).map_err(error)
    }
}

/// Why the journal did not keep an edit, and what to do; `quick` says whether local storage has it at least.
pub(super) fn reason(refusal: &Refusal, quick: bool) -> String {
    let what = t(if quick { "saving-quick-only" } else { "saving-nowhere" });
    format!("{} {what}", why(refusal))
}

/// Why the journal did not keep the settings, and what that means; `quick` as above.
pub(super) fn settings_reason(refusal: &Refusal, quick: bool) -> String {
    let what = t(if quick { "settings-quick-only" } else { "settings-nowhere" });
    format!("{} {what}", why(refusal))
}

/// Why the journal refuses.
pub(super) fn why(refusal: &Refusal) -> String {
    match refusal {
        Refusal::Full => t("saving-full"),
        Refusal::Blocked => t("saving-blocked"),
        Refusal::Held => t("saving-held"),
        Refusal::Broken(detail) => tf("saving-broken", &[("detail", detail)]),
    }
}
