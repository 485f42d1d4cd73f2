//! The start: show what local storage holds at once, then join it with the journal; and what other tabs do meanwhile.
//!
//! Damaged entries are set aside under another key and named; entries of a newer Cutline are left alone.

use super::card::{self, JobCard, Readable};
use super::desk::Link;
use super::sealed::{self, Privacy};
use super::settings;
use super::stores::Quick;
use super::{AppState, SaveState};
use crate::platform::journal::{Batch, Journal};
use crate::platform::lifecycle::{self, Others};
use crate::platform::{Refusal, clock, quick, veil};
use crate::words::{t, tf};
use leptos::prelude::*;
use leptos::task::spawn_local;
use model::job::keep::{ASIDE, Key, PREFIX, evict, job_prefix};
use model::job::recover::{Aside, Found, Origin, Recovered};
use model::job::{Change, JobId, Session};
use model::words::Language;
use std::collections::BTreeSet;
use std::sync::Arc;

/// Name of the database, and of the line between tabs.
pub(super) const NAME: &str = "cutline";
/// How many jobs stay in local storage after the start; the journal has all.
const RECENT: usize = 12;

impl AppState {
    /// Starts, or asks for the passphrase first where there is one.
    pub(super) fn start(self) {
        self.begin_settings();
        match quick::get(sealed::KEY) {
            Ok(Some(lock)) => {
                self.privacy.set(Privacy::Locked);
                self.settle_lock(lock);
            }
            _ => self.begin(),
        }
    }

    /// Reads both stores and listens to the page and to other tabs.
    pub(super) fn begin(self) {
        let mut recovered = Recovered::default();
        match quick::keys(PREFIX) {
            Ok(keys) => {
                for key in keys {
                    if let Ok(Some(text)) = quick::get(&key) {
                        recovered.take(Origin::Quick, &key, &text);
                    }
                }
            }
            Err(_) => self.notify(true, t("quick-blocked"), false),
        }
        self.take_in(recovered);
        if !self.desk(|desk| std::mem::replace(&mut desk.listening, true)) {
            self.listen();
        }
        self.connect();
    }

    /// Tries again to save what is not safe: for a button beside "not saved", after the person has made room.
    pub fn retry_saving(self) {
        if matches!(self.desk(|desk| desk.link.clone()), Link::Refused(_)) {
            self.desk(|desk| desk.link = Link::Opening);
            self.saving.set(SaveState::Saving);
            self.connect();
        } else {
            self.flush();
        }
    }

    /// Opens the journal, joins it with what is in memory, and brings in what it lacks.
    fn connect(self) {
        spawn_local(async move {
            match Journal::open(NAME).await {
                Ok(journal) => {
                    if self.is_locked_in(&journal).await {
                        return;
                    }
                    if let Err(refusal) = self.join(&journal).await {
                        self.notify(true, super::stores::reason(&refusal, true), false);
                    }
                    self.desk(|desk| desk.link = Link::Open(journal));
                }
                Err(refusal) => {
                    self.notify(true, super::stores::reason(&refusal, true), false);
                    self.desk(|desk| desk.link = Link::Refused(refusal));
                }
            }
            self.flush();
            self.ready.set(true);
            // A job that was asked for before the journal could answer.
            if let Some(id) = self.desk(|desk| desk.wanted.clone())
                && self.open.with_untracked(Option::is_none)
                && self.desk(|desk| desk.sheets.contains_key(&id))
            {
                self.show(&id);
            }
            self.watch_room();
            if let Link::Open(journal) = self.desk(|desk| desk.link.clone()) {
                // What cannot be done now waits for the next start.
                let _ = self.tidy(&journal).await;
            }
        });
    }

    /// The journal holds a lock of which local storage knew nothing: what was shown goes, and the passphrase is asked for.
    async fn is_locked_in(self, journal: &Journal) -> bool {
        if veil::is_set() {
            return false;
        }
        let Ok(Some(text)) = journal.setting(sealed::KEY).await else { return false };
        let _ = quick::put(sealed::KEY, &text);
        self.desk(|desk| {
            desk.sheets.clear();
            desk.lock = Some(text);
        });
        self.open.set(None);
        self.jobs.set(Vec::new());
        self.privacy.set(Privacy::Locked);
        true
    }

    /// Joins what is in memory with the journal, lists the jobs that only the journal holds, and thins local storage.
    async fn join(self, journal: &Journal) -> Result<(), Refusal> {
        self.join_settings(journal).await?;
        let mut carded = false;
        let mut new = Vec::new();
        for (key, text) in journal.cards().await? {
            let Some(card) = JobCard::read(&text).filter(|card| card.id.0 == key) else { continue };
            carded = true;
            if !self.desk(|desk| desk.sheets.contains_key(&card.id)) {
                new.push(card);
            }
        }
        self.jobs.update(|jobs| card::put_all(jobs, new));
        let mut jobs: BTreeSet<JobId> = self.desk(|desk| desk.sheets.keys().cloned().collect());
        // A job whose card says that it cannot be read may be readable by now.
        jobs.extend(self.jobs.with_untracked(|cards| {
            cards.iter().filter(|card| card.readable != Readable::Ok).map(|card| card.id.clone()).collect::<Vec<_>>()
        }));
        // Where there is no card at all, "no jobs" must not be said before it is known.
        if !carded {
            jobs.extend(self.without_card(journal).await?);
        }
        for job in jobs {
            self.fetch(journal, &job).await?;
        }
        self.thin();
        Ok(())
    }

