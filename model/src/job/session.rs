//! An open job on one device: check, apply, undo, receive. The only way to make a change.
//!
//! Works in memory; saving what it returns is [`keep`](super::keep)'s business. Never asks the time or a device: both
//! come in.

use super::change::{Body, Change, Op, Write};
use super::check;
use super::command::{Command, job_writes};
use super::fold::{Conflict, Fold};
use super::inverse;
use super::log::Log;
use super::stamp::Stamp;
use super::state::{DeviceId, Job};
use crate::error::{Error, Result};
use std::sync::Arc;

/// Who writes the first change of a file that has none: the same file gives the same change everywhere.
const FILE: &str = "file";

/// A job that is open on one device.
#[derive(Clone, Debug)]
pub struct Session {
    log: Log,
    fold: Fold,
    job: Arc<Job>,
    device: DeviceId,
}

impl Session {
    /// A new job from a value, made on this device at `now_ms` (milliseconds since 1970, UTC).
    ///
    /// # Errors
    /// Where the value is out of range or the name is no job's name.
    pub fn create(job: &Job, device: DeviceId, now_ms: u64) -> Result<Self> {
        let by = device.clone();
        Self::from_value(job, device, by, Stamp::after(Stamp::default(), now_ms))
    }

    /// A job from a file without changes. The same file gives the same change, so reading it twice adds nothing.
    ///
    /// # Errors
    /// As [`create`](Self::create).
    pub fn import(job: &Job, device: DeviceId) -> Result<Self> {
        Self::from_value(job, device, DeviceId::from(FILE), Stamp::default())
    }

    fn from_value(job: &Job, device: DeviceId, by: DeviceId, at: Stamp) -> Result<Self> {
        check::job_id(&job.id)?;
        check::name(&device.0, "by")?;
        check::job(job)?;
        let ops: Vec<Op> = job_writes(job).into_iter().map(|write| Op { write, over: Vec::new() }).collect();
        let body = Body { v: Body::version_of(&ops), job: job.id.clone(), at, by, ops, undoes: None, redoes: None };
        let mut log = Log::default();
        log.add(Arc::new(Change::new(body)));
        Self::open(log, device)
    }

    /// Opens a job from its log.
    ///
    /// # Errors
    /// Where the log is empty or holds changes of two jobs.
    pub fn open(log: Log, device: DeviceId) -> Result<Self> {
        let Some(first) = log.changes().next() else { return Err(Error::new("error-job-empty", "changes")) };
        let id = first.body().job.clone();
        let mut fold = Fold::default();
        for change in log.changes() {
            if change.body().job != id {
                return Err(Error::new("error-job-mixed", format!("changes.{}", change.id())));
            }
            fold.add(change);
        }
        let job = Arc::new(fold.job(id));
        Ok(Self { log, fold, job, device })
    }

    /// The job as it stands.
    pub fn job(&self) -> &Arc<Job> {
        &self.job
    }
    /// All its changes.
    pub fn log(&self) -> &Log {
        &self.log
    }
    /// The device that edits.
    pub fn device(&self) -> &DeviceId {
        &self.device
    }
    /// What people wrote at the same time.
    pub fn conflicts(&self) -> Vec<Conflict> {
        self.fold.conflicts()
    }
    /// Whether some change bears a time more than a day after `now_ms`: a device with a wrong clock wins until then.
    pub fn clock_is_ahead(&self, now_ms: u64) -> bool {
        self.log.last().is_far_ahead(now_ms)
    }

    /// Applies a command. `None` where it changes nothing.
    ///
    /// # Errors
    /// Where the command asks for something out of range; the job is as before.
    pub fn apply(&mut self, command: &Command, now_ms: u64) -> Result<Option<Arc<Change>>> {
        let writes = command.writes(&self.job, &self.fold)?;
        let settle = matches!(command, Command::Settle(_));
        Ok(self.seal(writes, settle, now_ms, None, None))
    }

    /// Takes back this device's latest step that still stands. `None` where there is none.
    pub fn undo(&mut self, now_ms: u64) -> Option<Arc<Change>> {
        let (change, writes) = self.next_undo()?;
        self.seal(writes, true, now_ms, Some(change.id()), None)
    }

