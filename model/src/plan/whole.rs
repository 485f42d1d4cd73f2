//! Puts a plan together: decisions, candidates, the best choice, its work.
//!
//! Only joins; every figure comes from the module to which it belongs.

use super::difference::differences;
use super::notices::{circumstance_notices, refused_hold, unpriced};
use super::{Notice, Outcome, Plan, StandsOn, circumstances, look_behind};
use crate::catalogue::Book;
use crate::damage;
use crate::decide::section::remeasured;
use crate::decide::{Circumstances, Decision, Pick, decide};
use crate::error::Error;
use crate::estimate::{Tariff, estimate, worth};
use crate::ids::MarkId;
use crate::job::Job;
use crate::money::{Currency, Money};
use crate::operations::{Operation, operations};
use crate::optimise::{Candidates, Whole, candidates, per, picks, whole as solve_whole};
use crate::rules::RuleBook;
use crate::shop::Shop;
use crate::terms::Aim;
use crate::words::Language;
use std::sync::Arc;

/// A damaged part with its decision and what is weighed for it.
#[derive(Clone, Debug)]
pub(super) struct Weighed {
    /// What is permitted.
    pub(super) decision: Arc<Decision>,
    /// The candidates, from [`candidates_of`].
    pub(super) candidates: Arc<Candidates>,
}

/// The plan of a job.
pub fn plan(book: &Book, rules: &RuleBook, job: &Job, shop: &Shop) -> Plan {
    let circumstances = circumstances(job, shop);
    let tariff = Tariff::new(shop);
    let (findings, refused_marks) = damage::findings(book, job.marks.iter());
    let weighed: Vec<Weighed> = decide(book, rules, findings, &job.holds, &circumstances)
        .into_iter()
        .map(|decision| {
            let candidates = Arc::new(candidates_of(book, job, &tariff, &decision));
            Weighed { decision: Arc::new(decision), candidates }
        })
        .collect();
    let best = best_of(book, job, shop, &weighed);
    whole(book, rules, job, shop, weighed, best, refused_marks)
}

/// The best choice for every aim among what is weighed, in the order of the part ids.
pub(super) fn best_of(book: &Book, job: &Job, shop: &Shop, weighed: &[Weighed]) -> Whole {
    let parts: Vec<&Candidates> = weighed.iter().map(|one| &*one.candidates).collect();
    solve_whole(book, shop, &parts, job.aim.unwrap_or(Aim::Money))
}

/// The candidates of a part: a pure function of its decision, of what the job holds it to, of the job's circumstances
/// and of the shop, so that it can be kept while those stay the same.
pub fn candidates_of(book: &Book, job: &Job, tariff: &Tariff<'_>, decision: &Decision) -> Candidates {
    let (hold, option) = (job.holds.get(&decision.part).copied(), job.options.get(&decision.part));
    candidates(book, decision, hold, option, tariff, &circumstances(job, tariff.shop()))
}

/// The plan of a job whose parts are decided and weighed, in the order of the part ids. `solved` is [`best_of`] the same;
/// `refused_marks` could not be measured.
pub(super) fn whole(
    book: &Book,
    rules: &RuleBook,
    job: &Job,
    shop: &Shop,
    weighed: Vec<Weighed>,
    solved: Whole,
    refused_marks: Vec<(MarkId, Error)>,
) -> Plan {
    let (decisions, candidates): (Vec<Arc<Decision>>, Vec<Arc<Candidates>>) =
        weighed.into_iter().map(|one| (one.decision, one.candidates)).unzip();
    let parts: Vec<&Candidates> = candidates.iter().map(|one| &**one).collect();
    let aim = job.aim.unwrap_or(Aim::Money);
    let tariff = Tariff::new(shop);
    let circumstances = circumstances(job, shop);
    let per = [Aim::Money, Aim::Hours, Aim::Days].map(|aim| per(shop, aim));
    let mut best: Vec<Outcome> = Vec::with_capacity(solved.best.len());
    for one in solved.best {
        // The best for two aims is often one and the same.
        let known = best.iter().find(|known| known.choice == one.choice).map(|known| known.picks.clone());
        let picks = known.unwrap_or_else(|| placed(book, &decisions, &parts, &one.choice));
        best.push(Outcome { aim: one.aim, costs: one.costs, per, choice: one.choice, picks });
    }
    let picks = best[aim as usize].picks.clone();
    let operations = work_of(book, &decisions, &picks, &circumstances);
    let estimate = Arc::new(estimate(&tariff, book, &picks, &operations));
    let worth = worth(estimate.total, value(job), shop.rates.worth_threshold);
    let differences = differences(book, shop, &parts, &best, aim, &solved.changes);
    let look_behind = look_behind(book, &decisions, &job.inspections);
    let mut notices: Vec<Notice> = refused_marks
        .iter()
        .map(|(mark, error)| Notice {
            key: error.key,
            text: error.message(Language::English),
            part: None,
            mark: Some(mark.clone()),
        })
        .collect();
    notices.extend(solved.conflict.iter().map(|conflict| Notice {
        key: "notice-hold-conflict",
        text: conflict.text.clone(),
        part: conflict.parts.first().cloned(),
        mark: None,
    }));
    notices.extend(unpriced(book, &parts, &best[aim as usize].choice));
    notices.extend(decisions.iter().filter_map(|decision| refused_hold(book, decision)));
    notices.extend(circumstance_notices(book, job, &decisions, &picks, &look_behind));
    Plan {
        book: StandsOn { id: book.id.clone(), edition: book.edition.clone() },
        body: book.body,
        rules: StandsOn { id: rules.id.clone(), edition: rules.edition.clone() },
        shop: shop.clone(),
        circumstances,
        decisions,
        candidates,
        aim,
        picks,
        operations,
        estimate,
        worth,
        best,
        changes: solved.changes,
        differences,
        conflict: solved.conflict,
        look_behind,
        notices,
        refused_marks,
    }
}

/// The work of what is picked for each decision.
pub(super) fn work_of(
    book: &Book,
    decisions: &[Arc<Decision>],
    picks: &[Pick],
    circumstances: &Circumstances,
) -> Vec<Operation> {
    let picked: Vec<(&Decision, &Pick)> = decisions.iter().map(|one| &**one).zip(picks).collect();
    operations(book, &picked, circumstances)
}

/// The picks of a choice. A line that was moved away from another part's joint keeps other distances now.
fn placed(book: &Book, decisions: &[Arc<Decision>], parts: &[&Candidates], choice: &[usize]) -> Vec<Pick> {
    let mut picks = picks(book, parts, choice);
    for (at, pick) in picks.iter_mut().enumerate() {
        let drawn = &parts[at].list[choice[at]].pick.section;
        if let Some(plan) = pick.section.as_ref().filter(|_| pick.section != *drawn)
            && let Some(part) = book.part(&pick.part)
        {
            pick.section = Some(Arc::new(remeasured(part, &decisions[at].finding, plan)));
        }
    }
    picks
}

/// What the vehicle is worth, if a person put it down in a currency that exists.
fn value(job: &Job) -> Option<Money> {
    let value = job.value.as_ref()?;
    Some(Money { minor: value.minor, currency: Currency::from_code(&value.currency).ok()? })
}
