//! What IndexedDB calls a request and a transaction, as futures. Knows no store by name.

use super::Refusal;
use crate::platform::quick::refusal;
use js_sys::{Array, Function, Object, Promise, Reflect};
use std::cell::Cell;
use std::rc::Rc;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{IdbDatabase, IdbKeyRange, IdbObjectStore, IdbOpenDbRequest, IdbRequest, IdbTransaction};

/// How long opening may take before the journal counts as refused, ms: on some systems it never answers.
const PATIENCE_MS: i32 = 10_000;

/// Begins a transaction. web-sys offers `durability` only as an unstable feature, so it is called by name.
pub(super) fn begin(database: &IdbDatabase, stores: &[&str], write: bool) -> Result<IdbTransaction, Refusal> {
    let stores: Array = stores.iter().map(|name| JsValue::from(*name)).collect();
    let options = Object::new();
    let call = |thrown: JsValue| refusal(&thrown);
    Reflect::set(&options, &"durability".into(), &"strict".into()).map_err(call)?;
    let function: Function = Reflect::get(database, &"transaction".into()).map_err(call)?.unchecked_into();
    let mode = if write { "readwrite" } else { "readonly" };
    let transaction = function.call3(database, &stores, &mode.into(), &options).map_err(call)?;
    Ok(transaction.unchecked_into())
}

/// Says that nothing more will be asked for: the browser then ends the transaction without waiting for the page. web-sys
/// takes the method for an old one, so it is called by name.
pub(super) fn end(transaction: &IdbTransaction) -> Result<(), Refusal> {
    let call = |thrown: JsValue| refusal(&thrown);
    let function: Function = Reflect::get(transaction, &"commit".into()).map_err(call)?.unchecked_into();
    function.call0(transaction).map(|_| ()).map_err(call)
}

pub(super) fn store(transaction: &IdbTransaction, name: &str) -> Result<IdbObjectStore, Refusal> {
    transaction.object_store(name).map_err(|thrown| refusal(&thrown))
}

/// The keys that begin with `prefix`.
pub(super) fn range(prefix: &str) -> Result<IdbKeyRange, Refusal> {
    IdbKeyRange::bound(&prefix.into(), &format!("{prefix}\u{ffff}").into()).map_err(|thrown| refusal(&thrown))
}

/// A list's texts. Anything else, which only a fault can have put there, becomes its JSON, so that it can be set aside.
pub(super) fn texts(list: &JsValue) -> Vec<String> {
    let text = |item: JsValue| {
        item.as_string()
            .unwrap_or_else(|| js_sys::JSON::stringify(&item).ok().and_then(|s| s.as_string()).unwrap_or_default())
    };
    list.dyn_ref::<Array>().map(|list| list.iter().map(text).collect()).unwrap_or_default()
}

pub(super) fn answered(request: &IdbRequest) -> impl Future<Output = Result<JsValue, Refusal>> + use<> {
    let request = request.clone();
    let promise = Promise::new(&mut |resolve, reject| {
        request.set_onsuccess(Some(&resolve));
        request.set_onerror(Some(&reject));
    });
    async move {
        match JsFuture::from(promise).await {
            Ok(_) => request.result().map_err(|thrown| refusal(&thrown)),
            Err(_) => Err(request.error().ok().flatten().map_or(Refusal::Blocked, |error| refusal(&error))),
        }
    }
}

pub(super) fn completed(transaction: &IdbTransaction) -> impl Future<Output = Result<(), Refusal>> + use<> {
    let transaction = transaction.clone();
    let promise = Promise::new(&mut |resolve, reject| {
        transaction.set_oncomplete(Some(&resolve));
        // A full store speaks up here, not where the text was put.
        transaction.set_onabort(Some(&reject));
    });
    async move {
        match JsFuture::from(promise).await {
            Ok(_) => Ok(()),
            Err(_) => {
                Err(transaction.error().map_or(Refusal::Broken("AbortError".to_owned()), |error| refusal(&error)))
            }
        }
    }
}

/// Waits for the database; `upgrade` makes what an older one lacks.
pub(super) async fn opened(
    request: &IdbOpenDbRequest,
    upgrade: impl Fn(&IdbDatabase) + 'static,
) -> Result<JsValue, Refusal> {
    let asking = request.clone();
    let upgrade = Closure::<dyn Fn()>::new(move || {
        if let Ok(database) = asking.result() {
            upgrade(&database.unchecked_into());
        }
    });
    request.set_onupgradeneeded(Some(upgrade.as_ref().unchecked_ref()));
    // Another tab runs an older program that does not let go; it may yet be closed.
    let held = Rc::new(Cell::new(false));
    let told = held.clone();
    let blocked = Closure::<dyn Fn()>::new(move || told.set(true));
    request.set_onblocked(Some(blocked.as_ref().unchecked_ref()));
    let patience = Promise::new(&mut |_, reject| {
        if let Some(window) = web_sys::window() {
            let _ = window.set_timeout_with_callback_and_timeout_and_arguments_0(&reject, PATIENCE_MS);
        }
    });
    let answer = Promise::new(&mut |resolve, reject| {
        request.set_onsuccess(Some(&resolve));
        request.set_onerror(Some(&reject));
    });
    if JsFuture::from(Promise::race(&Array::of2(&answer, &patience))).await.is_ok() {
        return request.result().map_err(|thrown| refusal(&thrown));
    }
    // One that answers after all must not stand open unused: it would keep every later version out.
    let late = request.clone();
    let close = Closure::<dyn Fn()>::new(move || {
        if let Ok(database) = late.result() {
            database.unchecked_into::<IdbDatabase>().close();
        }
    });
    request.set_onsuccess(Some(close.as_ref().unchecked_ref()));
    // Both may still be called, long after this has returned.
    close.forget();
    upgrade.forget();
    blocked.forget();
    // Asking for the error of a request that has not ended throws.
    Err(match request.error() {
        Ok(Some(error)) => refusal(&error),
        _ if held.get() => Refusal::Held,
        _ => Refusal::Blocked,
    })
}
