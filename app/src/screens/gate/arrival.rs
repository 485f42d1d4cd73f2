//! The short form for a vehicle that arrives.
//!
//! Everything may stay empty; nothing here stops a person from starting the walk.

use crate::platform::{clock, page};
use crate::route::{Route, Router};
use crate::state::AppState;
use crate::vehicle::{ColourKind, VehicleFields, YesNo};
use crate::widgets::Field;
use crate::words::{t, tf};
use leptos::prelude::*;
use model::job::{Job, JobId, LINE_MAX, is_date};

/// The form; it makes the job and goes on to the walk.
#[component]
pub fn Arrival(
    /// Told when the person goes back without a new job.
    on_close: impl Fn() + Copy + Send + Sync + 'static,
) -> impl IntoView {
    let (app, router) = (AppState::get(), Router::get());
    let job = RwSignal::new(Job { received: clock::today(), ..Job::empty(JobId::default()) });
    let text = move |get: fn(&Job) -> &String| Signal::derive(move || job.with(|job| get(job).clone()));
    page::next_frame(|| page::focus("#arrival-title"));
    let start = move || {
        let mut new = job.get_untracked();
        if new.title.trim().is_empty() {
            new.title =
                if new.owner.is_empty() { t("ui-new-title") } else { tf("gate-title-of", &[("owner", &new.owner)]) };
        }
        let id = app.arrive(new);
        router.go(Route::walk(&id.0));
    };
    view! {
        <main class="page arrival">
            <form
                class="form"
                on:submit=move |event| {
                    event.prevent_default();
                    start();
                }
                on:keydown=move |event| {
                    if event.key() == "Escape" {
                        on_close();
                    }
                }
            >
                <h1>{t("gate-new")}</h1>
                <p class="form-note">{t("gate-new-note")}</p>
                <div class="form-part">
                    <Field
                        id="arrival-title"
                        label=t("gate-title")
                        value=text(|job| &job.title)
                        on_type=move |text: String| job.update(|job| job.title = text)
                        hint=Signal::stored(t("gate-title-hint"))
                        most=LINE_MAX
                    />
                    <Field
                        id="arrival-owner"
                        label=t("gate-owner")
                        value=text(|job| &job.owner)
                        on_type=move |text: String| job.update(|job| job.owner = text.trim().to_owned())
                        most=LINE_MAX
                    />
                    <Field
                        id="arrival-received"
                        kind="date"
                        label=t("gate-received")
                        value=text(|job| &job.received)
                        on_type=move |text: String| {
                            if text.is_empty() || is_date(&text) {
                                job.update(|job| job.received = text);
                            }
                        }
                        most=10
                    />
                </div>
                <div class="form-part">
                    <VehicleFields
                        vehicle=Signal::derive(move || job.with(|job| job.vehicle.clone()))
                        on_change=move |vehicle| job.update(|job| job.vehicle = vehicle)
                    />
                    <ColourKind
                        family=Signal::derive(move || job.with(|job| job.vehicle.colour_family))
                        on_change=move |family| job.update(|job| job.vehicle.colour_family = family)
                    />
                </div>
                <div class="form-part">
                    <YesNo
                        label=t("vehicle-restraints")
                        value=Signal::derive(move || job.with(|job| job.restraints_deployed))
                        on_change=move |yes| job.update(|job| job.restraints_deployed = yes)
                    />
                    <YesNo
                        label=t("vehicle-high-voltage")
                        value=Signal::derive(move || job.with(|job| job.high_voltage))
                        on_change=move |yes| job.update(|job| job.high_voltage = yes)
                    />
                    <Show when=move || job.with(|job| job.restraints_deployed)>
                        <p class="form-care">{t("caution-text-restraints")}</p>
                    </Show>
                    <Show when=move || job.with(|job| job.high_voltage)>
                        <p class="form-care">{t("caution-text-high-voltage")}</p>
                    </Show>
                </div>
                <div class="form-acts">
                    <button type="button" class="key" data-act="cancel" on:click=move |_| on_close()>{t("gate-back")}</button>
                    <button type="submit" class="key primary" data-act="start">{t("gate-start")}</button>
                </div>
            </form>
        </main>
    }
}
