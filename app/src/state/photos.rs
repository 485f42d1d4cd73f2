//! Taking photos: a queue that never blocks, one picture at a time; bytes first, then the fact that there is a photo.
//!
//! The bytes go into the journal together with a note that they are not in the log yet; the change that records the photo
//! takes the note away in its own transaction. A start that finds an old note and no photo removes the bytes: an
//! interrupted capture leaves nothing. A restore notes its jobs likewise (`backup.rs`).

use super::stores::why;
use super::{AppState, NOTE, RESTORING, Readable};
use crate::platform::bytes::Bytes;
use crate::platform::journal::{Batch, Journal};
use crate::platform::picked::Picked;
use crate::platform::{Refusal, camera, chance, clock, lifecycle};
use crate::words::t;
use leptos::prelude::*;
use leptos::task::spawn_local;
use model::ids::{MarkId, PhotoId};
use model::job::keep::job_prefix;
use model::job::{Command, Job, JobId, Original, PHOTOS_MAX, Photo, Taken};
use model::photo;
use model::words::Language;
use std::collections::BTreeSet;

/// Longest side of a kept picture, pixels.
const SIDE: u32 = 2_048;
/// Longest side of a thumbnail, pixels.
const SMALL: u32 = 256;
/// How long a photo waits in the bin before its space is freed, days.
pub const BIN_DAYS: u32 = 30;
/// A younger note may be of another tab that is about to record its photo, ms.
const YOUNG_MS: u64 = 60_000;

/// A photo on its way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Capture {
    /// Tells captures apart.
    pub number: u64,
    /// Its job.
    pub job: JobId,
    /// The mark that it is of.
    pub mark: Option<MarkId>,
    /// Name of its file.
    pub name: String,
    /// How far it is.
    pub step: Step,
}

/// How far a photo is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Step {
    /// Waits for those before it.
    Waiting,
    /// Is being made.
    Working,
    /// Was not kept: why, and what to do.
    Failed(String),
}

/// Which bytes of a photo.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Size {
    /// The kept picture.
    Full,
    /// Its thumbnail.
    Thumb,
    /// The camera's own file.
    Original,
}

/// The key of a photo's bytes.
fn key(job: &JobId, photo: &PhotoId, size: Size) -> String {
    let size = match size {
        Size::Full => "full",
        Size::Thumb => "thumb",
        Size::Original => "original",
    };
    format!("{job}/{photo}/{size}")
}

fn keys(job: &JobId, photo: &PhotoId) -> [String; 3] {
    [Size::Full, Size::Thumb, Size::Original].map(|size| key(job, photo, size))
}

fn note(job: &JobId, photo: &PhotoId) -> String {
    format!("{NOTE}{job}/{photo}")
}

impl AppState {
    /// Puts files of the camera or of the tablet into the queue of the open job.
    pub fn take_photos(self, files: Vec<Picked>, mark: Option<MarkId>) {
        let Some(job) = self.open.with_untracked(|open| open.as_ref().map(|open| open.job.id.clone())) else { return };
        for file in files {
            let number = self.desk(super::desk::Desk::next_notice);
            let capture =
                Capture { number, job: job.clone(), mark: mark.clone(), name: file.name(), step: Step::Waiting };
            self.desk(|desk| desk.files.insert(number, file));
            self.captures.update(|all| all.push(capture));
        }
        self.develop();
    }

    /// Tries a photo again that was not kept.
    pub fn retry_photo(self, number: u64) {
        self.step(number, Step::Waiting);
        self.develop();
    }

    /// Gives up a photo that was not kept.
    pub fn give_up_photo(self, number: u64) {
        self.desk(|desk| desk.files.remove(&number));
        self.captures.update(|all| all.retain(|capture| capture.number != number));
    }

    fn step(self, number: u64, step: Step) {
        self.captures.update(|all| {
            if let Some(capture) = all.iter_mut().find(|capture| capture.number == number) {
                capture.step = step;
            }
        });
    }

    /// Whether a photo waits or is being made; one that was not kept does not count.
    pub(super) fn photos_on_their_way(self) -> bool {
        self.captures.with_untracked(|all| all.iter().any(|capture| !matches!(capture.step, Step::Failed(_))))
    }

