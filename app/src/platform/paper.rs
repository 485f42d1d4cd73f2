//! Printing and moving the page to a place on it.

use wasm_bindgen::JsCast;
use web_sys::HtmlElement;

/// Opens the browser's print window for the page as it stands.
pub fn print() {
    if let Some(window) = web_sys::window() {
        let _ = window.print();
    }
}

/// Brings the first element that a selector finds to the top of what scrolls, and gives it the keyboard.
pub fn go_to(selector: &str) {
    let found = web_sys::window().and_then(|w| w.document()).and_then(|d| d.query_selector(selector).ok().flatten());
    let Some(element) = found else { return };
    element.scroll_into_view();
    if let Some(html) = element.dyn_ref::<HtmlElement>() {
        let options = web_sys::FocusOptions::new();
        options.set_prevent_scroll(true);
        let _ = html.focus_with_options(&options);
    }
}
