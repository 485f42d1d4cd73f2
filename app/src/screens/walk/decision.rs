//! What is permitted for a part and why: the recommended action at once, all options with their rules on request.
//!
//! Shows the model's trace as it is; never words a reason of its own. Stays in the page from part to part and only
//! changes its words, so that a tap builds nothing.

use super::state::Walk;
use crate::shown::Shown;
use crate::verdict::{Options, SectionWords, further, why};
use crate::widgets::{Icon, Sign};
use crate::words::{cap, t, tf};
use leptos::prelude::*;
use model::decide::{Choice, Decision, Effect};
use model::ids::PartId;
use model::plan::Difference;
use model::terms::Action;
use std::sync::Arc;

/// A decision as it changes with part and job; `None` where the part is not damaged.
pub type Standing = Memo<Option<Arc<Decision>>>;

/// The decision on the part that a memo names.
pub fn standing(walk: Walk, part: Memo<Option<PartId>>) -> Standing {
    Memo::new_with_compare(move |_| walk.planned.shown.with(|shown| on(shown.as_ref(), part)), changed)
}

/// The same as it was when the screen was last painted.
pub fn seen(walk: Walk, part: Memo<Option<PartId>>) -> Standing {
    Memo::new_with_compare(move |_| walk.seen.with(|seen| on(seen.shown.as_ref(), part)), changed)
}

fn on(shown: Option<&Arc<Shown>>, part: Memo<Option<PartId>>) -> Option<Arc<Decision>> {
    part.with(|part| shown?.on(part.as_ref()?).cloned())
}

fn changed(old: Option<&Option<Arc<Decision>>>, new: Option<&Option<Arc<Decision>>>) -> bool {
    match (old.and_then(Option::as_ref), new.and_then(Option::as_ref)) {
        (Some(old), Some(new)) => !Arc::ptr_eq(old, new),
        (None, None) => false,
        _ => true,
    }
}

/// The permitted action to which a person holds the part.
fn held(walk: Walk, decision: &Decision) -> Option<Action> {
    let held = walk.planned.job.with(|job| job.as_ref()?.holds.get(&decision.part).copied());
    held.filter(|_| decision.refused_hold.is_none())
}

/// Whether a person holds the part to what stands for it.
fn held_here(walk: Walk, decision: &Decision) -> bool {
    held(walk, decision) == Some(decision.chosen)
}

