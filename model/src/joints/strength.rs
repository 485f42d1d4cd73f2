//! Strength of joints by published formulas, and the screening of a joint against its parent panel.
//!
//! A screening aid and no more: every result that a person sees carries [`SCREENING_KEY`]. Newtons, millimetres and
//! N/mm² throughout; a force per millimetre in N/mm is the same number in kN per metre.

use crate::terms::Family;
use std::f64::consts::{FRAC_PI_4, PI};

/// Key of the sentence that goes with every figure of strength.
pub const SCREENING_KEY: &str = "joint-screening-aid";
/// Partial factors of EN 1999-1-1: members, joints, welds (recommended values, second hand), adhesive (from memory).
pub const GAMMA_M1: f64 = 1.10;
/// For net sections, bolts and rivets.
pub const GAMMA_M2: f64 = 1.25;
/// For welds.
pub const GAMMA_MW: f64 = 1.25;
/// For adhesive.
pub const GAMMA_MA: f64 = 3.0;

/// Characteristic values of an alloy, N/mm²: EN 1999-1-1 tables 3.2a and 3.2b.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Alloy {
    /// Alloy and temper, as the standard names them.
    pub name: &'static str,
    /// 0.2 % proof strength.
    pub fo: f64,
    /// Ultimate strength.
    pub fu: f64,
    /// 0.2 % proof strength in the heat-affected zone of a MIG weld.
    pub fo_haz: f64,
    /// Ultimate strength there.
    pub fu_haz: f64,
    /// Alloy without temper, for weld metal and filler.
    pub metal: &'static str,
}

const fn alloy_row(name: &'static str, metal: &'static str, values: [f64; 4]) -> Alloy {
    Alloy { name, fo: values[0], fu: values[1], fo_haz: values[2], fu_haz: values[3], metal }
}

/// Alloys that stand for the families of the body book, which names no alloy. EN 1999-1-1 table 3.2a for sheet (second
/// hand and from memory), 3.2b for extrusions (read).
pub const ALLOYS: [Alloy; 5] = [
    alloy_row("5754-O/H111", "5754", [80.0, 190.0, 80.0, 190.0]),
    alloy_row("5754-H24/H34", "5754", [160.0, 240.0, 100.0, 190.0]),
    alloy_row("6061-T4/T451", "6061", [110.0, 205.0, 95.0, 150.0]),
    alloy_row("6061-T6/T651", "6061", [240.0, 290.0, 115.0, 175.0]),
    alloy_row("6005A-T6", "6005A", [225.0, 270.0, 115.0, 165.0]),
];

/// The alloy that stands for a family and a temper; `None` where no figure is at hand (castings, steel, other).
pub fn alloy(family: Family, temper: &str) -> Option<&'static Alloy> {
    let name = match (family, temper.chars().next()) {
        (Family::Aluminium5xxxSheet, Some('H')) => "5754-H24/H34",
        (Family::Aluminium5xxxSheet, _) => "5754-O/H111",
        (Family::Aluminium6xxxSheet, _) if temper == "T6" => "6061-T6/T651",
        (Family::Aluminium6xxxSheet, _) => "6061-T4/T451",
        (Family::Aluminium6xxxExtrusion, _) => "6005A-T6",
        _ => return None,
    };
    ALLOYS.iter().find(|alloy| alloy.name == name)
}

/// Shear of one fastener at a stress, N: τ π/4 d² a shear plane.
pub fn shear_n(stress: f64, diameter_mm: f64, planes: u32) -> f64 {
    stress * FRAC_PI_4 * diameter_mm * diameter_mm * f64::from(planes)
}

/// Bearing of one fastener at a stress, N: σ d t.
pub fn bearing_n(stress: f64, diameter_mm: f64, thickness_mm: f64) -> f64 {
    stress * diameter_mm * thickness_mm
}

/// Tension of a strip with holes at a stress, N: σ (w − n d) t.
pub fn net_section_n(stress: f64, width_mm: f64, holes: f64, hole_mm: f64, thickness_mm: f64) -> f64 {
    stress * (width_mm - holes * hole_mm).max(0.0) * thickness_mm
}

