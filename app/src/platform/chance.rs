//! Names that nobody else makes: random letters and digits.

use std::cell::RefCell;

/// How many bytes are asked for at once: asking takes some 0.1 ms, and each tap that makes a mark needs a name.
const STOCK: usize = 256;

thread_local! {
    /// Random bytes that nobody has used yet. For names alone: keys and nonces are asked for by themselves.
    static UNUSED: RefCell<Vec<u8>> = const { RefCell::new(Vec::new()) };
}

/// A random name of `length` characters (at most 64) out of `a`–`z` and `0`–`9`, beginning with `first`.
#[must_use]
pub fn name(first: char, length: usize) -> String {
    const ALPHABET: &[u8; 36] = b"abcdefghijklmnopqrstuvwxyz0123456789";
    // Two bytes a character keep the letters even to within one part in a thousand.
    let bytes = UNUSED.with_borrow_mut(|unused| {
        if unused.len() < length * 2 {
            *unused = fresh();
        }
        unused.split_off(unused.len().saturating_sub(length * 2))
    });
    let mut out = String::from(first);
    out.extend(
        bytes
            .chunks_exact(2)
            .skip(1)
            .map(|pair| char::from(ALPHABET[(usize::from(pair[0]) << 8 | usize::from(pair[1])) % 36])),
    );
    out
}

/// A stock of random bytes; where the browser has no source fit for keys, those of its plain generator.
fn fresh() -> Vec<u8> {
    if let Some(bytes) = bytes::<STOCK>() {
        return bytes.to_vec();
    }
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // 0 to 255
    (0..STOCK).map(|_| (js_sys::Math::random() * 256.0) as u8).collect()
}

/// Random bytes fit for a key; `None` where the browser has no source of them.
#[must_use]
pub fn bytes<const N: usize>() -> Option<[u8; N]> {
    let mut out = [0; N];
    let crypto = web_sys::window()?.crypto().ok()?;
    crypto.get_random_values_with_u8_array(&mut out).ok()?;
    Some(out)
}
