//! The work in stage order: each operation with its number, what it waits for, how much it is, and its cautions.
//!
//! A caution stands in full where it first comes up and as its word, to be opened, after that.

use super::figures::{Coin, exact};
use super::measures::amount;
use super::{Desk, Fold, Heading};
use crate::widgets::Icon;
use crate::words::{cap, t, tf};
use leptos::prelude::*;
use model::estimate::sublet;
use model::job::Revision;
use model::operations::caution_words;
use model::plan::Plan;
use model::revision::LINE_OF;
use model::terms::{Caution, Skill, Stage, Unit, Work};
use model::times::{Hours, Term};
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
    /// What of it is done and counted with another part.
    elsewhere: Vec<String>,
    /// What it waits for beyond other steps.
    held: Option<String>,
    /// Cautions, each with whether it comes up for the first time.
    cautions: Vec<(Caution, bool)>,
    /// `None` where the work is done outside.
    hours: Option<Hours>,
    lines: Vec<(String, String, i64)>,
    money: i64,
    coin: Coin,
}

/// The list.
#[component]
pub fn Work() -> impl IntoView {
    let desk = Desk::get();
    let stages = Memo::new(move |_| {
        let imperial = desk.imperial();
        desk.planned.plan.with(|plan| {
            let Some(plan) = plan.as_ref() else { return Vec::new() };
            desk.current.with(|sums| sums.as_ref().map(|sums| staged(desk, plan, sums, imperial)).unwrap_or_default())
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

/// Work after which the vehicle leaves: it waits until every adhesive carries.
const HELD: [Work; 2] = [Work::FinalInspection, Work::RoadTest];

fn staged(desk: Desk, plan: &Plan, sums: &Revision, imperial: bool) -> Vec<(Stage, Vec<Step>)> {
    let shop = desk.planned.shop;
    let (all, hours, coin) = (&plan.operations, &plan.estimate.work, Coin::of(sums));
    let mut paid: BTreeMap<&str, Vec<(String, String, i64)>> = BTreeMap::new();
    for line in &sums.lines {
        if let Some((operation, _)) = line.key.split_once(LINE_OF) {
            // The step's own name is the first half of the line's and stands above already.
            let what = line.what.split_once(": ").map_or(line.what.as_str(), |(_, what)| what);
            let line = (what.to_owned(), line.how.clone(), line.amount);
            paid.entry(operation).or_default().push(line);
        }
    }
    let numbers: BTreeMap<&str, usize> = all.iter().enumerate().map(|(at, one)| (one.id.as_str(), at + 1)).collect();
    let mut known: BTreeSet<Caution> = BTreeSet::new();
    let mut out: Vec<(Stage, Vec<Step>)> = Vec::new();
    for (at, one) in all.iter().enumerate() {
        let mut after: Vec<usize> = one.after.iter().filter_map(|id| numbers.get(id.as_str()).copied()).collect();
        after.sort_unstable();
        let name = desk.planned.book.with_untracked(|book| one.name(book));
        let lines: Vec<(String, String, i64)> = paid.get(one.id.as_str()).cloned().unwrap_or_default();
        let step = Step {
            number: at + 1,
            part: one.part.as_ref().map(|part| desk.name(part)).filter(|part| !says(&name, part)),
            name,
            after,
            measure: amount(&one.amount, imperial),
            elsewhere: one
                .elsewhere
                .iter()
                .map(|(part, less)| {
                    let arguments = [("part", &*desk.name(part).to_lowercase()), ("amount", &*amount(less, imperial))];
                    tf("plan-elsewhere", &arguments)
                })
                .collect(),
            held: plan.estimate.hand_over.as_ref().filter(|_| HELD.contains(&one.work)).map(|hold| {
                let step = numbers.get(hold.operation.as_str()).map_or(0, |number| *number).to_string();
                tf("plan-step-held", &[("step", &step), ("time", &exact(60 * u64::from(hold.minutes)))])
            }),
            makes_room: one.access_for.iter().map(|part| desk.name(part)).collect(),
            cautions: one.cautions.iter().map(|caution| (*caution, known.insert(*caution))).collect(),
            hours: (!shop.with(|shop| sublet(shop, one))).then(|| hours[at].clone()),
            money: lines.iter().map(|(_, _, amount)| amount).sum(),
            lines,
            coin: coin.clone(),
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
    let facts: Vec<String> = [step.part, room, Some(step.measure).filter(|text| !text.is_empty())]
        .into_iter()
        .flatten()
        .chain(step.elsewhere)
        .chain(after)
        .chain(step.held)
        .collect();
    let cautions = step
        .cautions
        .into_iter()
        .map(|(caution, first)| {
            view! {
                <details class="step-care" open=first data-caution=caution.word()>
                    <summary>
                        <Icon name="caution" />
                        {cap(caution.key())}
                        <Icon name="open" />
                    </summary>
                    <p>{caution_words(caution)}</p>
                </details>
            }
        })
        .collect_view();
    let sums = sums(step.hours, step.lines, step.money, step.coin);
    view! {
        <li class="step" value=step.number.to_string()>
            <span class="step-number" aria-hidden="true">{step.number}</span>
            <p class="step-name">{step.name}</p>
            {(!facts.is_empty()).then(|| view! { <p class="step-facts">{facts.join(" · ")}</p> })}
            {sums}
            {cautions}
        </li>
    }
}

/// Hours and money of a step, opening to the arithmetic of both.
fn sums(hours: Option<Hours>, lines: Vec<(String, String, i64)>, money: i64, coin: Coin) -> impl IntoView {
    let name = hours.as_ref().map_or_else(
        || t("plan-step-outside"),
        |hours| tf("plan-step-hours", &[("hours", &exact(hours.seconds)), ("skill", &t(hours.skill.key()))]),
    );
    let hours =
        hours.unwrap_or(Hours { skill: Skill::Body, terms: Vec::new(), seconds: 0, wait: None, carry_minutes: 0 });
    let waits = hours
        .wait
        .filter(|(_, seconds)| *seconds > 0)
        .map(|(wait, seconds)| tf("plan-step-wait", &[("wait", &t(wait.key())), ("time", &exact(u64::from(seconds)))]));
    let shown = coin.clone();
    (hours.seconds > 0 || money != 0).then(|| {
        view! {
            <Fold class="step-sums" name=name figure=coin.say(money) act="step" paper=false>
                {
                    let terms = hours.terms.iter().filter(|term| term.seconds > 0).map(term_row).collect_view();
                    let paid = lines
                        .iter()
                        .map(|(what, how, amount)| {
                            view! {
                                <tr data-amount=amount.to_string()>
                                    <th scope="row">{what.clone()}</th>
                                    <td class="line-how">{how.clone()}</td>
                                    <td class="cash">{shown.say(*amount)}</td>
                                </tr>
                            }
                        })
                        .collect_view();
                    view! {
                        <table class="money-lines">
                            <caption class="spoken">{t("plan-step-terms")}</caption>
                            <tbody>
                                {terms}
                                {(hours.seconds > 0)
                                    .then(|| {
                                        view! {
                                            <tr class="sum">
                                                <th scope="row" colspan="2">{t("plan-step-together")}</th>
                                                <td class="cash" data-seconds=hours.seconds.to_string()>
                                                    {exact(hours.seconds)}
                                                </td>
                                            </tr>
                                        }
                                    })}
                                {paid}
                            </tbody>
                        </table>
                        {waits.clone().map(|text| view! { <p class="step-facts">{text}</p> })}
                    }
                }
            </Fold>
        }
    })
}

/// One term: how many, at what each, makes what.
fn term_row(term: &Term) -> impl IntoView + use<> {
    let each = exact(u64::from(term.each.seconds));
    let (what, how) = match term.unit {
        None => (t("plan-set-up"), String::new()),
        Some(unit) => (unit_words(unit, term.count), tf("plan-each", &[("each", &each)])),
    };
    // What is taken off stands with its sign.
    let (what, sign) = if term.less { (tf("plan-taken-off", &[("what", &what)]), "\u{2212}") } else { (what, "") };
    view! {
        <tr data-seconds=format!("{}{}", if term.less { "-" } else { "" }, term.seconds)>
            <th scope="row">{what}</th>
            <td class="line-how">{how}</td>
            <td class="cash">{sign}{exact(term.seconds)}</td>
        </tr>
    }
}

/// A count of a unit: pieces whole, lengths and areas to the hundredth.
fn unit_words(unit: Unit, count: f64) -> String {
    let number = match unit {
        Unit::MetreCut | Unit::MetreJoint | Unit::SquareMetre => format!("{count:.2}"),
        _ => format!("{count:.0}"),
    };
    tf("plan-count", &[("count", &number), ("unit", &t(unit.key()))])
}
