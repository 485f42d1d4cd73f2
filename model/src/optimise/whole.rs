//! The best of a whole job for each aim, and what each other option of a part would change.
//!
//! Joins program and search. Never lets a hold go without saying so: holds that cannot stand together are named, and the
//! rest is solved as if nobody had held them.

use super::candidates::{Candidates, Hold};
use super::instance::Instance;
use super::program::Program;
use super::search::solve;
use super::swap::Swaps;
use crate::catalogue::{Book, Part};
use crate::decide::Pick;
use crate::decide::section::staggered;
use crate::ids::PartId;
use crate::shop::Shop;
use crate::terms::Aim;
use crate::words::{Language, say};
use std::sync::Arc;

/// What something comes to for each aim, in the order of [`Aim::ALL`] and in the whole numbers of the program:
/// [`MONEY_UNITS`](crate::estimate::MONEY_UNITS)ths of a minor unit with tax, seconds of labour, seconds of all hands.
pub type Costs = [i64; Aim::ALL.len()];

/// The best of a whole job.
#[derive(Clone, Debug, PartialEq)]
pub struct Whole {
    /// The best for each aim, in the order of [`Aim::ALL`].
    pub best: Vec<Best>,
    /// What every other candidate would change in the best for the aim that was asked for, in the order of parts and
    /// candidates.
    pub changes: Vec<Change>,
    /// Holds that cannot stand together, if there are any; they are not followed.
    pub conflict: Option<HoldConflict>,
}

/// The best choice for one aim.
#[derive(Clone, Debug, PartialEq)]
pub struct Best {
    /// The aim.
    pub aim: Aim,
    /// What the choice comes to.
    pub costs: Costs,
    /// One candidate of each part, by place.
    pub choice: Vec<usize>,
    /// How often the search bounded a rest.
    pub steps: u64,
}

impl Best {
    /// What it comes to for its own aim: the least that is possible.
    pub fn cost(&self) -> i64 {
        self.costs[self.aim as usize]
    }
}

/// Holds that cannot stand together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HoldConflict {
    /// The parts that are held; none can be left out. Empty where the parts conflict without any hold.
    pub parts: Vec<PartId>,
    /// What is wrong and what to do, in words.
    pub text: String,
}

/// What another candidate of a part would change while all other parts stay as they are.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// The part's place.
    pub part: usize,
    /// The other candidate's place.
    pub candidate: usize,
    /// How much more it would come to; negative where it would be less.
    pub costs: Costs,
    /// Whether it cannot stand beside what is picked for another part.
    pub clashes: bool,
}

/// The best of a whole job for every aim, and what else could be done about the best for `aim`.
pub fn whole(book: &Book, shop: &Shop, parts: &[&Candidates], aim: Aim) -> Whole {
    let program = Program::new(book, shop, parts.iter().copied());
    let mut conflict = None;
    let instances: Vec<Instance> = Aim::ALL.iter().map(|aim| program.instance(*aim, shop)).collect();
    let best: Vec<Best> = Aim::ALL
        .iter()
        .map(|aim| {
            let (choice, steps) = settle(book, &instances[*aim as usize], parts, &mut conflict);
            let costs = [0, 1, 2].map(|aim: usize| instances[aim].evaluate(&choice));
            Best { aim: *aim, costs, choice, steps }
        })
        .collect();
    let changes = changes(&instances, &best[aim as usize].choice);
    Whole { best, changes, conflict }
}

/// The best choice, letting go of holds and, at last, of clashes that cannot be kept; the first is named.
fn settle(
    book: &Book,
    instance: &Instance,
    parts: &[&Candidates],
    conflict: &mut Option<HoldConflict>,
) -> (Vec<usize>, u64) {
    let mut eased = None;
    loop {
        let now = eased.as_ref().unwrap_or(instance);
        match solve(now) {
            Ok(found) => return (found.choice, found.steps),
            Err(why) => {
                conflict.get_or_insert_with(|| explain(book, now, parts, &why));
                let free: &mut Instance = eased.get_or_insert_with(|| instance.clone());
                if why.groups.is_empty() {
                    free.clashes.clear();
                }
                for group in why.groups {
                    free.groups[group].held = None;
                }
            }
        }
    }
}

fn changes(instances: &[Instance], choice: &[usize]) -> Vec<Change> {
    let swaps: Vec<Swaps<'_>> = instances.iter().map(|instance| Swaps::new(instance, choice)).collect();
    let mut out = Vec::new();
    for (part, chosen) in choice.iter().enumerate() {
        for candidate in (0..instances[0].groups[part].options.len()).filter(|at| at != chosen) {
            let costs = [0, 1, 2].map(|aim: usize| swaps[aim].change(part, candidate));
            let against = |one: (usize, usize), other: (usize, usize)| {
                one == (part, candidate) && other.0 != part && choice[other.0] == other.1
            };
            let mut clashes = instances[0].clashes.iter();
            let clashes = clashes.any(|clash| against(clash.one, clash.other) || against(clash.other, clash.one));
            out.push(Change { part, candidate, costs, clashes });
        }
    }
    out
}

/// The picks of a choice; cut lines of parts that lie on each other are moved apart where they may be.
pub fn picks(book: &Book, parts: &[&Candidates], choice: &[usize]) -> Vec<Pick> {
    let mut picks: Vec<Pick> = parts.iter().zip(choice).map(|(part, at)| part.list[*at].pick.clone()).collect();
    let cut: Vec<usize> = (0..picks.len()).filter(|at| picks[*at].section.is_some()).collect();
    let sections: Vec<_> =
        cut.iter().filter_map(|at| Some((book.part(&picks[*at].part)?, picks[*at].section.as_deref()?))).collect();
    if sections.len() < 2 || sections.len() != cut.len() {
        return picks;
    }
    let moved = staggered(&sections);
    for (at, plan) in cut.into_iter().zip(moved) {
        if picks[at].section.as_deref() != Some(&plan) {
            picks[at].section = Some(Arc::new(plan));
        }
    }
    picks
}

fn explain(book: &Book, instance: &Instance, parts: &[&Candidates], why: &super::Conflict) -> HoldConflict {
    let name = |group: &usize| {
        let part = &parts[*group].part;
        book.part(part).map_or_else(|| part.to_string(), Part::name_within)
    };
    let names: Vec<String> = why.groups.iter().map(name).collect();
    let reasons: Vec<&str> = why.clashes.iter().map(|at| instance.clashes[*at].why.as_str()).take(1).collect();
    let reason = reasons.concat();
    let text = match why.groups.as_slice() {
        [] => say(Language::English, "conflict-clash", &[("reason", &reason)]),
        [one] if instance.groups[*one].held.as_ref().is_some_and(Vec::is_empty) => {
            let part = parts[*one];
            match (part.hold, &part.refused) {
                (Hold::Cuts, Some(refused)) => {
                    say(Language::English, "conflict-cuts", &[("part", &names[0]), ("reason", refused)])
                }
                (Hold::Route | Hold::Cuts, _) => say(Language::English, "conflict-route", &[("part", &names[0])]),
                _ => say(Language::English, "conflict-one", &[("part", &names[0])]),
            }
        }
        _ => {
            let arguments = [("parts", &*names.join(", ")), ("reason", &*reason)];
            say(Language::English, "conflict-together", &arguments)
        }
    };
    HoldConflict { parts: why.groups.iter().map(|group| parts[*group].part.clone()).collect(), text }
}
