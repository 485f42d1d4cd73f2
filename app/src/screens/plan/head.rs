//! The head of a plan: title, the plan in one sentence, what must be known before it is trusted, and the ways out:
//! print and file.

use super::Desk;
use crate::platform::files;
use crate::vehicle::{day, in_words};
use crate::widgets::Icon;
use crate::words::{count, t, tf};
use leptos::prelude::*;
use model::decide::Pick;
use model::plan;
use model::terms::Action;

/// From the most to the least intrusive, what must be asked first in front.
const ORDER: [Action; 6] =
    [Action::Refer, Action::Replace, Action::Section, Action::Repair, Action::Refinish, Action::Leave];

/// Title, sentence, print and file.
#[component]
pub fn Head() -> impl IntoView {
    let desk = Desk::get();
    let job = move |show: fn(&model::job::Job) -> String| {
        move || desk.planned.job.with(|job| job.as_ref().map(|job| show(job)).unwrap_or_default())
    };
    let sentence = Memo::new(move |_| {
        desk.planned.plan.with(|plan| plan.as_ref().map(|plan| summary(&plan.picks)).unwrap_or_default())
    });
    let refused = RwSignal::new(false);
    let renews = Memo::new(move |_| {
        desk.planned.plan.with(|plan| plan.as_ref().is_some_and(|plan| plan.picks.iter().any(is_renewed)))
    });
    view! {
        <header class="plan-head">
            <h1>{job(|job| tf("plan-title", &[("title", &job.title)]))}</h1>
            <p class="plan-whose">{job(whose)}</p>
            <p class="plan-sum" data-sum="" role="status">{move || sentence.get()}</p>
            <div class="plan-acts" hidden=move || sentence.with(String::is_empty)>
                <Show when=move || renews.get()>
                    <button type="button" class="key primary" data-act="joints" on:click=move |_| desk.joints_of(None)>
                        {t("joints-open")}
                    </button>
                </Show>
                <button type="button" class="key" data-act="print" on:click=move |_| super::photos::print(desk)>{t("plan-print")}</button>
                <button type="button" class="key" data-act="save-plan" on:click=move |_| refused.set(!save(desk))>
                    {t("plan-save")}
                </button>
            </div>
            <Show when=move || refused.get()>
                <p class="plan-refused" role="alert"><Icon name="caution" />{t("file-refused")}</p>
            </Show>
        </header>
    }
}

/// Whether the part is cut or comes new, so that joints are made.
pub(super) fn is_renewed(pick: &Pick) -> bool {
    matches!(pick.action, Action::Section | Action::Replace)
}

/// Owner, vehicle, number and day in one line.
pub(super) fn whose(job: &model::job::Job) -> String {
    let vin = if job.vehicle.vin.is_empty() { String::new() } else { tf("plan-vin", &[("vin", &job.vehicle.vin)]) };
    let arrived = day(&job.received);
    let arrived = if arrived.is_empty() { arrived } else { tf("gate-arrived", &[("day", &arrived)]) };
    let parts = [job.owner.clone(), in_words(&job.vehicle), vin, arrived];
    parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(" · ")
}

/// The plan in one sentence: how many parts, and how many of them get what; nothing where nothing is marked.
#[must_use]
pub fn summary(picks: &[Pick]) -> String {
    if picks.is_empty() {
        return String::new();
    }
    let list: Vec<String> = ORDER
        .into_iter()
        .filter_map(|action| {
            let number = picks.iter().filter(|pick| pick.action == action).count();
            (number > 0).then(|| tf(&format!("plan-sum-{}", action.word()), &[("count", &number.to_string())]))
        })
        .collect();
    tf("plan-sum", &[("parts", &count("plan-damaged", picks.len())), ("list", &list.join(", "))])
}

/// Offers the plan as a file; whether the browser took it.
fn save(desk: Desk) -> bool {
    let text = desk.planned.plan.with_untracked(|plan| {
        plan.as_ref()
            .and_then(|plan| serde_json::to_string_pretty(&plan::to_json(desk.planned.book.get_untracked(), plan)).ok())
    });
    let id = desk.planned.job.with_untracked(|job| job.as_ref().map(|job| job.id.0.clone())).unwrap_or_default();
    text.is_none_or(|text| files::save(&format!("{id}-plan.json"), "application/json", &(text + "\n")))
}

/// What must be known before the plan is trusted; how much is still to be looked at stands first.
#[component]
pub fn Notices() -> impl IntoView {
    let desk = Desk::get();
    let rows = Memo::new(move |_| {
        desk.planned.plan.with(|plan| plan.as_ref().map(|plan| plan.notices.clone()).unwrap_or_default())
    });
    let own_book = Memo::new(move |_| desk.planned.rules.with(|rules| rules.problem.clone()));
    view! {
        <Show when=move || !rows.with(Vec::is_empty) || own_book.with(Option::is_some)>
            <section class="plan-notices" aria-labelledby="plan-notices">
                <h2 id="plan-notices" class="plan-heading">{t("plan-notices")}</h2>
                <ul>
                    {move || {
                        own_book
                            .get()
                            .map(|why| {
                                view! {
                                    <li class="plan-notice" data-notice="rule-book">
                                        <Icon name="caution" />
                                        <span>{tf("plan-own-rules-refused", &[("why", &why)])}</span>
                                    </li>
                                }
                            })
                    }}
                    <For each=move || rows.get() key=|notice| notice.text.clone() let:notice>
                        <li class="plan-notice" data-notice=notice.key>
                            <Icon name=if notice.key == "notice-look-behind" { "look-behind" } else { "caution" } />
                            <span>{notice.text.clone()}</span>
                        </li>
                    </For>
                </ul>
            </section>
        </Show>
    }
}
