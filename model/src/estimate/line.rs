//! Cost lines: quantity × price of one, rounded.
//!
//! Never looks at more than one operation or one pick at a time.

use super::amount_cost;
use crate::catalogue::{Book, OUTER_SKIN, Part};
use crate::decide::Pick;
use crate::decide::section::service_name;
use crate::ids::{OperationId, PartId, ServiceId};
use crate::money::{Decimal, Money};
use crate::prices::ServicePrice;
use crate::rates::{Material, Rates};
use crate::shop::Shop;
use crate::terms::{Action, Category, Measure, Route, Skill, Work};
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

/// What is charged for: so much of something at a price of one. A [`Line`] says for what.
pub(super) struct Charge {
    pub(super) what: What,
    pub(super) category: Category,
    pub(super) quantity: Decimal,
    pub(super) unit: &'static str,
    pub(super) each: Decimal,
}

impl Charge {
    /// Quantity × price of one, rounded as the rates say.
    pub(super) fn money(&self, rates: &Rates) -> Money {
        let most = Money { minor: LINE_MAX, currency: rates.currency };
        let amount = Money::times(self.quantity, self.each, rates.currency, rates.rounding).unwrap_or(most);
        Money { minor: amount.minor.min(LINE_MAX), ..amount }
    }
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
    /// Work done outside.
    Sublet(Work),
    /// Days on which the truck stands and waits for parts.
    Storage,
}

impl Line {
    pub(super) fn new(shop: &Shop, charge: Charge) -> Self {
        let amount = charge.money(&shop.rates);
        let Charge { what, category, quantity, unit, each } = charge;
        Self {
            category,
            part: None,
            operation: None,
            with: None,
            service: None,
            what,
            quantity: quantity.normalize(),
            unit,
            each,
            amount,
        }
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
                let work = say(Language::English, work.key(), &[("part", &part())]);
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

/// The service parts to order for a pick, one line each. A section without a section to order takes the whole part.
pub fn part_lines(shop: &Shop, book: &Book, pick: &Pick) -> Vec<Line> {
    let line = |one: Ordered<'_>| {
        let line = Line::new(shop, one.charge(shop));
        Line { part: Some(pick.part.clone()), service: Some(one.service), ..line }
    };
    ordered(shop, book, pick).map(line).collect()
}

/// A service part to order.
pub struct Ordered<'s> {
    /// Its row of the price list.
    pub service: ServiceId,
    /// What the row says; `None` where no list has it.
    pub price: Option<&'s ServicePrice>,
}

impl<'s> Ordered<'s> {
    /// The whole part, or one of its sections.
    pub fn of(shop: &'s Shop, part: &Part, section: Option<&str>) -> Self {
        match shop.prices.find(part, section) {
            Some((service, price)) => Self { service: service.clone(), price: Some(price) },
            None => {
                let id = section.map_or_else(|| part.base.clone(), |section| format!("{}/{section}", part.base));
                Self { service: id.into(), price: None }
            }
        }
    }

    /// What it costs, in the whole numbers of the program as [`super::line_cost`].
    pub fn cost(&self, shop: &Shop) -> i64 {
        let charge = self.charge(shop);
        amount_cost(charge.category, charge.money(&shop.rates), &shop.rates)
    }

    fn charge(&self, shop: &Shop) -> Charge {
        let what = match self.price {
            Some(item) if item.demo && shop.prices.own > 0 => What::DemoPart,
            Some(_) => What::Part,
            None => What::UnpricedPart,
        };
        let each = self.price.map_or(Decimal::ZERO, |item| item.price.decimal());
        Charge { what, category: Category::Parts, quantity: Decimal::ONE, unit: Measure::Piece.key(), each }
    }
}

/// What is ordered for a pick.
pub fn ordered<'s>(shop: &'s Shop, book: &Book, pick: &Pick) -> impl Iterator<Item = Ordered<'s>> {
    let (sections, one): (&[String], _) = match (pick.action, pick.section.as_deref()) {
        (Action::Replace, _) if pick.route == Some(Route::Hemmed) => (&[], Some(Some(OUTER_SKIN))),
        (Action::Section, Some(plan)) if !plan.service.is_empty() => (&plan.service, None),
        (Action::Replace | Action::Section, _) => (&[], Some(None)),
        _ => (&[], None),
    };
    let part = book.part(&pick.part);
    let sections = sections.iter().map(|section| Some(section.as_str())).chain(one);
    sections.filter_map(move |section| Some(Ordered::of(shop, part?, section)))
}

/// Storage of a truck that waits this many working days for parts; `None` where it costs nothing. The price of a day is
/// rounded before it is multiplied, so that two days cost twice what one does.
pub fn storage_line(shop: &Shop, days: u32) -> Option<Line> {
    let rates = &*shop.rates;
    let day = Money::times(Decimal::ONE, rates.storage_per_day, rates.currency, rates.rounding).ok()?;
    let (what, category, quantity, unit) = (What::Storage, Category::Storage, days.into(), "unit-day");
    let line = Line::new(shop, Charge { what, category, quantity, unit, each: day.decimal() });
    Some(line).filter(|line| line.amount.minor > 0)
}
