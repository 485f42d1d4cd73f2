//! The only writer: apply in memory, hand to the journal, show, put into local storage. Where the journal cannot take it at
//! once, local storage comes first.
//!
//! A refused command leaves everything as it was and says why. A refused store leaves the edit on screen and says so.

use super::card::{self, JobCard, Readable};
use super::desk::Desk;
use super::stores::Quick;
use super::{AppState, OpenJob, SaveState};
use crate::platform::clock::now_ms;
use crate::platform::page;
use crate::words::tf;
use leptos::prelude::*;
use model::job::store::StoreError;
use model::job::{Change, Command, Job, JobId, Session};
use model::words::Language;
use std::sync::Arc;

impl AppState {
    /// Edits the job on screen. One command is one step of undo.
    pub fn dispatch(self, command: Command) {
        self.change_open(|session, now| session.apply(&command, now));
    }

    /// Takes back this device's latest step on the job on screen. A frozen revision is passed over, which is said.
    pub fn undo(self) {
        let mut passed = None;
        self.change_open(|session, now| {
            passed = session.undo_passes();
            Ok(session.undo(now))
        });
        if let Some(number) = passed {
            self.notify(false, tf("plan-undo-passes", &[("number", &number.to_string())]), false);
        }
    }

    /// Does again what was taken back last.
    pub fn redo(self) {
        self.change_open(|session, now| Ok(session.redo(now)));
    }

    fn change_open(self, edit: impl FnOnce(&mut Session, u64) -> model::Result<Option<Arc<Change>>>) {
        let Some(id) = self.open.with_untracked(|open| open.as_ref().map(|open| open.job.id.clone())) else { return };
        self.change(&id, edit);
    }

    /// Edits a job in memory, keeps and shows it.
    pub(super) fn change(self, id: &JobId, edit: impl FnOnce(&mut Session, u64) -> model::Result<Option<Arc<Change>>>) {
        // What a newer Cutline made is not edited: an older program does not see all that its edit would replace.
        if let Some(Readable::NewerVersion(version)) =
            self.desk(|desk| desk.sheets.get(id).map(|sheet| sheet.readable.clone()))
        {
            self.notify(true, tf("error-job-newer", &[("version", &version)]), false);
            return;
        }
        let outcome = self.desk(|desk| {
            let sheet = desk.sheets.get_mut(id)?;
            Some(edit(&mut sheet.session, now_ms()))
        });
        match outcome {
            None | Some(Ok(None)) => {}
            Some(Err(error)) => self.notify(true, error.message(Language::English), false),
            Some(Ok(Some(change))) => {
                self.saving.set(SaveState::Saving);
                self.desk(|desk| desk.unput.push((id.clone(), change)));
                if self.flush() {
                    // The browser has it already: the second copy can wait until the page shows the edit.
                    page::after_frame(move || self.put_rest());
                } else {
                    self.put_rest();
                }
                self.refresh(id);
            }
        }
    }

    /// Puts into local storage what is in memory and perhaps in the journal alone.
    pub(super) fn put_rest(self) {
        self.desk(|desk| {
            for (id, change) in std::mem::take(&mut desk.unput) {
                put_quick(desk, &id, &change);
            }
        });
    }

    /// Puts a new job into memory and keeps it.
    pub(super) fn admit_new(self, job: &Job) {
        let device = self.desk(|desk| desk.device.clone());
        match Session::create(job, device, now_ms()) {
            Ok(session) => self.admit(session),
            Err(error) => self.notify(true, error.to_string(), false),
        }
    }

    /// Takes a whole job in, joins it with what is known of it, keeps and lists it.
    pub(super) fn admit(self, session: Session) {
        let id = session.job().id.clone();
        self.desk(|desk| {
            desk.put(session.clone(), Readable::Ok);
            for change in session.log().changes() {
                put_quick(desk, &id, change);
            }
        });
        self.saving.set(SaveState::Saving);
        self.refresh(&id);
        crate::platform::lifecycle::ask_to_keep();
        self.flush();
    }

    /// Shows a job. One that is not in local storage comes from the journal a moment later.
    pub fn open_job(self, id: &JobId) {
        self.desk(|desk| desk.wanted = Some(id.clone()));
        if self.desk(|desk| desk.sheets.contains_key(id)) {
            self.show(id);
        } else {
            self.open.set(None);
            self.load(id.clone(), move |state, id| state.show(id));
        }
    }

    /// Shows a job that is in memory, if the person still wants it and it may be opened.
    pub(super) fn show(self, id: &JobId) {
        if self.desk(|desk| desk.wanted.as_ref() != Some(id)) {
            return;
        }
        if let Some(Readable::NewerVersion(version)) =
            self.desk(|desk| desk.sheets.get(id).map(|sheet| sheet.readable.clone()))
        {
            self.notify(true, tf("error-job-newer", &[("version", &version)]), false);
            return;
        }
        let open = self.desk(|desk| desk.sheets.get(id).map(|sheet| of(&sheet.session)));
        if let Some(open) = open {
            self.open.set(Some(Arc::new(open)));
            self.empty_old_bin(id);
        }
    }

    /// Brings list and screen up to date with a job in memory.
    pub(super) fn refresh(self, id: &JobId) {
        let Some(card) =
            self.desk(|desk| desk.sheets.get(id).map(|sheet| JobCard::of(&sheet.session, sheet.readable.clone())))
        else {
            return;
        };
        self.jobs.update(|jobs| card::put(jobs, card));
        if self.open.with_untracked(|open| open.as_ref().is_some_and(|open| open.job.id == *id)) {
            let open = self.desk(|desk| desk.sheets.get(id).map(|sheet| of(&sheet.session)));
            self.open.set(open.map(Arc::new));
        }
    }

    /// Puts a job away or takes it out again, from the list or from its own screen.
    pub fn archive(self, id: &JobId, away: bool) {
        self.with_job(id, move |state, id| {
            state.change(id, |session, now| session.apply(&Command::Archive(away), now))
        });
    }

    /// Does something with a job, loading it first where needed.
    pub(super) fn with_job(self, id: &JobId, then: impl FnOnce(Self, &JobId) + 'static) {
        if self.desk(|desk| desk.sheets.contains_key(id)) {
            then(self, id);
        } else {
            self.load(id.clone(), then);
        }
    }
}

fn of(session: &Session) -> OpenJob {
    OpenJob { job: session.job().clone(), can_undo: session.can_undo(), can_redo: session.can_redo() }
}

/// Puts a change into local storage, making room once where it is full. Refused or not, the journal has it or comes next.
fn put_quick(desk: &mut Desk, id: &JobId, change: &Change) {
    let mut outcome = match desk.sheets.get_mut(id) {
        Some(sheet) => sheet.keeper.put_quick(&mut Quick, change),
        None => return,
    };
    if outcome == Err(StoreError::Full) && desk.make_room(id) {
        outcome = desk.sheets.get_mut(id).map_or(outcome, |sheet| sheet.keeper.put_quick(&mut Quick, change));
    }
    if let Some(sheet) = desk.sheets.get_mut(id) {
        sheet.quick_refused |= outcome.is_err();
    }
}
