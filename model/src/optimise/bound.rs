//! What the rest of a program costs at least, and a good choice for it.
//!
//! Each shared thing is split among the groups that ask for it: a group then picks its cheapest option alone, and the
//! sum over the groups is a lower bound whatever the split (it is the dual of the linear relaxation). The split is
//! improved thing by thing in whole numbers, so the bound is exact; it never claims more than is proven.

use super::reduce::{Rest, Weight};

/// How often every shared thing is split again before the search branches.
const ROUNDS: usize = 12;

/// A split with the bound that it proves.
pub(super) struct Bound {
    /// Cost of each option with its group's shares of what it asks for.
    pub(super) reduced: Vec<Vec<Weight>>,
    /// What the rest costs at least, with what is paid already.
    pub(super) least: Weight,
    /// The cheapest option of each group under the split.
    pub(super) choice: Vec<usize>,
    /// Of each shared thing how much of its cost the split does not reach under that choice.
    pub(super) gap: Vec<i64>,
}

/// One shared thing under the split.
struct Share {
    /// Groups of which an option asks, each with its share.
    groups: Vec<(usize, i64)>,
    /// The group whose waiving options are credited with the shares.
    credited: Option<usize>,
}

impl Rest {
    /// Splits and bounds.
    pub(super) fn bound(&self) -> Bound {
        let mut reduced: Vec<Vec<Weight>> =
            self.groups.iter().map(|group| group.options.iter().map(|option| option.cost).collect()).collect();
        let mut shares: Vec<Share> = self
            .asking()
            .into_iter()
            .map(|groups| Share { groups: groups.into_iter().map(|group| (group, 0)).collect(), credited: None })
            .collect();
        let mut before = i64::MIN;
        for _ in 0..ROUNDS {
            for (at, share) in shares.iter_mut().enumerate() {
                self.split_again(at, share, &mut reduced);
            }
            let now = reduced.iter().map(|costs| least(costs).1.cost).sum();
            if now <= before {
                break;
            }
            before = now;
        }
        let choice: Vec<usize> = reduced.iter().map(|costs| least(costs).0).collect();
        let sum = reduced.iter().map(|costs| least(costs).1).fold(self.paid, |sum, one| sum + one);
        let gap = shares.iter().enumerate().map(|(at, share)| self.gap(at, share, &choice)).collect();
        Bound { reduced, least: sum, choice, gap }
    }

    /// Groups that ask for each shared thing.
    fn asking(&self) -> Vec<Vec<usize>> {
        let mut out: Vec<Vec<usize>> = vec![Vec::new(); self.shared.len()];
        for (number, group) in self.groups.iter().enumerate() {
            for at in group.options.iter().flat_map(|option| &option.needs) {
                if out[*at].last() != Some(&number) {
                    out[*at].push(number);
                }
            }
        }
        out
    }

    /// Splits one shared thing anew so that the bound rises as far as this thing alone can lift it.
    fn split_again(&self, at: usize, share: &mut Share, reduced: &mut [Vec<Weight>]) {
        self.charge(at, share, reduced, -1);
        // How much dearer each group's way without the thing is than its way with it: so much it would pay.
        let worth = |group: usize, names: &dyn Fn(&super::reduce::RestOption) -> bool| -> i64 {
            let (mut with, mut without) = (Weight::MOST, Weight::MOST);
            for (option, cost) in self.groups[group].options.iter().zip(&reduced[group]) {
                let side = if names(option) { &mut with } else { &mut without };
                *side = (*side).min(*cost);
            }
            if without == Weight::MOST { i64::MAX } else { without.cost.saturating_sub(with.cost) }
        };
        let shared = &self.shared[at];
        let mut budget = shared.cost;
        share.credited = None;
        if !shared.waivers.is_empty() {
            // A waiving option gets all shares back: no more may be shared out than it costs more to waive.
            let dear = |group: &usize| -worth(*group, &|option| option.waives.contains(&at));
            let best = shared.waivers.iter().map(|group| (dear(group), *group)).max();
            let Some((room, group)) = best.filter(|(room, _)| *room > 0) else {
                for (_, amount) in &mut share.groups {
                    *amount = 0;
                }
                return;
            };
            budget = budget.min(room);
            share.credited = Some(group);
        }
        let wanted: Vec<i64> = share
            .groups
            .iter()
            .map(|(group, _)| {
                // A share of the credited group itself would move both of its sides.
                if share.credited == Some(*group) {
                    return 0;
                }
                worth(*group, &|option| option.needs.contains(&at)).clamp(0, budget)
            })
            .collect();
        let total: i128 = wanted.iter().map(|one| i128::from(*one)).sum();
        let mut left = budget;
        for ((_, amount), wanted) in share.groups.iter_mut().zip(&wanted) {
            *amount = if total <= i128::from(budget) {
                *wanted
            } else {
                // Whole numbers below the budget; the sum never passes it.
                i64::try_from(i128::from(*wanted) * i128::from(budget) / total).unwrap_or(0)
            };
            left -= *amount;
        }
        // What is left over goes where it is still wanted, then evenly.
        for ((_, amount), wanted) in share.groups.iter_mut().zip(&wanted) {
            let more = (*wanted - *amount).clamp(0, left);
            *amount += more;
            left -= more;
        }
        if share.credited.is_none() {
            let count = i64::try_from(share.groups.len()).unwrap_or(i64::MAX).max(1);
            for (_, amount) in &mut share.groups {
                *amount += left / count;
            }
        }
        self.charge(at, share, reduced, 1);
    }

