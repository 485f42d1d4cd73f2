//! Moments in the page's life, what other tabs say, and the wish to be kept.

use super::{quick, veil};
use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;
use web_sys::{BroadcastChannel, MessageEvent, StorageEvent, VisibilityState};

/// Calls `then` when the page is hidden or left: perhaps the tab's last moment. Lives as long as the app.
pub fn on_hide(then: impl Fn() + 'static) {
    let Some(window) = web_sys::window() else { return };
    let Some(document) = window.document() else { return };
    let watched = document.clone();
    let then = std::rc::Rc::new(then);
    let again = then.clone();
    let hidden = Closure::<dyn Fn()>::new(move || {
        if watched.visibility_state() == VisibilityState::Hidden {
            then();
        }
    });
    let left = Closure::<dyn Fn()>::new(move || again());
    let _ = document.add_event_listener_with_callback("visibilitychange", hidden.as_ref().unchecked_ref());
    let _ = window.add_event_listener_with_callback("pagehide", left.as_ref().unchecked_ref());
    hidden.forget();
    left.forget();
}

/// Calls `then` with key and new text when another tab writes local storage. Lives as long as the app.
pub fn on_foreign_write(then: impl Fn(String, Option<String>) + 'static) {
    let Some(window) = web_sys::window() else { return };
    let call = Closure::<dyn Fn(StorageEvent)>::new(move |event: StorageEvent| {
        if let Some(key) = event.key() {
            let text = event.new_value();
            let text = if quick::is_veiled(&key) { text.and_then(|text| veil::open(&key, text)) } else { text };
            then(key, text);
        }
    });
    let _ = window.add_event_listener_with_callback("storage", call.as_ref().unchecked_ref());
    call.forget();
}

/// A line to the other tabs of the app.
#[derive(Clone)]
pub struct Others(Option<BroadcastChannel>);

impl Others {
    /// Opens the line and calls `then` with each text that another tab sends. Lives as long as the app.
    pub fn listen(name: &str, then: impl Fn(String) + 'static) -> Self {
        let Ok(channel) = BroadcastChannel::new(name) else { return Self(None) };
        let call = Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| {
            if let Some(text) = event.data().as_string() {
                then(text);
            }
        });
        channel.set_onmessage(Some(call.as_ref().unchecked_ref()));
        call.forget();
        Self(Some(channel))
    }

    /// Sends a text to all other tabs; where there is no line, nobody hears it.
    pub fn tell(&self, text: &str) {
        if let Some(channel) = &self.0 {
            let _ = channel.post_message(&text.into());
        }
    }
}

/// Asks the browser not to throw this app's stores away when space runs short. The answer changes nothing we do.
pub fn ask_to_keep() {
    // By name: browsers without this part of the standard must not break the start.
    let Some(window) = web_sys::window() else { return };
    let get = |of: &wasm_bindgen::JsValue, name: &str| {
        js_sys::Reflect::get(of, &name.into()).ok().filter(|v| !v.is_undefined())
    };
    let Some(storage) = get(&window.navigator(), "storage") else { return };
    let Some(persist) = get(&storage, "persist").and_then(|value| value.dyn_into::<js_sys::Function>().ok()) else {
        return;
    };
    let _ = persist.call0(&storage);
}
