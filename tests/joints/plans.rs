//! Joint plans of the demo jobs and of every part of the book replaced: distances by an independent judge, mirrored
//! parts, more metal never with fewer fasteners, trade facts, files.

use crate::near;
use checks::{python, read};
use model::catalogue::{Body, Book, Part, generic};
use model::decide::{Decision, Pick, RouteChoice};
use model::geometry::{Area, Line, Point};
use model::ids::PartId;
use model::job::wire;
use model::joints::layout::{Ground, Keep, Pattern, lay, positions};
use model::joints::{
    JointPlan, Stock, Wanted, What, draw, ink, joint_plans, json, made_with, materials, unjoinable, weld,
};
use model::plan::{Plan, Shop, plan};
use model::terms::{Action, Bed, Behind, Cab, Form, JointKind, Metal, Role, Route, Side, View};
use model::times::TimeBook;
use proptest::prelude::*;
use std::collections::BTreeSet;

const DEMOS: [&str; 6] = ["parking-scrape", "hail", "front-corner", "side-hit", "rear-hit", "kinked-frame"];

fn demo(name: &str) -> (&'static Book, Plan) {
    let job = wire::read_file(&read(&format!("public/demo/{name}.json"))).expect("a demo job").job;
    let book = generic(Body { cab: job.vehicle.cab, bed: job.vehicle.bed });
    (book, plan(book, model::rules::general(), &job, &Shop::default()))
}

fn joints_of(book: &Book, plan: &Plan, wanted: Wanted) -> Vec<JointPlan> {
    let picked: Vec<_> = plan.decisions.iter().map(std::sync::Arc::as_ref).zip(&plan.picks).collect();
    joint_plans(book, &picked, Stock::general(), TimeBook::general(), wanted)
}

/// Every part of the book as if it were replaced by that route, each for itself.
fn replaced(book: &Book, route: Route) -> Vec<(&Part, Vec<JointPlan>)> {
    replaced_with(book, route, Stock::general())
}

fn replaced_with<'b>(book: &'b Book, route: Route, stock: &Stock) -> Vec<(&'b Part, Vec<JointPlan>)> {
    let (_, template) = demo("side-hit");
    let template = template.decisions.first().expect("a decision");
    let one = |part: &Part| {
        let mut decision: Decision = (**template).clone();
        decision.part = part.id.clone();
        for option in &mut decision.options {
            option.routes = vec![RouteChoice { route, permitted: true, trace: Vec::new() }];
        }
        let pick = Pick { part: part.id.clone(), action: Action::Replace, route: Some(route), section: None };
        joint_plans(book, &[(&decision, &pick)], stock, TimeBook::general(), Wanted::Picked)
    };
    book.parts.iter().map(|part| (part, one(part))).collect()
}

fn host<'b>(book: &'b Book, plan: &JointPlan) -> Option<&'b Part> {
    let lies = plan.lies.as_ref()?;
    book.part(if lies.on_other { &plan.to } else { &plan.part })
}

/// No fastener closer than permitted to an edge, a bend or another: judged by shapely and scipy, for every demo and
/// every part of the body replaced.
#[test]
fn fasteners_keep_their_distances() {
    let book = generic(Body { cab: Cab::FourDoor, bed: Bed::Short });
    let mut plans: Vec<(&Book, JointPlan)> = Vec::new();
    for name in DEMOS {
        let (book, plan) = demo(name);
        plans.extend(joints_of(book, &plan, Wanted::Permitted).into_iter().map(|joint| (book, joint)));
    }
    for (_, joints) in replaced(book, Route::RivetedBonded) {
        plans.extend(joints.into_iter().map(|joint| (book, joint)));
    }
    plans.retain(|(_, joint)| !joint.fasteners.is_empty());
    let cases: Vec<_> = plans
        .iter()
        .map(|(book, joint)| {
            let (host, view) = (host(book, joint).expect("a host"), joint.lies.as_ref().expect("placed").view);
            let points = |points: &[Point]| points.iter().map(|p| [p.a, p.b]).collect::<Vec<_>>();
            serde_json::json!({
                "rings": host.shapes[&view].points().iter().map(|ring| points(ring)).collect::<Vec<_>>(),
                "bends": host.lines.get(&view).into_iter().flatten().map(|line| points(line.points())).collect::<Vec<_>>(),
                "places": joint.fasteners.iter().map(|placed| [placed.point.a, placed.point.b]).collect::<Vec<_>>(),
            })
        })
        .collect();
    let verdicts: Vec<serde_json::Value> =
        serde_json::from_str(&python("tests/outside/joint_places.py", &serde_json::json!(cases).to_string()))
            .expect("a list");
    let mut judged = 0;
    for ((_, joint), verdict) in plans.iter().zip(&verdicts) {
        let (used, lies) = (joint.fastener.as_ref().expect("a fastener"), joint.lies.as_ref().expect("placed"));
        let least = |list: &serde_json::Value| {
            list.as_array().into_iter().flatten().filter_map(serde_json::Value::as_f64).fold(f64::INFINITY, f64::min)
        };
        if let Some(apart) = verdict["apart"].as_f64() {
            assert!(apart >= used.keep.any_mm / lies.stretch - 0.01, "{}: {apart} apart", joint.id);
        }
        if used.kind != JointKind::Bolt {
            assert!(
                least(&verdict["edge"]) >= used.keep.edge_mm - 0.01,
                "{}: edge {}",
                joint.id,
                least(&verdict["edge"])
            );
            assert!(least(&verdict["bend"]) >= used.keep.bend_mm - 0.01, "{}: bend", joint.id);
            assert!(verdict["inside"].as_array().expect("a list").iter().all(|inside| inside == true), "{}", joint.id);
        }
        for placed in &joint.fasteners {
            assert!(placed.pitch_mm == 0.0 || placed.pitch_mm >= used.keep.pitch_mm - 0.01, "{}", joint.id);
            assert!(used.kind == JointKind::Bolt || placed.edge_mm >= used.keep.edge_mm - 0.01, "{}", joint.id);
        }
        judged += joint.fasteners.len();
    }
    assert!(judged > 2000, "{judged} fasteners judged");
}

