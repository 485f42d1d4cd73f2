//! Everything into one file, and out of one again. Both stores and what is on screen go in; what comes out is joined with
//! what is here and never takes its place.
//!
//! Holds one job or one picture at a time. The file's form is the model's business (`model::backup`).

use super::card;
use super::settings::Settings;
use super::stores::reason;
use super::{AppState, JobCard, RESTORING, Readable};
use crate::platform::journal::{Batch, Journal};
use crate::platform::parcel::Parcel;
use crate::platform::picked::Picked;
use crate::platform::{Refusal, clock, lifecycle};
use crate::words::{t, tf};
use leptos::prelude::*;
use model::backup::{Found, FoundJob, Known, Made, Making, Place, Plan, Reader};
use model::job::keep::{Key, PREFIX, change_key, job_prefix};
use model::job::recover::{Origin, Recovered};
use model::job::{Change, ChangeId, JobId, Log, Session};
use model::words::Language;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// Bytes that are read at once.
const PORTION: u64 = 1 << 20;
/// Bytes of one job's changes that are read at once while restoring.
const RUN: u64 = 4 << 20;

/// A backup that was made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Backed {
    /// Name of the file.
    pub name: String,
    /// Jobs in it.
    pub jobs: usize,
    /// Pictures in it.
    pub photos: usize,
    /// Its bytes.
    pub bytes: u64,
    /// Entries that could not be read and stayed out.
    pub left_out: usize,
}

/// What a restore took.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Restored {
    /// Jobs that gained something.
    pub jobs: usize,
    /// Edits.
    pub edits: usize,
    /// Pictures.
    pub photos: usize,
    /// Settings and books of the shop.
    pub shop: usize,
}

fn say(error: &model::Error) -> String {
    error.message(Language::English)
}

fn refused(refusal: &Refusal) -> String {
    reason(refusal, true)
}

impl AppState {
    /// Puts everything into one file and offers it as a download. `tell` hears how many of how many steps are done.
    ///
    /// # Errors
    /// Why there is no file, in words.
    pub async fn make_backup(self, tell: impl Fn(usize, usize)) -> Result<Backed, String> {
        let journal = self.answer().await.map_err(|refusal| refused(&refusal))?;
        let at_ms = clock::now_ms();
        let mut making = Making::new(Made { by: format!("Cutline {}", env!("CARGO_PKG_VERSION")), at_ms });
        let mut parcel = Parcel::default();
        let jobs: Vec<JobId> = self.here(&journal).await?.into_keys().collect();
        let photos = journal.picture_keys("").await.map_err(|refusal| refused(&refusal))?;
        let steps = jobs.len() + photos.len();
        let mut left_out = 0;
        for (done, job) in jobs.iter().enumerate() {
            tell(done, steps);
            let (log, unread) = self.whole_log(&journal, job).await?;
            left_out += unread;
            for change in log.changes() {
                parcel.push(&making.change(change).map_err(|error| say(&error))?);
            }
        }
        let mut taken = 0;
        for (done, key) in photos.iter().enumerate() {
            tell(jobs.len() + done, steps);
            // One that was removed meanwhile is passed over.
            let Some(bytes) = journal.picture(key).await.map_err(|refusal| refused(&refusal))? else { continue };
            match making.photo(key, &bytes.to_vec()) {
                Ok(piece) => {
                    parcel.push(&piece.before);
                    parcel.push_bytes(&bytes);
                    parcel.push(&vec![0; piece.after]);
                    taken += 1;
                }
                Err(error) if error.key == "error-backup-name" => left_out += 1,
                Err(error) => return Err(say(&error)),
            }
        }
        for (what, text) in self.settings.with_untracked(shop_texts) {
            if !text.is_empty() {
                parcel.push(&making.shop(what, &text).map_err(|error| say(&error))?);
            }
        }
        let (front, end) = making.finish().map_err(|error| say(&error))?;
        parcel.push(&end);
        let bytes = parcel.size() + front.len() as u64;
        let name = tf("backup-file", &[("day", &clock::today())]);
        if !parcel.save(&name, "application/x-tar", &front) {
            return Err(t("file-refused"));
        }
        self.update_settings(|settings| settings.last_backup_ms = at_ms);
        Ok(Backed { name, jobs: jobs.len(), photos: taken, bytes, left_out })
    }