    /// Works the queue off, unless that is under way.
    fn develop(self) {
        if self.desk(|desk| std::mem::replace(&mut desk.developing, true)) {
            return;
        }
        spawn_local(async move {
            loop {
                let next = self.captures.with_untracked(|all| all.iter().find(|c| c.step == Step::Waiting).cloned());
                let Some(capture) = next else { break };
                let Some(file) = self.desk(|desk| desk.files.get(&capture.number).cloned()) else {
                    self.give_up_photo(capture.number);
                    continue;
                };
                self.step(capture.number, Step::Working);
                match self.develop_one(&capture, &file).await {
                    Ok(()) => self.give_up_photo(capture.number),
                    Err(why) => self.step(capture.number, Step::Failed(why)),
                }
                self.watch_room();
            }
            self.desk(|desk| desk.developing = false);
        });
    }

    async fn develop_one(self, capture: &Capture, file: &Picked) -> Result<(), String> {
        let job = &capture.job;
        let count = self.desk(|desk| desk.sheets.get(job).map_or(0, |sheet| sheet.session.job().photos.len()));
        if count >= PHOTOS_MAX {
            let error = model::Error::new("error-photo-many", "").with("most", PHOTOS_MAX);
            return Err(error.message(Language::English));
        }
        let unread = |_| t("photo-unreadable");
        let first = file.bytes(0.0, f64::from(photo::HEAD)).await.map_err(unread)?.to_vec();
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a whole number below 2⁵³
        let size = file.size() as u64;
        photo::judge(&first, size, &file.kind()).map_err(|error| error.message(Language::English))?;
        drop(first);
        let made = camera::develop(file, SIDE, SMALL).await.map_err(|_| t("photo-undecodable"))?;
        let sha256 = made.sha256.clone().unwrap_or_else(|| photo::sha256(&made.full.to_vec()));
        let id = PhotoId(chance::name('p', 12));
        let mut batch = Batch {
            pictures: vec![
                (key(job, &id, Size::Full), made.full.clone()),
                (key(job, &id, Size::Thumb), made.thumb.clone()),
            ],
            settings: vec![(note(job, &id), clock::now_ms().to_string())],
            ..Batch::default()
        };
        let mut original = None;
        if self.settings.with_untracked(|settings| settings.keep_camera_file) {
            let bytes = file.bytes(0.0, file.size()).await.map_err(unread)?;
            original = Some(Original { bytes: bytes.len(), sha256: photo::sha256(&bytes.to_vec()) });
            batch.pictures.push((key(job, &id, Size::Original), bytes));
        }
        let journal = self.answer().await.map_err(|refusal| refused(&refusal))?;
        journal.write(&batch).await.map_err(|refusal| refused(&refusal))?;
        self.desk(|desk| desk.notes.push((job.clone(), id.clone())));
        let taken =
            Taken { at: file.made(), width: made.width, height: made.height, bytes: made.full.len(), sha256, original };
        let photo = Photo::new(taken, capture.mark.clone());
        self.with_job(job, move |state, job| {
            state.change(job, |session, now| session.apply(&Command::AddPhoto { id, photo }, now));
        });
        Ok(())
    }

    /// The notes that a batch with this job's changes may take away, for it brings the photos into the log.
    pub(super) fn settled_notes(notes: &[(JobId, PhotoId)], job: &Job) -> Vec<String> {
        let settled = notes.iter().filter(|(of, photo)| *of == job.id && job.photos.contains_key(photo));
        settled.map(|(job, photo)| note(job, photo)).collect()
    }

    /// Removes what interrupted captures left; once, after the start.
    pub(super) async fn sweep(self, journal: &Journal) -> Result<(), Refusal> {
        for (found, since) in journal.settings().await? {
            let Some((job, photo)) = found.strip_prefix(NOTE).and_then(|name| name.split_once('/')) else { continue };
            let age = clock::now_ms().checked_sub(since.parse().unwrap_or_default());
            if age.is_some_and(|age| age < YOUNG_MS) {
                continue;
            }
            let (job, photo) = (JobId::from(job), PhotoId::from(photo));
            let Some(named) = self.photos_named(journal, &job).await? else { continue };
            let drop_pictures = if named.contains(&photo) { Vec::new() } else { keys(&job, &photo).to_vec() };
            journal.write(&Batch { unset: vec![found], drop_pictures, ..Batch::default() }).await?;
        }
        Ok(())
    }

