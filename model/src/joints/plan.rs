//! Puts a joint together: its line, its fasteners, adhesive, weld, isolation and screening.
//!
//! Takes routes as the decision permits them and things as the shop has them. What cannot be made is said at the joint,
//! with what would make it possible; nothing is bent to fit.

use super::choose::{access_note, choose, closed, grip, open, replacement, rows};
use super::glue::{bead, working_time};
use super::layout::{Ground, Hindered, Keep, Pattern, best_row, lay};
use super::place::{self, Lies};
use super::screening::{THROAT, alloy_of};
use super::{Apart, JointPlan, Note, Placed, Seam, Use, What, fasten, galvanic, heat, screening, strength, weld};
use crate::catalogue::{Book, Joint, Part};
use crate::decide::{CutUse, Decision, Pick, SectionPlan};
use crate::error::Error;
use crate::geometry::{Area, Line, Point};
use crate::ids::PartId;
use crate::stock::{Fastener, Stock};
use crate::terms::{Action, Family, Join, JointKind, Route, View};
use crate::times::TimeBook;

/// Which routes to plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wanted {
    /// The picked one.
    Picked,
    /// Every permitted one, the picked one first.
    Permitted,
}

/// Room between the head of a fastener and a bend, mm. Common practice, no source.
const BEND_ROOM_MM: f64 = 3.0;
/// How far behind the middle of a flange a row may stand where the flange shows too narrow, mm. Common practice, no source.
const FLAT_MM: f64 = 60.0;
/// Distance of a new self-piercing rivet from an old place, in diameters. Common practice, no source.
const OLD_PLACE_D: f64 = 2.0;

/// The joint plans of a job: each cut of a picked section, then each factory joint that section or replacement opens, in
/// the order of the picks. A joint between two renewed parts stands once, with the first.
pub fn joint_plans(
    book: &Book,
    picked: &[(&Decision, &Pick)],
    stock: &Stock,
    times: &TimeBook,
    wanted: Wanted,
) -> Vec<JointPlan> {
    let mut out: Vec<JointPlan> = Vec::new();
    let mut done: Vec<(PartId, PartId, JointKind)> = Vec::new();
    for (decision, pick) in picked {
        let Some(part) = book.part(&decision.part) else { continue };
        if !matches!(pick.action, Action::Section | Action::Replace) {
            continue;
        }
        let permitted: Vec<Route> =
            decision.option(pick.action).map_or_else(Vec::new, |option| option.permitted_routes().collect());
        let mut routes: Vec<Route> = pick.route.into_iter().collect();
        if wanted == Wanted::Permitted {
            routes.extend(permitted.iter().filter(|route| Some(**route) != pick.route));
        }
        let mut found: Vec<(usize, Option<Lies>)> = Vec::new();
        for (turn, route) in routes.iter().enumerate() {
            let mut taken: Vec<(View, Vec<Point>)> = Vec::new();
            let from = out.len();
            let mut bench = Bench {
                book,
                part,
                stock,
                route: *route,
                picked: Some(*route) == pick.route,
                taken: &mut taken,
                found: &mut found,
            };
            let section = pick.section.as_deref().filter(|_| pick.action == Action::Section);
            for cut in section.map_or(&[][..], |plan| &plan.cuts) {
                if let Some(plan) = section.filter(|_| cut.routes.contains(route)) {
                    out.push(bench.cut(plan, cut));
                }
            }
            // The book holds each joint with both of its parts.
            for (number, joint) in part.joints.iter().enumerate() {
                let twin = |(one, two, kind): &(PartId, PartId, JointKind)| {
                    *kind == joint.kind && *one == joint.to && *two == part.id
                };
                if joint.kind == JointKind::Clip || done.iter().any(twin) {
                    continue;
                }
                if turn == 0 {
                    done.push((part.id.clone(), joint.to.clone(), joint.kind));
                }
                out.extend(bench.factory(section, joint, number + 1));
            }
            if *route == Route::Hemmed {
                out.extend(bench.hem());
            }
            working_time(&mut out[from..], times);
        }
    }
    out
}

