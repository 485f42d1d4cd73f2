//! Sizing and moving a mark by its handles, and by steps without any drag.
//!
//! Pure: a shape and where the finger is, in the millimetres of the mark's view; a new shape comes back. It never
//! touches the job; the screen commits the result as one edit.

use model::damage::{MarkShape, REACH_MM};

/// A point in the view's millimetres.
pub type Mm = (f64, f64);

/// Smallest half axis or width that a drag may leave, mm.
const LEAST_MM: i32 = 2;
/// Largest half axis, mm.
const MOST_MM: i32 = 3_000;

/// Where the handles of a shape stand, in the order of their numbers: an ellipse has one on each half axis, a stroke
/// one at each end, a ring of points none.
#[must_use]
pub fn handles(shape: &MarkShape) -> Vec<Mm> {
    match shape {
        MarkShape::Ellipse { at, radii, turn_deg } => {
            let (sin, cos) = f64::from(*turn_deg).to_radians().sin_cos();
            let (a, b) = (f64::from(radii[0]), f64::from(radii[1]));
            let (x, y) = (f64::from(at[0]), f64::from(at[1]));
            vec![(x + a * cos, y + a * sin), (x - b * sin, y + b * cos)]
        }
        MarkShape::Stroke { points, .. } => match (points.first(), points.last()) {
            (Some(first), Some(last)) => vec![point(first), point(last)],
            _ => Vec::new(),
        },
        MarkShape::Polygon { .. } => Vec::new(),
    }
}

/// The shape with handle `index` dragged to a point. The first handle of an ellipse sizes and turns it, the second
/// only sizes; a handle of a stroke moves that end.
#[must_use]
pub fn dragged(shape: &MarkShape, index: usize, to: Mm) -> MarkShape {
    match shape {
        MarkShape::Ellipse { at, radii, turn_deg } => {
            let (dx, dy) = (to.0 - f64::from(at[0]), to.1 - f64::from(at[1]));
            if index == 0 {
                let radius = within(dx.hypot(dy));
                let turn = dy.atan2(dx).to_degrees().round();
                MarkShape::Ellipse { at: *at, radii: [radius, radii[1]], turn_deg: whole(turn) }
            } else {
                let (sin, cos) = f64::from(*turn_deg).to_radians().sin_cos();
                let radius = within((dy * cos - dx * sin).abs());
                MarkShape::Ellipse { at: *at, radii: [radii[0], radius], turn_deg: *turn_deg }
            }
        }
        MarkShape::Stroke { points, width } => {
            let mut points = points.clone();
            let at = if index == 0 { 0 } else { points.len().saturating_sub(1) };
            if let Some(end) = points.get_mut(at) {
                *end = reach(to);
            }
            MarkShape::Stroke { points, width: *width }
        }
        MarkShape::Polygon { .. } => shape.clone(),
    }
}

/// The shape moved by millimetres.
#[must_use]
pub fn moved(shape: &MarkShape, by: Mm) -> MarkShape {
    let shift = |p: &[i32; 2]| reach((f64::from(p[0]) + by.0, f64::from(p[1]) + by.1));
    match shape {
        MarkShape::Ellipse { at, radii, turn_deg } => {
            MarkShape::Ellipse { at: shift(at), radii: *radii, turn_deg: *turn_deg }
        }
        MarkShape::Stroke { points, width } => {
            MarkShape::Stroke { points: points.iter().map(shift).collect(), width: *width }
        }
        MarkShape::Polygon { points } => MarkShape::Polygon { points: points.iter().map(shift).collect() },
    }
}

/// Length and width of a shape as a person reads them, mm.
#[must_use]
pub fn size(shape: &MarkShape) -> (i32, i32) {
    match shape {
        MarkShape::Ellipse { radii, .. } => (2 * radii[0], 2 * radii[1]),
        MarkShape::Stroke { points, width } => {
            let run: f64 = points.windows(2).map(|pair| apart(point(&pair[0]), point(&pair[1]))).sum();
            (whole(run.round()), *width)
        }
        MarkShape::Polygon { points } => {
            let span = |axis: usize| {
                let all = || points.iter().map(|p| p[axis]);
                all().max().unwrap_or(0) - all().min().unwrap_or(0)
            };
            (span(0), span(1))
        }
    }
}

/// The shape with its length (axis 0) or width (axis 1) set, mm: the way to size a mark without a drag.
#[must_use]
pub fn sized(shape: &MarkShape, axis: usize, mm: i32) -> MarkShape {
    match shape {
        MarkShape::Ellipse { at, radii, turn_deg } => {
            let mut radii = *radii;
            radii[axis.min(1)] = within(f64::from(mm) / 2.0);
            MarkShape::Ellipse { at: *at, radii, turn_deg: *turn_deg }
        }
        MarkShape::Stroke { points, width } if axis == 0 => {
            let run = size(shape).0.max(1);
            scaled(points, f64::from(within(f64::from(mm))) / f64::from(run), |points| MarkShape::Stroke {
                points,
                width: *width,
            })
        }
        MarkShape::Stroke { points, .. } => {
            MarkShape::Stroke { points: points.clone(), width: within(f64::from(mm)).min(400) }
        }
        MarkShape::Polygon { points } => {
            let now = if axis == 0 { size(shape).0 } else { size(shape).1 }.max(1);
            scaled(points, f64::from(within(f64::from(mm))) / f64::from(now), |points| MarkShape::Polygon { points })
        }
    }
}

