//! Files that a person gives: the key to pick them, and what is said when something given cannot be used.
//!
//! Hands the files on as they are; reads none.

use super::Icon;
use crate::platform::picked::{self, Picked};
use leptos::prelude::*;

/// A key that lets a person pick files.
#[component]
pub fn FileKey(
    /// What it says.
    label: String,
    /// Kinds of files, as the browser's `accept` takes them.
    accept: &'static str,
    /// What tells it apart on the page.
    act: &'static str,
    /// Whether more than one may be picked at once.
    #[prop(default = false)]
    multiple: bool,
    /// Told the files.
    #[prop(into)]
    on_pick: Callback<Vec<Picked>>,
) -> impl IntoView {
    view! {
        <label class="key given-key">
            <Icon name="below" />
            <span>{label}</span>
            <input
                type="file"
                class="spoken"
                multiple=multiple
                accept=accept
                data-act=act
                on:change=move |event| on_pick.run(picked::chosen(&event))
            />
        </label>
    }
}

/// Why something given is not used.
#[component]
pub fn Refused(
    /// Why, in words.
    text: String,
) -> impl IntoView {
    view! {
        <p class="given-refused" role="alert">
            <Icon name="caution" />
            <span>{text}</span>
        </p>
    }
}
