//! The same walk as lists: every part that shows from here, every finding, and where to look behind.
//!
//! The equal path for the keyboard, the screen reader and whoever would rather read than tap. Decides nothing.

use super::state::Walk;
use crate::platform::page;
use crate::widgets::{Icon, Sign};
use crate::words::{cap, count, t, tf};
use leptos::prelude::*;
use model::ids::PartId;
use model::terms::{Action, Inspection};

/// Which list shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tab {
    /// Places, peel and zoom; a tab of its own only on a narrow screen.
    Round,
    /// Parts that show from here.
    Parts,
    /// Findings.
    Found,
    /// Where to look behind.
    Behind,
}

/// The tab keys.
#[component]
pub fn Tabs(
    /// The tab that shows.
    tab: RwSignal<Tab>,
) -> impl IntoView {
    let walk = Walk::get();
    let found = Memo::new(move |_| walk.seen.with(|seen| seen.shown.as_ref().map_or(0, |shown| shown.decisions.len())));
    let behind =
        Memo::new(move |_| walk.planned.later.with(|plan| plan.as_ref().map_or(0, |plan| plan.look_behind.len())));
    let key = move |own: Tab, text: &'static str, number: Option<Memo<usize>>| {
        view! {
            <button
                type="button"
                class="key tab"
                data-tab=format!("{own:?}").to_lowercase()
                aria-pressed=move || (tab.get() == own).to_string()
                on:click=move |_| tab.set(own)
            >
                <span>{t(text)}</span>
                {number
                    .map(|number| {
                        move || {
                            let number = number.get();
                            (number > 0).then(|| view! { <span class="tab-count">{number}</span> })
                        }
                    })}
            </button>
        }
    };
    view! {
        <div class="tabs" role="group" aria-label=t("ui-lists")>
            {key(Tab::Round, "ui-tab-round", None)}
            {key(Tab::Parts, "ui-tab-parts", None)}
            {key(Tab::Found, "ui-tab-found", Some(found))}
            {key(Tab::Behind, "ui-tab-behind", Some(behind))}
        </div>
    }
}

/// Parts that show from here, with a search over the whole truck.
#[component]
pub fn Parts() -> impl IntoView {
    let walk = Walk::get();
    let wanted = RwSignal::new(String::new());
    let rows = Memo::new(move |_| {
        let wanted = wanted.get().trim().to_lowercase();
        if wanted.is_empty() {
            let mut rows: Vec<(PartId, String)> = Vec::new();
            walk.scene.with(|scene| {
                for item in scene.panels.iter().flat_map(|panel| panel.items.iter()) {
                    if !rows.iter().any(|row| row.0 == item.part) {
                        rows.push((item.part.clone(), item.name.clone()));
                    }
                }
            });
            rows.sort_by(|one, other| one.1.cmp(&other.1));
            rows
        } else {
            let book = walk.planned.book.get();
            let mut rows: Vec<(PartId, String)> = book
                .parts
                .iter()
                .map(|part| (part.id.clone(), part.name()))
                .filter(|row| wanted.split_whitespace().all(|word| row.1.to_lowercase().contains(word)))
                .collect();
            rows.sort_by(|one, other| one.1.cmp(&other.1));
            rows
        }
    });
    view! {
        <div class="list">
            <label class="search">
                <Icon name="search" />
                <span class="spoken">{t("ui-search")}</span>
                <input
                    type="search"
                    placeholder=t("ui-search")
                    autocomplete="off"
                    prop:value=move || wanted.get()
                    on:input=move |event| wanted.set(page::value_of_target(&event))
                />
            </label>
            <ul class="rows" data-list="parts">
                <For each=move || rows.get() key=|row| row.0.0.clone() let:row>
                    <PartRow part=row.0 name=row.1 />
                </For>
            </ul>
            <Show when=move || rows.with(Vec::is_empty)>
                <p class="empty">{t("ui-search-none")}</p>
            </Show>
        </div>
    }
}

