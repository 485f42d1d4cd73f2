//! What is weighed for each damaged part, kept part by part while nothing that it depends on changes, and made in small
//! steps so that the screen never waits.

use super::Decided;
use crate::catalogue::Book;
use crate::decide::{Circumstances, Decision};
use crate::estimate::Tariff;
use crate::job::{Job, OptionHold};
use crate::optimise::{Candidates, Whole};
use crate::plan::whole::{self, best_of, candidates_of};
use crate::plan::{Plan, Shop, circumstances};
use crate::rules::RuleBook;
use crate::terms::{Action, Aim};
use std::sync::Arc;

/// What is weighed in one state of a job; some of it may still be missing.
#[derive(Clone, Debug)]
pub struct Weighed {
    parts: Vec<Known>,
    book: &'static Book,
    shop: Shop,
    circumstances: Circumstances,
    aim: Option<Aim>,
    best: Option<Arc<Whole>>,
}

/// What a part's candidates are made from, and the candidates once they are made.
#[derive(Clone, Debug)]
struct Known {
    decision: Arc<Decision>,
    hold: Option<Action>,
    option: Option<OptionHold>,
    candidates: Option<Arc<Candidates>>,
}

impl Weighed {
    /// Takes over from `before` what still holds; the rest is missing until [`Weighed::step`].
    #[must_use]
    pub fn begin(before: Option<&Self>, book: &'static Book, job: &Job, shop: &Shop, decided: &Decided) -> Self {
        let circumstances = circumstances(job, shop);
        let before = before.filter(|before| {
            std::ptr::eq(before.book, book) && before.circumstances == circumstances && before.shop == *shop
        });
        let parts = decided.decisions.iter().map(|decision| {
            let (hold, option) = (job.holds.get(&decision.part).copied(), job.options.get(&decision.part).cloned());
            let same =
                |known: &&Known| Arc::ptr_eq(&known.decision, decision) && known.hold == hold && known.option == option;
            let candidates =
                before.and_then(|before| before.parts.iter().find(same)).and_then(|known| known.candidates.clone());
            Known { decision: Arc::clone(decision), hold, option, candidates }
        });
        let parts: Vec<Known> = parts.collect();
        // Nothing is missing and nothing has gone: the best is still the best.
        let same = |before: &&Self| {
            let made = |known: &Known| known.candidates.is_some();
            before.aim == job.aim && before.parts.len() == parts.len() && parts.iter().all(made)
        };
        let best = before.filter(same).and_then(|before| before.best.clone());
        Self { parts, book, shop: shop.clone(), circumstances, aim: job.aim, best }
    }

    /// Weighs one part that is missing; `false` where none is. `job` is the one with which it began.
    pub fn step(&mut self, job: &Job) -> bool {
        let Some(known) = self.parts.iter_mut().find(|known| known.candidates.is_none()) else { return false };
        known.candidates = Some(Arc::new(candidates_of(self.book, job, &Tariff::new(&self.shop), &known.decision)));
        true
    }

    /// Finds the best choice, if it is not known yet; weighs first what is still missing.
    pub fn solve(&mut self, job: &Job) {
        while self.step(job) {}
        if self.best.is_none() {
            self.best = Some(Arc::new(best_of(self.book, job, &self.shop, &self.all())));
        }
    }

    /// The plan of the job with which it began; does first what is still to do.
    pub fn plan(&mut self, rules: &RuleBook, job: &Job, decided: &Decided) -> Option<Plan> {
        self.solve(job);
        let best = (**self.best.as_ref()?).clone();
        Some(whole::whole(self.book, rules, job, &self.shop, self.all(), best, decided.refused()))
    }

    fn all(&self) -> Vec<whole::Weighed> {
        let weighed = self.parts.iter().filter_map(|known| {
            let candidates = Arc::clone(known.candidates.as_ref()?);
            Some(whole::Weighed { decision: Arc::clone(&known.decision), candidates })
        });
        weighed.collect()
    }
}