    /// Removes pictures that a restore brought in before it was cut off, where their job never came. Not while a restore runs.
    pub(super) async fn sweep_restores(self, journal: &Journal) -> Result<(), Refusal> {
        let Some(_alone) = lifecycle::alone(RESTORING, false).await else { return Ok(()) };
        for (found, _) in journal.settings().await? {
            let Some(job) = found.strip_prefix(RESTORING).map(JobId::from) else { continue };
            // In this order: a capture of another tab has its note until its change is in the journal.
            let pictures = journal.picture_keys(&format!("{job}/")).await?;
            let notes: BTreeSet<String> = journal.settings().await?.into_iter().map(|(key, _)| key).collect();
            let Some(named) = self.photos_named(journal, &job).await? else { continue };
            let unnamed = |key: &String| {
                let photo = key.split('/').nth(1).map(PhotoId::from);
                photo.is_some_and(|photo| !named.contains(&photo) && !notes.contains(&note(&job, &photo)))
            };
            let drop_pictures = pictures.into_iter().filter(unnamed).collect();
            journal.write(&Batch { unset: vec![found], drop_pictures, ..Batch::default() }).await?;
        }
        Ok(())
    }

    /// The photos that a job names; none where there is no such job, `None` where it cannot be read whole and so may name any.
    async fn photos_named(self, journal: &Journal, job: &JobId) -> Result<Option<BTreeSet<PhotoId>>, Refusal> {
        self.fetch(journal, job).await?;
        let named = self.desk(|desk| {
            let sheet = desk.sheets.get(job).filter(|sheet| sheet.readable == Readable::Ok)?;
            Some(sheet.session.job().photos.keys().cloned().collect::<BTreeSet<_>>())
        });
        let gone = named.is_none() && journal.keys(&job_prefix(job)).await?.is_empty();
        Ok(named.or_else(|| gone.then(BTreeSet::new)))
    }

    /// Frees the space of photos that have waited long enough in the bin of a job, or whose job was put away.
    pub(super) fn empty_old_bin(self, job: &JobId) {
        let before = clock::days_ago(BIN_DAYS);
        let old: Vec<PhotoId> = self.desk(|desk| {
            let Some(sheet) = desk.sheets.get(job) else { return Vec::new() };
            let job = sheet.session.job();
            let old = |day: &String| job.archived || *day < before;
            let photos = job.photos.iter().filter(|(_, photo)| photo.binned.as_ref().is_some_and(old));
            photos.map(|(id, _)| id.clone()).collect()
        });
        self.free(job.clone(), old);
    }

    /// Frees the space of all photos in the open job's bin now.
    pub fn empty_bin(self) {
        let Some(open) = self.open.get_untracked() else { return };
        let binned = open.job.photos.iter().filter(|(_, photo)| photo.binned.is_some());
        self.free(open.job.id.clone(), binned.map(|(id, _)| id.clone()).collect());
    }

    fn free(self, job: JobId, photos: Vec<PhotoId>) {
        if photos.is_empty() {
            return;
        }
        spawn_local(async move {
            let Ok(journal) = self.answer().await else { return };
            let drop_pictures = photos.iter().flat_map(|photo| keys(&job, photo)).collect();
            // Refused, the space stays taken, and the next look into the job tries again.
            let _ = journal.write(&Batch { drop_pictures, ..Batch::default() }).await;
            self.freed.update(|count| *count += 1);
        });
    }

    /// The bytes of a photo; `None` where this tablet does not hold them.
    pub async fn photo_bytes(self, job: &JobId, photo: &PhotoId, size: Size) -> Option<Bytes> {
        self.answer().await.ok()?.picture(&key(job, photo, size)).await.ok()?
    }
}

/// Why a photo was not kept, and what to do.
fn refused(refusal: &Refusal) -> String {
    match refusal {
        Refusal::Full => t("photo-full"),
        other => format!("{} {}", why(other), t("photo-not-kept")),
    }
}
