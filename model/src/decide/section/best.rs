//! The cheapest set of cells that renews the damage inside permitted lines: minimum cuts, and branching where a line
//! cannot be where all its uses ask for it.
//!
//! Exact: every branch splits what is possible, every bound is a true lower bound. Never looks at words or prices.

use super::cut::{ENDLESS, minimum_cut};
use super::place::{Bar, Site, Spared};

/// Greatest weight of one thing; larger ones are taken as this, so that no sum overflows.
const WEIGHT_MAX: u64 = 1 << 40;

/// What a set of cells costs, and which sets are asked for. Cells, edges and cuts are meant by their place.
#[derive(Clone)]
pub(super) struct Problem<'a> {
    pub(super) site: &'a Site<'a>,
    /// Cells that must be renewed.
    pub(super) within: u64,
    /// Cells that must stay.
    pub(super) without: u64,
    /// Cut lines that must not be used.
    pub(super) avoid: u64,
    /// Cost of renewing a cell.
    pub(super) cell: Vec<u64>,
    /// Cost of cutting and joining along each edge.
    pub(super) edge: Vec<u64>,
    /// Cost of each cut line in use, once.
    pub(super) line: Vec<u64>,
    /// Which new piece each cell comes from; where neighbours come from two, they are joined to each other.
    pub(super) piece: Vec<usize>,
}

/// A set of cells and its cost.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Best {
    pub(super) cost: u64,
    pub(super) cells: u64,
}

/// A use of a cut line: along the edge, between new and old or between two new pieces.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Use {
    pub(super) edge: usize,
    pub(super) between_new: bool,
}

#[derive(Clone)]
struct Node {
    within: u64,
    without: u64,
    blocked: Vec<bool>,
}

/// Why a set will not do; each way out is one branch.
enum Fault {
    /// Every cell is renewed.
    Whole,
    /// A damaged cell stays though no line next to it is cut.
    Bare(usize),
    /// These uses of one cut line ask for different places.
    Torn(Vec<Use>),
}

