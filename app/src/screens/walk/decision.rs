//! What is permitted for a part and why: the recommended action at once, all options with their rules on request.
//!
//! Shows the model's trace as it is; never words a reason of its own.

use super::state::Walk;
use crate::widgets::{Icon, Sign};
use crate::words::{cap, length, t, tf};
use leptos::prelude::*;
use model::decide::{Choice, Decision, Effect, SectionPlan, Trace};
use model::ids::PartId;
use model::terms::{Action, Join};
use std::sync::Arc;

/// The decision on a part; empty where the part is not damaged.
#[component]
pub fn DecisionView(
    /// The part.
    part: PartId,
) -> impl IntoView {
    let walk = Walk::get();
    let own = part.clone();
    let decision = Memo::new_with_compare(
        move |_| {
            let plan = walk.planned.plan.get()?;
            plan.decisions.iter().find(|decision| decision.part == own).cloned().map(Arc::new)
        },
        |_, _| true,
    );
    let open = RwSignal::new(false);
    view! {
        <Show when=move || decision.with(Option::is_some)>
            <section class="decision" data-action=move || decision.get().map(|d| d.chosen.word()) aria-live="polite">
                {move || decision.get().map(|decision| headline(&decision))}
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
                    {
                        move || decision.get().map(|decision| options(walk, &decision))
                    }
                </Show>
            </section>
        </Show>
    }
}

/// The standing action as sign and word, one sentence why, and what must be known at once.
fn headline(decision: &Decision) -> impl IntoView + use<> {
    let chosen = decision.chosen;
    let held = decision.refused_hold.is_none() && chosen != decision.recommended;
    let why = why(decision);
    let refused = decision.refused_hold.map(|hold| tf("ui-hold-refused", &[("action", &t(hold.key()))]));
    let option = decision.option(chosen);
    let section = option.and_then(|option| option.section.as_ref());
    let also: Vec<String> = option.map(required).unwrap_or_default();
    let cautions = option.map(cautions).unwrap_or_default();
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
        {section.map(section_words)}
        {(!also.is_empty()).then(|| view! {
            <div class="verdict-also">
                <p><b>{t("ui-also-needed")}</b></p>
                <ul>{also.into_iter().map(|text| view! { <li>{text}</li> }).collect_view()}</ul>
            </div>
        })}
        {(!cautions.is_empty())
            .then(|| {
                view! {
                    <p class="verdict-care">
                        <Icon name="caution" />
                        <span><b>{t("ui-care")}</b>" "{cautions.join(", ")}"."</span>
                    </p>
                }
            })}
    }
}

/// The sentence that tells most: why nothing less intrusive will do, or else why the action is permitted.
fn why(decision: &Decision) -> String {
    fn forbidding(option: &Choice) -> Option<&Trace> {
        option.trace.iter().find(|trace| trace.effect == Effect::Forbids)
    }
    let less = decision
        .options
        .iter()
        .filter(|option| option.action < decision.chosen && !option.permitted)
        .rev()
        .find_map(forbidding);
    let own = decision
        .option(decision.chosen)
        .and_then(|option| option.trace.iter().find(|trace| trace.effect == Effect::Permits));
    let strong = matches!(decision.chosen, Action::Section | Action::Replace | Action::Refer);
    let found = if strong { less.or(own) } else { own.or(less) };
    found.map(|trace| trace.reason.to_string()).unwrap_or_default()
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

/// Where to cut, in words: each line with its length, its distance from the damage and from what it must keep clear of.
fn section_words(plan: &SectionPlan) -> impl IntoView + use<> {
    let imperial = untrack(|| Walk::get().imperial());
    let share = format!("{:.0}", plan.share * 100.0);
    let lines: Vec<String> = plan
        .cuts
        .iter()
        .map(|cut| {
            let mut text = tf(
                if cut.join == Join::Butt { "ui-cut-butt" } else { "ui-cut-lap" },
                &[
                    ("length", &length(cut.length_mm, imperial)),
                    ("sleeve", &length(cut.sleeve_mm, imperial)),
                ],
            );
            if cut.to_damage_mm.is_finite() {
                text.push(' ');
                text.push_str(&tf("ui-cut-damage", &[("distance", &length(cut.to_damage_mm, imperial))]));
            }
            if let Some((kind, distance)) = &cut.nearest_no_cut {
                text.push(' ');
                text.push_str(&tf(
                    "ui-cut-clear",
                    &[("what", &t(kind.key())), ("distance", &length(*distance, imperial))],
                ));
            }
            text
        })
        .collect();
    view! {
        <div class="cuts">
            <p><Icon name="cut" />{tf("ui-section-share", &[("share", &share)])}</p>
            <ul>{lines.into_iter().map(|line| view! { <li>{line}</li> }).collect_view()}</ul>
        </div>
    }
}

/// All six actions, each permitted or forbidden with the rules that said so.
fn options(walk: Walk, decision: &Decision) -> impl IntoView + use<> {
    let (chosen, recommended, refused) = (decision.chosen, decision.recommended, decision.refused_hold);
    let part = decision.part.clone();
    let held = refused.or((chosen != recommended).then_some(chosen));
    decision
        .options
        .iter()
        .map(|option| {
            let action = option.action;
            let (to_hold, to_let) = (part.clone(), part.clone());
            let state = if option.permitted { "ui-permitted" } else { "ui-forbidden" };
            let routes: Vec<String> =
                option.routes.iter().filter(|route| route.permitted).map(|route| t(route.route.key())).collect();
            view! {
                <article class="option" data-action=action.word() data-permitted=option.permitted.to_string()>
                    <header>
                        <Sign state=action.word() />
                        <h4>{cap(action.key())}</h4>
                        <p class="option-state">
                            {t(state)}
                            {(action == recommended).then(|| format!(" · {}", t("ui-recommended")))}
                        </p>
                    </header>
                    {option.section.as_ref().filter(|_| action != chosen).map(section_words)}
                    {(!routes.is_empty() && option.permitted)
                        .then(|| view! { <p class="option-routes"><b>{t("ui-joined")}</b>" "{routes.join(", ")}"."</p> })}
                    <ul class="traces">{option.trace.iter().map(trace_view).collect_view()}</ul>
                    {option.trace.is_empty().then(|| view! { <p class="trace-none">{t("ui-no-rule")}</p> })}
                    {(held == Some(action))
                        .then(|| {
                            view! {
                                <button type="button" class="key" on:click=move |_| walk.hold(&to_let, None)>
                                    {t("ui-let-go")}
                                </button>
                            }
                        })}
                    {(option.permitted && action != chosen)
                        .then(|| {
                            view! {
                                <button type="button" class="key" on:click=move |_| walk.hold(&to_hold, Some(action))>
                                    <Icon name="hold" />
                                    {tf("ui-hold", &[("action", &t(action.key()))])}
                                </button>
                            }
                        })}
                </article>
            }
        })
        .collect_view()
}

fn trace_view(trace: &Trace) -> impl IntoView + use<> {
    let basis = if trace.basis.source.is_empty() {
        cap(trace.basis.kind.key())
    } else {
        format!("{}: {}", cap(trace.basis.kind.key()), trace.basis.source)
    };
    view! {
        <li class=format!("trace trace-{}", trace.effect.word())>
            <p><b>{t(&format!("ui-effect-{}", trace.effect.word()))}</b>" "{trace.reason.to_string()}</p>
            <p class="trace-basis">{basis}" · "<code>{trace.rule.0.clone()}</code></p>
        </li>
    }
}
