//! Finds where a part may be sectioned: which cells are renewed, at which cut lines, how far each line may move.
//!
//! The search starts from the damaged cells and grows only where a cut line cannot keep its distances inside its
//! window; the result is the smallest set of cells that contains the damage. Never moves a line out of its window,
//! never closer to damage or a no-cut area than stated, and never weighs price: a later search over all sets of cells
//! may take the place of [`section_plan`] without touching its callers.

use crate::catalogue::{Cell, Cut, Part, Sections};
use crate::damage::Finding;
use crate::geometry::{Area, Point};
use crate::ids::{CellId, CutId};
use crate::terms::{Join, NoCutKind, Route, View};
use crate::words::{Language, say, word};

/// Sound metal between a cut line and the damage, mm. Common practice, no source; a maker's procedure may ask for more.
pub const CLEARANCE_MM: f64 = 50.0;
/// How far beside its ends a cut line still minds damage and no-cut areas, mm.
const BESIDE_MM: f64 = 50.0;
/// Damage that is no further than this from a cell may belong to it, mm.
const SLIVER_MM: f64 = 5.0;
/// Distances closer than this count as equal, mm.
const ROUNDING_MM: f64 = 1e-6;

/// Which cells are renewed and where the part is cut.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionPlan {
    /// View in which lines and cells are given.
    pub view: View,
    /// Cells to renew, in the order of the book.
    pub cells: Vec<CellId>,
    /// Cut lines, in the order of the book.
    pub cuts: Vec<CutUse>,
    /// Sections to order; empty where the piece is cut out of a whole new part.
    pub service: Vec<String>,
    /// Renewed area as a share of the part, 0 to 1.
    pub share: f64,
    /// Ways to join that every cut permits.
    pub routes: Vec<Route>,
}

/// A cut line in use.
#[derive(Clone, Debug, PartialEq)]
pub struct CutUse {
    /// The cut line of the book.
    pub cut: CutId,
    /// Where the line runs: moved as little as the distances ask for.
    pub line: (Point, Point),
    /// How far it is moved, mm; positive to the left of the line's direction.
    pub moved_mm: f64,
    /// Least and greatest move that keep all distances, mm.
    pub range_mm: (f64, f64),
    /// Length of the cut within the part, mm.
    pub length_mm: f64,
    /// How the ends meet.
    pub join: Join,
    /// Width of the backing sleeve or of the overlap, mm.
    pub sleeve_mm: f64,
    /// Ways to join that the part permits here.
    pub routes: Vec<Route>,
    /// Distance to the damage, mm; infinity where no damage lies before the line.
    pub to_damage_mm: f64,
    /// The nearest no-cut area and its distance, mm.
    pub nearest_no_cut: Option<(NoCutKind, f64)>,
}

/// Why no section is found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoSection {
    /// The book gives no cut line for the part.
    NotDivided,
    /// The damage lies in no cell: its outline says too little about where it is.
    NoPlace,
    /// The damage with its clearance reaches every cell.
    EveryCell,
    /// No set of cells can be bounded: this cut, the last one tried, cannot keep its distances.
    NoLine(CutId),
}

impl NoSection {
    /// The reason in words.
    pub fn words(&self) -> String {
        let clearance = format!("{CLEARANCE_MM:.0}");
        match self {
            Self::NotDivided => word("section-not-divided"),
            Self::NoPlace => word("section-no-place"),
            Self::EveryCell => word("section-every-cell"),
            Self::NoLine(_) => say(Language::English, "section-no-line", &[("clearance", &clearance)]),
        }
    }
}