fn scaled(points: &[[i32; 2]], factor: f64, make: impl Fn(Vec<[i32; 2]>) -> MarkShape) -> MarkShape {
    #[allow(clippy::cast_precision_loss)] // a shape has few points
    let count = points.len().max(1) as f64;
    let sum = points.iter().fold((0.0, 0.0), |sum, p| (sum.0 + f64::from(p[0]), sum.1 + f64::from(p[1])));
    let middle = (sum.0 / count, sum.1 / count);
    make(
        points
            .iter()
            .map(|p| {
                reach((
                    middle.0 + (f64::from(p[0]) - middle.0) * factor,
                    middle.1 + (f64::from(p[1]) - middle.1) * factor,
                ))
            })
            .collect(),
    )
}

/// A handle drawn `by` pixels further out than the edge that it sizes, so that the finger on it hides no small mark.
#[must_use]
pub fn pushed(middle: (f64, f64), edge: (f64, f64), by: f64) -> (f64, f64) {
    let (dx, dy) = (edge.0 - middle.0, edge.1 - middle.1);
    let long = dx.hypot(dy);
    if long < 1e-6 { (edge.0 + by, edge.1) } else { (edge.0 + dx / long * by, edge.1 + dy / long * by) }
}

/// Where the edge lies when a pushed handle is at a point; never beyond the middle.
#[must_use]
pub fn pulled(middle: (f64, f64), handle: (f64, f64), by: f64) -> (f64, f64) {
    let (dx, dy) = (handle.0 - middle.0, handle.1 - middle.1);
    let long = dx.hypot(dy);
    let keep = if long < 1e-6 { 0.0 } else { ((long - by) / long).max(0.02) };
    (middle.0 + dx * keep, middle.1 + dy * keep)
}

fn point(p: &[i32; 2]) -> Mm {
    (f64::from(p[0]), f64::from(p[1]))
}

fn apart(one: Mm, other: Mm) -> f64 {
    (one.0 - other.0).hypot(one.1 - other.1)
}

fn within(mm: f64) -> i32 {
    whole(mm.round()).clamp(LEAST_MM, MOST_MM)
}

fn reach(p: Mm) -> [i32; 2] {
    let one = |v: f64| whole(v.round()).clamp(-REACH_MM, REACH_MM);
    [one(p.0), one(p.1)]
}

#[allow(clippy::cast_possible_truncation)] // `as` saturates, and every caller clamps
fn whole(value: f64) -> i32 {
    value as i32
}

#[cfg(test)]
mod tests {
    use super::*;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    fn ellipse() -> MarkShape {
        MarkShape::Ellipse { at: [100, 900], radii: [80, 50], turn_deg: 0 }
    }

    #[test]
    fn dragging_a_handle_puts_it_under_the_finger() {
        let turned = dragged(&ellipse(), 0, (100.0, 1020.0));
        assert_eq!(turned, MarkShape::Ellipse { at: [100, 900], radii: [120, 50], turn_deg: 90 });
        let first = handles(&turned)[0];
        assert!((first.0 - 100.0).abs() < 0.5 && (first.1 - 1020.0).abs() < 0.5);
        let wide = dragged(&ellipse(), 1, (500.0, 930.0));
        assert_eq!(wide, MarkShape::Ellipse { at: [100, 900], radii: [80, 30], turn_deg: 0 });
    }

    #[test]
    fn a_pushed_handle_pulls_back_to_its_edge() {
        let (middle, edge) = ((10.0, 20.0), (13.0, 24.0));
        let handle = pushed(middle, edge, 20.0);
        assert!((handle.0 - 25.0).abs() < 1e-9 && (handle.1 - 40.0).abs() < 1e-9);
        let back = pulled(middle, handle, 20.0);
        assert!((back.0 - edge.0).abs() < 1e-9 && (back.1 - edge.1).abs() < 1e-9);
    }

    #[test]
    fn a_drag_never_leaves_a_shape_that_the_model_refuses() {
        for to in [(100.0, 900.0), (1e9, -1e9), (f64::NAN, 3.0)] {
            for index in 0..2 {
                assert!(dragged(&ellipse(), index, to).area().is_ok(), "{to:?}");
            }
        }
        assert!(moved(&ellipse(), (1e9, 1e9)).area().is_ok());
    }

    #[test]
    fn steps_size_without_a_drag() {
        assert_eq!(size(&sized(&ellipse(), 0, 200)), (200, 100));
        assert_eq!(size(&sized(&ellipse(), 1, 60)), (160, 60));
        let stroke = MarkShape::Stroke { points: vec![[0, 0], [300, 400]], width: 6 };
        assert_eq!(size(&sized(&stroke, 0, 250)), (250, 6));
    }
}
