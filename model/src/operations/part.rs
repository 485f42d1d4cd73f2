//! The operations of one decision, from reaching the part to its last coat.
//!
//! Works from the chosen option and what the rules require with it. Never adds an action that was not chosen.

use super::access;
use super::draft::{At, Draft, On};
use super::joining::part_of;
use super::shared::joined_in;
use super::{AtJoints, Which};
use crate::catalogue::{Part, PartFacts, Reach, Units};
use crate::decide::{Choice, Decision, Effect, Pick};
use crate::ids::RuleId;
use crate::terms::{Action, Behind, Caution, Family, MarkKind, Metal, Role, Route, Stage, Work};

/// Adds the operations of one decision on the part at this place in the book. Returns the rule that wants the part
/// measured once it is clamped, if it is fitted and joined.
pub(super) fn add<'b>(draft: &mut Draft<'b>, at: usize, decision: &'b Decision, pick: &Pick) -> Option<&'b RuleId> {
    let option = decision.option(pick.action)?;
    let (part, facts) = draft.part(at);
    let mut work = OnPart { draft, at, part, facts, decision, option, pick, chain: Vec::with_capacity(16), steps: 0 };
    match pick.action {
        Action::Leave => work.leave(),
        Action::Refinish => work.refinish(),
        Action::Repair => work.repair(),
        Action::Section => work.section(),
        Action::Replace => work.replace(),
        Action::Refer => work.refer(),
    }
    work.tie();
    let fitted = work.has(|item| matches!(item, Work::FitSection | Work::FitPart));
    let joined = work.chain.iter().any(|step| step.stage == Stage::Join);
    if fitted && joined { work.rule("measurement-report") } else { None }
}

pub(super) struct OnPart<'w, 'b> {
    pub(super) draft: &'w mut Draft<'b>,
    /// Place of the part in the book.
    pub(super) at: usize,
    pub(super) part: &'b Part,
    pub(super) facts: &'b PartFacts,
    pub(super) decision: &'b Decision,
    pub(super) option: &'b Choice,
    pub(super) pick: &'w Pick,
    /// Operations on the part in the order in which they are done.
    pub(super) chain: Vec<Step>,
    /// How many steps the chain has.
    pub(super) steps: usize,
}

/// One operation of the chain; those of one step have the same number and are done together.
pub(super) struct Step {
    /// Stage of the step, which is that of its first operation.
    pub(super) stage: Stage,
    pub(super) number: usize,
    pub(super) at: At,
}

