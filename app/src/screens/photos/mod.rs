//! The photos of a job: all of them as small pictures, one of them large with its pins, and the bin.
//!
//! Every change of a photo is an edit of the job. Reads bytes; writes none.

mod large;
mod tile;

use crate::capture::{CameraKey, Captures};
use crate::planned::Planned;
use crate::route::{Route, Router};
use crate::state::{AppState, BIN_DAYS, Size};
use crate::thumb;
use crate::words::{count, t, tf};
use large::Large;
use leptos::prelude::*;
use leptos::task::spawn_local;
use model::ids::{MarkId, PhotoId};
use model::job::{Command, Job, Photo, PhotoField};
use std::sync::Arc;
use tile::Tile;

/// What the screen looks at.
#[derive(Clone, Copy)]
pub struct Album {
    app: AppState,
    planned: Planned,
    /// The job.
    job: Memo<Option<Arc<Job>>>,
    /// The photo that shows large.
    open: RwSignal<Option<PhotoId>>,
    /// The mark whose photos show; none: all.
    only: RwSignal<Option<MarkId>>,
}

impl Album {
    fn get() -> Self {
        expect_context()
    }

    fn photo(self, id: &PhotoId) -> Option<Photo> {
        self.job.with(|job| job.as_ref()?.photos.get(id).cloned())
    }

    /// What a mark is on, in words.
    fn mark_name(self, mark: &MarkId) -> String {
        self.job.with(|job| job.as_ref().map_or_else(String::new, |job| thumb::mark_name(self.planned, job, mark)))
    }

    /// What a photo shows, in words.
    fn name(self, photo: &Photo) -> String {
        self.job.with(|job| job.as_ref().map_or_else(String::new, |job| thumb::name(self.planned, job, photo)))
    }

    fn edit(self, id: &PhotoId, set: PhotoField) {
        self.app.dispatch(Command::EditPhoto { id: id.clone(), fields: vec![set] });
    }

    /// The photos that show, latest first.
    fn shown(self) -> Vec<PhotoId> {
        let only = self.only.get();
        self.job.with(|job| {
            job.as_ref().map_or_else(Vec::new, |job| thumb::latest(job, |photo| only.is_none() || photo.mark == only))
        })
    }
}

/// The photos screen of the open job.
#[component]
pub fn PhotosScreen() -> impl IntoView {
    let app = AppState::get();
    let album = Album {
        app,
        planned: Planned::get(),
        job: Memo::new(move |_| app.open.with(|open| open.as_ref().map(|open| open.job.clone()))),
        // An address may name a photo.
        open: RwSignal::new(match Router::get().peek() {
            Route::Photos { photo: Some(photo), .. } => Some(PhotoId::from(photo)),
            _ => None,
        }),
        only: RwSignal::new(None),
    };
    provide_context(album);
    let shown = Memo::new(move |_| album.shown());
    let mine = Memo::new(move |_| {
        album.job.with(|job| {
            let mut marks: Vec<MarkId> =
                job.iter().flat_map(|job| job.photos.values()).filter_map(|p| p.mark.clone()).collect();
            marks.sort();
            marks.dedup();
            marks
        })
    });
    view! {
        <main class="page photos">
            <h1>{t("photos")}</h1>
            <div class="photos-acts">
                <CameraKey label=t("photo-take") camera=true mark=album.only />
                <CameraKey label=t("photo-choose") camera=false mark=album.only />
            </div>
            <Captures />
            <Show when=move || mine.with(|mine| !mine.is_empty())>
                <label class="photos-of">
                    <span>{t("photos-of")}</span>
                    <select
                        data-act="only"
                        on:change=move |event| {
                            let mark = event_target_value(&event);
                            album.only.set((!mark.is_empty()).then_some(MarkId::from(mark)));
                        }
                    >
                        <option value="">{t("photos-of-all")}</option>
                        <For each=move || mine.get() key=|mark| mark.clone() let:mark>
                            <option value=mark.to_string()>{album.mark_name(&mark)}</option>
                        </For>
                    </select>
                </label>
            </Show>
            <p class="form-note" data-photos=move || shown.with(Vec::len)>
                {move || {
                    let number = shown.with(Vec::len);
                    if number == 0 { t("photos-none") } else { count("photos-count", number) }
                }}
            </p>
            <ul class="photo-grid">
                <For each=move || shown.get() key=|id| id.clone() let:id>
                    <Tile id=id />
                </For>
            </ul>
            <Bin />
            {move || album.open.get().map(|id| view! { <Large id=id shown=shown /> })}
        </main>
    }
    .into_any()
}

/// Photos in the bin whose bytes are still there.
#[component]
fn Bin() -> impl IntoView {
    let album = Album::get();
    let there = RwSignal::new(Vec::<PhotoId>::new());
    let binned = Memo::new(move |_| {
        album.job.with(|job| {
            let photos = job.iter().flat_map(|job| job.photos.iter());
            photos.filter(|(_, photo)| photo.binned.is_some()).map(|(id, _)| id.clone()).collect::<Vec<_>>()
        })
    });
    Effect::new(move |_| {
        album.app.freed.track();
        let (wanted, job) = (binned.get(), album.job.with_untracked(|job| job.as_ref().map(|job| job.id.clone())));
        let Some(job) = job else { return };
        spawn_local(async move {
            let mut found = Vec::new();
            for id in wanted {
                if album.app.photo_bytes(&job, &id, Size::Thumb).await.is_some() {
                    found.push(id);
                }
            }
            there.try_set(found);
        });
    });
    view! {
        <Show when=move || there.with(|there| !there.is_empty())>
            <details class="photo-bin">
                <summary>{move || count("photos-bin", there.with(Vec::len))}</summary>
                <p class="form-note">{tf("photos-bin-note", &[("days", &BIN_DAYS.to_string())])}</p>
                <ul class="photo-grid">
                    <For each=move || there.get() key=|id| id.clone() let:id>
                        <Tile id=id />
                    </For>
                </ul>
                <button type="button" class="key" data-act="empty-bin" on:click=move |_| album.app.empty_bin()>
                    {t("photos-bin-empty")}
                </button>
            </details>
        </Show>
    }
}
