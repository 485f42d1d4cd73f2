//! The estimator's own choice: which lines may be taken, how far each may move, and in words what forbids the rest.
//!
//! Holds a choice to the same distances as the search. Never follows one that they forbid, never moves it silently.

use super::best::{Best, Problem, Use, cells_of};
use super::build::{self, at_place};
use super::cover::{covers, fewest};
use super::place::{Bar, Site, What, away, least_move};
use super::words::why;
use super::{NoSection, Priced, ROUNDING_MM, SectionPlan, Weights, least, none, site};
use crate::catalogue::Part;
use crate::damage::Finding;
use crate::geometry::Point;
use crate::ids::{CellId, CutId};
use std::collections::BTreeMap;
use std::sync::Arc;

/// A person's own section.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SectionHold {
    /// Cells to renew; empty leaves them to the search.
    pub cells: Vec<CellId>,
    /// How far each line is moved from its place in the book, whole mm, positive to the left of its direction. Lines
    /// that are not named are moved as little as possible; a move of a line that is not cut says nothing.
    pub moves: BTreeMap<CutId, i32>,
}

/// Why a person's own section is not permitted.
#[derive(Clone, Debug, PartialEq)]
pub enum WhyNot {
    /// There is no section at all.
    None(NoSection),
    /// The part has no such cell.
    UnknownCell(CellId),
    /// The part has no such cut line.
    UnknownCut(CutId),
    /// This cell is damaged and must be renewed.
    Damaged(CellId),
    /// Every cell would be renewed: that is no section.
    EveryCell,
    /// Damage lies on both sides of this line wherever it runs.
    BothSides(CutId),
    /// The line itself may run, but no other permitted line closes the piece.
    Open(CutId),
    /// This line cannot run here.
    Line {
        /// The line.
        cut: CutId,
        /// What is too near; `None` where the line would leave its window.
        what: Option<What>,
        /// How near it would be, mm; for the window how far the line would be moved.
        distance_mm: f64,
        /// How far it must stay, mm; for the window how far the line may be moved.
        needed_mm: f64,
        /// The nearest permitted move, mm; `None` where there is none.
        nearest_mm: Option<f64>,
    },
}

impl WhyNot {
    /// The reason in words.
    pub fn words(&self, part: &Part) -> String {
        why(part, self)
    }
}

/// One cut line of the book as the damage leaves it.
#[derive(Clone, Debug, PartialEq)]
pub struct LineState {
    /// The line.
    pub cut: CutId,
    /// Its place in the book.
    pub drawn: (Point, Point),
    /// How far it may be moved to either side if nothing is near, mm.
    pub window_mm: f64,
    /// Its length within the part, mm.
    pub length_mm: f64,
    /// Moves that keep all distances, from right to left, mm; empty where the line is forbidden.
    pub ranges: Vec<(f64, f64)>,
    /// The cells of the least section that is cut at this line, or why there is none.
    pub with: Result<Vec<CellId>, WhyNot>,
    /// The place of least move, mm; 0 where the line is forbidden.
    pub moved_mm: f64,
    /// What lies beside the line, each kind once with its least distance from that place, mm; nearest first.
    pub near: Vec<(What, f64)>,
}

/// The section that a person chose, with the pieces to order without regard to price.
///
/// # Errors
/// Says what forbids it and, for a place, the nearest permitted one.
pub fn held_section(part: &Part, finding: &Finding, hold: &SectionHold) -> Result<SectionPlan, WhyNot> {
    let site = site(part, finding).map_err(WhyNot::None)?;
    let cells = match wanted(&site, hold)? {
        Some(cells) => cells,
        None => least(&site, |_| ()).ok_or_else(|| WhyNot::None(none(&site)))?.cells,
    };
    check(&site, cells, hold)?;
    let mut problem = Problem::plain(&site);
    // The lines are where the person put them; pieces whose joints cannot follow are not ordered.
    let piece = fewest(&site, cells, |piece| {
        problem.piece.copy_from_slice(piece);
        settle(&problem, cells, &hold.moves).is_ok()
    });
    let mut plan = build::unpriced_as(&site, cells, piece.clone());
    problem.piece = piece.unwrap_or_else(|| vec![0; problem.piece.len()]);
    place(&problem, cells, &hold.moves, &mut plan)?;
    plan.held = true;
    Ok(plan)
}

