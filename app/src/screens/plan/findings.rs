//! The findings as cards, grouped by where they sit: what was seen, what is done, why, and all options on request.
//!
//! A card stays in its place when another option is chosen. Judges nothing.

use super::alternatives::Alternatives;
use super::cutmap::CutMapOf;
use super::figures::{Coin, hours};
use super::head::is_renewed;
use super::measures::seen;
use super::{Desk, Heading};
use crate::verdict::{self, Routes, SectionWords};
use crate::widgets::{Icon, Sign};
use crate::words::{cap, count, t, tf};
use leptos::prelude::*;
use model::decide::{Decision, Pick};
use model::ids::PartId;
use model::job::Revision;
use model::terms::{Action, Layer};

/// All findings.
#[component]
pub fn Findings() -> impl IntoView {
    let desk = Desk::get();
    let number =
        Signal::derive(move || desk.planned.plan.with(|plan| plan.as_ref().map_or(0, |plan| plan.decisions.len())));
    view! {
        <section class="findings" aria-labelledby="plan-parts">
            <Heading id="plan-parts" key="plan-parts" number=number />
            {Layer::ALL.iter().map(|layer| view! { <Group layer=*layer /> }).collect_view()}
        </section>
    }
}

/// The findings of one layer, from front to rear.
#[component]
fn Group(
    /// The layer.
    layer: Layer,
) -> impl IntoView {
    let desk = Desk::get();
    let parts = Memo::new(move |_| {
        let book = desk.planned.book.get();
        let mut parts: Vec<(i64, PartId)> = desk.planned.plan.with(|plan| {
            let decisions = plan.as_ref().map(|plan| plan.decisions.as_slice()).unwrap_or_default();
            let own =
                decisions.iter().filter_map(|decision| book.part(&decision.part)).filter(|part| part.layer == layer);
            #[allow(clippy::cast_possible_truncation)] // metres of a vehicle, in whole millimetres
            own.map(|part| (part.centre().0.round() as i64, part.id.clone())).collect()
        });
        parts.sort();
        parts.into_iter().map(|(_, part)| part).collect::<Vec<_>>()
    });
    view! {
        <Show when=move || !parts.with(Vec::is_empty)>
            <div class="group" data-layer=layer.word()>
                <h3>{t(&format!("plan-layer-{}", layer.word()))}</h3>
                <For each=move || parts.get() key=|part| part.clone() let:part>
                    <Card part=part />
                </For>
            </div>
        </Show>
    }
}

