//! The choice for the whole job as JSON: what is picked, what else may be, what it comes to, how long each step takes.
//!
//! Figures are in the units of people: currency units with tax, hours, working days.

use super::json::{rounded, section};
use super::{Difference, Outcome, Plan};
use crate::catalogue::Book;
use crate::decide::Pick;
use crate::ids::PartId;
use crate::optimise::{Change, Costs, HoldConflict};
use crate::terms::Aim;
use crate::times::Hours;
use serde_json::{Map, Value, json};

/// The best for each aim by its word.
pub(super) fn best(book: &Book, plan: &Plan) -> Value {
    Aim::ALL.iter().map(|aim| (aim.word().to_owned(), best_json(book, plan, *aim))).collect::<Map<_, _>>().into()
}

/// The best plan for one aim: what it comes to and what is done to each part.
pub fn best_json(book: &Book, plan: &Plan, aim: Aim) -> Value {
    let best = plan.best(aim);
    let sums = plan.estimate_for(book, aim);
    json!({
        "aim": best.aim.word(),
        "objective": best.objective(),
        "comes_to": amounts(best, &best.costs),
        "total": sums.total.to_string(),
        "hand_over_more_s": sums.hand_over.as_ref().map_or(0, |hold| hold.more_s),
        "picks": best.picks.iter().map(pick).collect::<Vec<_>>(),
    })
}

/// Costs for every aim in the units of people.
fn amounts(best: &Outcome, costs: &Costs) -> Value {
    Aim::ALL
        .iter()
        .map(|aim| (aim.word().to_owned(), best.in_units(*aim, costs[*aim as usize]).into()))
        .collect::<Map<_, _>>()
        .into()
}

/// The choice in words.
pub(super) fn difference(difference: &Difference) -> Value {
    json!({
        "part": difference.part.as_ref().map(PartId::as_str),
        "against": difference.against.map(crate::terms::Action::word),
        "aim": difference.aim.map(Aim::word),
        "text": difference.text,
    })
}

/// What is done to a part.
pub(super) fn pick(pick: &Pick) -> Value {
    json!({
        "part": pick.part.as_str(),
        "action": pick.action.word(),
        "route": pick.route.map(crate::terms::Route::word),
        "section": pick.section.as_deref().map(section),
    })
}

/// What else may be done to a part and what it would change, all other parts as they are.
pub(super) fn alternatives(plan: &Plan, part: usize) -> Value {
    let other = |change: &Change| {
        let mut value = pick(&plan.candidates[part].list[change.candidate].pick);
        value["change"] = amounts(plan.best(plan.aim), &change.costs);
        value["clashes"] = change.clashes.into();
        value
    };
    plan.changes.iter().filter(|change| change.part == part).map(other).collect::<Vec<_>>().into()
}

/// Holds that cannot stand together.
pub(super) fn conflict(conflict: &HoldConflict) -> Value {
    json!({
        "parts": conflict.parts.iter().map(PartId::as_str).collect::<Vec<_>>(),
        "text": conflict.text,
    })
}

/// The hours of a step, open to their arithmetic.
pub(super) fn hours(hours: &Hours) -> Value {
    let terms = hours.terms.iter().map(|term| {
        json!({
            "unit": term.unit.map(crate::terms::Unit::word),
            "count": rounded(term.count, 1_000.0),
            "seconds_each": term.each.seconds,
            "spread": term.each.spread,
            "seconds": term.seconds,
            "less": term.less,
        })
    });
    json!({
        "skill": hours.skill.word(),
        "seconds": hours.seconds,
        "terms": terms.collect::<Vec<_>>(),
        "wait": hours.wait.map(|(wait, seconds)| json!({ "kind": wait.word(), "seconds": seconds })),
    })
}
