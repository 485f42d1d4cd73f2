//! Pictures: what is kept of a camera's file is made in a worker (`public/photos.js`), and shown by an address of its own.
//!
//! Knows nothing of jobs. One picture at a time: a second wish while one is under way would only take its memory too.

use super::bytes::Bytes;
use super::picked::Picked;
use js_sys::{Array, Function, Object, Promise, Reflect};
use std::cell::RefCell;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{
    Blob, BlobPropertyBag, Element, IntersectionObserver, IntersectionObserverEntry, IntersectionObserverInit,
    MessageEvent, Url, Worker,
};

const WORKER: &str = "./photos.js";
/// How long one picture may take, ms.
const PATIENCE_MS: i32 = 60_000;

/// What is kept of a camera's file.
pub struct Developed {
    /// Width, upright, pixels.
    pub width: u32,
    /// Height, pixels.
    pub height: u32,
    /// The picture, JPEG.
    pub full: Bytes,
    /// Its thumbnail, JPEG.
    pub thumb: Bytes,
    /// SHA-256 of the picture in hexadecimal digits, where the browser has it.
    pub sha256: Option<String>,
}

thread_local! {
    static DARKROOM: RefCell<Option<Worker>> = const { RefCell::new(None) };
}

/// Makes the picture, whose longest side has at most `side` pixels, and its thumbnail.
///
/// # Errors
/// The browser's own words where it cannot: the file is damaged, too large for the memory, or the browser too old.
pub async fn develop(file: &Picked, side: u32, small: u32) -> Result<Developed, String> {
    let answer = ask(file, side, small).await;
    if answer.is_err() {
        // A worker that broke or hangs is of no more use.
        if let Some(broken) = DARKROOM.with(RefCell::take) {
            broken.terminate();
        }
    }
    let answer = answer.map_err(|fault| fault.as_string().unwrap_or_else(|| format!("{fault:?}")))?;
    let get = |name: &str| Reflect::get(&answer, &name.into()).unwrap_or(JsValue::UNDEFINED);
    if let Some(fault) = get("fault").as_string() {
        return Err(fault);
    }
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // whole numbers of pixels
    let number = |name: &str| get(name).as_f64().unwrap_or_default() as u32;
    let bytes = |name: &str| get(name).dyn_into().map(Bytes).map_err(|_| name.to_owned());
    Ok(Developed {
        width: number("width"),
        height: number("height"),
        full: bytes("full")?,
        thumb: bytes("thumb")?,
        sha256: get("sha256").as_string(),
    })
}

async fn ask(file: &Picked, side: u32, small: u32) -> Result<JsValue, JsValue> {
    let worker = DARKROOM.with(|kept| match &mut *kept.borrow_mut() {
        Some(worker) => Ok(worker.clone()),
        none => Worker::new(WORKER).inspect(|worker| *none = Some(worker.clone())),
    })?;
    let wish = Object::new();
    for (name, value) in [("file", file.file().into()), ("side", side.into()), ("small", small.into())] {
        Reflect::set(&wish, &name.into(), &value)?;
    }
    let answer = Promise::new(&mut |resolve, reject| {
        let taken = Closure::once_into_js(move |event: MessageEvent| {
            let _ = resolve.call1(&JsValue::NULL, &event.data());
        });
        worker.set_onmessage(Some(taken.unchecked_ref()));
        worker.set_onerror(Some(&reject));
        if let Some(window) = web_sys::window() {
            let late = JsValue::from("no answer");
            let arguments = Array::of1(&late);
            let _ = window.set_timeout_with_callback_and_timeout_and_arguments(&reject, PATIENCE_MS, &arguments);
        }
    });
    worker.post_message(&wish)?;
    JsFuture::from(answer).await
}

/// A picture with an address under which the page can show it; dropped, the address ends.
pub struct Shown(String);

impl Shown {
    /// Gives JPEG bytes an address; `None` where the browser refuses.
    #[must_use]
    pub fn new(bytes: &Bytes) -> Option<Self> {
        let options = BlobPropertyBag::new();
        options.set_type("image/jpeg");
        let blob = Blob::new_with_buffer_source_sequence_and_options(&Array::of1(&bytes.0), &options).ok()?;
        Url::create_object_url_with_blob(&blob).ok().map(Self)
    }
    /// The address.
    #[must_use]
    pub fn address(&self) -> &str {
        &self.0
    }
}

impl Drop for Shown {
    fn drop(&mut self) {
        let _ = Url::revoke_object_url(&self.0);
    }
}

/// Calls `then` once, when the element comes near what is seen; ends with the returned value.
#[must_use]
pub fn when_near(element: &Element, then: impl FnOnce() + 'static) -> Option<Near> {
    let mut then = Some(then);
    let call =
        Closure::<dyn FnMut(Array, IntersectionObserver)>::new(move |entries: Array, own: IntersectionObserver| {
            let near = |entry: JsValue| entry.unchecked_into::<IntersectionObserverEntry>().is_intersecting();
            if entries.iter().any(near) {
                own.disconnect();
                if let Some(then) = then.take() {
                    then();
                }
            }
        });
    let options = IntersectionObserverInit::new();
    options.set_root_margin("600px");
    let function: &Function = call.as_ref().unchecked_ref();
    let observer = IntersectionObserver::new_with_options(function, &options).ok()?;
    observer.observe(element);
    Some(Near { observer, _call: call })
}

/// A running watch; ends when dropped.
pub struct Near {
    observer: IntersectionObserver,
    _call: Closure<dyn FnMut(Array, IntersectionObserver)>,
}

impl Drop for Near {
    fn drop(&mut self) {
        self.observer.disconnect();
    }
}
