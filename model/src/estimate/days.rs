//! Hours and days of a plan: labour of the shop's own people, waits, delivery times.
//!
//! Never counts work that is done outside, and each kind of wait once.

use crate::ids::OperationId;
use crate::operations::Operation;
use crate::shop::Shop;
use crate::terms::{Skill, Stage, Wait};
use crate::times::Hours;

/// Working days in the shop, exact: `numerator / denominator`.
///
/// Parts are awaited first, then all hands work side by side, and everyone waits while something cures or dries:
/// (delivery days × hands × seconds of a day + seconds of labour + hands × seconds of waits) / (hands × seconds of a
/// day). That no two people ever wait for each other is a simplification; a schedule tells more.
///
/// Until when the truck stands still after bonding is one of these waits. Full cure is none: the truck needs neither hands
/// nor bay for it, work goes on beside it, and the nights count. It holds the hand-over alone ([`HandOver`]), by what is
/// left of it after all later work, which no single choice decides. `tests/hours.rs` shows that with the built-in list no
/// other choice for a part would hand over sooner than the best for days.
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

/// Until when the vehicle is not handed over: an adhesive must carry first.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HandOver {
    /// The work after which it takes longest.
    pub operation: OperationId,
    /// How long its adhesive takes to carry, minutes of the clock.
    pub minutes: u32,
    /// The same in working seconds of the day: the share of the clock at which the shop works.
    pub carries_s: u64,
    /// How much longer than [`Days`] that is, working seconds of the day; 0 where the work that follows takes as long.
    pub more_s: u64,
}

/// Minutes of the clock in a day: while the shop is closed an adhesive goes on curing.
const DAY_OF_CLOCK_MINUTES: u64 = 1_440;

/// What holds the hand-over; `None` where the shop bonds nothing. After each bonded joint the work of later stages and what
/// the truck waits for from then on counts; what a plan's days lack of the adhesive's time is told beside them, for it
/// depends on all choices at once.
pub(super) fn hand_over(shop: &Shop, operations: &[Operation], work: &[Hours]) -> Option<HandOver> {
    let own = || operations.iter().zip(work);
    let day = day_seconds(shop);
    // What comes after, by stage: of many joints most stand at the same.
    let mut known: Vec<(Stage, u64)> = Vec::new();
    let mut after = |stage: Stage| match known.iter().find(|(one, _)| *one == stage) {
        Some((_, seconds)) => *seconds,
        None => {
            let labour: u64 = own().filter(|(one, _)| one.stage > stage).map(|(_, hours)| hours.seconds).sum();
            let from_now = own().filter(|(one, _)| one.stage >= stage).map(|(_, hours)| hours);
            let waiting: u64 = waits(from_now).iter().map(|(_, seconds)| u64::from(*seconds)).sum();
            let seconds = labour / u64::from(shop.times.pace.hands) + waiting;
            known.push((stage, seconds));
            seconds
        }
    };
    let held = own().filter(|(_, hours)| hours.carry_minutes > 0).map(|(bonded, hours)| {
        let minutes = hours.carry_minutes;
        let needed = (u64::from(minutes) * day).div_ceil(DAY_OF_CLOCK_MINUTES);
        HandOver {
            operation: bonded.id.clone(),
            minutes,
            carries_s: needed,
            more_s: needed.saturating_sub(after(bonded.stage)),
        }
    });
    held.max_by_key(|hold| (hold.more_s, hold.minutes))
}

pub(super) fn by_skill(work: &[Hours]) -> Vec<(Skill, u64)> {
    let seconds =
        |skill: Skill| work.iter().filter(|hours| hours.skill == skill).map(|hours| hours.seconds).sum::<u64>();
    Skill::ALL.iter().map(|skill| (*skill, seconds(*skill))).filter(|(_, seconds)| *seconds > 0).collect()
}

/// The longest wait of each kind.
pub(super) fn waits<'h>(work: impl Iterator<Item = &'h Hours>) -> Vec<(Wait, u32)> {
    let mut longest = [0; Wait::ALL.len()];
    for (kind, seconds) in work.filter_map(|hours| hours.wait) {
        longest[kind as usize] = seconds.max(longest[kind as usize]);
    }
    Wait::ALL.iter().map(|kind| (*kind, longest[*kind as usize])).filter(|(_, seconds)| *seconds > 0).collect()
}

pub(super) fn days(shop: &Shop, work: &[Hours], lead_days: u32) -> Days {
    let hands = u64::from(shop.times.pace.hands);
    let day = hands * day_seconds(shop);
    let labour: u64 = work.iter().map(|hours| hours.seconds).sum();
    let waiting: u64 = waits(work.iter()).iter().map(|(_, seconds)| u64::from(*seconds)).sum();
    Days { numerator: u64::from(lead_days) * day + labour + hands * waiting, denominator: day }
}
