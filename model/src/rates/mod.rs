//! What the shop charges: labour, materials, work done outside, storage, tax.
//!
//! Every number is an exact decimal in whole units of the currency; changing the currency changes no number. Nothing here
//! knows a plan.

mod read;

pub use read::{AMOUNT_MAX, PRICE_MAX};

use crate::money::{Currency, Decimal, Rounding};
use crate::terms::{Category, Measure, Skill, Unit};
use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

/// What a shop charges.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rates {
    /// Id.
    pub id: String,
    /// Edition; plans name it.
    pub edition: String,
    /// Currency.
    pub currency: Currency,
    /// How every line and every tax is rounded to minor units.
    pub rounding: Rounding,
    /// Price of an hour by skill, in the order of [`Skill::ALL`]; 0 to [`PRICE_MAX`], at most 4 decimals.
    pub labour: [Decimal; Skill::ALL.len()],
    /// Materials.
    pub materials: Vec<Arc<Material>>,
    /// Price of work that is done outside, by the word of the work; it stands in place of labour, and takes none of the
    /// shop's hours. 0 to [`PRICE_MAX`].
    pub sublet: BTreeMap<String, Decimal>,
    /// Price of a working day on which the truck stands and waits for parts; 0 to [`PRICE_MAX`].
    pub storage_per_day: Decimal,
    /// Tax in percent by category, in the order of [`Category::ALL`]; 0 to 100, at most 3 decimals.
    pub tax: [Decimal; Category::ALL.len()],
    /// From what share of the vehicle's value on the shop doubts a repair, percent; 1 to 200.
    pub worth_threshold: Decimal,
}

/// A material and how much of it work takes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Material {
    /// Id, unique in the rates; `supply-<id>` is the key of its name if `name` is empty.
    pub id: Arc<str>,
    /// The shop's own name for it, or empty.
    pub name: String,
    /// Works that take it.
    pub works: Vec<String>,
    /// For each of what; `None`: once an operation.
    pub per: Option<Unit>,
    /// How much for one; above 0, to [`AMOUNT_MAX`], at most 4 decimals.
    pub amount: Decimal,
    /// In what it is counted; pieces and sets are rounded up to whole ones.
    pub measure: Measure,
    /// Price of one measure; 0 to [`PRICE_MAX`], at most 4 decimals.
    pub price: Decimal,
}

impl Rates {
    /// The built-in rates: invented, plausible starting values; a shop replaces them.
    ///
    /// # Panics
    /// Never in a release: a test reads them.
    pub fn demo() -> &'static Arc<Self> {
        static RATES: OnceLock<Arc<Rates>> = OnceLock::new();
        RATES.get_or_init(|| {
            let text = include_str!("../../data/rates/demo.json");
            Arc::new(Self::read(text).unwrap_or_else(|error| panic!("the built-in rates are broken: {error}")))
        })
    }

    /// Price of an hour.
    pub fn hour(&self, skill: Skill) -> Decimal {
        self.labour[skill as usize]
    }

    /// Tax in percent.
    pub fn tax(&self, category: Category) -> Decimal {
        self.tax[category as usize]
    }
}

impl Material {
    /// Its name in words.
    pub fn words(&self) -> String {
        if self.name.is_empty() { crate::words::word(&format!("supply-{}", self.id)) } else { self.name.clone() }
    }
}
