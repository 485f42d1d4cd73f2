//! What the first bytes of a picture file say: what kind of file it is and how many pixels it holds.
//!
//! Decides whether a file is taken as a photo, before anything decodes it: a small file can name a picture that no tablet
//! could hold. Never trusts a name or what the browser says of the type, and never reads pixels.
//! Sources: JPEG, ITU-T T.81 annex B; PNG, W3C PNG third edition, 5.2 and 11.2.1; WebP, RFC 9649.

#[cfg(test)]
mod tests;

use crate::error::{Error, Result};
use sha2::{Digest, Sha256};

/// Largest file that is taken, bytes.
pub const FILE_MAX: u64 = 40_000_000;
/// Most pixels that a picture may hold.
pub const PIXELS_MAX: u64 = 100_000_000;
/// How many of the first bytes [`judge`] wants, or all where there are fewer: a JPEG file may carry much before its size.
pub const HEAD: u32 = 1 << 20;

/// A kind of picture file that every browser decodes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// JPEG.
    Jpeg,
    /// PNG.
    Png,
    /// WebP.
    WebP,
}

impl Kind {
    /// Its media type.
    pub fn media_type(self) -> &'static str {
        match self {
            Self::Jpeg => "image/jpeg",
            Self::Png => "image/png",
            Self::WebP => "image/webp",
        }
    }
    fn name(self) -> &'static str {
        match self {
            Self::Jpeg => "JPEG",
            Self::Png => "PNG",
            Self::WebP => "WebP",
        }
    }
}

/// What the head of a picture file says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Head {
    /// Kind of file.
    pub kind: Kind,
    /// Width as stored, before it is turned upright, pixels.
    pub width: u32,
    /// Height as stored, pixels.
    pub height: u32,
}

/// Whether a file is taken as a photo. `first` are its first bytes (see [`HEAD`]), `size` is its size in bytes, `claimed`
/// the media type that it is said to have, or empty.
///
/// # Errors
/// Says what is wrong with the file and what to do.
pub fn judge(first: &[u8], size: u64, claimed: &str) -> Result<Head> {
    let fault = |key: &'static str| Error::new(key, "");
    if size == 0 || first.is_empty() {
        return Err(fault("photo-empty"));
    }
    if size > FILE_MAX {
        return Err(fault("photo-large").with("most", FILE_MAX / 1_000_000));
    }
    let Some(kind) = kind(first) else {
        return Err(match other(first) {
            Some(name) => fault("photo-kind").with("kind", name),
            None => fault("photo-no-picture"),
        });
    };
    let claimed = claimed.trim().to_ascii_lowercase();
    // `image/jpg` is an old way to write it that some systems still use.
    let same = claimed.is_empty() || claimed == kind.media_type() || (claimed == "image/jpg" && kind == Kind::Jpeg);
    if !same {
        return Err(fault("photo-lies").with("claimed", claimed).with("kind", kind.name()));
    }
    let size = match kind {
        Kind::Jpeg => jpeg(first),
        Kind::Png => png(first),
        Kind::WebP => webp(first),
    };
    let Some((width, height)) = size.filter(|(width, height)| *width > 0 && *height > 0) else {
        return Err(fault("photo-cut").with("kind", kind.name()));
    };
    let pixels = u64::from(width) * u64::from(height);
    if pixels > PIXELS_MAX {
        let megapixels = pixels.div_ceil(1_000_000);
        return Err(fault("photo-pixels").with("megapixels", megapixels).with("most", PIXELS_MAX / 1_000_000));
    }
    Ok(Head { kind, width, height })
}

/// SHA-256 of a picture's bytes, as 64 lower-case hexadecimal digits.
pub fn sha256(bytes: &[u8]) -> String {
    use std::fmt::Write as _;
    let mut out = String::with_capacity(64);
    for byte in Sha256::digest(bytes) {
        let _ = write!(out, "{byte:02x}"); // writing to a text cannot fail
    }
    out
}

