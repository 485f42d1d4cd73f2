//! The time book as the shop edits it: each work with its times, by who does it, and how many people work how long a day.
//!
//! Changes the shop's times only, never a job; a time that differs from the book says so in words.

use crate::planned::Planned;
use crate::platform::page;
use crate::state::AppState;
use crate::time_book::{self, Which};
use crate::widgets::{AskFirst, Field, Icon, Refused, Stepper};
use crate::words::{cap, count, raised, t, tf};
use leptos::prelude::*;
use model::terms::Skill;
use model::times::{DAY_MINUTES, HANDS, SECONDS, TimeBook, WAIT_MINUTES};
use std::sync::Arc;

/// The section.
#[component]
pub fn Times() -> impl IntoView {
    let (app, planned) = (AppState::get(), Planned::get());
    let sought = RwSignal::new(String::new());
    let changed = Memo::new(move |_| planned.times.with(|times| changed(&times.value)));
    let problem = Memo::new(move |_| planned.times.with(|times| times.problem.clone()));
    view! {
        <section class="shop-part times" aria-labelledby="shop-times">
            <h2 id="shop-times">{t("times")}</h2>
            <p class="form-note">{t("times-note")}</p>
            {move || problem.get().map(|why| view! { <Refused text=tf("times-refused", &[("why", &why)]) /> })}
            <Pace />
            <div class="times-find">
                <Field
                    id="times-find"
                    label=t("times-find")
                    value=Signal::derive(move || sought.get())
                    on_type=move |text: String| sought.set(text)
                    most=60
                />
                <p class="times-changed" role="status" data-changed=move || changed.get().to_string()>
                    {move || count("times-changed", changed.get())}
                </p>
                <Show when=move || { changed.get() > 0 }>
                    <AskFirst
                        act="times-back"
                        words="times-all-back"
                        on_sure=move |()| app.update_settings(|settings| settings.time_book.clear())
                    />
                </Show>
            </div>
            {Skill::ALL.iter().map(|skill| view! { <Group skill=*skill sought=sought /> }).collect_view()}
            <Show when=move || sought.with(|sought| Skill::ALL.iter().all(|skill| works_of(*skill, sought).is_empty()))>
                <p>{t("times-none")}</p>
            </Show>
        </section>
    }
}

/// How many works differ from the built-in book.
fn changed(book: &TimeBook) -> usize {
    book.works.iter().filter(|(name, work)| TimeBook::general().works.get(*name) != Some(work)).count()
}

/// People on one truck and the length of the day.
#[component]
fn Pace() -> impl IntoView {
    let (app, planned) = (AppState::get(), Planned::get());
    let pace = Memo::new(move |_| planned.times.with(|times| times.value.pace));
    let number = |number: u32| i32::try_from(number).unwrap_or(i32::MAX);
    view! {
        <div class="times-pace">
            <Stepper
                label=t("times-hands")
                value=Signal::derive(move || number(pace.get().hands))
                shown=Signal::derive(move || pace.get().hands.to_string())
                least=number(HANDS.0)
                most=number(HANDS.1)
                step=|_, _| 1
                less=t("times-hands-less")
                more=t("times-hands-more")
                on_change=move |hands: i32| {
                    time_book::change(app, |book| book.pace.hands = u32::try_from(hands).unwrap_or(HANDS.0));
                }
            />
            <Stepper
                label=t("times-day")
                value=Signal::derive(move || number(pace.get().day_minutes))
                shown=Signal::derive(move || {
                    let hours = f64::from(pace.get().day_minutes) / 60.0;
                    tf("times-hours", &[("hours", &format!("{hours}"))])
                })
                least=number(DAY_MINUTES.0)
                most=number(DAY_MINUTES.1)
                step=|_, _| 30
                less=t("times-day-less")
                more=t("times-day-more")
                on_change=move |minutes: i32| {
                    time_book::change(app, |book| book.pace.day_minutes = u32::try_from(minutes).unwrap_or(DAY_MINUTES.0));
                }
            />
        </div>
    }
}