    /// Reads a backup through and says what restoring it would change; nothing is taken. `tell` hears the share read.
    ///
    /// # Errors
    /// Why it is no backup, in words.
    pub async fn look_into(self, file: &Picked, tell: impl Fn(f64)) -> Result<(Found, Plan), String> {
        let mut reader = Reader::new();
        let (size, mut at) = (file.size(), 0.0);
        #[allow(clippy::cast_precision_loss)] // a megabyte
        let portion = PORTION as f64;
        while at < size {
            tell(at / size);
            let bytes = file.bytes(at, at + portion).await.map_err(|_| t("gate-file-unreadable"))?.to_vec();
            if bytes.is_empty() {
                return Err(t("gate-file-unreadable"));
            }
            reader.feed(&bytes).map_err(|error| say(&error))?;
            at += portion;
        }
        let found = reader.finish().map_err(|error| say(&error))?;
        let journal = self.answer().await.map_err(|refusal| refused(&refusal))?;
        let photos = journal.picture_keys("").await.map_err(|refusal| refused(&refusal))?;
        let shop: BTreeMap<String, String> = self.settings.with_untracked(texts);
        // What was never set here is nothing that could be lost.
        let usual = texts(&Settings::default());
        let own = shop.iter().filter(|(what, text)| usual.get(*what) != Some(*text)).map(|(what, _)| what.clone());
        let known =
            Known { jobs: self.here(&journal).await?, photos: photos.into_iter().collect(), own: own.collect(), shop };
        let plan = found.plan(&known);
        Ok((found, plan))
    }

    /// Takes what was found and is not here. `replace` also takes settings and books of the shop that differ from those
    /// here. `tell` hears how many of how many steps are done.
    ///
    /// # Errors
    /// Why it stopped, in words; what was taken by then is whole and stays.
    pub async fn restore(
        self,
        file: &Picked,
        found: &Found,
        plan: &Plan,
        replace: bool,
        tell: impl Fn(usize, usize),
    ) -> Result<Restored, String> {
        let journal = self.answer().await.map_err(|refusal| refused(&refusal))?;
        // No other tab restores or sweeps meanwhile.
        let _alone = lifecycle::alone(RESTORING, true).await;
        let mut restored = Restored::default();
        let steps = plan.photos.len() + plan.jobs.len();
        lifecycle::ask_to_keep();
        let planned: BTreeSet<&JobId> = plan.jobs.iter().map(|job| &job.id).collect();
        let with_photos = plan.photos.iter().filter_map(|key| key.split_once('/')).map(|(job, _)| JobId::from(job));
        let jobs: BTreeSet<JobId> = planned.iter().map(|job| (*job).clone()).chain(with_photos).collect();
        for job in &jobs {
            // Pictures first: a job never names one that is not there yet. The note stands with the first of them.
            let note = format!("{RESTORING}{job}");
            let prefix = format!("{job}/");
            let here = journal.picture_keys(&prefix).await.map_err(|refusal| refused(&refusal))?;
            let own = found.photos.range(prefix.clone()..).take_while(|(key, _)| key.starts_with(&prefix));
            for (key, photo) in own.filter(|(key, _)| !here.contains(key)) {
                tell(restored.photos + restored.jobs, steps);
                let bytes = read(file, photo.place).await?;
                if ChangeId::of_bytes(&bytes.to_vec()) != photo.sum {
                    return Err(t("backup-file-changed"));
                }
                let pictures = vec![(key.clone(), bytes)];
                let batch = Batch { pictures, settings: vec![(note.clone(), String::new())], ..Batch::default() };
                journal.write(&batch).await.map_err(|refusal| refused(&refusal))?;
                restored.photos += 1;
            }
            tell(restored.photos + restored.jobs, steps);
            let settled = Batch { unset: vec![note], ..Batch::default() };
            match found.jobs.get(job).filter(|_| planned.contains(job)) {
                Some(inner) => {
                    let changes = read_job(file, inner).await?;
                    restored.edits += self.take_changes(&journal, job, changes, settled).await?;
                    restored.jobs += 1;
                }
                None => journal.write(&settled).await.map_err(|refusal| refused(&refusal))?,
            }
        }
        let wanted: Vec<_> = plan.shop.iter().filter(|part| replace || !part.replaces).collect();
        if !wanted.is_empty() {
            self.update_settings(|settings| {
                for part in wanted {
                    if found.shop.get(&part.what).is_some_and(|text| put_shop_text(settings, &part.what, text)) {
                        restored.shop += 1;
                    }
                }
            });
        }
        Ok(restored)
    }

