//! What the built-in rule book says of typical damage. Source of every fact: common practice, no source.

mod support;

use model::ids::{MarkId, PartId};
use model::plan::{Shop, plan};
use model::terms::{Action, Coat, FrameState, Inspection, MarkKind, Route, Stage};
use support::{book, job, mark, permitted, plan_of, planned, recommended};

/// Kind, depth, radius, sharp, coat → recommended action.
#[test]
fn recommended_actions() {
    let book = book();
    use Action::{Leave, Refer, Refinish, Repair, Replace, Section};
    use Coat::{BareMetal, ClearOnly, ThroughColour, Whole};
    use MarkKind::{Buckle, Corrosion, Crack, Dent, EarlierRepair, HailField, Kink, Misfit, Missing, Scratch, Tear};
    let cases = [
        ("fender-left", Scratch, 0, 60, false, ClearOnly, Leave),
        ("fender-left", Scratch, 0, 60, false, ThroughColour, Refinish),
        ("fender-left", Dent, 4, 40, false, Whole, Repair),
        ("fender-left", Dent, 30, 60, true, BareMetal, Replace),
        ("fender-left", Buckle, 30, 60, true, BareMetal, Replace),
        ("fender-left", Missing, 0, 60, false, Whole, Replace),
        ("fender-left", Misfit, 0, 60, false, Whole, Repair),
        ("fender-left", EarlierRepair, 0, 60, false, Whole, Leave),
        ("fender-left", Tear, 5, 20, false, BareMetal, Repair),
        ("fender-left", Tear, 5, 120, false, BareMetal, Replace),
        ("hood", HailField, 3, 400, false, Whole, Repair),
        ("hood", Corrosion, 0, 20, false, BareMetal, Refinish),
        ("hood", Corrosion, 1, 20, false, BareMetal, Replace),
        ("roof", Dent, 60, 100, true, BareMetal, Replace),
        ("bed-cross-sill-3", Dent, 2, 10, false, BareMetal, Refinish),
        ("bed-cross-sill-3", Dent, 4, 10, false, BareMetal, Replace),
        ("apron-tube-left", Scratch, 0, 20, false, BareMetal, Refinish),
        ("rocker-left", Kink, 30, 40, true, BareMetal, Section),
        ("bumper-beam", Dent, 10, 40, false, BareMetal, Replace),
        ("crush-can-left", Dent, 5, 20, false, BareMetal, Replace),
        ("strut-tower-left", Crack, 0, 20, false, BareMetal, Replace),
        ("dash-cross-beam", Crack, 0, 20, false, BareMetal, Replace),
        ("dash-sound-panel", Dent, 5, 20, false, BareMetal, Refer),
        ("front-door-beam-left", Dent, 3, 20, false, BareMetal, Replace),
        ("b-pillar-reinforcement-left", Kink, 20, 30, true, BareMetal, Replace),
        ("floor-pan", EarlierRepair, 0, 40, false, Whole, Refer),
        ("floor-pan", Misfit, 0, 40, false, Whole, Refer),
        ("windscreen", Crack, 0, 8, false, Whole, Repair),
        ("windscreen", Crack, 0, 60, false, Whole, Replace),
        ("front-door-glass-left", Crack, 0, 8, false, Whole, Replace),
        ("headlamp-left", Crack, 0, 20, false, Whole, Replace),
        ("headlamp-left", Scratch, 0, 20, false, ClearOnly, Leave),
        ("grille", Crack, 0, 20, false, Whole, Repair),
        ("grille", Crack, 0, 90, false, Whole, Replace),
        ("front-wheel-left", Dent, 3, 20, false, Whole, Replace),
        ("front-suspension-left", Scratch, 0, 20, false, Whole, Replace),
        ("steering-gear", Dent, 3, 20, false, Whole, Replace),
        ("curtain-restraint-left", Misfit, 0, 20, false, Whole, Replace),
        ("fuel-tank", Scratch, 0, 20, false, Whole, Replace),
        ("battery", Crack, 0, 20, false, Whole, Replace),
        ("frame-rail-left", Dent, 4, 20, false, BareMetal, Refinish),
        ("frame-rail-left", Dent, 12, 20, false, BareMetal, Refer),
        ("frame-rail-left", Kink, 40, 40, true, BareMetal, Refer),
    ];
    for (part, kind, depth, radius, sharp, coat, wanted) in cases {
        let mut one = if part == "windscreen" {
            let at = support::point_on(book, part, model::terms::View::Front);
            support::mark_at(part, model::terms::View::Front, at, radius, kind, depth)
        } else {
            mark(book, part, radius, kind, depth)
        };
        (one.sharp, one.coat) = (sharp, coat);
        one.count = if kind == HailField { 60 } else { 0 };
        let plan = plan_of(book, vec![one]);
        assert_eq!(
            recommended(&plan, part),
            wanted,
            "{part} {kind} {depth} mm radius {radius}: {:?}",
            permitted(&plan, part)
        );
    }
}

