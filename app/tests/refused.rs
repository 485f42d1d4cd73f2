//! Keeping jobs where the browser gives nothing: the edit stays on screen, the words say what to do, the file is there.
//!
//! Each test takes a store away from the whole page, so that they stand in a file of their own, in this order.

use app::state::{AppState, SaveState};
use leptos::prelude::*;
use model::catalogue::Body;
use model::job::{Command, JobId};
use model::terms::{Bed, Cab};
use wasm_bindgen::JsValue;
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};

mod desk;

use desk::{begin, until};

wasm_bindgen_test_configure!(run_in_browser);

/// Replaces a property of the window by a getter; the old one comes back when the value is dropped.
struct Taken(&'static str);

impl Taken {
    fn new(name: &'static str, getter: &str) -> Self {
        let body = "window.before = window.before || {};
             window.before[name] = Object.getOwnPropertyDescriptor(window, name);
             Object.defineProperty(window, name, { configurable: true, get: new Function(getter) });";
        let define = js_sys::Function::new_with_args("name, getter", body);
        define.call2(&JsValue::NULL, &name.into(), &getter.into()).expect("the window's property is replaced");
        Self(name)
    }
}

impl Drop for Taken {
    fn drop(&mut self) {
        let body = "Object.defineProperty(window, name, window.before[name]);";
        let restore = js_sys::Function::new_with_args("name", body);
        restore.call1(&JsValue::NULL, &self.0.into()).expect("the window's property is back");
    }
}

fn edit(state: AppState) -> JobId {
    let id = state.create("Refused", Body { cab: Cab::FourDoor, bed: Bed::Short });
    state.dispatch(Command::SetNote("on screen".into()));
    id
}

fn note(state: AppState) -> Option<String> {
    state.open.with_untracked(|open| open.as_ref().map(|open| open.job.note.clone()))
}

fn refusal(state: AppState) -> Option<String> {
    match state.saving.get_untracked() {
        SaveState::NotSaved { reason } => Some(reason),
        _ => None,
    }
}

#[wasm_bindgen_test]
async fn without_local_storage_the_journal_keeps_everything() {
    let taken = Taken::new("localStorage", "throw new DOMException('blocked', 'SecurityError')");
    let state = begin();
    let id = edit(state);
    until("saved", || state.saving.get_untracked() == SaveState::Saved).await;
    assert_eq!(note(state).as_deref(), Some("on screen"));
    assert!(state.notices.with_untracked(|all| all.iter().any(|notice| notice.is_problem)), "it is said");
    let second = begin();
    second.open_job(&id);
    until("it comes back", || note(second).as_deref() == Some("on screen")).await;
    drop(taken);
}

#[wasm_bindgen_test]
async fn without_the_journal_nothing_is_called_saved_until_it_answers_again() {
    let taken = Taken::new("indexedDB", "return undefined");
    let state = begin();
    let id = edit(state);
    until("it is said", || refusal(state).is_some()).await;
    let reason = refusal(state).expect("a reason");
    assert!(reason.contains("last minute") && reason.contains("file"), "{reason}");
    assert_eq!(note(state).as_deref(), Some("on screen"));
    assert!(state.export_text(&id).expect("the file is there").contains("on screen"));
    drop(taken);
    state.retry_saving();
    until("saved", || state.saving.get_untracked() == SaveState::Saved).await;
}

#[wasm_bindgen_test]
async fn a_full_journal_says_so_and_the_next_try_saves() {
    let state = begin();
    until("ready", || state.ready.get_untracked()).await;
    // The browser's transaction ends as a full disk ends it: an abort with a quota error.
    let fault = js_sys::Function::new_no_args(
        "const real = IDBObjectStore.prototype.put; window.realPut = real;
         IDBObjectStore.prototype.put = function () { throw new DOMException('full', 'QuotaExceededError'); };",
    );
    fault.call0(&JsValue::NULL).expect("the fault is set");
    edit(state);
    until("it is said", || refusal(state).is_some()).await;
    assert!(refusal(state).is_some_and(|reason| reason.contains("full")));
    assert_eq!(note(state).as_deref(), Some("on screen"));
    let mend = js_sys::Function::new_no_args("IDBObjectStore.prototype.put = window.realPut;");
    mend.call0(&JsValue::NULL).expect("mended");
    state.retry_saving();
    until("saved", || state.saving.get_untracked() == SaveState::Saved).await;
}

#[wasm_bindgen_test]
async fn settings_that_the_journal_refuses_are_not_called_saved() {
    let taken = Taken::new("indexedDB", "return undefined");
    let state = begin();
    state.update_settings(|settings| settings.gloves = !settings.gloves);
    until("it is said", || refusal(state).is_some()).await;
    let reason = refusal(state).expect("a reason");
    assert!(reason.contains("lost if the browser is stopped"), "{reason}");
    drop(taken);
    state.retry_saving();
    until("saved", || state.saving.get_untracked() == SaveState::Saved).await;
}

#[wasm_bindgen_test]
async fn without_any_store_the_edit_stays_and_the_file_is_there() {
    let one = Taken::new("localStorage", "throw new DOMException('blocked', 'SecurityError')");
    let two = Taken::new("indexedDB", "return undefined");
    let state = begin();
    let id = edit(state);
    until("it is said", || refusal(state).is_some()).await;
    assert!(refusal(state).is_some_and(|reason| reason.contains("on this screen only")));
    assert!(state.export_text(&id).is_some());
    drop((one, two));
}
