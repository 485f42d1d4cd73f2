//! Facts of the trade, tried on the built-in books from outside, through the public plan.
//!
//! Source of every fact here: common practice, no source.

use checks::mark;
use model::catalogue::{Body, Book, generic};
use model::damage::{Mark, MarkShape};
use model::decide::{Decision, Effect};
use model::ids::{MarkId, PartId};
use model::job::{Job, JobId};
use model::operations::Operation;
use model::plan::{Plan, Shop, plan};
use model::terms::{Action, Bed, Cab, Caution, Family, FrameState, MarkKind, Route, Stage, View};

const BODY: Body = Body { cab: Cab::FourDoor, bed: Bed::Short };

fn planned(book: &Book, marks: Vec<Mark>, frame: FrameState, shop: Shop) -> Plan {
    let mut job = Job::empty(JobId::from("trade"));
    job.frame = frame;
    for (at, mark) in marks.into_iter().enumerate() {
        job.marks.insert(MarkId::from(format!("m{at}")), mark);
    }
    let plan = plan(book, model::rules::general(), &job, &shop);
    assert!(plan.refused_marks.is_empty(), "{:?}", plan.refused_marks);
    plan
}

fn decision<'p>(plan: &'p Plan, part: &str) -> &'p Decision {
    plan.decisions.iter().find(|decision| decision.part.as_str() == part).expect("a decision for the part")
}

fn permitted(plan: &Plan, part: &str, action: Action) -> bool {
    decision(plan, part).option(action).expect("all six actions").permitted
}

fn forbidden_by(plan: &Plan, part: &str, action: Action, rule: &str) -> bool {
    let option = decision(plan, part).option(action).expect("all six actions");
    option.trace.iter().any(|trace| trace.effect == Effect::Forbids && trace.rule.as_str() == rule)
}

/// Damage between the first two cross-members of the floor, off the tunnel.
fn floor_hit() -> Vec<Mark> {
    vec![mark("floor-pan", View::Underside, [1330, 550], 60, MarkKind::Buckle, 40)]
}

#[test]
fn an_aluminium_floor_pan_is_sectioned_at_its_cross_members_and_one_of_high_strength_steel_is_replaced_whole() {
    // Common practice, no source.
    let book = generic(BODY);
    let plan = planned(book, floor_hit(), FrameState::WithinTolerance, Shop::default());
    assert_eq!(decision(&plan, "floor-pan").recommended, Action::Section);
    let section = decision(&plan, "floor-pan").option(Action::Section).and_then(|option| option.section.as_ref());
    let section = section.expect("a section with its cut lines");
    assert!(section.share < 0.6, "only a piece is renewed: {}", section.share);
    // The cuts run where the cross-members are, give or take their windows.
    let members: Vec<f64> = (1..=4)
        .map(|n| book.part(&PartId::from(format!("floor-cross-member-{n}"))).expect("a cross-member").centre().0)
        .collect();
    let across: Vec<f64> =
        section.cuts.iter().filter(|cut| (cut.line.0.a - cut.line.1.a).abs() < 1.0).map(|cut| cut.line.0.a).collect();
    assert!(!across.is_empty());
    for x in across {
        assert!(members.iter().any(|member| (member - x).abs() <= 120.0), "{x} lies at none of {members:?}");
    }

    let mut steel = book.clone();
    let floor = steel.parts.iter_mut().find(|part| part.id.as_str() == "floor-pan").expect("a floor pan");
    floor.family = Family::HighStrengthSteel;
    let plan = planned(&steel, floor_hit(), FrameState::WithinTolerance, Shop::default());
    assert!(!permitted(&plan, "floor-pan", Action::Section));
    assert!(forbidden_by(&plan, "floor-pan", Action::Section, "general-hard-steel-no-section"));
    assert_eq!(decision(&plan, "floor-pan").recommended, Action::Replace);
}

