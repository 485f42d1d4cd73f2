//! From the description to one body: moves the stations, mirrors pairs, ties references, divides parts into cells.
//!
//! Works only on what the file says; it invents no geometry.

use super::read::{AccessSpec, Description, JointSpec, PartSpec, SideSpec, Station, ViewSpec};
use super::{
    AccessWork, Body, Book, Border, Cell, Cut, Joint, JointEnd, Load, NoCut, Part, Sections, ServiceSection, check,
};
use crate::error::{Error, Result};
use crate::geometry::{Area, Line, Point};
use crate::ids::{AccessId, CellId, CutId, PartId};
use crate::terms::{Side, View};
use std::collections::BTreeMap;

/// Shortest border that counts, mm.
const BORDER_MIN_MM: f64 = 1.0;

/// Moves x for a body and y for a side.
struct Mover {
    stations: Vec<(f64, f64)>,
}

impl Mover {
    fn new(stations: &[Station], body: Body) -> Result<Self> {
        let mut moved: Vec<(f64, f64)> = Vec::new();
        for (at, station) in stations.iter().enumerate() {
            let shift =
                station.cab.get(&body.cab).copied().unwrap_or(0.0) + station.bed.get(&body.bed).copied().unwrap_or(0.0);
            if let Some((x, before)) = moved.last()
                && (station.x <= *x || station.x + shift <= x + before)
            {
                return Err(Error::new("error-station-order", format!("stations[{at}]")));
            }
            moved.push((station.x, shift));
        }
        Ok(Self { stations: moved })
    }

    /// Where a point of the reference body lies on this body: the shift of the stations, linear between them.
    fn x(&self, x: f64) -> f64 {
        let after = self.stations.partition_point(|(station, _)| *station < x);
        let shift = match (after.checked_sub(1).map(|at| self.stations[at]), self.stations.get(after).copied()) {
            (None, None) => 0.0,
            (None, Some((_, shift))) | (Some((_, shift)), None) => shift,
            (Some((from, low)), Some((to, high))) => low + (high - low) * (x - from) / (to - from),
        };
        x + shift
    }

    fn point(&self, view: View, side: Side, p: Point) -> Point {
        let flip = if side == Side::Right { -1.0 } else { 1.0 };
        match view.plane() {
            (0, 2) => Point::new(self.x(p.a), p.b),
            (0, _) => Point::new(self.x(p.a), p.b * flip),
            _ => Point::new(p.a * flip, p.b),
        }
    }
}

/// The views in which a part on this side shows an outline that the file gives for `spec`.
fn views(spec: ViewSpec, side: Side) -> &'static [View] {
    match (spec, side) {
        (ViewSpec::Side, Side::Left) => &[View::Left],
        (ViewSpec::Side, Side::Right) => &[View::Right],
        (ViewSpec::Side, Side::Centre) => &[View::Left, View::Right],
        (ViewSpec::Front, _) => &[View::Front],
        (ViewSpec::Rear, _) => &[View::Rear],
        (ViewSpec::Top, _) => &[View::Top],
        (ViewSpec::Underside, _) => &[View::Underside],
    }
}

fn sided(base: &str, side: Side, spec: SideSpec) -> String {
    if spec == SideSpec::Pair { format!("{base}-{}", side.word()) } else { base.to_owned() }
}

/// What a base id means seen from a part on `from`: the ids of this body, or an error where nothing has that name.
struct References {
    known: BTreeMap<String, (SideSpec, bool)>,
    what: &'static str,
}

impl References {
    fn of<'a>(what: &'static str, names: impl Iterator<Item = (&'a str, SideSpec, bool)>) -> Self {
        let mut known: BTreeMap<String, (SideSpec, bool)> = BTreeMap::new();
        for (name, side, present) in names {
            let entry = known.entry(name.to_owned()).or_insert((side, false));
            entry.1 |= present;
        }
        Self { known, what }
    }

    fn find(&self, base: &str, from: Side, place: &str) -> Result<Vec<String>> {
        let Some((spec, present)) = self.known.get(base) else {
            return Err(Error::new(self.what, place).with("name", base));
        };
        if !present {
            return Ok(Vec::new());
        }
        let sides = spec.sides().iter().filter(|side| from == Side::Centre || **side == Side::Centre || **side == from);
        Ok(sides.map(|side| sided(base, *side, *spec)).collect())
    }
}

