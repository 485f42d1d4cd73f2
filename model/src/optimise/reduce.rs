//! Makes a program smaller without losing its best choice: what must be paid is paid, what cannot be best goes, what
//! nobody shares becomes an option's own cost, and what hangs together by nothing falls apart.
//!
//! Every step keeps at least one best choice, compared by cost and then by rank. Never looks at more than one program.

use super::instance::Instance;
use std::ops::{Add, AddAssign, Sub};

/// Cost, then rank: compared in that order, added each by itself.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Weight {
    pub(super) cost: i64,
    pub(super) rank: i64,
}

impl Weight {
    pub(super) const MOST: Self = Self { cost: i64::MAX, rank: i64::MAX };

    pub(super) fn of(cost: i64) -> Self {
        Self { cost, rank: 0 }
    }
}

impl Add for Weight {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self { cost: self.cost + other.cost, rank: self.rank + other.rank }
    }
}

impl Sub for Weight {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self { cost: self.cost - other.cost, rank: self.rank - other.rank }
    }
}

impl AddAssign for Weight {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

/// Groups that are still open, with what they share.
#[derive(Clone, Debug, Default)]
pub(super) struct Rest {
    pub(super) groups: Vec<RestGroup>,
    pub(super) shared: Vec<RestShared>,
    /// Pairs of (group, option) by the numbers of the instance.
    pub(super) clashes: Vec<[(usize, usize); 2]>,
    /// What is paid in any case.
    pub(super) paid: Weight,
    /// Groups that are settled, with their option, by the numbers of the instance.
    pub(super) settled: Vec<(usize, usize)>,
}

#[derive(Clone, Debug)]
pub(super) struct RestGroup {
    /// Place in the instance.
    pub(super) id: usize,
    pub(super) options: Vec<RestOption>,
}

#[derive(Clone, Debug)]
pub(super) struct RestOption {
    /// Place in the instance's group.
    pub(super) id: usize,
    pub(super) cost: Weight,
    /// Places among what is shared, rising.
    pub(super) needs: Vec<usize>,
    pub(super) waives: Vec<usize>,
}

#[derive(Clone, Debug)]
pub(super) struct RestShared {
    pub(super) cost: i64,
    /// Places of groups of the rest.
    pub(super) waivers: Vec<usize>,
}

/// Who asks for a shared thing.
#[derive(Clone, Copy, Default)]
struct Asking {
    /// How many groups do.
    groups: usize,
    /// The last of them.
    last: usize,
    /// How many of its options do.
    options: usize,
    /// All options of some group do.
    sure: bool,
}

/// What becomes of a shared thing.
enum Fate {
    Stays,
    /// Nobody asks, or it is always waived.
    Goes,
    /// Paid in any case.
    Paid,
    /// Only this group asks and nothing waives it.
    OwnOf(usize),
    /// Asked for in any case and waived by this group alone: paid by its options that do not waive.
    UnlessWaived(usize),
}

impl Rest {
    /// The whole instance with its holds.
    pub(super) fn of(instance: &Instance) -> Self {
        let groups = instance.groups.iter().enumerate().map(|(id, group)| {
            let options = instance.open(id).map(|id| {
                let option = &group.options[id];
                let cost = Weight { cost: option.cost, rank: i64::from(option.rank) };
                RestOption { id, cost, needs: option.needs.clone(), waives: option.waives.clone() }
            });
            RestGroup { id, options: options.collect() }
        });
        let shared =
            instance.shared.iter().map(|one| RestShared { cost: one.cost, waivers: one.waivers.clone() }).collect();
        let mut clashes: Vec<[(usize, usize); 2]> =
            instance.clashes.iter().map(|clash| [clash.one.min(clash.other), clash.one.max(clash.other)]).collect();
        clashes.sort_unstable();
        clashes.dedup();
        Self { groups: groups.collect(), shared, clashes, paid: Weight::default(), settled: Vec::new() }
    }

