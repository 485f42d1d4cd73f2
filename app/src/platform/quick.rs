//! Local storage through gloo-storage: read at once at the start, and never trusted with the last minute.
//!
//! gloo's `raw()` panics where storage is blocked, so each use asks the window first. Reads key by key; never clears.
//! A browser process that is killed loses up to a minute of what was put here: the journal is what counts as saved.

use super::{Refusal, veil};
use gloo_storage::{LocalStorage, Storage as _};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::DomException;

/// The storage, or `Blocked` where the browser gives none to this page.
fn raw() -> Result<web_sys::Storage, Refusal> {
    match web_sys::window().map(|window| window.local_storage()) {
        Some(Ok(Some(_))) => Ok(LocalStorage::raw()),
        _ => Err(Refusal::Blocked),
    }
}

/// What the browser threw, sorted into what a person can do about it.
pub(super) fn refusal(thrown: &JsValue) -> Refusal {
    let name = match thrown.dyn_ref::<DomException>() {
        Some(exception) => exception.name(),
        None => js_sys::Reflect::get(thrown, &"name".into()).ok().and_then(|name| name.as_string()).unwrap_or_default(),
    };
    match name.as_str() {
        "QuotaExceededError" | "NS_ERROR_DOM_QUOTA_REACHED" => Refusal::Full,
        "SecurityError" | "NotAllowedError" | "InvalidAccessError" => Refusal::Blocked,
        _ => Refusal::Broken(if name.is_empty() { format!("{thrown:?}") } else { name }),
    }
}

/// Whether what stands under a key lies under the veil: all that belongs to jobs, and what was set aside of them.
pub(super) fn is_veiled(key: &str) -> bool {
    key.starts_with("cutline/") || key.starts_with("cutline-aside/")
}

/// The keys beginning with `prefix` under which something closed lies; none where the browser refuses.
#[must_use]
pub fn closed(prefix: &str) -> Vec<String> {
    let mut keys = keys(prefix).unwrap_or_default();
    keys.retain(|key| raw().ok().and_then(|raw| raw.get_item(key).ok()?).is_some_and(|text| veil::is_closed(&text)));
    keys
}

/// All keys that begin with `prefix`, sorted.
///
/// # Errors
/// Where the browser refuses.
pub fn keys(prefix: &str) -> Result<Vec<String>, Refusal> {
    let store = raw()?;
    let count = store.length().map_err(|thrown| refusal(&thrown))?;
    // Another tab may remove keys meanwhile; what is no longer there is passed over.
    let mut keys: Vec<String> =
        (0..count).filter_map(|at| store.key(at).ok().flatten()).filter(|key| key.starts_with(prefix)).collect();
    keys.sort();
    keys.dedup();
    Ok(keys)
}

/// The text under a key.
///
/// # Errors
/// Where the browser refuses.
pub fn get(key: &str) -> Result<Option<String>, Refusal> {
    let text = raw()?.get_item(key).map_err(|thrown| refusal(&thrown))?;
    Ok(if is_veiled(key) { text.and_then(|text| veil::open(key, text)) } else { text })
}

/// Puts a text under a key.
///
/// # Errors
/// Where the browser refuses; what was there before is still there.
pub fn put(key: &str, text: &str) -> Result<(), Refusal> {
    let closed = if is_veiled(key) { veil::close(key, text)? } else { text.into() };
    raw()?.set_item(key, &closed).map_err(|thrown| refusal(&thrown))
}

/// Removes a key.
///
/// # Errors
/// Where the browser refuses.
pub fn remove(key: &str) -> Result<(), Refusal> {
    raw()?.remove_item(key).map_err(|thrown| refusal(&thrown))
}
