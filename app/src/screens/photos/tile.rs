//! One small picture in the grid, and what can be done with it there.

use super::Album;
use crate::thumb::{Thumb, when};
use crate::words::{count, t};
use leptos::html;
use leptos::prelude::*;
use model::ids::PhotoId;
use model::job::PhotoField;

/// A photo of the grid: opens it, or brings it back from the bin.
#[component]
pub fn Tile(
    /// The photo.
    id: PhotoId,
) -> impl IntoView {
    let album = Album::get();
    let own = id.clone();
    let photo = Memo::new(move |_| album.photo(&own));
    let place = NodeRef::<html::Li>::new();
    let name = move || photo.get().map(|photo| album.name(&photo)).unwrap_or_default();
    let binned = Memo::new(move |_| photo.with(|photo| photo.as_ref().is_some_and(|photo| photo.binned.is_some())));
    let (open, back) = (id.clone(), id.clone());
    view! {
        <li class="photo-tile" node_ref=place data-photo=id.to_string()>
            <button type="button" class="photo-open" aria-label=name disabled=move || binned.get() on:click=move |_| album.open.set(Some(open.clone()))>
                <Thumb id=id.clone() place=place />
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
