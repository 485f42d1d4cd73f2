//! Which pieces to buy for the cells to renew: sets of service sections without a needless one, or the whole part.
//!
//! For each set the cheapest cells inside it are looked for; what is dearer in both price and work is dropped. Prices
//! and weights come from the caller.

use super::Weights;
use super::best::{Best, cells_of};
use super::place::Site;
use crate::ids::CellId;
use std::collections::BTreeSet;

/// Cells to renew with the sections that they are cut from, none meaning a whole new part; and what both cost.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Cover {
    pub(super) price: u64,
    pub(super) work: u64,
    pub(super) cells: u64,
    /// Sections in the order of the book.
    pub(super) sections: Vec<usize>,
    /// By cell: the section it is cut from, or 0.
    pub(super) piece: Vec<usize>,
}

/// The cells of each service section, by bit.
pub(super) fn sold(site: &Site<'_>) -> Vec<u64> {
    let cells = &site.sections.cells;
    let bit = |id: &CellId| cells.iter().position(|cell| cell.id == *id).map_or(0, |at| 1_u64 << at);
    site.sections.service.iter().map(|one| one.cells.iter().fold(0, |sum, id| sum | bit(id))).collect()
}

/// All covers of which no other is better in price and at least as good in work or the other way round; cheapest first.
/// `only` holds to exactly these cells.
pub(super) fn covers(site: &Site<'_>, weights: &Weights, only: Option<u64>) -> Vec<Cover> {
    let sold = sold(site);
    let count = site.sections.cells.len();
    let all = u64::MAX >> (64 - count.clamp(1, 64));
    // What a set costs at least, whatever it is cut from.
    let relaxed = weights.problem(site);
    let must = only.unwrap_or_else(|| relaxed.hard());
    let mut problem = relaxed.clone();
    let mut solve = |covered: u64, piece: &[usize], limit: u64, wanted: &mut u64| -> Option<Best> {
        problem.piece.copy_from_slice(piece);
        problem.within = only.unwrap_or(0);
        problem.without = all & !(covered & only.unwrap_or(all));
        *wanted |= problem.kept_off();
        problem.best_below(limit, wanted)
    };
    let mut found: Vec<Cover> = Vec::new();
    // A whole new part covers everything with no joint between new pieces: no other cover takes less work.
    let Some(donor) = solve(all, &vec![0; count], u64::MAX, &mut 0) else { return found };
    let price = weights.whole;
    found.push(Cover { price, work: donor.cost, cells: donor.cells, sections: Vec::new(), piece: vec![0; count] });
    // What a set with each cell costs at least; worked out when it is asked for.
    let mut least_with: Vec<Option<u64>> = vec![None; count];
    // Cheapest first, so that each set only has to look for less work than all before it.
    let mut seen: BTreeSet<u64> = BTreeSet::new();
    let mut open: BTreeSet<(u64, u64)> = BTreeSet::from([(0, 0)]);
    while let Some((price, set)) = open.pop_first() {
        if !seen.insert(set) {
            continue;
        }
        let limit = found.iter().filter(|one| one.price <= price).map(|one| one.work).min().unwrap_or(u64::MAX);
        if limit <= donor.cost {
            break;
        }
        let covered = cells_of(set).fold(0, |sum, at| sum | sold[at]);
        let mut next = must & !covered;
        if next == 0 {
            let mut least = limit;
            for piece in pieces(&sold, set, count, only.unwrap_or(all)) {
                let Some(best) = solve(covered, &piece, least, &mut next) else { continue };
                least = best.cost;
                let used: BTreeSet<usize> = cells_of(best.cells).map(|cell| piece[cell]).collect();
                found.push(Cover {
                    price: used.iter().map(|at| weights.section(*at)).sum(),
                    work: best.cost,
                    cells: best.cells,
                    sections: used.into_iter().collect(),
                    piece,
                });
            }
            // A set that goes on beyond what is covered may end at shorter lines.
            if only.is_none() {
                for edge in &site.edges {
                    let (inside, beyond) = (covered & (1 << edge.cell) != 0, 1 << edge.beyond);
                    if inside && (covered | next) & beyond == 0 {
                        let known = &mut least_with[edge.beyond];
                        if *known.get_or_insert_with(|| relaxed.least_with(edge.beyond)) < least {
                            next |= beyond;
                        }
                    }
                }
            }
            next = if only.is_none() { next & !covered } else { 0 };
        } else {
            // One cell after the other: every set that covers them all holds a section that covers this one.
            next &= next.wrapping_neg();
        }
        for (at, cells) in sold.iter().enumerate() {
            if cells & next != 0 && set & (1 << at) == 0 {
                open.insert((price + weights.section(at), set | (1 << at)));
            }
        }
    }
    found.sort();
    let mut least = u64::MAX;
    found.retain(|one| {
        one.work < least && {
            least = one.work;
            true
        }
    });
    found
}

