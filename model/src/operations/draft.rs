//! Collects operations, each once, and puts them in order at the end.
//!
//! Holds the graph; knows nothing of repair. An edge may never lead from a later to an earlier stage. Names of parts and
//! access work are places in the book until the end, so that drafting copies no text.

pub(super) use super::On;
use super::{Amount, AtJoints, Counted, Operation, TaskKey};
use crate::catalogue::{Book, Facts, Part, PartFacts};
use crate::ids::{OperationId, RuleId};
use crate::terms::{Caution, Route, Stage, Work};
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// Place of an operation in the draft.
pub(super) type At = usize;

/// Operations under construction.
pub(super) struct Draft<'b> {
    pub(super) book: &'b Book,
    pub(super) facts: &'b Facts,
    pub(super) items: Vec<Item<'b>>,
    /// Whether anybody asks what comes before what, and why; otherwise amounts are all that is wanted.
    pub(super) told: bool,
    /// All access work of the book, in the order of its ids.
    pub(super) works: Vec<Node>,
}

/// The operations of a piece of access work of the book, once it is in use.
#[derive(Clone, Copy, Default)]
pub(super) struct Node {
    /// The operation that does it.
    pub(super) there: Option<At>,
    /// The operation that undoes it.
    pub(super) back: Option<At>,
}

/// One operation under construction.
pub(super) struct Item<'b> {
    pub(super) stage: Stage,
    pub(super) work: Work,
    pub(super) on: On,
    pub(super) before: Vec<At>,
    /// A bit for each caution.
    cautions: u16,
    pub(super) rules: Vec<&'b RuleId>,
    /// Parts to which access work makes room.
    pub(super) room_for: Vec<usize>,
    /// New parts that go on with it.
    pub(super) renewed: Vec<usize>,
    pub(super) route: Option<Route>,
    pub(super) amount: Amount,
    pub(super) joints: Option<AtJoints>,
    /// What of the amount is counted with other parts.
    pub(super) elsewhere: Vec<(usize, Amount)>,
}

impl<'b> Draft<'b> {
    pub(super) fn new(book: &'b Book, told: bool) -> Self {
        let facts = book.facts();
        let works = vec![Node::default(); facts.works.len()];
        Self { book, facts, items: Vec::with_capacity(64), told, works }
    }

    /// Nothing is drafted any more.
    pub(super) fn clear(&mut self) {
        self.items.clear();
        self.works.fill(Node::default());
    }

    /// The operations as far as they are counted, in no order.
    pub(super) fn counted(&self) -> impl Iterator<Item = Counted> {
        self.items.iter().map(|item| Counted {
            task: TaskKey { stage: item.stage, work: item.work, on: item.on },
            amount: item.amount,
            joints: item.joints,
        })
    }

