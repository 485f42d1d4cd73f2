//! Puts fasteners along a line: at the pitch, clear of edges, bends, barred areas and each other.
//!
//! A place that keeps no distance is moved along the line or left out, never used. Deterministic, and the same for a
//! mirrored line.

use super::place::at;
use crate::geometry::{Area, Bounds, Line, Point};

/// How far a fastener is moved along its row to find a permitted place: steps, mm.
const STEP_MM: f64 = 2.0;
/// Into how many pieces a leg is divided to see where a row would stand best.
const LOOKS: u8 = 12;

/// How the places along a line are chosen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Pattern {
    /// Evenly, at no more than this pitch, mm.
    New(f64),
    /// At the places of the factory's fasteners, this pitch apart, mm.
    Kept(f64),
    /// Beside the places of the factory's fasteners: their pitch and the distance to keep from an old place, mm.
    Beside(f64, f64),
}

/// Distances to keep, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Keep {
    /// To an edge of the sheet.
    pub edge_mm: f64,
    /// To the end of a leg of the line.
    pub end_mm: f64,
    /// Between fasteners of a row.
    pub pitch_mm: f64,
    /// Between any two fasteners.
    pub any_mm: f64,
    /// To a bend (a feature line).
    pub bend_mm: f64,
}

/// What fasteners must stay clear of.
#[derive(Clone, Debug, Default)]
pub struct Ground<'g> {
    /// Outline of the sheet.
    pub outline: Option<&'g Area>,
    /// Bends.
    pub bends: &'g [Line],
    /// Barred areas with the distance that each asks for, mm.
    pub barred: Vec<(&'g Area, f64)>,
}

/// What of a ground lies near one leg: only that can hinder there.
struct Around<'g> {
    outline: Option<&'g Area>,
    edges: Vec<(Point, Point)>,
    bends: Vec<(Point, Point)>,
    barred: Vec<(&'g Area, f64)>,
}

impl<'g> Ground<'g> {
    /// What lies within `reach` mm of the rectangle around a leg.
    fn around(&self, leg: &[Point], reach: f64) -> Around<'g> {
        let rectangles = leg.iter().map(|point| Bounds::around(*point, *point));
        let here = rectangles.reduce(|one, other| one.join(&other)).unwrap_or_default();
        let near = |(from, to): &(Point, Point)| here.near(&Bounds::around(*from, *to), reach);
        Around {
            outline: self.outline,
            edges: self.outline.iter().flat_map(|outline| outline.pieces()).filter(near).collect(),
            bends: self.bends.iter().flat_map(Line::pieces).filter(near).collect(),
            barred: self.barred.iter().filter(|(area, mm)| here.near(&area.bounds(), reach + mm)).copied().collect(),
        }
    }
}

/// A place for a fastener.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Site {
    /// Where.
    pub point: Point,
    /// Distance along its leg at true length, mm.
    pub along_mm: f64,
    /// Its row.
    pub row: usize,
    /// Distance to the nearest edge, mm.
    pub edge_mm: f64,
    /// Distance to the nearest fastener of its row at true length, mm; 0 for one alone.
    pub pitch_mm: f64,
}

/// What hinders places, each counted at the place that was wanted first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Hindered {
    /// By an edge of the sheet.
    pub edge: usize,
    /// By a bend.
    pub bend: usize,
    /// By another fastener.
    pub other: usize,
    /// By an area in which nothing may be set.
    pub barred: usize,
}

impl Hindered {
    /// All of them.
    pub fn sum(&self) -> usize {
        self.edge + self.bend + self.other + self.barred
    }
    /// Adds those of another line.
    pub fn add(&mut self, more: &Self) {
        self.edge += more.edge;
        self.bend += more.bend;
        self.other += more.other;
        self.barred += more.barred;
    }
    fn count(&mut self, why: Why) {
        match why {
            Why::Edge => self.edge += 1,
            Why::Bend => self.bend += 1,
            Why::Other => self.other += 1,
            Why::Barred => self.barred += 1,
        }
    }
}

/// Why a fastener cannot stand at a place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Why {
    Edge,
    Bend,
    Other,
    Barred,
}

