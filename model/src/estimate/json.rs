//! An estimate as JSON, for the command line, tests and other programs.
//!
//! Amounts and quantities are texts, so that they stay exact; times are whole seconds.

use super::{Estimate, Line, Sum, What};
use crate::catalogue::Book;
use crate::rates::Rates;
use crate::words::word;
use serde_json::{Map, Value, json};

/// `money`, `hours` and `days` of a plan.
pub fn to_json(book: &Book, rates: &Rates, estimate: &Estimate) -> Value {
    let sum = |one: &Sum| {
        let tax = rates.tax(one.category).normalize().to_string();
        let value = json!({ "net": one.net.amount(), "tax_percent": tax, "tax": one.tax.amount() });
        (one.category.word().to_owned(), value)
    };
    let skills: Map<String, Value> =
        estimate.skills.iter().map(|(skill, seconds)| (skill.word().to_owned(), (*seconds).into())).collect();
    let waits: Map<String, Value> =
        estimate.waits.iter().map(|(wait, seconds)| (wait.word().to_owned(), (*seconds).into())).collect();
    json!({
        "money": {
            "currency": estimate.currency.code(),
            "decimals": estimate.currency.decimals(),
            "rounding": rates.rounding.word(),
            "lines": estimate.lines.iter().map(|one| line(book, one)).collect::<Vec<_>>(),
            "by_category": estimate.sums.iter().map(sum).collect::<Map<_, _>>(),
            "net": estimate.net.amount(),
            "tax": estimate.tax.amount(),
            "total": estimate.total.amount(),
        },
        "hours": {
            "planned_s": estimate.hours.planned_s,
            "median_s": estimate.hours.median_s.round(),
            "bound80_s": estimate.hours.bound80_s.round(),
            "by_skill_s": skills,
        },
        "days": {
            "lead_days": estimate.lead_days,
            "waits_s": waits,
            "numerator": estimate.days.numerator,
            "denominator": estimate.days.denominator,
            "days": (estimate.days.value() * 100.0).round() / 100.0,
            "hand_over": estimate.hand_over.as_ref().map(|hold| json!({
                "after": hold.operation.as_str(), "adhesive_carries_min": hold.minutes, "more_s": hold.more_s,
            })),
        },
    })
}

fn line(book: &Book, line: &Line) -> Value {
    json!({
        "category": line.category.word(),
        "part": line.part.as_ref().map(crate::ids::PartId::as_str),
        "operation": line.operation.as_ref().map(crate::ids::OperationId::as_str),
        "counted_with": line.with.as_ref().map(crate::ids::PartId::as_str),
        "service": line.service.as_ref().map(crate::ids::ServiceId::as_str),
        "what": line.words(book),
        "demo_price": line.what == What::DemoPart,
        "quantity": line.quantity.to_string(),
        "unit": word(line.unit),
        "price_each": line.each.normalize().to_string(),
        "amount": line.amount.amount(),
    })
}
