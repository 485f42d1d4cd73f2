//! The rest of the app: the release bundle comes in two parts, and the second follows when the first stands.
//!
//! Only asks the page (`app/load.js`) for it; which functions are in it is the build's business, and where the app comes
//! in one piece, as while developing, there is nothing to ask for.

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