/// The standing action as sign and word, and one sentence why.
#[component]
pub fn Verdict(
    /// The decision.
    decision: Standing,
) -> impl IntoView {
    let walk = Walk::get();
    let chosen = Memo::new(move |_| decision.with(|decision| decision.as_ref().map_or(Action::Leave, |d| d.chosen)));
    let reason = Memo::new(move |_| decision.with(|decision| decision.as_ref().map(|d| why(d)).unwrap_or_default()));
    let held = Memo::new(move |_| {
        decision.with(|decision| {
            let decision = decision.as_ref()?;
            let held = held(walk, decision)?;
            Some(if held == decision.recommended {
                t("plan-held")
            } else {
                tf("ui-held-over", &[("action", &t(decision.recommended.key()))])
            })
        })
    });
    // Why the plan does more than the least that is permitted, as far as the last plan knows.
    let aimed = Memo::new(move |_| {
        decision.with(|decision| {
            let decision = decision.as_ref()?;
            let least = decision.recommended;
            if decision.chosen == least || held_here(walk, decision) {
                return None;
            }
            walk.planned.later.with(|plan| {
                let plan = plan.as_ref()?;
                let (less, action, aim) = (t(least.key()), t(decision.chosen.key()), t(plan.aim.key()));
                let own = |one: &&Difference| one.part.as_ref() == Some(&decision.part) && one.against == Some(least);
                Some(plan.differences.iter().find(own).map_or_else(
                    || tf("plan-aimed", &[("less", &less), ("action", &action), ("aim", &aim)]),
                    |difference| tf("plan-picked-for", &[("difference", &difference.text)]),
                ))
            })
        })
    });
    let refused = Memo::new(move |_| {
        decision.with(|decision| {
            let hold = decision.as_ref()?.refused_hold?;
            Some(tf("ui-hold-refused", &[("action", &t(hold.key()))]))
        })
    });
    view! {
        <section
            class="decision"
            data-action=move || chosen.get().word()
            aria-live="polite"
            hidden=move || decision.with(Option::is_none)
        >
            <div class="verdict">
                <Sign state=Signal::derive(move || chosen.get().word().to_owned()) />
                <p class="verdict-word">{move || cap(chosen.get().key())}</p>
                {move || held.get().map(|text| view! { <p class="verdict-held"><Icon name="hold" />{text}</p> })}
            </div>
            <p class="verdict-why">{move || reason.get()}</p>
            {move || aimed.get().map(|text| view! { <p class="verdict-aimed">{text}</p> })}
            {move || refused.get().map(|text| view! { <p class="verdict-refused"><Icon name="caution" />{text}</p> })}
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
    // All options stay open only for the part for which they were opened.
    let open = RwSignal::new(None::<PartId>);
    let part = Memo::new(move |_| decision.with(|decision| decision.as_ref().map(|decision| decision.part.clone())));
    let is_open = Memo::new(move |_| part.with(|part| part.is_some() && open.with(|open| open == part)));
    let also = Memo::new(move |_| told(decision, required));
    let care = Memo::new(move |_| told(decision, cautions));
    let section = Memo::new(move |_| {
        decision.with(|decision| {
            let decision = decision.as_ref()?;
            decision.option(decision.chosen)?.section.clone()
        })
    });
    view! {
        <section class="reasons" hidden=move || decision.with(Option::is_none)>
            {move || {
                let found = part.get().and_then(|part| walk.planned.book.get_untracked().part(&part));
                section.get().zip(found).map(|(plan, part)| view! { <SectionWords part plan imperial=walk.imperial() /> })
            }}
            <div class="also" hidden=move || also.with(Vec::is_empty)>
                <h3>{t("ui-also-needed")}</h3>
                <ul>
                    <For each=move || also.get() key=String::clone let:text>
                        <li>{text}</li>
                    </For>
                </ul>
            </div>
            <p class="care" hidden=move || care.with(Vec::is_empty)>
                <Icon name="caution" />
                <span><b>{t("ui-care")}</b>" "{move || care.with(|care| care.join(", "))}"."</span>
            </p>
            <button
                type="button"
                class="key disclose"
                aria-expanded=move || is_open.get().to_string()
                on:click=move |_| open.set(if is_open.get_untracked() { None } else { part.get_untracked() })
            >
                <span>{move || if is_open.get() { t("ui-options-close") } else { t("ui-options-open") }}</span>
                <Icon name="open" />
            </button>
            <Show when=move || is_open.get()>
                {move || {
                    decision
                        .get()
                        .and_then(|decision| {
                            let id = decision.part.clone();
                            let part = walk.planned.book.get_untracked().part(&id)?;
                            let on_hold = Callback::new(move |action| walk.hold(&id, action));
                            Some(view! {
                                <Options
                                    part
                                    held=held(walk, &decision)
                                    decision=(*decision).clone()
                                    imperial=walk.imperial()
                                    on_hold=on_hold
                                />
                            })
                        })
                }}
            </Show>
        </section>
    }
}

/// What a reading of the chosen option yields, each text once.
fn told(decision: Standing, read: fn(&Choice) -> Vec<String>) -> Vec<String> {
    let all = decision.with(|decision| {
        decision.as_ref().and_then(|decision| decision.option(decision.chosen)).map(read).unwrap_or_default()
    });
    let mut out: Vec<String> = Vec::new();
    for text in all {
        if !out.contains(&text) {
            out.push(text);
        }
    }
    out
}

fn required(option: &Choice) -> Vec<String> {
    further(option).map(|trace| trace.reason.to_string()).collect()
}

fn cautions(option: &Choice) -> Vec<String> {
    let heeded = option.trace.iter().filter(|trace| trace.effect != Effect::Forbids);
    heeded.flat_map(|trace| &trace.cautions).map(|caution| t(caution.key())).collect()
}
