//! The lock: the data key, closed under the passphrase, with all that is needed to try one. It is kept beside the jobs;
//! without it nothing can be opened, so that it is never written over before its successor is safe.

use super::entry::Sealer;
use super::{FRESH, NONCE};
use crate::error::{Error, Result};
use argon2::{Algorithm, Argon2, Params, Version};
use base64ct::{Base64Unpadded, Encoding};
use serde::{Deserialize, Serialize};
use zeroize::Zeroizing;

const FORMAT: &str = "cutline-lock";
const VERSION: u32 = 1;
/// What the closed data key is tied to.
const PLACE: &str = "cutline-lock/1";
/// Fewest characters of a passphrase (NIST SP 800-63B-4, section 3.1.1.2, the least for a passphrase that stands beside
/// another safeguard, here the tablet's own lock).
pub const PASSPHRASE_LEAST: usize = 8;

/// The key that closes every entry; wiped from memory when it is dropped.
pub type DataKey = Zeroizing<[u8; 32]>;

/// What one try of a passphrase costs. RFC 9106, section 4, explains the three numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cost {
    /// Memory, KiB.
    pub memory_kib: u32,
    /// Passes over it.
    pub passes: u32,
    /// Lanes.
    pub lanes: u32,
}

impl Cost {
    /// For tablets: OWASP Password Storage Cheat Sheet, Argon2id, 19 MiB and two passes.
    pub const TABLET: Self = Self { memory_kib: 19_456, passes: 2, lanes: 1 };
}

/// How far closing or opening all entries has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Stage {
    /// Entries are being closed; some are still plain.
    Closing,
    /// Every entry is closed.
    Closed,
    /// The passphrase is being taken away; some entries are still closed.
    Opening,
}

/// What is kept beside the jobs.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Lock {
    format: String,
    version: u32,
    /// How far all entries are.
    pub stage: Stage,
    cost: Cost,
    /// 16 bytes in base64 without padding.
    salt: String,
    /// Nonce and closed data key, likewise.
    key: String,
}

fn damaged() -> Error {
    Error::new("error-seal-lock", "")
}

impl Lock {
    /// A new lock with a new data key; `fresh` must be random.
    ///
    /// # Errors
    /// Where the passphrase is too short or the cost is none.
    pub fn new(passphrase: &str, cost: Cost, fresh: &[u8; FRESH]) -> Result<(Self, Sealer, DataKey)> {
        let mut key = Zeroizing::new([0; 32]);
        key.copy_from_slice(&fresh[..32]);
        let lock = Self::around(&key, passphrase, cost, &fresh[32..], Stage::Closing)?;
        Ok((lock, Sealer::new(&key), key))
    }

    /// The same data key under another passphrase; the first 32 of the `fresh` bytes are not used.
    ///
    /// # Errors
    /// As [`new`](Self::new).
    pub fn renew(&self, key: &[u8; 32], passphrase: &str, cost: Cost, fresh: &[u8; FRESH]) -> Result<Self> {
        Self::around(key, passphrase, cost, &fresh[32..], self.stage)
    }

    fn around(key: &[u8; 32], passphrase: &str, cost: Cost, fresh: &[u8], stage: Stage) -> Result<Self> {
        if passphrase.chars().count() < PASSPHRASE_LEAST {
            return Err(Error::new("error-seal-short", "").with("least", PASSPHRASE_LEAST));
        }
        let (salt, nonce) = fresh.split_at(16);
        let nonce: &[u8; NONCE] = nonce.try_into().map_err(|_| damaged())?;
        let closed = wrapper(passphrase, cost, salt)?.close(PLACE, key, nonce)?;
        Ok(Self {
            format: FORMAT.to_owned(),
            version: VERSION,
            stage,
            cost,
            salt: Base64Unpadded::encode_string(salt),
            key: Base64Unpadded::encode_string(&closed),
        })
    }

    /// Tries a passphrase. Slow on purpose.
    ///
    /// # Errors
    /// `error-seal-wrong`, whichever part does not fit; `error-seal-lock` where the lock is none.
    pub fn unlock(&self, passphrase: &str) -> Result<(Sealer, DataKey)> {
        let salt = Base64Unpadded::decode_vec(&self.salt).map_err(|_| damaged())?;
        let closed = Base64Unpadded::decode_vec(&self.key).map_err(|_| damaged())?;
        let wrong = || Error::new("error-seal-wrong", "");
        let opened = wrapper(passphrase, self.cost, &salt)?.unclose(PLACE, &closed).map_err(|_| wrong())?;
        let opened = Zeroizing::new(opened);
        let mut key = Zeroizing::new([0; 32]);
        if opened.len() != key.len() {
            return Err(wrong());
        }
        key.copy_from_slice(&opened);
        Ok((Sealer::new(&key), key))
    }

    /// Reads a kept lock.
    ///
    /// # Errors
    /// `error-seal-newer` for one of a newer program, `error-seal-lock` where it is none.
    pub fn read(text: &str) -> Result<Self> {
        #[derive(Deserialize)]
        struct Head {
            version: u32,
        }
        let head: Head = serde_json::from_str(text).map_err(|_| damaged())?;
        if head.version > VERSION {
            return Err(Error::new("error-seal-newer", "").with("version", head.version));
        }
        let lock: Self = serde_json::from_str(text).map_err(|_| damaged())?;
        if lock.format == FORMAT && lock.version == VERSION { Ok(lock) } else { Err(damaged()) }
    }

    /// The text to keep.
    pub fn text(&self) -> String {
        serde_json::to_string(self).unwrap_or_default() // texts and numbers always have a JSON text
    }
}

/// The key that a passphrase makes.
fn wrapper(passphrase: &str, cost: Cost, salt: &[u8]) -> Result<Sealer> {
    // An altered lock must not take all memory or all day.
    let sane = (8..=262_144).contains(&cost.memory_kib) && (1..=16).contains(&cost.passes);
    if !sane || !(1..=8).contains(&cost.lanes) {
        return Err(damaged());
    }
    let params = Params::new(cost.memory_kib, cost.passes, cost.lanes, Some(32)).map_err(|_| damaged())?;
    let mut key = Zeroizing::new([0; 32]);
    Argon2::new(Algorithm::Argon2id, Version::V0x13, params)
        .hash_password_into(passphrase.as_bytes(), salt, key.as_mut())
        .map_err(|_| damaged())?;
    Ok(Sealer::new(&key))
}
