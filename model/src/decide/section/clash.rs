//! Section joints of two parts that lie on each other: their cut lines must not come to lie in one place.
//!
//! Judges only cut lines that are given in the same plane, run much alike and cross what both parts cover. Moves lines
//! only within the ranges that their plans give.

use super::SectionPlan;
use super::words::clash_words;
use crate::catalogue::Part;
use crate::geometry::{Area, Point};
use crate::ids::CutId;

/// Least distance between the section joints of two parts that are joined to each other, mm. Common practice, no source:
/// joints are staggered so that they do not weaken one place.
pub const STAGGER_MM: f64 = 100.0;
/// Lines that are turned further against each other cross and are not staggered; cosine of the angle.
const ALIKE: f64 = 0.866;
/// Shorter pieces of a line within the common area do not count, mm.
const SHORT_MM: f64 = 10.0;

/// Two cut lines that are too near wherever they are moved.
#[derive(Clone, Debug, PartialEq)]
pub struct Clash {
    /// The line of the first part.
    pub cut: CutId,
    /// The line of the second part.
    pub other: CutId,
    /// The furthest apart that they can be, mm.
    pub distance_mm: f64,
    /// How far apart they must be, mm.
    pub needed_mm: f64,
}

impl Clash {
    /// The conflict in words.
    pub fn words(&self, part: &Part, other: &Part) -> String {
        clash_words(self, part, other)
    }
}

/// Whether two sections cannot be done together because two of their joints would lie too near each other.
pub fn clash(part: &Part, plan: &SectionPlan, other: &Part, other_plan: &SectionPlan) -> Option<Clash> {
    pairs(part, plan, other, other_plan).into_iter().find_map(|pair| {
        let furthest = pair.furthest();
        (furthest < STAGGER_MM - 1e-6).then(|| Clash {
            cut: plan.cuts[pair.at.0].cut.clone(),
            other: other_plan.cuts[pair.at.1].cut.clone(),
            distance_mm: furthest,
            needed_mm: STAGGER_MM,
        })
    })
}

/// The same sections with their lines moved apart where two would lie too near each other: as little as possible, the
/// later part first, never a line that a person holds. Sections that [`clash`] stay as they are. The distances of a moved
/// line are those of its old place until they are measured anew by [`super::remeasured`].
pub fn staggered(sections: &[(&Part, &SectionPlan)]) -> Vec<SectionPlan> {
    let mut plans: Vec<SectionPlan> = sections.iter().map(|(_, plan)| (*plan).clone()).collect();
    for later in 1..plans.len() {
        for earlier in 0..later {
            for pair in pairs(sections[earlier].0, &plans[earlier], sections[later].0, &plans[later]) {
                let Some((one, other)) = pair.apart() else { continue };
                shift(&mut plans[earlier], pair.at.0, one);
                shift(&mut plans[later], pair.at.1, other);
            }
        }
    }
    plans
}

fn shift(plan: &mut SectionPlan, at: usize, by: f64) {
    if by == 0.0 {
        return;
    }
    let cut = &mut plan.cuts[at];
    let (from, to) = cut.line;
    let length = from.distance(to);
    let (a, b) = (-(to.b - from.b) / length * by, (to.a - from.a) / length * by);
    let moved = |p: Point| Point::new(p.a + a, p.b + b);
    cut.line = (moved(from), moved(to));
    cut.moved_mm += by;
}

/// Two lines that run alike: how far the second lies to the left of the first, and how far each may be moved that way.
struct Pair {
    at: (usize, usize),
    offset: f64,
    first: (f64, f64),
    /// In the direction of the first line's left.
    second: (f64, f64),
    turned: bool,
}

impl Pair {
    /// The furthest apart that the lines can be.
    fn furthest(&self) -> f64 {
        let left = self.offset + self.second.1 - self.first.0;
        let right = -(self.offset + self.second.0 - self.first.1);
        left.max(right).max(self.offset.abs())
    }

