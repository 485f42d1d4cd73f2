//! What the shop charges as it stands in force: the built-in rates and price list, or the shop's own.
//!
//! What cannot be used never stands half: the built-in one stands alone and the reason is kept for people. Kept with the
//! settings as texts; nothing is converted when the currency changes.

use crate::in_force::InForce;
use crate::state::AppState;
use leptos::prelude::*;
use model::error::Error;
use model::prices::PriceList;
use model::rates::Rates;
use model::words::Language;
use std::sync::Arc;

/// Id of rates that the shop has changed.
const OWN: &str = "shop";

/// Rates and prices that plans stand on.
#[derive(Clone, Debug, PartialEq)]
pub struct Charges {
    /// The rates.
    pub rates: Arc<Rates>,
    /// The price list, in the currency of the rates.
    pub prices: Arc<PriceList>,
    /// Why the shop's own rates are not used, although there are some.
    pub rates_problem: Option<String>,
    /// Why the shop's own price list is not used, although there is one.
    pub prices_problem: Option<String>,
}

/// What is in force for the texts of the shop's own rates and price list, which may be empty, and the name of the list.
#[must_use]
pub fn in_force(rates: &str, prices: &str, name: &str) -> Charges {
    let InForce { value: rates, problem: rates_problem, .. } =
        InForce::of(rates, || Arc::clone(Rates::demo()), Rates::read);
    let (prices, prices_problem) = match prices {
        "" => (PriceList::demo_in(rates.currency), None),
        own => match read_prices(own, name, &rates) {
            Ok(own) => (Arc::new(own), None),
            Err(faults) => (PriceList::demo_in(rates.currency), faults.first().map(ToString::to_string)),
        },
    };
    Charges { rates, prices, rates_problem, prices_problem }
}

/// Reads a price list in the currency of the rates.
///
/// # Errors
/// Every fault with its line and column.
pub fn read_prices(text: &str, name: &str, rates: &Rates) -> Result<PriceList, Vec<Error>> {
    PriceList::read(text.as_bytes(), name, "own", rates.currency)
}

/// Changes the rates in force and keeps them with the settings. A change that leads out of the ranges changes nothing.
///
/// # Errors
/// What is wrong and what to do, in words.
pub fn change(app: AppState, change: impl FnOnce(&mut Rates) -> model::Result<()>) -> Result<(), String> {
    let own = app.settings.try_with_untracked(|settings| settings.rates.clone()).unwrap_or_default();
    let text = changed(&own, change).map_err(|why| why.message(Language::English))?;
    app.update_settings(|settings| settings.rates = text);
    Ok(())
}

/// The text of the rates after a change; empty where they are the built-in ones again.
fn changed(own: &str, change: impl FnOnce(&mut Rates) -> model::Result<()>) -> model::Result<String> {
    let mut rates = (*in_force(own, "", "").rates).clone();
    change(&mut rates)?;
    let demo = Rates::demo();
    (rates.id, rates.edition) = (demo.id.clone(), demo.edition.clone());
    if rates == **demo {
        return Ok(String::new());
    }
    (rates.id, rates.edition) = (OWN.into(), OWN.into());
    let text = rates.to_text();
    // The reader knows every range; what it refuses is not kept.
    Rates::read(&text).map(|_| text)
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::money::{Currency, decimal};
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    const LIST: &str = "service_part,price,delivery_days\nfender,350.50,3\n";

    #[test]
    fn a_change_is_kept_and_taken_back() {
        let set = |price: &str| {
            let price = decimal(price, 4);
            move |rates: &mut Rates| {
                rates.labour[0] = price?;
                Ok(())
            }
        };
        let own = changed("", set("70.25")).expect("in range");
        let now = in_force(&own, "", "");
        assert_eq!((now.rates.id.as_str(), now.rates.labour[0].to_string()), (OWN, "70.25".to_owned()));
        assert_eq!(now.rates_problem, None);
        assert_eq!(changed(&own, set("64.00")).as_deref(), Ok(""));
        assert_eq!(changed(&own, set("100000001")).expect_err("too much").key, "error-rates-range");
        assert_eq!(changed(&own, set("7,5")).expect_err("a comma").key, "error-number-comma");
    }

    #[test]
    fn what_cannot_be_used_never_stands_half() {
        let now = in_force("{}", LIST, "ours.csv");
        assert_eq!(&now.rates, Rates::demo());
        assert!(now.rates_problem.is_some());
        assert_eq!((now.prices.id.as_str(), now.prices.own), ("ours.csv", 1));
        let yen = changed("", |rates| {
            rates.currency = Currency::from_code("JPY")?;
            Ok(())
        });
        let now = in_force(&yen.expect("in range"), LIST, "ours.csv");
        assert_eq!((now.prices.own, now.prices.currency.code()), (0, "JPY"));
        assert!(now.prices_problem.is_some_and(|why| why.starts_with("line 2, column 2 (price)")));
    }
}
