//! Into which neighbours the colour of a refinished panel is blended, and why.
//!
//! By the colour's family, the gap, and whether both panels face the same way. Every figure here is common practice, no
//! source; a paint's data sheet and a spray-out beside the vehicle decide. Never refinishes a panel.

use super::{Operation, repaints};
use crate::catalogue::{Beside, Book};
use crate::ids::PartId;
use crate::terms::ColourFamily;

/// Widest gap across which the eye still compares a metallic colour, mm.
pub const METALLIC_GAP_MM: f64 = 15.0;
/// Widest gap at which panels of a solid colour read as one surface, mm.
pub const SOLID_GAP_MM: f64 = 2.0;

/// What becomes of a neighbour, and why.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Verdict {
    /// Whether the colour is blended into it.
    pub blends: bool,
    /// Key of the reason.
    pub reason: &'static str,
}

/// Whether the colour is blended into that neighbour; a family that nobody named is taken for the one that asks for most.
pub fn verdict(family: Option<ColourFamily>, beside: &Beside) -> Verdict {
    let (blends, reason) = match family {
        None => (true, "blend-assumed"),
        Some(ColourFamily::Pearl) => (true, "blend-pearl"),
        Some(ColourFamily::Metallic) if !beside.same_way => (false, "blend-metallic-turned"),
        Some(ColourFamily::Metallic) if beside.gap_mm > METALLIC_GAP_MM => (false, "blend-metallic-gap"),
        Some(ColourFamily::Metallic) => (true, "blend-metallic"),
        Some(ColourFamily::Solid) if !beside.same_way => (false, "blend-solid-turned"),
        Some(ColourFamily::Solid) if beside.gap_mm > SOLID_GAP_MM => (false, "blend-solid-gap"),
        Some(ColourFamily::Solid) => (true, "blend-solid"),
    };
    Verdict { blends, reason }
}

/// A refinished panel and one of its neighbours.
#[derive(Clone, Debug, PartialEq)]
pub struct Neighbour {
    /// The panel that is refinished.
    pub part: PartId,
    /// The panel beside it.
    pub beside: PartId,
    /// The gap between them, mm.
    pub gap_mm: f64,
    /// Whether both face the same way.
    pub same_way: bool,
    /// What becomes of it.
    pub verdict: Verdict,
}

/// Every neighbour of every panel that these operations refinish, in the order of the operations and of the book. One that
/// is refinished itself needs no blend.
pub fn neighbours(book: &Book, operations: &[Operation], family: Option<ColourFamily>) -> Vec<Neighbour> {
    let painted: Vec<&PartId> = operations.iter().filter_map(repaints).collect();
    let mut out = Vec::new();
    for part in &painted {
        let Some(at) = book.index.get(*part) else { continue };
        for beside in &book.facts().parts[*at].beside {
            let other = &book.parts[beside.at].id;
            let itself = Verdict { blends: false, reason: "blend-itself" };
            out.push(Neighbour {
                part: (*part).clone(),
                beside: other.clone(),
                gap_mm: beside.gap_mm,
                same_way: beside.same_way,
                verdict: if painted.contains(&other) { itself } else { verdict(family, beside) },
            });
        }
    }
    out
}
