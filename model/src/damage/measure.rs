//! Measures marks against the book: exact areas, shares, distances and cells.
//!
//! The union of a part's marks is measured in each view; the view that shows most of the damage speaks for the part.

use super::{Finding, Mark, Near, NearKind};
use crate::catalogue::{Book, Part};
use crate::error::{Error, Result};
use crate::geometry::{Area, Line};
use crate::ids::{MarkId, PartId};
use crate::terms::{Coat, View};
use std::collections::{BTreeMap, BTreeSet};

/// Distances further than this say nothing about a repair, mm.
const NEAR_LIMIT_MM: f64 = 150.0;
/// Half of the strip along a neighbour's edge in which the joint with it is taken to run, mm. Common practice, no source.
const FLANGE_MM: f64 = 12.0;
/// How far from a neighbour's edge its joint is still told, mm.
const JOINT_LIMIT_MM: f64 = 50.0;

/// All findings of a job, in the order of the part ids, and the marks that could not be measured, with the reason.
pub fn findings<'a>(
    book: &Book,
    marks: impl Iterator<Item = (&'a MarkId, &'a Mark)>,
) -> (Vec<Finding>, Vec<(MarkId, Error)>) {
    let mut by_part: BTreeMap<&PartId, Vec<(&MarkId, &Mark)>> = BTreeMap::new();
    for (id, mark) in marks {
        by_part.entry(&mark.part).or_default().push((id, mark));
    }
    let (mut found, mut refused) = (Vec::new(), Vec::new());
    for (part, marks) in by_part {
        let Some(part) = book.part(part) else {
            refused.extend(marks.iter().map(|(id, mark)| {
                let error = Error::new("error-mark-part", format!("marks.{id}.part")).with("name", &mark.part);
                ((*id).clone(), error)
            }));
            continue;
        };
        let (finding, errors) = measure(book, part, &marks);
        found.extend(finding);
        refused.extend(errors);
    }
    (found, refused)
}

/// Measures the marks of one part. Marks that miss the part are returned with the reason and left out.
pub fn measure(book: &Book, part: &Part, marks: &[(&MarkId, &Mark)]) -> (Option<Finding>, Vec<(MarkId, Error)>) {
    let mut refused = Vec::new();
    let mut kept: Vec<(&MarkId, &Mark)> = Vec::new();
    let mut areas: BTreeMap<View, Area> = BTreeMap::new();
    let mut extent_mm = 0.0_f64;
    for (id, mark) in marks {
        match on_part(part, mark) {
            Ok(area) => {
                extent_mm = extent_mm.max(area.extent());
                kept.push((id, mark));
                let sum = match areas.remove(&mark.view) {
                    Some(sum) => sum.union(&area),
                    None => area,
                };
                areas.insert(mark.view, sum);
            }
            Err(error) => refused.push(((*id).clone(), error.within(&format!("marks.{id}")))),
        }
    }
    // The view with most of the damage speaks for the part; of two alike, the first.
    let most = areas.iter().max_by(|(_, one), (_, other)| one.size().total_cmp(&other.size()));
    let Some((view, area)) = most.map(|(view, area)| (*view, area.clone())) else {
        return (None, refused);
    };
    let whole = &part.shapes[&view];
    let cells = part.sections.as_ref().map(|sections| touched_cells(sections, &areas)).unwrap_or_default();
    let finding = Finding {
        part: part.id.clone(),
        marks: kept.iter().map(|(id, _)| (*id).clone()).collect(),
        kinds: kept.iter().map(|(_, mark)| mark.kind).collect::<BTreeSet<_>>(),
        area_mm2: area.size(),
        share: (area.size() / whole.size()).min(1.0),
        extent_mm,
        depth_mm: kept.iter().map(|(_, mark)| f64::from(mark.depth_mm)).fold(0.0, f64::max),
        coat: kept.iter().map(|(_, mark)| mark.coat).max().unwrap_or(Coat::Whole),
        sharp: kept.iter().any(|(_, mark)| mark.sharp),
        count: kept.iter().map(|(_, mark)| u32::from(mark.count)).sum(),
        behind: part.behind,
        near: near(book, part, &areas),
        cells,
        areas: areas.into_iter().collect(),
    };
    (Some(finding), refused)
}

