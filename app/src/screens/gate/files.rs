//! Job files in: picked or dropped anywhere on the gate, several at once.
//!
//! What cannot be read is named with its field and what to do; nothing that is here already is overwritten.

use crate::platform::picked::{self, Picked, Unread};
use crate::state::AppState;
use crate::widgets::{FileKey, Icon};
use crate::words::{t, tf};
use leptos::ev;
use leptos::prelude::*;
use leptos::task::spawn_local;
use model::job::{JobId, wire};

/// What became of the files that were given last.
#[derive(Clone, Copy, Default)]
pub struct Given {
    /// Jobs that were taken in, with the name of their file.
    taken: RwSignal<Vec<(String, JobId)>>,
    /// Files that were refused and why.
    refused: RwSignal<Vec<(String, String)>>,
    /// A file hangs over the page.
    over: RwSignal<bool>,
}

impl Given {
    fn take(self, app: AppState, files: Vec<Picked>) {
        if files.is_empty() {
            return;
        }
        self.taken.set(Vec::new());
        self.refused.set(Vec::new());
        spawn_local(async move {
            for file in files {
                let name = file.name();
                let outcome = match file.text(wire::TEXT_MAX).await {
                    Ok(text) => app.import_text(&text).map_err(|error| error.to_string()),
                    Err(Unread::Large) => Err(tf("error-job-size", &[("most", &(wire::TEXT_MAX >> 20).to_string())])),
                    Err(Unread::Broken) => Err(t("gate-file-unreadable")),
                };
                // The gate may be gone by the time a file has been read.
                match outcome {
                    Ok(id) => {
                        self.taken.try_update(|taken| taken.push((name, id)));
                    }
                    Err(why) => {
                        self.refused.try_update(|refused| refused.push((name, why)));
                    }
                }
            }
        });
    }
}

/// Lets files fall anywhere on what it holds.
#[component]
pub fn Drop(
    /// Where the files go.
    given: Given,
    /// What lies inside.
    children: Children,
) -> impl IntoView {
    let app = AppState::get();
    view! {
        <div
            class="drop"
            data-over=move || given.over.get().to_string()
            on:dragover=move |event: ev::DragEvent| {
                event.prevent_default();
                if !given.over.get_untracked() {
                    given.over.set(true);
                }
            }
            on:dragleave=move |_| given.over.set(false)
            on:drop=move |event: ev::DragEvent| {
                event.prevent_default();
                given.over.set(false);
                given.take(app, picked::dropped(&event));
            }
        >
            {children()}
        </div>
    }
}

/// The way to pick files, and what became of them.
#[component]
pub fn Given(
    /// The files.
    given: Given,
) -> impl IntoView {
    let app = AppState::get();
    let title = move |id: &JobId| {
        app.jobs.with(|jobs| jobs.iter().find(|card| card.id == *id).map(|card| card.title.clone())).unwrap_or_default()
    };
    view! {
        <section class="given" aria-label=t("gate-files")>
            <FileKey
                label=t("gate-import")
                accept=".json,application/json"
                act="import"
                multiple=true
                on_pick=move |files| given.take(app, files)
            />
            <p class="form-note">{t("gate-import-note")}</p>
            <div role="status">
                <ul class="given-list">
                    {move || {
                        given
                            .taken
                            .get()
                            .into_iter()
                            .map(|(file, id)| {
                                view! {
                                    <li class="given-taken">
                                        <Icon name="saved" />
                                        {tf("gate-taken", &[("file", &file), ("title", &title(&id))])}
                                    </li>
                                }
                            })
                            .collect_view()
                    }}
                </ul>
            </div>
            <div role="alert">
                <ul class="given-list">
                    {move || {
                        given
                            .refused
                            .get()
                            .into_iter()
                            .map(|(file, why)| {
                                view! {
                                    <li class="given-refused">
                                        <Icon name="caution" />
                                        <span>{tf("gate-refused", &[("file", &file)])}" "{why}</span>
                                    </li>
                                }
                            })
                            .collect_view()
                    }}
                </ul>
            </div>
        </section>
    }
}
