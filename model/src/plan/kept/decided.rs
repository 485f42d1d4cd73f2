//! The decisions of a job, kept part by part while nothing that they depend on changes.

use crate::catalogue::Book;
use crate::damage::{self, Mark};
use crate::decide::{Circumstances, Decision, decide};
use crate::error::Error;
use crate::ids::{MarkId, PartId};
use crate::job::Job;
use crate::plan::circumstances;
use crate::rules::RuleBook;
use crate::shop::Shop;
use crate::terms::Action;
use std::collections::BTreeMap;
use std::sync::Arc;

/// The decisions of one state of a job.
#[derive(Clone, Debug)]
pub struct Decided {
    /// One for each damaged part, in the order of the part ids.
    pub decisions: Vec<Arc<Decision>>,
    parts: Vec<Arc<Known>>,
    book: &'static Book,
    rules: Arc<RuleBook>,
    circumstances: Circumstances,
}

/// What a part's decision was made from, and the decision; `None` where no mark could be measured.
#[derive(Clone, Debug)]
struct Known {
    part: PartId,
    marks: Vec<(MarkId, Mark)>,
    hold: Option<Action>,
    decision: Option<Arc<Decision>>,
    refused: Vec<(MarkId, Error)>,
}

impl Decided {
    /// The decisions of a job; those of `before` are taken over where they still hold.
    #[must_use]
    pub fn of(before: Option<&Self>, book: &'static Book, rules: &Arc<RuleBook>, job: &Job, shop: &Shop) -> Self {
        let circumstances = circumstances(job, shop);
        let before = before.filter(|before| {
            std::ptr::eq(before.book, book)
                && Arc::ptr_eq(&before.rules, rules)
                && before.circumstances == circumstances
        });
        let mut by_part: BTreeMap<&PartId, Vec<(&MarkId, &Mark)>> = BTreeMap::new();
        for (id, mark) in &job.marks {
            by_part.entry(&mark.part).or_default().push((id, mark));
        }
        let mut parts = Vec::new();
        let mut decisions = Vec::new();
        for (part, marks) in by_part {
            let hold = job.holds.get(part).copied();
            let known = before.and_then(|before| before.known(part, &marks, hold)).cloned().unwrap_or_else(|| {
                let (findings, refused) = damage::findings(book, marks.iter().copied());
                let decision = decide(book, rules, findings, &job.holds, &circumstances).pop().map(Arc::new);
                let marks = marks.into_iter().map(|(id, mark)| (id.clone(), mark.clone())).collect();
                Arc::new(Known { part: part.clone(), marks, hold, decision, refused })
            });
            decisions.extend(known.decision.clone());
            parts.push(known);
        }
        Self { decisions, parts, book, rules: Arc::clone(rules), circumstances }
    }

    /// The decision on a part.
    #[must_use]
    pub fn on(&self, part: &PartId) -> Option<&Arc<Decision>> {
        self.decisions.iter().find(|decision| decision.part == *part)
    }

    /// Marks that could not be measured, with the reason.
    #[must_use]
    pub fn refused(&self) -> Vec<(MarkId, Error)> {
        self.parts.iter().flat_map(|known| known.refused.iter().cloned()).collect()
    }

    fn known(&self, part: &PartId, marks: &[(&MarkId, &Mark)], hold: Option<Action>) -> Option<&Arc<Known>> {
        let at = self.parts.binary_search_by(|known| known.part.cmp(part)).ok()?;
        let known = &self.parts[at];
        let same = known.hold == hold
            && known.marks.len() == marks.len()
            && known.marks.iter().zip(marks).all(|(old, new)| old.0 == *new.0 && old.1 == *new.1);
        same.then_some(known)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::{Body, generic};
    use crate::damage::MarkShape;
    use crate::job::JobId;
    use crate::plan::plan;
    use crate::rules::general;
    use crate::terms::{Bed, Cab, Coat, FrameState, MarkKind};

    const BODY: Body = Body { cab: Cab::FourDoor, bed: Bed::Short };

    fn mark(book: &Book, at: usize, kind: MarkKind) -> Mark {
        let part = &book.parts[at % book.parts.len()];
        let (view, area) = part.shapes.iter().next().expect("a part has a shape");
        let middle = area.bounds().centre();
        #[allow(clippy::cast_possible_truncation)] // millimetres of a vehicle fit
        let middle = [middle.a as i32, middle.b as i32];
        let shape = MarkShape::Ellipse { at: middle, radii: [60, 40], turn_deg: 0 };
        Mark {
            part: part.id.clone(),
            view: *view,
            shape,
            kind,
            depth_mm: 12,
            coat: Coat::Whole,
            sharp: false,
            count: 0,
            note: String::new(),
        }
    }

    #[test]
    fn step_by_step_gives_what_the_whole_plan_gives() {
        let (book, rules, shop) = (generic(BODY), Arc::new(general().clone()), Shop::default());
        let mut job = Job::empty(JobId::from("steps"));
        let mut decided: Option<Decided> = None;
        for step in 0..60_usize {
            let id = MarkId::from(format!("m{}", step % 23));
            let kind = MarkKind::ALL[step * 5 % MarkKind::ALL.len()];
            let made = mark(book, step * 7, kind);
            match step % 6 {
                3 if job.marks.contains_key(&id) => drop(job.marks.remove(&id)),
                4 => drop(job.holds.insert(made.part.clone(), Action::ALL[step % Action::ALL.len()])),
                _ => drop(job.marks.insert(id, made)),
            }
            if step == 30 {
                job.frame = FrameState::OutOfTolerance;
            }
            let now = Decided::of(decided.as_ref(), book, &rules, &job, &shop);
            let whole = plan(book, &rules, &job, &shop);
            let (one, other): (Vec<String>, Vec<String>) = (
                now.decisions.iter().map(|decision| format!("{decision:?}")).collect(),
                whole.decisions.iter().map(|decision| format!("{decision:?}")).collect(),
            );
            assert_eq!(one, other, "step {step}");
            decided = Some(now);
        }
    }

    #[test]
    fn a_part_that_did_not_change_keeps_its_decision() {
        let (book, rules, shop) = (generic(BODY), Arc::new(general().clone()), Shop::default());
        let mut job = Job::empty(JobId::from("kept"));
        job.marks.insert(MarkId::from("a"), mark(book, 0, MarkKind::Dent));
        let first = Decided::of(None, book, &rules, &job, &shop);
        job.marks.insert(MarkId::from("b"), mark(book, 5, MarkKind::Dent));
        let second = Decided::of(Some(&first), book, &rules, &job, &shop);
        let kept = second.on(&job.marks[&MarkId::from("a")].part).expect("a decision");
        assert!(Arc::ptr_eq(kept, &first.decisions[0]));
        assert_eq!(second.decisions.len(), 2);
    }
}
