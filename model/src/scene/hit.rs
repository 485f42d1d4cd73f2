//! What lies under a finger, and which part is next in a direction.

use super::{Panel, Scene};
use crate::catalogue::Book;
use crate::geometry::Point;
use crate::ids::PartId;
use crate::terms::{Direction, View};

/// A part under or near a finger.
#[derive(Clone, Debug, PartialEq)]
pub struct Hit {
    /// The part.
    pub part: PartId,
    /// The view of the panel in which it was hit.
    pub view: View,
    /// The point in the vehicle's frame, mm.
    pub at: Point,
    /// Distance from the finger to the part, mm; 0 inside.
    pub distance_mm: f64,
}

/// Parts within `slop_mm` of a point of the screen, best first: inside before near, upper before lower, near before far.
///
/// A finger on two parts at once gets both, so that the screen can ask instead of guessing: the list goes on past the
/// first only while the finger is within `slop_mm` of the first part's edge or outside of all parts.
pub fn hit(book: &Book, scene: &Scene, at: Point, slop_mm: f64) -> Vec<Hit> {
    let Some(panel) = panel_at(scene, at) else { return Vec::new() };
    let point = panel.to_vehicle(at);
    let mut hits: Vec<Hit> = Vec::new();
    for item in panel.items.iter().rev() {
        let reach = item.bounds;
        if at.a < reach.low.a - slop_mm
            || at.a > reach.high.a + slop_mm
            || at.b < reach.low.b - slop_mm
            || at.b > reach.high.b + slop_mm
        {
            continue;
        }
        let Some(area) = book.part(&item.part).and_then(|part| part.shapes.get(&panel.view)) else { continue };
        let distance_mm = area.distance_to_point(point);
        if distance_mm <= slop_mm {
            hits.push(Hit { part: item.part.clone(), view: panel.view, at: point, distance_mm });
        }
    }
    hits.sort_by(|one, other| one.distance_mm.total_cmp(&other.distance_mm));
    if let Some(first) = hits.first().filter(|first| first.distance_mm <= 0.0) {
        let well_inside = book
            .part(&first.part)
            .and_then(|part| part.shapes.get(&panel.view))
            .is_some_and(|area| area.distance_to_edge(point) > slop_mm);
        if well_inside {
            hits.truncate(1);
        }
    }
    hits
}

/// The panel whose bounds hold the point, or the nearest one.
fn panel_at(scene: &Scene, at: Point) -> Option<&Panel> {
    scene.panels.iter().min_by(|one, other| {
        let away = |panel: &Panel| (panel.bounds.low.a - at.a).max(at.a - panel.bounds.high.a).max(0.0);
        away(one).total_cmp(&away(other))
    })
}

/// The part to which an arrow key leads: the nearest whose middle lies in that direction on the screen.
/// `forward` and `rearward` mean left and right on the screen, `up` and `down` themselves.
pub fn neighbour(scene: &Scene, from: &PartId, towards: Direction) -> Option<PartId> {
    let middle = |part: &PartId| {
        scene
            .panels
            .iter()
            .flat_map(|panel| panel.items.iter())
            .find(|item| item.part == *part)
            .map(|item| item.bounds.centre())
    };
    let start = middle(from)?;
    let ahead = |p: Point| match towards {
        Direction::Forward | Direction::Inward => start.a - p.a,
        Direction::Rearward | Direction::Outward => p.a - start.a,
        Direction::Up => start.b - p.b,
        Direction::Down => p.b - start.b,
    };
    let aside = |p: Point| match towards {
        Direction::Up | Direction::Down => (p.a - start.a).abs(),
        _ => (p.b - start.b).abs(),
    };
    scene
        .panels
        .iter()
        .flat_map(|panel| panel.items.iter())
        .filter(|item| item.part != *from)
        .map(|item| (item, item.bounds.centre()))
        .filter(|(_, p)| ahead(*p) > 1.0)
        .min_by(|(_, p), (_, q)| {
            let cost = |p: Point| ahead(p) + 2.0 * aside(p);
            cost(*p).total_cmp(&cost(*q))
        })
        .map(|(item, _)| item.part.clone())
}
