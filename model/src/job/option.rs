//! What a person holds to beyond the action: the way to join, the pieces to renew and where the cuts run; and what the
//! vehicle is worth.
//!
//! Facts only. Whether a hold is permitted is decided elsewhere; nothing here knows a book.

use crate::ids::{CellId, CutId};
use crate::terms::Route;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Most pieces, and most moved cut lines, that one hold names.
pub const CELLS_MAX: usize = 64;
/// Furthest that a cut line is moved along its corridor, mm.
pub const MOVE_MAX_MM: i32 = 1_000;
/// Greatest value of a vehicle, minor units of its currency.
pub const VALUE_MAX: i64 = 1_000_000_000_000;

/// What a person holds to for one part. What is empty is left to the plan.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OptionHold {
    /// The way to join.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub route: Option<Route>,
    /// The cells to renew, sorted, each once; at most [`CELLS_MAX`].
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cells: Vec<CellId>,
    /// How far each cut line is moved from where the book draws it, whole mm, positive to the left of its direction, within ±[`MOVE_MAX_MM`].
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty", deserialize_with = "super::wire::unique")]
    pub moves: BTreeMap<CutId, i32>,
}

impl OptionHold {
    /// Whether nothing is held to.
    pub fn is_empty(&self) -> bool {
        self.route.is_none() && !self.has_lines()
    }

    /// Whether it says where to cut.
    pub fn has_lines(&self) -> bool {
        !self.cells.is_empty() || !self.moves.is_empty()
    }

    /// The same in its one written form: cells sorted and each once, no move of nothing; `None` where nothing is left.
    #[must_use]
    pub fn tidy(mut self) -> Option<Self> {
        self.cells.sort();
        self.cells.dedup();
        self.moves.retain(|_, mm| *mm != 0);
        Some(self).filter(|hold| !hold.is_empty())
    }
}

/// What the vehicle is worth to its owner, as a person put it down.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct VehicleValue {
    /// Whole minor units (such as cents), 0 to [`VALUE_MAX`].
    pub minor: i64,
    /// Three capital letters, as in ISO 4217.
    pub currency: String,
}
