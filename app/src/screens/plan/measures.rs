//! Measured numbers in words, in the person's units: what was seen on a part, and how much work an operation is.
//!
//! Rounds for reading only; the plan's file holds the numbers themselves.

use crate::words::{count, length, raised, t, tf};
use model::damage::Finding;
use model::operations::Amount;
use model::terms::Coat;

const MM2_IN_CM2: f64 = 100.0;
const MM2_IN_M2: f64 = 1e6;
/// Square millimetres in a square inch and a square foot, exactly (international inch, 1959).
const MM2_IN_SQUARE_INCH: f64 = 645.16;
const MM2_IN_SQUARE_FOOT: f64 = 92_903.04;

/// What was seen on a part: kinds, depth, paint, share.
#[must_use]
pub fn seen(finding: &Finding, imperial: bool) -> String {
    let kinds = finding.kinds.iter().map(|kind| t(kind.key())).collect::<Vec<_>>().join(", ");
    let mut parts = vec![kinds];
    if finding.depth_mm > 0.0 {
        parts.push(tf("plan-deep", &[("depth", &length(finding.depth_mm, imperial))]));
    }
    if finding.depth_mm > 0.0 && finding.sharp {
        parts.push(t("plan-sharp"));
    }
    if finding.coat != Coat::Whole {
        parts.push(t(finding.coat.key()));
    }
    if finding.count > 0 {
        parts.push(count("ui-dents-count", finding.count as usize));
    }
    parts.push(tf("plan-share", &[("area", &area(finding.area_mm2, imperial)), ("share", &share(finding.share))]));
    raised(&parts.join(", "))
}

/// A share as a whole percentage; a small one is not shown as nothing.
fn share(share: f64) -> String {
    let percent = share * 100.0;
    if percent < 1.0 { t("plan-share-small") } else { format!("{percent:.0}") }
}

/// An area: square centimetres or metres, square inches or feet.
#[must_use]
pub fn area(mm2: f64, imperial: bool) -> String {
    let (key, value) = if imperial {
        if mm2 < MM2_IN_SQUARE_FOOT {
            ("plan-square-inches", format!("{:.0}", (mm2 / MM2_IN_SQUARE_INCH).max(1.0)))
        } else {
            ("plan-square-feet", format!("{:.1}", mm2 / MM2_IN_SQUARE_FOOT))
        }
    } else if mm2 < MM2_IN_M2 / 10.0 {
        ("plan-square-centimetres", format!("{:.0}", (mm2 / MM2_IN_CM2).max(1.0)))
    } else {
        ("plan-square-metres", format!("{:.2}", mm2 / MM2_IN_M2))
    };
    tf(key, &[("value", &value)])
}

/// How much work an operation is; empty where nothing is counted.
#[must_use]
pub fn amount(amount: &Amount, imperial: bool) -> String {
    let mut parts = Vec::new();
    let mut long = |key: &str, mm: f64| {
        if mm > 0.0 {
            parts.push(tf(key, &[("length", &length(mm, imperial))]));
        }
    };
    long("plan-amount-cut", amount.cut_mm);
    long("plan-amount-joint", amount.joint_mm);
    let counts = [
        ("plan-amount-fasteners", amount.fasteners),
        ("ui-dents-count", amount.dents),
        ("plan-amount-bolts", amount.units.bolts),
        ("plan-amount-connectors", amount.units.connectors),
        ("plan-amount-clips", amount.units.clips),
    ];
    parts.extend(counts.iter().filter(|(_, number)| *number > 0).map(|(key, number)| count(key, *number as usize)));
    if amount.area_mm2 > 0.0 {
        parts.push(area(amount.area_mm2, imperial));
    }
    parts.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::catalogue::Units;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    #[test]
    fn areas_speak_the_units_of_the_person() {
        assert_eq!(area(12_300.0, false), "123 cm²");
        assert_eq!(area(1_250_000.0, false), "1.25 m²");
        assert_eq!(area(12_903.2, true), "20 sq in");
        assert_eq!(area(185_806.08, true), "2.0 sq ft");
    }

    #[test]
    fn what_is_not_counted_is_not_said() {
        assert_eq!(amount(&Amount::default(), false), "");
        let some =
            Amount { cut_mm: 1240.0, fasteners: 1, units: Units { bolts: 4, ..Units::default() }, ..Amount::default() };
        assert_eq!(amount(&some, false), "1240\u{a0}mm to cut, 1 fastener, 4 bolts");
    }
}
