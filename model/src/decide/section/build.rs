//! From a set of cells to the plan that people read: where each line runs, what is ordered, how far everything is.
//!
//! Adds nothing that the search did not settle, save the place of a line within what is free.

use super::best::{Problem, Use, cells_of};
use super::cover::{Cover, fewest};
use super::place::{Site, What, away, least_move};
use super::{CutUse, SectionPlan};
use crate::ids::CellId;
use crate::terms::Route;

/// The plan for these cells, ordered without regard to price.
pub(super) fn unpriced(site: &Site<'_>, cells: u64) -> SectionPlan {
    let mut problem = Problem::plain(site);
    let chosen = fewest(site, cells, |piece| {
        problem.piece.copy_from_slice(piece);
        fits(&problem, cells)
    });
    unpriced_as(site, cells, chosen)
}

/// The plan for these cells cut from these pieces, or from a whole new part.
pub(super) fn unpriced_as(site: &Site<'_>, cells: u64, piece: Option<Vec<usize>>) -> SectionPlan {
    let mut problem = Problem::plain(site);
    let mut sections = Vec::new();
    if let Some(piece) = piece {
        sections = cells_of(cells).map(|cell| piece[cell]).collect();
        sections.sort_unstable();
        sections.dedup();
        problem.piece = piece;
    }
    plan(&problem, cells, &sections)
}

/// The plan of a cover.
pub(super) fn bought(site: &Site<'_>, cover: &Cover) -> SectionPlan {
    let mut problem = Problem::plain(site);
    problem.piece.clone_from(&cover.piece);
    plan(&problem, cover.cells, &cover.sections)
}

/// Whether every line has a place.
fn fits(problem: &Problem<'_>, cells: u64) -> bool {
    (0..problem.line.len()).all(|cut| {
        let uses = problem.uses(cells, cut);
        uses.is_empty() || !problem.site.free(cut, problem.bars(&uses)).is_empty()
    })
}

fn plan(problem: &Problem<'_>, cells: u64, sections: &[usize]) -> SectionPlan {
    let site = problem.site;
    let cuts: Vec<CutUse> = (0..problem.line.len()).filter_map(|cut| placed(problem, cells, cut)).collect();
    let size = |cell: usize| site.sections.cells[cell].area.size();
    let total: f64 = (0..site.sections.cells.len()).map(size).sum();
    let ids: Vec<CellId> = cells_of(cells).map(|cell| site.sections.cells[cell].id.clone()).collect();
    SectionPlan {
        view: site.sections.view,
        cells: ids,
        service: sections.iter().map(|at| site.sections.service[*at].id.clone()).collect(),
        share: cells_of(cells).map(size).sum::<f64>() / total.max(1.0),
        routes: Route::ALL.iter().copied().filter(|route| cuts.iter().all(|cut| cut.routes.contains(route))).collect(),
        cuts,
        held: false,
    }
}

fn placed(problem: &Problem<'_>, cells: u64, cut: usize) -> Option<CutUse> {
    let uses = problem.uses(cells, cut);
    if uses.is_empty() {
        return None;
    }
    let site = problem.site;
    let free = site.free(cut, problem.bars(&uses));
    let range = free.into_iter().min_by(|one, other| away(*one).total_cmp(&away(*other)))?;
    Some(at_place(problem, &uses, cut, range, least_move(range)))
}

/// The cut in these uses at one place.
pub(super) fn at_place(problem: &Problem<'_>, uses: &[Use], cut: usize, range_mm: (f64, f64), moved_mm: f64) -> CutUse {
    let site = problem.site;
    let length = |test: fn(&Use) -> bool| -> f64 {
        uses.iter().filter(|one| test(one)).map(|one| site.edges[one.edge].length_mm).sum()
    };
    let nearest = |test: &dyn Fn(&What) -> bool| {
        let bars = problem.bars(uses).filter(|bar| test(&bar.what));
        bars.map(|bar| (bar.what.clone(), bar.distance(moved_mm))).min_by(|one, other| one.1.total_cmp(&other.1))
    };
    let spec = &site.sections.cuts[cut];
    let cell = |at: usize| site.sections.cells[at].id.clone();
    let new = uses.iter().filter(|one| one.between_new).map(|one| &site.edges[one.edge]);
    CutUse {
        cut: spec.id.clone(),
        line: site.moved(cut, moved_mm),
        moved_mm,
        range_mm,
        length_mm: length(|_| true),
        between_new_mm: length(|one| one.between_new),
        seams: new.map(|edge| (cell(edge.cell), cell(edge.beyond))).collect(),
        join: spec.join,
        sleeve_mm: spec.sleeve_mm,
        routes: spec.routes.clone(),
        to_damage_mm: nearest(&|what| *what == What::Damage).map_or(f64::INFINITY, |(_, distance)| distance),
        nearest_no_cut: nearest(&|what| matches!(what, What::NoCut(_))).and_then(|(what, distance)| match what {
            What::NoCut(kind) => Some((kind, distance)),
            _ => None,
        }),
        nearest_joint: nearest(&|what| matches!(what, What::JointEnd(_))).and_then(|(what, distance)| match what {
            What::JointEnd(to) => Some((to, distance)),
            _ => None,
        }),
    }
}

/// The plan with its distances measured anew where its lines run now; nothing else changes.
pub(super) fn remeasured(site: &Site<'_>, plan: &mut SectionPlan) {
    let problem = Problem::plain(site);
    let renewed = site.sections.cells.iter().enumerate().filter(|(_, cell)| plan.cells.contains(&cell.id));
    let cells = renewed.fold(0, |sum, (at, _)| sum | (1_u64 << at));
    for used in &mut plan.cuts {
        let Some(cut) = site.sections.cuts.iter().position(|cut| cut.id == used.cut) else { continue };
        let uses = problem.uses(cells, cut);
        if !uses.is_empty() {
            let measured = at_place(&problem, &uses, cut, used.range_mm, used.moved_mm);
            used.to_damage_mm = measured.to_damage_mm;
            used.nearest_no_cut = measured.nearest_no_cut;
            used.nearest_joint = measured.nearest_joint;
        }
    }
}
