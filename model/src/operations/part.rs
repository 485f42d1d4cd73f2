//! The operations of one decision, from reaching the part to its last coat.
//!
//! Works from the chosen option and what the rules require with it. Never adds an action that was not chosen.

use super::access;
use super::draft::{At, Draft};
use crate::catalogue::{Book, Joint, Part};
use crate::decide::{Choice, Decision, choice};
use crate::ids::{AccessId, RuleId};
use crate::terms::{Action, Behind, Caution, Family, JointKind, MarkKind, Metal, Role, Route, Stage};
use crate::words::{Language, say};

/// Distance within which welding minds a part that holds fuel, mm. Common practice, no source.
const FUEL_NEAR_MM: f64 = 1_500.0;

/// Adds the operations of one decision.
pub(super) fn add(draft: &mut Draft, book: &Book, part: &Part, decision: &Decision) {
    let Some(option) = decision.chosen_option() else { return };
    let name = part.name_within();
    let mut work = Work { draft, book, part, name, decision, option, chain: Vec::new() };
    match decision.chosen {
        Action::Leave => work.leave(),
        Action::Refinish => work.refinish(),
        Action::Repair => work.repair(),
        Action::Section => work.section(),
        Action::Replace => work.replace(),
        Action::Refer => work.refer(),
    }
    work.tie();
}

struct Work<'w, 'b> {
    draft: &'w mut Draft,
    book: &'b Book,
    part: &'b Part,
    /// The part's name as it stands within a sentence.
    name: String,
    decision: &'w Decision,
    option: &'w Choice,
    /// Operations on the part in the order in which they are done; those of one step stand together.
    chain: Vec<Vec<At>>,
}

impl Work<'_, '_> {
    /// Adds an operation on the part as the next step.
    fn step(&mut self, stage: Stage, work: &'static str) -> At {
        let (part, name) = (self.part, &self.name);
        let at = self.draft.add(stage, work, Some(&part.id), None, || named(work, name));
        self.chain.push(vec![at]);
        at
    }

    /// Adds the operation if the rules require that work.
    fn required(&mut self, stage: Stage, required: &str, work: &'static str) -> Option<At> {
        let rule = self.rule(required)?;
        let at = self.step(stage, work);
        self.draft.rule(at, &rule);
        Some(at)
    }

    fn rule(&self, required: &str) -> Option<RuleId> {
        self.option.requires.iter().find(|one| one.work == required).map(|one| one.rule.clone())
    }

    /// Names the rules that permit the chosen action as the cause of this operation.
    fn because_permitted(&mut self, at: At) {
        let permits = self.option.trace.iter().filter(|trace| trace.effect == crate::decide::Effect::Permits);
        let rules: Vec<(RuleId, Vec<Caution>)> =
            permits.map(|trace| (trace.rule.clone(), trace.cautions.clone())).collect();
        for (rule, cautions) in rules {
            self.draft.rule(at, &rule);
            self.draft.caution(at, cautions);
        }
    }

    fn reach(&mut self, wanted: &[AccessId]) {
        let direct = access::ask(self.draft, self.book, wanted, Some(self.part));
        if !direct.is_empty() {
            self.chain.push(direct);
        }
    }

    fn leave(&mut self) {
        if let Some(at) = self.required(Stage::Refinish, "polish", "polish") {
            self.measure_damage(at);
        }
    }

    fn refer(&mut self) {
        let at = self.step(Stage::Measure, "maker-consult");
        if let Some(rule) = self.rule("maker-consult") {
            self.draft.rule(at, &rule);
        }
        let cautions: Vec<Caution> = access::of_part(self.part).collect();
        self.draft.caution(at, cautions);
    }

    fn refinish(&mut self) {
        if self.rule("corrosion-treat").is_some() {
            self.required(Stage::Prepare, "corrosion-treat", "corrosion-treat");
        }
        self.finish(false);
    }

