//! Freezing a plan as it is given to somebody, and telling what has changed since, with the cause.
//!
//! A frozen plan is a fact of the job ([`Revision`]) and is never worked out again. A difference is worked out between
//! two of them, of which the later is usually the plan as it stands. Never decides or prices anything.

mod cause;
mod difference;

pub use cause::Cause;
pub use difference::{About, Difference, Differences, LineChange, differences};

use crate::decide::Pick;
use crate::job::{Against, Job, RevisedLine, RevisedPart, RevisedTax, Revision, mark_print};
use crate::terms::{Action, Aim, Rounding};
use std::collections::BTreeMap;

/// Stands in a line's key between the operation that it is for and what tells it from the other lines of the same.
pub const LINE_OF: char = '|';

/// What a plan comes to, as it is to be written down.
#[derive(Clone, Debug, PartialEq)]
pub struct Sums {
    /// Name and edition of each book and list.
    pub against: Against,
    /// Currency, three capital letters.
    pub currency: String,
    /// Digits of its minor unit.
    pub digits: u8,
    /// Every line; equal keys are told apart by [`freeze`].
    pub lines: Vec<RevisedLine>,
    /// Taxes by category.
    pub taxes: Vec<RevisedTax>,
    /// How every line and every tax is rounded.
    pub rounding: Rounding,
    /// What eight of ten such jobs do not exceed, seconds.
    pub bound_seconds: u64,
    /// Days in the shop as numerator and denominator.
    pub days: [u64; 2],
}

/// The plan of a job as a document: what was picked for each damaged part and what it comes to. `name` are the person's
/// words and `day` is `YYYY-MM-DD`; both may be empty where the plan is only held against an earlier one.
pub fn freeze(job: &Job, picks: &[Pick], sums: Sums, name: &str, day: &str) -> Revision {
    let mut lines = sums.lines;
    tell_apart(&mut lines);
    let net: i64 = lines.iter().map(|line| line.amount).sum();
    let tax: i64 = sums.taxes.iter().map(|tax| tax.amount).sum();
    let seconds = lines.iter().map(|line| line.seconds).sum();
    Revision {
        name: name.to_owned(),
        day: day.to_owned(),
        aim: job.aim.unwrap_or(Aim::Money),
        against: sums.against,
        vehicle: vehicle(job),
        currency: sums.currency,
        digits: sums.digits,
        parts: picks.iter().map(|pick| part(job, pick)).collect(),
        lines,
        taxes: sums.taxes,
        rounding: sums.rounding,
        total: net + tax,
        seconds,
        bound_seconds: sums.bound_seconds,
        days: sums.days,
    }
}

fn part(job: &Job, pick: &Pick) -> RevisedPart {
    let marks = job.marks.iter().filter(|(_, mark)| mark.part == pick.part);
    let section = pick.section.as_ref().filter(|_| pick.action == Action::Section);
    RevisedPart {
        part: pick.part.clone(),
        action: pick.action,
        route: pick.route,
        cuts: section.map(|plan| plan.cuts.iter().map(|cut| cut.cut.clone()).collect()).unwrap_or_default(),
        marks: marks.map(|(id, mark)| (id.clone(), mark_print(mark))).collect(),
        hold: job.holds.get(&pick.part).copied(),
        option: job.options.get(&pick.part).cloned(),
        found: job.inspections.get(&pick.part).copied(),
    }
}

fn vehicle(job: &Job) -> String {
    let mut words = vec![job.vehicle.cab.word(), job.vehicle.bed.word(), job.frame.word()];
    words.extend(job.restraints_deployed.then_some("restraints-deployed"));
    words.extend(job.high_voltage.then_some("high-voltage"));
    words.join(" ")
}

/// Gives the second and every further line of one key a number.
fn tell_apart(lines: &mut [RevisedLine]) {
    let mut seen: BTreeMap<String, u32> = BTreeMap::new();
    for line in lines {
        let times = seen.entry(line.key.clone()).or_default();
        *times += 1;
        if *times > 1 {
            line.key = format!("{} #{times}", line.key);
        }
    }
}