    /// Reduces as far as the steps go; `false` where a group is left without an option.
    pub(super) fn reduce(&mut self) -> bool {
        loop {
            let mut changed = self.settle_clashes();
            let clashing = self.clashes.iter().any(|pair| pair.iter().all(|end| self.settled.contains(end)));
            if clashing || self.groups.iter().any(|group| group.options.is_empty()) {
                return false;
            }
            changed |= self.settle_shared();
            changed |= self.drop_dominated();
            changed |= self.settle_groups();
            if !changed {
                return true;
            }
        }
    }

    /// Options that clash with every option of another group go, and so do clashes of what is gone.
    fn settle_clashes(&mut self) -> bool {
        if self.clashes.is_empty() {
            return false;
        }
        let mut changed = false;
        let groups = &mut self.groups;
        let has = |groups: &[RestGroup], (group, option): (usize, usize)| {
            let open = groups.iter().find(|known| known.id == group);
            open.is_some_and(|known| known.options.iter().any(|known| known.id == option))
        };
        let settled = &self.settled;
        // A clash with a settled option is a ban.
        for [one, other] in &self.clashes {
            for (fixed, banned) in [(one, other), (other, one)] {
                if settled.contains(fixed) {
                    for group in groups.iter_mut().filter(|group| group.id == banned.0) {
                        let before = group.options.len();
                        group.options.retain(|option| option.id != banned.1);
                        changed |= group.options.len() != before;
                    }
                }
            }
        }
        let fixed = |end: &(usize, usize)| settled.contains(end);
        self.clashes.retain(|[one, other]| (has(groups, *one) && has(groups, *other)) || (fixed(one) && fixed(other)));
        let counts: Vec<(usize, usize)> = groups.iter().map(|group| (group.id, group.options.len())).collect();
        for group in groups.iter_mut() {
            let own = group.id;
            let before = group.options.len();
            group.options.retain(|option| {
                !counts.iter().any(|(id, count)| {
                    let against = |pair: &&[(usize, usize); 2]| {
                        let [one, other] = **pair;
                        (one == (own, option.id) && other.0 == *id) || (other == (own, option.id) && one.0 == *id)
                    };
                    *id != own && self.clashes.iter().filter(against).count() >= *count
                })
            });
            changed |= group.options.len() != before;
        }
        changed
    }

    fn settle_shared(&mut self) -> bool {
        let count = self.shared.len();
        if count == 0 {
            return false;
        }
        let asks = self.asking_groups();
        let mut fates: Vec<Fate> = Vec::with_capacity(count);
        let mut changed = false;
        for (at, asking) in asks.iter().enumerate() {
            let shared = &mut self.shared[at];
            let groups = &self.groups;
            let waiving =
                |group: usize| groups[group].options.iter().filter(|option| option.waives.contains(&at)).count();
            let before = shared.waivers.len();
            let mut always = before > 0;
            if shared.waivers.iter().any(|group| waiving(*group) == 0) {
                shared.waivers.clear();
                always = false;
            }
            shared.waivers.retain(|group| waiving(*group) < groups[*group].options.len());
            always &= shared.waivers.is_empty();
            changed |= shared.waivers.len() != before;
            let Asking { last, sure, .. } = *asking;
            let fate = match (asking.groups, shared.waivers.as_slice()) {
                (0, _) => Fate::Goes,
                _ if always || shared.cost == 0 => Fate::Goes,
                (_, []) if sure => Fate::Paid,
                (1, []) => Fate::OwnOf(last),
                // The group's own waiving options do not pay it; see below.
                (1, [waiver]) if last == *waiver => Fate::OwnOf(last),
                (_, [group]) if sure => Fate::UnlessWaived(*group),
                _ => Fate::Stays,
            };
            fates.push(fate);
        }
        let mut place = vec![usize::MAX; count];
        let mut kept = 0;
        for (at, fate) in fates.iter().enumerate() {
            match fate {
                Fate::Stays => {
                    place[at] = kept;
                    kept += 1;
                }
                Fate::Paid => self.paid += Weight::of(self.shared[at].cost),
                _ => {}
            }
        }
        for (number, group) in self.groups.iter_mut().enumerate() {
            for option in &mut group.options {
                let (shared, waives, cost) = (&self.shared, &option.waives, &mut option.cost);
                option.needs.retain(|at| {
                    // What the option itself makes needless it does not pay.
                    let own = shared[*at].waivers == [number];
                    if own && waives.contains(at) {
                        changed = true;
                        return false;
                    }
                    match fates[*at] {
                        Fate::Stays => return true,
                        Fate::OwnOf(group) if group == number => *cost += Weight::of(shared[*at].cost),
                        _ => {}
                    }
                    false
                });
                for (at, fate) in fates.iter().enumerate() {
                    if matches!(fate, Fate::UnlessWaived(group) if *group == number) && !option.waives.contains(&at) {
                        option.cost += Weight::of(shared[at].cost);
                    }
                }
                option.waives.retain(|at| shared[*at].waivers.contains(&number) && matches!(fates[*at], Fate::Stays));
                for at in option.needs.iter_mut().chain(&mut option.waives) {
                    *at = place[*at];
                }
            }
        }
        if kept < count {
            let mut at = 0;
            self.shared.retain(|_| {
                at += 1;
                matches!(fates[at - 1], Fate::Stays)
            });
            changed = true;
        }
        changed | self.merge()
    }

