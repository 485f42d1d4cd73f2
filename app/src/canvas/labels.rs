//! Which words of state fit on the map without lying on each other.
//!
//! Pure and greedy: earlier wishes win. A word that finds no room is left out here; the hatch, the line style and the
//! list of findings still tell it.

use super::camera::{Frame, Xy};

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

/// The indices of the wishes that are granted.
#[must_use]
pub fn granted(wishes: &[Wish], letter_px: f64) -> Vec<usize> {
    let high = letter_px * 1.5;
    let mut taken: Vec<Frame> = Vec::new();
    let mut out = Vec::new();
    let order = (0..wishes.len()).filter(|i| wishes[*i].must).chain((0..wishes.len()).filter(|i| !wishes[*i].must));
    for index in order {
        let wish = &wishes[index];
        let wide = width(&wish.text, letter_px);
        if !wish.must && (wish.room.0 * 1.25 < wide || wish.room.1 * 1.6 < high) {
            continue;
        }
        let frame = Frame { left: wish.at.0 - wide / 2.0, top: wish.at.1 - high / 2.0, width: wide, height: high };
        let free = taken.iter().all(|other| {
            frame.left + frame.width <= other.left
                || other.left + other.width <= frame.left
                || frame.top + frame.height <= other.top
                || other.top + other.height <= frame.top
        });
        if free {
            taken.push(frame);
            out.push(index);
        }
    }
    out.sort_unstable();
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wish(text: &str, x: f64, room: f64, must: bool) -> Wish {
        Wish { text: text.into(), at: (x, 100.0), room: (room, 80.0), must }
    }

    #[test]
    fn words_never_lie_on_each_other() {
        let wishes = [wish("Replace", 100.0, 200.0, false), wish("Repair", 120.0, 200.0, false), wish("Leave", 300.0, 90.0, false)];
        assert_eq!(granted(&wishes, 15.0), [0, 2]);
    }

    #[test]
    fn a_word_wider_than_its_part_shows_only_where_it_must() {
        assert!(granted(&[wish("Replace", 100.0, 30.0, false)], 15.0).is_empty());
        assert_eq!(granted(&[wish("Replace", 100.0, 30.0, true)], 15.0), [0]);
        let both = [wish("Repair", 100.0, 200.0, false), wish("Replace", 110.0, 30.0, true)];
        assert_eq!(granted(&both, 15.0), [1], "the one that must show goes first");
    }
}
