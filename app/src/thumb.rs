//! A photo as it shows among others: small, or sharp for paper. Its bytes are read when it comes near what is seen, or when
//! they are asked for, and never before. What a photo is called is said here once.

use crate::planned::Planned;
use crate::platform::camera::{Near, Shown, when_near};
use crate::state::{AppState, Size};
use crate::widgets::Icon;
use crate::words::{t, tf};
use leptos::html;
use leptos::prelude::*;
use leptos::task::spawn_local;
use model::ids::{MarkId, PhotoId};
use model::job::{Job, Photo};

/// What shows in the place of a picture.
#[derive(Clone, PartialEq, Eq)]
enum Look {
    Waiting,
    /// The picture of this size at this address.
    Here(Size, String),
    Missing,
}

/// The picture of a photo of the open job.
#[component]
pub fn Thumb(
    /// The photo.
    id: PhotoId,
    /// The list item in which it stands; its bytes are read when this comes near.
    place: NodeRef<html::Li>,
    /// Whether it is wanted now wherever it stands, and in which size; none: when it comes near, small.
    #[prop(default = Signal::stored(None))]
    wanted: Signal<Option<Size>>,
) -> impl IntoView {
    let app = AppState::get();
    let (look, shown) = (RwSignal::new(Look::Waiting), StoredValue::new_local(None::<Shown>));
    let (near, watch) = (RwSignal::new(false), StoredValue::new_local(None::<Near>));
    Effect::new(move |_| {
        let Some(element) = place.get() else { return };
        let told = when_near(&element, move || {
            near.try_set(true);
        });
        watch.set_value(told);
    });
    let size = Memo::new(move |_| wanted.get().or_else(|| near.get().then_some(Size::Thumb)));
    Effect::new(move |_| {
        let (Some(size), Some(job)) = (size.get(), job_id(app)) else { return };
        let id = id.clone();
        spawn_local(async move {
            let bytes = app.photo_bytes(&job, &id, size).await;
            let picture = bytes.and_then(|bytes| Shown::new(&bytes));
            let now = picture.as_ref().map_or(Look::Missing, |picture| Look::Here(size, picture.address().to_owned()));
            // The list may be gone by now.
            if look.try_get_untracked().is_some() {
                look.set(now);
                shown.set_value(picture);
            }
        });
    });
    move || match look.get() {
        Look::Here(size, address) => {
            let sharp = (size == Size::Full).then_some("");
            view! { <img src=address alt="" decoding="async" data-sharp=sharp /> }.into_any()
        }
        Look::Missing => {
            view! { <span class="photo-missing"><Icon name="missing" />{t("photo-missing")}</span> }.into_any()
        }
        Look::Waiting => ().into_any(),
    }
}

fn job_id(app: AppState) -> Option<model::job::JobId> {
    app.open.with_untracked(|open| open.as_ref().map(|open| open.job.id.clone()))
}

/// Photos that are not in the bin and fit, latest first.
pub fn latest(job: &Job, fits: impl Fn(&Photo) -> bool) -> Vec<PhotoId> {
    let mut all: Vec<_> = job.photos.iter().filter(|(_, photo)| photo.binned.is_none() && fits(photo)).collect();
    all.sort_by(|one, other| (&other.1.taken.at, other.0).cmp(&(&one.1.taken.at, one.0)));
    all.into_iter().map(|(id, _)| id.clone()).collect()
}

/// What a mark is on, in words.
pub fn mark_name(planned: Planned, job: &Job, mark: &MarkId) -> String {
    let part = job.marks.get(mark).and_then(|mark| Some((planned.book.get().part(&mark.part)?, mark)));
    part.map_or_else(
        || t("photo-mark-gone"),
        |(part, mark)| tf("photo-mark", &[("part", &part.name()), ("kind", &t(mark.kind.key()))]),
    )
}

/// What a photo is of, in words.
pub fn subject(planned: Planned, job: &Job, photo: &Photo) -> String {
    photo.mark.as_ref().map_or_else(|| t("photo-of-job"), |mark| mark_name(planned, job, mark))
}

/// What a photo shows and when it was taken, in words.
pub fn name(planned: Planned, job: &Job, photo: &Photo) -> String {
    tf("photo-name", &[("of", &subject(planned, job, photo)), ("day", &when(&photo.taken.at))])
}

/// Day and time of a photo as people read it.
pub fn when(at: &str) -> String {
    at.replace('T', " ")
}
