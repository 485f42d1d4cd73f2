//! What the shop has and charges: equipment, time book, rates, price list.
//!
//! A shop is one value that every calculation is given; nothing here calculates. A copy is cheap.

use crate::prices::PriceList;
use crate::rates::Rates;
use crate::times::TimeBook;
use std::sync::Arc;

/// What a shop can do and what it charges.
#[derive(Clone, Debug)]
pub struct Shop {
    /// It may weld aluminium: equipment and a qualified welder.
    pub aluminium_welding: bool,
    /// It has a clean aluminium bay with its own tools and extraction.
    pub aluminium_bay: bool,
    /// How long work takes.
    pub times: Arc<TimeBook>,
    /// What work, materials and storage cost, and in which currency.
    pub rates: Arc<Rates>,
    /// What service parts cost; in the currency of the rates.
    pub prices: Arc<PriceList>,
}

impl Default for Shop {
    /// An equipped shop with the built-in books, as that of the demo; the app asks each shop what it has.
    fn default() -> Self {
        Self {
            aluminium_welding: true,
            aluminium_bay: true,
            times: Arc::clone(TimeBook::general()),
            rates: Arc::clone(Rates::demo()),
            prices: Arc::clone(PriceList::demo()),
        }
    }
}

impl PartialEq for Shop {
    /// Books that are one and the same are not compared.
    fn eq(&self, other: &Self) -> bool {
        fn same<T: PartialEq>(one: &Arc<T>, other: &Arc<T>) -> bool {
            Arc::ptr_eq(one, other) || one == other
        }
        self.aluminium_welding == other.aluminium_welding
            && self.aluminium_bay == other.aluminium_bay
            && same(&self.times, &other.times)
            && same(&self.rates, &other.rates)
            && same(&self.prices, &other.prices)
    }
}
