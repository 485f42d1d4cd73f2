//! The candidates of all parts as one program for each aim.
//!
//! Work that several parts ask for is shared and paid once; so is each kind of wait, as long as the longest, and the
//! time until the last service part is there, day by day. Adds no cost of its own.

use super::candidates::{Candidate, Candidates, Needless, Piece};
use super::cost::Cost;
use super::instance::{Clash, Group, Instance, Opt, Shared};
use super::mps::Labels;
use crate::catalogue::{Book, Part};
use crate::decide::SectionPlan;
use crate::decide::section::{STAGGER_MM, clash};
use crate::estimate::Tariff;
use crate::ids::PartId;
use crate::operations::{Amount, AtJoints, Renewed, TaskKey, left_to};
use crate::shop::Shop;
use crate::terms::{Aim, Wait, Work};

/// The whole job as a program.
#[derive(Debug)]
pub struct Program<'c> {
    /// The parts, in the order of their ids.
    pub parts: Vec<&'c Candidates>,
    groups: Vec<Vec<Slot>>,
    shared: Vec<Thing<'c>>,
    clashes: Vec<Clash>,
}

/// One option of the program.
#[derive(Debug)]
struct Slot {
    own: Cost,
    rank: u32,
    needs: Vec<usize>,
    waives: Vec<usize>,
}

/// A shared thing.
#[derive(Debug)]
struct Thing<'c> {
    what: What<'c>,
    cost: Cost,
    /// Working seconds during which the truck stands and nobody works on it.
    standing: i64,
    waivers: Vec<usize>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum What<'c> {
    Work(TaskKey),
    /// Work of the first part at its joints with the second, beyond the next smaller step.
    Joint(&'c PartId, &'c PartId, usize),
    /// Waiting up to so many seconds, beyond the next shorter wait of the kind.
    Wait(Wait, i64),
    /// Waiting for parts up to so many working days, beyond the next earlier delivery.
    Delivery(u32),
}

/// What an option leaves to the ways in which another part is renewed, in steps from the least that is saved: the cost
/// saved up to that step, and the ways that save as much.
type Steps = Vec<(Cost, Vec<usize>)>;

