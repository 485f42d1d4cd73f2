//! All known changes of one job, in one order that is the same on every device.
//!
//! Only grows: union is the only way in, and nothing is ever taken out or rewritten.

use super::change::{Change, ChangeId};
use super::stamp::Stamp;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// The changes of one job.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Log {
    order: BTreeMap<(Stamp, ChangeId), Arc<Change>>,
    ids: BTreeSet<ChangeId>,
    times: BTreeMap<ChangeId, Stamp>,
}

impl Log {
    /// Adds a change; `false` where it was there already.
    pub fn add(&mut self, change: Arc<Change>) -> bool {
        let new = self.ids.insert(change.id());
        if new {
            self.times.insert(change.id(), change.body().at);
            self.order.insert((change.body().at, change.id()), change);
        }
        new
    }
    /// Whether the change is there.
    pub fn has(&self, id: ChangeId) -> bool {
        self.ids.contains(&id)
    }
    /// The change with this id.
    pub fn get(&self, id: ChangeId) -> Option<&Arc<Change>> {
        self.order.get(&(*self.times.get(&id)?, id))
    }
    /// All changes, earliest first.
    pub fn changes(&self) -> impl DoubleEndedIterator<Item = &Arc<Change>> {
        self.order.values()
    }
    /// All ids, sorted.
    pub fn ids(&self) -> &BTreeSet<ChangeId> {
        &self.ids
    }
    /// How many changes.
    pub fn len(&self) -> usize {
        self.ids.len()
    }
    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.ids.is_empty()
    }
    /// The latest time in the log.
    pub fn last(&self) -> Stamp {
        self.order.keys().next_back().map(|(at, _)| *at).unwrap_or_default()
    }
}