fn kind(first: &[u8]) -> Option<Kind> {
    if first.starts_with(&[0xff, 0xd8, 0xff]) {
        Some(Kind::Jpeg)
    } else if first.starts_with(b"\x89PNG\r\n\x1a\n") {
        Some(Kind::Png)
    } else if first.starts_with(b"RIFF") && first.get(8..12) == Some(b"WEBP") {
        Some(Kind::WebP)
    } else {
        None
    }
}

/// Pictures and papers that people take for photos and that are not taken, by name.
fn other(first: &[u8]) -> Option<&'static str> {
    let brand = (first.get(4..8) == Some(b"ftyp")).then(|| first.get(8..12)).flatten();
    match (first, brand) {
        (_, Some(b"heic" | b"heix" | b"hevc" | b"mif1" | b"msf1")) => Some("HEIC"),
        (_, Some(b"avif" | b"avis")) => Some("AVIF"),
        (_, Some(_)) => Some("video"),
        ([b'G', b'I', b'F', b'8', ..], _) => Some("GIF"),
        ([b'B', b'M', ..], _) => Some("BMP"),
        ([b'I', b'I', 42, 0, ..] | [b'M', b'M', 0, 42, ..], _) => Some("TIFF"),
        ([b'%', b'P', b'D', b'F', ..], _) => Some("PDF"),
        _ => None,
    }
}

fn two(bytes: &[u8], at: usize) -> Option<u32> {
    Some(u32::from(u16::from_be_bytes(bytes.get(at..at + 2)?.try_into().ok()?)))
}

/// The size in the first start-of-frame segment.
fn jpeg(bytes: &[u8]) -> Option<(u32, u32)> {
    let mut at = 2;
    loop {
        if *bytes.get(at)? != 0xff {
            return None;
        }
        // Any number of fill bytes may stand before a marker.
        while *bytes.get(at)? == 0xff {
            at += 1;
        }
        let marker = bytes[at];
        at += 1;
        match marker {
            // Start of frame: all of 0xC0 to 0xCF but the tables (C4, CC) and a reserved one (C8).
            0xc0..=0xc3 | 0xc5..=0xc7 | 0xc9..=0xcb | 0xcd..=0xcf => {
                return Some((two(bytes, at + 5)?, two(bytes, at + 3)?));
            }
            // Markers without a length, and the scan, before which the size must stand.
            0x01 | 0xd0..=0xd8 => {}
            0x00 | 0xd9 | 0xda => return None,
            _ => {
                let length = two(bytes, at)?;
                if length < 2 {
                    return None;
                }
                at += length as usize;
            }
        }
    }
}

/// The size in the header, which must be the first chunk.
fn png(bytes: &[u8]) -> Option<(u32, u32)> {
    if bytes.get(8..16)? != b"\0\0\0\x0dIHDR" {
        return None;
    }
    let four = |at: usize| Some(u32::from_be_bytes(bytes.get(at..at + 4)?.try_into().ok()?));
    Some((four(16)?, four(20)?))
}

/// The size in the first chunk, of which there are three forms.
fn webp(bytes: &[u8]) -> Option<(u32, u32)> {
    let little = |at: usize, count: usize| {
        bytes.get(at..at + count).map(|bytes| bytes.iter().rev().fold(0_u32, |sum, byte| sum << 8 | u32::from(*byte)))
    };
    match bytes.get(12..16)? {
        b"VP8X" => Some((little(24, 3)? + 1, little(27, 3)? + 1)),
        b"VP8L" if *bytes.get(20)? == 0x2f => {
            let bits = little(21, 4)?;
            Some(((bits & 0x3fff) + 1, (bits >> 14 & 0x3fff) + 1))
        }
        b"VP8 " if bytes.get(23..26)? == [0x9d, 0x01, 0x2a] => Some((little(26, 2)? & 0x3fff, little(28, 2)? & 0x3fff)),
        _ => None,
    }
}
