//! How much of the browser's room this app uses, and whether the browser promised to keep it.
//!
//! Asks by name, because older browsers lack this part of the standard; what they do not tell is `None`.

use super::{Refusal, quick};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;

/// What the browser tells about its stores.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Room {
    /// Bytes in use by this app.
    pub used: Option<f64>,
    /// Bytes that it may use.
    pub most: Option<f64>,
    /// Whether the browser keeps the stores even when space runs short.
    pub kept: Option<bool>,
}

/// Asks the browser.
pub async fn room() -> Room {
    let Some(storage) = storage() else { return Room::default() };
    let estimate = answer(&storage, "estimate").await;
    let number = |name: &str| estimate.as_ref().and_then(|found| get(found, name)).and_then(|value| value.as_f64());
    Room {
        used: number("usage"),
        most: number("quota"),
        kept: answer(&storage, "persisted").await.and_then(|kept| kept.as_bool()),
    }
}

/// Asks the browser to keep the stores; what it answered.
pub async fn keep() -> Option<bool> {
    let storage = storage()?;
    answer(&storage, "persist").await.and_then(|kept| kept.as_bool())
}

/// Characters of local storage that keys and texts take up.
///
/// # Errors
/// Where the browser gives this page no local storage.
pub fn quick_characters() -> Result<usize, Refusal> {
    let mut sum = 0;
    for key in quick::keys("")? {
        sum += key.encode_utf16().count() + quick::get(&key)?.map_or(0, |text| text.encode_utf16().count());
    }
    Ok(sum)
}

fn storage() -> Option<JsValue> {
    get(&web_sys::window()?.navigator().into(), "storage")
}

fn get(of: &JsValue, name: &str) -> Option<JsValue> {
    js_sys::Reflect::get(of, &name.into()).ok().filter(|value| !value.is_undefined() && !value.is_null())
}

async fn answer(storage: &JsValue, name: &str) -> Option<JsValue> {
    let ask = get(storage, name)?.dyn_into::<js_sys::Function>().ok()?;
    let promise = ask.call0(storage).ok()?.dyn_into::<js_sys::Promise>().ok()?;
    JsFuture::from(promise).await.ok()
}
