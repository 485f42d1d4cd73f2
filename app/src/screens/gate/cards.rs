//! The jobs as cards: what each is, whether it is saved, and what can be done with it.
//!
//! Every card looks its own job up again, so that a change shows without redrawing the list. Decides nothing.

use crate::platform::page;
use crate::route::{Route, Router};
use crate::state::{AppState, JobCard, Readable, SaveState};
use crate::vehicle::{day, in_words};
use crate::widgets::Icon;
use crate::words::{count, t, tf};
use leptos::prelude::*;
use model::job::JobId;

/// From this number of jobs on, a search field shows.
const SEARCH_FROM: usize = 5;
/// So many cards show at first, and so many more each time that more are asked for.
const PAGE: usize = 24;

/// The list with its search, and the jobs put away, folded.
#[component]
pub fn Cards() -> impl IntoView {
    let app = AppState::get();
    let wanted = RwSignal::new(String::new());
    let unfolded = RwSignal::new(false);
    let find = move |archived: bool| {
        let wanted = wanted.get().to_lowercase();
        app.jobs.with(|jobs| {
            let found = jobs.iter().filter(|card| card.archived == archived && matches(card, &wanted));
            found.map(|card| card.id.clone()).collect::<Vec<_>>()
        })
    };
    let here = Memo::new(move |_| find(false));
    let away = Memo::new(move |_| find(true));
    let many = Memo::new(move |_| app.jobs.with(Vec::len) >= SEARCH_FROM);
    let searching = move || !wanted.with(|wanted| wanted.trim().is_empty());
    view! {
        <Show when=move || many.get()>
            <label class="search">
                <Icon name="search" />
                <span class="spoken">{t("gate-search")}</span>
                <input
                    type="search"
                    placeholder=t("gate-search")
                    autocomplete="off"
                    prop:value=move || wanted.get()
                    on:input=move |event| wanted.set(page::value_of_target(&event))
                />
            </label>
        </Show>
        <Paged ids=here list="jobs" label="gate-list" />
        <Show when=move || searching() && here.with(Vec::is_empty) && away.with(Vec::is_empty)>
            <p class="empty" role="status">{t("gate-search-none")}</p>
        </Show>
        <Show when=move || !away.with(Vec::is_empty)>
            <section class="away">
                <button
                    type="button"
                    class="key disclose"
                    data-act="archived"
                    aria-expanded=move || (unfolded.get() || searching()).to_string()
                    on:click=move |_| unfolded.update(|open| *open = !*open)
                >
                    <span>{move || count("gate-away", away.with(Vec::len))}</span>
                    <Icon name="open" />
                </button>
                <Show when=move || unfolded.get() || searching()>
                    <Paged ids=away list="archived" label="gate-away-list" />
                </Show>
            </section>
        </Show>
    }
}

/// A list of cards, a page at first: a shop has thousands of jobs, and the latest are wanted.
#[component]
fn Paged(
    /// The jobs, latest change first.
    ids: Memo<Vec<JobId>>,
    /// Name of the list, for style and tests.
    list: &'static str,
    /// Key of what it is called.
    label: &'static str,
) -> impl IntoView {
    let most = RwSignal::new(PAGE);
    let shown = Memo::new(move |_| ids.with(|ids| ids.iter().take(most.get()).cloned().collect::<Vec<_>>()));
    let more = Memo::new(move |_| ids.with(Vec::len).saturating_sub(most.get()));
    view! {
        <ul class="cards" data-list=list aria-label=t(label)>
            <For each=move || shown.get() key=|id| id.clone() let:id>
                <Card id=id />
            </For>
        </ul>
        <Show when=move || { more.get() > 0 }>
            <button type="button" class="key cards-more" data-act="more-jobs" on:click=move |_| most.update(|most| *most += PAGE)>
                {move || count("gate-more", more.get())}
            </button>
        </Show>
    }
}

/// Whether every word of a search occurs in what a card shows.
fn matches(card: &JobCard, wanted: &str) -> bool {
    if wanted.is_empty() {
        return true;
    }
    let text = format!("{} {} {} {}", card.title, card.owner, card.vehicle.colour, card.vehicle.vin).to_lowercase();
    wanted.split_whitespace().all(|word| text.contains(word))
}

