//! What two stores hold together: the union of all changes that prove whole, job by job; the rest is set aside, named
//! and kept.
//!
//! Reads and judges entries; never writes, never drops one. A job of which any entry was made by a newer program is
//! shown as such and not opened, so that nothing of it is overwritten.

use super::change::{Change, ChangeId};
use super::keep::Key;
use super::log::Log;
use super::state::JobId;
use super::wire;
use crate::error::Error;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// Which store an entry came from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// Local storage.
    Quick,
    /// IndexedDB.
    Journal,
}

/// One job as found.
#[derive(Clone, Debug, Default)]
pub struct Found {
    /// The union of its changes.
    pub log: Log,
    /// Changes under keys of their own in the quick store.
    pub tail: BTreeSet<ChangeId>,
    /// Keys of snapshots in the quick store.
    pub snapshots: BTreeSet<String>,
    /// Changes in the journal.
    pub journal: BTreeSet<ChangeId>,
    /// The newer version that made an entry of it, if any.
    pub newer: Option<String>,
    /// Whether an entry of it was damaged.
    pub damaged: bool,
}

/// An entry that cannot be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Aside {
    /// Where it came from.
    pub origin: Origin,
    /// Its key.
    pub key: String,
    /// Its text, unchanged.
    pub text: String,
    /// What is wrong with it.
    pub error: Error,
}

/// Everything found.
#[derive(Clone, Debug, Default)]
pub struct Recovered {
    /// Jobs by name.
    pub jobs: BTreeMap<JobId, Found>,
    /// What cannot be read.
    pub aside: Vec<Aside>,
}

impl Recovered {
    /// Takes in one entry of a store, in any order. Keys that are not a job's are passed over.
    pub fn take(&mut self, origin: Origin, key: &str, text: &str) {
        match Key::parse(key) {
            None => {}
            Some(Key::Change(job, id)) => match Change::read(id, text) {
                Ok(change) if change.body().job == job => {
                    let found = self.jobs.entry(job).or_default();
                    match origin {
                        Origin::Quick => found.tail.insert(id),
                        Origin::Journal => found.journal.insert(id),
                    };
                    found.log.add(Arc::new(change));
                }
                Ok(_) => self.put_aside(job, origin, key, text, Error::new("error-job-mixed", format!("changes.{id}"))),
                Err(error) => self.put_aside(job, origin, key, text, error),
            },
            Some(Key::Snapshot(job, _)) => self.snapshot(job, origin, key, text),
        }
    }

    fn snapshot(&mut self, job: JobId, origin: Origin, key: &str, text: &str) {
        let error = match wire::read_file(text) {
            Ok(file) if file.job.id == job => {
                let found = self.jobs.entry(job).or_default();
                if origin == Origin::Quick {
                    found.snapshots.insert(key.to_owned());
                }
                file.log.iter().flat_map(Log::changes).for_each(|change| {
                    found.log.add(change.clone());
                });
                return;
            }
            Ok(_) => Error::new("error-job-mixed", "id"),
            Err(error) => error,
        };
        // One flipped byte must not take the other changes with it.
        if error.key != "error-job-newer" {
            let found = self.jobs.entry(job.clone()).or_default();
            for change in wire::salvage(text).into_iter().filter(|change| change.body().job == job) {
                found.log.add(Arc::new(change));
            }
        }
        self.put_aside(job, origin, key, text, error);
    }

    fn put_aside(&mut self, job: JobId, origin: Origin, key: &str, text: &str, error: Error) {
        let found = self.jobs.entry(job).or_default();
        if error.key == "error-job-newer" {
            let version = error.arguments.iter().find(|(name, _)| *name == "version");
            found.newer = Some(version.map(|(_, value)| value.clone()).unwrap_or_default());
            // Left where it is, for the newer program that made it.
            return;
        }
        found.damaged = true;
        self.aside.push(Aside { origin, key: key.to_owned(), text: text.to_owned(), error });
    }
}
