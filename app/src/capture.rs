//! Taking photos from any screen of a job: the key, and what became of the photos that are on their way.
//!
//! Hands files to the state and shows its queue; makes and keeps no picture itself.

use crate::platform::picked;
use crate::route::{Route, Router};
use crate::state::{AppState, Capture, Step};
use crate::widgets::Icon;
use crate::words::{count, t};
use leptos::prelude::*;
use model::ids::MarkId;

/// A key that opens the camera, or lets the person choose pictures.
#[component]
pub fn CameraKey(
    /// What it says.
    label: String,
    /// Straight to the camera, where the tablet has one; otherwise the person chooses files.
    camera: bool,
    /// The mark that the photos will be of; none: the job.
    #[prop(into)]
    mark: Signal<Option<MarkId>>,
    /// Its name for tests, where there are two on a page.
    #[prop(optional)]
    act: Option<&'static str>,
) -> impl IntoView {
    let app = AppState::get();
    let act = act.unwrap_or(if camera { "camera" } else { "pictures" });
    view! {
        <label class="key given-key camera-key">
            <Icon name=if camera { "camera" } else { "below" } />
            <span>{label}</span>
            <input
                type="file"
                class="spoken"
                multiple
                accept="image/*"
                capture=camera.then_some("environment")
                data-act=act
                on:change=move |event| app.take_photos(picked::chosen(&event), mark.get_untracked())
            />
        </label>
    }
}

/// Photos on their way: how many, and each that was not kept with its reason.
#[component]
pub fn Captures(
    /// Where there is little space: those that were not kept only as a number, with the way to their reasons.
    #[prop(default = false)]
    short: bool,
) -> impl IntoView {
    let (app, router) = (AppState::get(), Router::get());
    let here = move || app.open.with(|open| open.as_ref().map(|open| open.job.id.clone()));
    let own = Memo::new(move |_| {
        let job = here();
        let all = app.captures.get().into_iter();
        all.filter(|capture| Some(&capture.job) == job.as_ref()).collect::<Vec<_>>()
    });
    let running = Memo::new(move |_| own.with(|all| all.iter().filter(|c| !matches!(c.step, Step::Failed(_))).count()));
    let failing = Memo::new(move |_| own.with(|all| all.iter().filter(|c| matches!(c.step, Step::Failed(_))).count()));
    let failed = move || own.get().into_iter().filter(|capture| matches!(capture.step, Step::Failed(_)));
    view! {
        <div class="captures">
            <p role="status" class="captures-running" data-running=move || running.get()>
                {move || (running.get() > 0).then(|| view! { <Icon name="saving" /><span>{count("photos-running", running.get())}</span> })}
            </p>
            <div role="alert">
                {if short {
                    view! {
                        <Show when=move || failing.get() != 0>
                            <button
                                type="button"
                                class="key captures-told"
                                data-act="failed"
                                on:click=move |_| {
                                    if let Some(job) = here() {
                                        router.go(Route::Photos { job: job.0, photo: None });
                                    }
                                }
                            >
                                <Icon name="caution" />
                                <span>{move || count("photos-failed", failing.get())}</span>
                            </button>
                        </Show>
                    }
                    .into_any()
                } else {
                    view! {
                        <ul class="captures-failed">
                            <For each=failed key=|capture| capture.number let:capture>
                                <Failed capture=capture />
                            </For>
                        </ul>
                    }
                    .into_any()
                }}
            </div>
        </div>
    }
}

/// A photo that was not kept.
#[component]
fn Failed(
    /// The capture.
    capture: Capture,
) -> impl IntoView {
    let app = AppState::get();
    let (number, name, own) = (capture.number, capture.name.clone(), capture.name);
    let why = if let Step::Failed(why) = capture.step { why } else { String::new() };
    view! {
        <li data-failed=own>
            <p><b>{name}</b>" "{why}</p>
            <button type="button" class="key" data-act="again" on:click=move |_| app.retry_photo(number)>
                {t("photo-again")}
            </button>
            <button type="button" class="key" data-act="give-up" on:click=move |_| app.give_up_photo(number)>
                {t("photo-give-up")}
            </button>
        </li>
    }
}
