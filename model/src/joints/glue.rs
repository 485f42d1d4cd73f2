//! Adhesive: volume and cartridges of a bead, and whether a part's bonded joints close within the working time.
//!
//! Times come from the time book and the adhesive's row; nothing here allows a longer time.

use super::plan::text;
use super::{Bead, JointPlan, Note, What};
use crate::stock::Adhesive;
use crate::terms::{JointKind, Route, Unit};
use crate::times::TimeBook;

/// Adhesive for that length in so many beads beside each other.
pub fn bead(adhesive: &Adhesive, length_mm: f64, beads: u32) -> Bead {
    let length_mm = length_mm * f64::from(beads);
    let volume_ml = adhesive.bead_mm * adhesive.height_mm * length_mm / 1e3 * (1.0 + adhesive.waste_percent / 100.0);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // bounded
    let cartridges = (volume_ml / adhesive.cartridge_ml - 1e-9).ceil().clamp(0.0, 1e4) as u32;
    Bead {
        id: adhesive.id.clone(),
        section_mm: (adhesive.bead_mm, adhesive.height_mm),
        beads,
        length_mm,
        volume_ml,
        cartridges,
        working_minutes: adhesive.working_minutes,
        fitting_minutes: 0.0,
        people: 1,
        cure_minutes: (adhesive.fixture_minutes, adhesive.cure_minutes),
    }
}

/// All bonded joints of a part close together: their fitting time by the time book against the working time.
pub(super) fn working_time(plans: &mut [JointPlan], times: &TimeBook) {
    let mut seconds = 0.0;
    for plan in plans.iter().filter(|plan| plan.adhesive.is_some()) {
        let work = match (&plan.what, plan.route) {
            (What::Factory(JointKind::BondedGlass), _) => "bond-glass",
            (What::Factory(JointKind::Hem), _) => "join-hem",
            (What::Factory(_), Route::Bonded) => "join-part-bonded",
            (_, Route::Bonded) => "join-section-bonded",
            (What::Factory(_), _) => "join-part",
            _ => "join-section",
        };
        let Some(work) = times.works.get(work) else { continue };
        for (unit, each) in &work.per {
            #[allow(clippy::cast_precision_loss)] // counts of fasteners
            let count = match unit {
                Unit::Fastener => plan.fasteners.len() as f64,
                Unit::MetreJoint => plan.length_mm / 1e3,
                _ => 0.0,
            };
            seconds += count * f64::from(each.seconds);
        }
    }
    for plan in plans {
        let Some(bead) = &mut plan.adhesive else { continue };
        bead.fitting_minutes = seconds / 60.0;
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // bounded
        let people = (bead.fitting_minutes / bead.working_minutes - 1e-9).ceil().clamp(1.0, 99.0) as u32;
        bead.people = people;
        if people > 1 {
            let note = Note::new("joint-time-short").with("fitting", text(bead.fitting_minutes.ceil()));
            plan.notes.push(note.with("working", text(bead.working_minutes)).with("people", people));
        }
    }
}