    /// Adds the shares of one thing to the options that ask for it, or takes them away again.
    fn charge(&self, at: usize, share: &Share, reduced: &mut [Vec<Weight>], sign: i64) {
        let mut sum = 0;
        for (group, amount) in share.groups.iter().filter(|(_, amount)| *amount != 0) {
            sum += amount;
            for (option, cost) in self.groups[*group].options.iter().zip(&mut reduced[*group]) {
                if option.needs.contains(&at) {
                    cost.cost += sign * amount;
                }
            }
        }
        if let Some(group) = share.credited {
            for (option, cost) in self.groups[group].options.iter().zip(&mut reduced[group]) {
                if option.waives.contains(&at) {
                    cost.cost -= sign * sum;
                }
            }
        }
    }

    fn gap(&self, at: usize, share: &Share, choice: &[usize]) -> i64 {
        let asks = |group: usize| self.groups[group].options[choice[group]].needs.contains(&at);
        let waives = |group: usize| self.groups[group].options[choice[group]].waives.contains(&at);
        let shared = &self.shared[at];
        let waived = !shared.waivers.is_empty() && shared.waivers.iter().all(|group| waives(*group));
        let mut charged: i64 = share.groups.iter().filter(|(group, _)| asks(*group)).map(|(_, amount)| amount).sum();
        if share.credited.is_some_and(waives) {
            charged -= share.groups.iter().map(|(_, amount)| amount).sum::<i64>();
        }
        let paid = if !waived && share.groups.iter().any(|(group, _)| asks(*group)) { shared.cost } else { 0 };
        paid - charged
    }

    /// What a choice costs in all, by cost and rank; one place for each open group.
    pub(super) fn price(&self, choice: &[usize]) -> Weight {
        let mut asked = vec![false; self.shared.len()];
        let mut sum = self.paid;
        for (group, at) in self.groups.iter().zip(choice) {
            sum += group.options[*at].cost;
            for at in &group.options[*at].needs {
                asked[*at] = true;
            }
        }
        for (at, shared) in self.shared.iter().enumerate().filter(|(at, _)| asked[*at]) {
            let waives = |group: &usize| self.groups[*group].options[choice[*group]].waives.contains(&at);
            if shared.waivers.is_empty() || !shared.waivers.iter().all(waives) {
                sum += Weight::of(shared.cost);
            }
        }
        sum
    }

    /// The first clash of a choice.
    pub(super) fn clash_of(&self, choice: &[usize]) -> Option<[(usize, usize); 2]> {
        let has = |(group, option): (usize, usize)| {
            let place = self.groups.iter().position(|known| known.id == group);
            place.is_some_and(|place| self.groups[place].options[choice[place]].id == option)
        };
        self.clashes.iter().find(|pair| has(pair[0]) && has(pair[1])).copied()
    }

    /// Changes one group after the other as long as that makes the choice cheaper; a choice without a clash keeps so.
    pub(super) fn improve(&self, choice: &mut [usize]) -> Weight {
        let mut best = self.price(choice);
        loop {
            let before = best;
            for group in 0..choice.len() {
                for option in 0..self.groups[group].options.len() {
                    let old = std::mem::replace(&mut choice[group], option);
                    let now = self.price(choice);
                    if now < best && self.clash_of(choice).is_none() {
                        best = now;
                    } else {
                        choice[group] = old;
                    }
                }
            }
            if best == before {
                return best;
            }
        }
    }
}

/// Place and cost of the cheapest option, the first of equals.
fn least(costs: &[Weight]) -> (usize, Weight) {
    costs.iter().copied().enumerate().min_by_key(|(at, cost)| (*cost, *at)).unwrap_or((0, Weight::MOST))
}