/// The best sections for a person's choice under the caller's weights.
///
/// # Errors
/// As [`held_section`].
pub(super) fn held_sections(site: &Site<'_>, hold: &SectionHold, weights: &Weights) -> Result<Vec<Priced>, WhyNot> {
    let only = wanted(site, hold)?;
    if let Some(cells) = only {
        check(site, cells, hold)?;
    }
    let (mut out, mut refused) = (Vec::new(), None);
    for one in covers(site, weights, only) {
        let mut plan = build::bought(site, &one);
        let mut problem = Problem::plain(site);
        problem.piece = one.piece;
        match place(&problem, one.cells, &hold.moves, &mut plan) {
            Ok(()) => {
                plan.held = true;
                out.push(Priced { price: one.price, work: one.work, plan: Arc::new(plan) });
            }
            Err(why) => refused = refused.or(Some(why)),
        }
    }
    if out.is_empty() { Err(refused.unwrap_or_else(|| WhyNot::None(none(site)))) } else { Ok(out) }
}

/// The cells that a hold names, by bit; `None` where it leaves them open.
fn wanted(site: &Site<'_>, hold: &SectionHold) -> Result<Option<u64>, WhyNot> {
    let cells = &site.sections.cells;
    let mut set = 0_u64;
    for id in &hold.cells {
        let at = cells.iter().position(|cell| cell.id == *id).ok_or_else(|| WhyNot::UnknownCell(id.clone()))?;
        set |= 1 << at;
    }
    for id in hold.moves.keys() {
        if !site.sections.cuts.iter().any(|cut| cut.id == *id) {
            return Err(WhyNot::UnknownCut(id.clone()));
        }
    }
    Ok((set != 0).then_some(set))
}

/// Whether these cells make a section with lines at the held places, all cut from one new piece.
fn check(site: &Site<'_>, cells: u64, hold: &SectionHold) -> Result<(), WhyNot> {
    let all = site.sections.cells.len();
    if cells.count_ones() as usize == all {
        return Err(WhyNot::EveryCell);
    }
    let problem = Problem::plain(site);
    if let Some(cell) = problem.bare(cells) {
        return Err(WhyNot::Damaged(site.sections.cells[cell].id.clone()));
    }
    settle(&problem, cells, &hold.moves).map(|_| ())
}

/// A line's range and place for each cut in use.
type Settled = Vec<(usize, Vec<Use>, (f64, f64), f64)>;

fn settle(problem: &Problem<'_>, cells: u64, moves: &BTreeMap<CutId, i32>) -> Result<Settled, WhyNot> {
    let site = problem.site;
    let mut out = Vec::new();
    for (at, cut) in site.sections.cuts.iter().enumerate() {
        let uses = problem.uses(cells, at);
        if uses.is_empty() {
            continue;
        }
        let free = site.free(at, problem.bars(&uses));
        let wanted = moves.get(&cut.id).map(|mm| f64::from(*mm));
        let range = match wanted {
            Some(mm) => free.iter().find(|(from, to)| (*from - ROUNDING_MM..=*to + ROUNDING_MM).contains(&mm)),
            None => free.iter().min_by(|one, other| away(**one).total_cmp(&away(**other))),
        };
        let Some(range) = range else {
            return Err(refusal(problem, at, &uses, &free, wanted.unwrap_or(0.0)));
        };
        out.push((at, uses, *range, wanted.unwrap_or_else(|| least_move(*range))));
    }
    Ok(out)
}

fn place(
    problem: &Problem<'_>,
    cells: u64,
    moves: &BTreeMap<CutId, i32>,
    plan: &mut SectionPlan,
) -> Result<(), WhyNot> {
    let settled = settle(problem, cells, moves)?;
    plan.cuts = settled.into_iter().map(|(cut, uses, range, mm)| at_place(problem, &uses, cut, range, mm)).collect();
    Ok(())
}

/// What forbids the line this place.
fn refusal(problem: &Problem<'_>, cut: usize, uses: &[Use], free: &[(f64, f64)], mm: f64) -> WhyNot {
    let spec = &problem.site.sections.cuts[cut];
    let places = free.iter().map(|(from, to)| {
        let exact = mm.clamp(*from, *to);
        let whole = if exact > mm { exact.ceil() } else { exact.floor() };
        if (*from..=*to).contains(&whole) { whole } else { exact }
    });
    let nearest_mm = places.min_by(|one, other| (one - mm).abs().total_cmp(&(other - mm).abs()));
    let id = spec.id.clone();
    if mm.abs() > spec.window_mm {
        return WhyNot::Line { cut: id, what: None, distance_mm: mm.abs(), needed_mm: spec.window_mm, nearest_mm };
    }
    let short = |bar: &&Bar| bar.need - distance(bar, mm);
    let bars = problem.bars(uses).filter(|bar| bar.from < mm && mm < bar.to);
    match bars.max_by(|one, other| short(one).total_cmp(&short(other))) {
        Some(bar) => WhyNot::Line {
            cut: id,
            what: Some(bar.what.clone()),
            distance_mm: distance(bar, mm),
            needed_mm: bar.need,
            nearest_mm,
        },
        None => WhyNot::Open(id),
    }
}

