//! What a shop takes for work, looked up once for whoever prices many operations.
//!
//! The one place where an amount of work becomes hours and charges. Never looks at more than one operation at a time.

use super::amount_cost;
use super::line::{Charge, Line, What};
use crate::money::{Decimal, Rounding, divide, ten_to};
use crate::operations::{Amount, Operation};
use crate::rates::Material;
use crate::shop::Shop;
use crate::terms::{Category, Measure, Stage, Work};
use crate::times::{Hours, Timing, WorkTime, count, elsewhere, own_time};
use std::sync::Arc;

/// Times, prices and materials of each kind of work in a shop.
pub struct Tariff<'s> {
    shop: &'s Shop,
    /// In the order of [`Work::ALL`].
    kinds: Vec<Kind<'s>>,
}

/// One kind of work in a shop.
#[derive(Default)]
struct Kind<'s> {
    time: Option<&'s WorkTime>,
    /// Pieces of access work with times of their own, by base.
    own: Vec<(&'s str, &'s WorkTime)>,
    /// Its price where it is done outside.
    sublet: Option<Decimal>,
    materials: Vec<&'s Arc<Material>>,
}

impl<'s> Tariff<'s> {
    /// Of a shop.
    pub fn new(shop: &'s Shop) -> Self {
        let mut kinds: Vec<Kind<'s>> = Work::ALL.iter().map(|_| Kind::default()).collect();
        for (key, time) in &shop.times.works {
            let (work, base) = key.split_once('/').map_or((key.as_str(), None), |(work, base)| (work, Some(base)));
            let Some(kind) = Work::from_word(work).map(|work| &mut kinds[work as usize]) else { continue };
            match base {
                None => kind.time = Some(time),
                // The book is sorted, so are these.
                Some(base) => kind.own.push((base, time)),
            }
        }
        for (work, price) in &shop.rates.sublet {
            if let Some(work) = Work::from_word(work) {
                kinds[work as usize].sublet = Some(*price);
            }
        }
        for material in &shop.rates.materials {
            for work in &material.works {
                if let Some(work) = Work::from_word(work) {
                    let kind = &mut kinds[work as usize];
                    // Rates may name a work twice; a material is charged once.
                    if !kind.materials.iter().any(|known| Arc::ptr_eq(known, material)) {
                        kind.materials.push(material);
                    }
                }
            }
        }
        Self { shop, kinds }
    }

    /// The shop.
    pub fn shop(&self) -> &'s Shop {
        self.shop
    }

    /// The times and charges of a kind of work; of a piece of access work at a stage, if it is one.
    pub fn task(&self, work: Work, access: Option<(&str, Stage)>) -> Task<'_, 's> {
        let kind = &self.kinds[work as usize];
        let own = access.and_then(|(id, stage)| {
            let (work, base) = own_time(work, stage, id);
            let own = &self.kinds[work as usize].own;
            own.binary_search_by(|(known, _)| (*known).cmp(base)).ok().map(|at| own[at].1)
        });
        Task { tariff: self, work, kind, timing: Timing::new(own, kind.time) }
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
        let mut out = Vec::new();
        let task = self.task_of(operation);
        task.lines(operation, task.seconds(&operation.amount), &mut out);
        out
    }
}

/// One kind of work, ready to be counted.
#[derive(Clone, Copy)]
pub struct Task<'t, 's> {
    tariff: &'t Tariff<'s>,
    work: Work,
    kind: &'t Kind<'s>,
    timing: Timing<'s>,
}

impl<'s> Task<'_, 's> {
    /// Whether it is done outside, so that it takes none of the shop's hours.
    pub fn sublet(&self) -> bool {
        self.kind.sublet.is_some()
    }

    /// The times by which it is counted.
    pub fn timing(&self) -> Timing<'s> {
        self.timing
    }

    /// As [`Tariff::lines`], of an operation of this kind that takes so many seconds with nothing taken off.
    pub(super) fn lines(&self, operation: &Operation, seconds: u64, out: &mut Vec<Line>) {
        let line = |charge| Line {
            part: operation.part.clone(),
            operation: Some(operation.id.clone()),
            ..Line::new(self.tariff.shop, charge)
        };
        self.charges(&operation.amount, seconds, |charge| out.push(line(charge)));
        for (with, amount) in &operation.elsewhere {
            self.charges_elsewhere(amount, |charge| out.push(Line { with: Some(with.clone()), ..line(charge) }));
        }
    }

    /// The shop's own of the hours of an operation of this kind: none where it is done outside.
    pub(super) fn own(&self, hours: Hours) -> Hours {
        if self.sublet() {
            Hours { terms: Vec::new(), seconds: 0, wait: None, carry_minutes: 0, ..hours }
        } else {
            hours
        }
    }

    /// Seconds of so much of it, whoever does it.
    pub fn seconds(&self, amount: &Amount) -> u64 {
        self.timing.terms(amount).map(|term| term.seconds).sum()
    }

    /// What is taken off the seconds for work at a factory joint that is counted with another part.
    pub fn seconds_elsewhere(&self, amount: &Amount) -> u64 {
        elsewhere(self.kind.time, amount).map(|term| term.seconds).sum()
    }

    /// What is charged for so much of it, which takes so many seconds.
    pub(super) fn charges(&self, amount: &Amount, seconds: u64, take: impl FnMut(Charge)) {
        let mut some = if_any(take);
        match self.kind.sublet {
            Some(each) => some(Charge {
                what: What::Sublet(self.work),
                category: Category::Sublet,
                quantity: Decimal::ONE,
                unit: "unit-job",
                each,
            }),
            None => {
                // Hundredths of an hour, 36 seconds each.
                let hundredths = divide(i128::from(seconds), 36, Rounding::HalfUp);
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

    /// Seconds of so much of it, whoever does it, and what is charged, in the whole numbers of the program as
    /// [`super::line_cost`].
    pub fn seconds_and_cost(&self, amount: &Amount) -> (u64, i64) {
        let (seconds, mut sum) = (self.seconds(amount), 0);
        self.charges(amount, seconds, |charge| sum += self.cost_of(&charge));
        (seconds, sum)
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
            quantity: Decimal::new(hundredths, 2),
            unit: "unit-hour",
            each: self.tariff.shop.rates.hour(skill),
        }
    }

    fn materials(&self) -> impl Iterator<Item = &'s Arc<Material>> {
        self.kind.materials.iter().copied()
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
    let scale = ten_to(material.amount.scale());
    let (number, places) = match material.measure {
        Measure::Piece | Measure::Set => (divide(product, scale * 1_000, pieces), 0),
        _ => (divide(product, scale, rest), 3),
    };
    Decimal::new(i64::try_from(number).unwrap_or(i64::MAX), places)
}
