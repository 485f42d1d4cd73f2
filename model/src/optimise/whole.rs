//! The best of a whole job for each aim, and what each other option of a part would change.
//!
//! Joins program and search. Never lets a hold go without saying so: holds that cannot stand together are named, and the
//! rest is solved as if nobody had held them.

use super::candidates::{Candidates, Hold};
use super::cost::{self, MONEY_UNITS};
use super::instance::Instance;
use super::program::Program;
use super::search::solve;
use super::swap::Swaps;
use crate::catalogue::{Book, Part};
use crate::decide::Pick;
use crate::ids::PartId;
use crate::shop::Shop;
use crate::terms::Aim;
use crate::words::{Language, say};

/// The best of a whole job.
#[derive(Clone, Debug, PartialEq)]
pub struct Whole {
    /// The best for each aim, in the order of [`Aim::ALL`].
    pub best: Vec<Best>,
    /// Holds that cannot stand together, if there are any; they are not followed.
    pub conflict: Option<HoldConflict>,
}

/// The best choice for one aim.
#[derive(Clone, Debug, PartialEq)]
pub struct Best {
    /// The aim.
    pub aim: Aim,
    /// What it costs, in the whole numbers of the program.
    pub cost: i64,
    /// One candidate of each part, by place.
    pub choice: Vec<usize>,
    /// How often the search bounded a rest.
    pub steps: u64,
}

/// Holds that cannot stand together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HoldConflict {
    /// The parts that are held; none can be left out.
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
    /// More money, in [`MONEY_UNITS`]ths of a minor unit, tax included.
    pub money: i64,
    /// More labour, seconds.
    pub seconds: i64,
    /// More time in the shop, in the numerator of [`per`].
    pub days: i64,
}

/// How many whole numbers of the program make one unit in which a person counts: a currency unit, an hour, a day.
pub fn per(shop: &Shop, aim: Aim) -> i64 {
    match aim {
        Aim::Money => MONEY_UNITS * cost::minor_units(shop),
        Aim::Hours => 3_600,
        Aim::Days => i64::from(shop.times.pace.hands) * cost::day_seconds(shop),
    }
}

/// The best of a whole job for every aim.
pub fn whole(book: &Book, shop: &Shop, parts: &[&Candidates]) -> Whole {
    let program = Program::new(book, shop, parts.iter().copied());
    let mut conflict = None;
    let best = Aim::ALL
        .iter()
        .map(|aim| {
            let mut instance = program.instance(*aim, shop);
            loop {
                match solve(&instance) {
                    Ok(found) => {
                        break Best { aim: *aim, cost: found.cost, choice: found.choice, steps: found.steps };
                    }
                    Err(why) => {
                        conflict.get_or_insert_with(|| explain(book, &instance, parts, &why.groups));
                        for group in why.groups {
                            instance.groups[group].held = None;
                        }
                    }
                }
            }
        })
        .collect();
    Whole { best, conflict }
}

/// What every other candidate of every part would change in a choice, in the order of parts and candidates.
pub fn changes(book: &Book, shop: &Shop, parts: &[&Candidates], choice: &[usize]) -> Vec<Change> {
    let program = Program::new(book, shop, parts.iter().copied());
    let instances: Vec<Instance> = Aim::ALL.iter().map(|aim| program.instance(*aim, shop)).collect();
    let swaps: Vec<Swaps<'_>> = instances.iter().map(|instance| Swaps::new(instance, choice)).collect();
    let mut out = Vec::new();
    for (part, chosen) in choice.iter().enumerate() {
        for candidate in (0..parts[part].list.len()).filter(|at| at != chosen) {
            let [money, seconds, days] = [0, 1, 2].map(|aim: usize| swaps[aim].change(part, candidate));
            out.push(Change { part, candidate, money, seconds, days });
        }
    }
    out
}

/// The picks of a choice.
pub fn picks(parts: &[&Candidates], choice: &[usize]) -> Vec<Pick> {
    parts.iter().zip(choice).map(|(part, at)| part.list[*at].pick.clone()).collect()
}

fn explain(book: &Book, instance: &Instance, parts: &[&Candidates], groups: &[usize]) -> HoldConflict {
    let name = |group: &usize| {
        let part = &parts[*group].part;
        book.part(part).map_or_else(|| part.to_string(), Part::name_within)
    };
    let names: Vec<String> = groups.iter().map(name).collect();
    let text = match groups {
        [one] if instance.groups[*one].held.as_ref().is_some_and(Vec::is_empty) => {
            let key = match parts[*one].hold {
                Hold::Route => "conflict-route",
                Hold::Cuts => "conflict-cuts",
                Hold::Action | Hold::None => "conflict-one",
            };
            say(Language::English, key, &[("part", &names[0])])
        }
        _ => say(Language::English, "conflict-together", &[("parts", &names.join(", "))]),
    };
    HoldConflict { parts: groups.iter().map(|group| parts[*group].part.clone()).collect(), text }
}
