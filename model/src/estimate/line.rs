//! Cost lines: quantity × price of one, rounded.
//!
//! Never looks at more than one operation or one pick at a time.

use super::sublet;
use crate::catalogue::{Book, OUTER_SKIN, Part};
use crate::decide::Pick;
use crate::decide::section::service_name;
use crate::ids::{OperationId, PartId, ServiceId};
use crate::money::{Decimal, Money, Rounding, divide};
use crate::operations::{Amount, Operation};
use crate::prices::ServicePrice;
use crate::rates::Material;
use crate::shop::Shop;
use crate::terms::{Action, Category, Measure, Route, Skill};
use crate::times::count;
use crate::words::{Language, say, word};
use std::sync::Arc;

/// Greatest amount of one line, minor units; rates and amounts of work that are in range stay far below.
pub const LINE_MAX: i64 = 1_000_000_000_000;

/// One line of an estimate. Amount = quantity × price of one, rounded as the rates say.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Category.
    pub category: Category,
    /// The part that it concerns; `None` for work on the whole vehicle, access work and storage.
    pub part: Option<PartId>,
    /// The operation that it prices; `None` for parts and storage.
    pub operation: Option<OperationId>,
    /// The part with which it is counted instead, for what is taken off.
    pub with: Option<PartId>,
    /// The row of the price list, for parts.
    pub service: Option<ServiceId>,
    /// For what.
    pub what: What,
    /// How much: hours with two decimals, materials with three, whole pieces and days.
    pub quantity: Decimal,
    /// Key of the words of what is counted.
    pub unit: &'static str,
    /// Price of one, whole units of the currency.
    pub each: Decimal,
    /// Quantity × price of one.
    pub amount: Money,
}

/// What a line is for.
#[derive(Clone, Debug, PartialEq)]
pub enum What {
    /// A service part by the shop's own price.
    Part,
    /// A service part by the price of the built-in invented list: the shop's own list lacks it.
    DemoPart,
    /// A service part of which no list knows a price: it counts as nothing.
    UnpricedPart,
    /// Labour of this skill.
    Labour(Skill),
    /// A material, by its place in the rates.
    Material(Arc<Material>),
    /// Work done outside, by its word.
    Sublet(&'static str),
    /// Days on which the truck stands and waits for parts.
    Storage,
}

impl Line {
    fn new(shop: &Shop, what: What, category: Category, quantity: Decimal, unit: &'static str, each: Decimal) -> Self {
        let (currency, rounding) = (shop.rates.currency, shop.rates.rounding);
        let most = Money { minor: LINE_MAX, currency };
        let amount = Money::times(quantity, each, currency, rounding).unwrap_or(most);
        let amount = Money { minor: amount.minor.min(LINE_MAX), currency };
        Self { category, part: None, operation: None, with: None, service: None, what, quantity, unit, each, amount }
    }

    /// Of an operation.
    fn of(self, operation: &Operation) -> Self {
        Self { part: operation.part.clone(), operation: Some(operation.id.clone()), ..self }
    }

    /// What is charged, in words: the service part, the skill, the material, the work.
    pub fn words(&self, book: &Book) -> String {
        if let Some(with) = &self.with {
            let name = book.part(with).map_or_else(|| with.to_string(), Part::name_within);
            let what = Self { with: None, ..self.clone() }.words(book);
            return say(Language::English, "line-elsewhere", &[("what", &what), ("part", &name)]);
        }
        let known = self.part.as_ref().and_then(|part| book.part(part));
        let part = || known.map(Part::name_within).unwrap_or_default();
        match &self.what {
            What::Part => self.service_words(known),
            What::DemoPart | What::UnpricedPart => {
                let key = if self.what == What::DemoPart { "line-part-demo" } else { "line-part-unpriced" };
                say(Language::English, key, &[("name", &self.service_words(known))])
            }
            What::Labour(skill) => word(skill.key()),
            What::Material(material) => material.words(),
            What::Sublet(work) => {
                let work = say(Language::English, &format!("operation-{work}"), &[("part", &part())]);
                say(Language::English, "line-sublet", &[("name", &work)])
            }
            What::Storage => word("line-storage"),
        }
    }

