//! What a shop takes for work, looked up once for whoever prices many operations.
//!
//! The one place where an amount of work becomes hours and charges. Never looks at more than one operation at a time.

use super::amount_cost;
use super::line::{Charge, Line, What};
use crate::money::{Decimal, Rounding, divide};
use crate::operations::{Amount, Operation, WORKS};
use crate::rates::Material;
use crate::shop::Shop;
use crate::terms::{Category, Measure, Stage};
use crate::times::{Hours, Timing, WorkTime, count, elsewhere, own_time};
use std::collections::BTreeMap;
use std::sync::Arc;

/// Times, prices and materials of each kind of work in a shop.
pub struct Tariff<'s> {
    shop: &'s Shop,
    /// In the order of [`WORKS`].
    kinds: Vec<Kind<'s>>,
    /// Pieces of access work with times of their own, by kind and base.
    own: BTreeMap<(&'s str, &'s str), &'s WorkTime>,
}

/// One kind of work in a shop.
#[derive(Default)]
struct Kind<'s> {
    time: Option<&'s WorkTime>,
    /// Its price where it is done outside.
    sublet: Option<Decimal>,
    materials: Vec<&'s Arc<Material>>,
}

impl<'s> Tariff<'s> {
    /// Of a shop.
    pub fn new(shop: &'s Shop) -> Self {
        let kind = |work: &&'static str| Kind {
            time: shop.times.works.get(*work),
            sublet: shop.rates.sublet.get(*work).copied(),
            materials: Vec::new(),
        };
        let mut kinds: Vec<Kind<'s>> = WORKS.iter().map(kind).collect();
        for material in &shop.rates.materials {
            for work in &material.works {
                if let Ok(at) = WORKS.binary_search(&work.as_str()) {
                    // Rates may name a work twice; a material is charged once.
                    if !kinds[at].materials.iter().any(|known| Arc::ptr_eq(known, material)) {
                        kinds[at].materials.push(material);
                    }
                }
            }
        }
        let own = shop.times.works.iter().filter_map(|(key, time)| Some((key.split_once('/')?, time))).collect();
        Self { shop, kinds, own }
    }

    /// The shop.
    pub fn shop(&self) -> &'s Shop {
        self.shop
    }

    /// The times and charges of a kind of work; of a piece of access work at a stage, if it is one.
    pub fn task(&self, work: &'static str, access: Option<(&str, Stage)>) -> Task<'_, 's> {
        let kind = WORKS.binary_search(&work).ok().map(|at| &self.kinds[at]);
        let own = access.and_then(|(id, stage)| self.own.get(&own_time(work, stage, id)).copied());
        Task { tariff: self, work, kind, timing: Timing::new(own, kind.and_then(|kind| kind.time)) }
    }

    /// That of an operation.
    pub fn task_of(&self, operation: &Operation) -> Task<'_, 's> {
        let access = operation.access.as_ref().map(|id| (id.as_str(), operation.stage));
        self.task(operation.work, access)
    }

    /// The hours of an operation, whoever does it.
    pub fn hours(&self, operation: &Operation) -> Hours {
        self.task_of(operation).timing.hours(operation)
    }

    /// What the work of an operation costs: labour, or its price where it is done outside, and materials. A pure
    /// function of the one operation; lines that come to no quantity are left out.
    pub fn lines(&self, operation: &Operation) -> Vec<Line> {
        let task = self.task_of(operation);
        let mut out = Vec::new();
        let line = |charge| Line {
            part: operation.part.clone(),
            operation: Some(operation.id.clone()),
            ..Line::new(self.shop, charge)
        };
        task.charges(&operation.amount, |charge| out.push(line(charge)));
        for (with, amount) in &operation.elsewhere {
            task.charges_elsewhere(amount, |charge| out.push(Line { with: Some(with.clone()), ..line(charge) }));
        }
        out
    }
}

/// One kind of work, ready to be counted.
#[derive(Clone, Copy)]
pub struct Task<'t, 's> {
    tariff: &'t Tariff<'s>,
    work: &'static str,
    kind: Option<&'t Kind<'s>>,
    timing: Timing<'s>,
}

