//! Which words of state fit on the map, and where, without lying on each other or on the selected mark.
//!
//! Pure and greedy: earlier wishes win. A word that finds no room is left out here; the hatch, the line style and the
//! list of findings still tell it.

use super::camera::{Frame, Xy};

/// How much further out a word moves when it finds no room beside its part, CSS pixels.
const FAR_PX: f64 = 36.0;

/// A word that wants a place.
#[derive(Clone, Debug, PartialEq)]
pub struct Wish {
    /// What it says.
    pub text: String,
    /// Where its middle should stand, CSS pixels.
    pub at: Xy,
    /// Room that the part offers, CSS pixels: width and height.
    pub room: Xy,
    /// Whether it must show even where it is wider than its part.
    pub must: bool,
}

/// Width of a word in pixels at a letter height; wide enough for any system font.
#[must_use]
pub fn width(text: &str, letter_px: f64) -> f64 {
    #[allow(clippy::cast_precision_loss)] // words are short
    let letters = text.chars().count() as f64;
    letters * letter_px * 0.6 + letter_px
}

/// The wishes that are granted, by index, with where the middle of each word stands.
#[must_use]
pub fn granted(wishes: &[Wish], keep_clear: &[Frame], letter_px: f64) -> Vec<(usize, Xy)> {
    let high = letter_px * 1.5;
    let mut taken: Vec<Frame> = keep_clear.to_vec();
    let mut out = Vec::new();
    let order = (0..wishes.len()).filter(|i| wishes[*i].must).chain((0..wishes.len()).filter(|i| !wishes[*i].must));
    for index in order {
        let wish = &wishes[index];
        let wide = width(&wish.text, letter_px);
        if !wish.must && (wish.room.0 * 1.25 < wide || wish.room.1 * 1.6 < high) {
            continue;
        }
        let frame = |at: Xy| Frame { left: at.0 - wide / 2.0, top: at.1 - high / 2.0, width: wide, height: high };
        // In the middle, or else towards the part's upper or lower edge, or just outside of it where it must show.
        let inner = ((wish.room.1 - high) / 2.0).max(0.0);
        let outer = (wish.room.1 + high) / 2.0;
        let steps: &[f64] = if wish.must { &[0.0, -1.0, 1.0, -2.0, 2.0, -3.0, 3.0] } else { &[0.0, -1.0, 1.0] };
        let spot = steps
            .iter()
            .map(|step| match step.abs() {
                s if s > 2.5 => (wish.at.0, wish.at.1 + (outer + FAR_PX) * step.signum()),
                s if s > 1.5 => (wish.at.0, wish.at.1 + outer * step.signum()),
                _ => (wish.at.0, wish.at.1 + inner * step),
            })
            .find(|at| taken.iter().all(|other| apart(&frame(*at), other)))
            .or(wish.must.then_some(wish.at));
        if let Some(at) = spot {
            taken.push(frame(at));
            out.push((index, at));
        }
    }
    out.sort_unstable_by_key(|(index, _)| *index);
    out
}

fn apart(one: &Frame, other: &Frame) -> bool {
    one.left + one.width <= other.left
        || other.left + other.width <= one.left
        || one.top + one.height <= other.top
        || other.top + other.height <= one.top
}

#[cfg(test)]
mod tests {
    use super::*;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    fn wish(text: &str, x: f64, room: f64, must: bool) -> Wish {
        Wish { text: text.into(), at: (x, 100.0), room: (room, 22.0), must }
    }

    fn indices(wishes: &[Wish]) -> Vec<usize> {
        granted(wishes, &[], 15.0).into_iter().map(|(index, _)| index).collect()
    }

    #[test]
    fn words_never_lie_on_each_other() {
        let wishes = [
            wish("Replace", 100.0, 200.0, false),
            wish("Repair", 120.0, 200.0, false),
            wish("Leave", 300.0, 90.0, false),
        ];
        assert_eq!(indices(&wishes), [0, 2]);
    }

    #[test]
    fn a_word_wider_than_its_part_shows_only_where_it_must() {
        assert!(indices(&[wish("Replace", 100.0, 30.0, false)]).is_empty());
        assert_eq!(indices(&[wish("Replace", 100.0, 30.0, true)]), [0]);
    }

    #[test]
    fn a_word_moves_off_the_selected_mark() {
        let mark = Frame { left: 80.0, top: 85.0, width: 40.0, height: 30.0 };
        let tall = Wish { room: (200.0, 160.0), ..wish("Repair", 100.0, 200.0, true) };
        let spots = granted(&[tall], &[mark], 15.0);
        assert!((spots[0].1.1 - 100.0).abs() > 26.0, "{spots:?}");
    }
}