/// Mirrored parts have mirrored maps: every pair of the body, riveted, welded and bolted.
#[test]
fn mirrored_parts_have_mirrored_maps() {
    let book = generic(Body { cab: Cab::FourDoor, bed: Bed::Short });
    let mut compared = 0;
    for route in [Route::RivetedBonded, Route::Welded, Route::Bolted] {
        let all = replaced(book, route);
        for (left, joints) in all.iter().filter(|(part, _)| part.side == Side::Left) {
            let mirror = |id: &str| match id.strip_suffix("-left") {
                Some(base) => format!("{base}-right"),
                None => id.strip_suffix("-right").map_or_else(|| id.to_owned(), |base| format!("{base}-left")),
            };
            let right_id = mirror(left.id.as_str());
            // What stands on one side only, as battery and fuel tank do, takes room there that is free on the other.
            let one_sided = |id: &PartId| {
                let part = book.part(id).expect("a part");
                mirror(id.as_str()) == id.as_str() && part.centre().1.abs() > 1.0
            };
            if one_sided(&left.id) || left.joints.iter().any(|joint| one_sided(&joint.to)) {
                continue;
            }
            assert_eq!(
                joints.len(),
                all.iter().find(|(part, _)| part.id.as_str() == right_id).map_or(0, |(_, all)| all.len())
            );
            let Some((_, others)) = all.iter().find(|(part, _)| part.id.as_str() == right_id) else { continue };
            for joint in joints {
                let to = mirror(joint.to.as_str());
                let twin = others.iter().find(|other| other.to.as_str() == to && other.what == joint.what);
                let twin = twin.unwrap_or_else(|| panic!("{} has no twin", joint.id));
                assert_eq!(joint.fasteners.len(), twin.fasteners.len(), "{} and {}", joint.id, twin.id);
                near(joint.length_mm, twin.length_mm, 0.01);
                let (Some(lies), Some(there)) = (&joint.lies, &twin.lies) else { continue };
                let turned = match lies.view {
                    View::Left => View::Right,
                    View::Right => View::Left,
                    other => other,
                };
                assert_eq!(turned, there.view, "{}", joint.id);
                for (one, other) in joint.fasteners.iter().zip(&twin.fasteners) {
                    let sign = |axis: usize| if axis == 1 { -1.0 } else { 1.0 };
                    let (first, second) = lies.view.plane();
                    let away =
                        (one.point.a * sign(first) - other.point.a).hypot(one.point.b * sign(second) - other.point.b);
                    assert!(
                        away < 0.05 && one.number == other.number,
                        "{}: fastener {} is {away} mm off",
                        joint.id,
                        one.number
                    );
                    compared += 1;
                }
            }
        }
    }
    assert!(compared > 600, "{compared} fasteners compared");
}

fn keep() -> Keep {
    Keep { edge_mm: 10.6, end_mm: 10.6, pitch_mm: 15.9, any_mm: 13.25, bend_mm: 7.0 }
}