impl<'s> Task<'_, 's> {
    /// Whether it is done outside, so that it takes none of the shop's hours.
    pub fn sublet(&self) -> bool {
        self.kind.is_some_and(|kind| kind.sublet.is_some())
    }

    /// The times by which it is counted.
    pub fn timing(&self) -> Timing<'s> {
        self.timing
    }

    /// Seconds of so much of it, whoever does it.
    pub fn seconds(&self, amount: &Amount) -> u64 {
        self.timing.terms(amount).map(|term| term.seconds).sum()
    }

    /// What is taken off the seconds for work at a factory joint that is counted with another part.
    pub fn seconds_elsewhere(&self, amount: &Amount) -> u64 {
        elsewhere(self.kind.and_then(|kind| kind.time), amount).map(|term| term.seconds).sum()
    }

    /// What is charged for so much of it.
    pub(super) fn charges(&self, amount: &Amount, take: impl FnMut(Charge)) {
        let mut some = if_any(take);
        match self.kind.and_then(|kind| kind.sublet) {
            Some(each) => some(Charge {
                what: What::Sublet(self.work),
                category: Category::Sublet,
                quantity: Decimal::ONE,
                unit: "unit-job",
                each,
            }),
            None => {
                // Hundredths of an hour, 36 seconds each.
                let hundredths = divide(i128::from(self.seconds(amount)), 36, Rounding::HalfUp);
                some(self.labour(i64::try_from(hundredths).unwrap_or(i64::MAX)));
            }
        }
        for material in self.materials() {
            some(of_material(material, quantity(material, amount, true)));
        }
    }

    /// What is taken off for work at a factory joint that is done and counted with another part: a pure function of that
    /// joint, in negative quantities, rounded so that never more is taken off than there was.
    pub(super) fn charges_elsewhere(&self, amount: &Amount, take: impl FnMut(Charge)) {
        if self.sublet() {
            return;
        }
        let mut some = if_any(take);
        some(self.labour(-i64::try_from(self.seconds_elsewhere(amount) / 36).unwrap_or(0)));
        for material in self.materials().filter(|material| material.per.is_some()) {
            some(of_material(material, -quantity(material, amount, false)));
        }
    }

    /// What is charged for so much of it, in the whole numbers of the program as [`super::line_cost`].
    pub fn cost(&self, amount: &Amount) -> i64 {
        let mut sum = 0;
        self.charges(amount, |charge| sum += self.cost_of(&charge));
        sum
    }

    /// The same of what is taken off; not positive.
    pub fn cost_elsewhere(&self, amount: &Amount) -> i64 {
        let mut sum = 0;
        self.charges_elsewhere(amount, |charge| sum += self.cost_of(&charge));
        sum
    }

    fn cost_of(&self, charge: &Charge) -> i64 {
        let rates = &self.tariff.shop.rates;
        amount_cost(charge.category, charge.money(rates), rates)
    }

    fn labour(&self, hundredths: i64) -> Charge {
        let skill = self.timing.skill();
        Charge {
            what: What::Labour(skill),
            category: Category::Labour,
            quantity: Decimal::new(hundredths, 2).normalize(),
            unit: "unit-hour",
            each: self.tariff.shop.rates.hour(skill),
        }
    }

    fn materials(&self) -> impl Iterator<Item = &'s Arc<Material>> {
        self.kind.into_iter().flat_map(|kind| kind.materials.iter().copied())
    }
}

/// Takes what comes to a quantity.
fn if_any(mut take: impl FnMut(Charge)) -> impl FnMut(Charge) {
    move |charge| {
        if !charge.quantity.is_zero() {
            take(charge);
        }
    }
}

fn of_material(material: &Arc<Material>, quantity: Decimal) -> Charge {
    let (what, unit) = (What::Material(Arc::clone(material)), material.measure.key());
    Charge { what, category: Category::Materials, quantity, unit, each: material.price }
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
