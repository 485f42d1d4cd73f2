//! A number to type over with what it counts beside it: money, percent, an amount.
//!
//! Reports the text when the person is done and shows what is said against it; judges nothing itself. A text that is
//! refused stays to be mended.

use crate::platform::page;
use leptos::prelude::*;

/// A named number with its unit.
#[component]
pub fn Amount(
    /// Id in the page, unique; the hint takes `<id>-hint`.
    id: String,
    /// What it is, in words.
    label: String,
    /// What it holds.
    #[prop(into)]
    value: Signal<String>,
    /// What it counts, in words.
    #[prop(into)]
    unit: Signal<String>,
    /// Told the text when the person leaves the field or presses Enter; gives back what is wrong with it, in words.
    #[prop(into)]
    on_done: Callback<String, Result<(), String>>,
) -> impl IntoView {
    let hint_id = format!("{id}-hint");
    let wrong = RwSignal::new(None::<(String, String)>);
    view! {
        <div class="amount">
            <label for=id.clone()>{label}</label>
            <div class="amount-line">
                <input
                    id=id
                    type="text"
                    inputmode="decimal"
                    maxlength="24"
                    autocomplete="off"
                    aria-describedby=hint_id.clone()
                    aria-invalid=move || if wrong.with(Option::is_some) { "true" } else { "false" }
                    prop:value=move || {
                        let shown = value.get();
                        wrong.with(|wrong| wrong.as_ref().map(|(text, _)| text.clone())).unwrap_or(shown)
                    }
                    on:change=move |event| {
                        let text = page::value_of_target(&event);
                        wrong.set(on_done.run(text.clone()).err().map(|why| (text, why)));
                    }
                />
                <span class="amount-unit">{move || unit.get()}</span>
            </div>
            <p class="field-hint" id=hint_id aria-live="polite">{move || wrong.get().map(|(_, why)| why)}</p>
        </div>
    }
}