    /// The changes of each job that are here, in the journal or in memory.
    async fn here(self, journal: &Journal) -> Result<BTreeMap<JobId, BTreeSet<ChangeId>>, String> {
        let mut here: BTreeMap<JobId, BTreeSet<ChangeId>> = BTreeMap::new();
        for key in journal.keys(PREFIX).await.map_err(|refusal| refused(&refusal))? {
            if let Some(Key::Change(job, id)) = Key::parse(&key) {
                here.entry(job).or_default().insert(id);
            }
        }
        self.desk(|desk| {
            for (job, sheet) in &desk.sheets {
                here.entry(job.clone()).or_default().extend(sheet.session.log().ids());
            }
        });
        Ok(here)
    }

    /// All changes of a job, and how many entries of it cannot be read.
    async fn whole_log(self, journal: &Journal, job: &JobId) -> Result<(Log, usize), String> {
        let mut recovered = Recovered::default();
        let entries = journal.entries(&job_prefix(job)).await.map_err(|refusal| refused(&refusal))?;
        let count = entries.len();
        for (key, text) in entries {
            recovered.take(Origin::Journal, &key, &text);
        }
        let found = recovered.jobs.remove(job).unwrap_or_default();
        let unread = count.saturating_sub(found.journal.len());
        let mut log = found.log;
        self.desk(|desk| {
            desk.sheets.get(job).into_iter().flat_map(|sheet| sheet.session.log().changes()).for_each(|change| {
                log.add(change.clone());
            });
        });
        Ok((log, unread))
    }

    /// Joins changes with a job: one transaction of the journal, which also does `besides`, then the memory of this tab and
    /// of the others.
    async fn take_changes(
        self,
        journal: &Journal,
        job: &JobId,
        changes: Vec<Change>,
        besides: Batch,
    ) -> Result<usize, String> {
        let (mut log, _) = self.whole_log(journal, job).await?;
        let mut put = Vec::new();
        let mut new = Vec::new();
        for change in changes {
            let change = Arc::new(change);
            if log.add(change.clone()) {
                put.push((change_key(job, change.id()), change.text()));
                new.push(change);
            }
        }
        let device = self.desk(|desk| desk.device.clone());
        let session = Session::open(log, device).map_err(|error| say(&error))?;
        let newer = |card: &&JobCard| card.id == *job && matches!(card.readable, Readable::NewerVersion(_));
        let readable = self.jobs.with_untracked(|jobs| jobs.iter().find(newer).map(|card| card.readable.clone()));
        let card = JobCard::of(&session, readable.unwrap_or_default());
        let batch = Batch { put, cards: vec![(job.to_string(), card.text())], ..besides };
        journal.write(&batch).await.map_err(|refusal| refused(&refusal))?;
        let in_memory = self.desk(|desk| {
            let Some(sheet) = desk.sheets.get_mut(job) else { return false };
            for change in &new {
                let _ = sheet.session.receive(change.clone()); // of this job, and proven
                sheet.keeper.journalled([change.id()]);
            }
            true
        });
        if in_memory {
            self.refresh(job);
        } else {
            self.jobs.update(|jobs| card::put(jobs, card));
        }
        if let Some(others) = self.desk(|desk| desk.others.clone()) {
            batch.put.iter().for_each(|(key, _)| others.tell(key));
        }
        Ok(new.len())
    }
}

