//! What must hold of every decision and every operation, tried on every part of every body with every kind of damage.

mod support;

use model::catalogue::{Book, generic};
use model::damage::Mark;
use model::decide::Effect;
use model::ids::MarkId;
use model::plan::{Plan, Shop, plan, to_json};
use model::terms::{Action, Coat, FrameState, MarkKind, Stage};
use std::collections::{BTreeMap, BTreeSet};
use support::{all_bodies, book, job, mark};

/// Variants of damage: kind, depth, radius, sharp, coat.
fn variants() -> Vec<(MarkKind, u16, i32, bool, Coat)> {
    let mut out = Vec::new();
    for kind in MarkKind::ALL {
        for (depth, radius, sharp, coat) in [
            (0, 10, false, Coat::ClearOnly),
            (2, 30, false, Coat::Whole),
            (4, 20, false, Coat::BareMetal),
            (15, 40, true, Coat::ThroughColour),
            (30, 60, true, Coat::BareMetal),
            (90, 400, true, Coat::BareMetal),
        ] {
            out.push((*kind, depth, radius, sharp, coat));
        }
    }
    out
}

fn check(book: &Book, plan: &Plan, place: &str) {
    for decision in &plan.decisions {
        let place = format!("{place} {}", decision.part);
        assert_eq!(decision.options.len(), Action::ALL.len(), "{place}");
        let refer = decision.option(Action::Refer).expect("all six actions");
        assert!(refer.permitted, "{place}: refer is always permitted");
        let chosen = decision.option(decision.chosen).expect("all six actions");
        assert!(chosen.permitted, "{place}: what stands is permitted");
        let least = decision.options.iter().find(|option| option.permitted).map(|option| option.action);
        assert_eq!(Some(decision.recommended), least, "{place}: least intrusive");
        for option in &decision.options {
            let place = format!("{place} {}", option.action);
            let permits = option.trace.iter().any(|trace| trace.effect == Effect::Permits);
            let forbids = option.trace.iter().any(|trace| trace.effect == Effect::Forbids);
            assert_eq!(option.permitted, permits && !forbids, "{place}");
            assert!(permits || forbids, "{place}: some rule says why");
            for trace in option.trace.iter().chain(option.routes.iter().flat_map(|route| route.trace.iter())) {
                let reason = &trace.reason;
                assert!(reason.ends_with('.'), "{place}: a full sentence: {reason}");
                assert!(!reason.contains('{') && !reason.contains('$'), "{place}: {reason}");
                assert!(!reason.contains("inf") || reason.contains("infl"), "{place}: {reason}");
                assert!(!reason.contains("-limit"), "{place}: {reason}");
                assert!(!reason.starts_with("rule-"), "{place}: {reason}");
            }
            let joins = matches!(option.action, Action::Section | Action::Replace);
            if joins && option.permitted {
                assert!(option.permitted_routes().next().is_some(), "{place}: a way to join");
            }
            let placed = option.action != Action::Section || option.section.is_some();
            assert!(!option.permitted || placed, "{place}: a section has its cut lines");
        }
    }
    let mut seen: BTreeMap<&str, Stage> = BTreeMap::new();
    let mut last = Stage::Secure;
    for operation in &plan.operations {
        let parts: BTreeSet<_> = operation.access_for.iter().collect();
        assert_eq!(parts.len(), operation.access_for.len(), "{place}: {} names a part twice", operation.id);
        assert!(operation.stage >= last, "{place}: {} stands too late", operation.id);
        last = operation.stage;
        for first in &operation.after {
            let stage = seen.get(first.as_str());
            assert!(stage.is_some(), "{place}: {} waits for {first}, which does not come before it", operation.id);
        }
        let before = seen.insert(operation.id.as_str(), operation.stage);
        assert!(before.is_none(), "{place}: {} stands twice", operation.id);
        let name = operation.name(book);
        assert!(!name.starts_with("operation-") && !name.contains('{') && !name.contains("part-"), "{place}: {name}");
        if operation.stage > Stage::Measure {
            let unready = operation.after.is_empty()
                && plan.operations.iter().any(|other| other.stage <= Stage::Measure && other.id != operation.id);
            assert!(!unready, "{place}: {} does not wait until the vehicle is safe", operation.id);
        }
    }
}

