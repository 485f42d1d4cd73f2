//! The photos of a job: all of them as small pictures, one of them large with its pins, and the bin.
//!
//! Every change of a photo is an edit of the job. Reads bytes; writes none.

mod large;
mod tile;

use crate::capture::{CameraKey, Captures};
use crate::planned::Planned;
use crate::state::{AppState, BIN_DAYS, Size};
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
        self.job.with(|job| {
            let found = job.as_ref().and_then(|job| job.marks.get(mark));
            let part = found.and_then(|mark| Some((self.planned.book.get().part(&mark.part)?, mark)));
            part.map_or_else(
                || t("photo-mark-gone"),
                |(part, mark)| tf("photo-mark", &[("part", &part.name()), ("kind", &t(mark.kind.key()))]),
            )
        })
    }

    /// What a photo shows, in words.
    fn name(self, photo: &Photo) -> String {
        let of = photo.mark.as_ref().map_or_else(|| t("photo-of-job"), |mark| self.mark_name(mark));
        tf("photo-name", &[("of", &of), ("day", &when(&photo.taken.at))])
    }

    fn edit(self, id: &PhotoId, set: PhotoField) {
        self.app.dispatch(Command::EditPhoto { id: id.clone(), fields: vec![set] });
    }

    /// The photos that show, latest first.
    fn shown(self) -> Vec<PhotoId> {
        let only = self.only.get();
        self.job.with(|job| {
            let Some(job) = job else { return Vec::new() };
            let fits = |photo: &Photo| photo.binned.is_none() && (only.is_none() || photo.mark == only);
            let mut all: Vec<_> = job.photos.iter().filter(|(_, photo)| fits(photo)).collect();
            all.sort_by(|one, other| (&other.1.taken.at, other.0).cmp(&(&one.1.taken.at, one.0)));
            all.into_iter().map(|(id, _)| id.clone()).collect()
        })
    }
}

/// Day and time of a photo as people read it.
fn when(at: &str) -> String {
    at.replace('T', " ")
}

/// The photos screen of the open job.
#[component]
pub fn PhotosScreen() -> impl IntoView {
    let app = AppState::get();
    let album = Album {
        app,
        planned: Planned::get(),
        job: Memo::new(move |_| app.open.with(|open| open.as_ref().map(|open| open.job.clone()))),
        open: RwSignal::new(None),
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
                            album.only.set((!mark.is_empty()).then_some(MarkId(mark)));
                        }
                    >
                        <option value="">{t("photos-of-all")}</option>
                        <For each=move || mine.get() key=|mark| mark.clone() let:mark>
                            <option value=mark.0.clone()>{album.mark_name(&mark)}</option>
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