/// The smallest section that renews the damage.
///
/// # Errors
/// Says why there is none; the part is then replaced whole or the maker is asked.
pub fn section_plan(part: &Part, finding: &Finding) -> Result<SectionPlan, NoSection> {
    let sections = part.sections.as_ref().filter(|s| !s.cuts.is_empty()).ok_or(NoSection::NotDivided)?;
    let damage = damage_in(part, sections, finding);
    let mut renewed: Vec<bool> = sections.cells.iter().map(|cell| finding.cells.contains(&cell.id)).collect();
    if !renewed.contains(&true) {
        // A sliver of damage at the edge may lie in no cell by rounding: it belongs to the nearest.
        let distance = |cell: &Cell| damage.iter().map(|area| cell.area.distance(area)).fold(f64::INFINITY, f64::min);
        let nearest = sections.cells.iter().map(distance).enumerate().min_by(|one, other| one.1.total_cmp(&other.1));
        match nearest {
            Some((at, distance)) if distance <= SLIVER_MM => renewed[at] = true,
            _ => return Err(NoSection::NoPlace),
        }
    }
    if !renewed.contains(&false) {
        return Err(NoSection::EveryCell);
    }
    let borders = shared(sections);
    loop {
        let mut uses = Vec::new();
        let mut grown = false;
        for (at, cut) in sections.cuts.iter().enumerate() {
            let open = |border: &&Shared| border.cut == at && renewed[border.cells.0] && !renewed[border.cells.1];
            let used: Vec<&Shared> = borders.iter().filter(open).collect();
            if used.is_empty() {
                continue;
            }
            match place(part, sections, cut, &used, &damage) {
                Some(cut_use) => uses.push(cut_use),
                None => {
                    for border in used {
                        renewed[border.cells.1] = true;
                    }
                    if !renewed.contains(&false) {
                        return Err(NoSection::NoLine(cut.id.clone()));
                    }
                    grown = true;
                }
            }
        }
        if !grown {
            return Ok(result(sections, &renewed, uses));
        }
    }
}

/// Damage as areas in the plane of the cut lines. Damage that is drawn in another plane is taken over the whole breadth
/// of the part along the axis that both planes share, so that no cut can run through it.
fn damage_in(part: &Part, sections: &Sections, finding: &Finding) -> Vec<Area> {
    let plane = sections.view.plane();
    let outline = part.shapes.get(&sections.view).map(Area::bounds);
    let mut out = Vec::with_capacity(finding.areas.len());
    for (view, area) in &finding.areas {
        let other = view.plane();
        if other == plane {
            out.push(area.clone());
            continue;
        }
        let Some(outline) = outline else { continue };
        let bounds = area.bounds();
        let along = |axis: usize| {
            if axis == other.0 {
                Some((bounds.low.a, bounds.high.a))
            } else if axis == other.1 {
                Some((bounds.low.b, bounds.high.b))
            } else {
                None
            }
        };
        let (a, b) = (along(plane.0), along(plane.1));
        if a.is_some() || b.is_some() {
            let (a0, a1) = a.unwrap_or((outline.low.a, outline.high.a));
            let (b0, b1) = b.unwrap_or((outline.low.b, outline.high.b));
            out.extend(Area::from_points(&[
                Point::new(a0, b0),
                Point::new(a1, b0),
                Point::new(a1, b1),
                Point::new(a0, b1),
            ]));
        }
    }
    out
}

/// A border between two cells: the cut by which it runs, the two cells, the shared length.
struct Shared {
    cut: usize,
    cells: (usize, usize),
    length_mm: f64,
}

/// All borders, each seen from both of its cells.
fn shared(sections: &Sections) -> Vec<Shared> {
    let mut out = Vec::new();
    for (here, cell) in sections.cells.iter().enumerate() {
        for border in &cell.borders {
            let cut = sections.cuts.iter().position(|cut| cut.id == border.cut);
            let beyond = sections.cells.iter().position(|cell| cell.id == border.beyond);
            if let (Some(cut), Some(beyond)) = (cut, beyond) {
                out.push(Shared { cut, cells: (here, beyond), length_mm: border.length_mm });
            }
        }
    }
    out
}

