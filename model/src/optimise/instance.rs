//! The program itself: groups of options, what they share, which cannot stand together, and what a choice costs.
//!
//! Plain whole numbers; knows nothing of trucks. Never rounds, never guesses: the cost of a choice is a sum.

/// One program. The choice of least cost takes one option of each group.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Instance {
    /// One for each damaged part.
    pub groups: Vec<Group>,
    /// What options may ask for together.
    pub shared: Vec<Shared>,
    /// Options of two groups that cannot stand together.
    pub clashes: Vec<Clash>,
}

/// The options of one part.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Group {
    /// The options, at least one.
    pub options: Vec<Opt>,
    /// Which options a person's hold leaves, by place; `None` where nobody holds the part to anything.
    pub held: Option<Vec<usize>>,
}

/// One option.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Opt {
    /// What it costs by itself; may be any whole number of at most 10^15 either way.
    pub cost: i64,
    /// How far it intrudes; of choices that cost the same, the one whose ranks sum to less stands.
    pub rank: u32,
    /// Shared things for which it asks, by place, each once, in rising order.
    pub needs: Vec<usize>,
    /// Shared things that it helps to make needless, by place, each once, in rising order.
    pub waives: Vec<usize>,
}

/// A thing that is paid once, however many options ask for it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Shared {
    /// What it costs, 0 to 10^15.
    pub cost: i64,
    /// Groups that make it needless if each of them has an option that waives it; empty where nothing can.
    pub waivers: Vec<usize>,
}

/// Two options, each as (group, option), that cannot stand together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Clash {
    /// The one.
    pub one: (usize, usize),
    /// The other, of another group.
    pub other: (usize, usize),
    /// Why, in words.
    pub why: String,
}

impl Instance {
    /// What a choice (one option for each group, by place) costs: its options, and each shared thing that is asked for
    /// and not waived, once. Says nothing of clashes.
    pub fn evaluate(&self, choice: &[usize]) -> i64 {
        let chosen = || self.groups.iter().zip(choice).map(|(group, at)| &group.options[*at]);
        let mut asked = vec![false; self.shared.len()];
        for at in chosen().flat_map(|option| &option.needs) {
            asked[*at] = true;
        }
        let waived = |at: usize| {
            let waivers = &self.shared[at].waivers;
            let waives = |group: &usize| self.groups[*group].options[choice[*group]].waives.contains(&at);
            !waivers.is_empty() && waivers.iter().all(waives)
        };
        let own: i64 = chosen().map(|option| option.cost).sum();
        let shared: i64 = (0..asked.len()).filter(|at| asked[*at] && !waived(*at)).map(|at| self.shared[at].cost).sum();
        own + shared
    }

    /// How far a choice intrudes: the sum of the ranks.
    pub fn rank(&self, choice: &[usize]) -> u64 {
        self.groups.iter().zip(choice).map(|(group, at)| u64::from(group.options[*at].rank)).sum()
    }

    /// The first two options of a choice that cannot stand together.
    pub fn clash(&self, choice: &[usize]) -> Option<&Clash> {
        let has = |(group, option): (usize, usize)| choice[group] == option;
        self.clashes.iter().find(|clash| has(clash.one) && has(clash.other))
    }

    /// Whether a choice keeps every hold and has no clash.
    pub fn allows(&self, choice: &[usize]) -> bool {
        let held =
            self.groups.iter().zip(choice).all(|(group, at)| group.held.as_ref().is_none_or(|held| held.contains(at)));
        held && choice.len() == self.groups.len() && self.clash(choice).is_none()
    }

    /// Places of the options of a group that its hold leaves.
    pub fn open(&self, group: usize) -> impl Iterator<Item = usize> + '_ {
        let group = &self.groups[group];
        (0..group.options.len()).filter(|at| group.held.as_ref().is_none_or(|held| held.contains(at)))
    }
}
