//! From operations to hours, days and money, each total open to its terms.
//!
//! The lines of an operation are a pure function of that operation, those of a pick of that pick, so that the whole-job
//! program can add them up. Each line is rounded once; a category is taxed once, on the sum of its lines. Nothing here
//! decides what is done.

mod days;
mod json;
mod line;
mod tariff;
mod worth;

pub use days::{Days, HandOver, day_seconds};
pub use json::to_json;
pub use line::{LINE_MAX, Line, Ordered, What, ordered, part_lines, service_words, storage_line};
pub use tariff::{Tariff, Task};
pub use worth::{Worth, worth};

use crate::catalogue::Book;
use crate::decide::Pick;
use crate::money::{Currency, Money, Rounding, divide, ten_to};
use crate::operations::Operation;
use crate::rates::Rates;
use crate::shop::Shop;
use crate::terms::{Category, Skill, Wait};
use crate::times::{Hours, Spread, spread};

/// How many units of the program make one minor unit of money: with it, percentages of three decimals are exact.
pub const MONEY_UNITS: i64 = 100_000;

/// What a plan comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct Estimate {
    /// Currency of every amount.
    pub currency: Currency,
    /// Every line: parts, then the work in the order of the operations, then storage.
    pub lines: Vec<Line>,
    /// Sums by category, in the order of [`Category::ALL`].
    pub sums: Vec<Sum>,
    /// Sum of the categories, without tax.
    pub net: Money,
    /// Sum of their taxes.
    pub tax: Money,
    /// Net and tax.
    pub total: Money,
    /// Hours of the shop's own people on each operation; what is done outside takes none.
    pub work: Vec<Hours>,
    /// Their sum.
    pub hours: Spread,
    /// Seconds of the same by skill, in the order of [`Skill::ALL`], skills without work left out.
    pub skills: Vec<(Skill, u64)>,
    /// What the truck waits for and for how many working seconds, each kind once, in the order of [`Wait::ALL`].
    pub waits: Vec<(Wait, u32)>,
    /// Working days until the last service part is there.
    pub lead_days: u32,
    /// Working days in the shop.
    pub days: Days,
    /// What holds the hand-over beyond these days.
    pub hand_over: Option<HandOver>,
}

/// The sum of a category.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sum {
    /// The category.
    pub category: Category,
    /// Sum of its lines.
    pub net: Money,
    /// Tax on that sum, rounded once.
    pub tax: Money,
}

/// The estimate of what is picked and of the work that it brings.
pub fn estimate(tariff: &Tariff<'_>, book: &Book, picks: &[Pick], operations: &[Operation]) -> Estimate {
    let shop = tariff.shop();
    let mut lines: Vec<Line> = picks.iter().flat_map(|pick| part_lines(shop, book, pick)).collect();
    let mut work: Vec<Hours> = Vec::with_capacity(operations.len());
    for operation in operations {
        let task = tariff.task_of(operation);
        let hours = task.timing().hours(operation);
        task.lines(operation, hours.full_seconds(), &mut lines);
        work.push(task.own(hours));
    }
    let lead_days = picks.iter().map(|pick| lead_days(shop, book, pick)).max().unwrap_or(0);
    lines.extend(storage_line(shop, lead_days));
    let rates = &*shop.rates;
    let zero = Money::zero(rates.currency);
    let sums: Vec<Sum> = Category::ALL
        .iter()
        .map(|category| {
            let net = sum(zero, lines.iter().filter(|line| line.category == *category).map(|line| line.amount));
            // At most 100 % of the sum: it fits where the sum does.
            let tax = net.percent(rates.tax(*category), rates.rounding).unwrap_or(net);
            Sum { category: *category, net, tax }
        })
        .collect();
    let (net, tax) = (sum(zero, sums.iter().map(|sum| sum.net)), sum(zero, sums.iter().map(|sum| sum.tax)));
    Estimate {
        currency: rates.currency,
        lines,
        sums,
        net,
        tax,
        total: sum(net, std::iter::once(tax)),
        hours: spread(work.iter().flat_map(Hours::spreads)),
        skills: days::by_skill(&work),
        waits: days::waits(work.iter()),
        lead_days,
        days: days::days(shop, &work, lead_days),
        hand_over: days::hand_over(shop, operations, &work),
        work,
    }
}

/// The sum of amounts of one currency. Lines are bounded by [`LINE_MAX`], so that only a plan of millions of lines could
/// reach the bound of 64 bits, at which the sum would stay.
fn sum(zero: Money, amounts: impl Iterator<Item = Money>) -> Money {
    amounts.fold(zero, |sum, one| Money { minor: sum.minor.saturating_add(one.minor), ..sum })
}

/// Working days until the last service part of a pick is there; 0 where nothing is ordered.
pub fn lead_days(shop: &Shop, book: &Book, pick: &Pick) -> u32 {
    ordered(shop, book, pick).filter_map(|one| Some(one.price?.days)).max().unwrap_or(0)
}

/// Whether the work of an operation is done outside, so that it takes none of the shop's hours.
pub fn sublet(shop: &Shop, operation: &Operation) -> bool {
    shop.rates.sublet.contains_key(operation.work.word())
}

/// The hours that the shop's own people spend on an operation: none where it is done outside.
pub fn own_hours(tariff: &Tariff<'_>, operation: &Operation) -> Hours {
    let task = tariff.task_of(operation);
    task.own(task.timing().hours(operation))
}

/// What a line adds to a plan in the whole numbers of the program: its amount with its tax, exact, in
/// [`MONEY_UNITS`]ths of a minor unit.
///
/// A plan's total differs from the sum of these only by the rounding of each category's tax: by at most half a minor
/// unit for each taxed category where the rates round to the nearest, by less than one where they round up or down.
pub fn line_cost(line: &Line, rates: &Rates) -> i64 {
    amount_cost(line.category, line.amount, rates)
}

/// The same of an amount of this category.
fn amount_cost(category: Category, amount: Money, rates: &Rates) -> i64 {
    let percent = rates.tax(category);
    // 1 + percent / 100 in 1/100 000; a percentage has at most three decimals.
    let tax = percent.mantissa() * ten_to(3_u32.saturating_sub(percent.scale()));
    let cost = i128::from(amount.minor) * (i128::from(MONEY_UNITS) + tax);
    i64::try_from(cost).unwrap_or(i64::MAX / 2)
}

/// A cost of the program as money, rounded to minor units.
pub fn cost_money(cost: i64, rates: &Rates) -> Money {
    let minor = divide(i128::from(cost), i128::from(MONEY_UNITS), Rounding::HalfEven);
    Money { minor: i64::try_from(minor).unwrap_or(i64::MAX), currency: rates.currency }
}
