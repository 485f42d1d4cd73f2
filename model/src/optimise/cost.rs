//! What work and service parts cost in the whole numbers of the program.
//!
//! Takes every figure from the estimate; has none of its own, and rounds nothing.

use crate::catalogue::{Book, Part};
use crate::decide::Pick;
use crate::estimate::{self, MONEY_UNITS, Ordered, Task, line_cost, ordered, storage_line};
use crate::ids::ServiceId;
use crate::operations::Amount;
use crate::shop::Shop;
use crate::terms::{Aim, Wait};

/// What something costs for each aim; the seconds of labour count for hours and for days.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Cost {
    /// Money with tax, in [`MONEY_UNITS`]ths of a minor unit.
    pub money: i64,
    /// Labour of the shop's own people, seconds.
    pub seconds: i64,
}

/// What so much work costs.
pub(super) fn of_work(task: &Task<'_, '_>, amount: &Amount) -> Cost {
    let (seconds, money) = task.seconds_and_cost(amount);
    let seconds = if task.sublet() { 0 } else { i64::try_from(seconds).unwrap_or(i64::MAX / 2) };
    Cost { money, seconds }
}

/// What is taken off for work at joints that is counted with another part; not negative.
pub(super) fn of_joints(task: &Task<'_, '_>, amount: &Amount) -> Cost {
    let seconds = if task.sublet() { 0 } else { i64::try_from(task.seconds_elsewhere(amount)).unwrap_or(0) };
    Cost { money: -task.cost_elsewhere(amount), seconds }
}

/// What the truck waits for afterwards, and for how many working seconds.
pub(super) fn wait_of(task: &Task<'_, '_>) -> Option<(Wait, i64)> {
    if task.sublet() { None } else { task.timing().wait().map(|(wait, seconds)| (wait, i64::from(seconds))) }
}

/// What the service parts of a pick cost, the working days until the last is there, and those without a price.
pub(super) fn of_parts(shop: &Shop, book: &Book, pick: &Pick) -> (Cost, u32, Vec<ServiceId>) {
    let (mut money, mut days, mut unpriced) = (0, 0, Vec::new());
    for one in ordered(shop, book, pick) {
        money += one.cost(shop);
        match one.price {
            Some(price) => days = price.days.max(days),
            None => unpriced.push(one.service),
        }
    }
    (Cost { money, seconds: 0 }, days, unpriced)
}

/// What one service part costs, the whole part or a section of it, and the working days until it is there.
pub(super) fn of_service(shop: &Shop, part: &Part, section: Option<&str>) -> (i64, u32) {
    let one = Ordered::of(shop, part, section);
    (one.cost(shop), one.price.map_or(0, |price| price.days))
}

pub(super) fn day_seconds(shop: &Shop) -> i64 {
    i64::try_from(estimate::day_seconds(shop)).unwrap_or(i64::MAX / 2)
}

pub(super) fn storage_per_day(shop: &Shop) -> i64 {
    storage_line(shop, 1).map_or(0, |line| line_cost(&line, &shop.rates))
}

/// How many whole numbers of the program make one unit in which a person counts: a currency unit, an hour, a day.
pub fn per(shop: &Shop, aim: Aim) -> i64 {
    match aim {
        Aim::Money => MONEY_UNITS * 10_i64.pow(u32::from(shop.rates.currency.decimals())),
        Aim::Hours => 3_600,
        Aim::Days => i64::from(shop.times.pace.hands) * day_seconds(shop),
    }
}
