//! A frozen revision: the plan as it was given to somebody, in whole numbers and in the words of that day.
//!
//! It is a fact, not a result: prices, books and marks may change, what was given out does not. Nothing here works it
//! out; see the module `revision`.

use super::option::OptionHold;
use crate::damage::Mark;
use crate::ids::{CutId, MarkId, PartId};
use crate::terms::{Action, Aim, Category, Inspection, Rounding, Route};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// A plan as it was given out. Its number is its place in [`Job::revisions`](super::Job::revisions), from 1.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Revision {
    /// What the person called it.
    pub name: String,
    /// The day, `YYYY-MM-DD`.
    pub day: String,
    /// What the plan aimed at.
    pub aim: Aim,
    /// What it was worked out against.
    pub against: Against,
    /// The facts of the whole vehicle (body, restraints, high voltage, frame) as words of files.
    pub vehicle: String,
    /// Currency, three capital letters, as in ISO 4217.
    pub currency: String,
    /// Digits of its minor unit, 0 to 4.
    pub digits: u8,
    /// What was picked for each damaged part.
    pub parts: Vec<RevisedPart>,
    /// Every line, in the order of the document.
    pub lines: Vec<RevisedLine>,
    /// Taxes by category.
    pub taxes: Vec<RevisedTax>,
    /// How every line and every tax was rounded to minor units.
    pub rounding: Rounding,
    /// The sum of lines and taxes, minor units.
    pub total: i64,
    /// Planned hours, seconds: the sum over the lines.
    pub seconds: u64,
    /// What eight of ten such jobs do not exceed, seconds.
    pub bound_seconds: u64,
    /// Days in the shop as a fraction: numerator and denominator.
    pub days: [u64; 2],
}

/// Name and edition of each book and list.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Against {
    /// Body book.
    pub book: String,
    /// Rule books.
    pub rules: String,
    /// Time book.
    pub times: String,
    /// Price list.
    pub prices: String,
    /// Rates.
    pub rates: String,
    /// What the shop can do.
    pub shop: String,
}

/// What was picked for one part, and the facts that it was picked from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RevisedPart {
    /// The part.
    pub part: PartId,
    /// The action.
    pub action: Action,
    /// The way to join.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub route: Option<Route>,
    /// The cut lines, for section.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cuts: Vec<CutId>,
    /// Its marks, each with a finger print.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty", deserialize_with = "super::wire::unique")]
    pub marks: BTreeMap<MarkId, String>,
    /// The action that a person held to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hold: Option<Action>,
    /// What else a person held to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub option: Option<OptionHold>,
    /// What was found behind.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub found: Option<Inspection>,
}

/// The tax on one category.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RevisedTax {
    /// What is taxed.
    pub category: Category,
    /// Percent, as a number: `19` or `7.5`.
    pub percent: String,
    /// Amount, minor units.
    pub amount: i64,
}

/// One line of the document.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RevisedLine {
    /// What tells it apart from every other line of the revision and finds it again in another.
    pub key: String,
    /// The part that it is for; none where it is for the whole vehicle.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub part: Option<PartId>,
    /// What the money is for.
    pub category: Category,
    /// What it is, in words.
    pub what: String,
    /// Quantity and price in words.
    pub how: String,
    /// Amount, minor units.
    pub amount: i64,
    /// Planned work that it stands for, seconds.
    pub seconds: u64,
}

impl Revision {
    /// All tax, minor units.
    pub fn tax(&self) -> i64 {
        self.taxes.iter().map(|tax| tax.amount).sum()
    }
    /// Eight digits that never change and are like no other revision's: to be printed on the document.
    pub fn check_mark(&self) -> String {
        print(self)
    }
}

/// Finger print of what a mark says about the damage; what a person noted beside it changes no plan and is left out.
pub fn mark_print(mark: &Mark) -> String {
    print(&Mark { note: String::new(), ..mark.clone() })
}

/// The first eight digits of the SHA-256 of the JSON text.
fn print(value: &impl Serialize) -> String {
    // Structs of texts and integers always have a JSON text.
    let text = serde_json::to_string(value).unwrap_or_default();
    super::ChangeId::of(&text).to_string()[..8].to_owned()
}
