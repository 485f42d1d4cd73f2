//! The plan as a document: what each choice comes to, and everything written down as it would be given to somebody.
//!
//! Words and whole numbers only; adds up nothing that the estimate does not.

use super::{Plan, Shop};
use crate::catalogue::Book;
use crate::estimate::{Estimate, Line, Tariff, own_hours};
use crate::ids::OperationId;
use crate::job::{Against, Job, RevisedLine, RevisedTax, Revision};
use crate::operations::Operation;
use crate::revision::{LINE_OF, Sums, freeze};
use crate::terms::Category;
use crate::times::Hours;
use crate::words::{Language, say, word};
use std::collections::BTreeMap;

impl Plan {
    /// The plan with its estimate as it would be frozen, without name and day.
    pub fn document(&self, book: &Book, shop: &Shop, job: &Job, estimate: &Estimate) -> Revision {
        let rates = &shop.rates;
        let edition = |id: &str, edition: &str| format!("{id} {edition}");
        let can = [(shop.aluminium_welding, "aluminium-welding"), (shop.aluminium_bay, "aluminium-bay")];
        let can: Vec<&str> = can.into_iter().filter(|(can, _)| *can).map(|(_, word)| word).collect();
        let tax = |sum: &crate::estimate::Sum| RevisedTax {
            category: sum.category,
            percent: rates.tax(sum.category).normalize().to_string(),
            amount: sum.tax.minor,
        };
        let sums = Sums {
            against: Against {
                book: edition(&self.book.id, &self.book.edition),
                rules: edition(&self.rules.id, &self.rules.edition),
                times: edition(&shop.times.id, &shop.times.edition),
                prices: edition(&shop.prices.id, &shop.prices.edition),
                rates: edition(&rates.id, &rates.edition),
                shop: can.join(" "),
            },
            currency: estimate.currency.code().to_owned(),
            digits: estimate.currency.decimals(),
            lines: self.lines(book, shop, estimate),
            taxes: estimate.sums.iter().filter(|sum| sum.net.minor != 0).map(tax).collect(),
            rounding: rates.rounding,
            bound_seconds: whole_seconds(estimate.hours.bound80_s),
            days: [estimate.days.numerator, estimate.days.denominator],
        };
        freeze(job, &self.picks, sums, "", "")
    }

    /// Every line of the estimate in words; work too short for a line of labour stands with its seconds alone.
    fn lines(&self, book: &Book, shop: &Shop, estimate: &Estimate) -> Vec<RevisedLine> {
        let work: BTreeMap<&OperationId, &Operation> = self.operations.iter().map(|one| (&one.id, one)).collect();
        let mut short: BTreeMap<&OperationId, &Operation> = work.clone();
        let mut out: Vec<RevisedLine> = Vec::with_capacity(estimate.lines.len());
        let tariff = Tariff::new(shop);
        let own = |operation| own_hours(&tariff, operation);
        for line in &estimate.lines {
            let operation = line.operation.as_ref().and_then(|id| work.get(id)).copied();
            let labour = operation.filter(|_| line.category == Category::Labour && line.with.is_none());
            if let Some(labour) = labour {
                short.remove(&labour.id);
            }
            out.push(RevisedLine {
                key: key(line, book),
                part: line.part.clone(),
                category: line.category,
                // What is done outside names its work itself.
                what: what(
                    operation.filter(|_| line.category != Category::Sublet).map(|one| one.name(book)),
                    &line.words(book),
                ),
                how: how(line),
                amount: line.amount.minor,
                seconds: labour.map_or(0, |one| own(one).seconds),
            });
        }
        for operation in self.operations.iter().filter(|one| short.contains_key(&one.id)) {
            let Hours { seconds, skill, .. } = own(operation);
            if seconds > 0 {
                let skill = word(skill.key());
                out.push(RevisedLine {
                    key: format!("{}{LINE_OF}{}", operation.id, Category::Labour),
                    part: operation.part.clone(),
                    category: Category::Labour,
                    what: what(Some(operation.name(book)), &skill),
                    how: String::new(),
                    amount: 0,
                    seconds,
                });
            }
        }
        out
    }
}

/// Tells a line from every other and finds it again in another plan: by what it is for, not by its amount.
fn key(line: &Line, book: &Book) -> String {
    if let Some(with) = &line.with {
        return format!("{}{LINE_OF}{with}", key(&Line { with: None, ..line.clone() }, book));
    }
    match (&line.operation, &line.service, line.category) {
        (Some(operation), _, Category::Materials) => format!("{operation}{LINE_OF}{}", line.words(book)),
        (Some(operation), _, category) => format!("{operation}{LINE_OF}{category}"),
        (None, Some(service), _) => {
            format!("{LINE_OF}{service} {}", line.part.as_ref().map_or("", |part| part.as_str()))
        }
        (None, None, category) => format!("{LINE_OF}{category}"),
    }
}

/// For what, with a capital letter in front: the work and what of it is charged, or the service part.
fn what(operation: Option<String>, words: &str) -> String {
    let text = match operation {
        Some(name) => say(Language::English, "revision-line-what", &[("work", &name), ("what", words)]),
        None => {
            let mut letters = words.chars();
            letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
        }
    };
    text.chars().take(crate::job::LINE_MAX).collect()
}

/// Quantity and price of one.
fn how(line: &Line) -> String {
    let decimals = u32::from(line.amount.currency.decimals());
    let mut each = line.each.normalize();
    if each.scale() < decimals {
        each.rescale(decimals);
    }
    let arguments =
        [("counted", line.counted()), ("each", each.to_string()), ("currency", line.amount.currency.code().to_owned())];
    let arguments: Vec<(&str, &str)> = arguments.iter().map(|(name, value)| (*name, value.as_str())).collect();
    say(Language::English, "revision-line-how", &arguments)
}

/// Rounded up, so that nothing is promised early.
fn whole_seconds(seconds: f64) -> u64 {
    // Hours of one truck, finite and not negative.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let whole = seconds.ceil() as u64;
    whole
}
