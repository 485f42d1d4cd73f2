//! What of a plan is kept from one edit to the next: an edit touches one part, and only that part is measured, decided
//! and weighed again.
//!
//! Gives exactly what [`super::plan`] gives (tests compare them) and decides nothing of its own.

mod decided;
mod weighed;

pub use decided::Decided;
pub use weighed::Weighed;
