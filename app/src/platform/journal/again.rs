//! Writes stored values again as the veil wants them, a few in one transaction: read and written in the same one, so that
//! nothing newer is written over, and stopped at any moment without loss.

use super::request::{answered, completed, store, texts};
use super::{CARDS, ENTRIES, Journal, PICTURES, Refusal, place};
use crate::platform::bytes::Bytes;
use crate::platform::quick::refusal;
use crate::platform::veil;
use js_sys::{Array, ArrayBuffer};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::IdbKeyRange;

/// What is under the veil, and how many values of it are taken at once: pictures are large.
const VEILED: [(&str, u32); 3] = [(ENTRIES, 200), (CARDS, 200), (PICTURES, 2)];

impl Journal {
    /// Brings every entry, card and picture into the form that the veil wants. `tell` hears how many have been looked at.
    ///
    /// # Errors
    /// Where the browser refuses; what was written until then stands, and the rest is as it was.
    pub async fn write_again(&self, tell: impl Fn(usize)) -> Result<(), Refusal> {
        let mut seen = 0;
        for (name, most) in VEILED {
            let mut behind = None;
            while let Some(last) = self.some_again(name, behind.as_deref(), most, &mut seen).await? {
                tell(seen);
                behind = Some(last);
            }
        }
        Ok(())
    }

    /// Some values behind a key; the last key, or `None` at the end.
    async fn some_again(
        &self,
        name: &str,
        behind: Option<&str>,
        most: u32,
        seen: &mut usize,
    ) -> Result<Option<String>, Refusal> {
        let thrown = |thrown: JsValue| refusal(&thrown);
        let range: JsValue = match behind {
            Some(key) => IdbKeyRange::lower_bound_with_open(&key.into(), true).map_err(thrown)?.into(),
            None => JsValue::UNDEFINED,
        };
        let transaction = self.begin(&[name], true).await?;
        let done = completed(&transaction);
        let store = store(&transaction, name)?;
        let keys = store.get_all_keys_with_key_and_limit(&range, most).map_err(thrown)?;
        let values = store.get_all_with_key_and_limit(&range, most).map_err(thrown)?;
        let (keys, values) = (answered(&keys), answered(&values));
        let keys = texts(&keys.await?);
        let values: Array = values.await?.unchecked_into();
        for (key, value) in keys.iter().zip(values.iter()) {
            let place = place(name, key);
            let new: Option<JsValue> = if let Some(text) = value.as_string() {
                veil::again(&place, &text)?.map(Into::into)
            } else if let Ok(bytes) = value.dyn_into::<ArrayBuffer>() {
                veil::again_bytes(&place, &Bytes(bytes))?.map(|bytes| bytes.0.into())
            } else {
                None
            };
            if let Some(new) = new {
                store.put_with_key(&new, &key.into()).map_err(thrown)?;
            }
        }
        done.await?;
        *seen += keys.len();
        Ok(keys.into_iter().next_back())
    }
}