    /// Access work in use: its place and the operations that do and undo it.
    pub(super) fn used(&self) -> impl Iterator<Item = (usize, At, Option<At>)> + '_ {
        self.works.iter().enumerate().filter_map(|(place, node)| Some((place, node.there?, node.back)))
    }

    pub(super) fn part(&self, at: usize) -> (&'b Part, &'b PartFacts) {
        (&self.book.parts[at], &self.facts.parts[at])
    }

    /// A new operation.
    pub(super) fn add(&mut self, stage: Stage, work: Work, on: On) -> At {
        debug_assert!(self.find(work, on).is_none(), "{work} stands twice");
        self.items.push(Item {
            stage,
            work,
            on,
            before: Vec::new(),
            cautions: 0,
            rules: Vec::new(),
            room_for: Vec::new(),
            renewed: Vec::new(),
            route: None,
            amount: Amount::default(),
            joints: None,
            elsewhere: Vec::new(),
        });
        self.items.len() - 1
    }

    /// The operation if it is there, or a new one; for work that several may ask for.
    pub(super) fn once(&mut self, stage: Stage, work: Work, on: On) -> At {
        self.find(work, on).unwrap_or_else(|| self.add(stage, work, on))
    }

    /// The operation if it is there.
    pub(super) fn find(&self, work: Work, on: On) -> Option<At> {
        self.items.iter().position(|item| item.on == on && item.work == work)
    }

    /// Says that `first` must be finished before `then` starts.
    pub(super) fn order(&mut self, first: At, then: At) {
        debug_assert!(
            self.stage(first) <= self.stage(then),
            "{} before {}",
            self.items[first].work,
            self.items[then].work
        );
        if self.told && first != then && !self.items[then].before.contains(&first) {
            self.items[then].before.push(first);
        }
    }

    pub(super) fn caution(&mut self, at: At, cautions: impl IntoIterator<Item = Caution>) {
        for caution in cautions {
            self.items[at].cautions |= 1 << caution as u16;
        }
    }

    /// Gives `to` the cautions of `from`.
    pub(super) fn same_cautions(&mut self, from: At, to: At) {
        self.items[to].cautions |= self.items[from].cautions;
    }

    /// Whether some operation carries the caution.
    pub(super) fn warns(&self, caution: Caution) -> bool {
        self.items.iter().any(|item| item.cautions & (1 << caution as u16) != 0)
    }

    pub(super) fn rule(&mut self, at: At, rule: &'b RuleId) {
        if self.told && !self.items[at].rules.contains(&rule) {
            self.items[at].rules.push(rule);
        }
    }

    /// Adds these factory joints of its part to the amount of an operation.
    pub(super) fn at_joints(&mut self, at: At, joints: AtJoints) {
        let On::Part(part) = self.items[at].on else { return };
        let all = joints.all(self.book, part);
        self.items[at].joints = Some(joints);
        self.items[at].amount.joint_mm += all.joint_mm;
        self.items[at].amount.fasteners += all.fasteners;
    }

    pub(super) fn amount(&mut self, at: At) -> &mut Amount {
        &mut self.items[at].amount
    }

    pub(super) fn stage(&self, at: At) -> Stage {
        self.items[at].stage
    }

    /// Operations of these stages.
    pub(super) fn within(&self, stages: std::ops::RangeInclusive<Stage>) -> Vec<At> {
        (0..self.items.len()).filter(|at| stages.contains(&self.stage(*at))).collect()
    }

    /// Operations of these stages for which no other operation of these stages waits.
    pub(super) fn last_of(&self, stages: std::ops::RangeInclusive<Stage>) -> Vec<At> {
        if !self.told {
            return Vec::new();
        }
        let mut within = self.within(stages);
        let mut waited = vec![false; self.items.len()];
        for at in &within {
            for first in &self.items[*at].before {
                waited[*first] = true;
            }
        }
        within.retain(|at| !waited[*at]);
        within
    }

    /// The operations in order: by stage, then by the place of their part in the book, then by id, as far as `after`
    /// allows.
    pub(super) fn finish(mut self) -> Vec<Operation> {
        let count = self.items.len();
        let mut text = String::with_capacity(80);
        let ids: Vec<OperationId> = self.items.iter().map(|item| self.id(item, &mut text)).collect();
        let order = self.sorted(&self.rank(&ids));
        debug_assert_eq!(order.len(), count, "operations wait for each other in a circle");
        let mut position = vec![0; count];
        for (at, one) in order.iter().enumerate() {
            position[*one] = at;
        }
        let book = self.book;
        let part = |at: usize| book.parts[at].id.clone();
        let works = &self.facts.works;
        let items = &mut self.items;
        let operation = |at: At| {
            let item = &mut items[at];
            item.before.sort_unstable_by_key(|at| position[*at]);
            Operation {
                id: ids[at].clone(),
                part: if let On::Part(at) = item.on { Some(part(at)) } else { None },
                stage: item.stage,
                work: item.work,
                after: item.before.iter().map(|at| ids[*at].clone()).collect(),
                cautions: Caution::ALL.iter().filter(|one| item.cautions & (1 << **one as u16) != 0).copied().collect(),
                from_rules: item.rules.iter().map(|rule| (*rule).clone()).collect(),
                access: if let On::Access(at) = item.on { Some(works[at].id.clone()) } else { None },
                access_for: item.room_for.iter().copied().map(part).collect(),
                renewed: item.renewed.iter().copied().map(part).collect(),
                route: item.route,
                amount: item.amount,
                joints: item.joints,
                elsewhere: item.elsewhere.iter().map(|(at, amount)| (part(*at), *amount)).collect(),
            }
        };
        order.into_iter().map(operation).collect()
    }

    fn id(&self, item: &Item<'_>, text: &mut String) -> OperationId {
        let on = match item.on {
            On::Vehicle => "",
            On::Part(at) => self.book.parts[at].id.as_str(),
            On::Access(at) => self.facts.works[at].id.as_str(),
        };
        id(item.stage, item.work, on, text)
    }

    /// The rank of each operation if nothing waited for anything.
    fn rank(&self, ids: &[OperationId]) -> Vec<usize> {
        let key = |at: At| {
            let place = if let On::Part(at) = self.items[at].on { at + 1 } else { 0 };
            (self.items[at].stage, place, &ids[at])
        };
        let mut sorted: Vec<At> = (0..self.items.len()).collect();
        sorted.sort_unstable_by(|one, other| key(*one).cmp(&key(*other)));
        let mut rank = vec![0; sorted.len()];
        for (at, one) in sorted.iter().enumerate() {
            rank[*one] = at;
        }
        rank
    }

    /// The operations by rank as far as what each waits for allows.
    fn sorted(&self, rank: &[usize]) -> Vec<At> {
        let count = self.items.len();
        let mut at_rank = vec![0; count];
        for (at, rank) in rank.iter().enumerate() {
            at_rank[*rank] = at;
        }
        let mut open: Vec<usize> = self.items.iter().map(|item| item.before.len()).collect();
        // What waits for an operation stands together in one list, from `from[at]` up to `from[at + 1]`.
        let mut from = vec![0; count + 1];
        for first in self.items.iter().flat_map(|item| &item.before) {
            from[*first + 1] += 1;
        }
        for at in 0..count {
            from[at + 1] += from[at];
        }
        let mut then = vec![0; from[count]];
        let mut next = from.clone();
        for (at, item) in self.items.iter().enumerate() {
            for first in &item.before {
                then[next[*first]] = at;
                next[*first] += 1;
            }
        }
        let free = (0..count).filter(|at| open[*at] == 0);
        let mut ready: BinaryHeap<Reverse<usize>> = free.map(|at| Reverse(rank[at])).collect();
        let mut order = Vec::with_capacity(count);
        while let Some(Reverse(next)) = ready.pop() {
            let at = at_rank[next];
            order.push(at);
            for later in &then[from[at]..from[at + 1]] {
                open[*later] -= 1;
                if open[*later] == 0 {
                    ready.push(Reverse(rank[*later]));
                }
            }
        }
        order
    }
}

/// The id of an operation on this part or piece of access work; empty for the whole vehicle. `text` is scratch.
pub(super) fn id(stage: Stage, work: Work, on: &str, text: &mut String) -> OperationId {
    text.clear();
    for piece in [stage.word(), "/", work.word(), if on.is_empty() { "" } else { "/" }, on] {
        text.push_str(piece);
    }
    OperationId(text.as_str().into())
}
