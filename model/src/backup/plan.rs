//! What restoring would change here, before anything is taken: only additions, and the shop's own only when asked for.

use super::found::Found;
use crate::job::{ChangeId, JobId};
use crate::words::{Language, say};
use std::collections::{BTreeMap, BTreeSet};

/// What is here already.
#[derive(Clone, Debug, Default)]
pub struct Known {
    /// The changes of each job.
    pub jobs: BTreeMap<JobId, BTreeSet<ChangeId>>,
    /// Keys of the pictures.
    pub photos: BTreeSet<String>,
    /// Settings and books of the shop, by name.
    pub shop: BTreeMap<String, String>,
    /// Those of them that somebody set here.
    pub own: BTreeSet<String>,
}

/// What restoring would add.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Plan {
    /// Jobs that gain something.
    pub jobs: Vec<PlannedJob>,
    /// Jobs that gain nothing.
    pub same: usize,
    /// Keys of pictures that are not here.
    pub photos: Vec<String>,
    /// Their bytes.
    pub photo_bytes: u64,
    /// Settings and books that differ from those here.
    pub shop: Vec<ShopPart>,
}

/// One job that gains something.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlannedJob {
    /// The job.
    pub id: JobId,
    /// Its title in the backup.
    pub title: String,
    /// It is not here at all.
    pub new: bool,
    /// Changes that are not here.
    pub adds: usize,
    /// Changes that are here and not in the backup; they stay.
    pub keeps: usize,
}

/// Settings or a book of the shop.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShopPart {
    /// Its name.
    pub what: String,
    /// There is one here, which taking it would replace; it is not taken unless the person says so.
    pub replaces: bool,
}

impl Found {
    /// What restoring would change.
    pub fn plan(&self, known: &Known) -> Plan {
        let mut plan = Plan::default();
        let none = BTreeSet::new();
        for (id, found) in &self.jobs {
            let here = known.jobs.get(id).unwrap_or(&none);
            let adds = found.changes.keys().filter(|change| !here.contains(change)).count();
            if adds == 0 {
                plan.same += 1;
                continue;
            }
            let keeps = here.iter().filter(|change| !found.changes.contains_key(change)).count();
            let (id, title, new) = (id.clone(), found.title.clone(), here.is_empty());
            plan.jobs.push(PlannedJob { id, title, new, adds, keeps });
        }
        for (key, photo) in self.photos.iter().filter(|(key, _)| !known.photos.contains(*key)) {
            plan.photos.push(key.clone());
            plan.photo_bytes += photo.place.size;
        }
        for (what, text) in &self.shop {
            if known.shop.get(what) != Some(text) {
                plan.shop.push(ShopPart { what: what.clone(), replaces: known.own.contains(what) });
            }
        }
        plan
    }
}

impl PlannedJob {
    /// What happens to the job, in words.
    pub fn words(&self, language: Language) -> String {
        let (adds, keeps) = (self.adds.to_string(), self.keeps.to_string());
        let title = if self.title.is_empty() { &self.id.0 } else { &self.title };
        let key = match (self.new, self.keeps) {
            (true, _) => "backup-plan-new",
            (false, 0) => "backup-plan-adds",
            (false, _) => "backup-plan-joins",
        };
        let edits =
            say(language, if self.adds == 1 { "backup-edits-one" } else { "backup-edits" }, &[("count", &adds)]);
        say(language, key, &[("title", title), ("edits", &edits), ("keeps", &keeps)])
    }
}

impl Plan {
    /// Whether restoring would add nothing, the shop's own apart.
    pub fn is_empty(&self) -> bool {
        self.jobs.is_empty() && self.photos.is_empty()
    }
}