pub(super) fn resolve(description: &Description, body: Body) -> Result<Book> {
    let mover = Mover::new(&description.stations, body)?;
    let fits = |part: &PartSpec| part.when.fits(body);
    let parts_known = References::of(
        "error-part-unknown",
        description.parts.iter().map(|part| (part.id.as_str(), part.side, fits(part))),
    );
    let access_known = References::of(
        "error-access-unknown",
        description.access_work.iter().map(|work| (work.id.as_str(), work.side, work.when.fits(body))),
    );

    let mut parts = Vec::new();
    for spec in description.parts.iter().filter(|spec| fits(spec)) {
        for side in spec.side.sides() {
            let part = resolve_part(spec, *side, &mover, &parts_known, &access_known)
                .map_err(|error| error.within(&format!("parts[{}]", spec.id)))?;
            parts.push(part);
        }
    }
    let mut access = BTreeMap::new();
    for spec in description.access_work.iter().filter(|spec| spec.when.fits(body)) {
        for side in spec.side.sides() {
            let work = resolve_access(spec, *side, &parts_known, &access_known)
                .map_err(|error| error.within(&format!("access_work[{}]", spec.id)))?;
            if access.insert(work.id.clone(), work).is_some() {
                return Err(Error::new("error-twice", format!("access_work[{}]", spec.id)).with("name", &spec.id));
            }
        }
    }
    let mut index = BTreeMap::new();
    for (at, part) in parts.iter().enumerate() {
        if index.insert(part.id.clone(), at).is_some() {
            return Err(Error::new("error-twice", format!("parts[{}]", part.base)).with("name", &part.id));
        }
    }
    let mut book = Book {
        id: description.id.clone(),
        edition: description.edition.clone(),
        body,
        parts,
        access,
        index,
        kept: super::facts::Kept::default(),
    };
    tie_joints(&mut book, description, &parts_known, fits)?;
    check::check(&book)?;
    Ok(book)
}

fn resolve_part(spec: &PartSpec, side: Side, mover: &Mover, parts: &References, access: &References) -> Result<Part> {
    let mut shapes = BTreeMap::new();
    for (view, path) in &spec.shapes {
        let place = format!("shapes.{}", view_word(*view));
        let area = Area::from_path(path).map_err(|error| error.within(&place))?;
        for view in views(*view, side) {
            shapes.insert(*view, area.mapped(|p| mover.point(*view, side, p)));
        }
    }
    if shapes.is_empty() {
        return Err(Error::new("error-part-shapeless", "shapes"));
    }
    let lines_of = |what: &str, source: &BTreeMap<ViewSpec, Vec<String>>| -> Result<BTreeMap<View, Vec<Line>>> {
        let mut out: BTreeMap<View, Vec<Line>> = BTreeMap::new();
        for (view, paths) in source {
            for path in paths {
                let read =
                    Line::from_path(path).map_err(|error| error.within(&format!("{what}.{}", view_word(*view))))?;
                for view in views(*view, side) {
                    let moved = read.iter().map(|line| line.mapped(|p| mover.point(*view, side, p)));
                    out.entry(*view).or_default().extend(moved);
                }
            }
        }
        Ok(out)
    };
    let lines = lines_of("lines", &spec.lines)?;
    let mut details = lines_of("details", &spec.details)?;
    for (view, dots) in &spec.dots {
        for view in views(*view, side) {
            let moved = dots.iter().map(|[a, b, radius]| {
                let centre = mover.point(*view, side, Point::new(*a, *b));
                Line::circle(centre, *radius)
            });
            details.entry(*view).or_default().extend(moved);
        }
    }
    let mut no_cut = Vec::new();
    for (at, area) in spec.no_cut.iter().enumerate() {
        let read = Area::from_path(&area.shape).map_err(|error| error.within(&format!("no_cut[{at}].shape")))?;
        for view in views(area.view, side) {
            no_cut.push(NoCut {
                kind: area.kind,
                view: *view,
                area: read.mapped(|p| mover.point(*view, side, p)),
                clear_mm: area.clear_mm,
            });
        }
    }
    let all = |names: &[String], references: &References, what: &str| -> Result<Vec<String>> {
        let mut out = Vec::new();
        for (at, name) in names.iter().enumerate() {
            out.extend(references.find(name, side, &format!("{what}[{at}]"))?);
        }
        Ok(out)
    };
    let mut load = Vec::new();
    for (at, one) in spec.load.iter().enumerate() {
        for to in parts.find(&one.to, side, &format!("load[{at}].to"))? {
            load.push(Load { to: PartId::from(to), direction: one.direction });
        }
    }
    let mut sections = resolve_sections(spec, side, mover, &shapes)?;
    for (at, end) in spec.joint_ends.iter().enumerate() {
        let place = format!("joint_ends[{at}]");
        let Some(sections) = &mut sections else { return Err(Error::new("error-section-view", place)) };
        let view = sections.view;
        let point = mover.point(view, side, Point::new(end.at[0], end.at[1]));
        // A part in the middle is joined to one on each side: the end belongs to the one on its own side.
        let across = match view.plane() {
            (1, _) => point.a,
            (_, 1) => point.b,
            _ => 0.0,
        };
        let own = |to: &String| match side {
            Side::Centre if across > 0.0 => !to.ends_with("-right"),
            Side::Centre if across < 0.0 => !to.ends_with("-left"),
            _ => true,
        };
        for to in parts.find(&end.to, side, &format!("{place}.to"))?.into_iter().filter(own) {
            sections.joint_ends.push(JointEnd { to: PartId::from(to), at: point });
        }
    }
    Ok(Part {
        id: PartId::from(sided(&spec.id, side, spec.side)),
        base: spec.id.clone(),
        side,
        layer: spec.layer,
        also: spec.also.clone(),
        role: spec.role,
        family: spec.material.family,
        temper: spec.material.temper.clone(),
        thickness_mm: spec.material.thickness_mm,
        form: spec.form,
        shapes,
        lines,
        details,
        tags: spec.tags.clone(),
        behind: spec.behind,
        uncover: all(&spec.uncover, access, "uncover")?.into_iter().map(AccessId::from).collect(),
        access: all(&spec.access, access, "access")?.into_iter().map(AccessId::from).collect(),
        no_cut,
        sections,
        joints: Vec::new(),
        load,
    })
}

