//! Finds the best choice of a program: reduce, fall apart, bound, and branch where the bound leaves a gap.
//!
//! Exact: a branch is given up only when whole numbers prove that it holds nothing better. The same program gives the
//! same choice. Of choices that cost the same, the one whose ranks sum to less stands; of those, the first met.

use super::conflict::{self, Conflict};
use super::instance::Instance;
use super::reduce::{Rest, Weight};

/// The best choice of a program.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Solution {
    /// One option for each group, by place.
    pub choice: Vec<usize>,
    /// What it costs.
    pub cost: i64,
    /// How many times the search bounded a rest: 0 where reducing alone settled all.
    pub steps: u64,
}

/// The choice of least cost that keeps every hold and has no clash; of equals the one of least rank.
///
/// # Errors
/// Where no choice keeps all holds, the smallest conflict that shows it.
pub fn solve(instance: &Instance) -> Result<Solution, Conflict> {
    let mut search = Search::default();
    let found = search.best(Rest::of(instance), Weight::MOST);
    let Some((weight, picks)) = found else { return Err(conflict::explain(instance)) };
    let mut choice = vec![0; instance.groups.len()];
    for (group, option) in picks {
        choice[group] = option;
    }
    debug_assert_eq!(instance.evaluate(&choice), weight.cost, "the parts of the search add up");
    debug_assert!(instance.allows(&choice), "{choice:?} of {instance:?}");
    Ok(Solution { cost: instance.evaluate(&choice), choice, steps: search.steps })
}

/// Whether any choice keeps these holds: what [`solve`] needs to know and no more.
pub(super) fn feasible(instance: &Instance) -> bool {
    let mut free = instance.clone();
    for option in free.groups.iter_mut().flat_map(|group| &mut group.options) {
        *option = super::instance::Opt::default();
    }
    free.shared.clear();
    Search::default().best(Rest::of(&free), Weight::MOST).is_some()
}

/// A choice as pairs of (group, option) by the numbers of the instance.
type Picks = Vec<(usize, usize)>;

#[derive(Default)]
struct Search {
    steps: u64,
}

impl Search {
    /// The best choice of a rest that weighs less than `below`.
    fn best(&mut self, mut rest: Rest, below: Weight) -> Option<(Weight, Picks)> {
        if !rest.reduce() || rest.paid >= below {
            return None;
        }
        if rest.groups.is_empty() {
            return Some((rest.paid, rest.settled));
        }
        let parts = rest.split();
        if parts.len() == 1 {
            return self.whole(rest, below);
        }
        // What every other part costs at least counts against the one at hand.
        let least: Vec<Weight> = parts.iter().map(|part| part.bound().least).collect();
        let mut sum = least.iter().fold(rest.paid, |sum, one| sum + *one);
        let mut picks = rest.settled;
        for (part, least) in parts.into_iter().zip(least) {
            if sum >= below {
                return None;
            }
            let limit = if below == Weight::MOST { below } else { below - (sum - least) };
            let (weight, own) = self.best(part, limit)?;
            sum = sum - least + weight;
            picks.extend(own);
        }
        (sum < below).then_some((sum, picks))
    }

    /// The same for a rest that hangs together.
    fn whole(&mut self, mut rest: Rest, below: Weight) -> Option<(Weight, Picks)> {
        self.steps += 1;
        let bound = rest.bound();
        if bound.least >= below {
            return None;
        }
        let mut limit = below;
        let mut found = None;
        let mut offer = bound.choice.clone();
        if rest.clash_of(&offer).is_none() {
            let weight = rest.improve(&mut offer);
            if weight < limit {
                limit = weight;
                found = Some((weight, rest.picks(&offer)));
            }
        }
        if bound.least >= limit {
            return found;
        }
        // An option that the bound alone prices out of reach goes.
        let mut fewer = false;
        for ((group, costs), best) in rest.groups.iter_mut().zip(&bound.reduced).zip(&bound.choice) {
            let slack = |cost: Weight| bound.least + (cost - costs[*best]);
            let mut at = 0;
            group.options.retain(|_| {
                at += 1;
                let stays = limit == Weight::MOST || slack(costs[at - 1]) < limit;
                fewer |= !stays;
                stays
            });
        }
        if fewer {
            return self.best(rest, limit).or(found);
        }
        for branch in rest.branches(&bound.choice, &bound.gap) {
            if let Some(better) = self.best(branch, limit) {
                limit = better.0;
                found = Some(better);
            }
        }
        found
    }
}

impl Rest {
    fn picks(&self, choice: &[usize]) -> Picks {
        let open = self.groups.iter().zip(choice).map(|(group, at)| (group.id, group.options[*at].id));
        self.settled.iter().copied().chain(open).collect()
    }

    /// Two smaller rests that together hold every choice worth having.
    fn branches(self, choice: &[usize], gap: &[i64]) -> [Self; 2] {
        let widest = (0..gap.len()).filter(|at| gap[*at] > 0).max_by_key(|at| (gap[*at], std::cmp::Reverse(*at)));
        if let Some(at) = widest {
            return self.branch_on(at);
        }
        // The choice costs what the bound says but cannot stand: one of the two that clash goes, or the other does.
        let mut with = self;
        let pair = with.clash_of(choice).unwrap_or_default();
        let mut without = with.clone();
        for group in &mut with.groups {
            if group.id == pair[0].0 {
                group.options.retain(|option| option.id == pair[0].1);
            }
            if group.id == pair[1].0 {
                group.options.retain(|option| option.id != pair[1].1);
            }
        }
        for group in without.groups.iter_mut().filter(|group| group.id == pair[0].0) {
            group.options.retain(|option| option.id != pair[0].1);
        }
        [with, without]
    }

    fn branch_on(self, at: usize) -> [Self; 2] {
        let mut one = self;
        let mut other = one.clone();
        let waivers = std::mem::take(&mut other.shared[at].waivers);
        if !waivers.is_empty() {
            // Waived, or paid by whoever asks.
            for group in waivers {
                one.groups[group].options.retain(|option| option.waives.contains(&at));
            }
            one.shared[at].cost = 0;
            for option in other.groups.iter_mut().flat_map(|group| &mut group.options) {
                option.waives.retain(|known| *known != at);
            }
            return [other, one];
        }
        // Paid, or asked for by nobody.
        one.paid += Weight::of(one.shared[at].cost);
        one.shared[at].cost = 0;
        for group in &mut other.groups {
            group.options.retain(|option| !option.needs.contains(&at));
        }
        [one, other]
    }
}
