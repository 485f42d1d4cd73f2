//! The cut map: one part drawn large with what stays, what goes, every cut line, and the distances that it keeps.
//!
//! Draws what the section search says and decides nothing. All shapes are in screen millimetres of the part's section
//! view: first coordinate to the right, second down.

use crate::catalogue::{Part, Sections};
use crate::damage::Finding;
use crate::decide::section::{NoSection, SectionPlan, What, WhyNot, cell_name, cut_name, damage_in, lines};
use crate::geometry::{Area, Bounds, Point};
use crate::ids::{CellId, CutId};
use crate::terms::{NoCutKind, View};

/// One part with its cut lines.
#[derive(Clone, Debug, PartialEq)]
pub struct CutMap {
    /// The view in which it is drawn.
    pub view: View,
    /// Bounds of the part.
    pub bounds: Bounds,
    /// Its outline, as an SVG path.
    pub outline: String,
    /// Its feature lines, as an SVG path.
    pub features: String,
    /// The damage, as an SVG path.
    pub damage: String,
    /// Its pieces, bounded where the lines run.
    pub cells: Vec<CutCell>,
    /// Areas through which no cut may run.
    pub zones: Vec<CutZone>,
    /// Its cut lines, in the order of the book.
    pub lines: Vec<CutLine>,
}

/// A piece of the part.
#[derive(Clone, Debug, PartialEq)]
pub struct CutCell {
    /// The cell.
    pub cell: CellId,
    /// Its name in words.
    pub name: String,
    /// Whether it is renewed.
    pub goes: bool,
    /// SVG path.
    pub path: String,
    /// Its bounds.
    pub bounds: Bounds,
}

/// An area through which no cut may run.
#[derive(Clone, Debug, PartialEq)]
pub struct CutZone {
    /// Why.
    pub kind: NoCutKind,
    /// SVG path.
    pub path: String,
    /// Where its name may stand.
    pub middle: Point,
}

/// How a line stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LineUse {
    /// The section is cut here.
    Chosen,
    /// A section may be cut here.
    Permitted,
    /// No section may be cut here.
    Forbidden,
}

impl LineUse {
    /// The written form.
    pub fn word(self) -> &'static str {
        match self {
            Self::Chosen => "chosen",
            Self::Permitted => "permitted",
            Self::Forbidden => "forbidden",
        }
    }
}

/// A cut line.
#[derive(Clone, Debug, PartialEq)]
pub struct CutLine {
    /// The line.
    pub cut: CutId,
    /// Its name, as it stands after "cut".
    pub name: String,
    /// How it stands.
    pub state: LineUse,
    /// Where it is drawn: its ends on the part where it runs or, if it is not used, would run.
    pub ends: (Point, Point),
    /// One millimetre of move to the left of its direction, on the screen.
    pub step: Point,
    /// How far it is moved from its place in the book, mm.
    pub moved_mm: f64,
    /// Permitted moves, mm, from right to left.
    pub ranges: Vec<(f64, f64)>,
    /// The strips in which it may run, as SVG paths.
    pub bands: Vec<String>,
    /// Its length that is cut, or that could be, mm.
    pub length_mm: f64,
    /// Why it is forbidden.
    pub why: Option<WhyNot>,
    /// Distances that it keeps, each kind of thing once, nearest first.
    pub distances: Vec<CutDistance>,
}

/// A distance between a line and something near it.
#[derive(Clone, Debug, PartialEq)]
pub struct CutDistance {
    /// What is near.
    pub what: What,
    /// The place of it that is nearest.
    pub from: Point,
    /// The foot of that place on the line.
    pub to: Point,
    /// Distance, mm.
    pub mm: f64,
}

