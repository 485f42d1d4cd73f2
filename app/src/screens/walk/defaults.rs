//! What one tap records before the person says more: a usable kind and size for the part that was hit.
//!
//! First guesses of the interface only, shown at once and changed by the next tap. Judges nothing.

use crate::canvas::handles::Mm;
use model::catalogue::Part;
use model::damage::{Mark, MarkShape};
use model::geometry::{Area, Point};
use model::terms::{Coat, Family, Form, Layer, MarkKind, View};

/// Largest half axes of a first mark, mm: about two hands wide.
const FIRST_MM: (f64, f64) = (90.0, 70.0);
/// Depth of a first dent, mm.
const FIRST_DEPTH_MM: u16 = 10;
/// Depths that one tap sets, mm; the last means "deeper than the one before".
pub const DEPTHS_MM: [u16; 4] = [3, 10, 25, 40];

/// The kinds of damage that this part mostly has, most likely first; the first is what a tap records.
#[must_use]
pub fn kinds(part: &Part) -> &'static [MarkKind] {
    use MarkKind as K;
    if part.has("lamp") || part.family == Family::Glass {
        return &[K::Crack, K::Scratch, K::Missing, K::Misfit, K::EarlierRepair];
    }
    match part.family {
        Family::Rubber => &[K::Tear, K::Scratch, K::Missing],
        Family::Plastic | Family::Composite => {
            &[K::Scratch, K::Crack, K::Tear, K::Dent, K::Misfit, K::Missing, K::EarlierRepair]
        }
        Family::AluminiumCasting | Family::Magnesium => &[K::Crack, K::Misfit, K::Scratch, K::Missing, K::Corrosion],
        _ if matches!(part.form, Form::Tube | Form::Extrusion) || part.layer == Layer::Frame => {
            &[K::Kink, K::Buckle, K::Dent, K::Crack, K::Tear, K::Misfit, K::Corrosion, K::EarlierRepair, K::Scratch]
        }
        _ if part.layer == Layer::Structure => &[
            K::Dent,
            K::Buckle,
            K::Crease,
            K::Tear,
            K::Crack,
            K::Kink,
            K::Misfit,
            K::Corrosion,
            K::EarlierRepair,
            K::Scratch,
        ],
        _ => &[
            K::Dent,
            K::Scratch,
            K::Crease,
            K::Tear,
            K::HailField,
            K::Crack,
            K::Misfit,
            K::Missing,
            K::Corrosion,
            K::EarlierRepair,
            K::Kink,
            K::Buckle,
        ],
    }
}

/// A first mark on a part at a point of a view, in the vehicle's millimetres.
#[must_use]
pub fn mark(part: &Part, view: View, at: Mm) -> Mark {
    let kind = kinds(part)[0];
    let (wide, high) = part.shapes.get(&view).map_or((200.0, 200.0), |area| {
        let bounds = area.bounds();
        (bounds.width(), bounds.height())
    });
    // A mark never starts larger than nine tenths of the part across.
    let half = |most: f64, room: f64| whole((0.45 * room).min(most).max(8.0));
    let radii = [half(FIRST_MM.0, wide), half(FIRST_MM.1, high)];
    let shape = MarkShape::Ellipse { at: [whole(at.0), whole(at.1)], radii, turn_deg: 0 };
    fresh(part, view, shape, kind)
}

/// A mark over the whole part, as for a missing part or a hail field.
#[must_use]
pub fn mark_over(part: &Part, view: View, kind: MarkKind) -> Mark {
    let (at, radii) = part.shapes.get(&view).map_or(([0, 0], [100, 100]), |area| {
        let bounds = area.bounds();
        let middle = bounds.centre();
        (
            [whole(middle.a), whole(middle.b)],
            [whole(bounds.width() * 0.45).max(8), whole(bounds.height() * 0.45).max(8)],
        )
    });
    let shape = MarkShape::Ellipse { at, radii, turn_deg: 0 };
    fresh(part, view, shape, kind)
}

/// A mark of which nothing is known but its outline and kind, with what goes with that kind.
fn fresh(part: &Part, view: View, shape: MarkShape, kind: MarkKind) -> Mark {
    let bare = Mark {
        part: part.id.clone(),
        view,
        shape,
        kind,
        depth_mm: 0,
        coat: Coat::Whole,
        sharp: false,
        count: 0,
        note: String::new(),
    };
    with_kind(bare, kind, part)
}

/// The mark as another kind, with the depth, paint and count that go with it where it had none.
#[must_use]
pub fn with_kind(mark: Mark, kind: MarkKind, part: &Part) -> Mark {
    let deep = has_depth(kind) && part.family != Family::Glass && !part.has("lamp");
    let depth_mm = match (deep, kind) {
        (false, _) => 0,
        (true, MarkKind::HailField) => mark.depth_mm.clamp(1, 3),
        (true, _) if mark.depth_mm == 0 => FIRST_DEPTH_MM,
        (true, _) => mark.depth_mm,
    };
    let painted = part.has("painted");
    let coat = match kind {
        MarkKind::Scratch if painted && mark.coat == Coat::Whole => Coat::ClearOnly,
        MarkKind::Tear if painted => Coat::BareMetal,
        _ => mark.coat,
    };
    let sharp = match kind {
        MarkKind::Crease | MarkKind::Kink => true,
        MarkKind::HailField => false,
        _ => mark.sharp,
    };
    let count = if kind == MarkKind::HailField { mark.count.max(20) } else { 0 };
    Mark { kind, depth_mm, coat, sharp, count, ..mark }
}

/// Whether a kind of damage has a depth.
#[must_use]
pub fn has_depth(kind: MarkKind) -> bool {
    matches!(
        kind,
        MarkKind::Dent | MarkKind::Crease | MarkKind::Tear | MarkKind::Kink | MarkKind::Buckle | MarkKind::HailField
    )
}

/// Whether a kind of damage can be soft or sharp.
#[must_use]
pub fn has_edge(kind: MarkKind) -> bool {
    matches!(kind, MarkKind::Dent | MarkKind::Buckle | MarkKind::Tear)
}

/// A point well inside an area: of a grid over it, the one farthest from its edge.
#[must_use]
pub fn inside(area: &Area) -> Point {
    let bounds = area.bounds();
    let steps = [0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9];
    let mut best: Option<(f64, Point)> = None;
    for up in steps {
        for along in steps {
            let point = Point::new(bounds.low.a + bounds.width() * along, bounds.low.b + bounds.height() * up);
            if area.contains(point) {
                let depth = area.distance_to_edge(point);
                if best.is_none_or(|(known, _)| depth > known * 1.2) {
                    best = Some((depth, point));
                }
            }
        }
    }
    best.map_or_else(|| area.points().first().and_then(|ring| ring.first().copied()).unwrap_or_default(), |(_, p)| p)
}

#[allow(clippy::cast_possible_truncation)] // millimetres of a vehicle fit
fn whole(mm: f64) -> i32 {
    mm.round() as i32
}
