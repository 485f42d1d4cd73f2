//! Minimum cuts of random cell graphs against an outside library, networkx (PyPI), and the names of cells and lines.

use checks::{Numbers, python};
use model::catalogue::generic_description;
use model::decide::section::{ENDLESS, minimum_cut};
use model::words::{Language, find};
use serde_json::{Value, json};

const CASES: u64 = 3_000;

/// A grid of cells like those of a panel, some borders missing, some forbidden one way, cells held to either side.
fn graph(numbers: &mut Numbers) -> (usize, Vec<(usize, usize, u64)>) {
    let (wide, high) = (1 + numbers.below(5), 1 + numbers.below(5));
    let cells = wide * high;
    let (source, sink) = (cells, cells + 1);
    let mut arcs = Vec::new();
    let cost = |numbers: &mut Numbers| 1 + numbers.below(50_000) as u64;
    let endless = 1 << 40;
    for cell in 0..cells {
        let right = ((cell + 1) % wide != 0).then_some(cell + 1);
        let below = (cell + wide < cells).then_some(cell + wide);
        for other in right.into_iter().chain(below) {
            let both = cost(numbers);
            for (from, to) in [(cell, other), (other, cell)] {
                match numbers.below(6) {
                    0 => {}
                    1 => arcs.push((from, to, endless)),
                    _ => arcs.push((from, to, both)),
                }
            }
        }
        match numbers.below(5) {
            0 => arcs.push((source, cell, endless)),
            1 => arcs.push((cell, sink, endless)),
            _ => arcs.push((cell, sink, cost(numbers))),
        }
    }
    (cells + 2, arcs)
}

#[test]
fn minimum_cuts_agree_with_networkx() {
    let (mut inputs, mut ours) = (Vec::new(), Vec::new());
    for seed in 0..CASES {
        let (nodes, arcs) = graph(&mut Numbers::new(seed));
        let (source, sink) = (nodes - 2, nodes - 1);
        let (value, side) = minimum_cut(nodes, &arcs, source, sink);
        let near: Vec<usize> = (0..nodes).filter(|node| side & (1 << node) != 0).collect();
        assert!(value < ENDLESS && near.contains(&source) && !near.contains(&sink), "seed {seed}");
        inputs.push(json!({ "nodes": nodes, "arcs": arcs, "source": source, "sink": sink, "side": near }));
        ours.push((value, near.len()));
    }
    let answer = python("tests/outside/minimum_cut.py", &Value::from(inputs).to_string());
    let theirs: Vec<(u64, u64, usize)> = serde_json::from_str(&answer).expect("three numbers a case");
    assert_eq!(theirs.len(), ours.len());
    for (seed, ((value, near), (least, crossing, _))) in ours.into_iter().zip(theirs).enumerate() {
        assert_eq!(value, least, "seed {seed}: the value of the least cut");
        assert_eq!(value, crossing, "seed {seed}: our sides with {near} nodes have that value");
    }
}

#[test]
fn every_cell_and_cut_line_has_a_name() {
    let mut missing = Vec::new();
    for book in generic_description().resolve_all().expect("every body resolves") {
        for part in &book.parts {
            let Some(sections) = &part.sections else { continue };
            let cells = sections.cells.iter().map(|cell| ("cell", cell.id.as_str()));
            for (kind, id) in cells.chain(sections.cuts.iter().map(|cut| ("cut", cut.id.as_str()))) {
                let known = |key: &str| find(Language::English, key).is_some();
                if !known(&format!("{kind}-{}-{id}", part.base)) && !known(&format!("{kind}-{id}")) {
                    missing.push(format!("{kind}-{}-{id}", part.base));
                }
            }
        }
    }
    missing.sort();
    missing.dedup();
    assert!(missing.is_empty(), "{missing:#?}");
}

/// Stated ends of factory joints against shapely (PyPI): each lies at an end of the strip in which the two parts meet.
#[test]
fn joint_ends_lie_where_parts_meet_by_shapely() {
    let mut cases = Vec::new();
    let mut names = Vec::new();
    for book in generic_description().resolve_all().expect("every body resolves") {
        for part in &book.parts {
            let Some(sections) = part.sections.as_ref() else { continue };
            for end in &sections.joint_ends {
                let Some(other) = book.part(&end.to).and_then(|other| other.shapes.get(&sections.view)) else {
                    panic!("{} is not seen in the section view of {}", end.to, part.id);
                };
                let rings = |area: &model::geometry::Area| -> Value {
                    let ring = |ring: Vec<model::geometry::Point>| -> Value {
                        ring.iter().map(|p| json!([p.a, p.b])).collect()
                    };
                    area.points().into_iter().map(ring).collect()
                };
                let whole = &part.shapes[&sections.view];
                cases.push(json!({ "part": rings(whole), "other": rings(other), "at": [end.at.a, end.at.b] }));
                names.push(format!("{:?} {} to {} at {:?}", book.body, part.id, end.to, end.at));
            }
        }
    }
    assert!(cases.len() >= 200, "{}", cases.len());
    let answer = python("tests/outside/joint_ends.py", &Value::from(cases).to_string());
    let found: Vec<(f64, f64, f64)> = serde_json::from_str(&answer).expect("three numbers a case");
    for (name, (off, end, _)) in names.iter().zip(found) {
        assert!(off <= 12.0 && end <= 12.0, "{name}: {off:.1} mm from the strip, {end:.1} mm from its end");
    }
}
