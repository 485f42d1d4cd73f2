//! The plan as JSON, for the command line, tests and other programs.
//!
//! `findings` and `operations` keep their form; further fields may be added. Distances are millimetres with one
//! decimal, areas whole square millimetres, shares 0 to 1 with four decimals.

use super::{LookBehind, Notice, Plan, choice_json};
use crate::catalogue::Book;
use crate::decide::{Choice, CutUse, RouteChoice, SectionPlan, Trace, choice};
use crate::operations::{Operation, caution_words};
use crate::times::Hours;
use serde_json::{Value, json};

/// The plan as a JSON value; keys stand in alphabetical order.
pub fn to_json(book: &Book, plan: &Plan) -> Value {
    let findings = (0..plan.decisions.len()).map(|at| finding(plan, at));
    json!({
        "format": "cutline-plan",
        "version": 1,
        "book": { "id": plan.book.id, "edition": plan.book.edition },
        "rules": { "id": plan.rules.id, "edition": plan.rules.edition },
        "body": { "cab": plan.body.cab.word(), "bed": plan.body.bed.word() },
        "aim": plan.aim.word(),
        "best": choice_json::best(book, plan),
        "differences": plan.differences.iter().map(choice_json::difference).collect::<Vec<_>>(),
        "conflict": plan.conflict.as_ref().map(choice_json::conflict),
        "shop": {
            "times": { "id": plan.shop.times.id, "edition": plan.shop.times.edition },
            "rates": { "id": plan.shop.rates.id, "edition": plan.shop.rates.edition },
            "prices": { "id": plan.shop.prices.id, "edition": plan.shop.prices.edition },
        },
        "money": crate::estimate::to_json(book, &plan.shop.rates, &plan.estimate),
        "worth": plan.worth.words(),
        "findings": findings.collect::<Vec<_>>(),
        "operations": plan.operations.iter().zip(&plan.estimate.work).map(|(one, hours)| operation(book, one, hours)).collect::<Vec<_>>(),
        "look_behind": plan.look_behind.iter().map(|one| behind(book, one)).collect::<Vec<_>>(),
        "notices": plan.notices.iter().map(notice).collect::<Vec<_>>(),
    })
}

fn finding(plan: &Plan, at: usize) -> Value {
    let (decision, pick) = (&plan.decisions[at], &plan.picks[at]);
    let finding = &decision.finding;
    json!({
        "part": decision.part.as_str(),
        "recommended": decision.recommended.word(),
        "chosen": pick.action.word(),
        "pick": choice_json::pick(pick),
        "alternatives": choice_json::alternatives(plan, at),
        "refused_hold": decision.refused_hold.map(crate::terms::Action::word),
        "options": decision.options.iter().map(option).collect::<Vec<_>>(),
        "no_section": decision.no_section.as_ref().map(crate::decide::NoSection::words),
        "measure": {
            "marks": finding.marks.iter().map(crate::ids::MarkId::as_str).collect::<Vec<_>>(),
            "kinds": finding.kinds.iter().map(|kind| kind.word()).collect::<Vec<_>>(),
            "area_mm2": finding.area_mm2.round(),
            "share": rounded(finding.share, 10_000.0),
            "extent_mm": tenths(finding.extent_mm),
            "depth_mm": tenths(finding.depth_mm),
            "coat": finding.coat.word(),
            "sharp": finding.sharp,
            "count": finding.count,
            "behind": finding.behind.word(),
            "cells": finding.cells.iter().map(crate::ids::CellId::as_str).collect::<Vec<_>>(),
        },
    })
}

fn option(option: &Choice) -> Value {
    json!({
        "action": option.action.word(),
        "permitted": option.permitted,
        "trace": option.trace.iter().map(trace).collect::<Vec<_>>(),
        "routes": option.routes.iter().map(route).collect::<Vec<_>>(),
        "route": choice::route(option).map(crate::terms::Route::word),
        "requires": option.requires.iter().map(|one| json!({ "work": one.work, "rule": one.rule.as_str() })).collect::<Vec<_>>(),
        "section": option.section.as_ref().map(section),
    })
}

fn trace(trace: &Trace) -> Value {
    json!({
        "rule": trace.rule.as_str(),
        "effect": trace.effect.word(),
        "reason": &*trace.reason,
        "basis": trace.basis.words(),
        "basis_kind": trace.basis.kind.word(),
        "cautions": trace.cautions.iter().map(|caution| caution.word()).collect::<Vec<_>>(),
    })
}