    /// How far to move each, along its own left, so that they are far enough apart; `None` where that is not needed or
    /// not possible.
    fn apart(&self) -> Option<(f64, f64)> {
        if self.offset.abs() >= STAGGER_MM - 1e-6 {
            return None;
        }
        let ways = [STAGGER_MM, -STAGGER_MM].into_iter().filter_map(|goal| {
            let need = goal - self.offset;
            let second = away_from_zero(need).clamp(self.second.0, self.second.1);
            let rest = need - second;
            let first = if rest.abs() < 1e-6 || (rest > 0.0) != (need > 0.0) { 0.0 } else { -away_from_zero(rest) };
            let first = first.clamp(self.first.0, self.first.1);
            ((self.offset + second - first).abs() >= STAGGER_MM - 1e-6).then_some((first, second))
        });
        let (first, second) =
            ways.min_by(|one, other| (one.0.abs() + one.1.abs()).total_cmp(&(other.0.abs() + other.1.abs())))?;
        Some((first, if self.turned { -second } else { second }))
    }
}

fn away_from_zero(value: f64) -> f64 {
    if value > 0.0 { value.ceil() } else { value.floor() }
}

fn pairs(part: &Part, plan: &SectionPlan, other: &Part, other_plan: &SectionPlan) -> Vec<Pair> {
    let mut out = Vec::new();
    let joined = part.joints.iter().any(|joint| joint.to == other.id);
    if !joined || plan.view.plane() != other_plan.view.plane() {
        return out;
    }
    let mut both: Option<Option<Area>> = None;
    for (n, cut) in plan.cuts.iter().enumerate() {
        for (m, second) in other_plan.cuts.iter().enumerate() {
            let (u, v) = (heading(cut.line), heading(second.line));
            let alike = u.0 * v.0 + u.1 * v.1;
            if alike.abs() < ALIKE {
                continue;
            }
            let common = both.get_or_insert_with(|| {
                part.shapes.get(&plan.view).zip(other.shapes.get(&other_plan.view)).and_then(|(a, b)| a.common(b))
            });
            let Some(common) = common else { return out };
            let (Some(one), Some(two)) = (piece(common, cut.line), piece(common, second.line)) else { continue };
            // Joints that lie end to end, far from each other along the lines, do not meet.
            let along = |p: Point| (p.a - one.0.a) * u.0 + (p.b - one.0.b) * u.1;
            let (from, to) = (along(two.0).min(along(two.1)), along(two.0).max(along(two.1)));
            if from > one.0.distance(one.1) + STAGGER_MM || to < -STAGGER_MM {
                continue;
            }
            let middle = Point::new(f64::midpoint(two.0.a, two.1.a), f64::midpoint(two.0.b, two.1.b));
            let offset = (middle.b - one.0.b) * u.0 - (middle.a - one.0.a) * u.1;
            let room = |held: bool, range: (f64, f64), moved: f64| {
                if held { (0.0, 0.0) } else { (range.0 - moved, range.1 - moved) }
            };
            let turned = alike < 0.0;
            let (low, high) = room(other_plan.held, second.range_mm, second.moved_mm);
            out.push(Pair {
                at: (n, m),
                offset,
                first: room(plan.held, cut.range_mm, cut.moved_mm),
                second: if turned { (-high, -low) } else { (low, high) },
                turned,
            });
        }
    }
    out
}

fn heading((from, to): (Point, Point)) -> (f64, f64) {
    let length = from.distance(to).max(1e-9);
    ((to.a - from.a) / length, (to.b - from.b) / length)
}

/// The ends of the line within the area.
fn piece(area: &Area, (from, to): (Point, Point)) -> Option<(Point, Point)> {
    let (low, high) = area.span_within(from, to).filter(|(low, high)| high - low >= SHORT_MM)?;
    let (u, at) =
        (heading((from, to)), |along: f64, u: (f64, f64)| Point::new(from.a + u.0 * along, from.b + u.1 * along));
    Some((at(low, u), at(high, u)))
}
