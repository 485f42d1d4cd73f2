//! One header block of the archive, over the `tar` crate: only ordinary files under plain names are known.

use super::BLOCK;
use crate::error::{Error, Result};
use tar::{EntryType, Header};

/// A header that is one.
pub(super) struct Head {
    /// The name, as text.
    pub name: String,
    /// Bytes that follow.
    pub size: u64,
    /// Whether it is an ordinary file; links, devices and folders are not.
    pub plain: bool,
}

/// Reads a block; `None` where it is no header of a ustar archive (its own sum must be right).
pub(super) fn read(block: &[u8; BLOCK]) -> Option<Head> {
    let header = Header::from_byte_slice(block);
    header.as_ustar()?;
    // POSIX: the sum of all bytes, those of the sum's own field counted as spaces.
    let sum: u32 =
        block.iter().enumerate().map(|(at, byte)| if (148..156).contains(&at) { 32 } else { u32::from(*byte) }).sum();
    if header.cksum().ok()? != sum {
        return None;
    }
    let name = String::from_utf8(header.path_bytes().into_owned()).ok()?;
    let plain = matches!(header.entry_type(), EntryType::Regular | EntryType::Continuous)
        && header.link_name_bytes().is_none_or(|link| link.is_empty());
    Some(Head { name, size: header.entry_size().ok()?, plain })
}

/// Writes a block for an ordinary file; `at_s` is seconds since 1970.
///
/// # Errors
/// Where the name is too long for the archive, which none of ours is.
pub(super) fn write(name: &str, size: u64, at_s: u64) -> Result<[u8; BLOCK]> {
    let mut header = Header::new_ustar();
    header.set_path(name).map_err(|error| Error::new("error-backup-name", name).with("detail", error))?;
    header.set_size(size);
    header.set_mode(0o644);
    header.set_uid(0);
    header.set_gid(0);
    header.set_mtime(at_s);
    header.set_entry_type(EntryType::Regular);
    header.set_cksum();
    Ok(*header.as_bytes())
}

/// Bytes of zero that follow an entry of this size.
pub(super) fn pad(size: u64) -> usize {
    #[allow(clippy::cast_possible_truncation)] // below a block
    let over = (size % BLOCK as u64) as usize;
    if over == 0 { 0 } else { BLOCK - over }
}
