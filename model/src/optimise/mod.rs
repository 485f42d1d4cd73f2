//! The whole-job program: the best permitted option for every part at once.
//!
//! An [`Instance`] holds one group of options for each damaged part and the things that parts share, each paid once.
//! [`solve`] finds the choice of least cost, exactly: all costs are whole numbers, and no answer rests on a rounded one.
//! Nothing here decides what is permitted: an option that the rules forbid is never handed in.

mod bound;
mod conflict;
mod instance;
mod mps;
mod reduce;
mod search;

pub use conflict::Conflict;
pub use instance::{Clash, Group, Instance, Opt, Shared};
pub use mps::Labels;
pub use search::{Solution, solve};