#[test]
fn a_b_pillar_is_replaced_with_the_roof_in_place() {
    // Common practice, no source.
    let book = generic(BODY);
    let mut job = Job::empty(JobId::from("trade"));
    job.frame = FrameState::WithinTolerance;
    job.marks.insert(MarkId::from("m0"), mark("b-pillar-left", View::Left, [1795, 1150], 60, MarkKind::Buckle, 60));
    job.holds.insert(PartId::from("b-pillar-left"), Action::Replace);
    let plan = plan(book, model::rules::general(), &job, &Shop::default());
    assert_eq!(decision(&plan, "b-pillar-left").chosen, Action::Replace);
    let roof = |operation: &&Operation| {
        operation.part.as_ref().is_some_and(|part| part.as_str().starts_with("roof"))
            || operation
                .access
                .as_ref()
                .is_some_and(|id| book.access[id].removes.iter().any(|part| part.as_str().starts_with("roof")))
            || operation.id.as_str().contains("roof")
    };
    assert_eq!(plan.operations.iter().find(roof), None);
    assert!(plan.operations.iter().any(|operation| operation.work.word() == "join-part"));
}

#[test]
fn an_apron_tube_is_reached_from_outside_without_taking_the_dash_out() {
    // Common practice, no source.
    let book = generic(BODY);
    let marks = vec![mark("apron-tube-left", View::Left, [-520, 1020], 30, MarkKind::Kink, 40)];
    let plan = planned(book, marks, FrameState::WithinTolerance, Shop::default());
    assert!(matches!(decision(&plan, "apron-tube-left").recommended, Action::Section | Action::Replace));
    assert!(!permitted(&plan, "apron-tube-left", Action::Repair), "a kink is never straightened");
    let reached: Vec<&str> =
        plan.operations.iter().filter_map(|operation| operation.access.as_ref()).map(|id| id.as_str()).collect();
    assert!(reached.contains(&"fender-off-left"), "{reached:?}");
    assert!(!reached.iter().any(|id| id.contains("dash")), "{reached:?}");
}

#[test]
fn flow_drill_screws_are_replaced_by_structural_blind_rivets() {
    // Common practice, no source.
    let book = generic(BODY);
    for part in ["floor-pan", "rocker-left"] {
        let known = book.part(&PartId::from(part)).expect("a part of the book");
        assert!(known.joints.iter().any(|joint| joint.kind == model::terms::JointKind::FlowDrillScrew), "{part}");
    }
    let mut marks = floor_hit();
    marks.push(mark("rocker-left", View::Left, [1330, 530], 40, MarkKind::Buckle, 40));
    let plan = planned(book, marks, FrameState::WithinTolerance, Shop::default());
    for part in ["floor-pan", "rocker-left"] {
        let operation = plan.operations.iter().find(|operation| {
            operation.work.word() == "replace-flow-drill-screws"
                && operation.part.as_ref().is_some_and(|known| known.as_str() == part)
        });
        let operation = operation.unwrap_or_else(|| panic!("{part} gets rivets in place of its screws"));
        assert_eq!(operation.stage, Stage::Join);
        assert!(operation.amount.fasteners > 0);
        assert!(operation.name(book).contains("structural blind rivets"), "{}", operation.name(book));
    }
    let reused = |operation: &&Operation| {
        let name = operation.name(book);
        name.contains("flow-drill") && !name.contains("in place of")
    };
    assert_eq!(plan.operations.iter().find(reused), None);
}

#[test]
fn a_floor_section_is_joined_by_rivets_with_adhesive_or_by_welding_in_an_equipped_shop() {
    // Common practice, no source.
    let book = generic(BODY);
    let routes = |shop: Shop| -> Vec<Route> {
        let plan = planned(book, floor_hit(), FrameState::WithinTolerance, shop);
        let option = decision(&plan, "floor-pan").option(Action::Section).expect("all six actions").clone();
        assert!(option.permitted);
        option.permitted_routes().collect()
    };
    assert_eq!(
        routes(Shop { aluminium_welding: true, aluminium_bay: true, ..Shop::default() }),
        [Route::RivetedBonded, Route::Welded]
    );
    assert_eq!(
        routes(Shop { aluminium_welding: false, aluminium_bay: true, ..Shop::default() }),
        [Route::RivetedBonded]
    );
}

