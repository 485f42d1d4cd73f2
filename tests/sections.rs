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
        assert!(value < ENDLESS && side[source] && !side[sink], "seed {seed}");
        let near: Vec<usize> = (0..nodes).filter(|node| side[*node]).collect();
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