fn resolve_sections(
    spec: &PartSpec,
    side: Side,
    mover: &Mover,
    shapes: &BTreeMap<View, Area>,
) -> Result<Option<Sections>> {
    if spec.cuts.is_empty() {
        return Ok(None);
    }
    let view = spec.section_view.ok_or_else(|| Error::new("error-section-view", "section_view"))?;
    let view = views(view, side)[0];
    let whole = shapes.get(&view).ok_or_else(|| Error::new("error-section-view", "section_view"))?;
    let mut cuts = Vec::new();
    for (at, cut) in spec.cuts.iter().enumerate() {
        let place = format!("cuts[{at}].line");
        let line = Line::from_path(&cut.line).map_err(|error| error.within(&place))?;
        let [line] = line.as_slice() else { return Err(Error::new("error-cut-line", place)) };
        let [from, to] = line.points() else { return Err(Error::new("error-cut-line", place)) };
        let (from, to) = (mover.point(view, side, *from), mover.point(view, side, *to));
        let length_mm = whole.length_within(from, to);
        let far = 1.0e5 / from.distance(to).max(1.0);
        let beyond = |p: Point, q: Point| Point::new(p.a + (p.a - q.a) * far, p.b + (p.b - q.b) * far);
        let across = whole.length_within(beyond(from, to), beyond(to, from));
        if length_mm < BORDER_MIN_MM || across - length_mm > BORDER_MIN_MM {
            return Err(Error::new("error-cut-short", place).with("name", &cut.id));
        }
        cuts.push(Cut {
            id: CutId::from(cut.id.clone()),
            line: (from, to),
            window_mm: cut.window_mm,
            join: cut.join,
            sleeve_mm: cut.sleeve_mm,
            routes: cut.routes.clone(),
            length_mm,
        });
    }
    let cells = divide(spec, side, mover, view, whole, &cuts)?;
    let service = spec
        .service
        .iter()
        .map(|one| ServiceSection { id: one.id.clone(), cells: one.cells.iter().cloned().map(CellId::from).collect() })
        .collect();
    Ok(Some(Sections { view, cuts, cells, service, joint_ends: Vec::new() }))
}