/// A leg exactly as long as its two end distances takes one fastener, whichever way the length was rounded.
#[test]
fn a_leg_of_two_end_distances_takes_one() {
    for length in [2.0 * keep().end_mm - 1e-10, 2.0 * keep().end_mm, 2.0 * keep().end_mm + 1e-10] {
        for pattern in [Pattern::New(40.0), Pattern::Kept(45.0)] {
            assert_eq!(positions(length, pattern, &keep()).len(), 1, "{length} {pattern:?}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 400, ..ProptestConfig::default() })]

    /// A longer flange never has fewer, places stay within it and apart, whatever the pattern.
    #[test]
    fn longer_never_fewer(length in 1.0..3000.0_f64, more in 0.0..400.0_f64, pitch in 40.0..120.0_f64, which in 0..3_u8) {
        let pattern = match which {
            0 => Pattern::New(pitch),
            1 => Pattern::Kept(pitch),
            _ => Pattern::Beside(pitch, 10.6),
        };
        let (short, long) = (positions(length, pattern, &keep()), positions(length + more, pattern, &keep()));
        prop_assert!(long.len() >= short.len(), "{} at {length}, {} at {}", short.len(), long.len(), length + more);
        for place in &short {
            prop_assert!(*place >= keep().end_mm - 1e-6 && *place <= length - keep().end_mm + 1e-6);
        }
        for pair in short.windows(2) {
            prop_assert!(pair[1] - pair[0] >= keep().pitch_mm - 1e-6);
            if which == 0 {
                prop_assert!(pair[1] - pair[0] <= pitch + 1e-6, "evenly and no wider than the pitch");
            }
        }
        // The same from the other end where the pattern is symmetric.
        if which < 2 {
            for (one, other) in short.iter().zip(short.iter().rev()) {
                prop_assert!((one - (length - other)).abs() < 1e-6);
            }
        }
        // Old places are kept or kept away from, as the pattern says.
        let old: Vec<f64> = positions(length, Pattern::Kept(pitch), &Keep { end_mm: 0.0, ..keep() });
        if which == 2 {
            for place in &short {
                prop_assert!(old.iter().all(|old| (old - place).abs() >= 10.6 - 1e-6));
            }
        }
    }

    /// On a real strip with bends across it and a barred disc, nothing is set too near; taking a bend away never costs a
    /// fastener.
    #[test]
    fn strips_with_bends(length in 60.0..1500.0_f64, width in 22.0..80.0_f64, bends in prop::collection::vec(0.0..1500.0_f64, 0..5), turn in 0.0..6.3_f64) {
        let at = |along: f64, aside: f64| Point::new(along * turn.cos() - aside * turn.sin(), along * turn.sin() + aside * turn.cos());
        let corners = [at(0.0, 0.0), at(length, 0.0), at(length, width), at(0.0, width)];
        let outline = Area::from_points(&corners).expect("a strip");
        let lines: Vec<Line> = bends.iter().map(|x| Line::new(vec![at(*x, -10.0), at(*x, width + 10.0)])).collect();
        let leg = [at(0.0, 0.0), at(length, 0.0)];
        let rows = [(width / 2.0, width / 2.0)];
        let ground = Ground { outline: Some(&outline), bends: &lines, barred: Vec::new() };
        let mut taken = Vec::new();
        let (sites, left_out) = lay(&leg, &rows, Pattern::New(40.0), &keep(), 1.0, &ground, &mut taken);
        prop_assert_eq!(taken.len(), sites.len());
        for (n, site) in sites.iter().enumerate() {
            prop_assert!(outline.distance_to_edge(site.point) >= keep().edge_mm - 1e-6);
            prop_assert!(site.edge_mm >= keep().edge_mm - 1e-6);
            for x in &bends {
                prop_assert!((site.along_mm - x).abs() >= keep().bend_mm - 1e-6);
            }
            for other in &sites[..n] {
                prop_assert!(other.point.distance(site.point) >= keep().pitch_mm - 1e-6);
            }
        }
        let open = Ground { outline: Some(&outline), bends: &[], barred: Vec::new() };
        let (free, none) = lay(&leg, &rows, Pattern::New(40.0), &keep(), 1.0, &open, &mut Vec::new());
        prop_assert!(free.len() >= sites.len() && none.sum() == 0 && free.len() == sites.len() + left_out.sum());
    }

    /// Stitches cover the seam once, in an order that skips: the next is never laid beside the last from five up.
    #[test]
    fn stitches_skip(length in 1.0..4000.0_f64, longest in 15.0..60.0_f64) {
        let stitches = weld::stitches(length, longest);
        let mut end = 0.0;
        for stitch in &stitches {
            let (low, high) = (stitch.from_mm.min(stitch.to_mm), stitch.from_mm.max(stitch.to_mm));
            prop_assert!((low - end).abs() < 1e-6 && high - low <= longest + 1e-6);
            end = high;
        }
        prop_assert!((end - length).abs() < 1e-6);
        let orders: BTreeSet<u32> = stitches.iter().map(|stitch| stitch.order).collect();
        prop_assert_eq!(orders.len(), stitches.len());
        prop_assert_eq!(orders.last().copied(), u32::try_from(stitches.len()).ok());
        if stitches.len() >= 5 {
            for pair in stitches.windows(2) {
                prop_assert!(pair[0].order.abs_diff(pair[1].order) > 1, "{:?}", stitches);
            }
        }
    }
}

/// Trade facts (common practice, no source): flow-drill screws come back as structural blind rivets; self-piercing
/// rivets need access from both sides; rivets and adhesive go together; the adhesive also isolates; clips are no joint.
#[test]
fn trade_facts() {
    let book = generic(Body { cab: Cab::FourDoor, bed: Bed::Short });
    let shut = |part: &Part| matches!(part.form, Form::Tube | Form::Extrusion) || part.behind == Behind::Closed;
    let (mut screws, mut pierced, mut mixed) = (0, 0, 0);
    for (part, joints) in replaced(book, Route::RivetedBonded) {
        for joint in joints {
            let other = book.part(&joint.to).expect("joined to a part");
            let kind = joint.fastener.as_ref().map(|used| used.kind);
            if joint.what == What::Factory(JointKind::FlowDrillScrew) {
                assert!(kind.is_none_or(|kind| kind == JointKind::StructuralBlindRivet), "{}", joint.id);
                screws += 1;
            }
            if kind == Some(JointKind::SelfPiercingRivet) {
                assert!(!shut(part) && !shut(other), "{}: one side cannot be reached", joint.id);
                pierced += 1;
            }
            if kind.is_some_and(|kind| kind != JointKind::Bolt) {
                assert!(joint.adhesive.is_some(), "{}: rivets without adhesive", joint.id);
            }
            let metals = [part.family.metal(), other.family.metal()];
            if metals.contains(&Metal::Aluminium) && metals.contains(&Metal::Steel) {
                let apart = joint.isolation.as_ref().unwrap_or_else(|| panic!("{}: aluminium on steel", joint.id));
                assert!(!apart.barrier.is_empty() && apart.edge.is_some());
                assert!(apart.coated.is_none_or(|coated| coated));
                assert_eq!(
                    apart.barrier_amount.is_none(),
                    joint.adhesive.is_some(),
                    "{}: the adhesive isolates",
                    joint.id
                );
                near(apart.difference_v, if part.family != other.family { apart.difference_v } else { 0.05 }, 1e-9);
                mixed += 1;
            } else if metals[0] == metals[1] {
                assert!(joint.isolation.is_none(), "{}", joint.id);
            }
            assert_ne!(joint.what, What::Factory(JointKind::Clip));
        }
    }
    assert!(screws > 5 && pierced > 10 && mixed > 10, "{screws} {pierced} {mixed}");
}

/// Unlike metals are never welded; a weld carries its heat, its softened zone and what must come out.
#[test]
fn welds() {
    let book = generic(Body { cab: Cab::FourDoor, bed: Bed::Short });
    let (mut seams, mut out, mut sealed) = (0, 0, 0);
    for (part, joints) in replaced(book, Route::Welded) {
        for joint in joints {
            let other = book.part(&joint.to).expect("joined to a part");
            let Some(seam) = &joint.weld else { continue };
            assert_eq!(part.family.metal(), other.family.metal(), "{}", joint.id);
            assert!(joint.adhesive.is_none(), "{}: adhesive would burn", joint.id);
            assert!(seam.heat_kj_mm > 0.05 && seam.heat_kj_mm < 1.0 && seam.passes >= 1 && seam.haz_mm >= 20.0);
            assert!(seam.wire_g > 0.0);
            for harmed in &seam.must_out {
                let harmed_part = book.part(&harmed.part).expect("a part");
                match harmed.what {
                    "foam" | "wiring" => assert!(harmed_part.has(harmed.what)),
                    "glass-edge" => assert_eq!(harmed_part.role, Role::Glass),
                    "adhesive" => assert!(harmed_part.joints.iter().any(|joint| joint.adhesive)),
                    // What the isolation of a joint asks for lies there from the factory too.
                    "sealer" => {
                        assert_ne!(part.family.metal(), harmed_part.family.metal(), "{}", joint.id);
                        sealed += 1;
                    }
                    other => panic!("{other}"),
                }
                out += 1;
            }
            if let Some(foam) = [part, other].into_iter().find(|part| {
                part.has("foam")
                    && joint.lies.as_ref().is_some_and(|lies| !lies.assumed && part.shapes.contains_key(&lies.view))
            }) {
                assert!(
                    seam.must_out.iter().any(|out| out.what == "foam" && out.part == foam.id),
                    "{}: foam of {}",
                    joint.id,
                    foam.id
                );
            }
            if let Some(found) = &joint.screening {
                assert!(found.riveted.is_none() && found.bonded.is_none() && found.welded.is_some());
            }
            seams += 1;
        }
    }
    assert!(seams > 40 && out > 40 && sealed > 0, "{seams} {out} {sealed}");
}

/// Every figure of strength carries the sentence that it is a screening aid, and the best way counts, not a sum.
#[test]
fn screening_says_what_it_is() {
    let mut screened = 0;
    for name in DEMOS {
        let (book, plan) = demo(name);
        let joints = joints_of(book, &plan, Wanted::Permitted);
        let text = json::to_json(Stock::general(), &joints, &[], &[], &[], &[], &[]);
        for (joint, written) in joints.iter().zip(text["joints"].as_array().expect("joints")) {
            let Some(found) = &joint.screening else {
                assert!(written["screening"].is_null());
                continue;
            };
            let caution = written["screening"]["caution"].as_str().expect("the sentence");
            assert!(
                caution.contains("screening aid")
                    && caution.contains("procedure")
                    && caution.contains("engineer decide")
            );
            let best = [found.riveted, found.bonded, found.welded]
                .into_iter()
                .flatten()
                .map(|one| one.tension)
                .fold(0.0, f64::max);
            near(found.share.tension, best / found.panel.tension, 1e-9);
            screened += 1;
        }
    }
    assert!(screened > 60, "{screened}");
}

/// The working time against the time book, by hand: fasteners and metres of all bonded joints of the part.
#[test]
fn working_time_is_that_of_the_time_book() {
    let (book, plan) = demo("side-hit");
    let joints = joints_of(book, &plan, Wanted::Picked);
    let rocker: Vec<&JointPlan> =
        joints.iter().filter(|joint| joint.part == PartId::from("rocker-left") && joint.adhesive.is_some()).collect();
    assert!(rocker.len() > 2);
    let per = |work: &str, unit: model::terms::Unit| {
        TimeBook::general().works[work]
            .per
            .iter()
            .find(|(known, _)| *known == unit)
            .map_or(0.0, |(_, each)| f64::from(each.seconds))
    };
    let seconds: f64 = rocker
        .iter()
        .map(|joint| {
            let work = if matches!(joint.what, What::Factory(_)) { "join-part" } else { "join-section" };
            #[allow(clippy::cast_precision_loss)]
            let count = joint.fasteners.len() as f64;
            count * per(work, model::terms::Unit::Fastener)
                + joint.length_mm / 1e3 * per(work, model::terms::Unit::MetreJoint)
        })
        .sum();
    for joint in rocker {
        let bead = joint.adhesive.as_ref().expect("bonded");
        near(bead.fitting_minutes, seconds / 60.0, 1e-6);
        let short = bead.fitting_minutes > bead.working_minutes;
        assert_eq!(short, joint.notes.iter().any(|note| note.key == "joint-time-short"));
        assert!(f64::from(bead.people) * bead.working_minutes >= bead.fitting_minutes, "enough people");
    }
}

/// The same job gives the same bytes, and every sentence has its words.
#[test]
fn plans_are_deterministic_and_in_words() {
    for name in DEMOS {
        let (book, plan) = demo(name);
        let write = || {
            let joints = joints_of(book, &plan, Wanted::Permitted);
            let coats = materials::refinish(Stock::general(), &plan.operations);
            let lines = materials::materials(Stock::general(), &joints, &coats);
            (
                json::to_json(Stock::general(), &joints, &[], &[], &coats, &[], &lines).to_string(),
                ink::to_svg(book, &joints, None, name),
                lines,
            )
        };
        let (first, again) = (write(), write());
        assert_eq!(first.0, again.0, "{name}");
        assert_eq!(first.1, again.1, "{name}");
        let text: serde_json::Value = serde_json::from_str(&first.0).expect("JSON");
        for joint in text["joints"].as_array().expect("joints") {
            for said in joint["notes"].as_array().into_iter().chain(joint["problems"].as_array()).flatten() {
                let words = said["text"].as_str().expect("words");
                assert!(words.contains(' ') && !words.contains('$') && !words.contains('{'), "{said}");
            }
            for field in ["part", "to", "route", "stack_mm", "fasteners", "adhesive", "weld", "isolation", "screening"]
            {
                assert!(joint.get(field).is_some(), "{field}");
            }
        }
        let csv = materials::to_csv(&first.2);
        assert_eq!(csv.matches("\r\n").count(), first.2.len() + 1);
        for line in &first.2 {
            let sum: f64 = line.uses.iter().map(|(_, amount)| amount).sum();
            assert!(line.amount >= sum - 1e-6, "{}: {} of {sum}", line.id, line.amount);
            assert!(line.kind == "coat" || (line.amount - sum).abs() < 1e-6, "{}", line.id);
        }
    }
}

/// The map is true to size, tells kinds of fastener apart by shape and label, and has a bar of 100 mm: read back by an
/// XML parser.
#[test]
fn the_map_is_true_to_size() {
    let (book, plan) = demo("side-hit");
    let joints = joints_of(book, &plan, Wanted::Picked);
    let text = ink::to_svg(book, &joints, None, "Side hit");
    let document = roxmltree::Document::parse(&text).expect("XML");
    let root = document.root_element();
    let size: Vec<f64> =
        root.attribute("viewBox").expect("a view box").split(' ').map(|n| n.parse().expect("a number")).collect();
    let millimetres = |name: &str| {
        root.attribute(name).and_then(|text| text.strip_suffix("mm")).expect("in mm").parse::<f64>().expect("a number")
    };
    near(millimetres("width"), size[2], 0.06);
    near(millimetres("height"), size[3], 0.06);
    let bars: Vec<_> = document.descendants().filter(|node| node.attribute("data-scale") == Some("100")).collect();
    let maps = document.descendants().filter(|node| node.attribute("data-view").is_some()).count();
    assert!(maps >= 4 && bars.len() == maps);
    let bar = bars[0]
        .descendants()
        .find(|node| node.has_tag_name("path"))
        .and_then(|node| node.attribute("d"))
        .expect("a bar");
    let (from, rest) = bar[1..].split_once(' ').expect("a start");
    let to: f64 =
        rest.split('H').nth(1).and_then(|rest| rest.split('M').next()).expect("an end").parse().expect("a number");
    near(to - from.parse::<f64>().expect("a number"), 100.0, 1e-6);
    let drawn = document.descendants().filter(|node| node.attribute("data-fastener").is_some()).count();
    let placed: usize = joints.iter().map(|joint| joint.fasteners.len()).sum();
    assert!(placed > 150);
    assert_eq!(drawn, placed);
    let kinds = [JointKind::SelfPiercingRivet, JointKind::StructuralBlindRivet, JointKind::SolidRivet, JointKind::Bolt];
    let shapes: BTreeSet<String> = kinds.iter().map(|kind| draw::mark(*kind, Point::new(0.0, 0.0), 3.0)).collect();
    let letters: BTreeSet<&str> = kinds.iter().map(|kind| draw::letter(*kind)).collect();
    assert_eq!((shapes.len(), letters.len()), (4, 4));
    // Numbers of a joint run from 1 without a gap.
    for joint in &joints {
        let numbers: Vec<u32> = joint.fasteners.iter().map(|placed| placed.number).collect();
        assert_eq!(numbers, (1..).take(numbers.len()).collect::<Vec<u32>>());
    }
}

/// A fastener whose grip no longer takes the stack, a list without blind rivets: the joint says so and is not laid out.
#[test]
fn what_cannot_be_made_is_said_at_the_joint() {
    let (book, plan) = demo("side-hit");
    let picked: Vec<_> = plan.decisions.iter().map(std::sync::Arc::as_ref).zip(&plan.picks).collect();
    let mut poor = (**Stock::general()).clone();
    poor.fasteners.retain(|one| one.kind != JointKind::StructuralBlindRivet || one.grip_mm.1 < 5.0);
    let joints = joint_plans(book, &picked, &poor, TimeBook::general(), Wanted::Picked);
    let cut = joints.iter().find(|joint| joint.id.starts_with("rocker-left/cut/")).expect("a cut");
    assert!(cut.fasteners.is_empty());
    let problem = cut.problems.first().expect("a problem");
    assert_eq!(problem.key, "joint-stack-thick");
    assert!(problem.place.starts_with("rocker-left/cut/"), "{}", problem.place);
    assert!(problem.to_string().contains("6.3 mm"), "{problem}");
}

/// Some plans of made-up jobs in which random permitted options are picked.
fn picked_at_random(seeds: std::ops::Range<u64>) -> impl Iterator<Item = (u64, &'static Book, Plan, Vec<Pick>)> {
    seeds.map(|seed| {
        let mut numbers = checks::Numbers::new(seed + 900);
        let mut job = model::generate::job(seed, 6 + numbers.below(14)).expect("a job");
        job.frame = model::terms::FrameState::WithinTolerance;
        let book = generic(Body { cab: job.vehicle.cab, bed: job.vehicle.bed });
        let plan = plan(book, model::rules::general(), &job, &Shop::default());
        // Section and replacement wherever they are permitted, so that neighbours meet.
        let pick = |(decision, standing): (&std::sync::Arc<Decision>, &Pick)| {
            let renews =
                |one: &&model::decide::Choice| one.permitted && matches!(one.action, Action::Section | Action::Replace);
            let options: Vec<_> = decision.options.iter().filter(renews).collect();
            if options.is_empty() {
                return standing.clone();
            }
            let option = options[numbers.below(options.len())];
            let routes: Vec<Route> = option.permitted_routes().collect();
            let route = (!routes.is_empty()).then(|| routes[numbers.below(routes.len())]);
            let section = option.section.clone().map(std::sync::Arc::new);
            Pick { part: decision.part.clone(), action: option.action, route, section }
        };
        let picks = plan.decisions.iter().zip(&plan.picks).map(pick).collect();
        (seed, book, plan, picks)
    })
}

/// Every joint of every renewed part stands on one sheet: whole where one of its parts is replaced whole, and no stretch of
/// it on two where both are sectioned; a part says on whose sheet its joint stands.
#[test]
fn a_joint_stands_on_one_sheet() {
    let (mut shared, mut cut) = (0, 0);
    for (seed, book, plan, picks) in picked_at_random(0..80) {
        let picked: Vec<_> = plan.decisions.iter().map(std::sync::Arc::as_ref).zip(&picks).collect();
        let made = |picked: &[(&Decision, &Pick)]| {
            joint_plans(book, picked, Stock::general(), TimeBook::general(), Wanted::Picked)
        };
        let joints = made(&picked);
        let with = made_with(book, &picked, &joints);
        let pick = |id: &PartId| picks.iter().find(|pick| pick.part == *id);
        let whole =
            |pick: &Pick| pick.action == Action::Replace && pick.route.is_some_and(|route| route != Route::Hemmed);
        let on = |part: &PartId, to: &PartId, kind: JointKind| -> Vec<&JointPlan> {
            let what = What::Factory(kind);
            joints.iter().filter(|one| one.part == *part && one.to == *to && one.what == what).collect()
        };
        let length = |plans: &[&JointPlan]| plans.iter().map(|one| one.length_mm).sum::<f64>();
        for one in &picks {
            let Some(part) = book.part(&one.part).filter(|_| whole(one) || one.section.is_some()) else { continue };
            for joint in part.joints.iter().filter(|joint| joint.kind != JointKind::Clip) {
                let all: f64 = part
                    .joints
                    .iter()
                    .filter(|other| other.to == joint.to && other.kind == joint.kind)
                    .map(|other| other.length_mm)
                    .sum();
                let (here, there) = (on(&part.id, &joint.to, joint.kind), on(&joint.to, &part.id, joint.kind));
                let other = pick(&joint.to).filter(|other| whole(other) || other.section.is_some());
                if whole(one) || other.is_some_and(whole) {
                    near(length(&here) + length(&there), all, 0.01 * all);
                    assert!(here.is_empty() || there.is_empty(), "seed {seed}: {} to {} twice", part.id, joint.to);
                }
                let Some(other) = other else {
                    assert!(there.is_empty());
                    continue;
                };
                // Both are cut: what each would open alone.
                let alone = |pick: &Pick, to: &PartId| {
                    let decision = plan.decisions.iter().find(|decision| decision.part == pick.part).expect("one");
                    let own = made(&[(decision, pick)]);
                    let what = What::Factory(joint.kind);
                    own.iter().filter(|one| one.to == *to && one.what == what).map(|one| one.length_mm).sum::<f64>()
                };
                let both = !whole(one) && !whole(other);
                let (mine, theirs) = if both { (alone(one, &joint.to), alone(other, &part.id)) } else { (1.0, 1.0) };
                if mine > 0.0 && here.is_empty() && !there.is_empty() {
                    let said = with.iter().find(|said| said.part == part.id && said.with == joint.to);
                    let said = said.unwrap_or_else(|| panic!("seed {seed}: {} does not name {}", part.id, joint.to));
                    assert!(there.iter().all(|plan| said.joints.contains(&plan.id)), "seed {seed}: {said:?}");
                    shared += 1;
                }
                if !both {
                    continue;
                }
                // Together no less than the longer stretch alone, no more than both, nowhere twice.
                let together = length(&here) + length(&there);
                assert!(together >= mine.max(theirs) * 0.94 - 40.0, "seed {seed}: {together} of {mine} and {theirs}");
                assert!(together <= mine + theirs + 0.1, "seed {seed}: {together} of {mine} and {theirs}");
                for (one, two) in here.iter().flat_map(|one| there.iter().map(move |two| (one, two))) {
                    let (Some(first), Some(second)) = (&one.lies, &two.lies) else { continue };
                    if first.view.plane() != second.view.plane() {
                        continue;
                    }
                    for a in &one.fasteners {
                        let apart = two.fasteners.iter().map(|b| a.point.distance(b.point)).fold(f64::MAX, f64::min);
                        assert!(apart > 10.0, "seed {seed}: {} and {} {apart} mm apart", one.id, two.id);
                    }
                }
                cut += usize::from(together < mine + theirs - 1.0);
            }
        }
    }
    assert!(shared > 100 && cut > 1, "{shared} {cut}");
}

/// On a screen no word lies on a fastener, whatever the scale; what has no room is left out, and more of it is shown nearer.
#[test]
fn no_word_covers_a_mark() {
    let (book, plan) = demo("side-hit");
    let joints = joints_of(book, &plan, Wanted::Picked);
    for map in draw::maps(book, &joints, Some(&PartId::from("floor-pan"))) {
        let mut shown = Vec::new();
        for px_per_mm in [0.2, 0.4, 1.0, 2.0] {
            let ink = draw::Ink::screen(px_per_mm);
            let drawing = draw::drawing(&map, ink);
            let marks: Vec<_> = drawing.shapes.iter().filter(|shape| shape.look == draw::Look::Fastener).collect();
            let words: Vec<_> = drawing.labels.iter().filter(|label| !label.names).collect();
            for word in &words {
                let letters: f64 = word.text.chars().map(|_| 0.6 * ink.text_mm).sum();
                let covered = marks.iter().find(|mark| {
                    let (low, high) = (mark.bounds.low, mark.bounds.high);
                    low.a < word.at.a + letters
                        && high.a > word.at.a
                        && low.b < word.at.b
                        && high.b > word.at.b - 0.7 * ink.text_mm
                });
                assert!(covered.is_none(), "{px_per_mm}: {} at {:?}", word.text, word.at);
            }
            shown.push(words.len());
        }
        assert!(shown.is_sorted() && shown.last() > shown.first(), "{shown:?}");
    }
}

/// Of two joints alike the longer one takes more adhesive and no fewer cartridges, more wire, more sealer.
#[test]
fn volumes_grow_with_length() {
    let book = generic(Body { cab: Cab::FourDoor, bed: Bed::Short });
    let (mut bonded, mut welded, mut sealed) = (0, 0, 0);
    for route in [Route::RivetedBonded, Route::Welded] {
        let mut all: Vec<_> = replaced(book, route).into_iter().flat_map(|(_, joints)| joints).collect();
        all.sort_by(|one, other| one.length_mm.total_cmp(&other.length_mm));
        let pairs = all.iter().enumerate().flat_map(|(at, short)| all[at + 1..].iter().map(move |long| (short, long)));
        for (short, long) in pairs.filter(|(short, long)| short.length_mm + 0.1 < long.length_mm) {
            if let (Some(less), Some(more)) = (&short.adhesive, &long.adhesive)
                && (&less.id, less.beads) == (&more.id, more.beads)
            {
                assert!(less.volume_ml < more.volume_ml && less.cartridges <= more.cartridges, "{}", long.id);
                bonded += 1;
            }
            if let (Some(less), Some(more)) = (&short.weld, &long.weld)
                && (&short.what, &short.stack_mm, less.filler) == (&long.what, &long.stack_mm, more.filler)
            {
                assert!(less.wire_g < more.wire_g, "{}", long.id);
                welded += 1;
            }
            let edge = |plan: &JointPlan| plan.isolation.as_ref().and_then(|apart| Some(apart.edge.as_ref()?.1));
            if let (Some(less), Some(more)) = (edge(short), edge(long)) {
                assert!(less < more, "{}", long.id);
                sealed += 1;
            }
        }
    }
    assert!(bonded > 1000 && welded > 50 && sealed > 50, "{bonded} bonded, {welded} welded, {sealed} sealed");
}

/// On every built-in body each factory joint that is riveted finds places for its fasteners in the built-in list.
#[test]
fn the_built_in_list_makes_the_built_in_joints() {
    let mut smaller = 0;
    for (cab, bed) in [(Cab::FourDoor, Bed::Short), (Cab::Extended, Bed::Standard), (Cab::TwoDoor, Bed::Long)] {
        let parts = replaced(generic(Body { cab, bed }), Route::RivetedBonded);
        // No rule lets anybody rivet a frame.
        for (_, joints) in parts.into_iter().filter(|(part, _)| part.role != Role::Frame) {
            for joint in joints {
                smaller += usize::from(joint.notes.iter().any(|note| note.key == "joint-note-smaller"));
                assert!(joint.problems.is_empty(), "{cab:?}: {}", joint.problems[0]);
            }
        }
    }
    assert!(smaller > 3, "{smaller} joints take a smaller fastener");
}

/// Where the shop has no fastener that finds enough places, the joint says which one would.
#[test]
fn a_smaller_fastener_that_would_do_is_named() {
    let book = generic(Body { cab: Cab::FourDoor, bed: Bed::Short });
    let mut large = (**Stock::general()).clone();
    large.fasteners.retain(|one| one.kind != JointKind::StructuralBlindRivet || one.diameter_mm > 6.0);
    let mut named = 0;
    for (_, joints) in replaced_with(book, Route::RivetedBonded, &large) {
        for problem in joints.iter().flat_map(|joint| &joint.problems) {
            let said = problem.message(model::words::Language::English);
            named += usize::from(said.contains("A structural blind rivet of 4.8 mm that grips"));
            assert!(said.contains("would find enough places") || said.contains("ask the maker"), "{said}");
        }
    }
    assert!(named > 3, "{named} joints name the smaller one");
}

/// A cut is drawn as long as the section says, also where two new pieces are joined to each other; a stretch of a joint
/// that is too short for a fastener says so.
#[test]
fn cuts_are_drawn_whole_and_short_stretches_named() {
    let (mut between_new, mut short) = (0, 0);
    for (seed, book, plan, picks) in picked_at_random(0..80) {
        let picked: Vec<_> = plan.decisions.iter().map(std::sync::Arc::as_ref).zip(&picks).collect();
        let joints = joint_plans(book, &picked, Stock::general(), TimeBook::general(), Wanted::Picked);
        for joint in &joints {
            for problem in &joint.problems {
                short += usize::from(problem.key == "joint-short");
                assert!(!problem.to_string().contains("None of 0 places"), "seed {seed}: {problem}");
            }
            let section = picks.iter().find(|pick| pick.part == joint.part).and_then(|pick| pick.section.as_ref());
            let (What::Butt(id) | What::Lap(id)) = &joint.what else { continue };
            let cut = section.and_then(|plan| plan.cuts.iter().find(|cut| cut.cut == *id)).expect("its cut");
            between_new += usize::from(cut.between_new_mm > 0.0);
            near(joint.length_mm, cut.length_mm, 0.05 * cut.length_mm + 10.0);
        }
    }
    assert!(between_new > 0 && short > 0, "{between_new} {short}");
}

/// A part that the rules let nobody join is named with every reason; its other plans stand.
#[test]
fn a_part_with_no_permitted_route_is_named() {
    let (book, plan) = demo("side-hit");
    let at = plan.picks.iter().position(|pick| pick.route.is_some()).expect("something is joined");
    let mut decision = (*plan.decisions[at]).clone();
    let mut pick = plan.picks[at].clone();
    (pick.route, pick.section, pick.action) = (None, None, Action::Replace);
    let usual = [(&*plan.decisions[at], &plan.picks[at])];
    assert_eq!(unjoinable(book, &usual), Vec::new());
    for option in &mut decision.options {
        for way in &mut option.routes {
            way.permitted = false;
            for trace in &mut way.trace {
                trace.effect = model::decide::Effect::Forbids;
            }
        }
    }
    let said = unjoinable(book, &[(&decision, &pick)]);
    assert_eq!(said.len(), 1);
    assert_eq!((said[0].key, said[0].place.as_str()), ("joint-no-route", pick.part.as_str()));
    let text = said[0].message(model::words::Language::English);
    let option = decision.option(Action::Replace).expect("an option");
    assert!(!option.routes.is_empty());
    for way in &option.routes {
        assert!(text.contains(&model::words::word(way.route.key())), "{text}");
    }
    assert!(text.contains("would make it possible"), "{text}");
}

/// A flange too narrow for any permitted row is named at its joint, with the width that would do.
#[test]
fn a_flange_too_narrow_is_named_at_its_joint() {
    let (book, plan) = demo("side-hit");
    let picked: Vec<_> = plan.decisions.iter().map(std::sync::Arc::as_ref).zip(&plan.picks).collect();
    let mut narrow = (**Stock::general()).clone();
    narrow.flange_mm = 12.0;
    let joints = joint_plans(book, &picked, &narrow, TimeBook::general(), Wanted::Picked);
    let problems: Vec<_> =
        joints.iter().flat_map(|joint| &joint.problems).filter(|one| one.key == "joint-flange-narrow").collect();
    assert!(problems.len() > 5, "{}", problems.len());
    for problem in problems {
        assert!(problem.place.contains('/') && problem.to_string().contains("12 mm wide"), "{problem}");
    }
}

/// Spares, sleeve and gap follow the shop's list and the cut.
#[test]
fn spares_sleeve_and_gap_follow_the_list() {
    let (mut fastened, mut butted) = (0, 0);
    for name in DEMOS {
        let (book, plan) = demo(name);
        let picked: Vec<_> = plan.decisions.iter().map(std::sync::Arc::as_ref).zip(&plan.picks).collect();
        for (gap, percent) in [(1.0, 5.0), (2.0, 12.5)] {
            let stock = Stock { butt_gap_mm: gap, spares_percent: percent, ..(**Stock::general()).clone() };
            let plans = joint_plans(book, &picked, &stock, TimeBook::general(), Wanted::Permitted);
            for one in &plans {
                if let Some(used) = &one.fastener {
                    // Whole pieces on top: never fewer than the share, never one more than it needs.
                    let share = used.count as f64 * percent / 100.0;
                    assert!(used.spares as f64 >= share && (used.spares as f64) < share + 1.0, "{name} {}", one.id);
                    fastened += 1;
                }
                let cut = picked.iter().filter_map(|(_, pick)| pick.section.as_ref()).flat_map(|section| &section.cuts);
                let cut = cut.into_iter().find(|cut| matches!(&one.what, What::Butt(id) if *id == cut.cut));
                if let Some(cut) = cut {
                    near(one.gap_mm, gap, 1e-9);
                    near(one.width_mm, cut.sleeve_mm, 1e-9);
                    assert!(cut.sleeve_mm > gap, "{name} {}", one.id);
                    butted += 1;
                }
            }
        }
    }
    assert!(fastened > 40 && butted > 4, "{fastened} fastened, {butted} butted");
}

/// Each hollow section that is opened is protected inside again, with what its area takes.
#[test]
fn opened_cavities_are_protected() {
    let stock = Stock::general();
    let mut protected = 0;
    for name in DEMOS {
        let (_, plan) = demo(name);
        let rows = materials::refinish(stock, &plan.operations);
        for operation in plan.operations.iter().filter(|one| one.work.word() == "cavity-protect") {
            let part = operation.part.as_ref().expect("a part");
            let row = rows.iter().find(|row| row.part == *part && row.work == operation.work).expect("a coat");
            // µm of dry film on mm², over the solids and what reaches the sheet: 1 mm² µm is 1e-6 ml.
            let wax = stock.coats.iter().find(|coat| coat.id == row.coat).expect("in the list");
            let ml = operation.amount.area_mm2 * wax.film_um * 1e-6 / (wax.volume_solids * wax.transfer);
            assert!(operation.amount.area_mm2 > 0.0, "{name} {part}");
            near(row.mixed_ml, ml, 1e-6 * ml);
            protected += 1;
        }
        let hollow = |pick: &&Pick| {
            let tube = |part: &Part| matches!(part.form, Form::Extrusion | Form::Tube);
            pick.action == Action::Section && plan_part(&plan, &pick.part).is_some_and(tube)
        };
        for pick in plan.picks.iter().filter(hollow) {
            assert!(
                rows.iter().any(|row| row.part == pick.part && row.work.word() == "cavity-protect"),
                "{name} {}",
                pick.part
            );
        }
    }
    assert!(protected > 3, "{protected} cavities");
}

fn plan_part<'b>(plan: &Plan, id: &PartId) -> Option<&'b Part> {
    generic(plan.body).part(id)
}
