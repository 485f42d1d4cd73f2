//! Files that the person saves out of the app.

use wasm_bindgen::JsCast;
use web_sys::{Blob, BlobPropertyBag, HtmlAnchorElement, Url};

/// Offers a text as a download of this name; `false` where the browser refuses.
#[must_use]
pub fn save(name: &str, kind: &str, text: &str) -> bool {
    try_save(name, kind, text).is_some()
}

fn try_save(name: &str, kind: &str, text: &str) -> Option<()> {
    let options = BlobPropertyBag::new();
    options.set_type(kind);
    let pieces = js_sys::Array::of1(&text.into());
    offer(name, &Blob::new_with_str_sequence_and_options(&pieces, &options).ok()?)
}

/// Offers a file as a download.
pub(super) fn offer(name: &str, blob: &Blob) -> Option<()> {
    let address = Url::create_object_url_with_blob(blob).ok()?;
    let document = web_sys::window()?.document()?;
    let link: HtmlAnchorElement = document.create_element("a").ok()?.dyn_into().ok()?;
    link.set_href(&address);
    link.set_download(name);
    // Some browsers follow only a link that stands in the page.
    let body = document.body()?;
    body.append_child(&link).ok()?;
    link.click();
    let _ = body.remove_child(&link);
    // The address is not taken back: the browser may read it after this returns, and it dies with the page.
    Some(())
}
