//! The operations of one decision, from reaching the part to its last coat.
//!
//! Works from the chosen option and what the rules require with it. Never adds an action that was not chosen.

use super::access;
use super::draft::{At, Draft};
use super::joining::{joints, part_of};
use crate::catalogue::{Book, Part};
use crate::decide::{Choice, Decision, Pick};
use crate::ids::{AccessId, RuleId};
use crate::terms::{Action, Behind, Caution, Family, MarkKind, Metal, Role, Route, Stage};
use crate::words::{Language, say};

/// Adds the operations of one decision.
pub(super) fn add<'b>(draft: &mut Draft<'b>, book: &'b Book, part: &'b Part, decision: &Decision, pick: &Pick) {
    let Some(option) = decision.option(pick.action) else { return };
    let name = part.name_within();
    let mut work = Work { draft, book, part, name, decision, option, pick, chain: Vec::new() };
    match pick.action {
        Action::Leave => work.leave(),
        Action::Refinish => work.refinish(),
        Action::Repair => work.repair(),
        Action::Section => work.section(),
        Action::Replace => work.replace(),
        Action::Refer => work.refer(),
    }
    work.tie();
}

pub(super) struct Work<'w, 'b> {
    pub(super) draft: &'w mut Draft<'b>,
    pub(super) book: &'b Book,
    pub(super) part: &'b Part,
    /// The part's name as it stands within a sentence.
    pub(super) name: String,
    pub(super) decision: &'w Decision,
    pub(super) option: &'w Choice,
    pub(super) pick: &'w Pick,
    /// Operations on the part in the order in which they are done; those of one step stand together.
    pub(super) chain: Vec<Vec<At>>,
}

impl Work<'_, '_> {
    /// Adds an operation on the part as the next step.
    pub(super) fn step(&mut self, stage: Stage, work: &'static str) -> At {
        let (part, name) = (self.part, &self.name);
        let at = self.draft.add(stage, work, Some(&part.id), None, || named(work, name));
        self.chain.push(vec![at]);
        at
    }

    /// Adds the operation if the rules require that work.
    pub(super) fn required(&mut self, stage: Stage, required: &str, work: &'static str) -> Option<At> {
        let rule = self.rule(required)?;
        let at = self.step(stage, work);
        self.draft.rule(at, &rule);
        Some(at)
    }

    pub(super) fn rule(&self, required: &str) -> Option<RuleId> {
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
        let (length, cuts) = self
            .option
            .section
            .as_ref()
            .map_or((0.0, 0), |plan| (plan.cuts.iter().map(|cut| cut.length_mm).sum(), plan.cuts.len()));
        let share = self.pick.section.as_ref().map_or(1.0, |plan| plan.share);
        let at = self.step(Stage::Cut, "cut-section");
        self.because_permitted(at);
        self.draft.amount(at).cut_mm = length;
        let (joint, fasteners) = joints(self.part, |_| true);
        self.draft.amount(at).joint_mm = joint * share;
        self.draft.amount(at).fasteners = part_of(fasteners, share);
        self.dust(at);
        debug_assert!(cuts > 0 || self.pick.section.is_none());
        self.required(Stage::Cut, "crack-check-before", "crack-check-before");
        self.step(Stage::Fit, "fit-section");
        let joined = self.join("join-section", length + joint * share, part_of(fasteners, share));
        self.flow_drill(share, joined);
        self.seal();
        self.finish(true);
    }

    fn replace(&mut self) {
        let route = self.pick.route;
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
        let comes_off = self
            .part
            .access
            .iter()
            .any(|id| self.book.access.get(id).is_some_and(|work| work.removes.contains(&self.part.id)));
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
        let glass = self.part.role == Role::Glass && self.pick.route == Some(Route::Bonded);
        let at = self.step(Stage::Refit, if glass { "bond-glass" } else { "fit-new" });
        self.because_permitted(at);
        if let Some(route) = self.pick.route {
            self.draft.route(at, route);
        }
        if let Some(rule) = self.rule("adjust") {
            self.draft.rule(at, &rule);
        }
        let cautions: Vec<Caution> = access::of_part(self.part).collect();
        self.draft.caution(at, cautions);
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

    pub(super) fn dust(&mut self, at: At) {
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

    pub(super) fn metal(&self) -> Metal {
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

pub(super) fn named(work: &str, name: &str) -> String {
    say(Language::English, &format!("operation-{work}"), &[("part", name)])
}
