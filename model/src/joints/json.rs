//! The joint plans of a job as JSON, for the command line and for other programs.
//!
//! Lengths in millimetres, numbers rounded to what a person can measure. Only writes what [`super::plan`] found.

use super::materials::{Material, Refinish};
use super::strength::{Carries, SCREENING_KEY};
use super::{Apart, Bead, JointPlan, MadeWith, Screening, Seam, Stock};
use crate::error::Error;
use crate::operations::Neighbour;
use crate::words::{Language, word};
use serde_json::{Value, json};

/// Everything that `cutline joints` writes.
pub fn to_json(
    stock: &Stock,
    plans: &[JointPlan],
    made_with: &[MadeWith],
    unjoinable: &[Error],
    refinish: &[Refinish],
    blends: &[Neighbour],
    materials: &[Material],
) -> Value {
    json!({
        "stands_on": {"joining": {"id": stock.id, "edition": stock.edition}},
        "screening_aid": word(SCREENING_KEY),
        "joints": plans.iter().map(joint).collect::<Vec<_>>(),
        "made_with": made_with.iter().map(|one| json!({
            "part": one.part.as_str(), "with": one.with.as_str(), "rest_itself": one.rest, "joints": one.joints,
        })).collect::<Vec<_>>(),
        "unjoinable": unjoinable.iter().map(|error| json!({
            "part": error.place, "text": error.message(Language::English),
        })).collect::<Vec<_>>(),
        "refinish": refinish.iter().map(coat).collect::<Vec<_>>(),
        "blends": blends.iter().map(blend).collect::<Vec<_>>(),
        "materials": materials.iter().map(material).collect::<Vec<_>>(),
    })
}

fn joint(plan: &JointPlan) -> Value {
    let fasteners: Vec<Value> = plan
        .fasteners
        .iter()
        .map(|placed| {
            json!({
                "number": placed.number,
                "kind": plan.fastener.as_ref().map(|used| used.kind.word()),
                "x": tenth(placed.point.a), "y": tenth(placed.point.b),
                "row": placed.row + 1,
                "edge_mm": tenth(placed.edge_mm), "pitch_mm": tenth(placed.pitch_mm),
            })
        })
        .collect();
    let lines: Vec<Vec<[f64; 2]>> = plan.lies.as_ref().map_or_else(Vec::new, |lies| {
        let points = |run: &super::place::Run| run.points.iter().map(|p| [tenth(p.a), tenth(p.b)]).collect();
        lies.runs.iter().map(points).collect()
    });
    json!({
        "id": plan.id,
        "part": plan.part.as_str(),
        "to": plan.to.as_str(),
        "what": plan.what.word(),
        "route": plan.route.word(),
        "picked": plan.picked,
        "view": plan.lies.as_ref().map(|lies| lies.view.word()),
        "lines": lines,
        "true_over_drawn": plan.lies.as_ref().map(|lies| (lies.stretch * 1e3).round() / 1e3),
        "stack_mm": plan.stack_mm,
        "length_mm": tenth(plan.length_mm),
        "width_mm": tenth(plan.width_mm),
        "gap_mm": tenth(plan.gap_mm),
        "fastener": plan.fastener.as_ref().map(|used| json!({
            "id": used.id, "kind": used.kind.word(), "diameter_mm": used.diameter_mm, "hole_mm": used.hole_mm,
            "grip_mm": tenth(used.grip_mm), "grip_range_mm": [used.grip_range_mm.0, used.grip_range_mm.1],
            "least_edge_mm": tenth(used.keep.edge_mm), "least_pitch_mm": tenth(used.keep.pitch_mm),
            "least_apart_mm": tenth(used.keep.any_mm), "least_to_bend_mm": tenth(used.keep.bend_mm),
            "count": used.count, "spares": used.spares,
            "needed_per_metre": used.needed_per_metre.map(tenth),
        })),
        "fasteners": fasteners,
        "adhesive": plan.adhesive.as_ref().map(adhesive),
        "weld": plan.weld.as_ref().map(weld),
        "isolation": plan.isolation.as_ref().map(isolation),
        "screening": plan.screening.as_ref().map(screening),
        "notes": plan.notes.iter().map(|note| json!({"key": note.key, "text": note.words(Language::English)})).collect::<Vec<_>>(),
        "problems": plan.problems.iter().map(|error| json!({
            "key": error.key, "place": error.place, "text": error.message(Language::English),
        })).collect::<Vec<_>>(),
    })
}

