//! Brings every change into the journal; only its `complete` makes an edit "saved".

use super::desk::Link;
use super::settings;
use super::stores::{Quick, reason, settings_reason};
use super::{AppState, JobCard, SaveState};
use crate::platform::Refusal;
use crate::platform::journal::Batch;
use leptos::prelude::*;
use leptos::task::spawn_local;
use model::job::{ChangeId, JobId};

/// What one transaction is to bring in.
#[derive(Default)]
struct Load {
    batch: Batch,
    ids: Vec<(JobId, ChangeId)>,
    settings: Option<u64>,
}

impl AppState {
    /// Starts bringing in what the journal lacks, unless that is under way already.
    pub(super) fn flush(self) {
        let (flushing, link) = self.desk(|desk| (desk.flushing, desk.link.clone()));
        match link {
            Link::Opening => {}
            Link::Refused(refusal) => self.say_not_saved(&refusal),
            Link::Open(_) if flushing => {}
            Link::Open(journal) => {
                self.desk(|desk| desk.flushing = true);
                spawn_local(async move {
                    loop {
                        let load = self.lacking();
                        if load.ids.is_empty() && load.settings.is_none() {
                            self.desk(|desk| desk.flushing = false);
                            self.saving.set(SaveState::Saved);
                            break;
                        }
                        match journal.write(&load.batch).await {
                            Ok(()) => self.written(load),
                            Err(refusal) => {
                                self.desk(|desk| desk.flushing = false);
                                self.say_not_saved(&refusal);
                                break;
                            }
                        }
                    }
                });
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

    fn written(self, load: Load) {
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
        for job in jobs {
            self.compact(&job, false);
        }
    }

    /// Tidies a job's entries in local storage. A refusal there costs nothing: the entries stay as they are.
    fn compact(self, job: &JobId, now: bool) {
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
