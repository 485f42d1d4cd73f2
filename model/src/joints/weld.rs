//! MIG and TIG welds: heat input, passes, filler, and the order of stitches.
//!
//! Settings come from the shop's list; nothing here says that a part may be welded.

/// Process efficiency k by ISO 4063 process number (EN 1011-1, ISO/TR 17671-1): submerged arc 1.0; manual, MIG, MAG and
/// flux-cored 0.8; TIG and plasma 0.6. `None` for another process.
pub fn efficiency(process: u32) -> Option<f64> {
    match process {
        121 => Some(1.0),
        111 | 131 | 135 | 136 => Some(0.8),
        141 | 15 => Some(0.6),
        _ => None,
    }
}

/// Arc energy, kJ/mm: U I 60 / (1000 v), travel speed in mm a minute (ISO/TR 18491).
pub fn arc_energy_kj_mm(volts: f64, amps: f64, travel_mm_min: f64) -> f64 {
    volts * amps * 60.0 / (1000.0 * travel_mm_min)
}

/// Heat input Q = k U I / v, kJ/mm (EN 1011-1).
pub fn heat_input_kj_mm(efficiency: f64, volts: f64, amps: f64, travel_mm_min: f64) -> f64 {
    efficiency * arc_energy_kj_mm(volts, amps, travel_mm_min)
}

/// Passes that fill a joint of that cross-section: what the wire lays down a millimetre of travel decides; at least 1.
pub fn passes(joint_mm2: f64, wire_mm: f64, feed_mm_min: f64, travel_mm_min: f64) -> u32 {
    let laid = std::f64::consts::FRAC_PI_4 * wire_mm * wire_mm * feed_mm_min / travel_mm_min;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // bounded
    let passes = (joint_mm2 / laid - 1e-9).ceil().clamp(1.0, 99.0) as u32;
    passes
}

/// Filler family for a pair of parents by alloy series, for least cracking (G. Mathers, The Welding of Aluminium and its
/// Alloys, table 3.3): 5356 where a 5xxx is in it, 4043 between 6xxx. A silicon filler never goes on metal with over 2 %
/// magnesium. `None` where a parent is no weldable aluminium.
pub fn filler(one: &str, other: &str) -> Option<&'static str> {
    let series = |metal: &str| metal.chars().next();
    match (series(one)?, series(other)?) {
        ('5', '5' | '6') | ('6', '5') => Some("5356"),
        ('6', '6') => Some("4043"),
        _ => None,
    }
}

/// One stitch of a seam.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stitch {
    /// When it is laid, from 1.
    pub order: u32,
    /// Where it starts and where it ends along the seam, mm. Each is laid backwards against the advance of the seam.
    pub from_mm: f64,
    /// End.
    pub to_mm: f64,
}

/// Divides a seam into stitches no longer than `longest_mm` and orders them from the middle outwards, every second one
/// first, so that the next stitch is laid away from the last (backstep and skip: common practice, no source).
/// In the order along the seam.
pub fn stitches(length_mm: f64, longest_mm: f64) -> Vec<Stitch> {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // bounded
    let count = (length_mm / longest_mm - 1e-9).ceil().clamp(1.0, 1e4) as usize;
    #[allow(clippy::cast_precision_loss)]
    let step = length_mm / count as f64;
    let middle = count / 2;
    let mut turns: Vec<usize> = (0..count).collect();
    // Those at an even distance from the middle come first; within each half the nearer one, left before right.
    turns.sort_by_key(|at| {
        let away = at.abs_diff(middle);
        (away % 2, away, *at)
    });
    let mut out: Vec<Stitch> = turns
        .iter()
        .zip(1_u32..)
        .map(|(at, order)| {
            #[allow(clippy::cast_precision_loss)]
            let start = *at as f64 * step;
            // Backstep: laid from its far end back to its near end, seen from the middle.
            let (from_mm, to_mm) = if *at >= middle { (start + step, start) } else { (start, start + step) };
            Stitch { order, from_mm, to_mm }
        })
        .collect();
    out.sort_by(|one, other| one.from_mm.min(one.to_mm).total_cmp(&other.from_mm.min(other.to_mm)));
    out
}
