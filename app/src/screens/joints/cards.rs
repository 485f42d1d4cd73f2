//! The joints of one part as cards: what cannot be made so first, then each in sentences, with the other permitted ways
//! behind a fold.
//!
//! Shows what the model found; judges nothing.

use super::{Bench, Built, said};
use crate::platform::{page, paper};
use crate::widgets::Icon;
use crate::words::{count, lowered, t, tf};
use leptos::prelude::*;
use model::ids::PartId;
use model::joints::draw::numbered;
use model::joints::{JointPlan, Note};

/// All cards of a part.
#[component]
pub fn Cards(
    /// The part.
    part: PartId,
) -> impl IntoView {
    let bench = Bench::get();
    let own = part.clone();
    view! {
        <div class="joints-cards">
            {move || {
                let imperial = bench.imperial();
                bench
                    .with(|built| {
                        let own = numbered(&built.joints).filter(|(_, plan)| plan.part == own);
                        let mut own: Vec<(usize, &JointPlan)> = own.collect();
                        // What is wrong first, else in the order of the numbers.
                        own.sort_by_key(|(number, plan)| (plan.problems.is_empty(), *number));
                        own.iter().map(|(number, plan)| card(bench, built, *number, plan, imperial)).collect_view()
                    })
            }}
            {move || bench.with(|built| elsewhere(bench, built, &part))}
        </div>
    }
}

/// Joints of the part that are made with another, each leading there.
fn elsewhere(bench: Bench, built: &Built, part: &PartId) -> impl IntoView + use<> {
    let own: Vec<_> = built.made_with.iter().filter(|one| one.part == *part).collect();
    (!own.is_empty()).then(|| {
        let rows = own.into_iter().map(|one| {
            let other = lowered(&said::name(built.book, &one.with));
            let key = if one.rest { "joints-made-with-rest" } else { "joints-made-with" };
            let numbers: Vec<usize> = numbered(&built.joints)
                .filter(|(_, plan)| one.joints.contains(&plan.id))
                .map(|(number, _)| number)
                .collect();
            let keys = numbers.into_iter().map(|number| {
                let with = one.with.clone();
                let go = move |_| {
                    bench.look_at(&with);
                    page::next_frame(move || paper::go_to(&format!("#joint-{number}")));
                };
                let text = tf("joints-made-go", &[("number", &number.to_string())]);
                view! { <button type="button" class="key" data-act="to-joint" on:click=go>{text}</button> }
            });
            view! {
                <li data-with=one.with.0.clone()>
                    <p>{tf(key, &[("part", &other)])}</p>
                    <div class="joint-acts">{keys.collect_view()}</div>
                </li>
            }
        });
        view! {
            <section class="joints-elsewhere" data-elsewhere="">
                <h3>{t("joints-elsewhere")}</h3>
                <ul>{rows.collect_view()}</ul>
            </section>
        }
    })
}

/// A joint's own id, whatever the way to join.
fn base(plan: &JointPlan) -> &str {
    plan.id.strip_suffix(plan.route.word()).unwrap_or(&plan.id)
}

fn card(bench: Bench, built: &Built, number: usize, plan: &JointPlan, imperial: bool) -> impl IntoView + use<> {
    let others: Vec<&JointPlan> =
        built.joints.iter().filter(|other| !other.picked && base(other) == base(plan)).collect();
    let others = (!others.is_empty()).then(|| {
        let ways: Vec<_> = others.iter().map(|other| way(built, other, imperial)).collect();
        let named = count("joints-others", ways.len());
        view! {
            <details class="fold joint-others" data-fold="other-ways">
                <summary><Icon name="open" /><span class="fold-name">{named}</span></summary>
                {ways}
            </details>
        }
    });
    let heading = format!("joint-{number}-name");
    let named = heading.clone();
    let drawn = plan.lies.is_some();
    view! {
        <article
            class="joint"
            id=format!("joint-{number}")
            tabindex="-1"
            data-joint=plan.id.clone()
            data-problem=(!plan.problems.is_empty()).to_string()
            aria-labelledby=heading
        >
            <h3 class="joint-name" id=named>
                <span class="joint-number">{number}</span>
                <span>{said::heading(built.book, plan)}</span>
            </h3>
            {problems(plan)}
            <p class="joint-route">{said::route(plan, imperial)}</p>
            {short(plan)}
            {rows(built, plan, imperial)}
            {drawn
                .then(|| {
                    view! {
                        <div class="joint-acts">
                            <button
                                type="button"
                                class="key"
                                data-act="show-joint"
                                aria-label=tf("joints-show-of", &[("number", &number.to_string())])
                                on:click=move |_| {
                                    bench.shown.set(Some(number));
                                    paper::go_to(".joints-map");
                                }
                            >
                                {t("joints-show")}
                            </button>
                        </div>
                    }
                })}
            {others}
        </article>
    }
}

/// What is wrong, each with what would make it possible.
fn problems(plan: &JointPlan) -> impl IntoView + use<> {
    (!plan.problems.is_empty()).then(|| {
        let said = plan.problems.iter().map(|one| one.message(said::LANGUAGE));
        view! {
            <div class="joint-problem" role="note">
                <p><Icon name="caution" /><b>{t("joints-problem")}</b></p>
                {said.map(|text| view! { <p>{text}</p> }).collect_view()}
            </div>
        }
    })
}

/// The warning that the adhesive goes off before all is closed, with its proposal.
fn short(plan: &JointPlan) -> impl IntoView + use<> {
    let warning =
        plan.notes.iter().find(|note| note.key == "joint-time-short").map(|note: &Note| note.words(said::LANGUAGE));
    warning.map(|text| view! { <p class="joint-short" data-short=""><Icon name="caution" /><span>{text}</span></p> })
}

fn rows(built: &Built, plan: &JointPlan, imperial: bool) -> impl IntoView + use<> {
    let rows = said::rows(built.book, &built.stock, plan, imperial);
    let row = |(key, lines): (&'static str, Vec<String>)| {
        view! {
            <div data-row=key>
                <dt>{t(key)}</dt>
                <dd>{lines.into_iter().map(|line| view! { <p>{line}</p> }).collect_view()}</dd>
            </div>
        }
    };
    view! { <dl class="joint-rows">{rows.into_iter().map(row).collect_view()}</dl> }
}

/// One of the other permitted ways.
fn way(built: &Built, plan: &JointPlan, imperial: bool) -> impl IntoView + use<> {
    view! {
        <section class="joint-other" data-route=plan.route.word()>
            <h4>{crate::words::cap(plan.route.key())}</h4>
            {problems(plan)}
            {short(plan)}
            {rows(built, plan, imperial)}
        </section>
    }
}
