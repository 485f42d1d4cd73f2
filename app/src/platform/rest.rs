//! The rest of the app: the release bundle comes in two parts, and the second follows when the first stands.
//!
//! Only asks the page (`app/load.js`) for it; which functions are in it is the build's business, and where the app comes
//! in one piece, as while developing, there is nothing to ask for.

use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::prelude::wasm_bindgen;

#[wasm_bindgen]
extern "C" {
    /// `now` waits until it is there. The build calls this import too, from functions that need the rest.
    #[wasm_bindgen(js_name = cutlineRest)]
    fn cutline_rest(now: bool);
}

/// Lets the rest follow behind the first picture.
pub fn follow() {
    let page = js_sys::global();
    if js_sys::Reflect::has(&page, &"cutlineRest".into()).unwrap_or(false) {
        cutline_rest(false);
    }
}

/// Calls `then` once the rest is there; at once where it is, or where the app comes in one piece.
pub fn when_there(then: impl FnOnce() + 'static) {
    let page = js_sys::global();
    let has = |name: &str| js_sys::Reflect::get(&page, &name.into()).is_ok_and(|found| found.is_truthy());
    if has("cutlineWhole") || !has("cutlineRest") {
        then();
    } else if let Some(window) = web_sys::window() {
        let call = Closure::once_into_js(then);
        let _ = window.add_event_listener_with_callback("cutline-whole", call.unchecked_ref());
    }
}