    fn repair(&mut self) {
        let opened = self.decision.finding.behind == Behind::Covered || self.part.behind == Behind::Covered;
        if opened && self.part.role != Role::Glass && !self.only(MarkKind::Misfit) {
            self.reach(&self.part.uncover.clone());
        }
        if self.part.role == Role::Glass {
            let at = self.step(Stage::Straighten, "glass-repair");
            self.because_permitted(at);
            self.draft.caution(at, [Caution::Glass]);
            return;
        }
        if self.rule("plastic-repair").is_some() {
            let at = self.step(Stage::Straighten, "plastic-repair");
            self.because_permitted(at);
        } else if !self.only(MarkKind::Misfit) {
            let work = if self.rule("paintless").is_some() {
                "paintless"
            } else if self.rule("cold-only").is_some() {
                "straighten-cold"
            } else {
                "straighten"
            };
            let at = self.step(Stage::Straighten, work);
            self.because_permitted(at);
            self.measure_damage(at);
            for key in ["paintless", "cold-only", "aluminium-heat-watch"] {
                if let Some(rule) = self.rule(key) {
                    self.draft.rule(at, &rule);
                }
            }
            if self.rule("aluminium-heat-watch").is_some() || self.rule("cold-only").is_some() {
                self.draft.caution(at, [Caution::Heat]);
            }
            if self.metal() == Metal::Aluminium && work != "paintless" {
                self.draft.caution(at, [Caution::AluminiumDust]);
            }
        }
        // The check comes at once, before filler or paint can hide a crack.
        self.required(Stage::Straighten, "crack-check", "crack-check");
        if self.rule("weld-tear").is_some() {
            let at = self.step(Stage::Join, "weld-tear");
            self.draft.caution(at, [Caution::WeldFume, Caution::Heat]);
            self.fuel_near(at);
        }
        self.required(Stage::Fit, "adjust", "adjust");
        self.finish(false);
    }

    fn section(&mut self) {
        self.reach(&self.part.access.clone());
        self.glass_out();
        self.required(Stage::Strip, "foam-out", "foam-out");
        let (length, cuts) = self.option.section.as_ref().map_or((0.0, 0), |plan| {
            (plan.cuts.iter().map(|cut| cut.length_mm).sum(), plan.cuts.len())
        });
        let share = self.option.section.as_ref().map_or(1.0, |plan| plan.share);
        let at = self.step(Stage::Cut, "cut-section");
        self.because_permitted(at);
        self.draft.amount(at).cut_mm = length;
        let (joint, fasteners) = joints(self.part, |_| true);
        self.draft.amount(at).joint_mm = joint * share;
        self.draft.amount(at).fasteners = part_of(fasteners, share);
        self.dust(at);
        debug_assert!(cuts > 0 || self.option.section.is_none());
        self.required(Stage::Cut, "crack-check-before", "crack-check-before");
        self.step(Stage::Fit, "fit-section");
        let joined = self.join("join-section", length + joint * share, part_of(fasteners, share));
        self.flow_drill(share, joined);
        self.seal();
        self.finish(true);
    }

    fn replace(&mut self) {
        let route = choice::route(self.option);
        self.reach(&self.part.access.clone());
        match route {
            Some(Route::RivetedBonded | Route::Welded) => self.replace_joined(),
            Some(Route::Hemmed) => self.replace_skin(),
            Some(Route::Bonded) if self.part.role != Role::Glass => self.replace_joined(),
            _ => self.replace_bolted(),
        }
    }

    /// A part that is riveted, welded or bonded in.
    fn replace_joined(&mut self) {
        self.glass_out();
        self.required(Stage::Strip, "foam-out", "foam-out");
        let (length, fasteners) = joints(self.part, |_| true);
        let at = self.step(Stage::Cut, "release");
        self.because_permitted(at);
        self.draft.amount(at).joint_mm = length;
        self.draft.amount(at).fasteners = fasteners;
        self.dust(at);
        self.step(Stage::Fit, "fit-part");
        let joined = self.join("join-part", length, fasteners);
        self.flow_drill(1.0, joined);
        self.seal();
        self.finish(true);
    }

    /// The outer skin of a closure, exchanged at its hem.
    fn replace_skin(&mut self) {
        self.reach(&self.part.uncover.clone());
        let at = self.step(Stage::Cut, "skin-off");
        self.because_permitted(at);
        self.dust(at);
        self.step(Stage::Fit, "fit-skin");
        self.join("join-hem", 0.0, 0);
        self.seal();
        self.finish(true);
    }

