//! The sign of a state: the same hatch and line style as on the truck, always beside its word.
//!
//! Shows what it is told; knows the names of the states only to pick a pattern.

use leptos::prelude::*;

/// The hatches of the signs, once in the page. Each state has a hatch of its own, so that none needs colour.
#[component]
pub fn SignPatterns() -> impl IntoView {
    view! {
        <svg class="defs" aria-hidden="true" width="0" height="0">
            <defs>
                <Hatch id="sign-refinish" state="refinish" />
                <Hatch id="sign-repair" state="repair" />
                <Hatch id="sign-section" state="section" />
                <Hatch id="sign-replace" state="replace" />
                <Hatch id="sign-refer" state="refer" />
            </defs>
        </svg>
    }
}

/// One hatch, 10 px in its own square. Refinish: level lines. Repair: dots. Section: slanting lines. Replace: crossed
/// lines. Refer: wide upright dashes.
#[component]
pub fn Hatch(
    /// Id by which a fill names it.
    id: &'static str,
    /// The state.
    state: &'static str,
    /// The pattern's transform; on the map it undoes the zoom, so that the hatch keeps its size on the screen.
    #[prop(optional, into)]
    transform: Option<Signal<String>>,
) -> impl IntoView {
    let lines = match state {
        "refinish" => "M0 5H10",
        "section" => "M-2 12L12 -2M-2 2L2 -2M8 12L12 8",
        "replace" => "M0 0L10 10M10 0L0 10",
        "refer" => "M5 1V6",
        _ => "",
    };
    view! {
        <pattern
            id=id
            class=format!("hatch hatch-{state}")
            patternUnits="userSpaceOnUse"
            width="10"
            height="10"
            patternTransform=move || transform.map_or_else(String::new, |transform| transform.get())
        >
            <rect class="hatch-ground" width="10" height="10"></rect>
            {if state == "repair" {
                view! { <circle class="hatch-dot" cx="5" cy="5" r="1.9"></circle> }.into_any()
            } else {
                view! { <path class="hatch-line" d=lines></path> }.into_any()
            }}
        </pattern>
    }
}

/// The sign of a state as a small square. Decorative: the word beside it tells the same.
#[component]
pub fn Sign(
    /// The state: `leave`, `refinish`, `repair`, `section`, `replace` or `refer`.
    #[prop(into)]
    state: Signal<String>,
) -> impl IntoView {
    view! {
        <svg class=move || format!("sign sign-{}", state.get()) viewBox="0 0 30 30" aria-hidden="true">
            <rect class="sign-ground" x="2" y="2" width="26" height="26" rx="2"></rect>
            <rect
                class="sign-fill"
                x="2"
                y="2"
                width="26"
                height="26"
                rx="2"
                style=move || match state.get().as_str() {
                    "leave" => "fill:none".to_owned(),
                    state => format!("fill:url(#sign-{state})"),
                }
            ></rect>
            <path class="sign-under" d=move || state.with(|state| over(state))></path>
            <path class="sign-over" d=move || state.with(|state| over(state))></path>
        </svg>
    }
}

/// What stands on the hatch: a cut line, a question mark, a tick, or nothing.
fn over(state: &str) -> &'static str {
    match state {
        "section" => "M15 0V30",
        "refer" => "M10.500 11A4.500 4.500 0 1 1 17.500 14.600C15.700 15.800 15 16.600 15 18.800M15 23V23.010",
        "leave" => "M8 15L13 20L22 10",
        _ => "",
    }
}