/// Shear resistance of a rivet, N: 0.6 fur A0 / γM2 a plane (EN 1993-1-8 table 3.4; EN 1999-1-1 table 8.5 has the same
/// form, from memory).
pub fn rivet_shear_n(fur: f64, hole_mm: f64, planes: u32) -> f64 {
    shear_n(0.6 * fur / GAMMA_M2, hole_mm, planes)
}

/// Tension resistance of a rivet, N: 0.6 fur A0 / γM2.
pub fn rivet_tension_n(fur: f64, hole_mm: f64) -> f64 {
    shear_n(0.6 * fur / GAMMA_M2, hole_mm, 1)
}

/// Where a fastener sits, for its bearing, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seat {
    /// Hole diameter.
    pub hole_mm: f64,
    /// End distance in the direction of load.
    pub e1_mm: f64,
    /// Edge distance across it.
    pub e2_mm: f64,
    /// Pitch in the direction of load; `None` where there is no second row.
    pub p1_mm: Option<f64>,
    /// Distance to the next one across it; `None` for a single fastener.
    pub p2_mm: Option<f64>,
}

/// Bearing resistance, N: k1 αb fu d t / γM2 (EN 1993-1-8 table 3.4, same form in EN 1999-1-1 table 8.5).
pub fn bearing_resistance_n(fu: f64, fu_fastener: f64, diameter_mm: f64, thickness_mm: f64, seat: &Seat) -> f64 {
    let inner = seat.p1_mm.map_or(f64::INFINITY, |p1| p1 / (3.0 * seat.hole_mm) - 0.25);
    let along = (seat.e1_mm / (3.0 * seat.hole_mm)).min(inner).min(fu_fastener / fu).clamp(0.0, 1.0);
    let between = seat.p2_mm.map_or(f64::INFINITY, |p2| 1.4 * p2 / seat.hole_mm - 1.7);
    let across = (2.8 * seat.e2_mm / seat.hole_mm - 1.7).min(between).clamp(0.0, 2.5);
    across * along * bearing_n(fu, diameter_mm, thickness_mm) / GAMMA_M2
}

/// Bearing of a blind rivet in sheet, N: α fu d t / γM2 with α = 3.6 √(t/d) up to 2.1 (EN 1993-1-3 table 8.1, from
/// memory), `thin` and `thick` being the two sheets.
pub fn blind_bearing_n(fu: f64, diameter_mm: f64, thin_mm: f64, thick_mm: f64) -> f64 {
    let equal = (3.6 * (thin_mm / diameter_mm).sqrt()).min(2.1);
    // Between equal sheets and one 2.5 times as thick the standard interpolates.
    let share = ((thick_mm / thin_mm - 1.0) / 1.5).clamp(0.0, 1.0);
    (equal + share * (2.1 - equal)) * bearing_n(fu, diameter_mm, thin_mm) / GAMMA_M2
}

/// Punching of a head through a sheet, N: 0.6 π dm t fu / γM2.
pub fn punching_n(fu: f64, head_mm: f64, thickness_mm: f64) -> f64 {
    0.6 * PI * head_mm * thickness_mm * fu / GAMMA_M2
}

/// Share of a fastener that is used by shear and tension together; up to 1 is within its resistance.
pub fn interaction(shear: f64, shear_resistance: f64, tension: f64, tension_resistance: f64) -> f64 {
    shear / shear_resistance + tension / (1.4 * tension_resistance)
}

/// Extent of the heat-affected zone to each side of a MIG weld, mm, the metal between passes at `interpass_c`
/// (EN 1999-1-1 6.1.6.3, from memory): 20 up to 6 mm, 30 up to 12, 35 up to 25, 40 above; grows by (T − 60)/120.
pub fn haz_mm(thickness_mm: f64, interpass_c: f64) -> f64 {
    let base = match thickness_mm {
        t if t <= 6.0 => 20.0,
        t if t <= 12.0 => 30.0,
        t if t <= 25.0 => 35.0,
        _ => 40.0,
    };
    base * (1.0 + (interpass_c.clamp(60.0, 120.0) - 60.0) / 120.0)
}

