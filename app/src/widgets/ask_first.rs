//! A key for what cannot be taken back by undo: it asks once before it acts.
//!
//! Knows nothing of what it does.

use crate::words::t;
use leptos::prelude::*;

/// The key; once pressed, one that acts and one that does not.
#[component]
pub fn AskFirst(
    /// What tells the key apart on the page; the one that acts takes `<act>-sure`.
    act: &'static str,
    /// Key of its words; those of the two that follow are `<words>-sure` and `<words>-not`.
    words: &'static str,
    /// Does it.
    #[prop(into)]
    on_sure: Callback<()>,
) -> impl IntoView {
    let asked = RwSignal::new(false);
    let first = move || {
        view! {
            <button type="button" class="key" data-act=act on:click=move |_| asked.set(true)>{t(words)}</button>
        }
    };
    view! {
        <div class="shop-acts">
            <Show when=move || asked.get() fallback=first>
                <button type="button" class="key" data-act=format!("{act}-sure") on:click=move |_| {
                    asked.set(false);
                    on_sure.run(());
                }>
                    {t(&format!("{words}-sure"))}
                </button>
                <button type="button" class="key" on:click=move |_| asked.set(false)>{t(&format!("{words}-not"))}</button>
            </Show>
        </div>
    }
}