    /// How much, in words: `1.25 hours`, `1 piece`.
    pub fn counted(&self) -> String {
        let count = self.quantity.to_string();
        let what = if self.quantity == Decimal::ONE { word(self.unit) } else { word(&format!("{}-many", self.unit)) };
        say(Language::English, "counted", &[("count", &count), ("what", &what)])
    }

    fn service_words(&self, part: Option<&Part>) -> String {
        part.zip(self.service.as_ref()).map(|(part, service)| service_words(part, service)).unwrap_or_default()
    }
}

/// What a row of the price list is, in words: the part, its outer skin, or one of its sections.
pub fn service_words(part: &Part, service: &ServiceId) -> String {
    let (key, section) = match service.as_str().split_once('/') {
        None => ("line-part", String::new()),
        Some((_, OUTER_SKIN)) => ("line-part-skin", String::new()),
        Some((_, section)) => ("line-part-section", service_name(part, section)),
    };
    say(Language::English, key, &[("part", &part.name_within()), ("section", &section)])
}

/// What the work of an operation costs: labour, or its price where it is done outside, and materials. A pure function of
/// the one operation; lines that come to no quantity are left out.
pub fn operation_lines(shop: &Shop, operation: &Operation) -> Vec<Line> {
    let rates = &*shop.rates;
    let mut out = Vec::new();
    if sublet(shop, operation) {
        let price = rates.sublet[operation.work];
        out.push(Line::new(shop, What::Sublet(operation.work), Category::Sublet, Decimal::ONE, "unit-job", price));
    } else {
        let hours = shop.times.hours(operation);
        // Hundredths of an hour, 36 seconds each.
        let hundredths = divide(i128::from(hours.full_seconds()), 36, Rounding::HalfUp);
        let quantity = Decimal::new(i64::try_from(hundredths).unwrap_or(i64::MAX), 2).normalize();
        let each = rates.hour(hours.skill);
        out.push(Line::new(shop, What::Labour(hours.skill), Category::Labour, quantity, "unit-hour", each));
    }
    for material in rates.materials.iter().filter(|material| material.works.iter().any(|work| work == operation.work)) {
        let quantity = quantity(material, &operation.amount, true);
        let what = What::Material(Arc::clone(material));
        out.push(Line::new(shop, what, Category::Materials, quantity, material.measure.key(), material.price));
    }
    for (with, amount) in &operation.elsewhere {
        let off = elsewhere_lines(shop, operation.work, amount);
        out.extend(off.into_iter().map(|line| Line { with: Some(with.clone()), ..line }));
    }
    out.retain(|line| !line.quantity.is_zero());
    out.into_iter().map(|line| line.of(operation)).collect()
}

/// What is taken off for work at a factory joint that is done and counted with another part: a pure function of that
/// joint, in negative quantities, rounded so that never more is taken off than there was.
pub fn elsewhere_lines(shop: &Shop, work: &'static str, amount: &Amount) -> Vec<Line> {
    let rates = &*shop.rates;
    let mut out = Vec::new();
    if rates.sublet.contains_key(work) {
        return out;
    }
    let seconds: u64 = shop.times.elsewhere(work, amount).map(|term| term.seconds).sum();
    let hundredths = i64::try_from(seconds / 36).unwrap_or(0);
    if let Some(skill) = shop.times.works.get(work).map(|work| work.skill) {
        let quantity = -Decimal::new(hundredths, 2).normalize();
        out.push(Line::new(shop, What::Labour(skill), Category::Labour, quantity, "unit-hour", rates.hour(skill)));
    }
    let of_joints = |material: &&Arc<Material>| material.per.is_some() && material.works.iter().any(|one| one == work);
    for material in rates.materials.iter().filter(of_joints) {
        let quantity = -quantity(material, amount, false);
        let what = What::Material(Arc::clone(material));
        out.push(Line::new(shop, what, Category::Materials, quantity, material.measure.key(), material.price));
    }
    out.retain(|line| !line.quantity.is_zero());
    out
}

/// How much of a material an amount of work takes, in thousandths; pieces and sets are whole ones. `up` rounds it as it
/// is used, otherwise down.
fn quantity(material: &Material, amount: &Amount, up: bool) -> Decimal {
    let (pieces, rest) = if up { (Rounding::Up, Rounding::HalfUp) } else { (Rounding::Down, Rounding::Down) };
    // Counts are finite, not negative and those of one truck: far below what 64 bits hold.
    #[allow(clippy::cast_possible_truncation)]
    let thousandths = material.per.map_or(1_000, |unit| {
        let thousandths = count(amount, unit) * 1e3;
        (if up { thousandths.round() } else { thousandths.floor() }) as i64
    });
    let product = i128::from(thousandths).saturating_mul(material.amount.mantissa());
    let scale = 10_i128.pow(material.amount.scale());
    let (number, places) = match material.measure {
        Measure::Piece | Measure::Set => (divide(product, scale * 1_000, pieces), 0),
        _ => (divide(product, scale, rest), 3),
    };
    Decimal::new(i64::try_from(number).unwrap_or(i64::MAX), places).normalize()
}

/// The service parts to order for a pick, one line each. A section without a section to order takes the whole part.
pub fn part_lines(shop: &Shop, book: &Book, pick: &Pick) -> Vec<Line> {
    let lines = services(shop, book, pick).into_iter().map(|(service, item)| {
        let what = match item {
            Some(item) if item.demo && shop.prices.own > 0 => What::DemoPart,
            Some(_) => What::Part,
            None => What::UnpricedPart,
        };
        let each = item.map_or(Decimal::ZERO, |item| item.price.decimal());
        let line = Line::new(shop, what, Category::Parts, Decimal::ONE, Measure::Piece.key(), each);
        Line { part: Some(pick.part.clone()), service: Some(service), ..line }
    });
    lines.collect()
}

/// What is ordered for a pick, with its row in the price list.
pub(super) fn services<'s>(shop: &'s Shop, book: &Book, pick: &Pick) -> Vec<(ServiceId, Option<&'s ServicePrice>)> {
    let Some(part) = book.part(&pick.part) else { return Vec::new() };
    let sections: Vec<Option<&str>> = match (pick.action, pick.section.as_deref()) {
        (Action::Replace, _) if pick.route == Some(Route::Hemmed) => vec![Some(OUTER_SKIN)],
        (Action::Section, Some(plan)) if !plan.service.is_empty() => {
            plan.service.iter().map(|section| Some(section.as_str())).collect()
        }
        (Action::Replace | Action::Section, _) => vec![None],
        _ => Vec::new(),
    };
    let found = |section: Option<&str>| match shop.prices.find(part, section) {
        Some((id, item)) => (id.clone(), Some(item)),
        None => {
            let id = section.map_or_else(|| part.base.clone(), |section| format!("{}/{section}", part.base));
            (ServiceId::from(id.as_str()), None)
        }
    };
    sections.into_iter().map(found).collect()
}

/// Storage of a truck that waits this many working days for parts; `None` where it costs nothing. The price of a day is
/// rounded before it is multiplied, so that two days cost twice what one does.
pub fn storage_line(shop: &Shop, days: u32) -> Option<Line> {
    let rates = &*shop.rates;
    let day = Money::times(Decimal::ONE, rates.storage_per_day, rates.currency, rates.rounding).ok()?;
    let line = Line::new(shop, What::Storage, Category::Storage, days.into(), "unit-day", day.decimal());
    Some(line).filter(|line| line.amount.minor > 0)
}