#[test]
fn a_frame_that_is_not_measured_is_only_referred() {
    let book = book();
    let mut job = job(book);
    job.frame = FrameState::NotMeasured;
    job.marks.insert(MarkId::from("m"), mark(book, "frame-rail-left", 20, MarkKind::Dent, 2));
    let plan = planned(book, &job);
    assert_eq!(permitted(&plan, "frame-rail-left"), [Action::Refer]);
    assert!(plan.notices.iter().any(|notice| notice.key == "notice-frame-not-measured"));
}

#[test]
fn a_hold_is_followed_only_where_it_is_permitted() {
    let book = book();
    let mut job = job(book);
    let part = PartId::from("fender-left");
    job.marks.insert(MarkId::from("m"), mark(book, "fender-left", 40, MarkKind::Dent, 8));
    job.holds.insert(part.clone(), Action::Replace);
    let plan = planned(book, &job);
    assert_eq!((plan.decisions[0].recommended, plan.decisions[0].chosen), (Action::Repair, Action::Replace));
    assert_eq!(plan.decisions[0].refused_hold, None);
    job.holds.insert(part, Action::Leave);
    let plan = planned(book, &job);
    assert_eq!((plan.decisions[0].chosen, plan.decisions[0].refused_hold), (Action::Repair, Some(Action::Leave)));
    assert!(plan.notices.iter().any(|notice| notice.key == "notice-hold-refused"));
}

#[test]
fn a_closure_is_renewed_by_its_skin_or_whole() {
    let book = book();
    let mut one = mark(book, "front-door-left", 150, MarkKind::Crease, 30);
    one.sharp = true;
    let plan = plan_of(book, vec![one]);
    let option = plan.decisions[0].option(Action::Replace).expect("all six actions");
    let routes: Vec<Route> = option.permitted_routes().collect();
    assert_eq!(routes, [Route::Bolted, Route::Hemmed]);
    assert!(plan.operations.iter().any(|operation| operation.work.word() == "join-hem"));
    let plan = plan_of(book, vec![mark(book, "front-door-left", 150, MarkKind::Buckle, 80)]);
    let option = plan.decisions[0].option(Action::Replace).expect("all six actions");
    assert_eq!(option.permitted_routes().collect::<Vec<_>>(), [Route::Bolted]);
    assert!(plan.operations.iter().any(|operation| operation.work.word() == "make-ready"));
}

#[test]
fn pulled_aluminium_is_checked_for_cracks_before_it_is_painted() {
    let book = book();
    let plan = plan_of(book, vec![mark(book, "fender-left", 60, MarkKind::Dent, 12)]);
    let at = |work: &str| plan.operations.iter().position(|operation| operation.work.word() == work);
    let (pull, check, paint) = (at("straighten"), at("crack-check"), at("refinish-panel"));
    assert!(pull.is_some() && pull < check && check < paint, "{pull:?} {check:?} {paint:?}");
}

#[test]
fn reasons_carry_the_number_that_mattered() {
    let book = book();
    let plan = plan_of(book, vec![mark(book, "fender-left", 60, MarkKind::Dent, 48)]);
    let repair = plan.decisions[0].option(Action::Repair).expect("all six actions");
    let reason = repair.trace.iter().find(|trace| trace.rule.as_str() == "general-outer-too-deep").expect("it speaks");
    assert!(reason.reason.contains("48 mm") && reason.reason.contains("40 mm"), "{}", reason.reason);
}

