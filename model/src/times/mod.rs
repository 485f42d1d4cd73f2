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
use crate::terms::{Skill, Stage, Unit, Wait, Work};
use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

/// How long each kind of work takes.
#[derive(Clone, Debug, PartialEq)]
pub struct TimeBook {
    /// Id of the book.
    pub id: String,
    /// Its edition; plans name it.
    pub edition: String,
    /// Time of each work: every word of [`Work`], and `access/<base>` or `refit/<base>` for a piece
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
    /// How long its adhesive takes to carry, minutes of the clock; 0 without one. From the joining list too.
    pub carry_minutes: u32,
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
    /// How long its adhesive takes to carry, minutes of the clock; 0 without one.
    pub carry_minutes: u32,
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
        let own = operation.access.as_ref().and_then(|id| {
            let (work, base) = own_time(operation.work, operation.stage, id.as_str());
            self.works.get(&format!("{work}/{base}"))
        });
        Timing::new(own, self.works.get(operation.work.word())).hours(operation)
    }
}

/// Under which work and which base a piece of access work may have times of its own: `<work>/<base>` in the book.
pub fn own_time(work: Work, stage: Stage, access: &str) -> (Work, &str) {
    let base = access.strip_suffix("-left").or_else(|| access.strip_suffix("-right")).unwrap_or(access);
    (if stage == Stage::Refit { Work::Refit } else { work }, base)
}

/// The times by which an operation is counted.
#[derive(Clone, Copy, Debug)]
pub struct Timing<'t> {
    /// Of this piece of access work.
    own: Option<&'t WorkTime>,
    /// Of this kind of work, also for units that the piece's own times lack.
    general: Option<&'t WorkTime>,
}

impl<'t> Timing<'t> {
    /// From what the book has under the piece's own key and under the kind of work.
    pub fn new(own: Option<&'t WorkTime>, general: Option<&'t WorkTime>) -> Self {
        Self { own, general }
    }

    /// Who does it.
    pub fn skill(self) -> Skill {
        self.own.or(self.general).map_or(Skill::Body, |work| work.skill)
    }

    /// What the truck waits for afterwards and for how many working seconds.
    pub fn wait(self) -> Option<(Wait, u32)> {
        let work = self.own.or(self.general)?;
        work.wait.map(|wait| (wait, work.wait_minutes * 60))
    }

    /// How long its adhesive takes to carry, minutes of the clock; 0 without one.
    pub fn carry_minutes(self) -> u32 {
        self.own.or(self.general).map_or(0, |work| work.carry_minutes)
    }

    /// Set-up first, then every unit of which there is some; nothing is taken off.
    pub fn terms(self, amount: &Amount) -> impl Iterator<Item = Term> + use<'t> {
        let term = |unit, count: f64, each: UnitTime| {
            // Counts are finite and not negative, times bounded: far below what 64 bits hold.
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            let seconds = (count * f64::from(each.seconds)).round() as u64;
            Term { unit, count, each, seconds, less: false }
        };
        let time = |work: Option<&WorkTime>, unit: Unit| {
            work.and_then(|work| work.per.iter().find(|(known, _)| *known == unit)).map(|(_, each)| *each)
        };
        let Self { own, general } = self;
        let amount = *amount;
        let units = Unit::ALL.iter().map(move |unit| (*unit, count(&amount, *unit))).filter(|(_, count)| *count > 0.0);
        let set_up = own.or(general).map(|work| term(None, 1.0, work.set_up));
        set_up.into_iter().chain(units.filter_map(move |(unit, count)| {
            Some(term(Some(unit), count, time(own, unit).or_else(|| time(general, unit))?))
        }))
    }

    /// The hours of an operation.
    pub fn hours(self, operation: &Operation) -> Hours {
        let less = operation.elsewhere.iter().flat_map(|(_, amount)| elsewhere(self.general, amount));
        let terms: Vec<Term> = self.terms(&operation.amount).chain(less).collect();
        let seconds = terms.iter().fold(0, |sum, term| if term.less { sum - term.seconds } else { sum + term.seconds });
        Hours { skill: self.skill(), seconds, terms, wait: self.wait(), carry_minutes: self.carry_minutes() }
    }
}

/// What is taken off the time of work at a factory joint that is done and counted with another part: a pure function of
/// that joint and the times of this kind of work. Rounded down, so that never more is taken off than there was.
pub fn elsewhere<'t>(general: Option<&'t WorkTime>, amount: &Amount) -> impl Iterator<Item = Term> + use<'t> {
    let amount = *amount;
    let per = general.map_or(&[][..], |work| &work.per).iter();
    per.map(move |(unit, each)| (*unit, count(&amount, *unit), *each)).filter(|one| one.1 > 0.0).map(
        |(unit, count, each)| {
            // As above.
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            let seconds = (count * f64::from(each.seconds)).floor() as u64;
            Term { unit: Some(unit), count, each, seconds, less: true }
        },
    )
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
