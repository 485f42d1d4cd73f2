//! Why a plan differs from an earlier one, told from the facts that were written down with each.
//!
//! Names every fact that changed and can have moved a line; where two changed at once, both stand. Never plans again
//! with one fact changed at a time: the old books are not kept.

use super::difference::{LineChange, find, same_pick};
use crate::ids::PartId;
use crate::job::{RevisedPart, Revision};
use crate::terms::Category;
use crate::words::{Language, say};

/// Why something differs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cause {
    /// So many marks on the part are new.
    MarksAdded(usize),
    /// So many marks on the part were changed.
    MarksChanged(usize),
    /// So many marks on the part were removed.
    MarksRemoved(usize),
    /// A person holds to something else for the part.
    Hold,
    /// Something was found behind.
    Found,
    /// The plan aims at something else.
    Aim,
    /// The facts of the whole vehicle.
    Vehicle,
    /// What the shop can do.
    Shop,
    /// Another body book or edition.
    Book,
    /// Other rules or another edition.
    Rules,
    /// Another time book or edition.
    Times,
    /// Another price list or edition.
    Prices,
    /// Other rates or another edition.
    Rates,
    /// The choice for another part, through work that both share.
    Shared,
    /// The sums that it follows from.
    Sum,
    /// Nothing that was written down: the program works it out in another way.
    Program,
}

impl Cause {
    /// In words.
    pub fn words(self) -> String {
        let number = match self {
            Self::MarksAdded(number) | Self::MarksChanged(number) | Self::MarksRemoved(number) => number,
            _ => 0,
        };
        let key = match self {
            Self::MarksAdded(1) => "revision-cause-mark-added",
            Self::MarksAdded(_) => "revision-cause-marks-added",
            Self::MarksChanged(1) => "revision-cause-mark-changed",
            Self::MarksChanged(_) => "revision-cause-marks-changed",
            Self::MarksRemoved(1) => "revision-cause-mark-removed",
            Self::MarksRemoved(_) => "revision-cause-marks-removed",
            Self::Hold => "revision-cause-hold",
            Self::Found => "revision-cause-found",
            Self::Aim => "revision-cause-aim",
            Self::Vehicle => "revision-cause-vehicle",
            Self::Shop => "revision-cause-shop",
            Self::Book => "revision-cause-book",
            Self::Rules => "revision-cause-rules",
            Self::Times => "revision-cause-times",
            Self::Prices => "revision-cause-prices",
            Self::Rates => "revision-cause-rates",
            Self::Shared => "revision-cause-shared",
            Self::Sum => "revision-cause-sum",
            Self::Program => "revision-cause-program",
        };
        say(Language::English, key, &[("count", &number.to_string())])
    }
}

/// The facts that changed between two plans.
pub(super) struct Causes<'r> {
    before: &'r Revision,
    after: &'r Revision,
    /// Every part of either, in the order of the later and then of the earlier.
    pub parts: Vec<PartId>,
    /// What changed for the job as a whole, of Aim to Rates.
    global: Vec<Cause>,
}

/// What can move work that stays the same choice.
const WORK: [Cause; 5] = [Cause::Vehicle, Cause::Shop, Cause::Book, Cause::Rules, Cause::Times];

impl<'r> Causes<'r> {
    pub fn new(before: &'r Revision, after: &'r Revision) -> Self {
        let mut parts: Vec<PartId> = after.parts.iter().map(|part| part.part.clone()).collect();
        parts.extend(before.parts.iter().map(|part| part.part.clone()).filter(|part| find(after, part).is_none()));
        let (old, new) = (&before.against, &after.against);
        let differ = [
            (Cause::Aim, before.aim != after.aim),
            (Cause::Vehicle, before.vehicle != after.vehicle),
            (Cause::Shop, old.shop != new.shop),
            (Cause::Book, old.book != new.book),
            (Cause::Rules, old.rules != new.rules),
            (Cause::Times, old.times != new.times),
            (Cause::Prices, old.prices != new.prices),
            (Cause::Rates, old.rates != new.rates),
        ];
        let global = differ.into_iter().filter(|(_, differs)| *differs).map(|(cause, _)| cause).collect();
        Self { before, after, parts, global }
    }

