//! Which fastener, where, and why: from access, the factory's joint and the stack.
//!
//! Chooses only from the shop's list and never stretches a grip or a flange.

use super::layout::Pattern;
use super::plan::text;
use super::{Note, fasten};
use crate::catalogue::Part;
use crate::error::Error;
use crate::stock::{Fastener, Stock};
use crate::terms::{Behind, Form, JointKind};

/// Whether both sides of a part's sheet can be reached once its access work is done.
pub(super) fn open(part: &Part) -> bool {
    !closed(part) && (part.behind == Behind::Open || !part.uncover.is_empty())
}

pub(super) fn closed(part: &Part) -> bool {
    matches!(part.form, Form::Tube | Form::Extrusion) || part.behind == Behind::Closed
}

pub(super) fn access_note(both: bool) -> Note {
    Note::new(if both { "joint-why-both-sides" } else { "joint-why-one-side" })
}

/// What takes the place of the factory's fasteners, where, and why. Common practice, no source.
pub(super) fn replacement(kind: JointKind, both: bool, pitch_mm: f64) -> (JointKind, Pattern, &'static str) {
    let kept = if pitch_mm > 0.0 { Pattern::Kept(pitch_mm) } else { Pattern::New(0.0) };
    match kind {
        JointKind::SelfPiercingRivet if both && pitch_mm > 0.0 => {
            (JointKind::SelfPiercingRivet, Pattern::Beside(pitch_mm, 0.0), "joint-why-beside")
        }
        JointKind::SelfPiercingRivet => (JointKind::StructuralBlindRivet, kept, "joint-why-old-holes"),
        JointKind::FlowDrillScrew => (JointKind::StructuralBlindRivet, kept, "joint-why-screws"),
        JointKind::SolidRivet if both => (JointKind::SolidRivet, kept, "joint-why-kept"),
        JointKind::SolidRivet | JointKind::StructuralBlindRivet => {
            (JointKind::StructuralBlindRivet, kept, "joint-why-kept")
        }
        _ if both => (JointKind::SelfPiercingRivet, Pattern::New(0.0), "joint-why-cold"),
        _ => (JointKind::StructuralBlindRivet, Pattern::New(0.0), "joint-why-cold"),
    }
}

/// Rows of a strip with their edge distances; `start` is where the strip begins beside the line, `both` says that the
/// same strip lies on the other side too.
pub(super) fn rows(strip_mm: f64, fastener: &Fastener, start: f64, both: bool) -> Vec<(f64, f64)> {
    let rule = fasten::AC4313;
    let edge = rule.edge_mm(fastener.diameter_mm);
    let places = match rule.rows_in(strip_mm, fastener.diameter_mm) {
        0 => Vec::new(),
        1 => vec![(strip_mm / 2.0, strip_mm / 2.0)],
        _ => vec![(edge, edge), (strip_mm - edge, edge)],
    };
    let mut rows: Vec<(f64, f64)> = places.iter().map(|(place, edge)| (start + place, *edge)).collect();
    if both {
        rows.extend(places.iter().map(|(place, edge)| (-start - place, *edge)));
    }
    rows
}

/// Thickness of a stack with a film of adhesive between its sheets, mm.
pub fn grip(stack_mm: &[f64], film_mm: f64) -> f64 {
    #[allow(clippy::cast_precision_loss)] // a few sheets
    let films = stack_mm.len().saturating_sub(1) as f64;
    stack_mm.iter().sum::<f64>() + films * film_mm
}

/// The thickest fastener of that kind on the shelf whose grip takes the stack and whose edge distances fit the strip;
/// of equal ones the one with the narrower grip.
///
/// # Errors
/// Sheets that look as if they were in inches; a stack that no grip takes; a strip too narrow for any row: each with what
/// would make it possible.
pub fn choose<'s>(
    stock: &'s Stock,
    kind: JointKind,
    stack_mm: &[f64],
    film_mm: f64,
    strip_mm: f64,
) -> Result<&'s Fastener, Error> {
    choose_all(stock, kind, stack_mm, film_mm, strip_mm).map(|all| all[0])
}

/// Every fastener that [`choose`] could take, the one that it takes first; at least one.
pub(super) fn choose_all<'s>(
    stock: &'s Stock,
    kind: JointKind,
    stack_mm: &[f64],
    film_mm: f64,
    strip_mm: f64,
) -> Result<Vec<&'s Fastener>, Error> {
    if let Some((at, sheet)) = stack_mm.iter().enumerate().find(|(_, sheet)| **sheet < 0.4) {
        let inches = Error::new("joint-inches", format!("stack_mm[{at}]"));
        return Err(inches.with("value", sheet).with("mm", crate::stock::mm(*sheet)));
    }
    let grip = grip(stack_mm, film_mm);
    let of_kind: Vec<&Fastener> = stock.fasteners.iter().filter(|one| one.kind == kind).collect();
    let takes: Vec<&&Fastener> =
        of_kind.iter().filter(|one| one.grip_mm.0 <= grip + 1e-9 && grip <= one.grip_mm.1 + 1e-9).collect();
    if takes.is_empty() {
        let low = of_kind.iter().map(|one| one.grip_mm.0).fold(f64::INFINITY, f64::min);
        let high = of_kind.iter().map(|one| one.grip_mm.1).fold(0.0, f64::max);
        let key = match of_kind.is_empty() {
            true => "joint-no-kind",
            false if grip > high => "joint-stack-thick",
            false if grip < low => "joint-stack-thin",
            false => "joint-stack-between",
        };
        let error = Error::new(key, "stack_mm").with("grip", text(grip)).with("kind", crate::words::word(kind.key()));
        return Err(error.with("low", text(low)).with("high", text(high)));
    }
    let rule = fasten::AC4313;
    let fits = takes.iter().filter(|one| rule.rows_in(strip_mm, one.diameter_mm) > 0);
    let mut fits: Vec<&Fastener> = fits.map(|one| **one).collect();
    fits.sort_by(|one, other| {
        let span = |item: &Fastener| item.grip_mm.1 - item.grip_mm.0;
        // Of bolts the narrower grip goes first: it stands for the factory's size.
        if kind == JointKind::Bolt {
            return span(one).total_cmp(&span(other));
        }
        other.diameter_mm.total_cmp(&one.diameter_mm).then(span(one).total_cmp(&span(other)))
    });
    if fits.is_empty() {
        let least = takes.iter().map(|one| 2.0 * rule.edge_mm(one.diameter_mm)).fold(f64::INFINITY, f64::min);
        let error = Error::new("joint-flange-narrow", "width_mm").with("width", text(strip_mm));
        return Err(error.with("least", text(least)));
    }
    Ok(fits)
}
