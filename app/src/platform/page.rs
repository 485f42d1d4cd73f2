//! The page itself: address, element sizes, focus, pointer capture, and the app's own performance marks.
//!
//! Thin wrappers that never panic: what the browser refuses is left undone. Knows nothing of jobs, parts or words.

use std::cell::RefCell;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Element, HtmlElement, ResizeObserver, Window};

fn window() -> Option<Window> {
    web_sys::window()
}

/// What stands after the address, with its hash sign; empty where there is none.
#[must_use]
pub fn hash() -> String {
    window().and_then(|w| w.location().hash().ok()).unwrap_or_default()
}

/// Goes to an address that starts with `#`, as a new step of the history.
pub fn set_hash(hash: &str) {
    if let Some(history) = window().and_then(|w| w.history().ok()) {
        let _ = history.push_state_with_url(&JsValue::NULL, "", Some(hash));
    }
}

/// Puts an address that starts with `#` in place of the present one.
pub fn replace_hash(hash: &str) {
    if let Some(history) = window().and_then(|w| w.history().ok()) {
        let _ = history.replace_state_with_url(&JsValue::NULL, "", Some(hash));
    }
}

/// Calls `then` whenever the person goes back or forward or edits the address. Lives as long as the app.
pub fn on_hash_change(then: impl Fn() + 'static) {
    let Some(window) = window() else { return };
    let call = Closure::<dyn Fn()>::new(then);
    for event in ["hashchange", "popstate"] {
        let _ = window.add_event_listener_with_callback(event, call.as_ref().unchecked_ref());
    }
    call.forget();
}

/// Left, top, width and height of an element in the window, CSS pixels.
#[must_use]
pub fn frame(element: &Element) -> (f64, f64, f64, f64) {
    let rect = element.get_bounding_client_rect();
    (rect.left(), rect.top(), rect.width(), rect.height())
}

/// The same for the first element that a selector finds.
#[must_use]
pub fn frame_of(selector: &str) -> Option<(f64, f64, f64, f64)> {
    window()?.document()?.query_selector(selector).ok()?.map(|element| frame(&element))
}

/// Tells `then` the width and height of an element now and whenever they change; ends with the returned value.
#[must_use]
pub fn watch_size(element: &Element, then: impl Fn(f64, f64) + 'static) -> Option<SizeWatch> {
    let watched = element.clone();
    let call = Closure::<dyn Fn()>::new(move || {
        let (_, _, width, height) = frame(&watched);
        then(width, height);
    });
    let observer = ResizeObserver::new(call.as_ref().unchecked_ref()).ok()?;
    observer.observe(element);
    Some(SizeWatch { observer, _call: call })
}

/// A running watch on an element's size; ends when dropped.
pub struct SizeWatch {
    observer: ResizeObserver,
    _call: Closure<dyn Fn()>,
}

impl Drop for SizeWatch {
    fn drop(&mut self) {
        self.observer.disconnect();
    }
}

/// All further events of this pointer go to the element, even outside of it.
pub fn capture(element: &Element, pointer: i32) {
    let _ = element.set_pointer_capture(pointer);
}

/// Sets or removes an attribute of the document's root element.
pub fn root_attribute(name: &str, value: Option<&str>) {
    let Some(root) = window().and_then(|w| w.document()).and_then(|d| d.document_element()) else { return };
    let _ = match value {
        Some(value) => root.set_attribute(name, value),
        None => root.remove_attribute(name),
    };
}

/// Gives the keyboard to the first element that a selector finds, without scrolling.
pub fn focus(selector: &str) {
    let found = window().and_then(|w| w.document()).and_then(|d| d.query_selector(selector).ok().flatten());
    let Some(element) = found else { return };
    let options = web_sys::FocusOptions::new();
    options.set_prevent_scroll(true);
    if let Some(html) = element.dyn_ref::<HtmlElement>() {
        let _ = html.focus_with_options(&options);
    } else if let Some(svg) = element.dyn_ref::<web_sys::SvgElement>() {
        let _ = svg.focus_with_options(&options);
    }
}

/// Removes `hidden` from the first element that a selector finds.
pub fn reveal(selector: &str) {
    if let Some(Ok(Some(element))) = window().and_then(|w| w.document()).map(|d| d.query_selector(selector)) {
        let _ = element.remove_attribute("hidden");
    }
}

/// Milliseconds on the page's clock, the clock of the events' time stamps.
#[must_use]
pub fn now() -> f64 {
    window().and_then(|w| w.performance()).map_or(0.0, |p| p.now())
}

thread_local! {
    /// What waits for the next frame. The browser is asked once for all of it: each asking costs as much as a small edit.
    static WAITING: RefCell<Vec<Box<dyn FnOnce()>>> = const { RefCell::new(Vec::new()) };
    /// What waits until the next frame has been painted, likewise.
    static AFTER: RefCell<Vec<Box<dyn FnOnce()>>> = const { RefCell::new(Vec::new()) };
}

/// Calls `then` once before the next frame is drawn.
pub fn next_frame(then: impl FnOnce() + 'static) {
    let first = WAITING.with_borrow_mut(|waiting| {
        waiting.push(Box::new(then));
        waiting.len() == 1
    });
    if first && let Some(window) = window() {
        let run = || WAITING.take().into_iter().for_each(|then| then());
        let _ = window.request_animation_frame(Closure::once_into_js(run).unchecked_ref());
    }
}

