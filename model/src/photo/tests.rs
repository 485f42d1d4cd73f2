//! Heads made by hand after the specifications; files made by another program are judged in `tests/photos.rs`.

use super::*;

fn png_head(width: u32, height: u32) -> Vec<u8> {
    let mut out = b"\x89PNG\r\n\x1a\n\0\0\0\x0dIHDR".to_vec();
    out.extend(width.to_be_bytes());
    out.extend(height.to_be_bytes());
    out
}

fn jpeg_head(marker: u8, width: u16, height: u16) -> Vec<u8> {
    // A comment, fill bytes, then the frame.
    let mut out = vec![0xff, 0xd8, 0xff, 0xfe, 0, 4, 0xff, 0xc0, 0xff, 0xff, 0xff, marker, 0, 11, 8];
    out.extend(height.to_be_bytes());
    out.extend(width.to_be_bytes());
    out
}

fn said(first: &[u8], claimed: &str) -> &'static str {
    judge(first, first.len() as u64, claimed).expect_err("refused").key
}

#[test]
fn sizes_are_read_from_every_form() {
    for marker in [0xc0, 0xc1, 0xc2, 0xc3, 0xc5, 0xc9, 0xcf] {
        let head = judge(&jpeg_head(marker, 4000, 3000), 99, "image/jpeg").expect("taken");
        assert_eq!(head, Head { kind: Kind::Jpeg, width: 4000, height: 3000 });
    }
    assert_eq!(judge(&png_head(7, 9), 99, "").expect("taken"), Head { kind: Kind::Png, width: 7, height: 9 });
    let mut extended = b"RIFF\0\0\0\0WEBPVP8X\x0a\0\0\0\x10\0\0\0".to_vec();
    extended.extend([0x9f, 0x0f, 0, 0xb7, 0x0b, 0]);
    let head = judge(&extended, 99, "image/webp").expect("taken");
    assert_eq!((head.width, head.height), (4000, 3000));
    let mut lossless = b"RIFF\0\0\0\0WEBPVP8L\0\0\0\0\x2f".to_vec();
    lossless.extend((3999_u32 | 2999 << 14).to_le_bytes());
    let head = judge(&lossless, 99, "image/webp").expect("taken");
    assert_eq!((head.width, head.height), (4000, 3000));
    let mut lossy = b"RIFF\0\0\0\0WEBPVP8 \0\0\0\0\0\0\0\x9d\x01\x2a".to_vec();
    lossy.extend(4000_u16.to_le_bytes());
    lossy.extend(3000_u16.to_le_bytes());
    let head = judge(&lossy, 99, "image/webp").expect("taken");
    assert_eq!((head.width, head.height), (4000, 3000));
}

#[test]
fn what_is_no_photo_is_refused_with_its_reason() {
    assert_eq!(said(b"", "image/jpeg"), "photo-empty");
    assert_eq!(said(b"hello, this is a text", ""), "photo-no-picture");
    assert_eq!(said(b"<svg xmlns=\"a\"/>", "image/svg+xml"), "photo-no-picture");
    assert_eq!(said(b"GIF89a\x01\0\x01\0", "image/gif"), "photo-kind");
    assert_eq!(said(b"\0\0\0\x18ftypheic\0\0\0\0", "image/heic"), "photo-kind");
    assert_eq!(said(&png_head(10, 10), "image/jpeg"), "photo-lies");
    assert_eq!(said(&png_head(10, 10), "text/plain"), "photo-lies");
    assert_eq!(said(&jpeg_head(0xc0, 10, 10)[..16], "image/jpeg"), "photo-cut");
    assert_eq!(said(&png_head(0, 10), "image/png"), "photo-cut");
    assert_eq!(said(&png_head(10_001, 10_000), "image/png"), "photo-pixels");
    assert_eq!(said(&png_head(u32::MAX, u32::MAX), "image/png"), "photo-pixels");
    assert!(judge(&png_head(10_000, 10_000), 99, "image/png").is_ok(), "exactly the most");
    assert_eq!(judge(&png_head(1, 1), FILE_MAX + 1, "").expect_err("refused").key, "photo-large");
    assert!(judge(&png_head(1, 1), FILE_MAX, "").is_ok());
}

#[test]
fn no_bytes_make_it_stumble() {
    let heads = [png_head(5, 5), jpeg_head(0xc2, 5, 5), b"RIFF\0\0\0\0WEBPVP8X\0\0\0\0\0\0\0\0\0\0\0\0\0\0".to_vec()];
    let mut state = 7_u32;
    for head in heads {
        for cut in 0..head.len() {
            let _ = judge(&head[..cut], 99, "");
        }
        for _ in 0..20_000 {
            let mut broken = head.clone();
            for _ in 0..3 {
                state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                let at = (state >> 8) as usize % broken.len();
                broken[at] = (state >> 24) as u8;
            }
            let _ = judge(&broken, 99, "");
        }
    }
}
