//! What is permitted for a part and why: the recommended action at once, all options with their rules on request.
//!
//! Shows the model's trace as it is; never words a reason of its own.

use super::state::Walk;
use crate::verdict::{Options, SectionWords, why};
use crate::widgets::{Icon, Sign};
use crate::words::{cap, t, tf};
use leptos::prelude::*;
use model::decide::{Choice, Decision, Effect};
use model::ids::PartId;
use std::sync::Arc;

/// A decision as it changes with the job; `None` where the part is not damaged.
pub type Standing = Memo<Option<Arc<Decision>>>;

/// The decision on a part.
pub fn standing(walk: Walk, part: PartId) -> Standing {
    Memo::new_with_compare(
        move |_| {
            let plan = walk.planned.plan.get()?;
            plan.decisions.iter().find(|decision| decision.part == part).cloned().map(Arc::new)
        },
        |_, _| true,
    )
}

/// The standing action as sign and word, and one sentence why.
#[component]
pub fn Verdict(
    /// The decision.
    decision: Standing,
) -> impl IntoView {
    view! {
        <section class="decision" data-action=move || decision.get().map(|d| d.chosen.word()) aria-live="polite">
            {move || decision.get().map(|decision| headline(&decision))}
        </section>
    }
}

/// What goes with the decision: cuts, further work, cautions, and on request all options with their rules.
#[component]
pub fn Reasons(
    /// The decision.
    decision: Standing,
) -> impl IntoView {
    let walk = Walk::get();
    let open = RwSignal::new(false);
    view! {
        <section class="reasons">
            {move || decision.get().map(|decision| details(&decision, walk.imperial()))}
            <button
                type="button"
                class="key disclose"
                aria-expanded=move || open.get().to_string()
                on:click=move |_| open.update(|open| *open = !*open)
            >
                <span>{move || if open.get() { t("ui-options-close") } else { t("ui-options-open") }}</span>
                <Icon name="open" />
            </button>
            <Show when=move || open.get()>
                {move || {
                    decision.get().map(|decision| {
                        let part = decision.part.clone();
                        let on_hold = Callback::new(move |action| walk.hold(&part, action));
                        view! { <Options decision=(*decision).clone() imperial=walk.imperial() on_hold=on_hold /> }
                    })
                }}
            </Show>
        </section>
    }
}

fn headline(decision: &Decision) -> impl IntoView + use<> {
    let chosen = decision.chosen;
    let held = decision.refused_hold.is_none() && chosen != decision.recommended;
    let why = why(decision);
    let refused = decision.refused_hold.map(|hold| tf("ui-hold-refused", &[("action", &t(hold.key()))]));
    view! {
        <div class="verdict">
            <Sign state=chosen.word() />
            <p class="verdict-word">{cap(chosen.key())}</p>
            {held
                .then(|| {
                    view! {
                        <p class="verdict-held">
                            <Icon name="hold" />
                            {tf("ui-held-over", &[("action", &t(decision.recommended.key()))])}
                        </p>
                    }
                })}
        </div>
        {(!why.is_empty()).then(|| view! { <p class="verdict-why">{why}</p> })}
        {refused.map(|text| view! { <p class="verdict-refused"><Icon name="caution" />{text}</p> })}
    }
}

fn details(decision: &Decision, imperial: bool) -> impl IntoView + use<> {
    let option = decision.option(decision.chosen);
    let section = option.and_then(|option| option.section.clone());
    let also: Vec<String> = option.map(required).unwrap_or_default();
    let cautions = option.map(cautions).unwrap_or_default();
    view! {
        {section.map(|plan| view! { <SectionWords plan imperial /> })}
        {(!also.is_empty())
            .then(|| {
                view! {
                    <div class="also">
                        <h3>{t("ui-also-needed")}</h3>
                        <ul>{also.into_iter().map(|text| view! { <li>{text}</li> }).collect_view()}</ul>
                    </div>
                }
            })}
        {(!cautions.is_empty())
            .then(|| {
                view! {
                    <p class="care">
                        <Icon name="caution" />
                        <span><b>{t("ui-care")}</b>" "{cautions.join(", ")}"."</span>
                    </p>
                }
            })}
    }
}

fn required(option: &Choice) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for trace in option.trace.iter().filter(|trace| trace.effect == Effect::Requires) {
        let text = trace.reason.to_string();
        if !out.contains(&text) {
            out.push(text);
        }
    }
    out
}

fn cautions(option: &Choice) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for caution in option.trace.iter().filter(|trace| trace.effect != Effect::Forbids).flat_map(|trace| &trace.cautions) {
        let text = t(caution.key());
        if !out.contains(&text) {
            out.push(text);
        }
    }
    out
}