/// Calls `then` in a task of its own, after the frame in hand.
pub fn soon(then: impl FnOnce() + 'static) {
    if let Some(window) = window() {
        let _ = window
            .set_timeout_with_callback_and_timeout_and_arguments_0(Closure::once_into_js(then).unchecked_ref(), 0);
    }
}

/// Calls `then` once after the next frame has been painted.
pub fn after_frame(then: impl FnOnce() + 'static) {
    let first = AFTER.with_borrow_mut(|after| {
        after.push(Box::new(then));
        after.len() == 1
    });
    if first {
        next_frame(|| {
            let after = AFTER.take();
            soon(move || after.into_iter().for_each(|then| then()));
        });
    }
}

/// Waits until the next frame has been painted.
pub async fn after_paint() {
    let promise = js_sys::Promise::new(&mut |resolve, _| {
        after_frame(move || {
            let _ = resolve.call0(&wasm_bindgen::JsValue::UNDEFINED);
        });
    });
    let _ = wasm_bindgen_futures::JsFuture::from(promise).await; // it is never refused
}

/// A text in the one form that its letters have however they were typed (Unicode normalisation form C).
#[must_use]
pub fn composed(text: &str) -> String {
    js_sys::JsString::from(text).normalize("NFC").into()
}

/// Marks a tap at the time stamp of its event and measures until the next frame has been painted: performance entries
/// `cutline-tap` and `cutline-tap-to-paint`, for the benchmark.
pub fn measure_tap(time: f64) {
    after_frame(move || {
        let Some(performance) = window().and_then(|w| w.performance()) else { return };
        let painted = performance.now();
        let options = js_sys::Object::new();
        let _ = js_sys::Reflect::set(&options, &"startTime".into(), &time.into());
        call(&performance, "mark", &["cutline-tap".into(), options.into()]);
        let span = js_sys::Object::new();
        let _ = js_sys::Reflect::set(&span, &"start".into(), &time.into());
        let _ = js_sys::Reflect::set(&span, &"end".into(), &painted.into());
        call(&performance, "measure", &["cutline-tap-to-paint".into(), span.into()]);
    });
}

/// Measures from `start` (as [`now`]) until now under a name, for the benchmark.
pub fn measure(name: &str, start: f64) {
    let Some(performance) = window().and_then(|w| w.performance()) else { return };
    let span = js_sys::Object::new();
    let _ = js_sys::Reflect::set(&span, &"start".into(), &start.into());
    let _ = js_sys::Reflect::set(&span, &"end".into(), &performance.now().into());
    call(&performance, "measure", &[name.into(), span.into()]);
}

/// Calls a method by name: the option forms of `mark` and `measure` are not among the typed bindings.
fn call(target: &JsValue, method: &str, arguments: &[JsValue]) {
    if let Ok(function) = js_sys::Reflect::get(target, &method.into())
        && let Some(function) = function.dyn_ref::<js_sys::Function>()
    {
        let _ = function.apply(target, &arguments.iter().collect::<js_sys::Array>());
    }
}

/// The value of a data attribute on the element that an event hit, or on one of its ancestors.
#[must_use]
pub fn attribute_of_target(event: &web_sys::Event, name: &str) -> Option<String> {
    let element = event.target()?.dyn_into::<Element>().ok()?;
    element.closest(&format!("[{name}]")).ok()??.get_attribute(name)
}

/// Whether the element that an event hit is one of those that a selector names.
#[must_use]
pub fn is_target(event: &web_sys::Event, selector: &str) -> bool {
    let element = event.target().and_then(|target| target.dyn_into::<Element>().ok());
    element.is_some_and(|element| element.matches(selector).unwrap_or(false))
}

/// What a form field that an event came from holds now.
#[must_use]
pub fn value_of_target(event: &web_sys::Event) -> String {
    let Some(target) = event.target() else { return String::new() };
    js_sys::Reflect::get(&target, &"value".into()).ok().and_then(|value| value.as_string()).unwrap_or_default()
}

/// Left, top, width and height of the element that an event was bound to.
#[must_use]
pub fn target_frame(target: &web_sys::EventTarget) -> (f64, f64, f64, f64) {
    target.dyn_ref::<Element>().map_or((0.0, 0.0, 0.0, 0.0), frame)
}

/// All further events of this pointer go to the element that an event was bound to.
pub fn capture_target(target: &web_sys::EventTarget, pointer: i32) {
    if let Some(element) = target.dyn_ref::<Element>() {
        capture(element, pointer);
    }
}

/// Writes a line to the browser's error log, for whoever looks for the cause later.
pub fn log_error(text: &str) {
    web_sys::console::error_1(&text.into());
}

/// Scrolls the first element that a selector finds back to its beginning.
pub fn scroll_to_top(selector: &str) {
    if let Some(Ok(Some(element))) = window().and_then(|w| w.document()).map(|d| d.query_selector(selector)) {
        element.set_scroll_top(0);
    }
}

/// Whether the disclosure (`details`) whose `toggle` event this is stands open.
#[must_use]
pub fn is_open(event: &web_sys::Event) -> bool {
    event
        .target()
        .and_then(|target| target.dyn_into::<Element>().ok())
        .is_some_and(|element| element.has_attribute("open"))
}
