//! Hours and days of a plan: labour of the shop's own people, waits, delivery times.
//!
//! Never counts work that is done outside, and each kind of wait once.

use crate::shop::Shop;
use crate::terms::{Skill, Wait};
use crate::times::Hours;

/// Working days in the shop, exact: `numerator / denominator`.
///
/// Parts are awaited first, then all hands work side by side, and everyone waits while something cures or dries:
/// (delivery days × hands × seconds of a day + seconds of labour + hands × seconds of waits) / (hands × seconds of a
/// day). That no two people ever wait for each other is a simplification; a schedule tells more.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Days {
    /// Seconds of all hands.
    pub numerator: u64,
    /// Seconds of all hands in one day.
    pub denominator: u64,
}

impl Days {
    /// The number of days.
    pub fn value(self) -> f64 {
        // Far below 2^53.
        #[allow(clippy::cast_precision_loss)]
        let value = self.numerator as f64 / self.denominator as f64;
        value
    }
}

/// Working seconds of a day of one person.
pub fn day_seconds(shop: &Shop) -> u64 {
    u64::from(shop.times.pace.day_minutes) * 60
}

pub(super) fn by_skill(work: &[Hours]) -> Vec<(Skill, u64)> {
    let seconds =
        |skill: Skill| work.iter().filter(|hours| hours.skill == skill).map(|hours| hours.seconds).sum::<u64>();
    Skill::ALL.iter().map(|skill| (*skill, seconds(*skill))).filter(|(_, seconds)| *seconds > 0).collect()
}

/// The longest wait of each kind.
pub(super) fn waits(work: &[Hours]) -> Vec<(Wait, u32)> {
    let longest = |kind: Wait| {
        work.iter().filter_map(|hours| hours.wait).filter(|(known, _)| *known == kind).map(|(_, seconds)| seconds).max()
    };
    Wait::ALL.iter().filter_map(|kind| Some((*kind, longest(*kind)?))).filter(|(_, seconds)| *seconds > 0).collect()
}

pub(super) fn days(shop: &Shop, work: &[Hours], lead_days: u32) -> Days {
    let hands = u64::from(shop.times.pace.hands);
    let day = hands * day_seconds(shop);
    let labour: u64 = work.iter().map(|hours| hours.seconds).sum();
    let waiting: u64 = waits(work).iter().map(|(_, seconds)| u64::from(*seconds)).sum();
    Days { numerator: u64::from(lead_days) * day + labour + hands * waiting, denominator: day }
}
