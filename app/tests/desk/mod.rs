//! The app's state in a page of its own, for the tests of what is kept: starting it, and waiting for what it does.
//!
//! Each test file uses what it needs of it. Changes no job.
#![allow(dead_code)] // each test file is a program of its own

use app::platform::clock;
use app::state::{AppState, SaveState};
use leptos::prelude::*;
use std::cell::Cell;
use std::rc::Rc;
use wasm_bindgen::JsCast;

/// Starts the app's state as the app does: within a mounted root.
pub fn begin() -> AppState {
    let made = Rc::new(Cell::new(None));
    let out = made.clone();
    let document = web_sys::window().expect("a window").document().expect("a document");
    let root = document.create_element("div").expect("an element").unchecked_into::<web_sys::HtmlElement>();
    let handle = leptos::mount::mount_to(root, move || out.set(Some(AppState::provide())));
    handle.forget();
    made.get().expect("the root was made")
}

/// Waits until a test holds, for 4 s at most.
pub async fn until(what: &str, test: impl Fn() -> bool) {
    for _ in 0..400 {
        if test() {
            return;
        }
        clock::pause(10).await;
    }
    panic!("waited 4 s in vain until {what}");
}

/// Starts the state and waits until both stores are read.
pub async fn ready() -> AppState {
    let state = begin();
    until("both stores are read", || state.ready.get_untracked()).await;
    state
}

/// Waits until every edit is safe.
pub async fn saved(state: AppState) {
    until("all is saved", || state.saving.get_untracked() == SaveState::Saved).await;
}