/// Divides a part along its cut lines; each piece carries the side of every cut on which it lies.
fn divide(spec: &PartSpec, side: Side, mover: &Mover, view: View, whole: &Area, cuts: &[Cut]) -> Result<Vec<Cell>> {
    let mut pieces: Vec<(Vec<bool>, Area)> = vec![(Vec::new(), whole.clone())];
    for cut in cuts {
        let mut next = Vec::new();
        for (signs, area) in pieces {
            for (left, from, to) in [(true, cut.line.0, cut.line.1), (false, cut.line.1, cut.line.0)] {
                if let Some(half) = area.left_of(from, to) {
                    let mut signs = signs.clone();
                    signs.push(left);
                    next.push((signs, half));
                }
            }
        }
        pieces = next;
    }
    let mut named: Vec<(CellId, Vec<bool>, Area)> = Vec::new();
    for (at, cell) in spec.cells.iter().enumerate() {
        let seed = mover.point(view, side, Point::new(cell.at[0], cell.at[1]));
        let Some(found) = pieces.iter().position(|(_, area)| area.contains(seed)) else {
            return Err(Error::new("error-cell-nowhere", format!("cells[{at}].at")).with("name", &cell.id));
        };
        let (signs, area) = pieces.swap_remove(found);
        named.push((CellId::from(cell.id.clone()), signs, area));
    }
    if let Some((_, area)) = pieces.first() {
        let middle = area.bounds().centre();
        return Err(Error::new("error-cell-unnamed", "cells")
            .with("a", format!("{:.0}", middle.a))
            .with("b", format!("{:.0}", middle.b)));
    }
    let mut cells = Vec::new();
    for (id, signs, area) in &named {
        let mut borders = Vec::new();
        for (beyond_at, (other, others, _)) in named.iter().enumerate() {
            let apart: Vec<usize> = (0..cuts.len()).filter(|at| signs[*at] != others[*at]).collect();
            let [only] = apart.as_slice() else { continue };
            let cut = &cuts[*only];
            // The two cells and nothing else: the part on their side of every other cut line.
            let both =
                cuts.iter().enumerate().filter(|(at, _)| at != only).try_fold(whole.clone(), |area, (at, cut)| {
                    if signs[at] { area.left_of(cut.line.0, cut.line.1) } else { area.left_of(cut.line.1, cut.line.0) }
                });
            let length_mm = both.as_ref().map_or(0.0, |area| area.length_within(cut.line.0, cut.line.1));
            if length_mm >= BORDER_MIN_MM {
                borders.push(Border {
                    cut: cut.id.clone(),
                    cut_at: *only,
                    beyond: other.clone(),
                    beyond_at,
                    left: signs[*only],
                    length_mm,
                    span_mm: both.and_then(|area| area.span_within(cut.line.0, cut.line.1)).unwrap_or_default(),
                });
            }
        }
        cells.push(Cell { id: id.clone(), area: area.clone(), borders });
    }
    Ok(cells)
}

fn resolve_access(spec: &AccessSpec, side: Side, parts: &References, access: &References) -> Result<AccessWork> {
    let mut removes = Vec::new();
    for (at, name) in spec.removes.iter().enumerate() {
        removes.extend(parts.find(name, side, &format!("removes[{at}]"))?.into_iter().map(PartId::from));
    }
    let mut after = Vec::new();
    for (at, name) in spec.after.iter().enumerate() {
        after.extend(access.find(name, side, &format!("after[{at}]"))?.into_iter().map(AccessId::from));
    }
    Ok(AccessWork {
        id: AccessId::from(sided(&spec.id, side, spec.side)),
        base: spec.id.clone(),
        side,
        removes,
        after,
        units: spec.units,
        cautions: spec.cautions.clone(),
    })
}

/// Puts each joint with both of its parts.
fn tie_joints(
    book: &mut Book,
    description: &Description,
    known: &References,
    fits: impl Fn(&PartSpec) -> bool,
) -> Result<()> {
    let mut ties: Vec<(PartId, PartId, &JointSpec)> = Vec::new();
    for spec in description.parts.iter().filter(|spec| fits(spec)) {
        for side in spec.side.sides() {
            for (at, joint) in spec.joints.iter().enumerate() {
                let place = format!("parts[{}].joints[{at}].to", spec.id);
                for to in known.find(&joint.to, *side, &place)? {
                    ties.push((PartId::from(sided(&spec.id, *side, spec.side)), PartId::from(to), joint));
                }
            }
        }
    }
    for (from, to, spec) in ties {
        let joint = |to: &PartId, backwards: bool| Joint {
            to: to.clone(),
            kind: spec.kind,
            adhesive: spec.adhesive,
            length_mm: spec.length_mm,
            pitch_mm: spec.pitch_mm,
            stack_mm: if backwards { spec.stack_mm.iter().rev().copied().collect() } else { spec.stack_mm.clone() },
        };
        let (one, other) = (book.index[&from], book.index[&to]);
        book.parts[one].joints.push(joint(&to, false));
        book.parts[other].joints.push(joint(&from, true));
    }
    Ok(())
}

fn view_word(view: ViewSpec) -> &'static str {
    match view {
        ViewSpec::Side => "side",
        ViewSpec::Front => "front",
        ViewSpec::Rear => "rear",
        ViewSpec::Top => "top",
        ViewSpec::Underside => "underside",
    }
}
