//! Where each change of an open job is kept: which are in the quick store, in this tab's snapshot and in the journal.
//!
//! The quick store (local storage) is read at once at the next start but loses its last writes when the browser is
//! killed; the journal (IndexedDB) is slower and safe. Only the journal makes a change "saved". No shared key is ever
//! rewritten: each change has its own key, and each tab its own snapshot.

use super::change::{Change, ChangeId};
use super::session::Session;
use super::state::JobId;
use super::store::{Store, StoreError};
use super::wire;
use std::collections::BTreeSet;
use std::sync::Arc;

/// All keys of jobs in the quick store begin with this.
pub const PREFIX: &str = "cutline/";
/// Keys of damaged entries that were set aside begin with this, followed by the old key.
pub const ASIDE: &str = "cutline-aside/";
/// Changes that stay beside the snapshot before a new one is written. Each change has its own key, so nothing waits
/// for the snapshot; rewriting it at each edit would use up the browser's hourly allowance of bytes committed to disk.
pub const TAIL: usize = 8;

/// Key of a change.
pub fn change_key(job: &JobId, id: ChangeId) -> String {
    format!("{PREFIX}{job}/c/{id}")
}
/// Prefix of all keys of a job.
pub fn job_prefix(job: &JobId) -> String {
    format!("{PREFIX}{job}/")
}
/// Key of a tab's snapshot; `tab` is a random name of this tab's load.
pub fn snapshot_key(job: &JobId, tab: &str) -> String {
    format!("{PREFIX}{job}/s/{tab}")
}

/// What a key names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Key {
    /// A change.
    Change(JobId, ChangeId),
    /// A snapshot of a tab.
    Snapshot(JobId, String),
}

impl Key {
    /// Reads a key; `None` where it names nothing that this program knows.
    pub fn parse(key: &str) -> Option<Self> {
        let mut pieces = key.strip_prefix(PREFIX)?.split('/');
        let job = pieces.next().filter(|job| super::is_name(job)).map(JobId::from)?;
        let (kind, rest) = (pieces.next()?, pieces.next()?);
        if pieces.next().is_some() {
            return None;
        }
        match kind {
            "c" => Some(Self::Change(job, ChangeId::parse(rest)?)),
            "s" if super::is_name(rest) => Some(Self::Snapshot(job, rest.to_owned())),
            _ => None,
        }
    }
}

/// Book-keeping of one open job in one tab.
#[derive(Clone, Debug, Default)]
pub struct Keeper {
    job: JobId,
    tab: String,
    /// Changes under keys of their own in the quick store.
    tail: BTreeSet<ChangeId>,
    /// Changes in a snapshot of this tab.
    snapshot: BTreeSet<ChangeId>,
    /// Changes that the journal has completed.
    journal: BTreeSet<ChangeId>,
    /// Snapshots of other or earlier tabs.
    others: BTreeSet<String>,
}

impl Keeper {
    /// Nothing is kept yet.
    pub fn new(job: JobId, tab: &str) -> Self {
        Self { job, tab: tab.to_owned(), ..Self::default() }
    }

    /// What recovery found in the quick store.
    pub fn found_quick(
        &mut self,
        tail: impl IntoIterator<Item = ChangeId>,
        snapshots: impl IntoIterator<Item = String>,
    ) {
        self.tail.extend(tail);
        let mine = snapshot_key(&self.job, &self.tab);
        self.others.extend(snapshots.into_iter().filter(|key| *key != mine));
    }

    /// Puts a change under its own key in the quick store. Putting it again changes nothing.
    ///
    /// # Errors
    /// Where the store refuses; the change is then only in memory and, later, in the journal.
    pub fn put_quick(&mut self, store: &mut impl Store, change: &Change) -> Result<(), StoreError> {
        store.put(&change_key(&self.job, change.id()), &change.text())?;
        self.tail.insert(change.id());
        Ok(())
    }