    /// The jobs of which the journal holds entries and no card that can be read. A change and its card are written together,
    /// so that there is none unless something went wrong.
    async fn without_card(self, journal: &Journal) -> Result<BTreeSet<JobId>, Refusal> {
        let carded: BTreeSet<JobId> =
            self.jobs.with_untracked(|jobs| jobs.iter().map(|card| card.id.clone()).collect());
        let keys = journal.keys(PREFIX).await?;
        let jobs = keys.iter().filter_map(|key| match Key::parse(key) {
            Some(Key::Change(job, _) | Key::Snapshot(job, _)) => Some(job),
            _ => None,
        });
        Ok(jobs.filter(|job| !carded.contains(job)).collect())
    }

    /// What can wait until the person has the app: jobs without a card, and what interrupted captures and restores left.
    async fn tidy(self, journal: &Journal) -> Result<(), Refusal> {
        for job in self.without_card(journal).await? {
            self.fetch(journal, &job).await?;
        }
        // Mostly there is nothing, and then nothing of the rest of the app is needed here.
        let notes = journal.settings().await?;
        if notes.iter().any(|(key, _)| key.starts_with(super::NOTE)) {
            self.sweep(journal).await?;
        }
        if notes.iter().any(|(key, _)| key.starts_with(super::RESTORING)) {
            self.sweep_restores(journal).await?;
        }
        Ok(())
    }

    /// Takes a job's entries out of the journal into memory.
    pub(super) async fn fetch(self, journal: &Journal, job: &JobId) -> Result<(), Refusal> {
        let mut recovered = Recovered::default();
        for (key, text) in journal.entries(&job_prefix(job)).await? {
            recovered.take(Origin::Journal, &key, &text);
        }
        let aside: Vec<Aside> = recovered.aside.clone();
        if !aside.is_empty() {
            let put = aside.iter().map(|entry| (format!("{ASIDE}{}", entry.key), entry.text.clone())).collect();
            let remove = aside.iter().map(|entry| entry.key.clone()).collect();
            journal.write(&Batch { put, remove, ..Batch::default() }).await?;
        }
        self.take_in(recovered);
        Ok(())
    }

    /// Loads a job from the journal, then goes on. Says so where there is no such job.
    pub(super) fn load(self, id: JobId, then: impl FnOnce(Self, &JobId) + 'static) {
        self.load_then(id, move |state, id, fetched| match fetched {
            Ok(()) if state.desk(|desk| desk.sheets.contains_key(id)) => then(state, id),
            Ok(()) => state.not_there(id),
            Err(refusal) => state.notify(true, super::stores::reason(&refusal, false), false),
        });
    }

    /// Takes what the journal holds of a job into memory, waiting for the journal where needed, then goes on in any case.
    pub(super) fn load_then(self, id: JobId, then: impl FnOnce(Self, &JobId, Result<(), Refusal>) + 'static) {
        spawn_local(async move {
            let fetched = match self.answer().await {
                Ok(journal) => self.fetch(&journal, &id).await,
                Err(refusal) => Err(refusal),
            };
            then(self, &id, fetched);
        });
    }

    /// The journal, once it has answered.
    pub(super) async fn answer(self) -> Result<Journal, Refusal> {
        loop {
            match self.desk(|desk| desk.link.clone()) {
                Link::Open(journal) => return Ok(journal),
                Link::Refused(refusal) => return Err(refusal),
                Link::Opening => clock::pause(20).await,
            }
        }
    }

    fn not_there(self, id: &JobId) {
        let readable =
            self.jobs.with_untracked(|jobs| jobs.iter().find(|card| card.id == *id).map(|card| card.readable.clone()));
        match readable {
            Some(Readable::NewerVersion(version)) => {
                self.notify(true, tf("error-job-newer", &[("version", &version)]), false);
            }
            _ => self.notify(true, tf("job-not-here", &[("job", &id.0)]), false),
        }
    }