/// The works of one skill; open while something is sought.
#[component]
fn Group(skill: Skill, sought: RwSignal<String>) -> impl IntoView {
    let found = Memo::new(move |_| sought.with(|sought| works_of(skill, sought)));
    let seeks = Memo::new(move |_| sought.with(|sought| !sought.trim().is_empty()));
    let open = RwSignal::new(false);
    view! {
        <Show when=move || found.with(|found| !found.is_empty())>
            <div class="times-group" data-skill=skill.word()>
                <h3>
                    <button
                        type="button"
                        class="times-head"
                        aria-expanded=move || if open.get() || seeks.get() { "true" } else { "false" }
                        on:click=move |_| open.update(|open| *open = !*open)
                    >
                        <Icon name="open" />
                        <span>{cap(skill.key())}</span>
                        <span class="times-number">{move || found.with(Vec::len)}</span>
                    </button>
                </h3>
                <Show when=move || open.get() || seeks.get()>
                    <ul class="times-works">
                        <For each=move || found.get() key=|name| *name let:name>
                            <Work name=name />
                        </For>
                    </ul>
                </Show>
            </div>
        </Show>
    }
}

/// Works of the built-in book that the skill does and whose name holds what is sought, by name.
fn works_of(skill: Skill, sought: &str) -> Vec<&'static str> {
    let sought = sought.trim().to_lowercase();
    let all = TimeBook::general().works.iter().filter(|(_, work)| work.skill == skill);
    let mut found: Vec<(String, &str)> = all
        .map(|(name, _)| (name_of(name), name.as_str()))
        .filter(|(said, _)| sought.is_empty() || said.to_lowercase().contains(&sought))
        .collect();
    found.sort();
    found.into_iter().map(|(_, name)| name).collect()
}

/// The work in words.
fn name_of(work: &str) -> String {
    match work.split_once('/') {
        Some(("access", base)) => cap(&format!("access-{base}")),
        Some((_, base)) => cap(&format!("refit-{base}")),
        None => t(&format!("work-{work}")),
    }
}

/// One work: its times in short, and open to change.
#[component]
fn Work(name: &'static str) -> impl IntoView {
    let (app, planned) = (AppState::get(), Planned::get());
    let general = &TimeBook::general().works[name];
    let work = Memo::new(move |_| planned.times.with(|times| times.value.works.get(name).cloned()));
    let own = Memo::new(move |_| work.with(|work| work.as_ref() != Some(general)));
    let open = RwSignal::new(false);
    let short = move || {
        let said = |which| {
            let seconds = work.with(|work| work.as_ref().and_then(|work| time_book::seconds(work, which)))?;
            Some(tf("times-short", &[("what", &label(which)), ("minutes", &time_book::minutes(seconds))]))
        };
        time_book::times_of(general).into_iter().filter_map(said).collect::<Vec<_>>().join(" · ")
    };
    view! {
        <li class="times-work" data-work=name>
            <button
                type="button"
                class="times-head"
                aria-expanded=move || if open.get() { "true" } else { "false" }
                on:click=move |_| open.update(|open| *open = !*open)
            >
                <Icon name="open" />
                <span class="times-name">
                    <span>{name_of(name)}</span>
                    <span class="times-short">{short}</span>
                </span>
                <Show when=move || own.get()>
                    <span class="times-own">{t("times-own")}</span>
                </Show>
            </button>
            <Show when=move || open.get()>
                <div class="times-fields">
                    {time_book::times_of(general)
                        .into_iter()
                        .map(|which| {
                            let book = time_book::seconds(general, which).unwrap_or_default();
                            let value = Memo::new(move |_| {
                                let seconds = |work: &_| time_book::seconds(work, which);
                                work.with(|work| work.as_ref().and_then(seconds)).unwrap_or_default()
                            });
                            view! { <Minutes name=name which=which book=book value=value app=app /> }
                        })
                        .collect_view()}
                    {general
                        .wait
                        .filter(|wait| wait.is_cure())
                        .map(|wait| {
                            let minutes = time_book::minutes(general.wait_minutes * 60);
                            let said = [("what", &*t(wait.key())), ("minutes", &minutes)];
                            view! { <p class="form-note">{tf("times-wait-list", &said)}</p> }
                        })}
                    {name.contains('/').then(|| view! { <p class="form-note">{t("times-access-note")}</p> })}
                    <Show when=move || own.get()>
                        <button type="button" class="key" data-act="time-back" on:click=move |_| {
                            time_book::change(app, |book| {
                                book.works.insert(name.to_owned(), general.clone());
                            });
                        }>
                            {t("times-back")}
                        </button>
                    </Show>
                </div>
            </Show>
        </li>
    }
}

