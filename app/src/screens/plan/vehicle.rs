//! What is known of the vehicle besides its marks: frame, restraints, high voltage, owner, number, note.
//!
//! Each answer is one command, so each can be undone.

use super::Desk;
use crate::vehicle::{ColourKind, VehicleFields, YesNo};
use crate::widgets::{Choices, Field, Icon, Pick};
use crate::words::{cap, t};
use leptos::prelude::*;
use model::job::{Command, Job, LINE_MAX, NOTE_MAX, Vehicle, is_date};
use model::terms::FrameState;

/// The circumstances, and the papers folded below them.
#[component]
pub fn Circumstances() -> impl IntoView {
    let desk = Desk::get();
    let unfolded = RwSignal::new(false);
    let frames: Vec<Pick> = FrameState::ALL.iter().map(|state| Pick::plain(state.word(), cap(state.key()))).collect();
    view! {
        <section class="circumstances" aria-labelledby="plan-vehicle">
            <h2 id="plan-vehicle" tabindex="-1" class="plan-heading">{t("plan-vehicle")}</h2>
            <Choices
                label=t("plan-frame")
                picks=Signal::stored(frames)
                value=of(desk, |job| job.frame.word().to_owned())
                on_pick=move |word: String| {
                    if let Some(state) = FrameState::from_word(&word) {
                        desk.app.dispatch(Command::SetFrame(state));
                    }
                }
            />
            <YesNo
                label=t("vehicle-restraints")
                value=of(desk, |job| job.restraints_deployed)
                on_change=move |yes| desk.app.dispatch(Command::SetRestraintsDeployed(yes))
            />
            <YesNo
                label=t("vehicle-high-voltage")
                value=of(desk, |job| job.high_voltage)
                on_change=move |yes| desk.app.dispatch(Command::SetHighVoltage(yes))
            />
            <ColourKind
                family=of(desk, |job| job.vehicle.colour_family)
                on_change=move |family| {
                    let vehicle = desk.planned.job.with_untracked(|job| job.as_ref().map(|job| job.vehicle.clone()));
                    if let Some(vehicle) = vehicle {
                        desk.app.dispatch(Command::SetVehicle(Vehicle { colour_family: family, ..vehicle }));
                    }
                }
            />
            <button
                type="button"
                class="key disclose"
                data-act="papers"
                aria-expanded=move || unfolded.get().to_string()
                on:click=move |_| unfolded.update(|open| *open = !*open)
            >
                <span>{t("plan-papers")}</span>
                <Icon name="open" />
            </button>
            <Show when=move || unfolded.get()>
                <Papers />
            </Show>
        </section>
    }
}

/// A value of the open job.
fn of<T: Clone + Default + PartialEq + Send + Sync + 'static>(desk: Desk, get: fn(&Job) -> T) -> Signal<T> {
    Memo::new(move |_| desk.planned.job.with(|job| job.as_ref().map(|job| get(job)).unwrap_or_default())).into()
}

#[component]
fn Papers() -> impl IntoView {
    let desk = Desk::get();
    view! {
        <div class="form-part">
            <Field
                id="papers-title"
                label=t("gate-title")
                value=of(desk, |job| job.title.clone())
                on_done=move |text: String| desk.app.dispatch(Command::SetTitle(text.trim().to_owned()))
                most=LINE_MAX
            />
            <Field
                id="papers-owner"
                label=t("gate-owner")
                value=of(desk, |job| job.owner.clone())
                on_done=move |text: String| desk.app.dispatch(Command::SetOwner(text.trim().to_owned()))
                most=LINE_MAX
            />
            <Field
                id="papers-received"
                kind="date"
                label=t("gate-received")
                value=of(desk, |job| job.received.clone())
                on_done=move |text: String| {
                    if text.is_empty() || is_date(&text) {
                        desk.app.dispatch(Command::SetReceived(text));
                    }
                }
                most=10
            />
            <VehicleFields
                vehicle=of(desk, |job| job.vehicle.clone())
                on_change=move |vehicle| desk.app.dispatch(Command::SetVehicle(vehicle))
            />
            <Field
                id="papers-note"
                label=t("ui-note")
                value=of(desk, |job| job.note.clone())
                on_done=move |text: String| desk.app.dispatch(Command::SetNote(text.trim().to_owned()))
                most=NOTE_MAX
            />
        </div>
    }
}