#[test]
fn the_shops_equipment_changes_routes_and_bay() {
    let book = book();
    let mut job = job(book);
    job.marks.insert(MarkId::from("m"), mark(book, "bed-sill-left", 40, MarkKind::Buckle, 30));
    let bare = Shop { aluminium_welding: false, aluminium_bay: false, ..Shop::default() };
    let plan_bare = plan(book, model::rules::general(), &job, &bare);
    assert_eq!(recommended(&plan_bare, "bed-sill-left"), Action::Refer, "welded by the factory, no welder here");
    job.marks.insert(MarkId::from("m"), mark(book, "headboard", 40, MarkKind::Buckle, 30));
    let plan_bare = plan(book, model::rules::general(), &job, &bare);
    assert!(plan_bare.operations.iter().any(|operation| operation.work.word() == "clean-bay-set-up"));
}

#[test]
fn deployed_restraints_come_first_and_are_inspected_last() {
    let book = book();
    let mut job = job(book);
    job.restraints_deployed = true;
    job.marks.insert(MarkId::from("m"), mark(book, "fender-left", 40, MarkKind::Dent, 8));
    let plan = planned(book, &job);
    let safe = plan
        .operations
        .iter()
        .position(|operation| operation.access.as_ref().is_some_and(|id| id.as_str() == "restraints-safe"));
    let first_strip = plan.operations.iter().position(|operation| operation.stage > Stage::Measure);
    assert!(safe.is_some() && safe < first_strip, "{safe:?} {first_strip:?}");
    assert!(plan.operations.iter().any(|operation| operation.work.word() == "restraint-inspection"));
}

#[test]
fn look_behind_follows_the_load_nearest_first() {
    let book = book();
    let plan = plan_of(book, vec![mark(book, "fender-left", 60, MarkKind::Scratch, 0)]);
    assert!(plan.look_behind.is_empty(), "a scratch pushes nothing");
    let mut job = job(book);
    job.marks.insert(MarkId::from("a"), mark(book, "apron-tube-left", 40, MarkKind::Kink, 40));
    job.marks.insert(MarkId::from("b"), mark(book, "fender-left", 100, MarkKind::Buckle, 60));
    let plan = planned(book, &job);
    assert!(!plan.look_behind.is_empty());
    let order: Vec<(u32, f64)> = plan.look_behind.iter().map(|one| (one.hops, one.distance_mm)).collect();
    assert!(order.windows(2).all(|pair| pair[0] <= pair[1]), "{order:?}");
    assert!(plan.look_behind.iter().all(|one| one.hops <= 3));
    let marked = ["apron-tube-left", "fender-left"];
    assert!(plan.look_behind.iter().all(|one| !marked.contains(&one.part.as_str())), "marked parts are known");
    let mut once: Vec<&PartId> = plan.look_behind.iter().map(|one| &one.part).collect();
    once.sort();
    once.dedup();
    assert_eq!(once.len(), plan.look_behind.len());
    assert!(plan.notices.iter().any(|notice| notice.key == "notice-look-behind"));
    // Every one found sound: the notice goes.
    for one in &plan.look_behind {
        job.inspections.insert(one.part.clone(), Inspection::Sound);
    }
    let after = planned(book, &job);
    assert_eq!(after.look_behind.len(), plan.look_behind.len());
    assert!(after.notices.iter().all(|notice| notice.key != "notice-look-behind"));
    // Found damaged: the search goes on from there.
    let last = &plan.look_behind.last().expect("one at least").part;
    let beyond = &book.part(last).expect("a part").load;
    job.inspections.insert(last.clone(), Inspection::Damaged);
    let further = planned(book, &job);
    for load in beyond {
        let known = further.look_behind.iter().any(|one| one.part == load.to) || marked.contains(&load.to.as_str());
        assert!(known, "{}", load.to);
    }
}

#[test]
fn every_work_that_a_rule_may_require_has_its_words_in_the_plan() {
    for caution in model::terms::Caution::ALL {
        let text = model::operations::caution_words(*caution);
        assert!(text.ends_with('.') && text.contains("For "), "{text}");
    }
}
