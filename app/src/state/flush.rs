//! Brings every change into the journal; only its `complete` makes an edit "saved".

use super::desk::Link;
use super::settings;
use super::stores::{Quick, reason, settings_reason};
use super::{AppState, JobCard, SaveState};
use crate::platform::Refusal;
use crate::platform::journal::Batch;
use crate::platform::page;
use leptos::prelude::*;
use leptos::task::spawn_local;
use model::job::{ChangeId, JobId};
use std::collections::BTreeSet;

/// What one transaction is to bring in.
#[derive(Default)]
struct Load {
    batch: Batch,
    ids: Vec<(JobId, ChangeId)>,
    settings: Option<u64>,
}

impl Load {
    fn is_empty(&self) -> bool {
        self.ids.is_empty() && self.settings.is_none()
    }
}

impl AppState {
    /// Starts bringing in what the journal lacks, unless that is under way already. Whether the browser has all of it now,
    /// handed over with the request to commit it.
    pub(super) fn flush(self) -> bool {
        let (flushing, link) = self.desk(|desk| (desk.flushing, desk.link.clone()));
        match link {
            Link::Opening => false,
            Link::Refused(refusal) => {
                self.say_not_saved(&refusal);
                false
            }
            Link::Open(_) if flushing => false,
            Link::Open(journal) => {
                self.desk(|desk| desk.flushing = true);
                let mut load = self.lacking();
                // Before the page shows the edit, which takes longer than writing it.
                let mut begun = if load.is_empty() { None } else { journal.write_at_once(&load.batch) };
                let handed_over = begun.is_some();
                spawn_local(async move {
                    let mut jobs = BTreeSet::new();
                    loop {
                        if load.is_empty() {
                            load = self.lacking();
                        }
                        if load.is_empty() {
                            self.desk(|desk| desk.flushing = false);
                            self.saving.set(SaveState::Saved);
                            self.compact_soon(jobs);
                            break;
                        }
                        let at_once = match begun.take() {
                            Some(begun) => Some(begun.await),
                            None => None,
                        };
                        let outcome = match at_once {
                            // Not begun, or the connection was lost: the journal opens a fresh one.
                            None | Some(Err(Refusal::Broken(_))) => journal.write(&load.batch).await,
                            Some(done) => done,
                        };
                        match outcome {
                            Ok(()) => {
                                jobs.extend(self.written(load));
                                load = Load::default();
                            }
                            Err(refusal) => {
                                self.desk(|desk| desk.flushing = false);
                                self.say_not_saved(&refusal);
                                break;
                            }
                        }
                    }
                });
                handed_over
            }
        }
    }

    fn lacking(self) -> Load {
        let mut load = Load::default();
        if let Some((sequence, text)) = self.lacking_settings() {
            load.settings = Some(sequence);
            load.batch.settings.push((settings::KEY.to_owned(), text));
        }
        self.desk(|desk| {
            for (job, sheet) in &desk.sheets {
                let missing = sheet.keeper.unjournalled(&sheet.session);
                if missing.is_empty() {
                    continue;
                }
                for (id, key, text) in missing {
                    load.ids.push((job.clone(), id));
                    load.batch.put.push((key, text));
                }
                load.batch.unset.extend(AppState::settled_notes(&desk.notes, sheet.session.job()));
                let card = JobCard::of(&sheet.session, sheet.readable.clone());
                load.batch.cards.push((job.to_string(), card.text()));
            }
            load
        })
    }

    /// Takes note of what the journal has now; the jobs of which it got something.
    fn written(self, load: Load) -> Vec<JobId> {
        let (others, jobs) = self.desk(|desk| {
            for (job, id) in load.ids {
                if let Some(sheet) = desk.sheets.get_mut(&job) {
                    sheet.keeper.journalled([id]);
                    let known = &sheet.session.job().photos;
                    desk.notes.retain(|(of, photo)| *of != job || !known.contains_key(photo));
                }
            }
            if let Some(sequence) = load.settings {
                desk.settings_journalled = desk.settings_journalled.max(sequence);
            }
            (desk.others.clone(), load.batch.cards.iter().map(|(job, _)| JobId::from(job.as_str())).collect::<Vec<_>>())
        });
        if let Some(others) = others {
            load.batch.put.iter().chain(&load.batch.settings).for_each(|(key, _)| others.tell(key));
        }
        jobs
    }

    /// Tidies jobs in local storage once the page has shown that they are saved.
    fn compact_soon(self, jobs: BTreeSet<JobId>) {
        page::soon(move || jobs.iter().for_each(|job| self.compact(job, false)));
    }

    /// Tidies a job's entries in local storage. A refusal there costs nothing: the entries stay as they are.
    fn compact(self, job: &JobId, now: bool) {
        self.put_rest();
        let done = self.desk(|desk| {
            let sheet = desk.sheets.get_mut(job)?;
            Some(sheet.keeper.compact(&mut Quick, &sheet.session, now))
        });
        if done == Some(Err(model::job::store::StoreError::Full)) && self.desk(|desk| desk.make_room(job)) {
            self.desk(|desk| {
                let sheet = desk.sheets.get_mut(job)?;
                sheet.keeper.compact(&mut Quick, &sheet.session, now).ok()
            });
        }
    }

    /// Tidies the entries of the job on screen, when it is closed or the page is hidden.
    pub(super) fn compact_all(self) {
        if let Some(job) = self.open.with_untracked(|open| open.as_ref().map(|open| open.job.id.clone())) {
            self.compact(&job, true);
        }
    }

    fn say_not_saved(self, refusal: &Refusal) {
        self.put_rest();
        let settings = self.lacking_settings().is_some();
        let state = self.desk(|desk| {
            let unsaved = || desk.sheets.values().filter(|sheet| !sheet.keeper.is_saved(&sheet.session));
            if unsaved().next().is_some() {
                let quick = unsaved().all(|sheet| sheet.keeper.is_quick(&sheet.session));
                SaveState::NotSaved { reason: reason(refusal, quick) }
            } else if settings {
                SaveState::NotSaved { reason: settings_reason(refusal, desk.settings_quick) }
            } else {
                SaveState::Saved
            }
        });
        self.saving.set(state);
    }
}
