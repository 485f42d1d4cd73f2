//! Joining, its preparations and what seals it: new rivets for used ones, glass out of the way, isolation, foam.
//!
//! Continues [`super::part`]; the way to join is the one that stands, never another.

use super::access;
use super::draft::At;
use super::part::{Work, named};
use crate::catalogue::{Joint, Part};
use crate::ids::{AccessId, RuleId};
use crate::terms::{Caution, JointKind, Route, Stage};

/// Distance within which welding minds a part that holds fuel, mm. Common practice, no source.
const FUEL_NEAR_MM: f64 = 1_500.0;

impl Work<'_, '_> {
    pub(super) fn join(&mut self, work: &'static str, length: f64, fasteners: u32) -> At {
        let route = self.pick.route;
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
            let rules: Vec<RuleId> =
                said.into_iter().flat_map(|one| one.trace.iter().map(|t| t.rule.clone())).collect();
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
    pub(super) fn flow_drill(&mut self, share: f64, joined: At) {
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

    pub(super) fn glass_out(&mut self) {
        let Some(rule) = self.rule("glass-out") else { return };
        let panes = self.part.joints.iter().filter(|joint| joint.kind == JointKind::BondedGlass);
        let wanted: Vec<AccessId> = panes
            .flat_map(|joint| {
                self.book
                    .access
                    .values()
                    .filter(move |work| work.removes.contains(&joint.to))
                    .map(|work| work.id.clone())
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
    pub(super) fn seal(&mut self) {
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

    pub(super) fn fuel_near(&mut self, at: At) {
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
}

/// Length and number of fasteners of those factory joints of the part that pass the test; bolts and clips, which are
/// undone and not drilled, do not count.
pub(super) fn joints(part: &Part, test: impl Fn(&Joint) -> bool) -> (f64, u32) {
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
pub(super) fn part_of(count: u32, share: f64) -> u32 {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // share is 0 to 1
    let rounded = (f64::from(count) * share.clamp(0.0, 1.0)).ceil() as u32;
    rounded
}
