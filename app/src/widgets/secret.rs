//! A passphrase to type: hidden, with a key that shows it, since gloves and sun make typing unsure.
//!
//! Keeps nothing beyond its signal, and asks the browser to remember nothing but what password keepers do.

use crate::platform::page;
use crate::words::t;
use leptos::prelude::*;

/// The field.
#[component]
pub fn Secret(
    /// Id in the page, unique.
    id: &'static str,
    /// What it is, in words.
    label: String,
    /// What was typed.
    value: RwSignal<String>,
    /// Whether it asks for the one in force, or for a new one.
    current: bool,
) -> impl IntoView {
    let shown = RwSignal::new(false);
    view! {
        <div class="field secret">
            <label for=id>{label}</label>
            <div class="secret-line">
                <input
                    id=id
                    type=move || if shown.get() { "text" } else { "password" }
                    maxlength="200"
                    autocomplete=if current { "current-password" } else { "new-password" }
                    autocapitalize="off"
                    spellcheck="false"
                    prop:value=move || value.get()
                    on:input=move |event| value.set(page::value_of_target(&event))
                />
                <button
                    type="button"
                    class="key"
                    aria-pressed=move || shown.get().to_string()
                    on:click=move |_| shown.update(|shown| *shown = !*shown)
                >
                    {t("secret-show")}
                </button>
            </div>
        </div>
    }
}
