//! One small picture in the grid. Its bytes are read when it comes near what is seen, and never before.

use super::{Album, when};
use crate::platform::camera::{Near, Shown, when_near};
use crate::state::Size;
use crate::widgets::Icon;
use crate::words::{count, t};
use leptos::html;
use leptos::prelude::*;
use leptos::task::spawn_local;
use model::ids::PhotoId;
use model::job::PhotoField;

/// What a small picture shows.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Look {
    Waiting,
    Here,
    Missing,
}

/// A photo of the grid: opens it, or brings it back from the bin.
#[component]
pub fn Tile(
    /// The photo.
    id: PhotoId,
) -> impl IntoView {
    let album = Album::get();
    let own = id.clone();
    let photo = Memo::new(move |_| album.photo(&own));
    let (look, shown) = (RwSignal::new(Look::Waiting), StoredValue::new_local(None::<Shown>));
    let near = StoredValue::new_local(None::<Near>);
    let place = NodeRef::<html::Li>::new();
    let wanted = id.clone();
    Effect::new(move |_| {
        let Some(element) = place.get() else { return };
        let (id, job) = (wanted.clone(), album.job.with_untracked(|job| job.as_ref().map(|job| job.id.clone())));
        let Some(job) = job else { return };
        let watch = when_near(&element, move || {
            spawn_local(async move {
                let bytes = album.app.photo_bytes(&job, &id, Size::Thumb).await;
                let picture = bytes.and_then(|bytes| Shown::new(&bytes));
                let now = if picture.is_some() { Look::Here } else { Look::Missing };
                // The grid may be gone by now.
                if look.try_get_untracked().is_some() {
                    shown.set_value(picture);
                    look.set(now);
                }
            });
        });
        near.set_value(watch);
    });
    let name = move || photo.get().map(|photo| album.name(&photo)).unwrap_or_default();
    let binned = Memo::new(move |_| photo.with(|photo| photo.as_ref().is_some_and(|photo| photo.binned.is_some())));
    let (open, back) = (id.clone(), id.clone());
    view! {
        <li class="photo-tile" node_ref=place data-photo=id.0>
            <button type="button" class="photo-open" aria-label=name disabled=move || binned.get() on:click=move |_| album.open.set(Some(open.clone()))>
                {move || match look.get() {
                    Look::Here => {
                        let address = shown.with_value(|shown| shown.as_ref().map(|shown| shown.address().to_owned()));
                        view! { <img src=address alt="" decoding="async" /> }.into_any()
                    }
                    Look::Missing => view! { <span class="photo-missing"><Icon name="missing" />{t("photo-missing")}</span> }.into_any(),
                    Look::Waiting => ().into_any(),
                }}
            </button>
            <p class="photo-line">
                {move || photo.with(|photo| photo.as_ref().map(|photo| when(&photo.taken.at)))}
                {move || {
                    let pins = photo.with(|photo| photo.as_ref().map_or(0, |photo| photo.pins.len()));
                    (pins > 0).then(|| view! { <span class="photo-pins">{count("photo-pins", pins)}</span> })
                }}
            </p>
            <Show when=move || binned.get()>
                <button
                    type="button"
                    class="key"
                    data-act="restore"
                    on:click={
                        let back = back.clone();
                        move |_| album.edit(&back, PhotoField::Binned(None))
                    }
                >
                    {t("photo-restore")}
                </button>
            </Show>
        </li>
    }
}
