//! A line of text to fill in: its name above it, a hint below it that is read aloud when it changes.
//!
//! Reports every keystroke and, apart from that, when the person is done; checks nothing and never refuses a letter.

use crate::platform::page;
use leptos::prelude::*;

/// A named text field.
#[component]
pub fn Field(
    /// Id in the page, unique; the hint takes `<id>-hint`.
    id: &'static str,
    /// What it is, in words.
    label: String,
    /// What it holds.
    #[prop(into)]
    value: Signal<String>,
    /// Told the text when the person leaves the field or presses Enter.
    #[prop(optional, into)]
    on_done: Option<Callback<String>>,
    /// Told the text at every keystroke.
    #[prop(optional, into)]
    on_type: Option<Callback<String>>,
    /// Greatest number of characters.
    most: usize,
    /// A hint, or empty.
    #[prop(optional, into)]
    hint: Option<Signal<String>>,
    /// Whether it holds a number, so that a tablet shows its number keys.
    #[prop(default = false)]
    decimal: bool,
    /// `text` or `date`.
    #[prop(default = "text")]
    kind: &'static str,
) -> impl IntoView {
    let hint_id = hint.map(|_| format!("{id}-hint"));
    view! {
        <div class="field">
            <label for=id>{label}</label>
            <input
                id=id
                type=kind
                maxlength=most.to_string()
                autocomplete="off"
                inputmode=decimal.then_some("decimal")
                spellcheck="false"
                aria-describedby=hint_id.clone()
                prop:value=move || value.get()
                on:input=move |event| {
                    if let Some(on_type) = on_type {
                        on_type.run(page::value_of_target(&event));
                    }
                }
                on:change=move |event| {
                    if let Some(on_done) = on_done {
                        on_done.run(page::value_of_target(&event));
                    }
                }
            />
            {hint.map(|hint| view! { <p class="field-hint" id=hint_id aria-live="polite">{move || hint.get()}</p> })}
        </div>
    }
}