fn adhesive(bead: &Bead) -> Value {
    json!({
        "id": bead.id, "bead_mm": [bead.section_mm.0, bead.section_mm.1], "beads": bead.beads,
        "length_mm": tenth(bead.length_mm), "volume_ml": tenth(bead.volume_ml), "cartridges": bead.cartridges,
        "working_minutes": bead.working_minutes, "fitting_minutes": tenth(bead.fitting_minutes),
        "people": bead.people, "fixture_minutes": bead.cure_minutes.0, "cure_minutes": bead.cure_minutes.1,
    })
}

fn weld(seam: &Seam) -> Value {
    let stitches = |line: &Vec<super::weld::Stitch>| {
        let one = |stitch: &super::weld::Stitch| json!({"order": stitch.order, "from_mm": tenth(stitch.from_mm), "to_mm": tenth(stitch.to_mm)});
        line.iter().map(one).collect::<Vec<_>>()
    };
    json!({
        "filler": seam.filler, "length_mm": tenth(seam.length_mm), "passes": seam.passes,
        "heat_input_kj_mm": (seam.heat_kj_mm * 1e3).round() / 1e3, "wire_g": tenth(seam.wire_g),
        "heat_affected_mm": tenth(seam.haz_mm),
        "stitches": seam.stitches.iter().map(stitches).collect::<Vec<_>>(),
        "must_come_out": seam.must_out.iter().map(|out| json!({"what": out.what, "part": out.part.as_str()})).collect::<Vec<_>>(),
    })
}

fn isolation(apart: &Apart) -> Value {
    let amount = |(amount, unit): &(f64, String)| json!({"amount": tenth(*amount), "unit": unit});
    json!({
        "metals": [apart.metals.0.word(), apart.metals.1.word()],
        "difference_v": (apart.difference_v * 100.0).round() / 100.0,
        "environment": apart.environment.word(),
        "index_alone_tolerates": apart.index_tolerates,
        "bare_contact_permitted": false,
        "barrier": apart.barrier, "barrier_amount": apart.barrier_amount.as_ref().map(amount),
        "coated_fasteners": apart.coated,
        "edge": apart.edge.as_ref().map(|(id, amount, unit)| json!({"id": id, "amount": tenth(*amount), "unit": unit})),
    })
}

fn screening(found: &Screening) -> Value {
    let carries = |one: &Carries| json!({"shear_kn_m": tenth(one.shear), "tension_kn_m": tenth(one.tension)});
    let share = |one: f64| (one * 1e3).round() / 1e3;
    json!({
        "caution": word(SCREENING_KEY),
        "alloy": found.alloy,
        "panel": carries(&found.panel),
        "riveted": found.riveted.as_ref().map(carries),
        "bonded": found.bonded.as_ref().map(carries),
        "welded": found.welded.as_ref().map(carries),
        "joint_over_panel": {"shear": share(found.share.shear), "tension": share(found.share.tension)},
    })
}

fn coat(one: &Refinish) -> Value {
    json!({
        "part": one.part.as_str(), "work": one.work, "coat": one.coat, "area_m2": (one.area_m2 * 1e3).round() / 1e3,
        "film_um": one.film_um, "mixed_ml": tenth(one.mixed_ml),
        "solvent_g_l": one.solvent_g_l, "limit_g_l": one.limit_g_l, "within_limit": one.within(),
    })
}

fn blend(one: &Neighbour) -> Value {
    json!({
        "part": one.part.as_str(), "beside": one.beside.as_str(), "gap_mm": tenth(one.gap_mm), "same_way": one.same_way,
        "blended": one.verdict.blends, "reason": word(one.verdict.reason), "basis": word("blend-basis"),
    })
}

fn material(one: &Material) -> Value {
    let uses = one.uses.iter().map(|(at, amount)| json!({"at": at, "amount": tenth(*amount)})).collect::<Vec<_>>();
    json!({
        "id": one.id, "kind": one.kind, "amount": tenth(one.amount), "unit": one.unit,
        "packs": one.packs, "spares": one.spares, "used": uses,
    })
}

/// Rounds to one decimal, never −0.
fn tenth(value: f64) -> f64 {
    let rounded = (value * 10.0).round() / 10.0;
    if rounded == 0.0 { 0.0 } else { rounded }
}
