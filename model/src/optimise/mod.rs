//! The whole-job program: the best permitted option for every part at once.
//!
//! An [`Instance`] holds one group of options for each damaged part and the things that parts share, each paid once.
//! [`solve`] finds the choice of least cost, exactly: all costs are whole numbers, and no answer rests on a rounded one.
//! Nothing here decides what is permitted: an option that the rules forbid is never handed in.

mod bound;
mod candidates;
mod conflict;
mod cost;
mod instance;
mod mps;
mod program;
mod reduce;
mod search;
mod sections;
mod swap;
mod whole;

pub use candidates::{Candidate, Candidates, Hold, Needless, Piece, candidates};
pub use conflict::Conflict;
pub use cost::{Cost, per};
pub use instance::{Clash, Group, Instance, Opt, Shared};
pub use mps::Labels;
pub use program::Program;
pub use search::{Solution, solve};
pub use swap::Swaps;
pub use whole::{Best, Change, Costs, HoldConflict, Whole, picks, whole};
