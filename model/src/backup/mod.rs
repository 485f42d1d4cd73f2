//! A backup: one file with everything, to be kept elsewhere and joined again with what is here.
//!
//! The container is a POSIX ustar archive that any tar program opens: first `manifest.json` (`public/schema/
//! backup.schema.json`), then entries whose names carry the SHA-256 of their bytes, so that each proves itself alone: a
//! file that is cut short or damaged still gives back all that is whole, and the manifest names the rest. Reading order:
//! [`Name`], [`Making`], [`Reader`] and [`Found`], [`Plan`].
//!
//! Nothing here overwrites: what a restore takes is added to what is known. Never writes a file, follows a path, or holds
//! a picture or more than one job in memory; no clock is asked.

pub mod due;
mod found;
mod header;
mod make;
mod manifest;
mod name;
mod plan;
mod read;

pub use found::{Found, FoundJob, FoundPhoto, Missing, Place, Refused};
pub use make::{BLOCK, Making, Piece};
pub use manifest::Made;
pub use name::Name;
pub use plan::{Known, Plan, PlannedJob, ShopPart};
pub use read::{Reader, read};

/// What the manifest calls itself.
pub const FORMAT: &str = "cutline-backup";
/// The newest version that this program writes and reads.
pub const VERSION: u32 = 1;
/// Most entries of one file, some twenty times what a large shop has; a file with more is refused.
pub const ENTRIES_MAX: usize = 500_000;
/// Longest manifest, bytes.
pub const MANIFEST_MAX: u64 = 128 << 20;
/// Longest entry of the shop, bytes.
pub const SHOP_MAX: u64 = 16 << 20;
/// Longest picture, bytes.
pub const PHOTO_MAX: u64 = 256 << 20;