impl Problem<'_> {
    /// A problem without costs on the part's own damage.
    pub(super) fn plain<'a>(site: &'a Site<'a>) -> Problem<'a> {
        Problem {
            site,
            within: 0,
            without: 0,
            avoid: 0,
            cell: vec![0; site.sections.cells.len()],
            edge: vec![0; site.edges.len()],
            line: vec![0; site.sections.cuts.len()],
            piece: vec![0; site.sections.cells.len()],
        }
    }

    /// All cells, by bit.
    fn all(&self) -> u64 {
        u64::MAX >> (64 - self.cell.len().clamp(1, 64))
    }

    /// The cheapest set, of several alike always the same one; `None` where there is none.
    pub(super) fn best(&self) -> Option<Best> {
        self.best_below(u64::MAX, &mut 0)
    }

    /// The cheapest set among those that cost less than `limit`. `wanted` gains the cells of `without` at which a line
    /// could be let go if they were not to stay. With one of them, or with a cell beyond an edge into `without`, there may be
    /// a cheaper set that is not found here.
    pub(super) fn best_below(&self, limit: u64, wanted: &mut u64) -> Option<Best> {
        let site = self.site;
        let soft: Vec<&Spared> = self.soft().collect();
        let blocked = site.edges.iter().map(|edge| self.avoid & (1 << edge.cut) != 0).collect();
        let within = self.within | self.hard();
        let mut best: Option<Best> = None;
        let mut open = vec![Node { within, without: self.without, blocked }];
        while let Some(mut node) = open.pop() {
            let Some((bound, cells)) = self.bound(&mut node) else { continue };
            if bound >= limit || best.is_some_and(|best| best.cost <= bound) {
                continue;
            }
            match self.fault(cells, &soft) {
                None => {
                    let found = Best { cost: self.cost(cells), cells };
                    if found.cost < limit && best.is_none_or(|best| found < best) {
                        best = Some(found);
                    }
                    if found.cost > bound {
                        // Costs that the bound does not see: look at both sides of a cell that is still open.
                        let free = self.all() & !node.within & !node.without;
                        let pick = if free & cells != 0 { free & cells } else { free };
                        if pick != 0 {
                            let bit = pick & pick.wrapping_neg();
                            open.push(Node { without: node.without | bit, ..node.clone() });
                            open.push(Node { within: node.within | bit, ..node });
                        }
                    }
                }
                Some(fault) => {
                    if let Fault::Torn(uses) = &fault {
                        let heads = uses.iter().filter(|one| !one.between_new).map(|one| site.edges[one.edge].beyond);
                        *wanted |= heads.fold(0, |sum, cell| sum | (1 << cell)) & self.without;
                    }
                    self.branch(&node, &fault, &soft, &mut open);
                }
            }
        }
        best
    }

    /// What every set with this cell costs at least.
    pub(super) fn least_with(&self, cell: usize) -> u64 {
        let blocked = self.site.edges.iter().map(|edge| self.avoid & (1 << edge.cut) != 0).collect();
        let mut node = Node { within: self.within | self.hard() | 1 << cell, without: self.without, blocked };
        self.bound(&mut node).map_or(u64::MAX, |(bound, _)| bound)
    }

    /// Touched cells that may stay, each with the edges by which it may.
    fn soft(&self) -> impl Iterator<Item = &Spared> {
        self.site.spared().iter().filter(|one| self.within & (1 << one.cell) == 0)
    }

    /// Touched cells that must be renewed wherever the lines run.
    pub(super) fn hard(&self) -> u64 {
        self.soft().fold(self.site.touched, |sum, one| sum & !(1 << one.cell))
    }

    /// A lower bound on every set of the node, with the set that would attain it. What follows from what the node says
    /// about single cells is added to it.
    fn bound(&self, node: &mut Node) -> Option<(u64, u64)> {
        self.close(node);
        if node.within & node.without != 0 {
            return None;
        }
        if self.edge.iter().all(|cost| *cost == 0) && self.line.iter().all(|cost| *cost == 0) {
            let cost = cells_of(node.within).map(|cell| self.cell[cell].min(WEIGHT_MAX)).sum();
            return Some((cost, node.within));
        }
        let site = self.site;
        let (inn, out) = (|cell: usize| node.within & (1 << cell) != 0, |cell: usize| node.without & (1 << cell) != 0);
        // What is settled costs in full: joints between new pieces, and the lines that are surely used.
        let (mut settled, mut used) = (0_u64, 0_u64);
        for (at, edge) in site.edges.iter().enumerate().filter(|(_, edge)| inn(edge.cell)) {
            if out(edge.beyond) {
                used |= 1 << edge.cut;
            } else if inn(edge.beyond) && edge.cell < edge.beyond && self.piece[edge.cell] != self.piece[edge.beyond] {
                used |= 1 << edge.cut;
                settled += self.edge_cost(at);
            }
        }
        settled += cells_of(used).map(|cut| self.line[cut].min(WEIGHT_MAX)).sum::<u64>();
        settled += cells_of(node.within).map(|cell| self.cell[cell].min(WEIGHT_MAX)).sum::<u64>();
        // Cells that are settled fall together with the source or the sink.
        let count = self.cell.len();
        let (source, sink) = (count, count + 1);
        let place = |cell: usize| if inn(cell) { source } else { cell };
        let mut arcs = Vec::with_capacity(site.edges.len() + count);
        let open = self.all() & !node.within & !node.without;
        arcs.extend(cells_of(open).map(|cell| (cell, sink, self.cell[cell].min(WEIGHT_MAX))));
        for (at, edge) in site.edges.iter().enumerate().filter(|(_, edge)| !out(edge.cell) && !inn(edge.beyond)) {
            let share = if used & (1 << edge.cut) == 0 { self.line_share(at) } else { 0 };
            let never = node.blocked[at] || site.barred(at);
            let beyond = if out(edge.beyond) { sink } else { edge.beyond };
            arcs.push((place(edge.cell), beyond, if never { ENDLESS } else { self.edge_cost(at) + share }));
        }
        let (value, side) = minimum_cut(count + 2, &arcs, source, sink);
        // Cells have the lowest bits, at most 64.
        #[allow(clippy::cast_possible_truncation)]
        let cells = node.within | (side as u64 & self.all());
        (value < ENDLESS).then_some((value + settled, cells))
    }

    /// Adds the cells that must be renewed because nothing may part them from those that are, and those that must stay
    /// because nothing may part them from those that do.
    fn close(&self, node: &mut Node) {
        loop {
            let before = (node.within, node.without);
            for (at, edge) in self.site.edges.iter().enumerate() {
                let (cell, beyond) = (1 << edge.cell, 1 << edge.beyond);
                let forces = node.within & cell != 0 && node.within & beyond == 0;
                let holds = node.without & beyond != 0 && node.without & cell == 0;
                if (forces || holds) && (node.blocked[at] || self.site.barred(at)) {
                    node.within |= if forces { beyond } else { 0 };
                    node.without |= if holds { cell } else { 0 };
                }
            }
            if before == (node.within, node.without) || node.within & node.without != 0 {
                return;
            }
        }
    }

    fn edge_cost(&self, edge: usize) -> u64 {
        self.edge[edge].min(WEIGHT_MAX)
    }

    /// The part of the line's cost that this edge carries if the whole line is cut: never more than is due.
    fn line_share(&self, edge: usize) -> u64 {
        let cut = self.site.edges[edge].cut;
        if self.line[cut] == 0 {
            return 0;
        }
        // Each border is seen from both sides, so half of the edges' sum is the whole.
        let whole: f64 = self.site.edges.iter().filter(|one| one.cut == cut).map(|one| one.length_mm / 2.0).sum();
        let share = (self.site.edges[edge].length_mm / whole.max(1.0)).min(1.0);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss)]
        let part = (self.line[cut].min(WEIGHT_MAX) as f64 * share * (1.0 - 1e-9)) as u64;
        part
    }

    /// How the cut lines are used when these cells are renewed, by cut.
    pub(super) fn uses(&self, cells: u64, cut: usize) -> Vec<Use> {
        let has = |cell: usize| cells & (1 << cell) != 0;
        let edges = self.site.edges.iter().enumerate().filter(|(_, edge)| edge.cut == cut && has(edge.cell));
        edges
            .filter_map(|(at, edge)| {
                let new = has(edge.beyond);
                let seam = new && edge.cell < edge.beyond && self.piece[edge.cell] != self.piece[edge.beyond];
                (!new || seam).then_some(Use { edge: at, between_new: new })
            })
            .collect()
    }

    /// What bars a line in these uses.
    pub(super) fn bars<'s>(&'s self, uses: &'s [Use]) -> impl Iterator<Item = &'s Bar> {
        uses.iter().flat_map(|one| if one.between_new { self.site.fixed(one.edge) } else { self.site.bars(one.edge) })
    }

    /// What the set costs.
    pub(super) fn cost(&self, cells: u64) -> u64 {
        let mut sum: u64 = cells_of(cells).map(|cell| self.cell[cell].min(WEIGHT_MAX)).sum();
        for cut in 0..self.line.len() {
            let uses = self.uses(cells, cut);
            if !uses.is_empty() {
                sum += self.line[cut].min(WEIGHT_MAX);
            }
            sum += uses.iter().map(|one| self.edge_cost(one.edge)).sum::<u64>();
        }
        sum
    }

    fn fault(&self, cells: u64, soft: &[&Spared]) -> Option<Fault> {
        if cells == self.all() {
            return Some(Fault::Whole);
        }
        if let Some(at) = soft.iter().position(|one| self.is_bare(cells, one)) {
            return Some(Fault::Bare(at));
        }
        (0..self.line.len()).find_map(|cut| {
            let uses = self.uses(cells, cut);
            let torn = |uses: &[Use]| !uses.is_empty() && self.site.free(cut, self.bars(uses)).is_empty();
            if !torn(&uses) {
                return None;
            }
            if let Some(one) = uses.iter().find(|one| torn(&[**one])) {
                return Some(Fault::Torn(vec![*one]));
            }
            // Two uses nearly always tell why.
            for (at, one) in uses.iter().enumerate() {
                for other in &uses[at + 1..] {
                    if torn(&[*one, *other]) {
                        return Some(Fault::Torn(vec![*one, *other]));
                    }
                }
            }
            Some(Fault::Torn(uses))
        })
    }

    fn is_bare(&self, cells: u64, one: &Spared) -> bool {
        let has = |cell: usize| cells & (1 << cell) != 0;
        !has(one.cell) && !one.by.iter().any(|at| has(self.site.edges[*at].cell))
    }

    /// A damaged cell that the set leaves though it may not.
    pub(super) fn bare(&self, cells: u64) -> Option<usize> {
        let left = cells_of(self.hard() & !cells).next();
        left.or_else(|| self.soft().find(|one| self.is_bare(cells, one)).map(|one| one.cell))
    }

    fn branch(&self, node: &Node, fault: &Fault, soft: &[&Spared], open: &mut Vec<Node>) {
        match fault {
            Fault::Whole => {
                let mut within = node.within;
                for cell in cells_of(self.all() & !node.within & !node.without) {
                    open.push(Node { within, without: node.without | (1 << cell), blocked: node.blocked.clone() });
                    within |= 1 << cell;
                }
            }
            Fault::Bare(at) => {
                let Spared { cell, by } = soft[*at];
                for edge in by {
                    let before = 1 << self.site.edges[*edge].cell;
                    open.push(Node {
                        within: node.within | before,
                        without: node.without | (1 << cell),
                        blocked: node.blocked.clone(),
                    });
                }
                open.push(Node { within: node.within | (1 << cell), ..node.clone() });
            }
            Fault::Torn(uses) => {
                for one in uses {
                    let edge = &self.site.edges[one.edge];
                    if one.between_new {
                        open.push(Node { without: node.without | (1 << edge.cell), ..node.clone() });
                        open.push(Node { without: node.without | (1 << edge.beyond), ..node.clone() });
                    } else {
                        let mut blocked = node.blocked.clone();
                        blocked[one.edge] = true;
                        open.push(Node { blocked, ..node.clone() });
                    }
                }
            }
        }
    }

    /// Cells that may not be renewed here and that a line which may never run keeps others from being renewed.
    pub(super) fn kept_off(&self) -> u64 {
        let heads = self.site.edges.iter().enumerate().filter(|(at, edge)| {
            self.without & (1 << edge.cell) == 0 && self.without & (1 << edge.beyond) != 0 && self.site.barred(*at)
        });
        heads.fold(self.site.touched & self.without, |sum, (_, edge)| sum | (1 << edge.beyond))
    }
}

/// The cells of a set, in the order of the book.
pub(super) fn cells_of(set: u64) -> impl Iterator<Item = usize> {
    let mut left = set;
    std::iter::from_fn(move || {
        let cell = left.trailing_zeros();
        left &= left.wrapping_sub(1);
        (cell < 64).then_some(cell as usize)
    })
}