/// Every way to say from which section of the set each cell is cut; cells that none covers get 0, as do those that are
/// not `looked` at.
pub(super) fn pieces(sold: &[u64], set: u64, count: usize, looked: u64) -> Vec<Vec<usize>> {
    let mut out = vec![vec![0; count]];
    for cell in cells_of(looked).take_while(|cell| *cell < count) {
        let from: Vec<usize> = cells_of(set).filter(|at| sold[*at] & (1 << cell) != 0).collect();
        let Some((first, more)) = from.split_first() else { continue };
        for piece in &mut out {
            piece[cell] = *first;
        }
        let base = out.clone();
        for at in more {
            out.extend(base.iter().cloned().map(|mut piece| {
                piece[cell] = *at;
                piece
            }));
        }
    }
    out
}

/// Without prices: the fewest sections that cover the cells, then those with the fewest cells, then the first in the
/// book, and how the cells are spread over them with the shortest joints between new pieces. `None` where only a whole
/// part covers them, or more than three sections would be needed.
pub(super) fn fewest(site: &Site<'_>, needed: u64, mut holds: impl FnMut(&[usize]) -> bool) -> Option<Vec<usize>> {
    let sold = sold(site);
    let count = site.sections.cells.len();
    let useful: Vec<usize> = (0..sold.len()).filter(|at| sold[*at] & needed != 0).collect();
    let mut sets: Vec<(usize, u32, Vec<usize>)> = Vec::new();
    let mut offer = |set: &[usize]| {
        if set.iter().fold(0, |sum, at| sum | sold[*at]) & needed == needed {
            sets.push((set.len(), set.iter().map(|at| sold[*at].count_ones()).sum(), set.to_vec()));
        }
    };
    for (n, one) in useful.iter().enumerate() {
        offer(&[*one]);
        for (m, other) in useful.iter().enumerate().skip(n + 1) {
            offer(&[*one, *other]);
            for third in &useful[m + 1..] {
                offer(&[*one, *other, *third]);
            }
        }
    }
    sets.sort();
    for (_, _, set) in &sets {
        let bits = set.iter().fold(0, |sum, at| sum | (1_u64 << at));
        let mut ways: Vec<(u64, Vec<usize>)> = pieces(&sold, bits, count, needed)
            .into_iter()
            .filter(|piece| set.iter().all(|at| cells_of(needed).any(|cell| piece[cell] == *at)))
            .map(|piece| (seams(site, needed, &piece), piece))
            .collect();
        ways.sort();
        if let Some((_, piece)) = ways.into_iter().find(|(_, piece)| holds(piece)) {
            return Some(piece);
        }
    }
    None
}

/// Length of the joints between new pieces, tenths of a millimetre.
fn seams(site: &Site<'_>, cells: u64, piece: &[usize]) -> u64 {
    let has = |cell: usize| cells & (1 << cell) != 0;
    let edges = site.edges.iter().filter(|edge| {
        edge.cell < edge.beyond && has(edge.cell) && has(edge.beyond) && piece[edge.cell] != piece[edge.beyond]
    });
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // parts are shorter than a kilometre
    edges.map(|edge| (edge.length_mm * 10.0) as u64).sum()
}