    /// What changed on the part itself.
    pub fn own(&self, part: &PartId) -> Vec<Cause> {
        let (old, new) = (find(self.before, part), find(self.after, part));
        let none = std::collections::BTreeMap::new();
        let marks = |part: Option<&'r RevisedPart>| part.map(|part| &part.marks);
        let (was, is) = (marks(old).unwrap_or(&none), marks(new).unwrap_or(&none));
        let added = is.keys().filter(|id| !was.contains_key(id)).count();
        let removed = was.keys().filter(|id| !is.contains_key(id)).count();
        let changed = is.iter().filter(|(id, print)| was.get(id).is_some_and(|old| old != *print)).count();
        let mut out = Vec::new();
        out.extend((added > 0).then_some(Cause::MarksAdded(added)));
        out.extend((changed > 0).then_some(Cause::MarksChanged(changed)));
        out.extend((removed > 0).then_some(Cause::MarksRemoved(removed)));
        let held = |part: Option<&RevisedPart>| part.map(|part| (part.hold, part.option.clone())).unwrap_or_default();
        out.extend((held(old) != held(new)).then_some(Cause::Hold));
        let found = |part: Option<&RevisedPart>| part.and_then(|part| part.found);
        out.extend((found(old) != found(new)).then_some(Cause::Found));
        out
    }

    /// Why a part differs.
    pub fn of_part(&self, part: &PartId, lines: &[LineChange]) -> Vec<Cause> {
        let own = self.own(part);
        let mut out = own.clone();
        if !same_pick(find(self.before, part), find(self.after, part)) {
            // The choice itself is another: the aim can have moved it, and where the part is as it was, any book.
            out.extend(self.changed(&[Cause::Aim]));
            if own.is_empty() {
                out.extend(self.changed(&WORK).chain(self.changed(&[Cause::Prices, Cause::Rates])));
            }
        }
        for line in lines {
            out.extend(self.of_line(line, !own.is_empty()));
        }
        self.settle(out, Some(part))
    }

    /// Why work on the whole vehicle differs.
    pub fn of_vehicle(&self, lines: &[LineChange]) -> Vec<Cause> {
        self.settle(lines.iter().flat_map(|line| self.of_line(line, false)).collect(), None)
    }

    /// Why tax differs.
    pub fn of_tax(&self) -> Vec<Cause> {
        let mut out = vec![Cause::Sum];
        out.extend(self.changed(&[Cause::Rates]));
        out
    }

    /// The changed facts that can have moved one line besides the part's own.
    fn of_line(&self, change: &LineChange, own: bool) -> Vec<Cause> {
        let (Some(before), Some(after)) = (&change.before, &change.after) else {
            // Added or dropped: the part's own facts explain it where there are some.
            return if own { Vec::new() } else { self.changed(&WORK).collect() };
        };
        let may: &[Cause] = match after.category {
            Category::Parts => &[Cause::Prices],
            Category::Labour if before.seconds == after.seconds => &[Cause::Rates],
            Category::Labour => &[Cause::Vehicle, Cause::Shop, Cause::Book, Cause::Rules, Cause::Times, Cause::Rates],
            Category::Materials => &[Cause::Book, Cause::Rules, Cause::Rates],
            Category::Sublet => &[Cause::Rates],
            Category::Storage => &[Cause::Prices, Cause::Rates],
        };
        self.changed(may).collect()
    }

    fn changed<'c>(&'c self, of: &'c [Cause]) -> impl Iterator<Item = Cause> + 'c {
        of.iter().copied().filter(|cause| self.global.contains(cause))
    }

    /// In order, each once; where nothing of it all changed, what is shared with another part, or the program.
    fn settle(&self, mut causes: Vec<Cause>, part: Option<&PartId>) -> Vec<Cause> {
        causes.sort();
        causes.dedup();
        if causes.is_empty() {
            let moved = |other: &&PartId| {
                Some(*other) != part
                    && (!self.own(other).is_empty() || !same_pick(find(self.before, other), find(self.after, other)))
            };
            causes.push(if self.parts.iter().any(|other| moved(&other)) { Cause::Shared } else { Cause::Program });
        }
        causes
    }
}
