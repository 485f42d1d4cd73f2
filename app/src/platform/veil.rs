//! A veil over what both stores keep: whoever has the passphrase sets it, and from then on texts and bytes are closed on
//! their way in and opened on their way out.
//!
//! Knows neither key nor cipher. Without a veil, what is closed is as if it were not there: never taken for damage.

use super::Refusal;
use super::bytes::Bytes;
use std::borrow::Cow;
use std::cell::RefCell;
use std::rc::Rc;

/// How a closed text or closed bytes begin; nothing plain begins so.
const MARK: &str = "sealed-";

/// What closes and opens. A place is the key in a store, so that entries cannot change places.
pub trait Veil {
    /// Whether what is written is closed; `false` while the passphrase is being taken away.
    fn closes(&self) -> bool;
    /// Closes a text; `None` where it cannot.
    fn close(&self, place: &str, text: &str) -> Option<String>;
    /// Opens a text; `None` where it cannot.
    fn open(&self, place: &str, text: &str) -> Option<String>;
    /// Closes bytes; `None` where it cannot.
    fn close_bytes(&self, place: &str, bytes: &[u8]) -> Option<Vec<u8>>;
    /// Opens bytes; `None` where it cannot.
    fn open_bytes(&self, place: &str, bytes: &[u8]) -> Option<Vec<u8>>;
}

thread_local! {
    static VEIL: RefCell<Option<Rc<dyn Veil>>> = const { RefCell::new(None) };
}

/// Sets the veil. It stays until the page is left.
pub fn set(veil: Rc<dyn Veil>) {
    VEIL.with(|slot| *slot.borrow_mut() = Some(veil));
}

fn get() -> Option<Rc<dyn Veil>> {
    VEIL.with(|slot| slot.borrow().clone())
}

/// Whether there is one.
#[must_use]
pub fn is_set() -> bool {
    get().is_some()
}

/// Whether a text is closed.
#[must_use]
pub fn is_closed(text: &str) -> bool {
    text.starts_with(MARK)
}

fn cannot() -> Refusal {
    Refusal::Broken("SealError".to_owned())
}

/// A text on its way in.
pub(super) fn close<'t>(place: &str, text: &'t str) -> Result<Cow<'t, str>, Refusal> {
    match get().filter(|veil| veil.closes() && !is_closed(text)) {
        Some(veil) => veil.close(place, text).map(Cow::Owned).ok_or_else(cannot),
        None => Ok(Cow::Borrowed(text)),
    }
}

/// A text on its way out. `None` where it is closed and there is no veil; one that is damaged stays as it is.
pub(super) fn open(place: &str, text: String) -> Option<String> {
    if !is_closed(&text) {
        return Some(text);
    }
    let opened = get()?.open(place, &text);
    Some(opened.unwrap_or(text))
}

/// Bytes on their way in.
pub(super) fn close_bytes<'b>(place: &str, bytes: &'b Bytes) -> Result<Cow<'b, Bytes>, Refusal> {
    match get().filter(|veil| veil.closes() && !is_closed_bytes(bytes)) {
        Some(veil) => {
            let closed = veil.close_bytes(place, &bytes.to_vec()).ok_or_else(cannot)?;
            Ok(Cow::Owned(Bytes::new(&closed)))
        }
        None => Ok(Cow::Borrowed(bytes)),
    }
}

/// Bytes on their way out; `None` where they are closed and cannot be opened.
pub(super) fn open_bytes(place: &str, bytes: Bytes) -> Option<Bytes> {
    if !is_closed_bytes(&bytes) {
        return Some(bytes);
    }
    Some(Bytes::new(&get()?.open_bytes(place, &bytes.to_vec())?))
}

fn is_closed_bytes(bytes: &Bytes) -> bool {
    bytes.first(MARK.len() as u32) == MARK.as_bytes()
}

/// A stored text as it should stand now, where that differs from how it stands.
pub(super) fn again(place: &str, text: &str) -> Result<Option<String>, Refusal> {
    let Some(veil) = get() else { return Ok(None) };
    match (veil.closes(), is_closed(text)) {
        (true, false) => veil.close(place, text).map(Some).ok_or_else(cannot),
        // What cannot be opened stays: it is not lost, and not for this to judge.
        (false, true) => Ok(veil.open(place, text)),
        _ => Ok(None),
    }
}

/// The same for bytes.
pub(super) fn again_bytes(place: &str, bytes: &Bytes) -> Result<Option<Bytes>, Refusal> {
    let Some(veil) = get() else { return Ok(None) };
    let new = match (veil.closes(), is_closed_bytes(bytes)) {
        (true, false) => Some(veil.close_bytes(place, &bytes.to_vec()).ok_or_else(cannot)?),
        (false, true) => veil.open_bytes(place, &bytes.to_vec()),
        _ => None,
    };
    Ok(new.map(|new| Bytes::new(&new)))
}
