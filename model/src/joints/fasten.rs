//! Rules for laying out fasteners: edge distance, pitch, rows, how many a length needs.
//!
//! Published limits as plain functions of the diameter and the thickness; lengths in millimetres unless a name says
//! inch. Nothing here knows of a part or of what a shop has, and no number here allows a joint: it is a screening aid.

/// Least distances in fastener diameters.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spacing {
    /// From the middle of a fastener to an edge.
    pub edge_d: f64,
    /// Between fasteners of a single row.
    pub pitch_d: f64,
    /// Between fasteners of one of two rows.
    pub pitch_two_rows_d: f64,
    /// Between rows.
    pub row_d: f64,
}

/// FAA AC 43.13-1B, paragraph 4-57 and figure 4-5: edge 2 D, pitch 3 D in one row and 4 D in two, rows 2.5 D apart.
pub const AC4313: Spacing = Spacing { edge_d: 2.0, pitch_d: 3.0, pitch_two_rows_d: 4.0, row_d: 2.5 };

impl Spacing {
    /// Least edge distance of a fastener of that diameter, mm.
    pub fn edge_mm(&self, diameter_mm: f64) -> f64 {
        self.edge_d * diameter_mm
    }
    /// Least pitch within a row, mm.
    pub fn pitch_mm(&self, diameter_mm: f64, rows: usize) -> f64 {
        diameter_mm * if rows > 1 { self.pitch_two_rows_d } else { self.pitch_d }
    }
    /// Least distance between rows, mm.
    pub fn row_mm(&self, diameter_mm: f64) -> f64 {
        self.row_d * diameter_mm
    }
    /// How many rows a strip of that width takes: 0 where it is too narrow for any, at most 2.
    pub fn rows_in(&self, width_mm: f64, diameter_mm: f64) -> usize {
        let one = 2.0 * self.edge_mm(diameter_mm);
        match width_mm + 1e-9 {
            width if width < one => 0,
            width if width < one + self.row_mm(diameter_mm) => 1,
            _ => 2,
        }
    }
}

/// Strengths behind one of the rivet tables of AC 43.13-1B: what was found to reproduce each table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CountRule {
    /// Shear strength of the rivet over tensile strength of the sheet.
    pub shear: f64,
    /// Bearing strength over tensile strength of the sheet.
    pub bearing: f64,
}

impl CountRule {
    /// How many rivets a unit of length of a single-lap joint needs so that they carry what the sheet carries:
    /// max(1/(b d), t/(k π/4 d²)), thickness and hole diameter in that unit.
    pub fn per_length(&self, thickness: f64, hole: f64) -> f64 {
        let shear = thickness / (self.shear * std::f64::consts::FRAC_PI_4 * hole * hole);
        shear.max(1.0 / (self.bearing * hole))
    }
}

/// AC 43.13-1B table 4-9: 2014-T6, 2024-T3, 7075-T6 sheet.
pub const TABLE_4_9: CountRule = CountRule { shear: 0.40, bearing: 1.60 };
/// AC 43.13-1B table 4-10: 2017, clad 2024-T3. The shear ratio is fitted, the text seen lacked it.
pub const TABLE_4_10: CountRule = CountRule { shear: 0.50, bearing: 1.60 };
/// AC 43.13-1B table 4-11: 5052 of all hardnesses. Its note prints a bearing ratio of 1.60; its cells fit 1.65.
pub const TABLE_4_11: CountRule = CountRule { shear: 0.70, bearing: 1.65 };

/// Rivets of a sheet splice as AC 43.13-1B 4-58g counts them: the count of the table times the factor of the joint,
/// rounded up to a tenth, times the width, rounded up.
pub fn splice_rivets(per_inch: f64, factor: f64, width_in: f64) -> u32 {
    let tenths = (per_inch * factor * 10.0 - 1e-9).ceil() / 10.0;
    whole(tenths * width_in)
}

/// Rivets in a frame as AC 43.13-1B figure 4-20 counts them: rounded up before and after the factor.
pub fn frame_rivets(per_inch: f64, factor: f64, width_in: f64) -> u32 {
    whole(f64::from(whole(per_inch * width_in)) * factor)
}

fn whole(count: f64) -> u32 {
    // Counts of rivets: small and not negative.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let up = (count - 1e-9).ceil().clamp(0.0, 1e6) as u32;
    up
}

/// Limits on spacing of EN 1999-1-1 table 8.2 (from memory), mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Least end distance.
    pub end_mm: f64,
    /// Least edge distance.
    pub edge_mm: f64,
    /// Least pitch in the direction of load.
    pub pitch_mm: f64,
    /// Least distance between rows.
    pub row_mm: f64,
    /// Greatest edge distance where weather reaches it.
    pub edge_max_mm: f64,
    /// Greatest pitch in compression.
    pub pitch_max_mm: f64,
}

/// EN 1999-1-1 table 8.2 (from memory) for that hole and that thickness of the thinner outer sheet, mm.
pub fn limits(hole_mm: f64, thickness_mm: f64) -> Limits {
    Limits {
        end_mm: 1.2 * hole_mm,
        edge_mm: 1.2 * hole_mm,
        pitch_mm: 2.2 * hole_mm,
        row_mm: 2.4 * hole_mm,
        edge_max_mm: 4.0 * thickness_mm + 40.0,
        pitch_max_mm: (14.0 * thickness_mm).min(200.0),
    }
}

/// Hole of a solid rivet in inches by its diameter in 1/32 inch; `None` for one that the list lacks. Drill sizes from
/// memory; those of 3/32 to 1/4 inch reproduce the rivet tables of AC 43.13-1B.
pub fn solid_hole_in(diameter_32nds: u32) -> Option<f64> {
    const HOLES: [(u32, f64); 8] =
        [(2, 0.067), (3, 0.096), (4, 0.1285), (5, 0.159), (6, 0.191), (8, 0.257), (10, 0.323), (12, 0.386)];
    HOLES.iter().find(|(known, _)| *known == diameter_32nds).map(|(_, hole)| *hole)
}

/// Length of a solid rivet: grip and 1.5 diameters (NAVEDTRA 14018), mm.
pub fn solid_length_mm(grip_mm: f64, diameter_mm: f64) -> f64 {
    grip_mm + 1.5 * diameter_mm
}
