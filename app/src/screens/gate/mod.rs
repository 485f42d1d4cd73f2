//! The gate: the jobs on this tablet, and a new one for a vehicle that arrives.
//!
//! Opens, makes, copies and puts away jobs and takes files in; marks nothing and judges nothing.

mod arrival;
mod cards;
mod demo;
mod files;
mod reminder;

use crate::platform::paper;
use crate::state::AppState;
use crate::words::{count, t};
use arrival::Arrival;
use cards::Cards;
use demo::Demo;
use files::{Drop, Given};
use leptos::prelude::*;
use reminder::Reminder;

/// The list of jobs, or the form for a new one in its place.
#[component]
pub fn GateScreen() -> impl IntoView {
    let form = RwSignal::new(false);
    view! {
        <Show when=move || form.get() fallback=move || view! { <Jobs form=form /> }>
            <Arrival on_close=move || {
                form.set(false);
                crate::platform::page::next_frame(|| paper::go_to("[data-act=\"new\"]"));
            } />
        </Show>
    }
    .into_any()
}

#[component]
fn Jobs(
    /// Whether the form for a new vehicle shows.
    form: RwSignal<bool>,
) -> impl IntoView {
    let app = AppState::get();
    let given = Given::default();
    let none = Memo::new(move |_| app.jobs.with(Vec::is_empty));
    let here = Memo::new(move |_| app.jobs.with(|jobs| jobs.iter().filter(|card| !card.archived).count()));
    view! {
        <Drop given=given>
            <main class="page gate">
                <div class="gate-head">
                    <h1>{t("ui-gate")}</h1>
                    <p class="gate-sum">{move || (here.get() > 0).then(|| count("gate-jobs", here.get()))}</p>
                    <button type="button" class="key primary gate-new" data-act="new" on:click=move |_| form.set(true)>
                        {t("gate-new")}
                    </button>
                </div>
                <Reminder />
                <Show when=move || none.get() && app.ready.get()>
                    <div class="gate-empty">
                        <p>{t("gate-empty")}</p>
                        <p>{t("gate-empty-try")}</p>
                    </div>
                </Show>
                <Show when=move || none.get() && !app.ready.get()>
                    <p class="empty" role="status">{t("gate-loading")}</p>
                </Show>
                <Show when=move || !none.get()>
                    <Cards />
                </Show>
                <Given given=given />
                // Not before it is known whether there is a job: nothing unfolds or folds under a finger.
                <Show when=move || app.ready.get() || !none.get()>
                    <Demo open=none />
                </Show>
            </main>
        </Drop>
    }
}
