//! The section search on single cases.

mod support;

use model::damage::measure;
use model::decide::section::minimum_cut;
use model::decide::{NoSection, section_plan};
use model::geometry::Point;
use model::ids::MarkId;
use model::terms::MarkKind;

#[test]
fn damage_at_both_ends_leaves_the_middle() {
    let book = support::book();
    let part = book.part(&"rocker-left".into()).expect("a rocker");
    let view = part.sections.as_ref().expect("sections").view;
    let mark = |a: f64| support::mark_at("rocker-left", view, Point::new(a, 530.0), 30, MarkKind::Buckle, 30);
    let (one, other) = (MarkId::from("a"), MarkId::from("b"));
    let (finding, _) = measure(book, part, &[(&one, &mark(850.0)), (&other, &mark(2650.0))]);
    let plan = section_plan(part, &finding.expect("damage")).expect("a section");
    let cells: Vec<&str> = plan.cells.iter().map(|cell| cell.as_str()).collect();
    assert_eq!(cells, ["front-end", "rear-end"]);
}

#[test]
fn parts_without_cut_lines_say_so() {
    let book = support::book();
    let part = book.part(&"hood".into()).expect("a hood");
    let mark = support::mark(book, "hood", 60, MarkKind::Buckle, 30);
    let id = MarkId::from("m");
    let (finding, _) = measure(book, part, &[(&id, &mark)]);
    assert_eq!(section_plan(part, &finding.expect("a finding")), Err(NoSection::NotDivided));
    assert!(NoSection::NotDivided.words().ends_with('.'));
}

#[test]
fn a_minimum_cut_parts_source_from_sink() {
    let (value, side) = minimum_cut(4, &[(0, 1, 3), (0, 2, 2), (1, 3, 2), (2, 3, 4), (1, 2, 5)], 0, 3);
    assert_eq!((value, side[0], side[3]), (5, true, false));
}
