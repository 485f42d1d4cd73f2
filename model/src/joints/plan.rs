//! Puts a joint together: its line, its fasteners, adhesive, weld, isolation and screening.
//!
//! Takes routes as the decision permits them and things as the shop has them. What cannot be made is said at the joint,
//! with what would make it possible; nothing is bent to fit.

use super::choose::{access_note, closed, open, replacement, rows};
use super::glue::{bead, working_time};
use super::layout::Pattern;
use super::place::{self, Lies};
use super::screening::{THROAT, alloy_of};
use super::set::Strip;
use super::{Apart, JointPlan, Note, Seam, What, galvanic, heat, screening, strength, weld};
use crate::catalogue::{Book, Joint, Part};
use crate::decide::{CutUse, Decision, Effect, Pick, SectionPlan};
use crate::error::Error;
use crate::geometry::{Area, Point};
use crate::ids::PartId;
use crate::operations::{Renewed, left_to};
use crate::stock::Stock;
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

/// Share of a joint below which nothing of it is made.
const LEAST_SHARE: f64 = 0.02;
/// Distance of a new self-piercing rivet from an old place, in diameters. Common practice, no source.
const OLD_PLACE_D: f64 = 2.0;

/// The joint plans of a job: each cut of a picked section, then each factory joint that section or replacement opens, in
/// the order of the picks. A joint between two renewed parts stands on one sheet alone, by [`left_to`]; [`made_with`] says
/// on which.
pub fn joint_plans(
    book: &Book,
    picked: &[(&Decision, &Pick)],
    stock: &Stock,
    times: &TimeBook,
    wanted: Wanted,
) -> Vec<JointPlan> {
    let mut out: Vec<JointPlan> = Vec::new();
    let renewed = renewed(book, picked);
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
        for route in &routes {
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
            // A hemmed skin comes off its own frame: its bolts and what it carries stay.
            let own =
                if *route == Route::Hemmed { None } else { Some(section.map_or(Renewed::Whole, Renewed::Section)) };
            for (number, joint) in part.joints.iter().enumerate() {
                let Some(own) = own.filter(|_| joint.kind != JointKind::Clip) else { continue };
                let there = renewed.iter().find(|(other, _)| other.id == joint.to).copied();
                out.extend(bench.factory(own, there, joint, number + 1));
            }
            if *route == Route::Hemmed {
                out.extend(bench.hem());
            }
            working_time(&mut out[from..], times);
        }
    }
    out
}

/// The parts that picks renew at their factory joints.
fn renewed<'b>(book: &'b Book, picked: &[(&Decision, &'b Pick)]) -> Vec<(&'b Part, Renewed<'b>)> {
    picked.iter().filter_map(|(_, pick)| Some((book.part(&pick.part)?, Renewed::of(pick)?))).collect()
}

/// Joints of a renewed part that are made with another renewed part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MadeWith {
    /// The part.
    pub part: PartId,
    /// The part on whose sheet they stand.
    pub with: PartId,
    /// Whether the part makes the rest of these joints itself: both are sectioned.
    pub rest: bool,
    /// Ids of the picked joint plans there.
    pub joints: Vec<String>,
}

/// Which joints of the renewed parts stand on the sheet of another, in the order of the picks.
pub fn made_with(book: &Book, picked: &[(&Decision, &Pick)], plans: &[JointPlan]) -> Vec<MadeWith> {
    let renewed = renewed(book, picked);
    let mut out = Vec::new();
    for own in &renewed {
        for other in renewed.iter().filter(|other| left_to(*own, **other) > 0.0) {
            let there = plans.iter().filter(|plan| {
                let factory = matches!(plan.what, What::Factory(_));
                plan.picked && factory && plan.part == other.0.id && plan.to == own.0.id
            });
            let joints: Vec<String> = there.map(|plan| plan.id.clone()).collect();
            if !joints.is_empty() {
                let rest = plans.iter().any(|plan| plan.picked && plan.part == own.0.id && plan.to == other.0.id);
                out.push(MadeWith { part: own.0.id.clone(), with: other.0.id.clone(), rest, joints });
            }
        }
    }
    out
}