    /// Takes recovered jobs into memory and lists them; sets damaged entries of local storage aside.
    fn take_in(self, recovered: Recovered) {
        for entry in &recovered.aside {
            if entry.origin == Origin::Quick {
                // Removed only once the copy is there.
                if quick::put(&format!("{ASIDE}{}", entry.key), &entry.text).is_ok() {
                    let _ = quick::remove(&entry.key);
                }
            }
            self.desk(|desk| desk.aside.push((entry.key.clone(), entry.text.clone())));
            let why = entry.error.message(Language::English);
            let job = entry.key.split('/').nth(1).unwrap_or_default();
            self.notify(true, tf("entry-set-aside", &[("job", job), ("why", &why)]), true);
        }
        for (id, found) in recovered.jobs {
            self.take_job(id, found);
        }
    }

    fn take_job(self, id: JobId, found: Found) {
        let readable = match (&found.newer, found.damaged) {
            (Some(version), _) => Readable::NewerVersion(version.clone()),
            (None, true) => Readable::Damaged,
            (None, false) => Readable::Ok,
        };
        let device = self.desk(|desk| desk.device.clone());
        let session = Session::open(found.log, device);
        let Ok(session) = session else {
            // Nothing of it can be read, or only a newer Cutline can.
            if !self.desk(|desk| desk.sheets.contains_key(&id)) && readable != Readable::Ok {
                self.jobs.update(|jobs| card::put(jobs, JobCard::unreadable(id, readable)));
            }
            return;
        };
        if session.clock_is_ahead(clock::now_ms()) {
            let day = session.log().last().day();
            self.notify(true, tf("clock-ahead", &[("title", &session.job().title), ("day", &day)]), false);
        }
        self.desk(|desk| {
            let sheet = desk.put(session, readable);
            sheet.keeper.found_quick(found.tail, found.snapshots);
            sheet.keeper.journalled(found.journal);
        });
        self.refresh(&id);
    }

    /// Leaves only the recent jobs in local storage.
    fn thin(self) {
        let recent: BTreeSet<JobId> = self.jobs.with_untracked(|jobs| {
            jobs.iter().filter(|card| !card.archived).take(RECENT).map(|card| card.id.clone()).collect()
        });
        self.desk(|desk| {
            let wanted = desk.wanted.clone();
            for (id, sheet) in &mut desk.sheets {
                if !recent.contains(id) && wanted.as_ref() != Some(id) && sheet.keeper.is_saved(&sheet.session) {
                    // Where this fails, the job stays in both stores, which costs room and nothing else.
                    if evict(&mut Quick, id, sheet.session.log().ids()) == Ok(true) {
                        sheet.keeper.forget_quick();
                    }
                }
            }
        });
    }

    fn listen(self) {
        lifecycle::on_hide(move || {
            self.compact_all();
            self.flush();
        });
        lifecycle::on_foreign_write(move |key, text| {
            if key == sealed::KEY {
                self.hear_lock(text.as_deref());
            } else if let (true, Some(text)) = (key == settings::KEY, &text) {
                self.take_settings(text);
            } else if let (Some(Key::Change(job, id)), Some(text)) = (Key::parse(&key), text) {
                self.hear(&job, Change::read(id, &text).ok(), false);
            }
        });
        let others = Others::listen(NAME, move |key| {
            if key == settings::KEY {
                self.hear_settings();
            } else if let Some(Key::Change(job, id)) = Key::parse(&key) {
                self.hear_saved(job, id, key);
            }
        });
        self.desk(|desk| desk.others = Some(others));
    }

    /// Another tab has made a change.
    fn hear(self, job: &JobId, change: Option<Change>, journalled: bool) {
        let Some(change) = change else { return };
        let id = change.id();
        let new = self.desk(|desk| {
            let sheet = desk.sheets.get_mut(job)?;
            let new = sheet.session.receive(Arc::new(change)).unwrap_or(false);
            if journalled {
                sheet.keeper.journalled([id]);
            }
            Some(new)
        });
        if new == Some(true) {
            self.refresh(job);
            if !journalled {
                self.saving.set(SaveState::Saving);
                self.flush();
            }
        }
    }

    /// Another tab's change is in the journal: take it from there, or only its card where the job is not in memory.
    fn hear_saved(self, job: JobId, id: model::job::ChangeId, key: String) {
        let known = self.desk(|desk| {
            let sheet = desk.sheets.get_mut(&job)?;
            let known = sheet.session.log().has(id);
            if known {
                sheet.keeper.journalled([id]);
            }
            Some(known)
        });
        let Link::Open(journal) = self.desk(|desk| desk.link.clone()) else { return };
        match known {
            Some(true) => {
                self.flush();
            }
            Some(false) => spawn_local(async move {
                let Ok(entries) = journal.entries(&key).await else { return };
                let text = entries.into_iter().find(|(found, _)| *found == key).map(|(_, text)| text);
                self.hear(&job, text.and_then(|text| Change::read(id, &text).ok()), true);
            }),
            None => spawn_local(async move {
                let Ok(Some(text)) = journal.card(&job.0).await else { return };
                if let Some(card) = JobCard::read(&text) {
                    self.jobs.update(|jobs| card::put(jobs, card));
                }
            }),
        }
    }
}