#[component]
fn Card(
    /// The job.
    id: JobId,
) -> impl IntoView {
    let (app, router) = (AppState::get(), Router::get());
    let own = id.clone();
    let card = Memo::new(move |_| app.jobs.with(|jobs| jobs.iter().find(|card| card.id == own).cloned()));
    let readable =
        Memo::new(move |_| card.with(|card| card.as_ref().map_or(Readable::Ok, |card| card.readable.clone())));
    let with =
        move |show: fn(&JobCard) -> String| move || card.with(|card| card.as_ref().map(show).unwrap_or_default());
    let title = Memo::new(move |_| with(title_of)());
    let archived = Memo::new(move |_| card.with(|card| card.as_ref().is_some_and(|card| card.archived)));
    let own = id.clone();
    let saved = Memo::new(move |_| {
        app.saving.track();
        app.is_saved(&own)
    });
    // A job of which nothing could be read has no change that counts.
    let gone = Memo::new(move |_| {
        card.with(|card| {
            card.as_ref().is_some_and(|card| card.readable == Readable::Damaged && card.changed.is_empty())
        })
    });
    let shut = move || gone.get() || matches!(readable.get(), Readable::NewerVersion(_));
    let (to_open, to_copy, to_file, to_put, to_entries) = (id.clone(), id.clone(), id.clone(), id.clone(), id.clone());
    let state = move || match (readable.get(), saved.get(), app.saving.get()) {
        (Readable::NewerVersion(_), ..) => ("not-saved", t("gate-newer")),
        (Readable::Damaged, ..) => ("not-saved", t(if gone.get() { "gate-gone" } else { "gate-damaged" })),
        (Readable::Ok, true, _) => ("saved", t("ui-saved")),
        (Readable::Ok, false, SaveState::NotSaved { .. }) => ("not-saved", t("ui-not-saved")),
        (Readable::Ok, false, _) => ("saving", t("ui-saving")),
    };
    view! {
        <li class="card" data-job=id.0.clone()>
            <button
                type="button"
                class="key card-open"
                data-act="open"
                disabled=shut
                on:click=move |_| router.go(Route::walk(&to_open.0))
            >
                <span class="card-title">{move || title.get()}</span>
                <Show when=move || !shut()>
                    <span class="card-line">{with(whose)}</span>
                    <span class="card-line">{with(|card| in_words(&card.vehicle))}</span>
                </Show>
                <span class="card-foot">
                    <span>{move || (!shut()).then(with(|card| count("ui-marks", card.marks)))}</span>
                    {move || {
                        let (icon, word) = state();
                        view! { <span class="card-save" data-save=icon><Icon name=icon />{word}</span> }
                    }}
                </span>
            </button>
            {move || match readable.get() {
                Readable::Ok => None,
                Readable::Damaged if gone.get() => Some(view! { <p class="card-problem">{t("gate-gone-why")}</p> }),
                Readable::Damaged => Some(view! { <p class="card-problem">{t("gate-damaged-why")}</p> }),
                Readable::NewerVersion(version) => {
                    Some(view! { <p class="card-problem">{tf("error-job-newer", &[("version", &version)])}</p> })
                }
            }}
            <Show when=move || readable.get() == Readable::Damaged && !gone.get()>
                <button type="button" class="key card-entries" data-act="save-entries" on:click={
                    let id = to_entries.clone();
                    move |_| app.save_entries(&id)
                }>
                    {t("gate-save-entries")}
                </button>
            </Show>
            <div class="card-acts" role="group" aria-label=move || tf("gate-acts", &[("title", &title.get())])>
                <button type="button" class="key" data-act="copy" disabled=shut on:click=move |_| { app.copy(&to_copy); }>
                    {t("gate-copy")}
                </button>
                <button type="button" class="key" data-act="save-file" on:click=move |_| {
                    if untrack(shut) {
                        app.save_entries(&to_file);
                    } else {
                        app.save_file(&to_file);
                    }
                }>
                    {t("gate-save-file")}
                </button>
                <button
                    type="button"
                    class="key"
                    data-act="archive"
                    disabled=shut
                    on:click=move |_| app.archive(&to_put, !archived.get_untracked())
                >
                    {move || t(if archived.get() { "gate-unarchive" } else { "gate-archive" })}
                </button>
            </div>
        </li>
    }
}

fn title_of(card: &JobCard) -> String {
    if card.title.trim().is_empty() { tf("gate-untitled", &[("id", &card.id.0)]) } else { card.title.clone() }
}

/// Owner and day of arrival in one line.
fn whose(card: &JobCard) -> String {
    let arrived = day(&card.received);
    match (card.owner.is_empty(), arrived.is_empty()) {
        (false, false) => tf("gate-whose", &[("owner", &card.owner), ("day", &arrived)]),
        (false, true) => card.owner.clone(),
        (true, false) => tf("gate-arrived", &[("day", &arrived)]),
        (true, true) => t("gate-nobody"),
    }
}
