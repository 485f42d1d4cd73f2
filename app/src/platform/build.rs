//! The build that runs, whether it starts without a network, and whether a newer one waits.
//!
//! `public/offline.js` registers the service worker and tells it here; nothing is reloaded without being asked.

use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;

/// How far the build is kept on this device.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Kept {
    /// Not told yet, or being fetched.
    #[default]
    Preparing,
    /// The app starts without a network.
    Ready,
    /// It does, and a newer build waits to be taken.
    Newer,
    /// This browser or this address cannot keep it.
    No,
}

/// What has been told so far.
#[must_use]
pub fn kept() -> Kept {
    match root().and_then(|root| root.get_attribute("data-offline")).as_deref() {
        Some("ready") => Kept::Ready,
        Some("newer") => Kept::Newer,
        Some("none") => Kept::No,
        _ => Kept::Preparing,
    }
}

/// The name of the build, twelve hexadecimal digits; `None` while developing.
#[must_use]
pub fn name() -> Option<String> {
    let page = web_sys::window()?.document()?;
    page.query_selector("meta[name=build]").ok()??.get_attribute("content")
}

/// Calls `then` whenever that changes. Lives as long as the app.
pub fn on_change(then: impl Fn(Kept) + 'static) {
    on("cutline-offline", move || then(kept()));
}

/// Calls `then` when another build has taken over and this page should make way. Lives as long as the app.
pub fn on_leave(then: impl Fn() + 'static) {
    on("cutline-leave", then);
}

/// Lets the newer build take over.
pub fn accept() {
    if let (Some(window), Ok(event)) = (web_sys::window(), web_sys::Event::new("cutline-accept")) {
        let _ = window.dispatch_event(&event);
    }
}

/// Loads the page anew, at the same address.
pub fn reload() {
    if let Some(window) = web_sys::window() {
        let _ = window.location().reload();
    }
}

fn root() -> Option<web_sys::Element> {
    web_sys::window()?.document()?.document_element()
}

fn on(event: &str, then: impl Fn() + 'static) {
    let Some(window) = web_sys::window() else { return };
    let call = Closure::<dyn Fn()>::new(then);
    let _ = window.add_event_listener_with_callback(event, call.as_ref().unchecked_ref());
    call.forget();
}
