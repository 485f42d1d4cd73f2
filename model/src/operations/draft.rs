//! Collects operations, each once, and puts them in order at the end.
//!
//! Holds the graph; knows nothing of repair. An edge may never lead from a later to an earlier stage.

use super::{Amount, Operation};
use crate::catalogue::{AccessWork, Book};
use crate::ids::{AccessId, OperationId, PartId, RuleId};
use crate::terms::{Caution, Route, Stage};
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet, BinaryHeap};

/// Place of an operation in the draft.
pub(super) type At = usize;

/// Operations under construction.
pub(super) struct Draft<'b> {
    pub(super) items: Vec<Item>,
    by_key: BTreeMap<(Stage, &'static str, String), At>,
    /// All access work of the book, in the order of its ids.
    pub(super) works: Vec<Node<'b>>,
}

/// A piece of access work of the book and, once it is in use, its operations.
pub(super) struct Node<'b> {
    pub(super) work: &'b AccessWork,
    /// Places of the work that comes first.
    pub(super) after: Vec<usize>,
    /// The operation that does it.
    pub(super) there: Option<At>,
    /// The operation that undoes it.
    pub(super) back: Option<At>,
}

/// One operation under construction.
pub(super) struct Item {
    pub(super) operation: Operation,
    pub(super) before: BTreeSet<At>,
}

impl<'b> Draft<'b> {
    pub(super) fn new(book: &'b Book) -> Self {
        let mut works: Vec<Node<'b>> =
            book.access.values().map(|work| Node { work, after: Vec::new(), there: None, back: None }).collect();
        for at in 0..works.len() {
            works[at].after = works[at].work.after.iter().filter_map(|id| place(&works, id)).collect();
        }
        Self { items: Vec::new(), by_key: BTreeMap::new(), works }
    }

    /// Place of a piece of access work.
    pub(super) fn work_at(&self, id: &AccessId) -> Option<usize> {
        place(&self.works, id)
    }

    /// Access work in use.
    pub(super) fn used(&self) -> impl Iterator<Item = (&'b AccessWork, At, Option<At>)> + '_ {
        self.works.iter().filter_map(|node| Some((node.work, node.there?, node.back)))
    }

    /// The operation `work` on `on` (a part, access work or nothing), made by `name` if it is new.
    pub(super) fn add(
        &mut self,
        stage: Stage,
        work: &'static str,
        part: Option<&PartId>,
        on: Option<&str>,
        name: impl FnOnce() -> String,
    ) -> At {
        let on = on.or(part.map(PartId::as_str)).unwrap_or_default();
        debug_assert!(super::WORKS.binary_search(&work).is_ok(), "{work}");
        let key = (stage, work, on.to_owned());
        if let Some(at) = self.by_key.get(&key) {
            return *at;
        }
        let at = self.items.len();
        let id =
            if on.is_empty() { format!("{}/{work}", stage.word()) } else { format!("{}/{work}/{on}", stage.word()) };
        self.by_key.insert(key, at);
        let operation = Operation {
            id: OperationId(id.into()),
            part: part.cloned(),
            stage,
            work,
            name: name(),
            after: Vec::new(),
            cautions: Vec::new(),
            from_rules: Vec::new(),
            access: None,
            access_for: Vec::new(),
            route: None,
            amount: Amount::default(),
        };
        self.items.push(Item { operation, before: BTreeSet::new() });
        at
    }

    /// Says that `first` must be finished before `then` starts.
    pub(super) fn order(&mut self, first: At, then: At) {
        debug_assert!(
            self.items[first].operation.stage <= self.items[then].operation.stage,
            "{} before {}",
            self.items[first].operation.id,
            self.items[then].operation.id
        );
        if first != then {
            self.items[then].before.insert(first);
        }
    }

    pub(super) fn caution(&mut self, at: At, cautions: impl IntoIterator<Item = Caution>) {
        let known = &mut self.items[at].operation.cautions;
        for caution in cautions {
            if !known.contains(&caution) {
                known.push(caution);
            }
        }
        known.sort_unstable();
    }

    pub(super) fn rule(&mut self, at: At, rule: &RuleId) {
        let known = &mut self.items[at].operation.from_rules;
        if !known.contains(rule) {
            known.push(rule.clone());
        }
    }

    pub(super) fn amount(&mut self, at: At) -> &mut Amount {
        &mut self.items[at].operation.amount
    }

    pub(super) fn route(&mut self, at: At, route: Route) {
        self.items[at].operation.route = Some(route);
    }

    pub(super) fn stage(&self, at: At) -> Stage {
        self.items[at].operation.stage
    }

    /// Operations of these stages for which no other operation of these stages waits.
    pub(super) fn last_of(&self, stages: std::ops::RangeInclusive<Stage>) -> Vec<At> {
        let within = |at: At| stages.contains(&self.stage(at));
        let mut waited = vec![false; self.items.len()];
        for at in (0..self.items.len()).filter(|at| within(*at)) {
            for first in &self.items[at].before {
                waited[*first] = true;
            }
        }
        (0..self.items.len()).filter(|at| within(*at) && !waited[*at]).collect()
    }

    /// The operations in order: by stage, then by the place of their part in the book, then by id, as far as `after`
    /// allows.
    pub(super) fn finish(self, book: &Book) -> Vec<Operation> {
        let place: Vec<usize> = self
            .items
            .iter()
            .map(|item| item.operation.part.as_ref().and_then(|part| book.index.get(part)).map_or(0, |at| at + 1))
            .collect();
        let mut open: Vec<usize> = self.items.iter().map(|item| item.before.len()).collect();
        let mut then: Vec<Vec<At>> = vec![Vec::new(); self.items.len()];
        for (at, item) in self.items.iter().enumerate() {
            for first in &item.before {
                then[*first].push(at);
            }
        }
        let mut rank: Vec<At> = (0..self.items.len()).collect();
        rank.sort_by(|one, other| {
            let key = |at: At| (self.items[at].operation.stage, place[at], &self.items[at].operation.id);
            key(*one).cmp(&key(*other))
        });
        let mut rank_of = vec![0; rank.len()];
        for (rank, at) in rank.iter().enumerate() {
            rank_of[*at] = rank;
        }
        let mut ready: BinaryHeap<Reverse<usize>> =
            (0..self.items.len()).filter(|at| open[*at] == 0).map(|at| Reverse(rank_of[at])).collect();
        let mut order = Vec::with_capacity(self.items.len());
        while let Some(Reverse(next)) = ready.pop() {
            let at = rank[next];
            order.push(at);
            for later in &then[at] {
                open[*later] -= 1;
                if open[*later] == 0 {
                    ready.push(Reverse(rank_of[*later]));
                }
            }
        }
        debug_assert_eq!(order.len(), self.items.len(), "operations wait for each other in a circle");
        let ids: Vec<OperationId> = self.items.iter().map(|item| item.operation.id.clone()).collect();
        let mut items: Vec<Option<Item>> = self.items.into_iter().map(Some).collect();
        let mut position = vec![0; ids.len()];
        for (at, one) in order.iter().enumerate() {
            position[*one] = at;
        }
        order
            .iter()
            .filter_map(|at| items[*at].take())
            .map(|Item { mut operation, before }| {
                let mut before: Vec<At> = before.into_iter().collect();
                before.sort_by_key(|at| position[*at]);
                operation.after = before.into_iter().map(|at| ids[at].clone()).collect();
                operation
            })
            .collect()
    }
}

fn place(works: &[Node<'_>], id: &AccessId) -> Option<usize> {
    works.binary_search_by(|node| node.work.id.cmp(id)).ok()
}
