//! Why no choice is possible: the fewest holds that cannot stand together.
//!
//! Names what conflicts; never lets a hold go by itself.

use super::instance::Instance;
use super::search::feasible;

/// Why a program has no choice.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Conflict {
    /// Groups whose holds cannot stand together, rising; empty where there is no choice even without a hold. No hold of
    /// them can be left out, and where one or two holds conflict by themselves it is those.
    pub groups: Vec<usize>,
    /// Places of the clashes between options that these holds leave.
    pub clashes: Vec<usize>,
}

/// The conflict of a program that has no choice.
pub(super) fn explain(instance: &Instance) -> Conflict {
    let held: Vec<usize> = (0..instance.groups.len()).filter(|at| instance.groups[*at].held.is_some()).collect();
    let groups = smallest(instance, &held);
    let among = |end: (usize, usize)| groups.contains(&end.0) && instance.open(end.0).any(|at| at == end.1);
    let clashes = instance.clashes.iter().enumerate();
    let clashes = clashes.filter(|(_, clash)| among(clash.one) && among(clash.other)).map(|(at, _)| at).collect();
    Conflict { groups, clashes }
}

fn smallest(instance: &Instance, held: &[usize]) -> Vec<usize> {
    let fails = |kept: &[usize]| {
        let mut only = instance.clone();
        for (_, group) in only.groups.iter_mut().enumerate().filter(|(at, _)| !kept.contains(at)) {
            group.held = None;
        }
        !feasible(&only)
    };
    if fails(&[]) {
        return Vec::new();
    }
    if let Some(one) = held.iter().find(|one| fails(&[**one])) {
        return vec![*one];
    }
    let pairs = held.iter().enumerate().flat_map(|(n, one)| held[n + 1..].iter().map(move |other| [*one, *other]));
    if let Some(pair) = pairs.into_iter().find(|pair| fails(pair)) {
        return pair.to_vec();
    }
    // Leave out one hold after the other; what is still needed to fail stays.
    let mut kept = held.to_vec();
    for one in held {
        let without: Vec<usize> = kept.iter().copied().filter(|known| known != one).collect();
        if fails(&without) {
            kept = without;
        }
    }
    kept
}