    /// Who asks for each shared thing.
    fn asking_groups(&self) -> Vec<Asking> {
        let mut out = vec![Asking::default(); self.shared.len()];
        for (number, group) in self.groups.iter().enumerate() {
            for at in group.options.iter().flat_map(|option| &option.needs) {
                let asking = &mut out[*at];
                if asking.groups == 0 || asking.last != number {
                    (asking.groups, asking.last, asking.options) = (asking.groups + 1, number, 0);
                }
                asking.options += 1;
                asking.sure |= asking.options == group.options.len();
            }
        }
        out
    }

    /// Things for which exactly the same options ask and which nothing waives are one thing.
    fn merge(&mut self) -> bool {
        let count = self.shared.len();
        // The options that ask for a thing stand together in one list, from `from[at]` up to `from[at + 1]`.
        let options =
            || self.groups.iter().enumerate().flat_map(|(at, one)| one.options.iter().map(move |one| (at, one)));
        let mut from = vec![0; count + 1];
        for at in options().flat_map(|(_, option)| &option.needs) {
            from[at + 1] += 1;
        }
        for at in 0..count {
            from[at + 1] += from[at];
        }
        let mut all = vec![(0, 0); from[count]];
        let mut next = from.clone();
        for (number, option) in options() {
            for at in &option.needs {
                all[next[*at]] = (number, option.id);
                next[*at] += 1;
            }
        }
        let asked = |at: usize| &all[from[at]..from[at + 1]];
        let mut order: Vec<usize> = (0..count).filter(|at| self.shared[*at].waivers.is_empty()).collect();
        order.sort_unstable_by(|one, other| asked(*one).cmp(asked(*other)).then(one.cmp(other)));
        let mut changed = false;
        let mut first = 0;
        for next in 1..order.len() {
            if asked(order[next]) == asked(order[first]) {
                self.shared[order[first]].cost += self.shared[order[next]].cost;
                // Free of charge, it goes with the next round.
                self.shared[order[next]].cost = 0;
                changed = true;
            } else {
                first = next;
            }
        }
        changed
    }

    /// An option goes if another of its group costs no more even when it pays all that the first has for nothing.
    fn drop_dominated(&mut self) -> bool {
        let (shared, clashes) = (&self.shared, &self.clashes);
        let extra = |more: &[usize], than: &[usize]| -> i64 {
            more.iter().filter(|at| !than.contains(at)).map(|at| shared[*at].cost).sum()
        };
        let mut changed = false;
        for group in &mut self.groups {
            let id = group.id;
            let free = |option: usize| !clashes.iter().any(|pair| pair.contains(&(id, option)));
            // From the last, so that of equals the first stays.
            for at in (0..group.options.len()).rev() {
                let one = &group.options[at];
                let beaten = group.options.iter().enumerate().any(|(place, other)| {
                    if place == at || other.cost > one.cost {
                        return false;
                    }
                    let dearer = extra(&other.needs, &one.needs) + extra(&one.waives, &other.waives);
                    other.cost + Weight::of(dearer) <= one.cost && free(other.id)
                });
                if beaten {
                    group.options.remove(at);
                    changed = true;
                }
            }
        }
        changed
    }