/// What a time is for.
fn label(which: Which) -> String {
    match which {
        Which::SetUp => t("times-set-up"),
        Which::Each(unit) => tf("times-each", &[("unit", &t(unit.key()))]),
        Which::Wait => t("times-wait"),
    }
}

/// A time in minutes: less, the number to type over, more. What cannot be read is said and changes nothing.
#[component]
fn Minutes(name: &'static str, which: Which, book: u32, value: Memo<u32>, app: AppState) -> impl IntoView {
    let most = if which == Which::Wait { WAIT_MINUTES * 60 } else { SECONDS };
    let what = label(which);
    let word = match which {
        Which::SetUp => "set-up",
        Which::Each(unit) => unit.word(),
        Which::Wait => "wait",
    };
    let id = format!("time-{}-{word}", name.replace('/', "-"));
    let hint = format!("{id}-hint");
    let wrong = RwSignal::new(None::<String>);
    let set = move |seconds: u32| {
        wrong.set(None);
        time_book::change(app, |book| time_book::set(book, name, which, seconds));
    };
    let step = move |up: bool| {
        let now = value.get_untracked();
        let by = step(now, up, which);
        set(if up { now.saturating_add(by).min(most) } else { now.saturating_sub(by) });
    };
    let said = Arc::new(name_of(name));
    let key = |act: &str| tf(act, &[("what", &what), ("work", &said)]);
    let (less, more) = (key("times-less"), key("times-more"));
    view! {
        <div class="minutes" data-time=word>
            <label for=id.clone()>{raised(&what)}</label>
            <div class="minutes-keys">
                <button type="button" class="key" aria-label=less disabled=move || value.get() == 0 on:click=move |_| step(false)>
                    <Icon name="minus" />
                </button>
                <input
                    id=id
                    type="text"
                    inputmode="decimal"
                    maxlength="8"
                    autocomplete="off"
                    aria-describedby=hint.clone()
                    aria-invalid=move || if wrong.with(Option::is_some) { "true" } else { "false" }
                    prop:value=move || wrong.get().unwrap_or_else(|| time_book::minutes(value.get()))
                    on:change=move |event| {
                        let text = page::value_of_target(&event);
                        match time_book::read_minutes(&text, most) {
                            Some(seconds) => set(seconds),
                            None => wrong.set(Some(text)),
                        }
                    }
                />
                <span class="minutes-unit">{t("times-minutes")}</span>
                <button type="button" class="key" aria-label=more disabled=move || { value.get() >= most } on:click=move |_| step(true)>
                    <Icon name="plus" />
                </button>
            </div>
            <p class="field-hint" id=hint aria-live="polite">
                {move || {
                    if wrong.with(Option::is_some) {
                        tf("times-wrong", &[("most", &time_book::minutes(most))])
                    } else if value.get() == book {
                        String::new()
                    } else {
                        tf("times-book", &[("minutes", &time_book::minutes(book))])
                    }
                }}
            </p>
        </div>
    }
}

/// Small times move in small steps; waits in half hours.
fn step(seconds: u32, up: bool, which: Which) -> u32 {
    if which == Which::Wait {
        return 1_800;
    }
    let at = if up { seconds } else { seconds.saturating_sub(1) };
    match at {
        0..60 => 5,
        60..600 => 30,
        600..3_600 => 300,
        _ => 900,
    }
}
