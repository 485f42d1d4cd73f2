//! One of a few: a row or grid of large buttons of which one is pressed.
//!
//! Shows what it is given and reports a press; remembers nothing.

use super::Icon;
use leptos::prelude::*;

/// One thing to choose.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pick {
    /// What is reported when it is chosen.
    pub value: String,
    /// What it says.
    pub label: String,
    /// Name of its pictogram, or empty.
    pub icon: &'static str,
}

impl Pick {
    /// A choice without a pictogram.
    #[must_use]
    pub fn plain(value: impl Into<String>, label: impl Into<String>) -> Self {
        Self { value: value.into(), label: label.into(), icon: "" }
    }
}

/// A group of buttons of which the one with the present value is pressed.
#[component]
pub fn Choices(
    /// What is chosen here, in words; shown above and read aloud.
    label: String,
    /// The choices; a new list redraws the group.
    #[prop(into)]
    picks: Signal<Vec<Pick>>,
    /// The present value; one that no choice has leaves all unpressed.
    #[prop(into)]
    value: Signal<String>,
    /// Told the value of a pressed button.
    #[prop(into)]
    on_pick: Callback<String>,
    /// Class beside `choices`: `grid` (three a row), `row` (one row), `stack` (one below another).
    #[prop(default = "row")]
    form: &'static str,
    /// Whether the label is only read aloud.
    #[prop(default = false)]
    quiet: bool,
) -> impl IntoView {
    let spoken = label.clone();
    view! {
        <div class=format!("choices form-{form}") role="group" aria-label=spoken>
            {(!quiet).then(|| view! { <p class="choices-label" aria-hidden="true">{label}</p> })}
            <div class="choices-keys">
                <For each=move || picks.get() key=|pick| pick.value.clone() let:pick>
                    {
                        let (own, said) = (pick.value.clone(), pick.value.clone());
                        view! {
                            <button
                                type="button"
                                class="key"
                                data-value=pick.value.clone()
                                aria-pressed=move || if value.with(|v| *v == own) { "true" } else { "false" }
                                on:click=move |_| on_pick.run(said.clone())
                            >
                                {(!pick.icon.is_empty()).then(|| view! { <Icon name=pick.icon /> })}
                                <span>{pick.label.clone()}</span>
                            </button>
                        }
                    }
                </For>
            </div>
        </div>
    }
}