/// Parts that are picked to be cut or replaced although the rules forbid every way to join them: each with why, and what
/// would make it possible. They have no joint plans.
pub fn unjoinable(book: &Book, picked: &[(&Decision, &Pick)]) -> Vec<Error> {
    let mut out = Vec::new();
    for (decision, pick) in picked.iter().filter(|(_, pick)| pick.route.is_none()) {
        let Some(part) = book.part(&decision.part) else { continue };
        let option = decision.option(pick.action).filter(|_| matches!(pick.action, Action::Section | Action::Replace));
        let Some(option) = option.filter(|option| !option.routes.is_empty()) else { continue };
        let why = option.routes.iter().map(|way| {
            let reasons = way.trace.iter().filter(|trace| trace.effect == Effect::Forbids).map(|trace| &*trace.reason);
            let reasons: Vec<&str> = reasons.map(|reason| reason.trim_end_matches('.')).collect();
            format!("{} ({})", crate::words::word(way.route.key()), reasons.join("; "))
        });
        let why = why.collect::<Vec<_>>().join(", ");
        out.push(Error::new("joint-no-route", part.id.as_str()).with("part", part.name_within()).with("why", why));
    }
    out
}

/// What is needed to plan the joints of one part by one route.
pub(super) struct Bench<'b, 't> {
    pub(super) book: &'b Book,
    pub(super) part: &'b Part,
    pub(super) stock: &'b Stock,
    route: Route,
    picked: bool,
    /// Places already taken in each view.
    pub(super) taken: &'t mut Vec<(View, Vec<Point>)>,
    /// Where factory joints lie, by their number: the same for every route.
    found: &'t mut Vec<(usize, Option<Lies>)>,
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
                let start = if butt { plan.gap_mm / 2.0 } else { -strip / 2.0 };
                self.set(&mut plan, kind, strip, &|fastener| Strip {
                    rows: rows(strip, fastener, start, butt),
                    pattern: Pattern::New(fastener.pitch_mm),
                    barred: true,
                });
            }
            _ => self.adhesive(&mut plan, "structural", if butt { 2 } else { 1 }),
        }
        screening::screen(&mut plan, self.stock, part, part);
        plan
    }

    /// A factory joint of the part, or what is left of it to make on its own sheet; `None` where nothing is. `there` is the
    /// other part where that is renewed too.
    fn factory(
        &mut self,
        own: Renewed<'_>,
        there: Option<(&Part, Renewed<'_>)>,
        joint: &Joint,
        number: usize,
    ) -> Option<JointPlan> {
        let (part, book) = (self.part, self.book);
        let other = book.part(&joint.to)?;
        let hangs = matches!(joint.kind, JointKind::Bolt);
        let left = there.map_or(0.0, |there| left_to((part, own), there));
        let section = if let Renewed::Section(plan) = own { Some(plan) } else { None };
        if left > 0.0 && section.is_none_or(|plan| left >= plan.share - 1e-9) && !cut_both(own, there) {
            return None;
        }
        let known = self.found.iter().find(|(known, _)| *known == number).map(|(_, lies)| lies.clone());
        let lies = known.unwrap_or_else(|| {
            let lies = self.shared_edge(section, joint, number, other);
            self.found.push((number, lies.clone()));
            lies
        });
        let (mut lies, mut length) = stretch(part, section, lies, joint.length_mm)?;
        if let Some((_, Renewed::Section(plan))) = there.filter(|_| left > 0.0) {
            // Both are cut at this joint: what the other piece opens is made with it.
            let twin = self.twin(other, joint, number);
            let first = twin.and_then(|(twin, at)| {
                let lies = edge(self.stock, other, Some(plan), twin, at, part);
                stretch(other, Some(plan), lies, twin.length_mm)
            });
            match (&mut lies, first) {
                (_, None) => {}
                (Some(mine), Some((Some(theirs), _))) => {
                    let share = place::without(mine, &theirs);
                    if share < LEAST_SHARE {
                        return None;
                    }
                    length *= share;
                }
                (mine, Some(_)) => {
                    let share = 1.0 - left / section.map_or(1.0, |plan| plan.share).max(1e-9);
                    if share < LEAST_SHARE {
                        return None;
                    }
                    length *= share;
                    if let Some(mine) = mine {
                        place::trim(mine, length);
                    }
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
        edge(self.stock, self.part, section, joint, number, other)
    }

    /// The same joint as the other part of the book holds it, with its number there.
    fn twin<'p>(&self, other: &'p Part, joint: &Joint, number: usize) -> Option<(&'p Joint, usize)> {
        let like = |one: &Joint, to: &PartId| one.kind == joint.kind && one.to == *to;
        let before = self.part.joints[..number - 1].iter().filter(|one| like(one, &joint.to)).count();
        let mut twins = other.joints.iter().enumerate().filter(|(_, one)| like(one, &self.part.id));
        twins.nth(before).map(|(at, twin)| (twin, at + 1))
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
        self.set(plan, kind, strip, &|fastener| {
            let pattern = match pattern {
                Pattern::Beside(pitch, _) => Pattern::Beside(pitch, OLD_PLACE_D * fastener.diameter_mm),
                Pattern::New(_) => Pattern::New(fastener.pitch_mm),
                kept @ Pattern::Kept(_) => kept,
            };
            Strip { rows: vec![(width / 2.0, width / 2.0)], pattern, barred: false }
        });
    }

    pub(super) fn film(&self, id: &str) -> f64 {
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

/// Whether two renewed parts are both sectioned.
fn cut_both(own: Renewed<'_>, there: Option<(&Part, Renewed<'_>)>) -> bool {
    matches!((own, there), (Renewed::Section(_), Some((_, Renewed::Section(_)))))
}

/// Where a factory joint of a part lies.
fn edge(
    stock: &Stock,
    part: &Part,
    section: Option<&SectionPlan>,
    joint: &Joint,
    number: usize,
    other: &Part,
) -> Option<Lies> {
    // Several joints of one pair lie one after the other along the edge that they share.
    let before: f64 = fixed(&part.joints[..number - 1], joint).map(|one| one.length_mm).sum();
    let all: f64 = fixed(&part.joints, joint).map(|one| one.length_mm).sum();
    let first = section.map(|plan| plan.view);
    let along = |length: f64| place::along_edge(part, other, length, stock.flange_mm, first);
    let mut lies = along(joint.length_mm);
    if all > joint.length_mm + 1.0
        && let Some(whole) = along(all).filter(|whole| lies.as_ref().is_some_and(|lies| lies.view == whole.view))
    {
        lies = Some(place::portion(whole, before / all, joint.length_mm / all));
    }
    lies
}

/// What of a joint a renewed part opens, with its length, mm: all, or what its new piece has of it. `None` where the piece
/// has nothing of it.
fn stretch(
    part: &Part,
    section: Option<&SectionPlan>,
    lies: Option<Lies>,
    length_mm: f64,
) -> Option<(Option<Lies>, f64)> {
    let Some(plan) = section else { return Some((lies, length_mm)) };
    match lies {
        Some(found) if found.view.plane() == plan.view.plane() => {
            let cells: Vec<&Area> = part.sections.as_ref().map_or_else(Vec::new, |sections| {
                sections.cells.iter().filter(|cell| plan.cells.contains(&cell.id)).map(|cell| &cell.area).collect()
            });
            let (inside, share) = place::within(&found, &cells, 20.0);
            (share >= LEAST_SHARE).then_some((Some(inside), length_mm * share))
        }
        found => {
            let length = length_mm * plan.share;
            let lies = found.map(|mut lies| {
                lies.stretch = 1.0;
                place::trim(&mut lies, length);
                lies
            });
            Some((lies, length))
        }
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