    /// The job was taken out of the quick store by [`evict`].
    pub fn forget_quick(&mut self) {
        self.tail.clear();
        self.snapshot.clear();
        self.others.clear();
    }

    /// The journal's transaction with these changes has completed, or they were found in it.
    pub fn journalled(&mut self, ids: impl IntoIterator<Item = ChangeId>) {
        self.journal.extend(ids);
    }

    /// The changes that the journal still lacks, earliest first, as keys and texts for one transaction.
    pub fn unjournalled(&self, session: &Session) -> Vec<(ChangeId, String, String)> {
        let missing = |change: &&Arc<Change>| !self.journal.contains(&change.id());
        let entry = |change: &Arc<Change>| (change.id(), change_key(&self.job, change.id()), change.text());
        session.log().changes().filter(missing).map(entry).collect()
    }

    /// Whether every change is in the journal: only then may a screen say "saved".
    pub fn is_saved(&self, session: &Session) -> bool {
        session.log().ids().is_subset(&self.journal)
    }

    /// Whether every change is at least in the quick store.
    pub fn is_quick(&self, session: &Session) -> bool {
        session.log().ids().iter().all(|id| self.tail.contains(id) || self.snapshot.contains(id))
    }

    /// Writes this tab's snapshot once the tail has grown to [`TAIL`] or `now` is set, reads it back, and then removes
    /// the keys of changes that are both in it and in the journal, and other tabs' snapshots that hold nothing else.
    ///
    /// # Errors
    /// Where the store refuses; nothing was removed that is not kept elsewhere.
    pub fn compact(&mut self, store: &mut impl Store, session: &Session, now: bool) -> Result<(), StoreError> {
        let fresh = session.log().ids().iter().filter(|id| !self.snapshot.contains(id)).count();
        if fresh >= TAIL || (now && fresh > 0) {
            let (key, text) = (snapshot_key(&self.job, &self.tab), wire::write_compact(session));
            store.put(&key, &text)?;
            if store.get(&key)?.as_deref() != Some(text.as_str()) {
                return Err(StoreError::Broken("a snapshot came back different".to_owned()));
            }
            self.snapshot.clone_from(session.log().ids());
        }
        let both: Vec<ChangeId> =
            self.tail.iter().filter(|id| self.snapshot.contains(id) && self.journal.contains(id)).copied().collect();
        if both.len() < TAIL && !now {
            return Ok(());
        }
        for id in both {
            store.remove(&change_key(&self.job, id))?;
            self.tail.remove(&id);
        }
        for key in self.others.clone() {
            let held =
                |text: &str| wire::named(text).iter().all(|id| self.snapshot.contains(id) && self.journal.contains(id));
            match store.get(&key)? {
                // A text that names no change is not understood, and what is not understood is not removed.
                Some(text) if wire::named(&text).is_empty() || !held(&text) => {}
                Some(_) => {
                    store.remove(&key)?;
                    self.others.remove(&key);
                }
                None => {
                    self.others.remove(&key);
                }
            }
        }
        Ok(())
    }
}

/// Makes room: removes a job from the quick store if the journal holds all that is there. `false` where it does not.
///
/// # Errors
/// Where the store refuses.
pub fn evict(store: &mut impl Store, job: &JobId, journal: &BTreeSet<ChangeId>) -> Result<bool, StoreError> {
    let keys = store.keys(&job_prefix(job))?;
    for key in &keys {
        let held = match Key::parse(key) {
            Some(Key::Change(_, id)) => journal.contains(&id),
            Some(Key::Snapshot(..)) => {
                let named = wire::named(&store.get(key)?.unwrap_or_default());
                !named.is_empty() && named.iter().all(|id| journal.contains(id))
            }
            None => false,
        };
        if !held {
            return Ok(false);
        }
    }
    keys.iter().try_for_each(|key| store.remove(key))?;
    Ok(true)
}
