//! The work in stage order: each operation with its number, what it waits for, how much it is, and its cautions.
//!
//! A caution stands in full where it first comes up and as its word, to be opened, after that.

use super::measures::amount;
use super::{Desk, Heading};
use crate::widgets::Icon;
use crate::words::{cap, t, tf};
use leptos::prelude::*;
use model::operations::{Operation, caution_words};
use model::terms::{Caution, Stage};
use std::collections::{BTreeMap, BTreeSet};

/// One operation, ready to show.
#[derive(Clone, PartialEq)]
struct Step {
    number: usize,
    name: String,
    part: Option<String>,
    after: Vec<usize>,
    measure: String,
    makes_room: Vec<String>,
    /// Cautions, each with whether it comes up for the first time.
    cautions: Vec<(Caution, bool)>,
}

/// The list.
#[component]
pub fn Work() -> impl IntoView {
    let desk = Desk::get();
    let stages = Memo::new(move |_| {
        let imperial = desk.imperial();
        desk.planned.plan.with(|plan| {
            let all = plan.as_ref().map(|plan| plan.operations.as_slice()).unwrap_or_default();
            staged(desk, all, imperial)
        })
    });
    let number =
        Signal::derive(move || stages.with(|stages| stages.iter().map(|(_, steps)| steps.len()).sum::<usize>()));
    view! {
        <section class="work" aria-labelledby="plan-work">
            <Heading id="plan-work" key="plan-work" number=number />
            <p class="form-note">{t("plan-work-note")}</p>
            {move || {
                stages
                    .get()
                    .into_iter()
                    .map(|(stage, steps)| {
                        let first = steps.first().map_or(1, |step| step.number);
                        view! {
                            <div class="stage" data-stage=stage.word()>
                                <h3>{cap(stage.key())}</h3>
                                <ol class="steps" start=first.to_string()>{steps.into_iter().map(row).collect_view()}</ol>
                            </div>
                        }
                    })
                    .collect_view()
            }}
        </section>
    }
}

fn staged(desk: Desk, all: &[Operation], imperial: bool) -> Vec<(Stage, Vec<Step>)> {
    let numbers: BTreeMap<&str, usize> = all.iter().enumerate().map(|(at, one)| (one.id.as_str(), at + 1)).collect();
    let mut known: BTreeSet<Caution> = BTreeSet::new();
    let mut out: Vec<(Stage, Vec<Step>)> = Vec::new();
    for (at, one) in all.iter().enumerate() {
        let mut after: Vec<usize> = one.after.iter().filter_map(|id| numbers.get(id.as_str()).copied()).collect();
        after.sort_unstable();
        let name = desk.planned.book.with_untracked(|book| one.name(book));
        let step = Step {
            number: at + 1,
            part: one.part.as_ref().map(|part| desk.name(part)).filter(|part| !says(&name, part)),
            name,
            after,
            measure: amount(&one.amount, imperial),
            makes_room: one.access_for.iter().map(|part| desk.name(part)).collect(),
            cautions: one.cautions.iter().map(|caution| (*caution, known.insert(*caution))).collect(),
        };
        match out.last_mut() {
            Some((stage, steps)) if *stage == one.stage => steps.push(step),
            _ => out.push((one.stage, vec![step])),
        }
    }
    out
}

/// Whether a sentence names the part already.
fn says(sentence: &str, name: &str) -> bool {
    sentence.to_lowercase().contains(&name.to_lowercase())
}

fn row(step: Step) -> impl IntoView {
    let after = match step.after.as_slice() {
        [] => None,
        [one] => Some(tf("plan-after-one", &[("step", &one.to_string())])),
        [first @ .., last] => {
            let list = first.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ");
            Some(tf("plan-after", &[("steps", &list), ("last", &last.to_string())]))
        }
    };
    let room = (!step.makes_room.is_empty()).then(|| tf("plan-makes-room", &[("parts", &step.makes_room.join(", "))]));
    let facts: Vec<String> =
        [step.part, room, Some(step.measure).filter(|text| !text.is_empty()), after].into_iter().flatten().collect();
    let cautions = step
        .cautions
        .into_iter()
        .map(|(caution, first)| {
            view! {
                <details class="step-care" open=first data-caution=caution.word()>
                    <summary>
                        <Icon name="caution" />
                        {cap(caution.key())}
                    </summary>
                    <p>{caution_words(caution)}</p>
                </details>
            }
        })
        .collect_view();
    view! {
        <li class="step" value=step.number.to_string()>
            <span class="step-number" aria-hidden="true">{step.number}</span>
            <p class="step-name">{step.name}</p>
            {(!facts.is_empty()).then(|| view! { <p class="step-facts">{facts.join(" · ")}</p> })}
            {cautions}
        </li>
    }
}
