//! What is laid over the drawing: marks, the state of each damaged part, cut lines and the cells that go.

use super::Scene;
use crate::catalogue::Book;
use crate::damage::Mark;
use crate::decide::Decision;
use crate::geometry::{Bounds, Line, Point};
use crate::ids::{MarkId, PartId};
use crate::terms::Action;
use std::borrow::Borrow;
use std::sync::Arc;

/// Everything laid over a drawing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Overlay {
    /// Marks that show in the drawing: id, part and SVG path in screen mm.
    pub marks: Vec<OverlayMark>,
    /// Damaged parts that show in the drawing.
    pub parts: Vec<OverlayPart>,
}

/// A mark as drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct OverlayMark {
    /// The mark.
    pub mark: MarkId,
    /// Its part.
    pub part: PartId,
    /// SVG path of its outline.
    pub path: String,
    /// Bounds on the screen, mm.
    pub bounds: Bounds,
}

/// A damaged part as drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct OverlayPart {
    /// The part.
    pub part: PartId,
    /// What stands for it; drawn as hatch, line style and word.
    pub action: Action,
    /// SVG path of what is worked on: the whole outline (the scene's own text of it), or the cells that go where it is
    /// sectioned.
    pub path: Arc<str>,
    /// SVG path of the cut lines used; empty where nothing is cut.
    pub cuts: String,
    /// Where its word may stand, screen mm.
    pub label: Point,
}

/// The overlay of a job's marks and decisions on a drawing.
pub fn overlay<'a, D: Borrow<Decision>>(
    book: &Book,
    scene: &Scene,
    marks: impl Iterator<Item = (&'a MarkId, &'a Mark)>,
    decisions: &[D],
) -> Overlay {
    let mut out = Overlay::default();
    for (id, mark) in marks {
        let Some(panel) = scene.panels.iter().find(|panel| panel.view == mark.view) else { continue };
        if !panel.items.iter().any(|item| item.part == mark.part) {
            continue;
        }
        let Ok(area) = mark.shape.area() else { continue };
        let b = area.bounds();
        let (p, q) = (panel.to_screen(b.low), panel.to_screen(b.high));
        out.marks.push(OverlayMark {
            mark: id.clone(),
            part: mark.part.clone(),
            path: area.path(|p| panel.to_screen(p)),
            bounds: Bounds {
                low: Point::new(p.a.min(q.a), p.b.min(q.b)),
                high: Point::new(p.a.max(q.a), p.b.max(q.b)),
            },
        });
    }
    for decision in decisions.iter().map(Borrow::borrow) {
        let Some(part) = book.part(&decision.part) else { continue };
        for panel in &scene.panels {
            let Some(item) = panel.items.iter().find(|item| item.part == decision.part) else { continue };
            let section = (decision.chosen == Action::Section)
                .then(|| decision.option(Action::Section).and_then(|option| option.section.as_ref()))
                .flatten()
                .zip(part.sections.as_ref())
                .filter(|(_, sections)| sections.view == panel.view);
            let mut cuts = String::new();
            let path = match section {
                Some((plan, sections)) => {
                    let mut path = String::new();
                    for cell in sections.cells.iter().filter(|cell| plan.cells.contains(&cell.id)) {
                        path.push_str(&cell.area.path(|p| panel.to_screen(p)));
                    }
                    for used in &plan.cuts {
                        let line = Line::new(vec![used.line.0, used.line.1]);
                        cuts.push_str(&line.path(|p| panel.to_screen(p)));
                    }
                    path.into()
                }
                None => Arc::clone(&item.path),
            };
            out.parts.push(OverlayPart {
                part: decision.part.clone(),
                action: decision.chosen,
                path,
                cuts,
                label: item.bounds.centre(),
            });
        }
    }
    out
}