#[test]
fn every_part_of_every_body_with_every_kind_of_damage() {
    for body in all_bodies() {
        let book = generic(body);
        let reference = body == support::BODY;
        let plain: Vec<Mark> =
            book.parts.iter().map(|part| mark(book, part.id.as_str(), 10, MarkKind::Dent, 0)).collect();
        for (number, (kind, depth, radius, sharp, coat)) in variants().into_iter().enumerate() {
            // The reference body sees every variant, the others every fifth (which reaches every kind).
            if !reference && number % 5 != 0 {
                continue;
            }
            // All parts at once: one plan of the whole body a variant.
            let mut job = job(book);
            for (at, one) in plain.iter().enumerate() {
                let mut one = one.clone();
                if let model::damage::MarkShape::Ellipse { radii, .. } = &mut one.shape {
                    *radii = [radius, radius];
                }
                (one.kind, one.depth_mm, one.sharp, one.coat) = (kind, depth, sharp, coat);
                one.count = if kind == MarkKind::HailField { 80 } else { 0 };
                job.marks.insert(MarkId::from(format!("m{at}")), one);
            }
            for (frame, deployed, equipped) in
                [(FrameState::WithinTolerance, false, true), (FrameState::NotMeasured, true, false)]
            {
                job.frame = frame;
                job.restraints_deployed = deployed;
                job.high_voltage = deployed;
                let shop = Shop { aluminium_welding: equipped, aluminium_bay: equipped, ..Shop::default() };
                let plan = plan(book, model::rules::general(), &job, &shop);
                assert_eq!(plan.decisions.len(), book.parts.len(), "{:?}", plan.notices);
                check(book, &plan, &format!("{body:?} {kind} {depth} mm"));
            }
        }
    }
}

#[test]
fn each_part_alone() {
    let book = book();
    for part in &book.parts {
        for (kind, depth) in [(MarkKind::Scratch, 0), (MarkKind::Dent, 15), (MarkKind::Buckle, 60)] {
            let plan = support::plan_of(book, vec![mark(book, part.id.as_str(), 40, kind, depth)]);
            check(book, &plan, &format!("{} {kind}", part.id));
        }
    }
}

#[test]
fn the_same_job_gives_the_same_bytes() {
    let book = book();
    let marks: Vec<Mark> = ["fender-left", "hood", "apron-tube-left", "front-bumper", "headlamp-left"]
        .iter()
        .map(|part| mark(book, part, 60, MarkKind::Buckle, 40))
        .collect();
    let one = to_json(book, &support::plan_of(book, marks.clone())).to_string();
    let other = to_json(book, &support::plan_of(book, marks)).to_string();
    assert_eq!(one, other);
}

#[test]
fn access_work_is_done_once_and_undone_once() {
    let book = book();
    let marks = ["fender-left", "apron-tube-left", "headlamp-left", "front-bumper", "radiator-support"]
        .iter()
        .map(|part| mark(book, part, 60, MarkKind::Buckle, 40))
        .collect();
    let plan = support::plan_of(book, marks);
    let off: Vec<_> = plan.operations.iter().filter(|operation| operation.work.word() == "access").collect();
    let unique: BTreeSet<_> = off.iter().map(|operation| operation.access.clone()).collect();
    assert_eq!(off.len(), unique.len());
    let bumper =
        off.iter().find(|operation| operation.access.as_ref().is_some_and(|id| id.as_str() == "front-bumper-off"));
    let bumper = bumper.expect("the bumper comes off");
    assert!(bumper.access_for.len() >= 3, "{:?}", bumper.access_for);
    for operation in &off {
        let back = plan
            .operations
            .iter()
            .filter(|other| other.stage == Stage::Refit && other.part.is_none() && other.access == operation.access);
        let back: Vec<_> = back.collect();
        assert_eq!(back.len(), 1, "{} goes back on", operation.id);
        // A new part goes on by the same work, once it is ready.
        let work = &book.access[operation.access.as_ref().expect("access work")];
        for new in plan.operations.iter().filter(|other| other.work.word() == "make-ready") {
            let part = new.part.as_ref().expect("a part");
            if work.removes.contains(part) {
                assert!(back[0].renewed.contains(part) && back[0].after.contains(&new.id), "{}", back[0].id);
            }
        }
    }
    // What came off last goes back on first.
    let position = |work: &str, access: &str| {
        plan.operations.iter().position(|operation| {
            operation.work.word() == work && operation.access.as_ref().is_some_and(|id| id.as_str() == access)
        })
    };
    let wheel = (position("access", "front-wheel-off-left"), position("refit", "front-wheel-off-left"));
    let liner = (position("access", "fender-liner-off-left"), position("refit", "fender-liner-off-left"));
    assert!(wheel.0 < liner.0 && liner.1 < wheel.1, "{wheel:?} {liner:?}");
}
