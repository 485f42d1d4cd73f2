//! What lies in the zone that a weld heats and must come out first.
//!
//! Looks at the part, what it is joined to, and glass beside it; it never says that a zone is free of something that the
//! body book does not hold.

use super::MustOut;
use super::galvanic::must_isolate;
use super::place::Lies;
use crate::catalogue::{Book, Joint, Part};
use crate::geometry::{Area, Line};
use crate::ids::PartId;
use crate::terms::{JointKind, Role};

/// What lies within `reach_mm` of the lines: foam and wiring by tag, bonded and sealed joints, glass edges. Each once, sorted.
pub(super) fn must_out(book: &Book, part: &Part, to: &PartId, lies: &Lies, reach_mm: f64) -> Vec<MustOut> {
    let lines: Vec<Line> = lies.runs.iter().map(|run| Line::new(run.points.clone())).collect();
    let near = |area: &Area| lines.iter().any(|line| area.distance_to_line_up_to(line, reach_mm).is_some());
    let mut out = Vec::new();
    let mut add = |what: &'static str, part: &Part| {
        let found = MustOut { what, part: part.id.clone() };
        if !out.contains(&found) {
            out.push(found);
        }
    };
    let joined = |other: &Part| {
        other.id == *to
            || other.id == part.id
            || part.joints.iter().any(|joint| joint.to == other.id)
            || other.joints.iter().any(|joint| joint.to == part.id)
    };
    for other in &book.parts {
        let Some(area) = other.shapes.get(&lies.view) else { continue };
        if !joined(other) || !near(area) {
            continue;
        }
        for what in ["foam", "wiring"] {
            if other.has(what) {
                add(what, other);
            }
        }
        if other.role == Role::Glass {
            add("glass-edge", other);
        }
        let beside = |test: fn(&Joint) -> bool| {
            let neighbour = other.id != part.id && other.id != *to;
            neighbour && part.joints.iter().any(|joint| joint.to == other.id && test(joint))
        };
        // Edges between unlike metals that stay together are sealed.
        let stays = beside(|joint| !matches!(joint.kind, JointKind::Bolt | JointKind::Clip));
        if stays && must_isolate(part.family.metal(), other.family.metal()) {
            add("sealer", other);
        }
        if beside(|joint| joint.adhesive) {
            add("adhesive", other);
        }
    }
    out.sort();
    out
}