async fn read(file: &Picked, place: Place) -> Result<crate::platform::bytes::Bytes, String> {
    #[allow(clippy::cast_precision_loss)] // places in a file are far below 2⁵³
    let (from, to) = (place.at as f64, (place.at + place.size) as f64);
    file.bytes(from, to).await.map_err(|_| t("backup-file-changed"))
}

/// Reads a job's changes, those that stand close together at once, and proves each again.
async fn read_job(file: &Picked, found: &FoundJob) -> Result<Vec<Change>, String> {
    let mut places: Vec<(Place, ChangeId)> = found.changes.iter().map(|(id, place)| (*place, *id)).collect();
    places.sort_by_key(|(place, _)| place.at);
    let mut out = Vec::new();
    let mut rest = places.as_slice();
    while let Some((first, _)) = rest.first() {
        let near = rest.partition_point(|(place, _)| place.at + place.size <= first.at + RUN).max(1);
        let (run, behind) = rest.split_at(near);
        let end = run.last().map_or(first.at, |(place, _)| place.at + place.size);
        let bytes = read(file, Place { at: first.at, size: end - first.at }).await?.to_vec();
        for (place, id) in run {
            let from = usize::try_from(place.at - first.at).unwrap_or(usize::MAX);
            let to = from.saturating_add(usize::try_from(place.size).unwrap_or(usize::MAX));
            let text = bytes.get(from..to).and_then(|bytes| std::str::from_utf8(bytes).ok());
            let change = text.and_then(|text| Change::read(*id, text).ok());
            out.push(change.ok_or_else(|| t("backup-file-changed"))?);
        }
        rest = behind;
    }
    Ok(out)
}

/// What of the settings goes into a backup, by name.
fn shop_texts(settings: &Settings) -> Vec<(&'static str, String)> {
    let json = |value: serde_json::Value| value.to_string();
    vec![
        ("rules", settings.rule_book.clone()),
        ("rates", settings.rates.clone()),
        ("prices", settings.price_list.clone()),
        ("prices-name", settings.price_file.clone()),
        ("times", settings.time_book.clone()),
        ("joining", settings.joining.clone()),
        (
            "equipment",
            json(serde_json::json!({
                "aluminium_welding": settings.aluminium_welding,
                "aluminium_bay": settings.aluminium_bay,
                "backup_days": settings.backup_days,
                "lock_minutes": settings.lock_minutes,
            })),
        ),
        (
            "tablet",
            json(serde_json::json!({
                "look": settings.look, "gloves": settings.gloves, "units": settings.units, "hand": settings.hand,
            })),
        ),
    ]
}

fn texts(settings: &Settings) -> BTreeMap<String, String> {
    shop_texts(settings).into_iter().map(|(what, text)| (what.to_owned(), text)).collect()
}

/// Takes one of them over; `false` where this program does not know it or cannot read it.
fn put_shop_text(settings: &mut Settings, what: &str, text: &str) -> bool {
    match what {
        "rules" => text.clone_into(&mut settings.rule_book),
        "rates" => text.clone_into(&mut settings.rates),
        "prices" => text.clone_into(&mut settings.price_list),
        "prices-name" => text.clone_into(&mut settings.price_file),
        "times" => text.clone_into(&mut settings.time_book),
        "joining" => text.clone_into(&mut settings.joining),
        "equipment" | "tablet" => {
            // The fields of the text over those that stand, as settings are read.
            let (Ok(serde_json::Value::Object(new)), Ok(serde_json::Value::Object(mut all))) =
                (serde_json::from_str(text), serde_json::to_value(&*settings))
            else {
                return false;
            };
            let known = [
                "aluminium_welding",
                "aluminium_bay",
                "backup_days",
                "lock_minutes",
                "look",
                "gloves",
                "units",
                "hand",
            ];
            all.extend(new.into_iter().filter(|(name, _)| known.contains(&name.as_str())));
            match serde_json::from_value(all.into()) {
                Ok(read) => *settings = read,
                Err(_) => return false,
            }
        }
        _ => return false,
    }
    true
}