    /// Moves the least cost of each group out of it; a group with one option that shares nothing is settled.
    fn settle_groups(&mut self) -> bool {
        for group in &mut self.groups {
            let least = group.options.iter().map(|option| option.cost).min().unwrap_or_default();
            self.paid += least;
            for option in &mut group.options {
                option.cost = option.cost - least;
            }
        }
        let open: Vec<bool> = self
            .groups
            .iter()
            .enumerate()
            .map(|(number, group)| {
                let [only] = group.options.as_slice() else { return true };
                let named = self.shared.iter().any(|shared| shared.waivers.contains(&number));
                let bound = named || !only.needs.is_empty() || !only.waives.is_empty();
                if !bound {
                    self.settled.push((group.id, only.id));
                }
                bound
            })
            .collect();
        if !open.contains(&false) {
            return false;
        }
        self.keep(&open);
        true
    }

    /// Keeps the marked groups only.
    fn keep(&mut self, open: &[bool]) {
        let mut place = vec![usize::MAX; open.len()];
        for (new, (old, _)) in open.iter().enumerate().filter(|(_, open)| **open).enumerate() {
            place[old] = new;
        }
        let mut at = 0;
        self.groups.retain(|_| {
            at += 1;
            open[at - 1]
        });
        for shared in &mut self.shared {
            for group in &mut shared.waivers {
                debug_assert!(place[*group] != usize::MAX, "a waiver is settled but stays");
                *group = place[*group];
            }
        }
    }

    /// Falls apart into what hangs together by shared things and clashes. Nothing that is paid or settled comes with it.
    pub(super) fn split(&self) -> Vec<Self> {
        let count = self.groups.len();
        let mut root: Vec<usize> = (0..count).collect();
        fn find(root: &mut [usize], mut at: usize) -> usize {
            while root[at] != at {
                root[at] = root[root[at]];
                at = root[at];
            }
            at
        }
        let mut first = vec![usize::MAX; self.shared.len()];
        let tie = |root: &mut Vec<usize>, one: usize, other: usize| {
            let (one, other) = (find(root, one), find(root, other));
            root[one.max(other)] = one.min(other);
        };
        for (number, group) in self.groups.iter().enumerate() {
            for at in group.options.iter().flat_map(|option| option.needs.iter().chain(&option.waives)) {
                if first[*at] == usize::MAX {
                    first[*at] = number;
                } else {
                    tie(&mut root, first[*at], number);
                }
            }
        }
        for [one, other] in &self.clashes {
            let place = |id: usize| self.groups.iter().position(|group| group.id == id);
            if let (Some(one), Some(other)) = (place(one.0), place(other.0)) {
                tie(&mut root, one, other);
            }
        }
        let roots: Vec<usize> = (0..count).map(|at| find(&mut root, at)).collect();
        let mut heads = roots.clone();
        heads.sort_unstable();
        heads.dedup();
        heads.into_iter().map(|head| self.part_of(&roots, head)).collect()
    }

    fn part_of(&self, roots: &[usize], head: usize) -> Self {
        let mut out = Self::default();
        let mut place = vec![usize::MAX; self.shared.len()];
        let mut group_place = vec![usize::MAX; roots.len()];
        for (number, group) in self.groups.iter().enumerate().filter(|(number, _)| roots[*number] == head) {
            group_place[number] = out.groups.len();
            out.groups.push(group.clone());
        }
        for group in &mut out.groups {
            for at in group.options.iter_mut().flat_map(|option| option.needs.iter_mut().chain(&mut option.waives)) {
                if place[*at] == usize::MAX {
                    place[*at] = out.shared.len();
                    let mut shared = self.shared[*at].clone();
                    for waiver in &mut shared.waivers {
                        *waiver = group_place[*waiver];
                    }
                    out.shared.push(shared);
                }
                *at = place[*at];
            }
        }
        let inside = |id: usize| out.groups.iter().any(|group| group.id == id);
        out.clashes = self.clashes.iter().filter(|pair| inside(pair[0].0)).copied().collect();
        out
    }
}
