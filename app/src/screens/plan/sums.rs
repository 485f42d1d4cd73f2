//! What the plan screen shows of the estimate and of the whole-job choice: what the plan comes to, as it would be frozen,
//! the best for each aim, and what another option of a part would change.
//!
//! Asks the model and words nothing; each is worked out when the screen first asks after an edit.

use super::Desk;
use super::alternatives::Alternative;
use super::best::Offer;
use crate::planned::Planned;
use crate::words::{cap, tf};
use leptos::prelude::*;
use model::decide::Pick;
use model::estimate::Estimate;
use model::estimate::MONEY_UNITS;
use model::ids::PartId;
use model::job::Revision;
use model::terms::Action;
use std::sync::Arc;

/// What the present plan comes to.
#[must_use]
pub fn estimate(planned: Planned) -> Memo<Option<Arc<Estimate>>> {
    Memo::new_with_compare(move |_| Some(Arc::clone(&planned.plan.get()?.estimate)), |_, _| true)
}

/// The present plan as it would be frozen.
#[must_use]
pub fn current(planned: Planned, estimate: Memo<Option<Arc<Estimate>>>) -> Memo<Option<Arc<Revision>>> {
    Memo::new(move |_| {
        let (plan, job) = (planned.plan.get()?, planned.job.get()?);
        let estimate = estimate.get()?;
        Some(Arc::new(plan.document(planned.book.get(), &planned.shop.get(), &job, &estimate)))
    })
}

/// The best for each aim.
#[must_use]
pub fn offers(planned: Planned) -> Memo<Vec<Offer>> {
    Memo::new(move |_| {
        let Some(plan) = planned.plan.get() else { return Vec::new() };
        let book = planned.book.get();
        plan.best
            .iter()
            .map(|best| {
                let sums = plan.estimate_for(book, best.aim);
                Offer {
                    aim: best.aim,
                    total: sums.total.minor,
                    seconds: sums.hours.planned_s,
                    days: [sums.days.numerator, sums.days.denominator],
                    held: sums.hand_over.clone().filter(|hold| hold.more_s > 0),
                    picks: best.picks.clone(),
                }
            })
            .collect()
    })
}

impl Desk {
    /// Every permitted option of a part, least intrusive first, with what it would change; tracked.
    pub(super) fn alternatives(self, part: &PartId) -> Vec<Alternative> {
        self.planned.plan.with(|plan| {
            let Some(plan) = plan.as_ref() else { return Vec::new() };
            let Some(at) = plan.candidates.iter().position(|known| known.part == *part) else { return Vec::new() };
            let chosen = plan.best(plan.aim).choice[at];
            let list = plan.candidates[at].list.iter().enumerate();
            let refer = plan.decisions[at].option(Action::Refer).filter(|choice| choice.permitted);
            let weighed = |action| plan.candidates[at].list.iter().any(|one| one.pick.action == action);
            let refer = refer.filter(|_| !weighed(Action::Refer)).map(|_| Alternative {
                pick: Pick { part: part.clone(), action: Action::Refer, route: None, section: None },
                chosen: false,
                weighed: false,
                clashes: false,
                money: 0,
                seconds: 0,
                days: 0,
                unpriced: Vec::new(),
            });
            list.map(|(place, candidate)| {
                let change = plan.changes.iter().find(|change| change.part == at && change.candidate == place);
                Alternative {
                    pick: candidate.pick.clone(),
                    chosen: place == chosen,
                    weighed: true,
                    clashes: change.is_some_and(|change| change.clashes),
                    money: change.map_or(0, |change| nearest(change.costs[0], MONEY_UNITS)),
                    seconds: change.map_or(0, |change| change.costs[1]),
                    days: change.map_or(0, |change| change.costs[2]),
                    unpriced: candidate.unpriced.iter().map(ToString::to_string).collect(),
                }
            })
            .chain(refer)
            .collect()
        })
    }

    /// The taxes of a plan with their names; those of nothing are left out.
    pub(super) fn taxes(plan: &Revision) -> Vec<(String, i64)> {
        plan.taxes
            .iter()
            .filter(|tax| tax.amount != 0)
            .map(|tax| {
                let words = [("category", cap(tax.category.key())), ("percent", tax.percent.clone())];
                let words: Vec<(&str, &str)> = words.iter().map(|(name, text)| (*name, text.as_str())).collect();
                (tf("plan-tax-on", &words), tax.amount)
            })
            .collect()
    }
}

/// Divided and rounded to the nearest whole number, halves away from zero.
fn nearest(number: i64, by: i64) -> i64 {
    number.signum() * ((number.abs() + by / 2) / by)
}
