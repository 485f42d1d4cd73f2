//! The decisions of a job with the action that stands for each part: what a person holds it to, or what the plan picked,
//! or, until it has been solved, the least intrusive that is permitted.
//!
//! Picks nothing itself and never shows what the rules forbid now, though the last plan may have picked it.

use model::decide::{Decision, Pick};
use model::ids::PartId;
use model::job::Job;
use model::plan::Plan;
use model::plan::kept::Decided;
use std::sync::Arc;

/// The decisions, each with [`Decision::chosen`] as it stands.
#[derive(Clone, Debug, Default)]
pub struct Shown {
    /// One for each damaged part, in the order of the part ids.
    pub decisions: Vec<Arc<Decision>>,
    /// What they were made from.
    sources: Vec<Arc<Decision>>,
}

impl Shown {
    /// The decisions of a job as the last plan follows them; what did not change is taken over from `before`.
    #[must_use]
    pub fn of(before: Option<&Self>, decided: &Decided, job: &Job, plan: Option<&Plan>) -> Self {
        let decisions = decided.decisions.iter().map(|decision| {
            let pick = plan.and_then(|plan| {
                let at = plan.decisions.binary_search_by(|known| known.part.cmp(&decision.part)).ok()?;
                plan.picks.get(at)
            });
            match pick.filter(|pick| !job.holds.contains_key(&pick.part) && differs(decision, pick)) {
                Some(pick) => {
                    let known = before.and_then(|before| before.known(decision, pick)).cloned();
                    known.unwrap_or_else(|| Arc::new(followed(decision, pick)))
                }
                None => Arc::clone(decision),
            }
        });
        Self { decisions: decisions.collect(), sources: decided.decisions.clone() }
    }

    /// The decision on a part.
    #[must_use]
    pub fn on(&self, part: &PartId) -> Option<&Arc<Decision>> {
        self.decisions.iter().find(|decision| decision.part == *part)
    }

    fn known(&self, source: &Arc<Decision>, pick: &Pick) -> Option<&Arc<Decision>> {
        let at = self.sources.iter().position(|known| Arc::ptr_eq(known, source))?;
        self.decisions.get(at).filter(|shown| shown.chosen == pick.action && !differs(shown, pick))
    }
}

/// Whether a pick is permitted and other than what the decision shows.
fn differs(decision: &Decision, pick: &Pick) -> bool {
    let Some(option) = decision.option(pick.action).filter(|option| option.permitted) else { return false };
    decision.chosen != pick.action || pick.section.as_deref().is_some_and(|plan| option.section.as_ref() != Some(plan))
}

/// The decision with what is picked in place of what stood.
#[must_use]
pub fn followed(decision: &Decision, pick: &Pick) -> Decision {
    let mut decision = Decision { chosen: pick.action, ..decision.clone() };
    let own = decision.options.iter_mut().find(|option| option.action == pick.action);
    if let (Some(option), Some(section)) = (own, &pick.section) {
        option.section = Some((**section).clone());
    }
    decision
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::catalogue::{Body, generic};
    use model::plan::{Shop, plan};
    use model::rules::general;
    use model::terms::Action;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    #[test]
    fn what_the_plan_picks_stands_unless_held_or_forbidden() {
        let (rules, shop) = (Arc::new(general().clone()), Shop::default());
        let (mut followed, mut held) = (0, 0);
        for seed in 0..12 {
            let mut job = model::generate::job(seed, 10).expect("a job");
            let book = generic(Body { cab: job.vehicle.cab, bed: job.vehicle.bed });
            let decided = Decided::of(None, book, &rules, &job, &shop);
            let made = plan(book, &rules, &job, &shop);
            let shown = Shown::of(None, &decided, &job, Some(&made));
            assert_eq!(shown.decisions.len(), decided.decisions.len());
            for (decision, pick) in shown.decisions.iter().zip(&made.picks) {
                assert_eq!((&decision.part, decision.chosen), (&pick.part, pick.action), "seed {seed}");
                let section = decision.option(decision.chosen).and_then(|option| option.section.as_ref());
                assert!(pick.section.as_deref().is_none_or(|plan| Some(plan) == section), "seed {seed}");
                followed += usize::from(decision.chosen != decision.recommended);
            }
            // Nothing changed: nothing is made anew.
            let again = Shown::of(Some(&shown), &decided, &job, Some(&made));
            let same = |(one, other): (&Arc<Decision>, &Arc<Decision>)| Arc::ptr_eq(one, other);
            assert!(shown.decisions.iter().zip(&again.decisions).all(same), "seed {seed}");
            // Without a plan the least intrusive stands.
            let first = Shown::of(None, &decided, &job, None);
            assert!(first.decisions.iter().all(|decision| decision.chosen == decision.recommended), "seed {seed}");
            // A person's word goes before the plan's, also where it is the least intrusive.
            let other = shown.decisions.iter().find(|decision| decision.chosen != decision.recommended);
            if let Some(other) = other {
                job.holds.insert(other.part.clone(), other.recommended);
                let decided = Decided::of(None, book, &rules, &job, &shop);
                let shown = Shown::of(Some(&shown), &decided, &job, Some(&made));
                assert_eq!(shown.on(&other.part).expect("still damaged").chosen, other.recommended);
                held += 1;
            }
        }
        assert!(followed > 0 && held > 0, "the plan picks otherwise somewhere: {followed}, {held}");
    }

    #[test]
    fn what_is_forbidden_now_is_not_shown_though_the_last_plan_picked_it() {
        let (rules, shop) = (Arc::new(general().clone()), Shop::default());
        let job = model::generate::job(3, 10).expect("a job");
        let book = generic(Body { cab: job.vehicle.cab, bed: job.vehicle.bed });
        let decided = Decided::of(None, book, &rules, &job, &shop);
        let mut made = plan(book, &rules, &job, &shop);
        let mut tried = 0;
        for (pick, decision) in made.picks.iter_mut().zip(&decided.decisions) {
            if let Some(option) = decision.options.iter().find(|option| !option.permitted) {
                (pick.action, pick.section) = (option.action, None);
                tried += 1;
            }
        }
        let shown = Shown::of(None, &decided, &job, Some(&made));
        let permitted = |decision: &Arc<Decision>| decision.option(decision.chosen).is_some_and(|one| one.permitted);
        assert!(tried > 0 && shown.decisions.iter().all(permitted));
        assert!(shown.decisions.iter().any(|decision| decision.chosen != Action::Leave));
    }
}
