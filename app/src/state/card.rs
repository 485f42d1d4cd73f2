//! What the list of jobs shows of each: a cache made from the job, remade whenever it changes.

use model::job::{Job, JobId, Session, Vehicle};
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

/// Whether a job can be opened.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Readable {
    /// Whole.
    #[default]
    Ok,
    /// An entry of it was damaged and set aside; what is left can be opened, if anything is.
    Damaged,
    /// A newer Cutline made it; the text is that version. It is not opened, so that nothing of it is overwritten.
    NewerVersion(String),
}

/// One job in the list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct JobCard {
    /// Name of the job.
    pub id: JobId,
    /// Title.
    pub title: String,
    /// Owner.
    pub owner: String,
    /// Day of arrival, `YYYY-MM-DD` or empty.
    pub received: String,
    /// Vehicle.
    pub vehicle: Vehicle,
    /// How many marks.
    pub marks: usize,
    /// Put away.
    pub archived: bool,
    /// Whether it can be opened.
    #[serde(default)]
    pub readable: Readable,
    /// When it last changed, as text that sorts by time; begins with `YYYY-MM-DD`.
    pub changed: String,
}

impl JobCard {
    /// The card of an open job.
    pub(super) fn of(session: &Session, readable: Readable) -> Self {
        Self { changed: session.log().last().to_string(), readable, ..Self::plain(session.job()) }
    }

    /// The card of a job of which nothing can be read.
    pub(super) fn unreadable(id: JobId, readable: Readable) -> Self {
        Self { readable, ..Self::plain(&Job::empty(id)) }
    }

    fn plain(job: &Job) -> Self {
        Self {
            id: job.id.clone(),
            title: job.title.clone(),
            owner: job.owner.clone(),
            received: job.received.clone(),
            vehicle: job.vehicle.clone(),
            marks: job.marks.len(),
            archived: job.archived,
            readable: Readable::Ok,
            changed: String::new(),
        }
    }

    pub(super) fn read(text: &str) -> Option<Self> {
        serde_json::from_str(text).ok()
    }

    pub(super) fn text(&self) -> String {
        serde_json::to_string(self).unwrap_or_default() // plain texts and numbers always have a text
    }
}

/// Puts a card into the list, which is sorted: latest change first.
pub(super) fn put(cards: &mut Vec<JobCard>, card: JobCard) {
    cards.retain(|known| known.id != card.id);
    let at = cards.partition_point(|known| (&known.changed, &known.id) > (&card.changed, &card.id));
    cards.insert(at, card);
}

/// Puts many cards into the list at once; of a job that is listed already, the new card stands.
pub(super) fn put_all(cards: &mut Vec<JobCard>, new: Vec<JobCard>) {
    let ids: BTreeSet<JobId> = new.iter().map(|card| card.id.clone()).collect();
    cards.retain(|known| !ids.contains(&known.id));
    cards.extend(new);
    cards.sort_by(|one, other| (&other.changed, &other.id).cmp(&(&one.changed, &one.id)));
}
