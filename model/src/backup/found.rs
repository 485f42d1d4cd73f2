//! What a backup holds: the whole, the missing and the refused. Knows places in the file, not the bytes.

use super::manifest::Made;
use crate::error::Error;
use crate::job::{ChangeId, JobId};
use std::collections::{BTreeMap, BTreeSet};

/// Where the bytes of an entry stand in the file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Place {
    /// The first byte.
    pub at: u64,
    /// How many.
    pub size: u64,
}

/// Everything found.
#[derive(Clone, Debug, Default)]
pub struct Found {
    /// Who made it and when; `None` where the list of contents cannot be read, so that what is missing is not known.
    pub made: Option<Made>,
    /// The jobs of which a change is whole.
    pub jobs: BTreeMap<JobId, FoundJob>,
    /// The whole pictures, by key `<job>/<photo>/<kind>`.
    pub photos: BTreeMap<String, FoundPhoto>,
    /// Settings and books of the shop, by name.
    pub shop: BTreeMap<String, String>,
    /// What the list of contents names and the file lacks.
    pub missing: Missing,
    /// What was not taken and why, at most [`Refused::MOST`] of them.
    pub refused: Vec<Refused>,
    /// How many more were refused.
    pub refused_more: usize,
    /// The file ends before the archive does.
    pub cut: bool,
}

/// One job.
#[derive(Clone, Debug, Default)]
pub struct FoundJob {
    /// Its title by the changes that are whole.
    pub title: String,
    /// Its whole changes.
    pub changes: BTreeMap<ChangeId, Place>,
}

/// One picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FoundPhoto {
    /// Where it stands.
    pub place: Place,
    /// The SHA-256 of its bytes.
    pub sum: ChangeId,
}

/// What is listed and not there, or not whole.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Missing {
    /// Changes by job.
    pub changes: BTreeMap<JobId, usize>,
    /// Keys of pictures.
    pub photos: BTreeSet<String>,
    /// Settings and books of the shop.
    pub shop: BTreeSet<String>,
}

/// An entry that was not taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refused {
    /// Its name in the archive, shortened and without control characters.
    pub name: String,
    /// Why.
    pub error: Error,
}

impl Refused {
    /// As many are named; the others are counted.
    pub const MOST: usize = 100;
}

impl Missing {
    /// Whether nothing is missing.
    pub fn is_empty(&self) -> bool {
        self.changes.is_empty() && self.photos.is_empty() && self.shop.is_empty()
    }
}

impl Found {
    /// Whether every entry of the list is here and nothing was refused.
    pub fn is_whole(&self) -> bool {
        self.made.is_some() && self.missing.is_empty() && self.refused.is_empty() && !self.cut
    }
    /// Whether there is anything to take.
    pub fn is_empty(&self) -> bool {
        self.jobs.is_empty() && self.photos.is_empty() && self.shop.is_empty()
    }
    pub(super) fn refuse(&mut self, name: &str, error: Error) {
        if self.refused.len() < Refused::MOST {
            let name = name.chars().take(160).map(|c| if c.is_control() { '\u{fffd}' } else { c }).collect();
            self.refused.push(Refused { name, error });
        } else {
            self.refused_more += 1;
        }
    }
}
