//! Joining, its preparations and what seals it: new rivets for used ones, glass out of the way, isolation, foam.
//!
//! Continues [`super::part`]; the way to join is the one that stands, never another.

use super::access;
use super::draft::{At, On};
use super::part::{OnPart, Step};
use super::{AtJoints, Which};
use crate::terms::{Caution, JointKind, Route, Stage, Work};

impl OnPart<'_, '_> {
    /// Joins that share of the part along its factory joints, and `cut_mm` of cut lines.
    pub(super) fn join(&mut self, work: Work, cut_mm: f64, share: f64) {
        let route = self.pick.route;
        let work = match (work, route) {
            (Work::JoinSection, Some(Route::Welded)) => Work::JoinSectionWelded,
            (Work::JoinSection, Some(Route::Bonded)) => Work::JoinSectionBonded,
            (Work::JoinPart, Some(Route::Welded)) => Work::JoinPartWelded,
            (Work::JoinPart, Some(Route::Bonded)) => Work::JoinPartBonded,
            _ => work,
        };
        let at = self.step(Stage::Join, work);
        // What blind rivets join in place of flow-drill screws is an operation of its own.
        let screws = self.rule("replace-flow-drill-screws");
        let which = if screws.is_some() { Which::FixedWithoutScrews } else { Which::Fixed };
        self.draft.amount(at).joint_mm = cut_mm;
        self.draft.at_joints(at, AtJoints { which, share, fastened: route != Some(Route::Welded) });
        self.joined(at);
        if let Some(rule) = screws {
            let set = self.draft.add(Stage::Join, Work::ReplaceFlowDrillScrews, On::Part(self.at));
            self.draft.rule(set, rule);
            self.draft.at_joints(set, AtJoints { which: Which::Screws, share, fastened: true });
            self.dust(set);
            // Both are done while the adhesive is open: one step of the chain.
            self.chain.push(Step { stage: Stage::Join, number: self.steps - 1, at: set });
        }
    }

    /// Way, rules and cautions of an operation that joins.
    pub(super) fn joined(&mut self, at: At) {
        let route = self.pick.route;
        if route == Some(Route::Welded) {
            self.draft.caution(at, [Caution::WeldFume, Caution::Heat]);
            self.fuel_near(at);
        }
        self.draft.items[at].route = route;
        let said = self.option.routes.iter().filter(|one| Some(one.route) == route);
        for trace in said.flat_map(|one| one.trace.iter()) {
            self.draft.rule(at, &trace.rule);
        }
        for key in ["new-fasteners", "cold-only"] {
            if let Some(rule) = self.rule(key) {
                self.draft.rule(at, rule);
            }
        }
        if self.rule("cold-only").is_some() {
            self.draft.caution(at, [Caution::Heat]);
        }
        self.dust(at);
    }

    pub(super) fn glass_out(&mut self) {
        let Some(rule) = self.rule("glass-out") else { return };
        let direct = access::ask(self.draft, &self.facts.panes, Some(self.at));
        for at in &direct {
            self.draft.rule(*at, rule);
        }
        // Glass comes out together with what else comes off.
        match self.chain.last().map(|last| last.number) {
            Some(number) if self.chain.iter().all(|s| s.number != number || self.draft.stage(s.at) == Stage::Strip) => {
                self.chain.extend(direct.iter().map(|at| Step { stage: Stage::Strip, number, at: *at }));
            }
            _ => self.together(&direct),
        }
    }

    /// Isolation and foam of that share of the part.
    pub(super) fn seal(&mut self, share: f64) {
        if let Some(at) = self.required(Stage::SealIsolate, "isolate", Work::Isolate) {
            self.draft.at_joints(at, AtJoints { which: Which::Mixed, share, fastened: true });
        }
        if self.rule("foam-out").is_some() {
            self.required(Stage::SealIsolate, "foam-out", Work::FoamRenew);
        }
    }

    pub(super) fn fuel_near(&mut self, at: At) {
        if self.facts.fuel_near {
            self.draft.caution(at, [Caution::Fuel]);
        }
    }
}

/// Whether a joint is released with its part; bolts and clips are undone, and glass comes out, on their own.
pub(super) fn fixed(kind: JointKind) -> bool {
    !matches!(kind, JointKind::Bolt | JointKind::Clip | JointKind::BondedGlass)
}

/// That share of a number of fasteners, rounded up.
pub(super) fn part_of(count: u32, share: f64) -> u32 {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // share is 0 to 1
    let rounded = (f64::from(count) * share.clamp(0.0, 1.0)).ceil() as u32;
    rounded
}
