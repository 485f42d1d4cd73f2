//! Where the words of a cut map stand: off each other, off the handles and, as far as can be, off the lines. A part too slim
//! for words has them beside it, each with a thin line to what it names.
//!
//! Pixels and millimetres only; which words there are is the drawing's.

use super::cutpaper::Sheet;
use leptos::prelude::*;
use model::geometry::{Bounds, Point};
use model::scene::CutMap;

/// Height of a word, CSS pixels.
const WORD_PX: f64 = 14.0;
/// Width of a letter over the height of its word, in light and in bold face.
const LETTER: [f64; 2] = [0.6, 0.7];
/// Room that a row of words takes, CSS pixels.
const ROW_PX: f64 = 18.0;
/// A part that is nowhere broader than that has no words on it, CSS pixels.
const SLIM_PX: f64 = 72.0;
/// How far from the part the nearest word beside it stands, CSS pixels.
const BESIDE_PX: f64 = 13.0;
/// Steps aside that a word beside the part may take, CSS pixels.
const STEP_PX: f64 = 20.0;

/// What a word says, in the order of its claim to a place.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Says {
    /// A distance: it finds a place in any case where one is free of other words.
    Size,
    /// Why no cut runs here: where there is room.
    Zone,
    /// That a piece goes: in the middle of it, where there is room.
    Goes,
    /// The name of a piece: likewise.
    Piece,
}

impl Says {
    fn class(self) -> &'static str {
        match self {
            Self::Size => "cut-word cut-word-size",
            Self::Zone => "cut-word cut-word-zone",
            Self::Goes => "cut-word cut-word-goes",
            Self::Piece => "cut-word",
        }
    }

    /// Whether it is set in bold face.
    fn is_bold(self) -> bool {
        matches!(self, Self::Size | Self::Goes)
    }
}

/// Words that do not lie on each other; the first come first.
pub(super) struct Words {
    /// Millimetres of a CSS pixel.
    px: f64,
    sheet: Bounds,
    part: Bounds,
    /// Whether words stand beside the part, and whether the part stands upright.
    slim: Option<bool>,
    placed: Vec<Bounds>,
    lines: Vec<Bounds>,
    pub(super) out: Vec<AnyView>,
}

impl Words {
    pub(super) fn new(map: &CutMap, sheet: &Sheet, px: f64) -> Self {
        let part = map.bounds;
        let least = part.width().min(part.height()) / px;
        let around = |p: Point, by: f64| Bounds {
            low: Point::new(p.a - by * px, p.b - by * px),
            high: Point::new(p.a + by * px, p.b + by * px),
        };
        let lines = map.lines.iter().flat_map(|line| {
            let (p, q) = line.ends;
            let at = move |share: f64| Point::new(p.a + (q.a - p.a) * share, p.b + (q.b - p.b) * share);
            // A little past the part at both ends, as the lines are drawn.
            (-1..=16_i32).map(move |n| {
                let (one, other) = (at(f64::from(n) / 16.0), at(f64::from(n + 1) / 16.0));
                around(one, 3.0).join(&around(other, 3.0))
            })
        });
        Self {
            px,
            sheet: sheet.bounds(),
            part,
            slim: (least < SLIM_PX).then_some(part.height() > part.width()),
            placed: Vec::new(),
            lines: lines.collect(),
            out: Vec::new(),
        }
    }

    /// Whether a word is no longer than so many millimetres.
    fn fits(&self, text: &str, says: Says, mm: f64) -> bool {
        self.wide(text, says) < mm
    }

    /// How wide a word is, mm.
    fn wide(&self, text: &str, says: Says) -> f64 {
        #[allow(clippy::cast_precision_loss)] // a word has few letters
        let letters = text.chars().count() as f64;
        letters * WORD_PX * LETTER[usize::from(says.is_bold())] * self.px
    }

    /// Keeps words off a place; sizes in CSS pixels.
    pub(super) fn keep_free(&mut self, at: Point, wide: f64, high: f64) {
        let (a, b) = (wide / 2.0 * self.px, high / 2.0 * self.px);
        self.placed.push(Bounds { low: Point::new(at.a - a, at.b - b), high: Point::new(at.a + a, at.b + b) });
    }

    /// A distance, with what it is measured to where there is room for that: on its line of that length, or beside a slim
    /// part.
    pub(super) fn size(&mut self, at: Point, mm: f64, long: String, short: String) {
        let most = if self.slim == Some(false) { 0.4 * self.sheet.width() } else { mm };
        if !(self.fits(&long, Says::Size, most) && self.put(at, &long, Says::Size)) {
            self.put(at, &short, Says::Size);
        }
    }

    /// The name of a no-cut area.
    pub(super) fn zone(&mut self, middle: Point, text: &str) {
        let at = if self.slim.is_some() { middle } else { Point::new(middle.a, middle.b - 16.0 * self.px) };
        self.put(at, text, Says::Zone);
    }

    /// In the middle of a piece, if it fits.
    pub(super) fn within(&mut self, bounds: &Bounds, text: &str, says: Says) {
        let high = WORD_PX * 1.3 * self.px;
        if self.slim.is_none() && self.fits(text, says, bounds.width()) && high < bounds.height() {
            self.put(bounds.centre(), text, says);
        }
    }

    fn put(&mut self, at: Point, text: &str, says: Says) -> bool {
        match self.slim {
            Some(upright) => self.beside(at, text, says, upright),
            None => self.on(at, text, says),
        }
    }