/// Puts one cut line where it keeps all distances, moved as little as possible, or `None` where it cannot.
fn place(part: &Part, sections: &Sections, cut: &Cut, used: &[&Shared], damage: &[Area]) -> Option<CutUse> {
    let frame = Axis::of(cut.line)?;
    let (mut low, mut high) = (-cut.window_mm, cut.window_mm);
    let mut damage_span: Option<(f64, f64)> = None;
    for area in damage {
        damage_span = join(damage_span, frame.span(area));
    }
    for border in used {
        let middle = frame.span(&sections.cells[border.cells.0].area).map_or(0.0, |(s0, s1)| f64::midpoint(s0, s1));
        let Some((nearest, farthest)) = damage_span else { continue };
        if middle >= 0.0 {
            high = high.min(nearest - CLEARANCE_MM);
        } else {
            low = low.max(farthest + CLEARANCE_MM);
        }
    }
    let barred: Vec<(NoCutKind, f64, f64, f64)> = part
        .no_cut
        .iter()
        .filter(|area| area.view.plane() == sections.view.plane())
        .filter_map(|area| frame.span(&area.area).map(|(s0, s1)| (area.kind, s0, s1, area.clear_mm)))
        .collect();
    let free = free_ranges(low, high, &barred);
    let (from, to) = free.into_iter().min_by(|one, other| away(*one).total_cmp(&away(*other)))?;
    let moved = 0.0_f64.clamp(from, to);
    let distance = |s0: f64, s1: f64| (s0 - moved).max(moved - s1).max(0.0);
    Some(CutUse {
        cut: cut.id.clone(),
        line: frame.moved(cut.line, moved),
        moved_mm: moved,
        range_mm: (from, to),
        length_mm: used.iter().map(|border| border.length_mm).sum(),
        join: cut.join,
        sleeve_mm: cut.sleeve_mm,
        routes: cut.routes.clone(),
        to_damage_mm: damage_span.map_or(f64::INFINITY, |(s0, s1)| distance(s0, s1)),
        nearest_no_cut: barred
            .iter()
            .map(|(kind, s0, s1, _)| (*kind, distance(*s0, *s1)))
            .min_by(|one, other| one.1.total_cmp(&other.1)),
    })
}

/// What is left of `low..=high` when a line must stay off each barred range by its clearance.
fn free_ranges(low: f64, high: f64, barred: &[(NoCutKind, f64, f64, f64)]) -> Vec<(f64, f64)> {
    let mut free = vec![(low, high)];
    for (_, s0, s1, clear) in barred {
        let (start, end) = (s0 - clear, s1 + clear);
        free = free.into_iter().flat_map(|(from, to)| [(from, to.min(start)), (from.max(end), to)]).collect();
    }
    free.retain(|(from, to)| *from <= *to + ROUNDING_MM);
    for range in &mut free {
        range.1 = range.1.max(range.0);
    }
    free
}

/// How far a range lies from the line's drawn place.
fn away((from, to): (f64, f64)) -> f64 {
    from.max(-to).max(0.0)
}

fn join(one: Option<(f64, f64)>, other: Option<(f64, f64)>) -> Option<(f64, f64)> {
    match (one, other) {
        (Some(a), Some(b)) => Some((a.0.min(b.0), a.1.max(b.1))),
        (a, b) => a.or(b),
    }
}

fn result(sections: &Sections, renewed: &[bool], cuts: Vec<CutUse>) -> SectionPlan {
    let cells: Vec<&Cell> = sections.cells.iter().zip(renewed).filter(|(_, new)| **new).map(|(cell, _)| cell).collect();
    let total: f64 = sections.cells.iter().map(|cell| cell.area.size()).sum();
    let share = cells.iter().map(|cell| cell.area.size()).sum::<f64>() / total.max(1.0);
    let ids: Vec<CellId> = cells.iter().map(|cell| cell.id.clone()).collect();
    let routes = Route::ALL.iter().copied().filter(|route| cuts.iter().all(|cut| cut.routes.contains(route))).collect();
    let service = order(sections, &ids);
    SectionPlan { view: sections.view, cells: ids, cuts, service, share, routes }
}