#[component]
fn PartRow(
    /// The part.
    part: PartId,
    /// Its name.
    name: String,
) -> impl IntoView {
    let walk = Walk::get();
    let own = part.clone();
    let action =
        Memo::new(move |_| walk.seen.with(|seen| seen.shown.as_ref()?.on(&own).map(|decision| decision.chosen)));
    let (to_open, to_mark) = (part.clone(), part.clone());
    let spoken = tf("ui-mark-part", &[("part", &name)]);
    view! {
        <li class="row" data-row=part.to_string()>
            <button type="button" class="key row-key" on:click=move |_| walk.find(&to_open)>
                <span class="row-name">{name}</span>
                {move || action.get().map(state)}
            </button>
            <button type="button" class="key row-act" aria-label=spoken on:click=move |_| {
                walk.find(&to_mark);
                walk.put_inside(&to_mark);
            }>
                <Icon name="plus" />
            </button>
        </li>
    }
}

fn state(action: Action) -> impl IntoView {
    view! {
        <span class="row-state">
            <Sign state=action.word() />
            {cap(action.key())}
        </span>
    }
}

/// Every finding of the job with what stands for it.
#[component]
pub fn Found() -> impl IntoView {
    let walk = Walk::get();
    let rows = Memo::new(move |_| {
        walk.seen.with(|seen| {
            seen.shown.as_ref().map_or_else(Vec::new, |shown| {
                shown
                    .decisions
                    .iter()
                    .map(|decision| (decision.part.clone(), decision.chosen, decision.finding.marks.len()))
                    .collect::<Vec<_>>()
            })
        })
    });
    view! {
        <div class="list">
            <Show when=move || rows.with(Vec::is_empty)>
                <p class="empty">{t("ui-found-none")}</p>
            </Show>
            <ul class="rows" data-list="found">
                <For each=move || rows.get() key=|row| row.clone() let:row>
                    {
                        let (part, action, marks) = row;
                        let (name, row) = (name_of(walk, &part), part.to_string());
                        view! {
                            <li class="row" data-row=row>
                                <button type="button" class="key row-key" on:click=move |_| walk.find(&part)>
                                    <span class="row-name">{name}<small>{count("ui-marks", marks)}</small></span>
                                    {state(action)}
                                </button>
                            </li>
                        }
                    }
                </For>
            </ul>
        </div>
    }
}

/// Parts that must be looked at before the plan can be trusted, nearest first.
#[component]
pub fn Behind() -> impl IntoView {
    let walk = Walk::get();
    let rows = Memo::new(move |_| {
        let book = walk.planned.book.get();
        walk.planned.later.with(|plan| {
            plan.as_ref().map_or_else(Vec::new, |plan| {
                plan.look_behind
                    .iter()
                    .map(|look| (look.part.clone(), look.reason(book), look.state))
                    .collect::<Vec<_>>()
            })
        })
    });
    view! {
        <div class="list">
            <p class="empty">{move || if rows.with(Vec::is_empty) { t("ui-behind-none") } else { t("ui-behind-why") }}</p>
            <ul class="rows" data-list="behind">
                <For each=move || rows.get() key=|row| row.clone() let:row>
                    {
                        let (part, reason, now) = row;
                        let (name, to_find) = (name_of(walk, &part), part.clone());
                        let answers = [Inspection::Sound, Inspection::Damaged]
                            .into_iter()
                            .map(|answer| {
                                let part = part.clone();
                                view! {
                                    <button
                                        type="button"
                                        class="key"
                                        aria-pressed=(now == answer).to_string()
                                        on:click=move |_| {
                                            walk.inspect(&part, if now == answer { Inspection::NotYet } else { answer });
                                            if answer == Inspection::Damaged && now != answer {
                                                walk.find(&part);
                                            }
                                        }
                                    >
                                        {cap(answer.key())}
                                    </button>
                                }
                            })
                            .collect_view();
                        view! {
                            <li class="row behind" data-row=part.to_string()>
                                <button type="button" class="key row-key" on:click=move |_| walk.find(&to_find)>
                                    <span class="row-name">{name}<small>{reason}</small></span>
                                </button>
                                <div class="row-answers">{answers}</div>
                            </li>
                        }
                    }
                </For>
            </ul>
        </div>
    }
}

fn name_of(walk: Walk, part: &PartId) -> String {
    walk.book_part(part).map_or_else(|| part.to_string(), model::catalogue::Part::name)
}