impl<'b> OnPart<'_, 'b> {
    /// Adds an operation on the part as the next step.
    pub(super) fn step(&mut self, stage: Stage, work: Work) -> At {
        let at = self.draft.add(stage, work, On::Part(self.at));
        self.together(&[at]);
        at
    }

    /// Adds these operations as the next step.
    pub(super) fn together(&mut self, all: &[At]) {
        let Some(first) = all.first() else { return };
        let (stage, number) = (self.draft.stage(*first), self.steps);
        self.chain.extend(all.iter().map(|at| Step { stage, number, at: *at }));
        self.steps += 1;
    }

    /// Adds the operation if the rules require that work.
    pub(super) fn required(&mut self, stage: Stage, required: &str, work: Work) -> Option<At> {
        let rule = self.rule(required)?;
        let at = self.step(stage, work);
        self.draft.rule(at, rule);
        Some(at)
    }

    pub(super) fn rule(&self, required: &str) -> Option<&'b RuleId> {
        self.option.requires.iter().find(|one| one.work == required).map(|one| &one.rule)
    }

    fn has(&self, test: impl Fn(Work) -> bool) -> bool {
        self.chain.iter().any(|step| test(self.draft.items[step.at].work))
    }

    /// Names the rules that permit the chosen action as the cause of this operation.
    fn because_permitted(&mut self, at: At) {
        for trace in self.option.trace.iter().filter(|trace| trace.effect == Effect::Permits) {
            self.draft.rule(at, &trace.rule);
            self.draft.caution(at, trace.cautions.iter().copied());
        }
    }

    fn reach(&mut self, wanted: &Reach) {
        let direct = access::ask(self.draft, wanted, Some(self.at));
        self.together(&direct);
    }

    fn leave(&mut self) {
        if let Some(at) = self.required(Stage::Refinish, "polish", Work::Polish) {
            self.measure_damage(at);
        }
    }

    fn refer(&mut self) {
        let at = self.step(Stage::Measure, Work::MakerConsult);
        if let Some(rule) = self.rule("maker-consult") {
            self.draft.rule(at, rule);
        }
        self.draft.caution(at, self.facts.cautions.iter().copied());
    }

    fn refinish(&mut self) {
        if let Some(at) = self.required(Stage::Prepare, "corrosion-treat", Work::CorrosionTreat) {
            self.measure_damage(at);
        }
        self.finish(1.0, false);
    }

    fn repair(&mut self) {
        let opened = self.decision.finding.behind == Behind::Covered || self.part.behind == Behind::Covered;
        if opened && self.part.role != Role::Glass && !self.only(MarkKind::Misfit) {
            self.reach(&self.facts.uncover);
        }
        if self.part.role == Role::Glass {
            let at = self.step(Stage::Straighten, Work::GlassRepair);
            self.because_permitted(at);
            self.draft.caution(at, [Caution::Glass]);
            return;
        }
        if self.rule("plastic-repair").is_some() {
            let at = self.step(Stage::Straighten, Work::PlasticRepair);
            self.because_permitted(at);
            self.measure_damage(at);
        } else if !self.only(MarkKind::Misfit) {
            let work = if self.rule("paintless").is_some() {
                Work::Paintless
            } else if self.rule("cold-only").is_some() {
                Work::StraightenCold
            } else {
                Work::Straighten
            };
            let at = self.step(Stage::Straighten, work);
            self.because_permitted(at);
            self.measure_damage(at);
            if work == Work::Paintless {
                // Many small dents take time by their number, a few large ones by their size too.
                let finding = &self.decision.finding;
                let marks = u32::try_from(finding.marks.len()).unwrap_or(u32::MAX);
                let amount = self.draft.amount(at);
                amount.dents = finding.count.max(marks);
                if finding.count > 0 {
                    amount.area_mm2 = 0.0;
                }
            }
            for key in ["paintless", "cold-only", "aluminium-heat-watch"] {
                if let Some(rule) = self.rule(key) {
                    self.draft.rule(at, rule);
                }
            }
            if self.rule("aluminium-heat-watch").is_some() || self.rule("cold-only").is_some() {
                self.draft.caution(at, [Caution::Heat]);
            }
            if self.metal() == Metal::Aluminium && work != Work::Paintless {
                self.draft.caution(at, [Caution::AluminiumDust]);
            }
        }
        // The check comes at once, before filler or paint can hide a crack.
        if let Some(at) = self.required(Stage::Straighten, "crack-check", Work::CrackCheck) {
            self.measure_damage(at);
        }
        if self.rule("weld-tear").is_some() {
            let at = self.step(Stage::Join, Work::WeldTear);
            self.draft.amount(at).joint_mm = self.decision.finding.extent_mm;
            self.draft.caution(at, [Caution::WeldFume, Caution::Heat]);
            self.fuel_near(at);
        }
        self.required(Stage::Fit, "adjust", Work::Adjust);
        self.finish(1.0, false);
    }

    fn section(&mut self) {
        self.reach(&self.facts.access);
        self.glass_out();
        self.required(Stage::Strip, "foam-out", Work::FoamOut);
        let plan = self.pick.section.as_deref();
        let length = plan.map_or(0.0, |plan| plan.cuts.iter().map(|cut| cut.length_mm).sum());
        let share = plan.map_or(1.0, |plan| plan.share);
        let at = self.step(Stage::Cut, Work::CutSection);
        self.because_permitted(at);
        self.draft.amount(at).cut_mm = length;
        self.loosen(at, share);
        if let Some(at) = self.required(Stage::Cut, "crack-check-before", Work::CrackCheckBefore) {
            self.draft.amount(at).cut_mm = length;
        }
        let at = self.step(Stage::Fit, Work::FitSection);
        self.draft.amount(at).cut_mm = length;
        self.clamp(at, share);
        self.join(Work::JoinSection, length, share);
        self.seal(share);
        self.finish(share, true);
    }

    /// What comes loose with that share of the part: its joints and its bolts.
    fn loosen(&mut self, at: At, share: f64) {
        self.draft.amount(at).units = self.undone(share);
        self.draft.at_joints(at, AtJoints { which: Which::Fixed, share, fastened: true });
        self.dust(at);
    }

    /// What is clamped and bolted up of that share of the part; each part is brought into its place by itself.
    fn clamp(&mut self, at: At, share: f64) {
        let all = AtJoints { which: Which::Fixed, share, fastened: false }.all(self.draft.book, self.at);
        let units = self.undone(share);
        let amount = self.draft.amount(at);
        (amount.joint_mm, amount.units) = (all.joint_mm, units);
    }

    fn undone(&self, share: f64) -> Units {
        let all = self.facts.units;
        let [bolts, connectors, clips] = [all.bolts, all.connectors, all.clips].map(|count| part_of(count, share));
        Units { bolts, connectors, clips }
    }

    fn replace(&mut self) {
        let route = self.pick.route;
        self.reach(&self.facts.access);
        match route {
            Some(Route::Hemmed) => self.replace_skin(),
            route if joined_in(self.part, route) => self.replace_joined(),
            _ => self.replace_bolted(),
        }
    }

    /// A part that is riveted, welded or bonded in.
    fn replace_joined(&mut self) {
        self.glass_out();
        self.required(Stage::Strip, "foam-out", Work::FoamOut);
        let at = self.step(Stage::Cut, Work::Release);
        self.because_permitted(at);
        self.loosen(at, 1.0);
        let at = self.step(Stage::Fit, Work::FitPart);
        self.clamp(at, 1.0);
        self.join(Work::JoinPart, 0.0, 1.0);
        self.seal(1.0);
        self.finish(1.0, true);
    }

    /// The outer skin of a closure, exchanged at its hem, which runs round its edge.
    fn replace_skin(&mut self) {
        self.reach(&self.facts.uncover);
        let hem = self.facts.edge_mm;
        let at = self.step(Stage::Cut, Work::SkinOff);
        self.because_permitted(at);
        self.draft.amount(at).joint_mm = hem;
        self.dust(at);
        let at = self.step(Stage::Fit, Work::FitSkin);
        self.draft.amount(at).joint_mm = hem;
        let at = self.step(Stage::Join, Work::JoinHem);
        self.draft.amount(at).joint_mm = hem;
        self.joined(at);
        self.seal(1.0);
        self.finish(1.0, true);
    }

    /// A part that is bolted, clipped or, as glass, bonded on from outside.
    fn replace_bolted(&mut self) {
        let (units, bead) = (self.facts.units, self.facts.bead_mm);
        if !self.facts.comes_off {
            let at = self.step(Stage::Strip, Work::TakeOff);
            (self.draft.amount(at).units, self.draft.amount(at).joint_mm) = (units, bead);
            self.draft.caution(at, self.facts.cautions.iter().copied());
        }
        let painted = self.option.requires("refinish-panel");
        if painted {
            let at = self.step(Stage::Fit, Work::FitPart);
            self.draft.amount(at).units = Units { connectors: 0, ..units };
        }
        self.seal(1.0);
        self.finish(1.0, true);
        let glass = self.part.role == Role::Glass && self.pick.route == Some(Route::Bonded);
        // What access work took off goes on by its way back; only what hangs on the part itself moves over before.
        let (work, units, bead) = match (self.facts.comes_off, glass) {
            (true, _) => (Work::MakeReady, self.facts.moved, 0.0),
            (false, true) => (Work::BondGlass, units, bead),
            (false, false) => (Work::FitNew, units, 0.0),
        };
        let at = self.step(Stage::Refit, work);
        (self.draft.amount(at).units, self.draft.amount(at).joint_mm) = (units, bead);
        self.because_permitted(at);
        self.draft.items[at].route = self.pick.route;
        if let Some(rule) = self.rule("adjust") {
            self.draft.rule(at, rule);
        }
        self.draft.caution(at, self.facts.cautions.iter().copied());
    }

    /// Coats. `whole` says that the part is new or was cut, `share` how much of it is new.
    fn finish(&mut self, share: f64, whole: bool) {
        let structural = matches!(self.part.role, Role::Structural | Role::Frame);
        let area = self.facts.area_mm2;
        if let Some(at) = self.required(Stage::SealIsolate, "coat-protect", Work::CoatProtect) {
            self.draft.amount(at).area_mm2 = if whole { area * share } else { self.decision.finding.area_mm2 };
        }
        if let Some(at) = self.required(Stage::SealIsolate, "cavity-protect", Work::CavityProtect) {
            self.draft.amount(at).area_mm2 = if whole { area * share } else { self.decision.finding.area_mm2 };
        }
        if self.rule("refinish-panel").is_some() && !structural {
            let at = self.step(Stage::Prepare, Work::Prepare);
            self.draft.amount(at).area_mm2 = area;
            if self.metal() == Metal::Aluminium {
                self.draft.caution(at, [Caution::AluminiumDust]);
            }
            if let Some(at) = self.required(Stage::Refinish, "refinish-panel", Work::RefinishPanel) {
                self.draft.amount(at).area_mm2 = area;
                self.draft.caution(at, [Caution::Isocyanates]);
            }
        }
    }

    fn measure_damage(&mut self, at: At) {
        self.draft.amount(at).area_mm2 = self.decision.finding.area_mm2;
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
        self.chain.sort_by_key(|step| (step.stage, step.number));
        let mut earlier = 0..0;
        let mut from = 0;
        while from < self.chain.len() {
            let number = self.chain[from].number;
            let to = from + self.chain[from..].iter().take_while(|step| step.number == number).count();
            for first in earlier {
                for then in from..to {
                    self.draft.order(self.chain[first].at, self.chain[then].at);
                }
            }
            earlier = from..to;
            from = to;
        }
    }
}
