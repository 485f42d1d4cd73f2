//! Areas, unions, differences, growth and distances against an outside library of another ecosystem:
//! shapely (PyPI), which stands on GEOS. Random shapes from printed seeds.

use checks::{Numbers, python};
use model::geometry::{Area, Line, Point};
use serde_json::{Value, json};

const CASES: u64 = 400;

/// A star-shaped ring, often concave.
fn ring(numbers: &mut Numbers) -> Vec<Point> {
    let centre = Point::new(numbers.within(-2000.0, 2000.0), numbers.within(-2000.0, 2000.0));
    let corners = 3 + numbers.below(30);
    let size = numbers.within(40.0, 1500.0);
    (0..corners)
        .map(|n| {
            let turn = std::f64::consts::TAU * n as f64 / corners as f64;
            let radius = size * numbers.within(0.25, 1.0);
            Point::new(centre.a + radius * turn.cos(), centre.b + radius * turn.sin())
        })
        .collect()
}

fn as_json(points: &[Point]) -> Value {
    points.iter().map(|p| json!([p.a, p.b])).collect()
}

#[test]
fn agrees_with_shapely_on_random_shapes() {
    let mut inputs = Vec::new();
    let mut ours = Vec::new();
    for seed in 0..CASES {
        let mut numbers = Numbers::new(seed);
        let (one, other) = (ring(&mut numbers), ring(&mut numbers));
        let line = vec![
            Point::new(numbers.within(-3000.0, 3000.0), numbers.within(-3000.0, 3000.0)),
            Point::new(numbers.within(-3000.0, 3000.0), numbers.within(-3000.0, 3000.0)),
        ];
        let grow = numbers.within(5.0, 200.0);
        let a = Area::from_points(&one).expect("a ring of some size");
        let b = Area::from_points(&other).expect("a ring of some size");
        let cut = Line::new(line.clone());
        let size = |area: Option<Area>| area.map_or(0.0, |area| area.size());
        inputs.push(json!({"a": as_json(&one), "b": as_json(&other), "line": as_json(&line), "grow": grow}));
        ours.push([
            a.size(),
            a.union(&b).size(),
            size(a.common(&b)),
            size(a.without(&b)),
            a.distance(&b),
            a.distance_to_line(&cut),
            a.distance_to_point(line[0]),
            a.length_within(line[0], line[1]),
            size(a.left_of(line[0], line[1])),
            a.grown(grow).size(),
            f64::from(u8::from(a.encloses(&b))),
        ]);
    }
    let theirs: Vec<Vec<f64>> =
        serde_json::from_str(&python("tests/outside/shapes.py", &Value::from(inputs).to_string()))
            .expect("a list of lists");
    let names = [
        "area",
        "union",
        "common",
        "difference",
        "distance",
        "to line",
        "to point",
        "length within",
        "left of",
        "grown",
        "encloses",
    ];
    for (seed, (mine, outside)) in ours.iter().zip(&theirs).enumerate() {
        for ((name, mine), outside) in names.iter().zip(mine).zip(outside) {
            // Boolean operations snap to a grid of the shapes' size over 2^30; growth rounds corners in steps.
            let slack = match *name {
                "grown" => outside * 0.01,
                "encloses" => 0.0,
                "distance" | "to line" | "to point" | "length within" => 1e-3,
                _ => 1.0 + outside * 1e-6,
            };
            assert!((mine - outside).abs() <= slack, "seed {seed}, {name}: {mine} here, {outside} in shapely");
        }
    }
    assert_eq!(theirs.len(), ours.len());
}

#[test]
fn a_wrong_answer_would_be_noticed() {
    // The comparison above must be able to fail: two shapes a tenth of a per cent apart do differ by more than its slack.
    let square = |side: f64| Area::from_path(&format!("M0 0 H{side} V{side} H0 Z")).expect("a square").size();
    assert!((square(1000.0) - square(1001.0)).abs() > 1.0 + 1e6 * 1e-6);
}

#[test]
fn ellipses_have_their_textbook_area() {
    // Area of an ellipse: pi a b.
    for (ra, rb, turn) in [(120.0, 80.0, 0.0), (5.0, 5.0, 10.0), (900.0, 33.0, 77.0)] {
        let area = Area::ellipse(Point::new(10.0, -4.0), ra, rb, turn).expect("an ellipse").size();
        let exact = std::f64::consts::PI * ra * rb;
        assert!((area - exact).abs() < exact * 1e-9, "{area} against {exact}");
    }
}

#[test]
fn broken_outlines_are_refused() {
    for (path, key) in [
        ("M0 0 L100 0 L100 100", "error-outline-open"),
        ("M0 0 L100 0 Z", "error-outline-small"),
        ("M0 0 L100 100 L100 0 L0 100 Z", "error-outline-crosses"),
        ("not a path", "error-path"),
        ("", "error-path"),
    ] {
        assert_eq!(Area::from_path(path).expect_err(path).key, key, "{path}");
    }
}

#[test]
fn a_ring_that_crosses_itself_is_found_as_by_comparing_all_edges() {
    let turn = |p: Point, q: Point, r: Point| (q.a - p.a) * (r.b - p.b) - (q.b - p.b) * (r.a - p.a);
    let (mut crossing, mut plain) = (0, 0);
    for seed in 0..CASES {
        let mut numbers = Numbers::new(seed);
        let mut points = ring(&mut numbers);
        points.iter_mut().for_each(|p| *p = Point::new(p.a.round(), p.b.round()));
        let count = points.len();
        if seed % 2 == 0 {
            points.swap(numbers.below(count), numbers.below(count));
        }
        let edge = |at: usize| (points[at], points[(at + 1) % count]);
        let crosses = (0..count).any(|one| {
            (one + 2..count).filter(|other| one > 0 || other + 1 < count).any(|other| {
                let ((a, b), (c, d)) = (edge(one), edge(other));
                turn(a, b, c) * turn(a, b, d) < 0.0 && turn(c, d, a) * turn(c, d, b) < 0.0
            })
        });
        let path: String = points
            .iter()
            .enumerate()
            .fold(String::new(), |path, (at, p)| format!("{path}{}{} {} ", if at == 0 { 'M' } else { 'L' }, p.a, p.b));
        let refused = Area::from_path(&format!("{path}Z")).is_err_and(|error| error.key == "error-outline-crosses");
        assert_eq!(refused, crosses, "seed {seed}: {path}");
        *(if crosses { &mut crossing } else { &mut plain }) += 1;
    }
    assert!(crossing > 50 && plain > 100, "{crossing} cross, {plain} do not");
}