/// How near the thing comes to the line at this place; 0 where the line meets it or runs on its wrong side.
fn distance(bar: &Bar, mm: f64) -> f64 {
    let wrong = (bar.to == f64::INFINITY && mm > bar.thing.1) || (bar.from == f64::NEG_INFINITY && mm < bar.thing.0);
    if wrong { 0.0 } else { bar.distance(mm) }
}

/// The least section that is cut at this line, and not at the other if one is given: what dragging one line to another
/// asks for.
///
/// # Errors
/// Says why the line cannot be taken.
pub fn with_line(
    part: &Part,
    finding: &Finding,
    cut: &CutId,
    instead_of: Option<&CutId>,
) -> Result<SectionPlan, WhyNot> {
    let site = site(part, finding).map_err(WhyNot::None)?;
    let find = |id: &CutId| {
        site.sections.cuts.iter().position(|one| one.id == *id).ok_or_else(|| WhyNot::UnknownCut(id.clone()))
    };
    let avoid = instead_of.map_or(Ok(0), |id| find(id).map(|at| 1_u64 << at))?;
    let best = through(&site, find(cut)?, avoid)?;
    Ok(build::unpriced(&site, best.cells))
}

/// The least set of cells with this line in use and without the lines to avoid.
fn through(site: &Site<'_>, cut: usize, avoid: u64) -> Result<Best, WhyNot> {
    let id = || site.sections.cuts[cut].id.clone();
    let edges: Vec<usize> = (0..site.edges.len()).filter(|at| site.edges[*at].cut == cut).collect();
    let best = edges.iter().filter(|at| !site.barred(**at)).filter_map(|at| {
        let edge = &site.edges[*at];
        least(site, |problem| {
            problem.within |= 1 << edge.cell;
            problem.without |= 1 << edge.beyond;
            problem.avoid = avoid;
        })
    });
    if let Some(best) = best.min() {
        return Ok(best);
    }
    let hard = Problem::plain(site).hard();
    let sides: Vec<usize> = edges.into_iter().filter(|at| hard & (1 << site.edges[*at].beyond) == 0).collect();
    if sides.is_empty() {
        return Err(WhyNot::BothSides(id()));
    }
    // The side that holds damage tells most.
    let told = sides.iter().filter(|at| site.barred(**at)).max_by_key(|at| {
        let edge = &site.edges[**at];
        (hard & (1 << edge.cell) != 0, usize::MAX - **at)
    });
    Err(match told {
        Some(at) => {
            let uses = [Use { edge: *at, between_new: false }];
            refusal(&Problem::plain(site), cut, &uses, &[], 0.0)
        }
        None => WhyNot::Open(id()),
    })
}

/// Every cut line of the part: where it may run or what forbids it, and what lies near.
///
/// # Errors
/// Where the part is not divided or the damage has no place in it.
pub fn lines(part: &Part, finding: &Finding) -> Result<Vec<LineState>, NoSection> {
    let site = site(part, finding)?;
    let state = |cut: usize| {
        let spec = &site.sections.cuts[cut];
        let problem = Problem::plain(&site);
        let best = through(&site, cut, 0);
        let uses: Vec<Use> = match &best {
            Ok(best) => problem.uses(best.cells, cut),
            Err(_) => {
                let edges = (0..site.edges.len()).filter(|at| site.edges[*at].cut == cut);
                edges.map(|edge| Use { edge, between_new: false }).collect()
            }
        };
        let ranges = if best.is_ok() { site.free(cut, problem.bars(&uses)) } else { Vec::new() };
        let nearest = ranges.iter().min_by(|one, other| away(**one).total_cmp(&away(**other)));
        let moved_mm = nearest.map_or(0.0, |range| least_move(*range));
        let mut near: Vec<(What, f64)> = Vec::new();
        for bar in problem.bars(&uses) {
            let distance = bar.distance(moved_mm);
            match near.iter_mut().find(|(what, _)| *what == bar.what) {
                Some((_, least)) => *least = least.min(distance),
                None => near.push((bar.what.clone(), distance)),
            }
        }
        near.sort_by(|one, other| one.1.total_cmp(&other.1));
        let ids = |set: u64| cells_of(set).map(|cell| site.sections.cells[cell].id.clone()).collect();
        LineState {
            cut: spec.id.clone(),
            drawn: spec.line,
            window_mm: spec.window_mm,
            length_mm: spec.length_mm,
            ranges,
            with: best.map(|best| ids(best.cells)),
            moved_mm,
            near,
        }
    };
    Ok((0..site.sections.cuts.len()).map(state).collect())
}
