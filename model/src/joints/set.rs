//! Sets the fasteners of a joint: which of the list, in which places, and what is said where too few are found.
//!
//! A smaller fastener is taken where the thickest finds too few places; no distance is ever shortened for one.

use super::choose::{choose_all, closed, grip};
use super::layout::{Ground, Hindered, Keep, Pattern, best_row, lay};
use super::plan::{Bench, text};
use super::{JointPlan, Note, Placed, Use, fasten};
use crate::error::Error;
use crate::geometry::{Line, Point};
use crate::stock::Fastener;
use crate::terms::JointKind;

/// Room between the head of a fastener and a bend, mm. Common practice, no source.
const BEND_ROOM_MM: f64 = 3.0;
/// How far behind the middle of a flange a row may stand where the flange shows too narrow, mm. Common practice, no source.
const FLAT_MM: f64 = 60.0;
/// Shanks of rivets that the trade has, thickest first, mm. Common practice, no source.
const SHANKS_MM: [f64; 4] = [6.0, 4.8, 4.0, 3.2];

/// Where the fasteners of a joint would sit.
struct Trial {
    keep: Keep,
    fasteners: Vec<Placed>,
    left_out: Hindered,
    /// How far from the edge a row stands that had no room at its own place, mm.
    moved: Option<f64>,
    /// What is set in the view with them; `None` where they do not count for other joints.
    taken: Option<Vec<Point>>,
}

impl Trial {
    /// Whether as many find a place as do not, and one at least.
    fn is_enough(&self) -> bool {
        !self.fasteners.is_empty() && self.left_out.sum() <= self.fasteners.len()
    }
    /// Share of the wanted places that are found.
    fn share(&self) -> f64 {
        let (found, missing) = (self.fasteners.len(), self.left_out.sum());
        #[allow(clippy::cast_precision_loss)] // counts of fasteners
        let share = found as f64 / (found + missing).max(1) as f64;
        share
    }
}

/// What is said of a joint whose fasteners find too few places, and what would take them.
fn too_few(plan: &JointPlan, fastener: &Fastener, grip_mm: f64, found: &Trial, would_mm: Option<f64>) -> Error {
    let (count, keep) = (found.fasteners.len(), &found.keep);
    let kind = crate::words::word(&format!("fastener-{}", fastener.kind));
    if count + found.left_out.sum() == 0 {
        let short = Error::new("joint-short", plan.id.clone()).with("mm", text(plan.length_mm)).with("kind", kind);
        return short.with("straight", text(2.0 * keep.end_mm));
    }
    let key = if count == 0 { "joint-no-place" } else { "joint-few-places" };
    let few = Error::new(key, plan.id.clone()).with("count", count).with("wanted", count + found.left_out.sum());
    let hinders = [
        ("joint-hinders-edge", found.left_out.edge, keep.edge_mm),
        ("joint-hinders-bend", found.left_out.bend, keep.bend_mm),
        ("joint-hinders-other", found.left_out.other, keep.any_mm),
        ("joint-hinders-barred", found.left_out.barred, 0.0),
    ];
    let english = crate::words::Language::English;
    let said = hinders
        .iter()
        .filter(|(_, count, _)| *count > 0)
        .map(|(key, count, mm)| Note::new(key).with("count", count).with("mm", text(*mm)).words(english));
    let few = few.with("why", said.collect::<Vec<_>>().join(", "));
    let grips = text(grip_mm);
    let would = match would_mm {
        Some(mm) => Note::new("joint-would-smaller").with("mm", text(mm)).with("grip", grips),
        None if fastener.kind == JointKind::Bolt => Note::new("joint-would-maker"),
        None => Note::new("joint-would-none"),
    };
    let few = few.with("would", would.with("kind", kind).words(english));
    few.with("least", text(keep.edge_mm + keep.bend_mm)).with("straight", text(2.0 * keep.end_mm))
}

/// What the parts of a joint ask of its fasteners.
pub(super) struct Strip {
    /// Distances of the rows to the left of the line, each with its edge distance across the line.
    pub(super) rows: Vec<(f64, f64)>,
    pub(super) pattern: Pattern,
    /// Whether no-cut areas are barred.
    pub(super) barred: bool,
}

