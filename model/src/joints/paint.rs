//! Refinish: how far paint goes, how much is mixed, and its solvent content against a limit.
//!
//! Equations and limits only; what is painted comes from the operations.

/// Area that a litre covers, m²: 10 × volume solids in per cent ÷ dry film in µm × transfer efficiency.
pub fn coverage_m2_l(volume_solids: f64, film_um: f64, transfer: f64) -> f64 {
    1000.0 * volume_solids / film_um * transfer
}

/// Area that a US gallon covers, square feet, with the usual constant: 1604 × volume solids ÷ dry film in mil ×
/// transfer efficiency.
pub fn coverage_ft2_gal(volume_solids: f64, film_mil: f64, transfer: f64) -> f64 {
    1604.0 * volume_solids / film_mil * transfer
}

/// Volume to mix for an area, ml: what the film needs, never less than what can be mixed. Nothing for no area.
pub fn mixed_ml(area_m2: f64, volume_solids: f64, film_um: f64, transfer: f64, least_ml: f64) -> f64 {
    if area_m2 <= 0.0 { 0.0 } else { (area_m2 / coverage_m2_l(volume_solids, film_um, transfer) * 1e3).max(least_ml) }
}

/// Solvent content, g/l less water and exempt compounds: (Wv − Ww − We) / (V − Vw − Ve) (40 CFR 59.104(a)), grams and
/// litres.
pub fn solvent_g_l(volatile_g: f64, water_g: f64, exempt_g: f64, volume_l: f64, water_l: f64, exempt_l: f64) -> f64 {
    (volatile_g - water_g - exempt_g) / (volume_l - water_l - exempt_l)
}

/// Solvent content of a topcoat of several stages: (base + Σ middle + 2 × clear) / (middle + 3) (40 CFR 59.104, from
/// memory).
pub fn staged_g_l(base: f64, middle: &[f64], clear: f64) -> f64 {
    #[allow(clippy::cast_precision_loss)] // a few coats
    let stages = middle.len() as f64 + 3.0;
    (base + middle.iter().sum::<f64>() + 2.0 * clear) / stages
}

pub use crate::stock::LIMITS_40_CFR_59;

/// The limit of a category in a jurisdiction: `us-40-cfr-59`, or `none` where none is chosen.
pub fn limit_g_l(jurisdiction: &str, category: &str) -> Option<f64> {
    let known = LIMITS_40_CFR_59.iter().find(|(known, _)| *known == category);
    known.filter(|_| jurisdiction == "us-40-cfr-59").map(|(_, limit)| *limit)
}