/// The cut map of a part with the section that stands.
///
/// # Errors
/// Where the part is not divided or the damage has no place in it.
pub fn cut_map(part: &Part, finding: &Finding, plan: Option<&SectionPlan>) -> Result<CutMap, NoSection> {
    let states = lines(part, finding)?;
    let (Some(sections), Some(whole)) =
        (&part.sections, part.sections.as_ref().and_then(|sections| part.shapes.get(&sections.view)))
    else {
        return Err(NoSection::NotDivided);
    };
    let view = sections.view;
    let screen = move |p: Point| view.to_screen(p);
    let damage = damage_in(part, sections, finding);
    let used = |cut: &CutId| plan.and_then(|plan| plan.cuts.iter().find(|used| used.cut == *cut));
    let moves: Vec<f64> = sections.cuts.iter().map(|cut| used(&cut.id).map_or(0.0, |used| used.moved_mm)).collect();
    let cells = moved_cells(sections, whole, &moves);
    let cells = sections.cells.iter().zip(cells).filter_map(|(cell, area)| {
        let area = area?;
        Some(CutCell {
            cell: cell.id.clone(),
            name: cell_name(part, &cell.id),
            goes: plan.is_some_and(|plan| plan.cells.contains(&cell.id)),
            path: area.path(screen),
            bounds: on_screen(view, area.bounds()),
        })
    });
    let zones: Vec<&crate::catalogue::NoCut> =
        part.no_cut.iter().filter(|zone| zone.view.plane() == view.plane()).collect();
    let map = |state: crate::decide::section::LineState| {
        let used = used(&state.cut);
        let moved_mm = used.map_or(state.moved_mm, |used| used.moved_mm);
        let drawn = state.drawn;
        let line = shifted(drawn, moved_mm);
        let ends = within(whole, line).unwrap_or(line);
        let ranges = used.map_or_else(|| state.ranges.clone(), |used| vec![used.range_mm]);
        let left = unit_left(drawn);
        let step = screen(left);
        let bands = ranges.iter().filter_map(|range| band(whole, drawn, *range)).map(|band| band.path(screen));
        let mut distances: Vec<CutDistance> = state
            .near
            .iter()
            .filter_map(|(what, _)| {
                let areas: Vec<&Area> = match what {
                    What::Damage => damage.iter().collect(),
                    What::NoCut(kind) => {
                        zones.iter().filter(|zone| zone.kind == *kind).map(|zone| &zone.area).collect()
                    }
                    What::JointEnd(_) => Vec::new(),
                };
                let mut places: Vec<Point> = areas.into_iter().flat_map(Area::points).flatten().collect();
                if let What::JointEnd(to) = what {
                    places.extend(sections.joint_ends.iter().filter(|end| end.to == *to).map(|end| end.at));
                }
                let near = places.into_iter().map(|place| (foot(place, ends), place));
                let (to, from) =
                    near.min_by(|one, other| one.0.distance(one.1).total_cmp(&other.0.distance(other.1)))?;
                Some(CutDistance { what: what.clone(), from: screen(from), to: screen(to), mm: to.distance(from) })
            })
            .collect();
        distances.sort_by(|one, other| one.mm.total_cmp(&other.mm));
        CutLine {
            name: cut_name(part, &state.cut),
            state: match (used, &state.with) {
                (Some(_), _) => LineUse::Chosen,
                (None, Ok(_)) => LineUse::Permitted,
                (None, Err(_)) => LineUse::Forbidden,
            },
            ends: (screen(ends.0), screen(ends.1)),
            step,
            moved_mm,
            bands: bands.collect(),
            ranges,
            length_mm: used.map_or(state.length_mm, |used| used.length_mm),
            why: state.with.err().filter(|_| used.is_none()),
            distances,
            cut: state.cut,
        }
    };
    let features = part.lines.get(&view).into_iter().flatten();
    Ok(CutMap {
        view,
        bounds: on_screen(view, whole.bounds()),
        outline: whole.path(screen),
        features: features.map(|line| line.path(screen)).collect(),
        damage: damage.iter().map(|area| area.path(screen)).collect(),
        cells: cells.collect(),
        zones: zones
            .iter()
            .filter_map(|zone| {
                // Only what lies on the part is drawn.
                let area = whole.common(&zone.area)?;
                Some(CutZone { kind: zone.kind, path: area.path(screen), middle: screen(area.bounds().centre()) })
            })
            .collect(),
        lines: states.into_iter().map(map).collect(),
    })
}

fn on_screen(view: View, bounds: Bounds) -> Bounds {
    let (p, q) = (view.to_screen(bounds.low), view.to_screen(bounds.high));
    Bounds { low: Point::new(p.a.min(q.a), p.b.min(q.b)), high: Point::new(p.a.max(q.a), p.b.max(q.b)) }
}

/// The cells as the moved lines bound them.
fn moved_cells(sections: &Sections, whole: &Area, moves: &[f64]) -> Vec<Option<Area>> {
    let cells = sections.cells.iter();
    if moves.iter().all(|mm| *mm == 0.0) {
        return cells.map(|cell| Some(cell.area.clone())).collect();
    }
    cells
        .map(|cell| {
            sections.cuts.iter().zip(moves).try_fold(whole.clone(), |area, (cut, mm)| {
                let (from, to) = shifted(cut.line, *mm);
                // A border says on which side of its line the cell lies; a cell without one is on that of its middle.
                let border = cell.borders.iter().find(|border| border.cut == cut.id);
                let left = border.map_or_else(
                    || {
                        let (middle, left) = (cell.area.bounds().centre(), unit_left(cut.line));
                        (middle.a - cut.line.0.a) * left.a + (middle.b - cut.line.0.b) * left.b > 0.0
                    },
                    |border| border.left,
                );
                if left { area.left_of(from, to) } else { area.left_of(to, from) }
            })
        })
        .collect()
}

fn unit_left((from, to): (Point, Point)) -> Point {
    let length = from.distance(to).max(1e-9);
    Point::new(-(to.b - from.b) / length, (to.a - from.a) / length)
}

fn shifted(line: (Point, Point), mm: f64) -> (Point, Point) {
    let left = unit_left(line);
    let shift = |p: Point| Point::new(p.a + left.a * mm, p.b + left.b * mm);
    (shift(line.0), shift(line.1))
}

/// The line's ends on the part.
fn within(whole: &Area, (from, to): (Point, Point)) -> Option<(Point, Point)> {
    let (low, high) = whole.span_within(from, to)?;
    let length = from.distance(to);
    let at =
        |along: f64| Point::new(from.a + (to.a - from.a) * along / length, from.b + (to.b - from.b) * along / length);
    Some((at(low), at(high)))
}

/// The strip of the part in which a line may run.
fn band(whole: &Area, drawn: (Point, Point), (from, to): (f64, f64)) -> Option<Area> {
    // Even a line with a single place shows as a hair.
    let (one, other) = (shifted(drawn, from - 0.25), shifted(drawn, to + 0.25));
    whole.common(&Area::from_points(&[one.0, one.1, other.1, other.0])?)
}

/// The place of the line, as far as it is drawn, that is nearest.
fn foot(place: Point, (from, to): (Point, Point)) -> Point {
    let length = from.distance(to).max(1e-9);
    let (a, b) = ((to.a - from.a) / length, (to.b - from.b) / length);
    let along = ((place.a - from.a) * a + (place.b - from.b) * b).clamp(0.0, length);
    Point::new(from.a + a * along, from.b + b * along)
}
