//! Printing and moving the page to a place on it.

use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;
use web_sys::HtmlElement;

/// Opens the browser's print window for the page as it stands.
pub fn print() {
    if let Some(window) = web_sys::window() {
        let _ = window.print();
    }
}

/// Prints one element of the page alone; the style sheet leaves out what is not marked.
pub fn print_only(id: &str) {
    let found = web_sys::window().and_then(|w| w.document()).and_then(|d| d.get_element_by_id(id));
    let Some(element) = found else { return };
    let _ = element.set_attribute("data-printing", "");
    print();
    let _ = element.remove_attribute("data-printing");
}

/// Tells `then` when the page goes onto paper (`true`) and when it is back on the screen. Lives as long as the app.
pub fn on_paper(then: impl Fn(bool) + Clone + 'static) {
    let Some(window) = web_sys::window() else { return };
    for (event, goes) in [("beforeprint", true), ("afterprint", false)] {
        let then = then.clone();
        let call = Closure::<dyn Fn()>::new(move || then(goes));
        let _ = window.add_event_listener_with_callback(event, call.as_ref().unchecked_ref());
        call.forget();
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