#[test]
fn high_strength_steel_gets_no_heat() {
    // Common practice, no source.
    let book = generic(BODY);
    let hard = |family| matches!(family, Family::HighStrengthSteel | Family::UltraHighStrengthSteel);
    let heats = ["straighten", "weld-tear", "join-section-welded", "join-part-welded"];
    let mut tried = 0;
    for part in book.parts.iter().filter(|part| hard(part.family)) {
        let (view, area) = part.shapes.iter().next().expect("a view");
        let (low, high) = (area.bounds().low, area.bounds().high);
        #[allow(clippy::cast_possible_truncation)]
        let ring = [
            [low.a as i32 - 1, low.b as i32 - 1],
            [high.a as i32 + 1, low.b as i32 - 1],
            [high.a as i32 + 1, high.b as i32 + 1],
            [low.a as i32 - 1, high.b as i32 + 1],
        ];
        for (kind, depth) in [(MarkKind::Kink, 60), (MarkKind::Dent, 4), (MarkKind::Tear, 5)] {
            let mut one = mark(part.id.as_str(), *view, [0, 0], 1, kind, depth);
            one.shape = MarkShape::Polygon { points: ring.to_vec() };
            one.sharp = false;
            let plan = planned(book, vec![one], FrameState::WithinTolerance, Shop::default());
            for option in &decision(&plan, part.id.as_str()).options {
                assert!(
                    !option.permitted_routes().any(|route| route == Route::Welded),
                    "{} {}",
                    part.id,
                    option.action
                );
            }
            let warm = plan
                .operations
                .iter()
                .find(|operation| operation.part.as_ref() == Some(&part.id) && heats.contains(&operation.work.word()));
            assert_eq!(warm, None, "{} {kind}", part.id);
            assert!(!permitted(&plan, part.id.as_str(), Action::Section), "{} {kind}", part.id);
            tried += 1;
        }
    }
    assert!(tried >= 30, "only {tried} tried");

    // A soft shallow dent is pressed out cold, and the caution says why.
    let mut steel = book.clone();
    let floor = steel.parts.iter_mut().find(|part| part.id.as_str() == "floor-pan").expect("a floor pan");
    floor.family = Family::HighStrengthSteel;
    let mut one = mark("floor-pan", View::Underside, [1330, 550], 30, MarkKind::Dent, 4);
    one.sharp = false;
    let plan = planned(&steel, vec![one], FrameState::WithinTolerance, Shop::default());
    assert_eq!(decision(&plan, "floor-pan").recommended, Action::Repair);
    let cold = plan.operations.iter().find(|operation| operation.work.word() == "straighten-cold").expect("cold work");
    assert!(cold.cautions.contains(&Caution::Heat));
}

#[test]
fn body_and_frame_stay_isolated() {
    // Common practice, no source.
    let book = generic(BODY);
    let marks = vec![mark("radiator-support", View::Front, [600, 1060], 30, MarkKind::Buckle, 40)];
    let plan = planned(book, marks, FrameState::WithinTolerance, Shop::default());
    let isolates = |plan: &Plan, part: &str| {
        plan.operations.iter().any(|operation| {
            operation.work.word() == "isolate"
                && operation.stage == Stage::SealIsolate
                && operation.part.as_ref().is_some_and(|known| known.as_str() == part)
        })
    };
    assert!(isolates(&plan, "radiator-support"));
    // Every part of aluminium that is joined to steel requires it, and no other.
    for part in &book.parts {
        let steel = |id: &PartId| book.part(id).is_some_and(|other| other.family.metal() == model::terms::Metal::Steel);
        let aluminium = part.family.metal() == model::terms::Metal::Aluminium;
        if aluminium {
            let wanted = part.joints.iter().any(|joint| steel(&joint.to));
            assert_eq!(model::rules::mixed_joint(book, part), wanted, "{}", part.id);
        }
    }
    // The cab and the bed go back on the frame with their isolation.
    for access in ["refit-cab-lift", "refit-bed-off"] {
        assert!(model::words::word(access).contains("isolation"), "{access}");
    }
}

#[test]
fn a_kinked_frame_is_referred_and_measured_first() {
    // Common practice, no source.
    let book = generic(BODY);
    for frame in FrameState::ALL {
        let marks = vec![mark("frame-rail-left", View::Left, [1500, 480], 60, MarkKind::Kink, 50)];
        let plan = planned(book, marks, *frame, Shop::default());
        assert_eq!(decision(&plan, "frame-rail-left").recommended, Action::Refer, "{frame}");
        let stages: Vec<Stage> = plan.operations.iter().map(|operation| operation.stage).collect();
        assert!(stages.iter().all(|stage| *stage <= Stage::Measure), "{frame}: nothing is worked on: {stages:?}");
        assert!(plan.operations.iter().any(|operation| operation.work.word() == "frame-measure"), "{frame}");
    }
}