/// Places along a straight line of that length, mm from its start.
pub fn positions(length_mm: f64, pattern: Pattern, keep: &Keep) -> Vec<f64> {
    let usable = length_mm - 2.0 * keep.end_mm;
    if usable < -1e-9 {
        return Vec::new();
    }
    let end = keep.end_mm.min(length_mm / 2.0);
    let spread = |count: usize, pitch: f64| {
        #[allow(clippy::cast_precision_loss)] // far below 2^53
        let start = (length_mm - pitch * (count - 1) as f64) / 2.0;
        #[allow(clippy::cast_precision_loss)]
        (0..count).map(|n| start + pitch * n as f64).collect::<Vec<f64>>()
    };
    match pattern {
        Pattern::New(aim) => {
            let most = whole(usable / keep.pitch_mm) + 1;
            let wanted = up(usable / aim.max(keep.pitch_mm)) + 1;
            let count = wanted.min(most).max(1);
            #[allow(clippy::cast_precision_loss)]
            let pitch = if count > 1 { usable / (count - 1) as f64 } else { 0.0 };
            spread(count, pitch)
        }
        Pattern::Kept(pitch) => {
            let mut places = spread(whole(length_mm / pitch) + 1, pitch);
            for place in &mut places {
                *place = place.clamp(end, length_mm - end);
            }
            places
        }
        Pattern::Beside(pitch, clear) => {
            let old = spread(whole(length_mm / pitch) + 1, pitch);
            let mut places: Vec<f64> = old.windows(2).map(|pair| f64::midpoint(pair[0], pair[1])).collect();
            if places.is_empty() {
                let aside = (pitch / 2.0).min(length_mm / 2.0 - keep.end_mm);
                return if aside >= clear { vec![length_mm / 2.0 - aside] } else { Vec::new() };
            }
            // As many as the factory set: one gap takes two.
            if pitch >= 2.0 * clear + keep.pitch_mm {
                let middle = places.len() / 2;
                let place = places.remove(middle);
                places.insert(middle, place + keep.pitch_mm / 2.0);
                places.insert(middle, place - keep.pitch_mm / 2.0);
            }
            places
        }
    }
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // bounded
fn whole(value: f64) -> usize {
    (value + 1e-9).floor().clamp(0.0, 1e4) as usize
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // bounded
fn up(value: f64) -> usize {
    (value - 1e-9).ceil().clamp(0.0, 1e4) as usize
}

/// Lays rows of fasteners along one leg. `rows` are distances to the left of the leg with the edge distance that each
/// has across it; `stretch` is true over drawn length. Returns the sites and what left others out.
/// `taken` holds what is already set and grows.
pub fn lay(
    leg: &[Point],
    rows: &[(f64, f64)],
    pattern: Pattern,
    keep: &Keep,
    stretch: f64,
    ground: &Ground<'_>,
    taken: &mut Vec<Point>,
) -> (Vec<Site>, Hindered) {
    let drawn: f64 = leg.windows(2).map(|pair| pair[0].distance(pair[1])).sum();
    let wanted = positions(drawn * stretch, pattern, keep);
    let furthest = rows.iter().map(|(offset, across)| offset.abs() + across).fold(0.0, f64::max);
    let around = ground.around(leg, furthest + keep.edge_mm.max(keep.bend_mm));
    let mut sites: Vec<Site> = Vec::with_capacity(rows.len() * wanted.len());
    let mut left_out = Hindered::default();
    for (row, (offset, across)) in rows.iter().enumerate() {
        let first = sites.len();
        for (at, place) in wanted.iter().enumerate() {
            let before = sites.get(first..).and_then(|row| row.last()).map_or(f64::NEG_INFINITY, |site| site.along_mm);
            let after = wanted.get(at + 1).copied().unwrap_or(f64::INFINITY);
            let reach = (after - place).min(place - if at > 0 { wanted[at - 1] } else { f64::NEG_INFINITY });
            let reach = if reach.is_finite() { (reach / 2.0 - STEP_MM).max(0.0) } else { drawn * stretch / 2.0 };
            let found = shifts(reach).find_map(|shift| {
                let along = place + shift;
                let in_row = along - before >= keep.pitch_mm - 1e-6
                    && along >= keep.end_mm - 1e-6
                    && along <= drawn * stretch - keep.end_mm + 1e-6;
                if !in_row {
                    return None;
                }
                let point = beside(leg, along / stretch, *offset);
                clear(point, keep, stretch, &around, taken).ok().map(|()| (along, point))
            });
            match found {
                Some((along_mm, point)) => {
                    let edge = point.nearest_up_to(around.edges.iter().copied(), *across);
                    sites.push(Site { point, along_mm, row, edge_mm: edge.unwrap_or(*across), pitch_mm: 0.0 });
                    taken.push(point);
                }
                None => {
                    let wanted = beside(leg, place / stretch, *offset);
                    left_out.count(clear(wanted, keep, stretch, &around, taken).err().unwrap_or(Why::Other));
                }
            }
        }
        let row: Vec<f64> = sites[first..].iter().map(|site| site.along_mm).collect();
        for (at, site) in sites[first..].iter_mut().enumerate() {
            let gap = |other: Option<&f64>| other.map_or(f64::INFINITY, |along| (along - site.along_mm).abs());
            let least = gap(row.get(at + 1)).min(gap(at.checked_sub(1).and_then(|at| row.get(at))));
            site.pitch_mm = if least.is_finite() { least } else { 0.0 };
        }
    }
    (sites, left_out)
}

/// 0, then steps to either side up to a reach.
fn shifts(reach: f64) -> impl Iterator<Item = f64> {
    #[allow(clippy::cast_precision_loss)]
    std::iter::once(0.0).chain((1..=whole(reach / STEP_MM)).flat_map(|n| [n as f64 * STEP_MM, n as f64 * -STEP_MM]))
}

/// The point beside a line: so far along it, so far to its left.
pub(super) fn beside(leg: &[Point], along: f64, left: f64) -> Point {
    let (point, unit) = at(leg, along);
    aside(point, unit, left)
}

/// The point so far to the left of another, seen along a direction.
fn aside(point: Point, unit: (f64, f64), left: f64) -> Point {
    Point::new(point.a - unit.1 * left, point.b + unit.0 * left)
}

/// How far from its line a single row stands best: at `own`, or at the least distance of `from`, then 2 mm further each, up
/// to `to`, at which more of the places that are looked at along the legs keep their distances to edges, bends and barred
/// areas than at `own`. `side` is 1 to the left of the legs, −1 to the right.
pub fn best_row(
    legs: &[Vec<Point>],
    side: f64,
    own: f64,
    (from, to): (f64, f64),
    keep: &Keep,
    ground: &Ground<'_>,
) -> f64 {
    let mut looks: Vec<(Point, (f64, f64), usize)> = Vec::new();
    let reach = own.max(to) + keep.edge_mm.max(keep.bend_mm);
    let around: Vec<Around<'_>> = legs.iter().map(|leg| ground.around(leg, reach)).collect();
    for (leg, number) in legs.iter().zip(0..) {
        let length: f64 = leg.windows(2).map(|pair| pair[0].distance(pair[1])).sum();
        looks.extend((1..LOOKS).map(|step| {
            let (point, unit) = at(leg, length * f64::from(step) / f64::from(LOOKS));
            (point, unit, number)
        }));
    }
    let fits = |left: f64| {
        let good = |(on, unit, leg): &&(Point, (f64, f64), usize)| {
            clear(aside(*on, *unit, left * side), keep, 1.0, &around[*leg], &[]).is_ok()
        };
        looks.iter().filter(good).count()
    };
    let (mut best, mut most, mut left) = (own, fits(own), from);
    while left <= to && most < looks.len() {
        let fits = fits(left);
        if fits > most {
            (best, most) = (left, fits);
        }
        left += STEP_MM;
    }
    best
}

/// Whether the point keeps every distance; else what it is too near to.
fn clear(point: Point, keep: &Keep, stretch: f64, around: &Around<'_>, taken: &[Point]) -> Result<(), Why> {
    // On a drawing that shortens the joint, distances along it are shortened too.
    let any = keep.any_mm / stretch - 1e-6;
    let near = |pieces: &[(Point, Point)], mm: f64| point.nearest_up_to(pieces.iter().copied(), mm - 1e-6).is_some();
    if taken.iter().any(|other| other.distance(point) < any) {
        Err(Why::Other)
    } else if near(&around.bends, keep.bend_mm) {
        Err(Why::Bend)
    } else if around.barred.iter().any(|(area, mm)| area.distance_to_point_up_to(point, mm - 1e-6).is_some()) {
        Err(Why::Barred)
    } else if near(&around.edges, keep.edge_mm) || around.outline.is_some_and(|outline| !outline.contains(point)) {
        Err(Why::Edge)
    } else {
        Ok(())
    }
}
