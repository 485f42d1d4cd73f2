//! The photos of the job on the plan: what each shows, when it was taken, its note and its pins; on paper as on the screen.
//!
//! Reads bytes and writes none. On paper the pictures are sharp; the browser's own print command waits for nothing, so the
//! small ones are read soon after the plan opens.

use super::{Desk, Heading};
use crate::platform::{page, paper};
use crate::route::{Route, Router};
use crate::state::Size;
use crate::thumb::{Thumb, latest, mark_name, name, subject, when};
use crate::words::t;
use leptos::html;
use leptos::prelude::*;
use leptos::task::spawn_local;
use model::ids::PhotoId;
use model::job::{PIN_FAR, Photo};

/// Pictures that are sharp on paper; those behind them stay small, so that a tablet's memory holds a job of hundreds.
const SHARP: usize = 40;

/// How the pictures are wanted.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Wish {
    /// As each comes near.
    Near,
    /// All, small.
    All,
    /// All, for paper.
    Paper,
}

/// Prints the plan once its pictures are sharp.
pub(super) fn print(desk: Desk) {
    desk.for_paper.set(true);
    spawn_local(async move {
        paper::pictures("#plan-photos-list li").await;
        paper::print();
        desk.for_paper.try_set(false);
    });
}

/// The section; nothing where there is no photo.
#[component]
pub(super) fn Photos() -> impl IntoView {
    let desk = Desk::get();
    let all = Memo::new(move |_| {
        desk.planned.job.with(|job| job.as_ref().map_or_else(Vec::new, |job| latest(job, |_| true)))
    });
    let opened = RwSignal::new(false);
    page::soon(move || {
        opened.try_set(true);
    });
    let wish = Memo::new(move |_| match (desk.for_paper.get(), opened.get()) {
        (true, _) => Wish::Paper,
        (false, true) => Wish::All,
        (false, false) => Wish::Near,
    });
    let number = Signal::derive(move || all.with(Vec::len));
    view! {
        <Show when=move || { number.get() > 0 }>
            <section class="plan-photos" aria-labelledby="plan-photos">
                <Heading id="plan-photos" key="photos" number=number />
                <ul class="plan-photos-list" id="plan-photos-list">
                    <For each=move || all.get().into_iter().enumerate() key=|(at, id)| (*at < SHARP, id.clone()) let:item>
                        <Picture id=item.1 sharp=item.0 < SHARP wish=wish />
                    </For>
                </ul>
            </section>
        </Show>
    }
}

/// One photo with what is to be known of it.
#[component]
fn Picture(
    /// The photo.
    id: PhotoId,
    /// Whether it is sharp on paper.
    sharp: bool,
    /// How the pictures are wanted.
    wish: Memo<Wish>,
) -> impl IntoView {
    let (desk, router) = (Desk::get(), Router::get());
    let place = NodeRef::<html::Li>::new();
    let own = id.clone();
    let photo =
        Memo::new(move |_| desk.planned.job.with(|job| job.as_ref().and_then(|job| job.photos.get(&own).cloned())));
    let said = move |how: fn(crate::planned::Planned, &model::job::Job, &Photo) -> String| {
        desk.planned.job.with(|job| {
            photo.with(|photo| match (job, photo) {
                (Some(job), Some(photo)) => how(desk.planned, job, photo),
                _ => String::new(),
            })
        })
    };
    let pins = move || {
        desk.planned.job.with(|job| {
            photo.with(|photo| match (job, photo) {
                (Some(job), Some(photo)) => {
                    let pins = photo.pins.iter().enumerate();
                    pins.map(|(at, pin)| (at + 1, pin.x, pin.y, mark_name(desk.planned, job, &pin.mark))).collect()
                }
                _ => Vec::new(),
            })
        })
    };
    let share = |value: u16| format!("{:.2}%", 100.0 * f64::from(value) / f64::from(PIN_FAR));
    let wanted = Signal::derive(move || match wish.get() {
        Wish::Near => None,
        Wish::All => Some(Size::Thumb),
        Wish::Paper => Some(if sharp { Size::Full } else { Size::Thumb }),
    });
    let (shown, opened) = (id.clone(), id.clone());
    let shape = move || {
        photo.with(|photo| {
            photo.as_ref().map_or_else(String::new, |p| format!("--wide:{};--high:{}", p.taken.width, p.taken.height))
        })
    };
    view! {
        <li node_ref=place data-photo=id.to_string() data-paper=sharp.then_some("sharp")>
            <figure>
                <button
                    type="button"
                    class="plan-photo"
                    style=shape
                    aria-label=move || said(name)
                    on:click=move |_| {
                        if let Route::Plan { job } = router.peek() {
                            router.go(Route::Photos { job, photo: Some(opened.to_string()) });
                        }
                    }
                >
                    <Thumb id=shown place=place wanted=wanted />
                    {move || {
                        pins()
                            .into_iter()
                            .map(|(number, x, y, _)| {
                                view! { <span class="plan-pin" style=format!("left:{};top:{}", share(x), share(y))>{number}</span> }
                            })
                            .collect_view()
                    }}
                </button>
                <figcaption>
                    <b>{move || said(subject)}</b>
                    <span>{move || photo.with(|photo| photo.as_ref().map(|photo| when(&photo.taken.at)))}</span>
                    {move || {
                        pins()
                            .into_iter()
                            .map(|(number, .., name)| view! { <span><span class="plan-pin-number">{number}</span>" "{name}</span> })
                            .collect_view()
                    }}
                    {move || {
                        let note = photo.with(|photo| photo.as_ref().map(|photo| photo.note.clone()).unwrap_or_default());
                        (!note.is_empty()).then(|| view! { <span class="plan-photo-note">{note}</span> })
                    }}
                </figcaption>
            </figure>
        </li>
    }
}

/// The way to the section, where there is one.
#[component]
pub(super) fn Way() -> impl IntoView {
    let desk = Desk::get();
    let any = Memo::new(move |_| {
        desk.planned.job.with(|job| job.as_ref().is_some_and(|job| !latest(job, |_| true).is_empty()))
    });
    view! {
        <Show when=move || any.get()>
            <button type="button" class="key" on:click=move |_| paper::go_to("#plan-photos")>{t("photos")}</button>
        </Show>
    }
}
