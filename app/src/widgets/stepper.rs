//! A number that a gloved finger sets without dragging or typing: less, the value in words, more.
//!
//! Clamps to its range; remembers nothing.

use super::Icon;
use leptos::prelude::*;

/// Two large buttons around a value.
#[component]
pub fn Stepper(
    /// What the number is, in words.
    label: String,
    /// The present number.
    #[prop(into)]
    value: Signal<i32>,
    /// How the number is shown, with its unit.
    #[prop(into)]
    shown: Signal<String>,
    /// Least number.
    least: i32,
    /// Greatest number.
    most: i32,
    /// Step from a number on, towards more (`true`) or less; so that small numbers move in small steps.
    step: fn(i32, bool) -> i32,
    /// Words for "less", read aloud.
    less: String,
    /// Words for "more", read aloud.
    more: String,
    /// Told the new number.
    #[prop(into)]
    on_change: Callback<i32>,
) -> impl IntoView {
    let change = move |up: bool| {
        let now = value.get_untracked();
        let by = step(now, up).max(1);
        let next = if up { now.saturating_add(by) } else { now.saturating_sub(by) }.clamp(least, most);
        if next != now {
            on_change.run(next);
        }
    };
    let spoken = label.clone();
    view! {
        <div class="stepper" role="group" aria-label=spoken>
            <span class="stepper-label" aria-hidden="true">{label}</span>
            <button type="button" class="key" aria-label=less disabled=move || { value.get() <= least } on:click=move |_| change(false)>
                <Icon name="minus" />
            </button>
            <output class="figure" aria-live="polite">{move || shown.get()}</output>
            <button type="button" class="key" aria-label=more disabled=move || { value.get() >= most } on:click=move |_| change(true)>
                <Icon name="plus" />
            </button>
        </div>
    }
}
