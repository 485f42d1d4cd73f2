//! What changing one group's option adds to a choice, without adding up the whole choice again.
//!
//! Gives exactly the difference of two [`Instance::evaluate`]; a test compares them.

use super::instance::{Instance, Opt};

/// A choice made ready for asking what one change adds.
pub struct Swaps<'i> {
    instance: &'i Instance,
    choice: &'i [usize],
    /// How many groups ask for each shared thing.
    asked: Vec<u32>,
}

impl<'i> Swaps<'i> {
    /// Makes a choice ready.
    pub fn new(instance: &'i Instance, choice: &'i [usize]) -> Self {
        let mut asked = vec![0; instance.shared.len()];
        for (group, option) in instance.groups.iter().zip(choice) {
            for at in &group.options[*option].needs {
                asked[*at] += 1;
            }
        }
        Self { instance, choice, asked }
    }

    /// What the choice costs more with this option of this group, all others as they are.
    pub fn change(&self, group: usize, option: usize) -> i64 {
        let options = &self.instance.groups[group].options;
        let (old, new) = (&options[self.choice[group]], &options[option]);
        // What both options ask for and waive alike stays as it is.
        let mut named: Vec<usize> = one_sided(&old.needs, &new.needs);
        named.extend(one_sided(&old.waives, &new.waives));
        named.sort_unstable();
        named.dedup();
        let shared: i64 = named
            .into_iter()
            .map(|at| {
                let before = self.paid(at, group, self.choice[group], self.asked[at]);
                let asked = self.asked[at] - asks(old, at) + asks(new, at);
                self.paid(at, group, option, asked) - before
            })
            .sum();
        new.cost - old.cost + shared
    }

    fn paid(&self, at: usize, group: usize, option: usize, asked: u32) -> i64 {
        let shared = &self.instance.shared[at];
        let waives = |waiver: &usize| {
            let chosen = if *waiver == group { option } else { self.choice[*waiver] };
            self.instance.groups[*waiver].options[chosen].waives.contains(&at)
        };
        let waived = !shared.waivers.is_empty() && shared.waivers.iter().all(waives);
        if asked > 0 && !waived { shared.cost } else { 0 }
    }
}

fn asks(option: &Opt, at: usize) -> u32 {
    u32::from(option.needs.binary_search(&at).is_ok())
}

/// What stands in one of two rising lists alone.
fn one_sided(one: &[usize], other: &[usize]) -> Vec<usize> {
    let mut out = Vec::new();
    let (mut one, mut other) = (one.iter().copied().peekable(), other.iter().copied().peekable());
    loop {
        match (one.peek(), other.peek()) {
            (Some(here), Some(there)) if here == there => {
                one.next();
                other.next();
            }
            (Some(here), there) if there.is_none_or(|there| here < there) => out.extend(one.next()),
            (_, Some(_)) => out.extend(other.next()),
            (_, None) => return out,
        }
    }
}
