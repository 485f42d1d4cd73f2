//! Random programs, from a seed: groups of options, what they share, what waives it, what clashes.

pub mod jobs;

use checks::Numbers;
use model::optimise::{Clash, Group, Instance, Opt, Shared};

/// How large a random program is.
#[derive(Clone, Copy)]
pub struct Size {
    pub groups: usize,
    pub options: usize,
    pub shared: usize,
    pub clashes: usize,
    /// Needs of an option at most.
    pub needs: usize,
}

fn whole(numbers: &mut Numbers, below: usize) -> i64 {
    i64::try_from(numbers.below(below)).expect("small")
}

/// A random program; small costs make ties likely, large ones strain the arithmetic.
pub fn random(numbers: &mut Numbers, size: Size) -> Instance {
    let scale = [10, 1_000, 100_000_000][numbers.below(3)];
    let mut instance = Instance::default();
    for _ in 0..size.shared {
        let mut waivers = Vec::new();
        if numbers.below(3) == 0 {
            waivers = (0..1 + numbers.below(2)).map(|_| numbers.below(size.groups)).collect();
            waivers.sort_unstable();
            waivers.dedup();
        }
        instance.shared.push(Shared { cost: whole(numbers, scale), waivers });
    }
    for group in 0..size.groups {
        let count = 1 + numbers.below(size.options);
        let waivable: Vec<usize> =
            (0..size.shared).filter(|at| instance.shared[*at].waivers.contains(&group)).collect();
        let options = (0..count).map(|_| {
            let mut needs: Vec<usize> = if size.shared == 0 {
                Vec::new()
            } else {
                (0..numbers.below(size.needs + 1)).map(|_| numbers.below(size.shared)).collect()
            };
            needs.sort_unstable();
            needs.dedup();
            let waives = waivable.iter().copied().filter(|_| numbers.below(2) == 0).collect();
            let sign = if numbers.below(20) == 0 { -1 } else { 1 };
            let rank = u32::try_from(numbers.below(6)).expect("small");
            Opt { cost: sign * whole(numbers, 2 * scale), rank, needs, waives }
        });
        instance.groups.push(Group { options: options.collect(), held: None });
    }
    for number in 0..size.clashes {
        let (one, other) = (numbers.below(size.groups), numbers.below(size.groups));
        if one != other {
            let end =
                |group: usize, numbers: &mut Numbers| (group, numbers.below(instance.groups[group].options.len()));
            let (one, other) = (end(one, numbers), end(other, numbers));
            instance.clashes.push(Clash { one, other, why: format!("clash {number}") });
        }
    }
    instance
}

/// The best choice by trying all: cost and rank, `None` where none is allowed.
pub fn exhaustive(instance: &Instance) -> Option<(i64, u64)> {
    let mut choice = vec![0; instance.groups.len()];
    let mut best = None;
    loop {
        if instance.allows(&choice) {
            let now = (instance.evaluate(&choice), instance.rank(&choice));
            if best.is_none_or(|best| now < best) {
                best = Some(now);
            }
        }
        let mut at = 0;
        loop {
            if at == choice.len() {
                return best;
            }
            choice[at] += 1;
            if choice[at] < instance.groups[at].options.len() {
                break;
            }
            choice[at] = 0;
            at += 1;
        }
    }
}
