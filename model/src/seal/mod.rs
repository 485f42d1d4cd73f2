//! Privacy at rest: jobs, cards and pictures closed under a passphrase before a store sees them.
//!
//! A random data key closes every entry (XChaCha20-Poly1305, draft-irtf-cfrg-xchacha); the passphrase, made slow to guess
//! by Argon2id (RFC 9106), closes the data key, so that a new passphrase rewrites nothing else. Each entry is tied to its
//! key in the store, so that entries cannot change places. Whoever forgets the passphrase has lost what it closes; nothing
//! here can recover it.
//!
//! What is not hidden: keys of entries (job names, change ids), how many there are and how long, the shop's settings.
//! Randomness comes in as bytes; nothing here stores anything, and no key or passphrase is ever printed.

mod entry;
mod lock;

pub use entry::{Sealer, is_sealed, is_sealed_bytes};
pub use lock::{Cost, DataKey, Lock, PASSPHRASE_LEAST, Stage};

/// Random bytes that closing one entry takes.
pub const NONCE: usize = 24;
/// Random bytes that a new lock takes: data key, salt and nonce.
pub const FRESH: usize = 32 + 16 + NONCE;
