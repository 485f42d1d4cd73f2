//! What work and service parts cost in the whole numbers of the program.
//!
//! Takes its figures from the time book and the estimate; has none of its own. Money counts in
//! [`MONEY_UNITS`]ths of a minor unit with its tax, unrounded, so that sums are exact.

use crate::catalogue::Book;
use crate::decide::Pick;
use crate::operations::Operation;
use crate::shop::Shop;
use crate::terms::Wait;

/// How many units of the program make one minor unit of money.
pub const MONEY_UNITS: i64 = 100_000;

/// What something costs for each aim; the seconds of labour count for hours and for days.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Cost {
    /// Money, in [`MONEY_UNITS`]ths of a minor unit.
    pub money: i64,
    /// Labour, seconds.
    pub seconds: i64,
}

pub(super) fn of_operation(shop: &Shop, operation: &Operation) -> Cost {
    let seconds = i64::try_from(shop.times.hours(operation).seconds).unwrap_or(i64::MAX / 2);
    Cost { money: 0, seconds }
}

pub(super) fn wait_of(shop: &Shop, operation: &Operation) -> Option<(Wait, i64)> {
    shop.times.hours(operation).wait.map(|(wait, seconds)| (wait, i64::from(seconds)))
}

pub(super) fn of_parts(_shop: &Shop, _book: &Book, _pick: &Pick) -> (Cost, u32, Vec<String>) {
    (Cost::default(), 0, Vec::new())
}

pub(super) fn day_seconds(shop: &Shop) -> i64 {
    i64::from(shop.times.pace.day_minutes) * 60
}

pub(super) fn storage_per_day(_shop: &Shop) -> i64 {
    0
}

/// Minor units of one currency unit.
pub(super) fn minor_units(_shop: &Shop) -> i64 {
    100
}
