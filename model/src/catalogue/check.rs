//! What a resolved book must hold; a broken one is refused with the part's id and the reason.

use super::{Book, Part};
use crate::error::{Error, Result};
use crate::geometry::{Line, Point};
use crate::ids::AccessId;
use crate::terms::Side;
use std::collections::BTreeMap;

/// Greatest difference between a left part and its mirrored right part, mm.
const MIRROR_SLACK_MM: f64 = 0.5;

pub(super) fn check(book: &Book) -> Result<()> {
    for part in &book.parts {
        let at = |error: Error| error.within(&format!("parts[{}]", part.id));
        check_numbers(part).map_err(at)?;
        check_sections(part).map_err(at)?;
        check_mirror(book, part).map_err(at)?;
    }
    check_access(book)
}

fn check_numbers(part: &Part) -> Result<()> {
    let positive = |ok: bool, place: String| if ok { Ok(()) } else { Err(Error::new("error-positive", place)) };
    positive(part.thickness_mm.is_finite() && part.thickness_mm > 0.0, "material.thickness_mm".into())?;
    let well_formed =
        !part.base.is_empty() && part.base.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-');
    if !well_formed {
        return Err(Error::new("error-id", "id").with("name", &part.base));
    }
    for (at, joint) in part.joints.iter().enumerate() {
        positive(joint.length_mm.is_finite() && joint.length_mm > 0.0, format!("joints[{at}].length_mm"))?;
        positive(joint.pitch_mm.is_finite() && joint.pitch_mm >= 0.0, format!("joints[{at}].pitch_mm"))?;
        positive(
            joint.stack_mm.iter().all(|sheet| sheet.is_finite() && *sheet > 0.0),
            format!("joints[{at}].stack_mm"),
        )?;
        if joint.to == part.id {
            return Err(Error::new("error-joint-self", format!("joints[{at}].to")));
        }
    }
    for (at, area) in part.no_cut.iter().enumerate() {
        positive(area.clear_mm.is_finite() && area.clear_mm >= 0.0, format!("no_cut[{at}].clear_mm"))?;
    }
    Ok(())
}

/// How far outside the outline of its part the end of a joint may lie, mm.
const JOINT_END_SLACK_MM: f64 = 5.0;

fn check_sections(part: &Part) -> Result<()> {
    let Some(sections) = &part.sections else { return Ok(()) };
    for (at, cut) in sections.cuts.iter().enumerate() {
        let line = Line::new(vec![cut.line.0, cut.line.1]);
        for area in part.no_cut.iter().filter(|area| area.view == sections.view) {
            let distance = area.area.distance_to_line(&line);
            if distance < area.clear_mm {
                return Err(Error::new("error-cut-near", format!("cuts[{at}]"))
                    .with("name", &cut.id)
                    .with("what", area.kind)
                    .with("distance", format!("{distance:.0}"))
                    .with("clear", format!("{:.0}", area.clear_mm)));
            }
        }
        let ok = cut.window_mm.is_finite() && cut.window_mm >= 0.0 && cut.sleeve_mm.is_finite() && cut.sleeve_mm >= 0.0;
        if !ok {
            return Err(Error::new("error-positive", format!("cuts[{at}]")));
        }
    }
    let whole = &part.shapes[&sections.view];
    for (at, end) in sections.joint_ends.iter().enumerate() {
        if !part.joints.iter().any(|joint| joint.to == end.to) {
            return Err(Error::new("error-joint-end-loose", format!("joint_ends[{at}].to")).with("name", &end.to));
        }
        if whole.distance_to_point(end.at) > JOINT_END_SLACK_MM {
            return Err(Error::new("error-joint-end-off", format!("joint_ends[{at}].at")).with("name", &end.to));
        }
    }
    for (at, service) in sections.service.iter().enumerate() {
        for cell in &service.cells {
            if !sections.cells.iter().any(|known| known.id == *cell) {
                return Err(Error::new("error-cell-unknown", format!("service[{at}].cells")).with("name", cell));
            }
        }
    }
    Ok(())
}

/// A part that stands on both sides must be the same part mirrored.
fn check_mirror(book: &Book, part: &Part) -> Result<()> {
    if part.side != Side::Left {
        return Ok(());
    }
    let Some(twin) = book.parts.iter().find(|other| other.base == part.base && other.side == Side::Right) else {
        return Ok(());
    };
    for (view, area) in &part.shapes {
        let across = match view {
            crate::terms::View::Left => crate::terms::View::Right,
            other => *other,
        };
        let mirrored = |p: Point| match view.plane() {
            (0, 2) => p,
            (0, _) => Point::new(p.a, -p.b),
            _ => Point::new(-p.a, p.b),
        };
        let same = twin.shapes.get(&across).is_some_and(|other| {
            let (mine, theirs) = (area.mapped(mirrored).bounds(), other.bounds());
            let apart = [
                mine.low.a - theirs.low.a,
                mine.low.b - theirs.low.b,
                mine.high.a - theirs.high.a,
                mine.high.b - theirs.high.b,
            ];
            apart.iter().all(|d| d.abs() <= MIRROR_SLACK_MM) && (area.size() - other.size()).abs() <= area.size() * 1e-6
        });
        if !same {
            return Err(Error::new("error-mirror", format!("shapes.{view}")));
        }
    }
    Ok(())
}

/// Access work must be able to start: no work may wait for itself.
fn check_access(book: &Book) -> Result<()> {
    fn visit<'a>(book: &'a Book, id: &'a AccessId, state: &mut BTreeMap<&'a AccessId, bool>) -> Result<()> {
        match state.get(id) {
            Some(true) => return Ok(()),
            Some(false) => return Err(Error::new("error-access-cycle", format!("access_work[{id}].after"))),
            None => {}
        }
        state.insert(id, false);
        for before in &book.access[id].after {
            visit(book, before, state)?;
        }
        state.insert(id, true);
        Ok(())
    }
    let mut state = BTreeMap::new();
    for id in book.access.keys() {
        visit(book, id, &mut state)?;
    }
    Ok(())
}
