//! Whether anybody uses the page.

use super::clock::now_ms;
use std::cell::Cell;
use std::rc::Rc;
use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;

/// How often it is asked, ms.
const EVERY_MS: i32 = 2_000;

/// Calls `then` while nobody has touched the page for as long as `limit_ms` says; `None` for never. A clock that is set
/// back starts the wait anew. Lives as long as the app.
pub fn watch(limit_ms: impl Fn() -> Option<u64> + 'static, then: impl Fn() + 'static) {
    let Some(window) = web_sys::window() else { return };
    let last = Rc::new(Cell::new(now_ms()));
    let used = last.clone();
    let touched = Closure::<dyn Fn()>::new(move || used.set(now_ms()));
    for event in ["pointerdown", "keydown", "wheel"] {
        let _ = window.add_event_listener_with_callback(event, touched.as_ref().unchecked_ref());
    }
    touched.forget();
    let look = Closure::<dyn Fn()>::new(move || {
        let now = now_ms();
        if now < last.get() {
            last.set(now);
        } else if limit_ms().is_some_and(|limit| now - last.get() >= limit) {
            last.set(now);
            then();
        }
    });
    let call = look.as_ref().unchecked_ref();
    let _ = window.set_interval_with_callback_and_timeout_and_arguments_0(call, EVERY_MS);
    look.forget();
}