impl Bench<'_, '_> {
    /// Sets fasteners of that kind along every line of the joint and numbers them from the middle outwards: the thickest
    /// that fits the strip, or a smaller one where that finds too few places.
    pub(super) fn set(
        &mut self,
        plan: &mut JointPlan,
        kind: JointKind,
        strip_mm: f64,
        strip: &dyn Fn(&Fastener) -> Strip,
    ) {
        let film: f64 = plan.adhesive.as_ref().map_or(0.0, |bead| self.film(&bead.id));
        let all = match choose_all(self.stock, kind, &plan.stack_mm, film, strip_mm) {
            Ok(all) => all,
            Err(error) => return plan.problems.push(error.within(&plan.id)),
        };
        let first = all[0];
        let mut best = self.lay(plan, first, &strip(first), true);
        let mut fastener = first;
        // Bolts are the maker's size.
        for other in all.iter().skip(1).filter(|_| kind != JointKind::Bolt) {
            if best.is_enough() || other.diameter_mm >= fastener.diameter_mm {
                continue;
            }
            let trial = self.lay(plan, other, &strip(other), true);
            if trial.is_enough() || trial.share() > best.share() {
                (best, fastener) = (trial, other);
            }
        }
        // Where the map cannot tell faces apart, another joint that lies on another one does not hinder.
        if !best.is_enough() && best.left_out.other > 0 && self.faces_unknown(plan) {
            let alone = self.lay(plan, first, &strip(first), false);
            if alone.is_enough() || alone.share() > best.share() {
                (best, fastener) = (alone, first);
                plan.notes.push(Note::new("joint-note-other-face"));
            }
        }
        if fastener.diameter_mm < first.diameter_mm {
            let note = Note::new("joint-note-smaller").with("first", text(first.diameter_mm));
            plan.notes.push(note.with("taken", text(fastener.diameter_mm)));
        }
        if plan.lies.is_none() {
            plan.problems.push(Error::new("joint-no-view", plan.id.clone()).with("mm", text(plan.length_mm)));
        }
        let (count, missing) = (best.fasteners.len(), best.left_out.sum());
        if let Some(left) = best.moved.filter(|_| count > 0) {
            plan.notes.push(Note::new("joint-note-behind-bend").with("mm", text(left)));
        }
        if missing > 0 {
            let key = if missing == 1 { "joint-note-left-out-one" } else { "joint-note-left-out" };
            plan.notes.push(Note::new(key).with("count", missing));
        }
        if plan.lies.is_some() && !best.is_enough() {
            let would = self.would_do(plan, fastener, strip);
            let few = too_few(plan, fastener, grip(&plan.stack_mm, film), &best, would);
            plan.problems.push(few);
        }
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss)]
        let spares = (count as f64 * self.stock.spares_percent / 100.0).ceil() as usize;
        plan.fastener = Some(Use {
            id: fastener.id.clone(),
            kind: fastener.kind,
            diameter_mm: fastener.diameter_mm,
            hole_mm: fastener.hole_mm,
            grip_mm: grip(&plan.stack_mm, film),
            grip_range_mm: fastener.grip_mm,
            keep: best.keep,
            count,
            spares,
            needed_per_metre: None,
        });
        if let (Some(view), Some(taken)) = (plan.lies.as_ref().map(|lies| lies.view), best.taken) {
            match self.taken.iter_mut().find(|(known, _)| *known == view) {
                Some((_, known)) => *known = taken,
                None => self.taken.push((view, taken)),
            }
        }
        plan.fasteners = best.fasteners;
    }

    /// Whether the map cannot tell on which face of the part a joint lies.
    fn faces_unknown(&self, plan: &JointPlan) -> bool {
        let other = self.book.part(&plan.to);
        let aslant = plan.lies.as_ref().is_some_and(|lies| lies.assumed || lies.stretch > 1.0);
        aslant || closed(self.part) || other.is_some_and(closed)
    }

    /// The thickest shank below that of a fastener, mm, with a head twice as wide, that would find enough places; `None`
    /// where none down to the smallest of the trade does.
    fn would_do(&mut self, plan: &JointPlan, fastener: &Fastener, strip: &dyn Fn(&Fastener) -> Strip) -> Option<f64> {
        let smaller = SHANKS_MM.iter().filter(|shank| **shank < fastener.diameter_mm);
        let fits = |shank: &&f64| {
            let one = Fastener { diameter_mm: **shank, head_mm: 2.0 * **shank, ..fastener.clone() };
            self.lay(plan, &one, &strip(&one), true).is_enough()
        };
        if fastener.kind == JointKind::Bolt {
            None
        } else {
            smaller.copied().collect::<Vec<_>>().iter().find(fits).copied()
        }
    }

    /// Where the fasteners would sit. `others` says whether those of other joints of the part hinder.
    fn lay(&self, plan: &JointPlan, fastener: &Fastener, strip: &Strip, others: bool) -> Trial {
        let two = strip.rows.len() > 2 || (strip.rows.len() == 2 && strip.rows[0].0 * strip.rows[1].0 > 0.0);
        let rule = fasten::AC4313;
        // Bolts go back into the holes that the maker put there.
        let bolted = fastener.kind == JointKind::Bolt;
        let edge_mm = rule.edge_mm(fastener.diameter_mm);
        let runs = plan.lies.iter().flat_map(|lies| lies.runs.iter().map(|run| run.length() * lies.stretch));
        let longest = runs.fold(0.0, f64::max);
        let keep = Keep {
            edge_mm,
            end_mm: if bolted { edge_mm.min(longest / 2.0) } else { edge_mm },
            pitch_mm: rule.pitch_mm(fastener.diameter_mm, if two { 2 } else { 1 }),
            any_mm: rule.row_mm(fastener.diameter_mm),
            bend_mm: fastener.head_mm / 2.0 + BEND_ROOM_MM,
        };
        let mut out = Trial { keep, fasteners: Vec::new(), left_out: Hindered::default(), moved: None, taken: None };
        let Some(lies) = &plan.lies else { return out };
        let host = if lies.on_other { self.book.part(&plan.to).unwrap_or(self.part) } else { self.part };
        let bends: &[Line] = host.lines.get(&lies.view).map_or(&[], Vec::as_slice);
        let barred = host.no_cut.iter().filter(|area| strip.barred && area.view.plane() == lies.view.plane());
        let ground = Ground {
            outline: host.shapes.get(&lies.view).filter(|_| !bolted),
            bends: if bolted { &[] } else { bends },
            barred: barred.map(|area| (&area.area, fastener.head_mm / 2.0)).collect(),
        };
        let known = self.taken.iter().find(|(view, _)| *view == lies.view).map(|(_, taken)| taken);
        let mut taken = known.filter(|_| others).cloned().unwrap_or_default();
        for run in &lies.runs {
            let side = if run.inside == 0.0 { 1.0 } else { run.inside };
            let mut rows: Vec<(f64, f64)> = strip.rows.iter().map(|(left, edge)| (left * side, *edge)).collect();
            let legs = run.legs();
            // A flange that is bent away, or narrows, has more room for a row a little further in.
            if let ([(own, _)], false) = (strip.rows.as_slice(), bolted) {
                let (from, to) = (keep.edge_mm, own.max(keep.edge_mm) + FLAT_MM);
                let left = best_row(&legs, side, *own, (from, to), &keep, &ground);
                if (left - own).abs() > 1e-9 {
                    rows = vec![(left * side, left)];
                }
                if left > own + 1e-9 {
                    out.moved = Some(out.moved.map_or(left, |known: f64| known.max(left)));
                }
            }
            for leg in legs {
                let (mut sites, missing) = lay(&leg, &rows, strip.pattern, &keep, lies.stretch, &ground, &mut taken);
                out.left_out.add(&missing);
                let ends = sites.iter().map(|site| site.along_mm);
                let half = f64::midpoint(ends.clone().fold(0.0, f64::max), ends.fold(f64::MAX, f64::min));
                sites.sort_by(|one, other| {
                    let away = |along: f64| ((along - half).abs() * 10.0).round();
                    away(one.along_mm).total_cmp(&away(other.along_mm)).then(one.row.cmp(&other.row))
                });
                for site in sites {
                    let number = u32::try_from(out.fasteners.len() + 1).unwrap_or(u32::MAX);
                    out.fasteners.push(Placed {
                        number,
                        point: site.point,
                        row: site.row,
                        edge_mm: site.edge_mm,
                        pitch_mm: site.pitch_mm,
                    });
                }
            }
        }
        // Those that other joints may not hinder hinder none.
        out.taken = others.then_some(taken);
        out
    }
}