fn route(route: &RouteChoice) -> Value {
    json!({
        "route": route.route.word(),
        "permitted": route.permitted,
        "trace": route.trace.iter().map(trace).collect::<Vec<_>>(),
    })
}

pub(super) fn section(plan: &SectionPlan) -> Value {
    json!({
        "view": plan.view.word(),
        "cells": plan.cells.iter().map(crate::ids::CellId::as_str).collect::<Vec<_>>(),
        "service": plan.service,
        "share": rounded(plan.share, 10_000.0),
        "routes": plan.routes.iter().map(|route| route.word()).collect::<Vec<_>>(),
        "cuts": plan.cuts.iter().map(cut).collect::<Vec<_>>(),
    })
}

fn cut(cut: &CutUse) -> Value {
    json!({
        "cut": cut.cut.as_str(),
        "line": [[tenths(cut.line.0.a), tenths(cut.line.0.b)], [tenths(cut.line.1.a), tenths(cut.line.1.b)]],
        "moved_mm": tenths(cut.moved_mm),
        "range_mm": [tenths(cut.range_mm.0), tenths(cut.range_mm.1)],
        "length_mm": tenths(cut.length_mm),
        "join": cut.join.word(),
        "sleeve_mm": tenths(cut.sleeve_mm),
        "routes": cut.routes.iter().map(|route| route.word()).collect::<Vec<_>>(),
        "to_damage_mm": cut.to_damage_mm.is_finite().then(|| tenths(cut.to_damage_mm)),
        "nearest_no_cut": cut.nearest_no_cut.map(|(kind, distance)| {
            json!({ "kind": kind.word(), "distance_mm": tenths(distance) })
        }),
    })
}

fn operation(book: &Book, operation: &Operation, hours: &Hours) -> Value {
    let amount = &operation.amount;
    json!({
        "id": operation.id.as_str(),
        "hours": choice_json::hours(hours),
        "part": operation.part.as_ref().map(crate::ids::PartId::as_str),
        "stage": operation.stage.word(),
        "work": operation.work.word(),
        "name": operation.name(book),
        "after": operation.after.iter().map(crate::ids::OperationId::as_str).collect::<Vec<_>>(),
        "cautions": operation.cautions.iter().map(|caution| caution_words(*caution)).collect::<Vec<_>>(),
        "caution_kinds": operation.cautions.iter().map(|caution| caution.word()).collect::<Vec<_>>(),
        "from_rules": operation.from_rules.iter().map(crate::ids::RuleId::as_str).collect::<Vec<_>>(),
        "access": operation.access.as_ref().map(crate::ids::AccessId::as_str),
        "access_for": operation.access_for.iter().map(crate::ids::PartId::as_str).collect::<Vec<_>>(),
        "route": operation.route.map(crate::terms::Route::word),
        "counted_with": operation.elsewhere.iter().map(|(part, amount)| json!({
            "part": part.as_str(), "joint_mm": tenths(amount.joint_mm), "fasteners": amount.fasteners,
        })).collect::<Vec<_>>(),
        "amount": {
            "area_mm2": amount.area_mm2.round(),
            "cut_mm": tenths(amount.cut_mm),
            "joint_mm": tenths(amount.joint_mm),
            "fasteners": amount.fasteners,
            "dents": amount.dents,
            "bolts": amount.units.bolts,
            "connectors": amount.units.connectors,
            "clips": amount.units.clips,
        },
    })
}

fn behind(book: &Book, one: &LookBehind) -> Value {
    json!({
        "part": one.part.as_str(),
        "from": one.from.as_str(),
        "direction": one.direction.word(),
        "hops": one.hops,
        "distance_mm": tenths(one.distance_mm),
        "over": one.over.as_str(),
        "reason": one.reason(book),
        "state": one.state.word(),
    })
}

fn notice(notice: &Notice) -> Value {
    json!({
        "key": notice.key,
        "text": notice.text,
        "part": notice.part.as_ref().map(crate::ids::PartId::as_str),
        "mark": notice.mark.as_ref().map(crate::ids::MarkId::as_str),
    })
}

pub(super) fn tenths(value: f64) -> f64 {
    rounded(value, 10.0)
}

/// Rounded to `1 / steps`, never `-0`.
pub(super) fn rounded(value: f64, steps: f64) -> f64 {
    let value = (value * steps).round() / steps;
    if value == 0.0 { 0.0 } else { value }
}