    /// A part that is bolted, clipped or, as glass, bonded on from outside.
    fn replace_bolted(&mut self) {
        let comes_off = self.part.access.iter().any(|id| {
            self.book.access.get(id).is_some_and(|work| work.removes.contains(&self.part.id))
        });
        if !comes_off {
            let at = self.step(Stage::Strip, "take-off");
            let cautions: Vec<Caution> = access::of_part(self.part).collect();
            self.draft.caution(at, cautions);
        }
        let painted = self.option.requires("refinish-panel");
        if painted {
            self.step(Stage::Fit, "fit-part");
        }
        self.seal();
        self.finish(true);
        let glass = self.part.role == Role::Glass && choice::route(self.option) == Some(Route::Bonded);
        let at = self.step(Stage::Refit, if glass { "bond-glass" } else { "fit-new" });
        self.because_permitted(at);
        if let Some(route) = choice::route(self.option) {
            self.draft.route(at, route);
        }
        if let Some(rule) = self.rule("adjust") {
            self.draft.rule(at, &rule);
        }
        let cautions: Vec<Caution> = access::of_part(self.part).collect();
        self.draft.caution(at, cautions);
    }

    fn join(&mut self, work: &'static str, length: f64, fasteners: u32) -> At {
        let route = choice::route(self.option);
        let work = match (work, route) {
            ("join-section", Some(Route::Welded)) => "join-section-welded",
            ("join-section", Some(Route::Bonded)) => "join-section-bonded",
            ("join-part", Some(Route::Welded)) => "join-part-welded",
            ("join-part", Some(Route::Bonded)) => "join-part-bonded",
            _ => work,
        };
        let at = self.step(Stage::Join, work);
        self.draft.amount(at).joint_mm = length;
        if route == Some(Route::Welded) {
            self.draft.caution(at, [Caution::WeldFume, Caution::Heat]);
            self.fuel_near(at);
        } else {
            self.draft.amount(at).fasteners = fasteners;
        }
        if let Some(route) = route {
            self.draft.route(at, route);
            let said = self.option.routes.iter().find(|one| one.route == route);
            let rules: Vec<RuleId> = said.into_iter().flat_map(|one| one.trace.iter().map(|t| t.rule.clone())).collect();
            for rule in rules {
                self.draft.rule(at, &rule);
            }
        }
        for key in ["new-fasteners", "cold-only"] {
            if let Some(rule) = self.rule(key) {
                self.draft.rule(at, &rule);
            }
        }
        if self.rule("cold-only").is_some() {
            self.draft.caution(at, [Caution::Heat]);
        }
        self.dust(at);
        at
    }

    /// Structural blind rivets in place of the flow-drill screws.
    fn flow_drill(&mut self, share: f64, joined: At) {
        let Some(rule) = self.rule("replace-flow-drill-screws") else { return };
        let (length, screws) = joints(self.part, |joint| joint.kind == JointKind::FlowDrillScrew);
        let name = &self.name;
        let at = self.draft.add(Stage::Join, "replace-flow-drill-screws", Some(&self.part.id), None, || {
            named("replace-flow-drill-screws", name)
        });
        self.draft.rule(at, &rule);
        self.draft.amount(at).joint_mm = length * share;
        self.draft.amount(at).fasteners = part_of(screws, share);
        self.dust(at);
        // Both are done while the adhesive is open: one step of the chain.
        let fitted = self.draft.items[joined].before.clone();
        for first in fitted {
            self.draft.order(first, at);
        }
        if let Some(last) = self.chain.last_mut() {
            last.push(at);
        }
    }

    fn glass_out(&mut self) {
        let Some(rule) = self.rule("glass-out") else { return };
        let panes = self.part.joints.iter().filter(|joint| joint.kind == JointKind::BondedGlass);
        let wanted: Vec<AccessId> = panes
            .flat_map(|joint| {
                self.book.access.values().filter(move |work| work.removes.contains(&joint.to)).map(|work| work.id.clone())
            })
            .collect();
        let direct = access::ask(self.draft, self.book, &wanted, Some(self.part));
        for at in &direct {
            self.draft.rule(*at, &rule);
        }
        match self.chain.last_mut() {
            Some(last) if last.iter().all(|at| self.draft.stage(*at) == Stage::Strip) => last.extend(direct),
            _ if direct.is_empty() => {}
            _ => self.chain.push(direct),
        }
    }

