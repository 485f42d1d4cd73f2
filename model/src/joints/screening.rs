//! Screens a joint's strength against its parent panel, per metre.
//!
//! A screening aid: the best of riveted, bonded and welded counts, never their sum; peel, fatigue and corrosion are not in
//! it. The maker's procedure and a qualified engineer decide.

use super::{JointPlan, Screening, What, strength};
use crate::catalogue::Part;
use crate::stock::Stock;
use crate::terms::JointKind;

/// Throat of a fillet weld over the thickness of the thinner sheet.
pub(super) const THROAT: f64 = 0.7;

/// The alloy that stands for a part's family.
pub(super) fn alloy_of(part: &Part) -> Option<&'static strength::Alloy> {
    strength::alloy(part.family, &part.temper)
}

/// Screens a joint between two parts; leaves it unscreened where figures lack.
pub(super) fn screen(plan: &mut JointPlan, stock: &Stock, part: &Part, other: &Part) {
    if plan.what == What::Factory(JointKind::Bolt) {
        return;
    }
    let Some((one, two)) = alloy_of(part).zip(alloy_of(other)) else { return };
    let Some((first, last)) = plan.stack_mm.first().copied().zip(plan.stack_mm.last().copied()) else { return };
    let panels = [(one, first), (two, last)];
    let weaker = panels
        .into_iter()
        .min_by(|a, b| strength::panel(a.0, a.1).tension.total_cmp(&strength::panel(b.0, b.1).tension));
    let Some((alloy, t)) = weaker else { return };
    let panel = strength::panel(alloy, t);
    let (thin, thick) = (first.min(last), first.max(last));
    let riveted = plan.fastener.as_mut().filter(|used| used.count > 0).and_then(|used| {
        let item = stock.fasteners.iter().find(|one| one.id == used.id)?;
        let hole = used.hole_mm.max(used.diameter_mm);
        let bearing = strength::blind_bearing_n(alloy.fu, used.diameter_mm, thin, thick);
        let each = (item.shear_n / strength::GAMMA_M2).min(bearing);
        used.needed_per_metre = Some(1000.0 * panel.tension / each);
        // Rows of one side of a butt joint carry; those of the other side carry the same again.
        let rows = plan.fasteners.iter().map(|placed| placed.row).max().map_or(1, |row| row + 1);
        let rows = if matches!(plan.what, What::Butt(_)) { rows.div_ceil(2) } else { rows };
        let sides = if matches!(plan.what, What::Butt(_)) { 2 } else { 1 };
        #[allow(clippy::cast_precision_loss)] // counts of fasteners
        let pitch = plan.length_mm * (rows * sides) as f64 / used.count as f64;
        Some(strength::fastened(alloy, t, each, pitch, rows, hole))
    });
    let bonded = plan.adhesive.as_ref().and_then(|bead| {
        let adhesive = stock.adhesives.iter().find(|one| one.id == bead.id)?;
        // The bead is pressed to a film; it is no wider than the strip.
        let film = bead.section_mm.0 * bead.section_mm.1 / adhesive.film_mm;
        let strip = if matches!(plan.what, What::Butt(_)) { plan.width_mm / 2.0 } else { plan.width_mm };
        Some(strength::bonded(adhesive.shear_mpa, film.min(strip)))
    });
    let welded = plan.weld.as_ref().and_then(|seam| {
        let fw = strength::weld_metal(seam.filler, alloy.metal)?;
        Some(match plan.what {
            What::Butt(_) => strength::butt_welded(alloy, t, fw),
            _ => strength::fillet_welded(alloy, t, THROAT * thin, fw),
        })
    });
    let best = [riveted, bonded, welded].into_iter().flatten().reduce(strength::Carries::greatest);
    let Some(best) = best else { return };
    let share = strength::Carries { shear: best.shear / panel.shear, tension: best.tension / panel.tension };
    plan.screening = Some(Screening { alloy: alloy.name, panel, riveted, bonded, welded, share });
}
