//! Printing and moving the page to a place on it.

use super::{clock, page};
use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;
use web_sys::{Element, HtmlElement, HtmlImageElement};

/// How long pictures may take before the page is printed without them, ms.
const PATIENCE_MS: f64 = 20_000.0;

/// Opens the browser's print window for the page as it stands.
pub fn print() {
    if let Some(window) = web_sys::window() {
        let _ = window.print();
    }
}

/// Waits until every item that a selector finds shows what it is to show on paper: `data-paper="sharp"` asks for a picture
/// marked `data-sharp`, and each picture is decoded. Goes on after some seconds in any case.
pub async fn pictures(items: &str) {
    let begun = page::now();
    while page::now() - begun < PATIENCE_MS && !pictures_stand(items) {
        clock::pause(50).await;
    }
    let Some(images) = all(&format!("{items} img")) else { return };
    for at in 0..images.length() {
        if let Some(image) = images.get(at).and_then(|node| node.dyn_into::<HtmlImageElement>().ok()) {
            // One that cannot be decoded stays a blank, as on the screen.
            let _ = wasm_bindgen_futures::JsFuture::from(image.decode()).await;
        }
    }
}

fn pictures_stand(items: &str) -> bool {
    let Some(items) = all(items) else { return true };
    (0..items.length()).filter_map(|at| items.get(at)?.dyn_into::<Element>().ok()).all(|item| {
        let wanted = if item.get_attribute("data-paper").is_some() {
            "img[data-sharp], .photo-missing"
        } else {
            "img, .photo-missing"
        };
        item.query_selector(wanted).ok().flatten().is_some()
    })
}

fn all(selector: &str) -> Option<web_sys::NodeList> {
    web_sys::window().and_then(|w| w.document()).and_then(|d| d.query_selector_all(selector).ok())
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
