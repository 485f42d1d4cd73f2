//! Where a dragged cut line comes to rest: within its own range, or on another permitted line that runs alike.
//!
//! Pure: a cut map and millimetres in, a line and its move out. Never leaves a permitted range.

use model::geometry::Point;
use model::scene::{CutLine, CutMap, LineUse};

/// Lines turned further against each other are not reached by dragging; cosine of the angle.
const ALIKE: f64 = 0.9;

/// A line on its way: which, where it would come to rest, and how far that one is moved, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Draft {
    /// Place of the dragged line in the map.
    pub from: usize,
    /// Place of the line that would be cut.
    pub to: usize,
    /// Its move from its place in the book, mm.
    pub mm: f64,
}

/// The resting place nearest to where the dragged line would be moved by `mm` from its place in the book.
#[must_use]
pub fn rest(map: &CutMap, from: usize, mm: f64) -> Draft {
    let own = &map.lines[from];
    let places =
        map.lines.iter().enumerate().filter(|(_, line)| line.state != LineUse::Forbidden).filter_map(|(at, line)| {
            // A line that the section is cut at already cannot be cut twice.
            let (offset, sign) = if at == from {
                (0.0, 1.0)
            } else if line.state == LineUse::Chosen {
                return None;
            } else {
                beside(own, line)?
            };
            let wanted = (mm - offset) * sign;
            let nearest = line.ranges.iter().map(|range| whole(wanted, *range));
            let rest = nearest.min_by(|one, other| (one - wanted).abs().total_cmp(&(other - wanted).abs()))?;
            Some(((rest - wanted).abs(), Draft { from, to: at, mm: rest }))
        });
    let best = places.min_by(|one, other| one.0.total_cmp(&other.0));
    best.map_or(Draft { from, to: from, mm: own.moved_mm }, |(_, draft)| draft)
}

/// The next permitted line that runs alike on that side, at its place of least move.
#[must_use]
pub fn next_line(map: &CutMap, from: usize, left: bool) -> Option<Draft> {
    let own = &map.lines[from];
    let others = map.lines.iter().enumerate().filter(|(_, line)| line.state == LineUse::Permitted);
    let beside = others.filter_map(|(at, line)| {
        let offset = beside(own, line)?.0;
        ((offset > 0.0) == left).then_some((offset.abs(), Draft { from, to: at, mm: line.moved_mm }))
    });
    beside.min_by(|one, other| one.0.total_cmp(&other.0)).map(|(_, draft)| draft)
}

/// How far the finger has moved the line, mm: the shift along the line's own step.
#[must_use]
pub fn along(step: Point, shift_mm: Point) -> f64 {
    step.a * shift_mm.a + step.b * shift_mm.b
}

/// How far the other line's drawn place lies to the left of this one's, and whether its left is the same side.
fn beside(one: &CutLine, other: &CutLine) -> Option<(f64, f64)> {
    let same = one.step.a * other.step.a + one.step.b * other.step.b;
    if same.abs() < ALIKE {
        return None;
    }
    let drawn = |line: &CutLine| {
        let middle = |p: f64, q: f64| f64::midpoint(p, q);
        Point::new(
            middle(line.ends.0.a, line.ends.1.a) - line.step.a * line.moved_mm,
            middle(line.ends.0.b, line.ends.1.b) - line.step.b * line.moved_mm,
        )
    };
    let (here, there) = (drawn(one), drawn(other));
    Some((along(one.step, Point::new(there.a - here.a, there.b - here.b)), same.signum()))
}

/// The whole millimetre of a range that is nearest; the range's own end where it holds none.
fn whole(wanted: f64, (from, to): (f64, f64)) -> f64 {
    let held = wanted.clamp(from, to).round();
    if held < from - 1e-6 {
        let up = from.ceil();
        if up <= to + 1e-6 { up } else { from }
    } else if held > to + 1e-6 {
        let down = to.floor();
        if down >= from - 1e-6 { down } else { to }
    } else {
        held
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::geometry::Bounds;
    use model::ids::CutId;
    use model::terms::View;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    fn line(name: &str, at: f64, state: LineUse, range: (f64, f64)) -> CutLine {
        CutLine {
            cut: CutId::from(name),
            name: name.to_owned(),
            state,
            ends: (Point::new(at, 0.0), Point::new(at, 100.0)),
            step: Point::new(1.0, 0.0),
            moved_mm: 0.0,
            ranges: vec![range],
            bands: Vec::new(),
            length_mm: 100.0,
            why: None,
            distances: Vec::new(),
        }
    }

    fn map() -> CutMap {
        let none = Point::new(0.0, 0.0);
        CutMap {
            view: View::Left,
            bounds: Bounds { low: none, high: Point::new(1000.0, 100.0) },
            outline: String::new(),
            features: String::new(),
            damage: String::new(),
            cells: Vec::new(),
            zones: Vec::new(),
            lines: vec![
                line("one", 100.0, LineUse::Chosen, (-20.0, 35.5)),
                line("two", 400.0, LineUse::Forbidden, (-50.0, 50.0)),
                line("three", 700.0, LineUse::Permitted, (-10.0, 10.0)),
            ],
        }
    }

    #[test]
    fn a_line_rests_in_its_range_or_on_another_permitted_line() {
        assert_eq!(rest(&map(), 0, 12.3), Draft { from: 0, to: 0, mm: 12.0 });
        assert_eq!(rest(&map(), 0, 200.0), Draft { from: 0, to: 0, mm: 35.0 });
        assert_eq!(rest(&map(), 0, 300.0), Draft { from: 0, to: 0, mm: 35.0 });
        assert_eq!(rest(&map(), 0, 590.0), Draft { from: 0, to: 2, mm: -10.0 });
        assert_eq!(next_line(&map(), 0, true), Some(Draft { from: 0, to: 2, mm: 0.0 }));
        assert_eq!(next_line(&map(), 0, false), None);
    }
}
