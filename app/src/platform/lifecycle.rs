//! Moments in the page's life, what other tabs say and do, and the wish to be kept.

use super::{quick, veil};
use js_sys::{Array, Function, Object, Promise, Reflect};
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
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

/// While it lives, no other tab of the app does what it stands for.
pub struct Alone(Function);

impl Drop for Alone {
    fn drop(&mut self) {
        let _ = self.0.call0(&JsValue::UNDEFINED);
    }
}

/// Does a thing of this name in one tab at a time. The browser lets go of it when the tab ends, however it ends. With `wait`
/// waits until no other tab does it, else gives `None` where one does; `None` also where the browser keeps no such order.
pub async fn alone(name: &str, wait: bool) -> Option<Alone> {
    let locks = named(&web_sys::window()?.navigator(), "locks")?;
    let request = named(&locks, "request")?.dyn_into::<Function>().ok()?;
    let options = Object::new();
    Reflect::set(&options, &"ifAvailable".into(), &(!wait).into()).ok()?;
    let mut end = None;
    let held = Promise::new(&mut |ended, _| end = Some(ended));
    let mut asked = None;
    let granted = Promise::new(&mut |granted, _| {
        let held = held.clone();
        let call = Closure::once_into_js(move |lock: JsValue| {
            let _ = granted.call1(&JsValue::UNDEFINED, &lock);
            if lock.is_null() { JsValue::UNDEFINED } else { held.into() }
        });
        asked = request.call3(&locks, &name.into(), &options, &call).ok();
    });
    // Where it is refused, it never calls.
    let lock = JsFuture::from(Promise::race(&Array::of2(&granted, &asked?))).await.ok()?;
    if lock.is_null() || lock.is_undefined() { None } else { end.map(Alone) }
}

/// What something of the browser has under a name; by name, since browsers without it must not break the start.
fn named(of: &JsValue, name: &str) -> Option<JsValue> {
    Reflect::get(of, &name.into()).ok().filter(|found| !found.is_undefined())
}

/// Asks the browser not to throw this app's stores away when space runs short. The answer changes nothing we do.
pub fn ask_to_keep() {
    let Some(window) = web_sys::window() else { return };
    let Some(storage) = named(&window.navigator(), "storage") else { return };
    let Some(persist) = named(&storage, "persist").and_then(|value| value.dyn_into::<Function>().ok()) else { return };
    let _ = persist.call0(&storage);
}
