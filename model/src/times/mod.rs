//! The time book: from units of work to hours, with their spread.
//!
//! Hours of an operation are a pure function of that one operation: set-up and units × time a unit. Nothing here knows
//! of money, of other operations or of what is permitted. A time is the median of a log-normal time; its spread is the
//! standard deviation of its logarithm.

mod read;
mod spread;

pub use read::{DAY_MINUTES, HANDS, SECONDS, WAIT_MINUTES};
pub use spread::{Spread, spread};

use crate::operations::{Amount, Operation};
use crate::terms::{Skill, Stage, Unit, Wait};
use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

/// How long each kind of work takes.
#[derive(Clone, Debug, PartialEq)]
pub struct TimeBook {
    /// Id of the book.
    pub id: String,
    /// Its edition; plans name it.
    pub edition: String,
    /// Time of each work: every word of [`crate::operations::WORKS`], and `access/<base>` or `refit/<base>` for a piece
    /// of access work with times of its own; a unit that such an entry lacks takes the time of `access` or `refit`.
    pub works: BTreeMap<String, WorkTime>,
    /// How many people work, and how long a day.
    pub pace: Pace,
}

/// How fast a shop works on one truck.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pace {
    /// People on one truck at a time, 1 to 6.
    pub hands: u32,
    /// Working minutes a day, 60 to 1440.
    pub day_minutes: u32,
}

/// How long one kind of work takes.
#[derive(Clone, Debug, PartialEq)]
pub struct WorkTime {
    /// Who does it.
    pub skill: Skill,
    /// Once an operation.
    pub set_up: UnitTime,
    /// For each unit, in the order of [`Unit::ALL`].
    pub per: Vec<(Unit, UnitTime)>,
    /// What the truck waits for afterwards.
    pub wait: Option<Wait>,
    /// For how long, in working minutes, 0 to 10 080; each kind of wait counts once in a job. For an adhesive it is the
    /// figure of the joining list ([`TimeBook::cured`]).
    pub wait_minutes: u32,
}

/// A time with its spread.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct UnitTime {
    /// Median, seconds, 0 to 360 000.
    pub seconds: u32,
    /// Standard deviation of the logarithm, 0 to 1.
    pub spread: f64,
}

/// The hours of one operation, open to their arithmetic.
#[derive(Clone, Debug, PartialEq)]
pub struct Hours {
    /// Who does it.
    pub skill: Skill,
    /// Set-up first, then every unit of which there is some.
    pub terms: Vec<Term>,
    /// Sum of the terms less what is taken off, seconds.
    pub seconds: u64,
    /// What the truck waits for afterwards and for how many working seconds.
    pub wait: Option<(Wait, u32)>,
}

/// One term: a count of units × time a unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Term {
    /// The unit; `None` for set-up, whose count is 1.
    pub unit: Option<Unit>,
    /// How many units: metres, square metres or pieces.
    pub count: f64,
    /// Time of one.
    pub each: UnitTime,
    /// Count × time, rounded to whole seconds.
    pub seconds: u64,
    /// The term is taken off: so much is done and counted with another part.
    pub less: bool,
}

impl TimeBook {
    /// The built-in book: invented, plausible starting values for an aluminium body; a shop replaces them.
    ///
    /// # Panics
    /// Never in a release: a test reads it.
    pub fn general() -> &'static Arc<Self> {
        static BOOK: OnceLock<Arc<TimeBook>> = OnceLock::new();
        BOOK.get_or_init(|| {
            let text = include_str!("../../data/times/general.json");
            Arc::new(Self::read(text).unwrap_or_else(|error| panic!("the built-in time book is broken: {error}")))
        })
    }

    /// The hours of an operation. Work that the book does not know takes no time; no operation of a plan is such work.
    pub fn hours(&self, operation: &Operation) -> Hours {
        let general = self.works.get(operation.work);
        let own = operation.access.as_ref().and_then(|id| {
            let base = id.as_str().trim_end_matches("-left").trim_end_matches("-right");
            let kind = if operation.stage == Stage::Refit { "refit" } else { operation.work };
            self.works.get(&format!("{kind}/{base}"))
        });
        let Some(work) = own.or(general) else {
            return Hours { skill: Skill::Body, terms: Vec::new(), seconds: 0, wait: None };
        };
        let term = |unit, count: f64, each: UnitTime| {
            // Counts are finite and not negative, times bounded: far below what 64 bits hold.
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            let seconds = (count * f64::from(each.seconds)).round() as u64;
            Term { unit, count, each, seconds, less: false }
        };
        let mut terms = vec![term(None, 1.0, work.set_up)];
        for unit in Unit::ALL {
            let count = count(&operation.amount, *unit);
            let time = |work: &WorkTime| work.per.iter().find(|(known, _)| known == unit).map(|(_, each)| *each);
            if count > 0.0
                && let Some(each) = time(work).or_else(|| general.and_then(time))
            {
                terms.push(term(Some(*unit), count, each));
            }
        }
        terms.extend(operation.elsewhere.iter().flat_map(|(_, amount)| self.elsewhere(operation.work, amount)));
        let seconds = terms.iter().fold(0, |sum, term| if term.less { sum - term.seconds } else { sum + term.seconds });
        Hours { skill: work.skill, seconds, terms, wait: work.wait.map(|wait| (wait, work.wait_minutes * 60)) }
    }
}

impl TimeBook {
    /// What is taken off the time of work at a factory joint that is done and counted with another part: a pure function
    /// of that joint. Rounded down, so that never more is taken off than there was.
    pub fn elsewhere(&self, work: &str, amount: &Amount) -> impl Iterator<Item = Term> + use<> {
        let per = self.works.get(work).map(|work| work.per.clone()).unwrap_or_default();
        let amount = *amount;
        per.into_iter().map(move |(unit, each)| (unit, count(&amount, unit), each)).filter(|one| one.1 > 0.0).map(
            |(unit, count, each)| {
                // As above.
                #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
                let seconds = (count * f64::from(each.seconds)).floor() as u64;
                Term { unit: Some(unit), count, each, seconds, less: true }
            },
        )
    }
}

impl Hours {
    /// Seconds without what is taken off.
    pub fn full_seconds(&self) -> u64 {
        self.terms.iter().filter(|term| !term.less).map(|term| term.seconds).sum()
    }

    /// Median seconds and spread of each term, for [`spread`].
    pub fn spreads(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        self.terms.iter().filter(|term| !term.less).map(|term| {
            let off = self.terms.iter().filter(|off| off.less && off.unit == term.unit);
            let off: u64 = off.map(|off| off.seconds).sum();
            #[allow(clippy::cast_precision_loss)] // far below 2^53
            let seconds = term.seconds.saturating_sub(off) as f64;
            (seconds, term.each.spread)
        })
    }
}

/// How many of a unit there are: metres, square metres or pieces.
pub fn count(amount: &Amount, unit: Unit) -> f64 {
    match unit {
        Unit::Bolt => f64::from(amount.units.bolts),
        Unit::Connector => f64::from(amount.units.connectors),
        Unit::Clip => f64::from(amount.units.clips),
        Unit::Fastener => f64::from(amount.fasteners),
        Unit::Dent => f64::from(amount.dents),
        Unit::MetreCut => amount.cut_mm / 1e3,
        Unit::MetreJoint => amount.joint_mm / 1e3,
        Unit::SquareMetre => amount.area_mm2 / 1e6,
    }
}
