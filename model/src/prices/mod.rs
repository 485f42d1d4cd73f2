//! The price list of service parts, read from CSV.
//!
//! A list is taken whole or not at all. What it lacks is filled in from the built-in invented list and says so; no amount
//! is ever converted from one currency to another.

mod read;

pub use read::{DAYS_MAX, FAULTS_MAX, FILE_MAX, HEADER, PRICE_MAX};

use crate::catalogue::Part;
use crate::ids::ServiceId;
use crate::money::{Currency, Money, Rounding};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::sync::{Arc, OnceLock};

/// Prices and delivery times of service parts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PriceList {
    /// Id of the list.
    pub id: String,
    /// Its edition; plans name it.
    pub edition: String,
    /// Currency of every price.
    pub currency: Currency,
    /// How many rows are the shop's own; 0 for the built-in list.
    pub own: usize,
    /// By service part.
    pub items: BTreeMap<ServiceId, ServicePrice>,
}

/// Price and delivery time of one service part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ServicePrice {
    /// Price of one, without tax.
    pub price: Money,
    /// Delivery time, working days.
    pub days: u32,
    /// Whether it comes from the built-in invented list.
    pub demo: bool,
}

impl PriceList {
    /// The built-in list: invented prices for every service part of the built-in body book.
    ///
    /// # Panics
    /// Never in a release: a test reads it.
    pub fn demo() -> &'static Arc<Self> {
        static LIST: OnceLock<Arc<PriceList>> = OnceLock::new();
        LIST.get_or_init(|| {
            let text = include_str!("../../data/prices/demo.csv");
            let mut list = Self {
                id: "demo".into(),
                edition: "1".into(),
                currency: Currency::DEMO,
                own: 0,
                items: BTreeMap::new(),
            };
            list.items = read::rows(text.as_bytes(), list.currency, None)
                .unwrap_or_else(|errors| panic!("the built-in price list is broken: {errors:?}"));
            list.items.values_mut().for_each(|item| item.demo = true);
            Arc::new(list)
        })
    }

    /// The built-in list with the same numbers in another currency, rounded to its decimals. The numbers are invented in
    /// either; nothing is converted.
    #[must_use]
    pub fn demo_in(currency: Currency) -> Arc<Self> {
        let demo = Self::demo();
        if demo.currency == currency {
            return Arc::clone(demo);
        }
        let mut list = (**demo).clone();
        list.currency = currency;
        for item in list.items.values_mut() {
            let moved = Money::times(1.into(), item.price.decimal(), currency, Rounding::HalfEven);
            item.price = moved.unwrap_or(Money::zero(currency));
        }
        Arc::new(list)
    }

    /// What a part costs: the whole one, or one of its sections. A row for this side beats one for either, and a row of the
    /// shop beats one of the built-in list. `None` where neither list has it.
    pub fn find(&self, part: &Part, section: Option<&str>) -> Option<(&ServiceId, &ServicePrice)> {
        let named = |part: &str| match section {
            None => self.items.get_key_value(part),
            Some(section) => self.items.get_key_value([part, "/", section].concat().as_str()),
        };
        let own = Some(&part.base).filter(|base| part.id.as_str() != **base).and_then(|_| named(part.id.as_str()));
        own.or_else(|| named(&part.base))
    }

    /// The list as CSV with the header of [`HEADER`] and lines that end as RFC 4180 says; rows filled in from the built-in
    /// list only `with_demo`.
    pub fn to_csv(&self, with_demo: bool) -> String {
        let mut out = format!("{}\r\n", HEADER.join(","));
        for (id, item) in self.items.iter().filter(|(_, item)| with_demo || !item.demo) {
            // Ids and numbers hold no comma and no quote.
            let _ = write!(out, "{id},{},{}\r\n", item.price.amount(), item.days);
        }
        out
    }
}
