//! The words of state on a drawing: where each stands, and which of them find room.
//!
//! Words are those of the model's actions; nothing here decides a state.

use super::camera::Frame;
use super::labels::{self, Wish};
use crate::words::cap;
use model::ids::PartId;
use model::scene::{Overlay, Scene};

/// Letter height of the words, pixels; the style sheet uses the same.
const LETTER_PX: f64 = 15.0;

/// The words that fit, in pixels from the drawing's origin at a scale: x, y, word, state. The word of `must` shows even
/// where it is wider than its part; none stands in a frame that is to be kept clear, if it can help it.
#[must_use]
pub fn state_words(
    scene: &Scene,
    overlay: &Overlay,
    scale: f64,
    must: Option<&PartId>,
    keep_clear: &[Frame],
) -> Vec<(f64, f64, String, &'static str)> {
    let wishes: Vec<Wish> = overlay
        .parts
        .iter()
        .map(|part| {
            let item = scene
                .panels
                .iter()
                .flat_map(|panel| panel.items.iter())
                .find(|item| item.part == part.part && (item.bounds.centre().a - part.label.a).abs() < 1.0);
            let room = item.map_or((0.0, 0.0), |item| (item.bounds.width() * scale, item.bounds.height() * scale));
            Wish {
                text: cap(part.action.key()),
                at: (part.label.a * scale, part.label.b * scale),
                room,
                must: must == Some(&part.part),
            }
        })
        .collect();
    labels::granted(&wishes, keep_clear, LETTER_PX)
        .into_iter()
        .map(|(index, at)| {
            (at.0, at.1 + LETTER_PX * 0.35, wishes[index].text.clone(), overlay.parts[index].action.word())
        })
        .collect()
}
