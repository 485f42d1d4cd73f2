//! The plan of a job: findings, decisions, the best choice for the whole job, its operations, and where to look behind.
//!
//! Joins the other modules and adds no judgement. Results are never stored; the same job, body book, rule book and shop
//! give the same plan, byte for byte. [`plan`] does all at once; [`kept`] keeps decisions and candidates from one edit to
//! the next.

mod choice_json;
mod difference;
mod freeze;
mod json;
pub mod kept;
mod look_behind;
mod notices;
mod whole;

pub use crate::shop::Shop;
pub use choice_json::best_json;
pub use difference::Difference;
pub use json::to_json;
pub use look_behind::{LookBehind, look_behind};
pub use whole::{candidates_of, plan};

use crate::catalogue::{Body, Book};
use crate::decide::{Circumstances, Decision, Pick};
use crate::error::Error;
use crate::estimate::{Estimate, Tariff, Worth, estimate};
use crate::ids::{MarkId, PartId};
use crate::job::Job;
use crate::operations::Operation;
use crate::optimise::{Candidates, Change, Costs, HoldConflict};
use crate::terms::Aim;
use std::sync::Arc;
use whole::work_of;

/// Name and edition of a book on which a plan stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StandsOn {
    /// Id of the book.
    pub id: String,
    /// Its edition.
    pub edition: String,
}

/// What is to be done with a job, and why.
#[derive(Clone, Debug)]
pub struct Plan {
    /// The body book.
    pub book: StandsOn,
    /// The body.
    pub body: Body,
    /// The rule book.
    pub rules: StandsOn,
    /// The shop, with its time book, rates and price list.
    pub shop: Shop,
    /// What rules may ask about the job and the shop as a whole.
    pub circumstances: Circumstances,
    /// One decision for each damaged part, in the order of the part ids.
    pub decisions: Vec<Arc<Decision>>,
    /// What was weighed for each decision.
    pub candidates: Vec<Arc<Candidates>>,
    /// What the plan aims at: the job's aim, or else money.
    pub aim: Aim,
    /// What is done to each part, one for each decision: the best for the aim.
    pub picks: Vec<Pick>,
    /// The work of these picks, in stage order.
    pub operations: Vec<Operation>,
    /// What it comes to, line by line.
    pub estimate: Arc<Estimate>,
    /// How that stands to the value of the vehicle.
    pub worth: Worth,
    /// The best for each aim, in the order of [`Aim::ALL`].
    pub best: Vec<Outcome>,
    /// What every other candidate would change in the picks, in the order of parts and candidates.
    pub changes: Vec<Change>,
    /// The choice against what else was permitted, in words: part by part, then the best for other aims.
    pub differences: Vec<Difference>,
    /// Holds that cannot stand together; they are not followed.
    pub conflict: Option<HoldConflict>,
    /// Where to look for hidden damage, nearest first.
    pub look_behind: Vec<LookBehind>,
    /// What a person must know before trusting the plan; the refused marks stand among it.
    pub notices: Vec<Notice>,
    /// Marks that could not be measured, with the reason.
    pub refused_marks: Vec<(MarkId, Error)>,
}

/// The best plan for one aim.
#[derive(Clone, Debug)]
pub struct Outcome {
    /// The aim.
    pub aim: Aim,
    /// What the plan comes to for every aim, in the whole numbers of the program.
    pub costs: Costs,
    /// How many of them make one unit of each aim: a currency unit, an hour of labour, a working day in the shop.
    pub per: Costs,
    /// The picked candidate of each part, by place.
    pub choice: Vec<usize>,
    /// What is done to each part.
    pub picks: Vec<Pick>,
}

/// Something that a person must know before trusting the plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Notice {
    /// Key of its message.
    pub key: &'static str,
    /// The message in words.
    pub text: String,
    /// The part that it concerns, if it is one.
    pub part: Option<PartId>,
    /// The mark that it concerns, if it is one.
    pub mark: Option<MarkId>,
}

/// What rules may ask about a job and a shop as a whole.
pub fn circumstances(job: &Job, shop: &Shop) -> Circumstances {
    Circumstances {
        colour_family: job.vehicle.colour_family,
        restraints_deployed: job.restraints_deployed,
        high_voltage: job.high_voltage,
        frame: Some(job.frame),
        aluminium_welding: shop.aluminium_welding,
        aluminium_bay: shop.aluminium_bay,
    }
}

impl Outcome {
    /// What the plan comes to in the unit of its aim: currency units with tax (before the tax of a category is rounded),
    /// hours of labour, working days in the shop.
    pub fn objective(&self) -> f64 {
        self.in_units(self.aim, self.costs[self.aim as usize])
    }

    /// A cost for an aim in its unit.
    pub fn in_units(&self, aim: Aim, cost: i64) -> f64 {
        // Far below 2^53 in any unit that is shown.
        #[allow(clippy::cast_precision_loss)]
        let value = cost as f64 / self.per[aim as usize] as f64;
        value
    }
}

impl Plan {
    /// The best for an aim.
    pub fn best(&self, aim: Aim) -> &Outcome {
        &self.best[aim as usize]
    }

    /// What the best for an aim comes to, line by line. Worked out when it is asked for: mostly nobody asks about another
    /// aim than the plan's own.
    pub fn estimate_for(&self, book: &Book, aim: Aim) -> Arc<Estimate> {
        let best = self.best(aim);
        if best.choice == self.best(self.aim).choice {
            return Arc::clone(&self.estimate);
        }
        let work = work_of(book, &self.decisions, &best.picks, &self.circumstances);
        Arc::new(estimate(&Tariff::new(&self.shop), book, &best.picks, &work))
    }
}