/// The mark's outline within the part.
fn on_part(part: &Part, mark: &Mark) -> Result<Area> {
    let Some(whole) = part.shapes.get(&mark.view) else {
        let views: Vec<&str> = part.shapes.keys().map(|view| view.word()).collect();
        return Err(Error::new("error-mark-view", "view").with("name", &part.id).with("views", views.join(", ")));
    };
    let outline = mark.shape.area()?;
    whole.common(&outline).ok_or_else(|| Error::new("error-mark-off", "shape").with("name", &part.id))
}

/// Cells that the damage touches. Damage recorded in a view other than the section view counts where the two views
/// share an axis: along it the cell's extent decides.
fn touched_cells(sections: &crate::catalogue::Sections, areas: &BTreeMap<View, Area>) -> Vec<crate::ids::CellId> {
    let mut touched = BTreeSet::new();
    for (view, area) in areas {
        for (at, cell) in sections.cells.iter().enumerate() {
            let hit = if *view == sections.view {
                // Damage that reaches the edge of the part shares that edge with the cell, so that no edges cross.
                cell.area.meets(area) || cell.area.common(area).is_some()
            } else {
                shares_extent(sections.view, &cell.area, *view, area)
            };
            if hit {
                touched.insert(at);
            }
        }
    }
    touched.into_iter().map(|at| sections.cells[at].id.clone()).collect()
}

/// Whether two areas in different views overlap along every axis that the views share.
pub(crate) fn shares_extent(view: View, area: &Area, other_view: View, other: &Area) -> bool {
    let range = |view: View, area: &Area, axis: usize| {
        let bounds = area.bounds();
        let (first, second) = view.plane();
        if axis == first {
            Some((bounds.low.a, bounds.high.a))
        } else if axis == second {
            Some((bounds.low.b, bounds.high.b))
        } else {
            None
        }
    };
    (0..3).all(|axis| match (range(view, area, axis), range(other_view, other, axis)) {
        (Some((low, high)), Some((from, to))) => low <= to && from <= high,
        _ => true,
    })
}

fn near(book: &Book, part: &Part, areas: &BTreeMap<View, Area>) -> Vec<Near> {
    let mut least: BTreeMap<NearKind, f64> = BTreeMap::new();
    let mut note = |what: NearKind, distance: Option<f64>| {
        if let Some(distance) = distance {
            let entry = least.entry(what).or_insert(f64::INFINITY);
            *entry = entry.min(distance);
        }
    };
    for (view, area) in areas {
        for line in part.lines.get(view).into_iter().flatten() {
            note(NearKind::FeatureLine, area.distance_to_line_up_to(line, NEAR_LIMIT_MM));
        }
        note(NearKind::Edge, part.shapes[view].edge_distance_up_to(area, f64::INFINITY));
        for (at, joint) in part.joints.iter().enumerate() {
            // Several joints with one part run along the same edge.
            if part.joints[..at].iter().any(|before| before.to == joint.to) {
                continue;
            }
            // A part of another layer lies before or behind: its outline does not show where the joint runs.
            let other = book.part(&joint.to).filter(|other| other.layer == part.layer);
            let other = other.and_then(|other| other.shapes.get(view));
            let distance = other.and_then(|other| other.edge_distance_up_to(area, JOINT_LIMIT_MM));
            note(NearKind::Joint(joint.to.clone()), distance.map(|distance| (distance - FLANGE_MM).max(0.0)));
        }
        for no_cut in part.no_cut.iter().filter(|no_cut| no_cut.view == *view) {
            note(NearKind::NoCut(no_cut.kind), area.distance_up_to(&no_cut.area, NEAR_LIMIT_MM));
        }
        if let Some(sections) = part.sections.as_ref().filter(|sections| sections.view == *view) {
            for cut in &sections.cuts {
                let line = Line::new(vec![cut.line.0, cut.line.1]);
                note(NearKind::CutLine(cut.id.clone()), area.distance_to_line_up_to(&line, NEAR_LIMIT_MM));
            }
        }
    }
    let mut near: Vec<Near> = least.into_iter().map(|(what, distance_mm)| Near { what, distance_mm }).collect();
    near.sort_by(|one, other| one.distance_mm.total_cmp(&other.distance_mm));
    near
}
