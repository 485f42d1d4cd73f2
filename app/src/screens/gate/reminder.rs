//! A calm word about the backup, once it is older than the shop wants and something has changed since.
//!
//! Never in the way of a new arrival; makes no backup itself.

use crate::platform::{clock, page, paper};
use crate::route::{Route, Router};
use crate::state::AppState;
use crate::widgets::Icon;
use crate::words::{count, t, tf};
use leptos::prelude::*;
use model::backup::due::due;
use model::job::Stamp;

/// The word, where it is due.
#[component]
pub fn Reminder() -> impl IntoView {
    let (app, router) = (AppState::get(), Router::get());
    let told = Memo::new(move |_| {
        // Not before all jobs are known.
        if !app.ready.get() {
            return None;
        }
        let (last, days) = app.settings.with(|settings| (settings.last_backup_ms, settings.backup_days));
        let changed: Vec<u64> = app
            .jobs
            .with(|jobs| jobs.iter().filter_map(|card| Stamp::parse(&card.changed).ok()).map(Stamp::ms).collect());
        due(&changed, last, clock::now_ms(), days)
    });
    let words = move || {
        told.get().map(|due| {
            let jobs = count("gate-backup-jobs", due.jobs);
            let key = if due.never { "gate-backup-never" } else { "gate-backup-old" };
            tf(key, &[("days", &due.days.to_string()), ("jobs", &jobs)])
        })
    };
    view! {
        <Show when=move || told.with(Option::is_some)>
            <div class="gate-backup" role="note">
                <Icon name="below" />
                <p>{words}</p>
                <button
                    type="button"
                    class="key"
                    data-act="to-backup"
                    on:click=move |_| {
                        router.go(Route::Shop);
                        page::next_frame(|| paper::go_to("[data-act=\"backup\"]"));
                    }
                >
                    {t("gate-backup-key")}
                </button>
            </div>
        </Show>
    }
}