    /// Does again the step that was taken back last. `None` where there is none.
    pub fn redo(&mut self, now_ms: u64) -> Option<Arc<Change>> {
        let (change, writes) = self.next_redo()?;
        self.seal(writes, true, now_ms, None, Some(change.id()))
    }

    /// Whether there is something to take back.
    pub fn can_undo(&self) -> bool {
        self.next_undo().is_some()
    }
    /// The number of the latest revision that this device froze since the step which [`undo`](Self::undo) would take
    /// back: it stays, which is to be said. `None` where no revision is in the way.
    pub fn undo_passes(&self) -> Option<usize> {
        let (step, _) = self.next_undo()?;
        let at = |change: &Change| (change.body().at, change.id());
        let mut frozen = self.log.changes().rev().take_while(|change| at(change) > at(&step));
        let last = frozen.find(|change| change.body().by == self.device && change.body().freezes())?;
        Some(self.fold.revisions_until(at(last)))
    }
    /// Whether there is something to do again.
    pub fn can_redo(&self) -> bool {
        self.next_redo().is_some()
    }

    fn next_undo(&self) -> Option<(Arc<Change>, Vec<Write>)> {
        let steps = inverse::steps(&self.log, &self.device);
        self.first_effect(&steps.undo, |change| inverse::undo(&self.log, &self.fold, change))
    }

    fn next_redo(&self) -> Option<(Arc<Change>, Vec<Write>)> {
        let steps = inverse::steps(&self.log, &self.device);
        self.first_effect(&steps.redo, |change| inverse::redo(&self.log, &self.fold, change))
    }

    fn first_effect(
        &self,
        ids: &[super::ChangeId],
        writes: impl Fn(&Change) -> Vec<Write>,
    ) -> Option<(Arc<Change>, Vec<Write>)> {
        ids.iter().rev().find_map(|id| {
            let change = self.log.get(*id)?.clone();
            let writes = writes(&change);
            (!writes.is_empty()).then_some((change, writes))
        })
    }

    /// Takes in a change from elsewhere; `false` where it was known.
    ///
    /// # Errors
    /// Where it belongs to another job or its form is wrong; the job is as before.
    pub fn receive(&mut self, change: Arc<Change>) -> Result<bool> {
        if change.body().job != self.job.id {
            return Err(Error::new("error-job-mixed", format!("changes.{}", change.id())));
        }
        check::body(change.body(), false)?;
        Ok(self.take(change))
    }

    fn take(&mut self, change: Arc<Change>) -> bool {
        if self.log.has(change.id()) {
            return false;
        }
        self.fold.add(&change);
        self.log.add(change);
        self.job = Arc::new(self.fold.job(self.job.id.clone()));
        true
    }

    /// Makes, applies and returns a change out of writes. Without `always`, a value that stands undisputed is left out.
    fn seal(
        &mut self,
        writes: Vec<Write>,
        always: bool,
        now_ms: u64,
        undoes: Option<super::ChangeId>,
        redoes: Option<super::ChangeId>,
    ) -> Option<Arc<Change>> {
        let ops: Vec<Op> = writes
            .into_iter()
            .filter(|write| always || !self.stands(write))
            .map(|write| Op { over: self.fold.over(&write), write })
            .collect();
        if ops.is_empty() {
            return None;
        }
        let at = Stamp::after(self.log.last(), now_ms);
        let v = Body::version_of(&ops);
        let body = Body { v, job: self.job.id.clone(), at, by: self.device.clone(), ops, undoes, redoes };
        let change = Arc::new(Change::new(body));
        self.take(change.clone());
        Some(change)
    }

    fn stands(&self, write: &Write) -> bool {
        let field = write.field();
        if let Write::Freeze(revision) = write {
            return self.job.revisions.last() == Some(revision);
        }
        if self.fold.is_disputed(&field) {
            return false;
        }
        match self.fold.shown(&field) {
            Some((_, shown)) => shown == write,
            None => super::command::default_of(&field).as_ref() == Some(write),
        }
    }
}
