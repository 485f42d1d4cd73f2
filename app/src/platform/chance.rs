//! Names that nobody else makes: random letters and digits.

/// A random name of `length` characters out of `a`–`z` and `0`–`9`, beginning with `first`.
#[must_use]
pub fn name(first: char, length: usize) -> String {
    const ALPHABET: &[u8; 36] = b"abcdefghijklmnopqrstuvwxyz0123456789";
    let mut bytes = vec![0_u8; length * 2];
    let filled = web_sys::window()
        .and_then(|window| window.crypto().ok())
        .is_some_and(|crypto| crypto.get_random_values_with_u8_array(&mut bytes).is_ok());
    if !filled {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // 0 to 255
        bytes.iter_mut().for_each(|byte| *byte = (js_sys::Math::random() * 256.0) as u8);
    }
    let mut out = String::from(first);
    // Two bytes a character keep the letters even to within one part in a thousand.
    out.extend(
        bytes
            .chunks_exact(2)
            .skip(1)
            .map(|pair| char::from(ALPHABET[(usize::from(pair[0]) << 8 | usize::from(pair[1])) % 36])),
    );
    out
}

/// Random bytes fit for a key; `None` where the browser has no source of them.
#[must_use]
pub fn bytes<const N: usize>() -> Option<[u8; N]> {
    let mut out = [0; N];
    let crypto = web_sys::window()?.crypto().ok()?;
    crypto.get_random_values_with_u8_array(&mut out).ok()?;
    Some(out)
}