/// Characteristic strength of weld metal by filler and parent (EN 1999-1-1 table 8.8, from memory), N/mm²; the lowest
/// of the filler's row where the table lacks the parent.
pub fn weld_metal(filler: &str, metal: &str) -> Option<f64> {
    const AL_MG: [(&str, f64); 7] = [
        ("5052", 170.0),
        ("5083", 240.0),
        ("5454", 220.0),
        ("6060", 160.0),
        ("6005A", 180.0),
        ("6061", 190.0),
        ("6082", 210.0),
    ];
    const AL_SI: [(&str, f64); 4] = [("6060", 150.0), ("6005A", 160.0), ("6061", 170.0), ("6082", 190.0)];
    let row: &[(&str, f64)] = match filler {
        "5356" => &AL_MG,
        "4043" => &AL_SI,
        _ => return None,
    };
    let known = row.iter().find(|(parent, _)| *parent == metal);
    known.or_else(|| row.iter().min_by(|one, other| one.1.total_cmp(&other.1))).map(|(_, fw)| *fw)
}

/// What a joint carries per millimetre of its length, N/mm (= kN/m).
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Carries {
    /// Along the joint.
    pub shear: f64,
    /// Across the joint, in the plane of the panel.
    pub tension: f64,
}

impl Carries {
    /// The weaker of both in each direction.
    #[must_use]
    pub fn least(self, other: Self) -> Self {
        Self { shear: self.shear.min(other.shear), tension: self.tension.min(other.tension) }
    }
    /// The stronger of both in each direction.
    #[must_use]
    pub fn greatest(self, other: Self) -> Self {
        Self { shear: self.shear.max(other.shear), tension: self.tension.max(other.tension) }
    }
}

/// What the panel itself carries: yield of the full section (γM1) or rupture (0.9 fu / γM2), whichever is less; in
/// shear 1/√3 of it.
pub fn panel(alloy: &Alloy, thickness_mm: f64) -> Carries {
    let tension = (alloy.fo / GAMMA_M1).min(0.9 * alloy.fu / GAMMA_M2) * thickness_mm;
    Carries { shear: tension / 3.0_f64.sqrt(), tension }
}

/// What a row or two rows of fasteners carry: in each direction the fasteners; across it no more than the net section
/// through one row.
pub fn fastened(alloy: &Alloy, thickness_mm: f64, each_n: f64, pitch_mm: f64, rows: usize, hole_mm: f64) -> Carries {
    #[allow(clippy::cast_precision_loss)] // one or two
    let fasteners = each_n * rows as f64 / pitch_mm;
    let net = net_section_n(0.9 * alloy.fu / GAMMA_M2, pitch_mm, 1.0, hole_mm, thickness_mm) / pitch_mm;
    Carries { shear: fasteners, tension: fasteners.min(net) }
}

/// What an adhesive film of that width carries: τ = fv / γMa (EN 1999-1-1 annex M, from memory). Peel is not in it.
pub fn bonded(shear_strength: f64, width_mm: f64) -> Carries {
    let film = shear_strength / GAMMA_MA * width_mm;
    Carries { shear: film, tension: film }
}

/// What a butt weld carries: the softened zone or the weld metal, whichever is less (EN 1999-1-1 8.6.3).
pub fn butt_welded(alloy: &Alloy, thickness_mm: f64, fw: f64) -> Carries {
    let (haz, metal) = (alloy.fu_haz / GAMMA_MW * thickness_mm, fw / GAMMA_MW * thickness_mm);
    Carries { shear: (haz / 3.0_f64.sqrt()).min(0.6 * metal), tension: haz.min(metal) }
}

/// What one fillet weld carries with its throat, mm: the softened zone of the sheet or the weld metal on the throat.
pub fn fillet_welded(alloy: &Alloy, thickness_mm: f64, throat_mm: f64, fw: f64) -> Carries {
    let haz = alloy.fu_haz / GAMMA_MW * thickness_mm;
    let throat = fw / GAMMA_MW * throat_mm / 3.0_f64.sqrt();
    Carries { shear: (haz / 3.0_f64.sqrt()).min(throat), tension: haz.min(throat) }
}
