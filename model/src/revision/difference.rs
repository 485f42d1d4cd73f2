//! What has changed between two frozen plans: line by line, part by part, in money and hours.
//!
//! The differences add up exactly to the change of the sums. Compares what was written down; never plans again.

use super::cause::{Cause, Causes};
use crate::error::{Error, Result};
use crate::ids::PartId;
use crate::job::{RevisedLine, RevisedPart, Revision};
use std::collections::BTreeMap;

/// What a group of differences is about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum About {
    /// A part.
    Part(PartId),
    /// The vehicle as a whole.
    Vehicle,
    /// Tax.
    Tax,
}

/// What has changed about one part, the vehicle or tax.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Difference {
    /// What it is about.
    pub about: About,
    /// How the part was picked then and now; `None` where it was or is not damaged.
    pub picks: (Option<RevisedPart>, Option<RevisedPart>),
    /// Change of money, minor units.
    pub money: i64,
    /// Change of planned work, seconds.
    pub seconds: i64,
    /// Why, most telling first; never empty.
    pub causes: Vec<Cause>,
    /// The lines that differ.
    pub lines: Vec<LineChange>,
}

/// One line that was added, dropped or changed: `None` where it was or is not there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LineChange {
    /// The line then.
    pub before: Option<RevisedLine>,
    /// The line now.
    pub after: Option<RevisedLine>,
}

impl LineChange {
    /// Change of money, minor units.
    pub fn money(&self) -> i64 {
        let amount = |line: &Option<RevisedLine>| line.as_ref().map_or(0, |line| line.amount);
        amount(&self.after) - amount(&self.before)
    }
    /// Change of planned work, seconds.
    pub fn seconds(&self) -> i64 {
        let seconds = |line: &Option<RevisedLine>| line.as_ref().map_or(0, |line| line.seconds.cast_signed());
        seconds(&self.after) - seconds(&self.before)
    }
    /// What it is, in the words of now, or of then where it was dropped.
    pub fn what(&self) -> &str {
        self.after.as_ref().or(self.before.as_ref()).map_or("", |line| line.what.as_str())
    }
}

/// All that has changed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Differences {
    /// By part, then the vehicle and tax; only what differs.
    pub of: Vec<Difference>,
    /// Change of the sum, minor units.
    pub money: i64,
    /// Change of planned work, seconds.
    pub seconds: i64,
}

/// What has changed from `before` to `after`.
///
/// # Errors
/// `error-revision-currency` where the two are not in the same currency: their money cannot be held against each other.
pub fn differences(before: &Revision, after: &Revision) -> Result<Differences> {
    if (&before.currency, before.digits) != (&after.currency, after.digits) {
        let error = Error::new("error-revision-currency", "currency");
        return Err(error.with("before", &before.currency).with("after", &after.currency));
    }
    let causes = Causes::new(before, after);
    let mut changes = line_changes(before, after);
    let mut of = Vec::new();
    for part in &causes.parts {
        let lines = changes.remove(&Some(part.clone())).unwrap_or_default();
        let picks = (find(before, part), find(after, part));
        let moved = !same_pick(picks.0, picks.1) || !causes.own(part).is_empty();
        if moved || !lines.is_empty() {
            of.push(Difference {
                about: About::Part(part.clone()),
                causes: causes.of_part(part, &lines),
                picks: (picks.0.cloned(), picks.1.cloned()),
                ..sums(lines)
            });
        }
    }
    // What is left belongs to no part.
    let rest: Vec<LineChange> = changes.into_values().flatten().collect();
    if !rest.is_empty() {
        of.push(Difference { causes: causes.of_vehicle(&rest), ..sums(rest) });
    }
    let tax = after.tax() - before.tax();
    if tax != 0 {
        of.push(Difference { about: About::Tax, money: tax, causes: causes.of_tax(), ..sums(Vec::new()) });
    }
    Ok(Differences {
        of,
        money: after.total - before.total,
        seconds: after.seconds.cast_signed() - before.seconds.cast_signed(),
    })
}

fn sums(lines: Vec<LineChange>) -> Difference {
    Difference {
        about: About::Vehicle,
        picks: (None, None),
        money: lines.iter().map(LineChange::money).sum(),
        seconds: lines.iter().map(LineChange::seconds).sum(),
        causes: Vec::new(),
        lines,
    }
}

pub(super) fn find<'r>(revision: &'r Revision, part: &PartId) -> Option<&'r RevisedPart> {
    revision.parts.iter().find(|one| one.part == *part)
}

/// Whether both are to be done in the same way.
pub(super) fn same_pick(one: Option<&RevisedPart>, other: Option<&RevisedPart>) -> bool {
    let pick = |part: &RevisedPart| (part.action, part.route, part.cuts.clone());
    one.map(pick) == other.map(pick)
}

/// The lines that differ, by the part that they are for now, or were for; in the order of the later plan, then what was
/// dropped in the order of the earlier.
fn line_changes(before: &Revision, after: &Revision) -> BTreeMap<Option<PartId>, Vec<LineChange>> {
    let mut old: BTreeMap<&str, &RevisedLine> = before.lines.iter().map(|line| (line.key.as_str(), line)).collect();
    let mut out: BTreeMap<Option<PartId>, Vec<LineChange>> = BTreeMap::new();
    for line in &after.lines {
        let was = old.remove(line.key.as_str());
        if was.is_none_or(|was| (was.amount, was.seconds) != (line.amount, line.seconds)) {
            let change = LineChange { before: was.cloned(), after: Some(line.clone()) };
            out.entry(line.part.clone()).or_default().push(change);
        }
    }
    for line in before.lines.iter().filter(|line| old.contains_key(line.key.as_str())) {
        let change = LineChange { before: Some(line.clone()), after: None };
        out.entry(line.part.clone()).or_default().push(change);
    }
    out
}
