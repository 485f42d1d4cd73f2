//! Galvanic difference of two metals and whether bare contact would be tolerated.
//!
//! A figure for the technician's understanding. The index alone would let bare aluminium lie on bare steel (0.05 V), so
//! it never allows a contact: isolation comes from the rule book ([`must_isolate`] says so for the sheet).

use crate::terms::{Environment, Metal};

/// Metals with their anodic index in volts against gold (tables of the MIL-DTL-14072 family; from 0.85 up from memory,
/// confirmed second hand).
pub const INDEX: [(&str, f64); 13] = [
    ("gold", 0.00),
    ("silver", 0.15),
    ("nickel", 0.30),
    ("copper", 0.35),
    ("brass", 0.40),
    ("stainless-steel", 0.50),
    ("tin-plate", 0.60),
    ("aluminium-2xxx", 0.75),
    ("steel", 0.85),
    ("aluminium", 0.90),
    ("aluminium-casting", 0.95),
    ("zinc-plate", 1.25),
    ("magnesium", 1.75),
];

/// Difference of the indexes of two metals by their names, V; `None` where one is not in [`INDEX`].
pub fn difference_v(one: &str, other: &str) -> Option<f64> {
    let index = |name: &str| INDEX.iter().find(|(known, _)| *known == name).map(|(_, volts)| *volts);
    Some((index(one)? - index(other)?).abs())
}

impl Environment {
    /// Greatest difference that the index tables tolerate, V.
    pub fn allowed_v(self) -> f64 {
        match self {
            Self::Harsh => 0.15,
            Self::Normal => 0.25,
            Self::Controlled => 0.50,
        }
    }
    /// Whether the index alone would tolerate bare contact. Never a permission.
    pub fn tolerates(self, difference_v: f64) -> bool {
        difference_v <= self.allowed_v() + 1e-9
    }
}

/// Whether two metals must be kept apart: always when they differ and both conduct, whatever the index says.
pub fn must_isolate(one: Metal, other: Metal) -> bool {
    one != other && one != Metal::Other && other != Metal::Other
}