    /// Isolation, foam, coat and cavity.
    fn seal(&mut self) {
        if let Some(at) = self.required(Stage::SealIsolate, "isolate", "isolate") {
            let (length, fasteners) = joints(self.part, |joint| {
                self.book.part(&joint.to).is_some_and(|other| other.family.metal() != self.metal())
            });
            self.draft.amount(at).joint_mm = length;
            self.draft.amount(at).fasteners = fasteners;
        }
        if self.rule("foam-out").is_some() {
            self.required(Stage::SealIsolate, "foam-out", "foam-renew");
        }
    }

    /// Coats. `whole` says that the whole part is new or was cut.
    fn finish(&mut self, whole: bool) {
        let structural = matches!(self.part.role, Role::Structural | Role::Frame);
        if let Some(at) = self.required(Stage::SealIsolate, "coat-protect", "coat-protect") {
            if whole { self.measure_part(at) } else { self.measure_damage(at) }
        }
        self.required(Stage::SealIsolate, "cavity-protect", "cavity-protect");
        if self.rule("refinish-panel").is_some() && !structural {
            let at = self.step(Stage::Prepare, "prepare");
            self.measure_part(at);
            if self.metal() == Metal::Aluminium {
                self.draft.caution(at, [Caution::AluminiumDust]);
            }
            if let Some(at) = self.required(Stage::Refinish, "refinish-panel", "refinish-panel") {
                self.measure_part(at);
                self.draft.caution(at, [Caution::Isocyanates]);
            }
        }
    }

    fn measure_damage(&mut self, at: At) {
        self.draft.amount(at).area_mm2 = self.decision.finding.area_mm2;
    }

    fn measure_part(&mut self, at: At) {
        let largest = self.part.shapes.values().map(crate::geometry::Area::size).fold(0.0, f64::max);
        self.draft.amount(at).area_mm2 = largest;
    }

    fn dust(&mut self, at: At) {
        if matches!(self.metal(), Metal::Aluminium | Metal::Magnesium) {
            self.draft.caution(at, [Caution::AluminiumDust]);
        }
        if self.part.family == Family::Magnesium {
            self.draft.caution(at, [Caution::Heat]);
        }
        if self.part.has("restraint") {
            self.draft.caution(at, [Caution::Restraints]);
        }
    }

    fn fuel_near(&mut self, at: At) {
        let here = self.part.centre();
        let near = self.book.parts.iter().any(|part| {
            let there = part.centre();
            let (x, y, z) = (here.0 - there.0, here.1 - there.1, here.2 - there.2);
            x * x + y * y + z * z < FUEL_NEAR_MM * FUEL_NEAR_MM && part.has("fuel")
        });
        if near {
            self.draft.caution(at, [Caution::Fuel]);
        }
    }

    fn metal(&self) -> Metal {
        self.part.family.metal()
    }

    fn only(&self, kind: MarkKind) -> bool {
        self.decision.finding.kinds.iter().all(|known| *known == kind)
    }

    /// Ties each step of the chain to the one before.
    fn tie(&mut self) {
        self.chain.sort_by_key(|step| step.first().map(|at| self.draft.stage(*at)));
        for at in 1..self.chain.len() {
            for first in self.chain[at - 1].clone() {
                for then in self.chain[at].clone() {
                    self.draft.order(first, then);
                }
            }
        }
    }
}

/// The words of an operation on a part.
pub(super) fn words(work: &str, part: &Part) -> String {
    named(work, &part.name_within())
}

fn named(work: &str, name: &str) -> String {
    say(Language::English, &format!("operation-{work}"), &[("part", name)])
}

/// Length and number of fasteners of those factory joints of the part that pass the test; bolts and clips, which are
/// undone and not drilled, do not count.
fn joints(part: &Part, test: impl Fn(&Joint) -> bool) -> (f64, u32) {
    let fixed = part.joints.iter().filter(|joint| !matches!(joint.kind, JointKind::Bolt | JointKind::Clip));
    fixed.filter(|joint| test(joint)).fold((0.0, 0), |(length, count), joint| {
        let pieces = if joint.pitch_mm > 0.0 { joint.length_mm / joint.pitch_mm + 1.0 } else { 0.0 };
        // Joints are shorter than the vehicle and pitches longer than a millimetre.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let pieces = pieces.min(100_000.0) as u32;
        (length + joint.length_mm, count + pieces)
    })
}

/// That share of a number of fasteners, rounded up.
fn part_of(count: u32, share: f64) -> u32 {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // share is 0 to 1
    let rounded = (f64::from(count) * share.clamp(0.0, 1.0)).ceil() as u32;
    rounded
}