/// The ways in which the candidates of a part renew it at its joints, each with the options that do.
fn ways<'a>(known: &Part, part: &'a Candidates) -> Vec<(Renewed<'a>, Vec<usize>)> {
    let mut out: Vec<(Renewed<'a>, Vec<usize>)> = Vec::new();
    for (at, candidate) in part.list.iter().enumerate() {
        let Some(way) = Renewed::of_joined(known, &candidate.pick) else { continue };
        match out.iter_mut().find(|(known, _)| *known == way) {
            Some((_, options)) => options.push(at),
            None => out.push((way, vec![at])),
        }
    }
    out
}

fn steps(
    tariff: &Tariff<'_>,
    joints: &[(Work, AtJoints)],
    lefts: &[f64],
    amount: impl Fn(&AtJoints) -> Amount,
) -> Steps {
    let saved = |left: f64| {
        joints.iter().fold(Cost::default(), |sum, (work, joints)| {
            let one = super::cost::of_joints(&tariff.task(*work, None), &amount(&AtJoints { share: left, ..*joints }));
            Cost { money: sum.money + one.money, seconds: sum.seconds + one.seconds }
        })
    };
    let mut each: Vec<(Cost, usize)> =
        lefts.iter().enumerate().filter(|(_, left)| **left > 0.0).map(|(way, left)| (saved(*left), way)).collect();
    each.retain(|(cost, _)| *cost != Cost::default());
    // More left is never less saved, in money and in time alike.
    each.sort_by_key(|(cost, way)| (cost.money, cost.seconds, *way));
    let mut out: Steps = Vec::new();
    for (cost, _) in &each {
        if out.last().is_none_or(|(known, _)| known != cost) {
            let taken = each.iter().filter(|(other, _)| (other.money, other.seconds) >= (cost.money, cost.seconds));
            out.push((*cost, taken.map(|(_, way)| *way).collect()));
        }
    }
    out
}

impl<'c> Program<'c> {
    /// Puts the candidates of all damaged parts together.
    pub fn new(book: &Book, shop: &Shop, parts: impl IntoIterator<Item = &'c Candidates>) -> Self {
        let parts: Vec<&Candidates> = parts.into_iter().collect();
        let slot = |at: usize, candidate: &Candidate| Slot {
            own: candidate.own,
            rank: candidate.pick.action as u32 * 1_000 + u32::try_from(at.min(999)).unwrap_or(999),
            needs: Vec::new(),
            waives: Vec::new(),
        };
        let groups = parts
            .iter()
            .map(|part| part.list.iter().enumerate().map(|(at, candidate)| slot(at, candidate)).collect())
            .collect();
        let mut program = Self { parts, groups, shared: Vec::new(), clashes: Vec::new() };
        program.share_work();
        program.share_joints(book, &Tariff::new(shop));
        program.share_waits();
        program.share_deliveries(shop);
        program.clashes = clashes(book, &program.parts);
        program
    }

    /// Work for which candidates of several parts ask becomes shared, other work an option's own.
    fn share_work(&mut self) {
        let mut uses: Vec<(TaskKey, usize, usize)> = Vec::new();
        for (group, part) in self.parts.iter().enumerate() {
            uses.extend(part.pieces.iter().enumerate().map(|(at, piece)| (piece.task, group, at)));
        }
        uses.sort_unstable();
        // The shared thing that each piece of each part has become.
        let mut numbers: Vec<Vec<Option<usize>>> =
            self.parts.iter().map(|part| vec![None; part.pieces.len()]).collect();
        let mut from = 0;
        while from < uses.len() {
            let (task, first, at) = uses[from];
            let same = uses[from..].iter().take_while(|(known, _, _)| *known == task).count();
            let all = &uses[from..from + same];
            from += same;
            let piece = &self.parts[first].pieces[at];
            if all.iter().all(|(_, group, _)| *group == first) && piece.needless == Needless::Never {
                continue;
            }
            debug_assert!(
                all.iter().all(|(_, group, at)| self.parts[*group].pieces[*at].cost == piece.cost),
                "{task:?} costs the same whoever asks"
            );
            let waivers = self.waivers(piece);
            let number = self.shared.len();
            for group in &waivers {
                for (candidate, slot) in self.parts[*group].list.iter().zip(&mut self.groups[*group]) {
                    let waives = match piece.needless {
                        Needless::Never => false,
                        Needless::Refinished(_) => candidate.refinishes,
                    };
                    if waives {
                        slot.waives.push(number);
                    }
                }
            }
            for (_, group, at) in all {
                numbers[*group][*at] = Some(number);
            }
            self.shared.push(Thing { what: What::Work(task), cost: piece.cost, standing: 0, waivers });
        }
        for ((part, slots), numbers) in self.parts.iter().zip(&mut self.groups).zip(numbers) {
            for (candidate, slot) in part.list.iter().zip(slots) {
                for at in &candidate.pieces {
                    match numbers[*at] {
                        Some(number) => slot.needs.push(number),
                        None => {
                            slot.own.money += part.pieces[*at].cost.money;
                            slot.own.seconds += part.pieces[*at].cost.seconds;
                        }
                    }
                }
                slot.needs.sort_unstable();
            }
        }
    }

    /// The groups that together make a piece needless; empty where nothing does.
    fn waivers(&self, piece: &Piece) -> Vec<usize> {
        let group = |part: &PartId| self.parts.iter().position(|known| known.part == *part);
        match &piece.needless {
            Needless::Never => Vec::new(),
            Needless::Refinished(part) => group(part).into_iter().collect(),
        }
    }

    /// Work at a factory joint that a part leaves to another, by [`left_to`]: an option has it for nothing and pays for it
    /// unless the other part takes it. What it leaves depends on both options, so that there is a thing for each step
    /// from the least that the other part may take to the most.
    fn share_joints(&mut self, book: &Book, tariff: &Tariff<'_>) {
        let parts = self.parts.clone();
        let places: Vec<Option<usize>> = parts.iter().map(|part| book.index.get(&part.part).copied()).collect();
        let known: Vec<Option<&Part>> = places.iter().map(|at| at.map(|at| &book.parts[at])).collect();
        let ways: Vec<Vec<(Renewed<'_>, Vec<usize>)>> = parts
            .iter()
            .zip(&known)
            .map(|(part, known)| known.map_or_else(Vec::new, |known| ways(known, part)))
            .collect();
        for group in 0..parts.len() {
            let (Some(part), Some(at_part)) = (known[group], places[group]) else { continue };
            let joints = &book.facts().parts[at_part].joints;
            for other in (0..parts.len()).filter(|other| *other != group && !ways[*other].is_empty()) {
                let joined = places[other].filter(|at| joints.iter().any(|joint| joint.to == Some(*at)));
                let (Some(there), Some(at_other)) = (known[other], joined) else { continue };
                // Options that leave the same for the same ask for the same things.
                let mut asked: Vec<(Steps, Vec<usize>)> = Vec::new();
                for (own, options) in &ways[group] {
                    let lefts: Vec<f64> =
                        ways[other].iter().map(|(way, _)| left_to((part, *own), (there, *way))).collect();
                    if lefts.iter().all(|left| *left <= 0.0) {
                        continue;
                    }
                    for at in options {
                        let pieces = parts[group].list[*at].pieces.iter().map(|at| &parts[group].pieces[*at]);
                        let joints: Vec<(Work, AtJoints)> =
                            pieces.filter_map(|piece| Some((piece.task.work, piece.joints?))).collect();
                        let steps = steps(tariff, &joints, &lefts, |joints| joints.with(book, at_part, at_other));
                        let Some((most, _)) = steps.last() else { continue };
                        let slot = &mut self.groups[group][*at];
                        slot.own.money -= most.money;
                        slot.own.seconds -= most.seconds;
                        if let Some((_, things)) = asked.iter().find(|(known, _)| *known == steps) {
                            slot.needs.extend(things);
                            continue;
                        }
                        let mut below = Cost::default();
                        let mut things = Vec::new();
                        for (cost, taken) in &steps {
                            let number = self.shared.len();
                            let what = What::Joint(&parts[group].part, &parts[other].part, number);
                            let more = Cost { money: cost.money - below.money, seconds: cost.seconds - below.seconds };
                            self.shared.push(Thing { what, cost: more, standing: 0, waivers: vec![other] });
                            for option in taken.iter().flat_map(|way| &ways[other][*way].1) {
                                self.groups[other][*option].waives.push(number);
                            }
                            things.push(number);
                            below = *cost;
                        }
                        self.groups[group][*at].needs.extend(&things);
                        asked.push((steps, things));
                    }
                }
            }
        }
    }

    /// Each kind of wait counts once, as long as the longest.
    fn share_waits(&mut self) {
        for kind in Wait::ALL {
            let parts = self.parts.clone();
            let longest = |part: &Candidates, candidate: &Candidate| -> i64 {
                let waits = candidate.pieces.iter().filter_map(|at| part.pieces[*at].wait);
                waits.filter(|(known, _)| known == kind).map(|(_, seconds)| seconds).max().unwrap_or(0)
            };
            let levels = parts.iter().map(|part| part.list.iter().map(|one| longest(part, one)).collect()).collect();
            self.share_levels(levels, |to, more| Thing {
                what: What::Wait(*kind, to),
                cost: Cost::default(),
                standing: more,
                waivers: Vec::new(),
            });
        }
    }

    /// The truck waits for the service part that comes last, and is stored so long.
    fn share_deliveries(&mut self, shop: &Shop) {
        let (day, storage) = (super::cost::day_seconds(shop), super::cost::storage_per_day(shop));
        let lead = |part: &&Candidates| part.list.iter().map(|one| i64::from(one.lead_days)).collect();
        let levels = self.parts.iter().map(lead).collect();
        self.share_levels(levels, |to, more| Thing {
            what: What::Delivery(u32::try_from(to).unwrap_or(u32::MAX)),
            cost: Cost { money: storage * more, seconds: 0 },
            standing: day * more,
            waivers: Vec::new(),
        });
    }

    /// One shared thing for each level above 0; an option asks for all levels up to its own.
    fn share_levels(&mut self, levels: Vec<Vec<i64>>, thing: impl Fn(i64, i64) -> Thing<'c>) {
        let mut steps: Vec<i64> = levels.iter().flatten().copied().filter(|level| *level > 0).collect();
        steps.sort_unstable();
        steps.dedup();
        let mut before = 0;
        for step in steps {
            let number = self.shared.len();
            for (group, levels) in self.groups.iter_mut().zip(&levels) {
                for (slot, _) in group.iter_mut().zip(levels).filter(|(_, level)| **level >= step) {
                    slot.needs.push(number);
                }
            }
            self.shared.push(thing(step, step - before));
            before = step;
        }
    }

    /// The program for an aim. Shared things that cost nothing under it are left in; they change nothing.
    pub fn instance(&self, aim: Aim, shop: &Shop) -> Instance {
        let hands = i64::from(shop.times.pace.hands);
        let cost = |cost: Cost, standing: i64| match aim {
            Aim::Money => cost.money,
            Aim::Hours => cost.seconds,
            Aim::Days => cost.seconds + hands * standing,
        };
        let groups = self.groups.iter().zip(&self.parts).map(|(slots, part)| {
            let options = slots.iter().map(|slot| Opt {
                cost: cost(slot.own, 0),
                rank: slot.rank,
                needs: slot.needs.clone(),
                waives: slot.waives.clone(),
            });
            Group { options: options.collect(), held: part.held.clone() }
        });
        let shared = self
            .shared
            .iter()
            .map(|thing| Shared { cost: cost(thing.cost, thing.standing), waivers: thing.waivers.clone() });
        Instance { groups: groups.collect(), shared: shared.collect(), clashes: self.clashes.clone() }
    }

    /// Names for the program's file.
    pub fn labels(&self, book: &Book, name: &str, per: i64) -> Labels {
        let option = |candidate: &Candidate| {
            let pick = &candidate.pick;
            let mut name = pick.action.word().to_owned();
            if let Some(route) = pick.route {
                name = format!("{name}/{route}");
            }
            if let Some(section) = &pick.section {
                let cells: Vec<&str> = section.cells.iter().map(crate::ids::CellId::as_str).collect();
                name = format!("{name}/{}", cells.join("+"));
            }
            name
        };
        let options = |part: &&Candidates| {
            let mut names: Vec<String> = part.list.iter().map(option).collect();
            for at in 1..names.len() {
                if names[..at].contains(&names[at]) {
                    names[at] = format!("{}/{at}", names[at]);
                }
            }
            names
        };
        let shared = |thing: &Thing<'_>| match thing.what {
            What::Work(task) => task.id(book).to_string(),
            What::Joint(part, other, number) => format!("joint/{part}/{other}/{number}"),
            What::Wait(kind, seconds) => format!("wait/{kind}/{seconds}"),
            What::Delivery(days) => format!("delivery/{days}"),
        };
        Labels {
            name: name.to_owned(),
            groups: self.parts.iter().map(|part| part.part.to_string()).collect(),
            options: self.parts.iter().map(options).collect(),
            shared: self.shared.iter().map(shared).collect(),
            per,
        }
    }
}

/// Sections of parts that lie on each other whose joints would come too near wherever their lines are moved.
fn clashes(book: &Book, parts: &[&Candidates]) -> Vec<Clash> {
    let cut: Vec<(usize, &Part, Vec<Sections<'_>>)> = parts
        .iter()
        .enumerate()
        .filter_map(|(group, part)| {
            let sections = distinct(part);
            (!sections.is_empty()).then_some((group, book.part(&part.part)?, sections))
        })
        .collect();
    let mut out = Vec::new();
    for (at, (group, part, sections)) in cut.iter().enumerate() {
        for (other_group, other, other_sections) in &cut[at + 1..] {
            if !part.joints.iter().any(|joint| joint.to == other.id) {
                continue;
            }
            for (plan, options) in sections {
                for (other_plan, other_options) in other_sections.iter().filter(|(other, _)| nearby(plan, other)) {
                    let Some(found) = clash(part, plan, other, other_plan) else { continue };
                    let why = found.words(part, other);
                    for one in options {
                        let pairs = other_options.iter().map(|option| (*other_group, *option));
                        out.extend(pairs.map(|other| Clash { one: (*group, *one), other, why: why.clone() }));
                    }
                }
            }
        }
    }
    out
}

/// A section with the candidates that use it.
type Sections<'c> = (&'c SectionPlan, Vec<usize>);

fn distinct(part: &Candidates) -> Vec<Sections<'_>> {
    let mut out: Vec<Sections<'_>> = Vec::new();
    for (at, candidate) in part.list.iter().enumerate() {
        let Some(plan) = candidate.pick.section.as_deref() else { continue };
        match out.iter_mut().find(|(known, _)| *known == plan) {
            Some((_, options)) => options.push(at),
            None => out.push((plan, vec![at])),
        }
    }
    out
}

/// Whether two lines of the sections come near enough at all that it is worth looking closely.
fn nearby(plan: &SectionPlan, other: &SectionPlan) -> bool {
    plan.cuts.iter().any(|cut| {
        let (from, to) = cut.line;
        let length = from.distance(to).max(1.0);
        let left = |a: f64, b: f64| ((to.a - from.a) * (b - from.b) - (to.b - from.b) * (a - from.a)) / length;
        other.cuts.iter().any(|second| {
            let (one, two) = (left(second.line.0.a, second.line.0.b), left(second.line.1.a, second.line.1.b));
            one.min(two) < STAGGER_MM && one.max(two) > -STAGGER_MM
        })
    })
}