#[component]
fn Card(
    /// The part.
    part: PartId,
) -> impl IntoView {
    let desk = Desk::get();
    let own = part.clone();
    let decision = Memo::new_with_compare(
        move |_| {
            desk.planned.plan.with(|plan| {
                let plan = plan.as_ref()?;
                let (decision, pick) = plan.decisions.iter().zip(&plan.picks).find(|(known, _)| known.part == own)?;
                Some((decision.clone(), pick.clone()))
            })
        },
        |_, _| true,
    );
    let id = format!("finding-{}", part.0);
    let (own, to_fold, to_show) = (part.clone(), part.clone(), part.clone());
    let options = StoredValue::new(part.clone());
    let open = Memo::new(move |_| desk.unfolded.with(|open| open.contains(&own)));
    let may_section = Memo::new(move |_| {
        decision.with(|known| {
            let option = known.as_ref().and_then(|(decision, _)| decision.option(Action::Section));
            option.is_some_and(|option| option.permitted && option.section.is_some())
        })
    });
    let cuts_part = StoredValue::new(part.clone());
    let mapped = Memo::new(move |_| desk.mapped.with(|open| cuts_part.with_value(|part| open.contains(part))));
    let name = desk.name(&part);
    let (spoken, more) = (name.clone(), name.clone());
    let heading = format!("{id}-name");
    let named = heading.clone();
    let own = part.clone();
    let cost = move || desk.current.with(|plan| plan.as_ref().and_then(|plan| own_cost(plan, &own)));
    view! {
        <article
            class="finding"
            id=id
            tabindex="-1"
            data-part=part.to_string()
            data-action=move || decision.get().map(|(_, pick)| pick.action.word())
            aria-labelledby=heading.clone()
        >
            <h4 class="finding-name" id=named>{name}</h4>
            <div class="finding-verdict" aria-live="polite">
                {move || decision.get().map(|(decision, pick)| standing(desk, &decision, &pick))}
            </div>
            <p class="finding-cost" data-cost="">{cost}</p>
            <div class="finding-acts">
                <button
                    type="button"
                    class="key disclose"
                    data-act="options"
                    aria-expanded=move || open.get().to_string()
                    aria-label=move || of_part(if open.get() { "ui-options-close" } else { "ui-options-open" }, &more)
                    on:click=move |_| {
                        desk.unfolded.update(|open| {
                            if !open.remove(&to_fold) {
                                open.insert(to_fold.clone());
                            }
                        });
                    }
                >
                    <span>{move || t(if open.get() { "ui-options-close" } else { "ui-options-open" })}</span>
                    <Icon name="open" />
                </button>
                <button
                    type="button"
                    class="key"
                    data-act="show"
                    aria-label=of_part("plan-show", &spoken)
                    on:click=move |_| desk.walk_to(&to_show)
                >
                    {t("plan-show")}
                </button>
                <Show when=move || may_section.get()>
                    <CutsKey part=cuts_part.get_value() />
                </Show>
                <Show when=move || decision.with(|known| known.as_ref().is_some_and(|(_, pick)| is_renewed(pick)))>
                    <button
                        type="button"
                        class="key"
                        data-act="joints"
                        aria-label=cuts_part.with_value(|part| of_part("joints-open", &desk.name(part)))
                        on:click=move |_| cuts_part.with_value(|part| desk.joints_of(Some(part)))
                    >
                        {t("joints-open")}
                    </button>
                </Show>
            </div>
            <Show when=move || may_section.get() && mapped.get()>
                <CutMapOf part=cuts_part.get_value() decided=decision />
            </Show>
            <Show when=move || open.get()>
                <div class="finding-options">
                    {move || {
                        decision
                            .get()
                            .map(|(decision, _)| view! { <Alternatives part=options.get_value() decision=decision /> })
                    }}
                </div>
            </Show>
        </article>
    }
}

/// The key that unfolds the cut map.
#[component]
fn CutsKey(
    /// The part.
    part: PartId,
) -> impl IntoView {
    let desk = Desk::get();
    let (own, name) = (part.clone(), desk.name(&part));
    let open = Memo::new(move |_| desk.mapped.with(|open| open.contains(&own)));
    view! {
        <button
            type="button"
            class="key disclose"
            data-act="cuts"
            aria-expanded=move || open.get().to_string()
            aria-label=of_part("cutmap-open", &name)
            on:click=move |_| {
                desk.mapped.update(|open| {
                    if !open.remove(&part) {
                        open.insert(part.clone());
                    }
                });
            }
        >
            <span>{t("cutmap-open")}</span>
            <Icon name="cut" />
        </button>
    }
}