    /// At this place, or a little beside, above or below it; nowhere if all of that is taken.
    fn on(&mut self, at: Point, text: &str, says: Says) -> bool {
        let (half, row) = ((self.wide(text, says) + 6.0 * self.px) / 2.0, ROW_PX * self.px);
        let aside = half + 8.0 * self.px;
        let tries = [
            (0.0, 0.0),
            (0.0, -row),
            (0.0, row),
            (aside, 0.0),
            (-aside, 0.0),
            (aside, -row),
            (-aside, -row),
            (aside, row),
            (-aside, row),
            (0.0, -2.0 * row),
            (0.0, 2.0 * row),
        ];
        let boxes: Vec<Bounds> = tries.iter().map(|by| self.boxed(self.inside(at, *by, half), half)).collect();
        let free = |own: &&Bounds| !self.is_taken(own);
        let clear = |own: &&Bounds| !self.lines.iter().any(|line| line.near(own, 0.0));
        let found = boxes.iter().filter(free).find(clear);
        // A distance says what no other word says: it may lie on a line.
        let found = found.or_else(|| boxes.iter().filter(|_| says == Says::Size).find(free)).copied();
        found.map(|own| self.write(own, text, says)).is_some()
    }

    /// Beside a slim part, as near as can be, with a line to the place.
    fn beside(&mut self, at: Point, text: &str, says: Says, upright: bool) -> bool {
        let (half, row) = ((self.wide(text, says) + 6.0 * self.px) / 2.0, ROW_PX / 2.0 * self.px);
        let off = BESIDE_PX * self.px;
        let mut tries: Vec<(f64, Point)> = Vec::new();
        for step in -6..=6_i32 {
            let along = f64::from(step) * STEP_PX * self.px;
            for line in 0..3_u8 {
                let away = off + f64::from(line) * ROW_PX * self.px;
                if upright {
                    let lane = f64::from(line) * 2.0 * STEP_PX * self.px;
                    tries.push((along.abs() + lane, Point::new(self.part.high.a + off + half + lane, at.b + along)));
                    tries.push((along.abs() + lane, Point::new(self.part.low.a - off - half - lane, at.b + along)));
                } else {
                    let (over, under) = (self.part.low.b - away, self.part.high.b + away);
                    tries.push((along.abs() + at.b - over, Point::new(at.a + along, over)));
                    tries.push((along.abs() + under - at.b, Point::new(at.a + along, under)));
                }
            }
        }
        tries.sort_by(|one, other| one.0.total_cmp(&other.0));
        let found = tries.into_iter().find_map(|(_, middle)| {
            let own = self.boxed(middle, half);
            let lead = [near(&own, at), at];
            let holds = self.sheet.low.a <= own.low.a
                && own.high.a <= self.sheet.high.a
                && self.sheet.low.b <= middle.b - row
                && middle.b + row <= self.sheet.high.b;
            (holds && !self.is_taken(&own) && !self.lead(lead).iter().any(|dot| self.is_taken(dot)))
                .then_some((own, lead))
        });
        let Some((own, lead)) = found else { return false };
        let dots = self.lead(lead);
        self.placed.extend(dots);
        let d = format!("M{:.1} {:.1}L{:.1} {:.1}", lead[0].a, lead[0].b, lead[1].a, lead[1].b);
        self.out.push(view! { <path class="cut-lead" d=d></path> }.into_any());
        self.write(own, text, says);
        true
    }

    /// A line from a word to what it names as small boxes, but for its end, which lies among the lines of the part.
    fn lead(&self, [from, to]: [Point; 2]) -> Vec<Bounds> {
        let dot = |n: u8| {
            let share = f64::from(n) / 12.0;
            let (a, b) = (from.a + (to.a - from.a) * share, from.b + (to.b - from.b) * share);
            Bounds { low: Point::new(a - self.px, b - self.px), high: Point::new(a + self.px, b + self.px) }
        };
        (1..10).map(dot).collect()
    }

    /// A place moved by so much, kept on the sheet.
    fn inside(&self, at: Point, (da, db): (f64, f64), half: f64) -> Point {
        let (low, high) = (self.sheet.low.a + half, self.sheet.high.a - half);
        Point::new(if low < high { (at.a + da).clamp(low, high) } else { at.a + da }, at.b + db)
    }

    fn boxed(&self, middle: Point, half: f64) -> Bounds {
        let row = ROW_PX / 2.0 * self.px;
        Bounds { low: Point::new(middle.a - half, middle.b - row), high: Point::new(middle.a + half, middle.b + row) }
    }

    fn is_taken(&self, own: &Bounds) -> bool {
        self.placed.iter().any(|known| known.near(own, 0.0))
    }

    fn write(&mut self, own: Bounds, text: &str, says: Says) {
        self.placed.push(own);
        let at = own.centre();
        let style = format!("font-size:{:.2}px;stroke-width:{:.2}px", WORD_PX * self.px, 4.0 * self.px);
        let (x, y) = (format!("{:.1}", at.a), format!("{:.1}", at.b));
        let text = text.to_owned();
        self.out.push(view! { <text class=says.class() x=x y=y style=style>{text}</text> }.into_any());
    }
}

/// The point of a box that is nearest to a place.
fn near(own: &Bounds, at: Point) -> Point {
    Point::new(at.a.clamp(own.low.a, own.high.a), at.b.clamp(own.low.b, own.high.b))
}