/// What is needed to plan the joints of one part by one route.
struct Bench<'b, 't> {
    book: &'b Book,
    part: &'b Part,
    stock: &'b Stock,
    route: Route,
    picked: bool,
    /// Places already taken in each view.
    taken: &'t mut Vec<(View, Vec<Point>)>,
    /// Where factory joints lie, by their number: the same for every route.
    found: &'t mut Vec<(usize, Option<Lies>)>,
}

/// What the parts of a joint ask of its fasteners.
struct Strip {
    /// Distances of the rows to the left of the line, each with its edge distance across the line.
    rows: Vec<(f64, f64)>,
    pattern: Pattern,
    /// Whether no-cut areas are barred.
    barred: bool,
}

impl<'b> Bench<'b, '_> {
    fn empty(&self, to: &PartId, what: What, stack_mm: Vec<f64>, length_mm: f64, id: String) -> JointPlan {
        JointPlan {
            id: format!("{id}/{}", self.route),
            part: self.part.id.clone(),
            to: to.clone(),
            what,
            route: self.route,
            picked: self.picked,
            stack_mm,
            length_mm,
            width_mm: 0.0,
            gap_mm: 0.0,
            lies: None,
            fastener: None,
            fasteners: Vec::new(),
            adhesive: None,
            weld: None,
            isolation: None,
            screening: None,
            notes: Vec::new(),
            problems: Vec::new(),
        }
    }

    fn cut(&mut self, section: &SectionPlan, cut: &CutUse) -> JointPlan {
        let part = self.part;
        let butt = cut.join == Join::Butt;
        let what = if butt { What::Butt(cut.cut.clone()) } else { What::Lap(cut.cut.clone()) };
        let t = part.thickness_mm;
        let id = format!("{}/cut/{}", part.id, cut.cut);
        let mut plan = self.empty(&part.id, what, vec![t, t], cut.length_mm, id);
        plan.width_mm = cut.sleeve_mm;
        plan.gap_mm = if butt { self.stock.butt_gap_mm } else { 0.0 };
        plan.lies = place::along_cut(part, section, cut);
        if let Some(lies) = &plan.lies {
            plan.length_mm = lies.runs.iter().map(place::Run::length).sum();
        }
        if closed(part) {
            plan.notes.push(Note::new("joint-note-faces"));
        }
        if butt {
            plan.notes.push(Note::new("joint-note-sleeve").with("mm", text(cut.sleeve_mm)));
        }
        match self.route {
            Route::Welded => self.weld(&mut plan, part, butt),
            Route::RivetedBonded => {
                let both = open(part);
                let kind = if both { JointKind::SelfPiercingRivet } else { JointKind::StructuralBlindRivet };
                plan.notes.push(access_note(both));
                self.adhesive(&mut plan, "structural", if butt { 2 } else { 1 });
                // A butt joint is fastened on both sides of the cut: each side is a strip of its own.
                let strip = if butt { (cut.sleeve_mm - plan.gap_mm) / 2.0 } else { cut.sleeve_mm };
                if let Some(fastener) = self.fastener(&mut plan, kind, strip) {
                    let rows = rows(strip, fastener, if butt { plan.gap_mm / 2.0 } else { -strip / 2.0 }, butt);
                    let pattern = Pattern::New(fastener.pitch_mm);
                    self.set(&mut plan, fastener, &Strip { rows, pattern, barred: true });
                }
            }
            _ => self.adhesive(&mut plan, "structural", if butt { 2 } else { 1 }),
        }
        screening::screen(&mut plan, self.stock, part, part);
        plan
    }

    fn factory(&mut self, section: Option<&SectionPlan>, joint: &Joint, number: usize) -> Option<JointPlan> {
        let (part, book) = (self.part, self.book);
        let other = book.part(&joint.to)?;
        let hangs = matches!(joint.kind, JointKind::Bolt);
        // A hemmed skin comes off its own frame: its bolts and what it carries stay.
        if self.route == Route::Hemmed {
            return None;
        }
        let known = self.found.iter().find(|(known, _)| *known == number).map(|(_, lies)| lies.clone());
        let mut lies = known.unwrap_or_else(|| {
            let lies = self.shared_edge(section, joint, number, other);
            self.found.push((number, lies.clone()));
            lies
        });
        let mut length = joint.length_mm;
        if let Some(plan) = section {
            let cells: Vec<&Area> = part.sections.as_ref().map_or_else(Vec::new, |sections| {
                sections.cells.iter().filter(|cell| plan.cells.contains(&cell.id)).map(|cell| &cell.area).collect()
            });
            match lies.take() {
                Some(found) if found.view.plane() == plan.view.plane() => {
                    let (inside, share) = place::within(&found, &cells, 20.0);
                    if share < 0.02 {
                        return None;
                    }
                    length *= share;
                    lies = Some(inside);
                }
                found => {
                    length *= plan.share;
                    lies = found.map(|mut lies| {
                        lies.stretch = 1.0;
                        place::trim(&mut lies, length);
                        lies
                    });
                }
            }
        }
        let id = format!("{}/{}/{number}", part.id, joint.to);
        let mut plan = self.empty(&joint.to, What::Factory(joint.kind), joint.stack_mm.clone(), length, id);
        plan.width_mm = self.stock.flange_mm;
        plan.lies = lies;
        if !hangs {
            plan.notes.push(Note::new("joint-note-flange").with("mm", text(self.stock.flange_mm)));
        }
        if let Some(stretch) = plan.lies.as_ref().map(|lies| lies.stretch).filter(|stretch| *stretch > 1.0) {
            plan.notes.push(Note::new("joint-note-shortened").with("share", text(100.0 / stretch)));
        }
        if plan.lies.as_ref().is_some_and(|lies| lies.assumed) {
            plan.notes.push(Note::new("joint-note-assumed"));
        }
        let mixed = galvanic::must_isolate(part.family.metal(), other.family.metal());
        match joint.kind {
            JointKind::BondedGlass => self.adhesive(&mut plan, "glass", 1),
            JointKind::Adhesive => self.adhesive(&mut plan, "structural", 1),
            JointKind::Hem => self.adhesive(&mut plan, "hem", 1),
            _ if hangs => {
                if joint.adhesive {
                    self.adhesive(&mut plan, "structural", 1);
                }
                self.fasten(&mut plan, JointKind::Bolt, Pattern::Kept(joint.pitch_mm.max(1.0)));
                plan.notes.push(Note::new("joint-why-bolts"));
            }
            _ if self.route == Route::Welded && !mixed => self.weld(&mut plan, other, false),
            _ if self.route == Route::Bonded => self.adhesive(&mut plan, "structural", 1),
            kind => {
                if self.route == Route::Welded {
                    plan.notes.push(Note::new("joint-why-mixed"));
                }
                self.adhesive(&mut plan, "structural", 1);
                let both = open(part) && open(other);
                let (with, pattern, why) = replacement(kind, both, joint.pitch_mm);
                plan.notes.extend([access_note(both), Note::new(why)]);
                self.fasten(&mut plan, with, pattern);
            }
        }
        if mixed {
            self.apart(&mut plan, other);
        }
        screening::screen(&mut plan, self.stock, part, other);
        Some(plan)
    }

    /// Where a factory joint lies.
    fn shared_edge(&self, section: Option<&SectionPlan>, joint: &Joint, number: usize, other: &Part) -> Option<Lies> {
        // Several joints of one pair lie one after the other along the edge that they share.
        let before: f64 = fixed(&self.part.joints[..number - 1], joint).map(|one| one.length_mm).sum();
        let all: f64 = fixed(&self.part.joints, joint).map(|one| one.length_mm).sum();
        let part = self.part;
        let first = section.map(|plan| plan.view);
        let along = |length: f64| place::along_edge(part, other, length, self.stock.flange_mm, first);
        let mut lies = along(joint.length_mm);
        if all > joint.length_mm + 1.0
            && let Some(whole) = along(all).filter(|whole| lies.as_ref().is_some_and(|lies| lies.view == whole.view))
        {
            lies = Some(place::portion(whole, before / all, joint.length_mm / all));
        }
        lies
    }

    /// The hem of a closure's outer skin, round its whole edge in the view that shows most of it.
    fn hem(&mut self) -> Option<JointPlan> {
        let part = self.part;
        let (view, area) = part.shapes.iter().max_by(|one, other| one.1.size().total_cmp(&other.1.size()))?;
        let t = part.thickness_mm;
        let what = What::Factory(JointKind::Hem);
        let mut plan = self.empty(&part.id, what, vec![t, t, t], area.edge_length(), format!("{}/hem", part.id));
        plan.width_mm = 10.0;
        let runs = area.points().into_iter().take(1).map(|points| place::Run { points, inside: 0.0 }).collect();
        plan.lies = Some(Lies { view: *view, runs, stretch: 1.0, on_other: false, assumed: false });
        self.adhesive(&mut plan, "hem", 1);
        Some(plan)
    }

    /// One row along a flange.
    fn fasten(&mut self, plan: &mut JointPlan, kind: JointKind, pattern: Pattern) {
        let width = plan.width_mm;
        // A bolt sits where the maker put it: its flange is wide enough.
        let strip = if kind == JointKind::Bolt { f64::INFINITY } else { width };
        let Some(fastener) = self.fastener(plan, kind, strip) else { return };
        let pattern = match pattern {
            Pattern::Beside(pitch, _) => Pattern::Beside(pitch, OLD_PLACE_D * fastener.diameter_mm),
            Pattern::New(_) => Pattern::New(fastener.pitch_mm),
            kept @ Pattern::Kept(_) => kept,
        };
        self.set(plan, fastener, &Strip { rows: vec![(width / 2.0, width / 2.0)], pattern, barred: false });
    }

    /// The fastener of that kind for the stack of the joint and a strip of that width: the thickest that fits.
    fn fastener(&self, plan: &mut JointPlan, kind: JointKind, strip_mm: f64) -> Option<&'b Fastener> {
        let film = plan.adhesive.as_ref().and_then(|bead| self.stock.adhesives.iter().find(|one| one.id == bead.id));
        let film = film.map_or(0.0, |adhesive| adhesive.film_mm);
        choose(self.stock, kind, &plan.stack_mm, film, strip_mm)
            .map_err(|error| plan.problems.push(error.within(&plan.id)))
            .ok()
    }

    /// Sets the fasteners along every line of the joint and numbers them from the middle outwards.
    fn set(&mut self, plan: &mut JointPlan, fastener: &Fastener, strip: &Strip) {
        let two = strip.rows.len() > 2 || (strip.rows.len() == 2 && strip.rows[0].0 * strip.rows[1].0 > 0.0);
        let rule = fasten::AC4313;
        let keep = Keep {
            edge_mm: rule.edge_mm(fastener.diameter_mm),
            end_mm: rule.edge_mm(fastener.diameter_mm),
            pitch_mm: rule.pitch_mm(fastener.diameter_mm, if two { 2 } else { 1 }),
            any_mm: rule.row_mm(fastener.diameter_mm),
            bend_mm: fastener.head_mm / 2.0 + BEND_ROOM_MM,
        };
        let film: f64 = plan.adhesive.as_ref().map_or(0.0, |bead| self.film(&bead.id));
        let grip_mm = grip(&plan.stack_mm, film);
        let mut left_out = Hindered::default();
        let mut moved = None;
        if let Some(lies) = &plan.lies {
            let host = if lies.on_other { self.book.part(&plan.to).unwrap_or(self.part) } else { self.part };
            let bends: &[Line] = host.lines.get(&lies.view).map_or(&[], Vec::as_slice);
            let barred = host.no_cut.iter().filter(|area| strip.barred && area.view.plane() == lies.view.plane());
            // Bolts go back into the holes that the maker put there.
            let bolted = fastener.kind == JointKind::Bolt;
            let ground = Ground {
                outline: host.shapes.get(&lies.view).filter(|_| !bolted),
                bends: if bolted { &[] } else { bends },
                barred: barred.map(|area| (&area.area, fastener.head_mm / 2.0)).collect(),
            };
            let at = self.taken.iter().position(|(view, _)| *view == lies.view).unwrap_or_else(|| {
                self.taken.push((lies.view, Vec::new()));
                self.taken.len() - 1
            });
            let taken = &mut self.taken[at].1;
            for run in &lies.runs {
                let side = if run.inside == 0.0 { 1.0 } else { run.inside };
                let mut rows: Vec<(f64, f64)> = strip.rows.iter().map(|(left, edge)| (left * side, *edge)).collect();
                let legs = run.legs();
                // A flange that is bent away shows too narrow for a row: it stands on the flat behind the bend.
                if let ([(own, _)], false) = (strip.rows.as_slice(), bolted) {
                    let (from, to) = (keep.edge_mm, own.max(keep.edge_mm) + FLAT_MM);
                    let as_drawn = best_row(&legs, side, (*own, *own), &keep, &ground);
                    if as_drawn.is_none()
                        && let Some(left) = best_row(&legs, side, (from, to), &keep, &ground)
                    {
                        rows = vec![(left * side, left)];
                        moved = Some(moved.map_or(left, |known: f64| known.max(left)));
                    }
                }
                for leg in legs {
                    let (mut sites, missing) = lay(&leg, &rows, strip.pattern, &keep, lies.stretch, &ground, taken);
                    left_out.add(&missing);
                    let ends = sites.iter().map(|site| site.along_mm);
                    let half = f64::midpoint(ends.clone().fold(0.0, f64::max), ends.fold(f64::MAX, f64::min));
                    sites.sort_by(|one, other| {
                        let away = |along: f64| ((along - half).abs() * 10.0).round();
                        away(one.along_mm).total_cmp(&away(other.along_mm)).then(one.row.cmp(&other.row))
                    });
                    for site in sites {
                        let number = u32::try_from(plan.fasteners.len() + 1).unwrap_or(u32::MAX);
                        plan.fasteners.push(Placed {
                            number,
                            point: site.point,
                            row: site.row,
                            edge_mm: site.edge_mm,
                            pitch_mm: site.pitch_mm,
                        });
                    }
                }
            }
        } else {
            plan.problems.push(Error::new("joint-no-view", plan.id.clone()).with("mm", text(plan.length_mm)));
        }
        let count = plan.fasteners.len();
        if let Some(left) = moved.filter(|_| count > 0) {
            plan.notes.push(Note::new("joint-note-behind-bend").with("mm", text(left)));
        }
        let missing = left_out.sum();
        if missing > 0 {
            plan.notes.push(Note::new("joint-note-left-out").with("count", missing));
        }
        if plan.lies.is_some() && (count == 0 || missing > count) {
            let key = if count == 0 { "joint-no-place" } else { "joint-few-places" };
            let few = Error::new(key, plan.id.clone()).with("count", count).with("wanted", count + missing);
            let hinders = [
                ("joint-hinders-edge", left_out.edge, keep.edge_mm),
                ("joint-hinders-bend", left_out.bend, keep.bend_mm),
                ("joint-hinders-other", left_out.other, keep.any_mm),
                ("joint-hinders-barred", left_out.barred, 0.0),
            ];
            let said = hinders.iter().filter(|(_, count, _)| *count > 0).map(|(key, count, mm)| {
                Note::new(key).with("count", count).with("mm", text(*mm)).words(crate::words::Language::English)
            });
            let few = few.with("why", said.collect::<Vec<_>>().join(", "));
            let few = few.with("least", text(keep.edge_mm + keep.bend_mm));
            plan.problems.push(few.with("straight", text(2.0 * keep.end_mm)));
        }
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss)]
        let spares = (count as f64 * self.stock.spares_percent / 100.0).ceil() as usize;
        plan.fastener = Some(Use {
            id: fastener.id.clone(),
            kind: fastener.kind,
            diameter_mm: fastener.diameter_mm,
            hole_mm: fastener.hole_mm,
            grip_mm,
            grip_range_mm: fastener.grip_mm,
            keep,
            count,
            spares,
            needed_per_metre: None,
        });
    }

    fn film(&self, id: &str) -> f64 {
        self.stock.adhesives.iter().find(|one| one.id == id).map_or(0.0, |one| one.film_mm)
    }

    fn adhesive(&self, plan: &mut JointPlan, for_use: &'static str, beads: u32) {
        match self.stock.adhesive(for_use) {
            Some(adhesive) => plan.adhesive = Some(bead(adhesive, plan.length_mm, beads)),
            None => plan.problems.push(Error::new("joint-no-adhesive", plan.id.clone()).with("use", for_use)),
        }
    }

    fn weld(&self, plan: &mut JointPlan, other: &Part, butt: bool) {
        let thin = plan.stack_mm.iter().copied().fold(f64::INFINITY, f64::min);
        let metals = (alloy_of(self.part), alloy_of(other));
        let filler = metals.0.zip(metals.1).and_then(|(one, two)| weld::filler(one.metal, two.metal));
        let setting = self.stock.welding.iter().find(|setting| thin <= setting.to_mm + 1e-9);
        let (Some(filler), Some(setting)) = (filler, setting) else {
            let key = if filler.is_none() { "joint-no-filler" } else { "joint-no-setting" };
            let most = self.stock.welding.last().map_or(0.0, |setting| setting.to_mm);
            plan.problems.push(Error::new(key, plan.id.clone()).with("mm", text(thin)).with("most", text(most)));
            return;
        };
        if !self.stock.fillers.iter().any(|one| one.filler == filler) {
            plan.problems.push(Error::new("joint-filler-lacks", plan.id.clone()).with("filler", filler));
        }
        // Square butt with its cap, or a fillet whose throat is 0.7 of the sheet.
        let section_mm2 = if butt { thin * plan.gap_mm + 0.6 * thin * thin } else { (THROAT * thin).powi(2) };
        let passes = weld::passes(section_mm2, setting.wire_mm, setting.feed_mm_min, setting.travel_mm_min);
        let density = self.stock.fillers.iter().find(|one| one.filler == filler).map_or(2.7, |one| one.density_g_cm3);
        let haz_mm = strength::haz_mm(thin, 60.0);
        let (stitches, must_out) = match &plan.lies {
            Some(lies) => (
                lies.runs.iter().map(|run| weld::stitches(run.length() * lies.stretch, setting.stitch_mm)).collect(),
                heat::must_out(self.book, self.part, &plan.to, lies, haz_mm),
            ),
            None => (vec![weld::stitches(plan.length_mm, setting.stitch_mm)], Vec::new()),
        };
        plan.weld = Some(Seam {
            filler,
            length_mm: plan.length_mm,
            passes,
            heat_kj_mm: weld::heat_input_kj_mm(0.8, setting.volts, setting.amps, setting.travel_mm_min),
            wire_g: section_mm2 * plan.length_mm / 1e3 * density,
            stitches,
            haz_mm,
            must_out,
        });
    }

    fn apart(&self, plan: &mut JointPlan, other: &Part) {
        let metals = (self.part.family.metal(), other.family.metal());
        let name = |part: &Part| match part.family {
            Family::AluminiumCasting => "aluminium-casting",
            _ => part.family.metal().word(),
        };
        let difference_v = galvanic::difference_v(name(self.part), name(other)).unwrap_or(f64::INFINITY);
        let metres = plan.length_mm / 1e3;
        let of = |for_use: &str| self.stock.isolation.iter().find(|one| one.for_use == for_use);
        let (barrier, barrier_amount) = match (&plan.adhesive, of("barrier")) {
            (Some(bead), _) => (bead.id.clone(), None),
            (None, Some(one)) => (one.id.clone(), Some((one.per_metre * metres, one.unit.clone()))),
            (None, None) => {
                plan.problems.push(Error::new("joint-no-barrier", plan.id.clone()));
                (String::new(), None)
            }
        };
        let coated = plan.fastener.as_ref().and_then(|used| self.stock.fasteners.iter().find(|one| one.id == used.id));
        if coated.is_some_and(|fastener| !fastener.coated) {
            plan.problems.push(Error::new("joint-not-coated", plan.id.clone()));
        }
        plan.isolation = Some(Apart {
            metals,
            difference_v,
            environment: self.stock.environment,
            index_tolerates: self.stock.environment.tolerates(difference_v),
            barrier,
            barrier_amount,
            coated: coated.map(|fastener| fastener.coated),
            edge: of("edge").map(|one| (one.id.clone(), 2.0 * one.per_metre * metres, one.unit.clone())),
        });
    }
}

/// Those of some joints that hold the same parts together as this one along the same edge, itself among them; a bolt sits
/// where the maker put it.
fn fixed<'j>(joints: &'j [Joint], like: &'j Joint) -> impl Iterator<Item = &'j Joint> {
    let bolted = like.kind == JointKind::Bolt;
    joints
        .iter()
        .filter(move |one| one.to == like.to && one.kind != JointKind::Clip && (one.kind == JointKind::Bolt) == bolted)
}

/// A number for a person: at most one decimal.
pub(super) fn text(value: f64) -> String {
    let tenths = (value * 10.0).round() / 10.0;
    format!("{tenths}")
}