/// The fewest sold sections that cover the cells, then those with the fewest cells, then the first in the book; a
/// section that reaches further is trimmed at the cut. Empty where only a whole part covers them, or more than three
/// sections would be needed.
fn order(sections: &Sections, cells: &[CellId]) -> Vec<String> {
    let bit = |id: &CellId| sections.cells.iter().position(|cell| cell.id == *id).map_or(0, |at| 1_u64 << (at % 64));
    let needed = cells.iter().fold(0, |sum, id| sum | bit(id));
    let sold: Vec<u64> = sections.service.iter().map(|one| one.cells.iter().fold(0, |sum, id| sum | bit(id))).collect();
    let useful: Vec<usize> = (0..sold.len()).filter(|at| sold[*at] & needed != 0).collect();
    let mut best: Option<(u32, Vec<usize>)> = None;
    let mut offer = |set: &[usize]| {
        let covered = set.iter().fold(0, |sum, at| sum | sold[*at]);
        let size = set.iter().map(|at| sold[*at].count_ones()).sum();
        if covered & needed == needed
            && best.as_ref().is_none_or(|(known, chosen)| chosen.len() == set.len() && size < *known)
        {
            best = Some((size, set.to_vec()));
        }
    };
    for one in &useful {
        offer(&[*one]);
    }
    for (n, one) in useful.iter().enumerate() {
        for other in &useful[n + 1..] {
            offer(&[*one, *other]);
        }
    }
    for (n, one) in useful.iter().enumerate() {
        for (m, other) in useful.iter().enumerate().skip(n + 1) {
            for third in &useful[m + 1..] {
                offer(&[*one, *other, *third]);
            }
        }
    }
    best.map_or_else(Vec::new, |(_, set)| set.into_iter().map(|at| sections.service[at].id.clone()).collect())
}

/// Distances across a straight line.
struct Axis {
    origin: Point,
    along: (f64, f64),
    length: f64,
}

impl Axis {
    fn of((from, to): (Point, Point)) -> Option<Self> {
        let length = from.distance(to);
        (length > ROUNDING_MM).then(|| Self {
            origin: from,
            along: ((to.a - from.a) / length, (to.b - from.b) / length),
            length,
        })
    }

    /// Place along the line and distance to its left.
    fn at(&self, point: Point) -> (f64, f64) {
        let (a, b) = (point.a - self.origin.a, point.b - self.origin.b);
        (a * self.along.0 + b * self.along.1, b * self.along.0 - a * self.along.1)
    }

    /// Least and greatest distance to the left of the line of that of the area which lies beside it.
    fn span(&self, area: &Area) -> Option<(f64, f64)> {
        let (low, high) = (-BESIDE_MM, self.length + BESIDE_MM);
        let mut span: Option<(f64, f64)> = None;
        for ring in area.points() {
            let mut before = ring.last().map(|last| self.at(*last));
            for point in ring.iter().map(|point| self.at(*point)) {
                if let Some((u0, s0)) = before {
                    for (u, s) in clipped((u0, s0), point, low, high).into_iter().flatten() {
                        debug_assert!(u >= low - 1e-3 && u <= high + 1e-3);
                        span = join(span, Some((s, s)));
                    }
                }
                before = Some(point);
            }
        }
        span
    }

    fn moved(&self, (from, to): (Point, Point), left: f64) -> (Point, Point) {
        let shift = |p: Point| Point::new(p.a - self.along.1 * left, p.b + self.along.0 * left);
        (shift(from), shift(to))
    }
}

/// The ends of that piece of an edge whose first coordinate lies in `low..=high`.
fn clipped(one: (f64, f64), other: (f64, f64), low: f64, high: f64) -> [Option<(f64, f64)>; 2] {
    let (u0, s0) = one;
    let (u1, s1) = other;
    let run = u1 - u0;
    if run.abs() < ROUNDING_MM {
        return if (low..=high).contains(&u0) { [Some(one), Some(other)] } else { [None, None] };
    }
    let (mut from, mut to) = ((low - u0) / run, (high - u0) / run);
    if from > to {
        std::mem::swap(&mut from, &mut to);
    }
    let (from, to) = (from.max(0.0), to.min(1.0));
    if from > to {
        return [None, None];
    }
    let at = |t: f64| (u0 + run * t, s0 + (s1 - s0) * t);
    [Some(at(from)), Some(at(to))]
}