/// What stands for a part: sign and word, why, what the person chose, where to cut, how to join, what else is needed.
fn standing(desk: Desk, decision: &Decision, pick: &Pick) -> impl IntoView + use<> {
    let imperial = desk.imperial();
    let chosen = pick.action;
    let held = desk.is_held(&decision.part) && decision.refused_hold.is_none();
    let aimed = (!held && chosen != decision.recommended).then(|| {
        let (less, aim) = (t(decision.recommended.key()), t(desk.aim.get().key()));
        let why = tf("plan-aimed", &[("less", &less), ("action", &t(chosen.key())), ("aim", &aim)]);
        [why].into_iter().chain(desk.differences(&decision.part)).collect::<Vec<_>>().join(" ")
    });
    let refused = decision.refused_hold.map(|hold| {
        let reason = decision.option(hold).and_then(|option| option.headline()).map(|trace| trace.reason.to_string());
        tf("plan-hold-refused", &[("action", &t(hold.key())), ("reason", &reason.unwrap_or_default())])
    });
    let refused = refused.or_else(|| desk.conflict(&decision.part));
    let option = decision.option(chosen);
    let also: Vec<String> = option
        .map(|option| verdict::further(option).map(|trace| trace.reason.to_string()).collect())
        .unwrap_or_default();
    let joined = matches!(chosen, Action::Section | Action::Replace);
    let routes = option.filter(|_| joined).map(|option| option.routes.clone()).unwrap_or_default();
    let section = pick.section.as_deref().cloned().filter(|_| chosen == Action::Section);
    let why = verdict::why(&Decision { chosen, ..decision.clone() });
    let joined = pick.route.filter(|_| joined).map(|standing| {
        let others: Vec<String> = routes
            .iter()
            .filter(|route| route.permitted && route.route != standing)
            .map(|route| t(route.route.key()))
            .collect();
        let way = t(standing.key());
        if others.is_empty() {
            tf("plan-joined", &[("way", &way)])
        } else {
            tf("plan-joined-or", &[("way", &way), ("others", &listed(&others))])
        }
    });
    let number = routes.len() + also.len();
    view! {
        <p class="finding-word">
            <Sign state=chosen.word() />
            <b>{cap(chosen.key())}</b>
        </p>
        <p class="finding-seen">{seen(&decision.finding, imperial)}</p>
        {(!why.is_empty()).then(|| view! { <p class="finding-why">{why}</p> })}
        {held
            .then(|| {
                view! {
                    <p class="verdict-held">
                        <Icon name="hold" />
                        {if chosen == decision.recommended {
                            t("plan-held")
                        } else {
                            tf("ui-held-over", &[("action", &t(decision.recommended.key()))])
                        }}
                    </p>
                }
            })}
        {aimed.map(|text| view! { <p class="finding-aimed">{text}</p> })}
        {refused.map(|text| view! { <p class="verdict-refused"><Icon name="caution" />{text}</p> })}
        {section
            .zip(desk.part(&decision.part))
            .map(|(plan, part)| view! { <SectionWords part plan imperial /> })}
        {joined.map(|text| view! { <p class="finding-joined">{text}</p> })}
        {(number > 0)
            .then(|| {
                view! {
                    <details class="finding-more">
                        <summary>
                            <Icon name="open" />
                            {count(if routes.is_empty() { "plan-further" } else { "plan-joining" }, number)}
                        </summary>
                        <Routes routes />
                        {(!also.is_empty())
                            .then(|| {
                                view! {
                                    <div class="finding-also">
                                        <p><b>{t("ui-also-needed")}</b></p>
                                        <ul>{also.into_iter().map(|text| view! { <li>{text}</li> }).collect_view()}</ul>
                                    </div>
                                }
                            })}
                    </details>
                }
            })}
    }
}

/// What a key says, with the part to which it belongs; read aloud.
fn of_part(key: &str, part: &str) -> String {
    tf("plan-of-part", &[("what", &t(key)), ("part", part)])
}

/// Names with commas, and "or" before the last.
fn listed(names: &[String]) -> String {
    match names {
        [first @ .., last] if !first.is_empty() => tf("plan-or", &[("first", &first.join(", ")), ("last", last)]),
        _ => names.concat(),
    }
}

/// What is done to this part alone comes to; `None` where nothing is.
fn own_cost(plan: &Revision, part: &PartId) -> Option<String> {
    let own = || plan.lines.iter().filter(|line| line.part.as_ref() == Some(part));
    let (money, seconds) = (own().map(|line| line.amount).sum::<i64>(), own().map(|line| line.seconds).sum::<u64>());
    own().next()?;
    Some(tf("plan-own-cost", &[("money", &Coin::of(plan).say(money)), ("hours", &hours(seconds))]))
}
