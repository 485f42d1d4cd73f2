//! The joining list in force: the built-in one, or the shop's own in its place.

use crate::in_force::InForce;
use model::stock::Stock;
use std::sync::Arc;

/// Longest shop's list that is kept with the settings, bytes.
pub const LONGEST: usize = 256 << 10;

/// The list in force for the text of a shop's own list, which may be empty.
#[must_use]
pub fn in_force(own: &str) -> InForce<Stock> {
    InForce::of(own, || Arc::clone(Stock::general()), Stock::read)
}

#[cfg(test)]
mod tests {
    use super::*;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    #[test]
    fn a_good_list_stands_in_place_of_the_built_in_one() {
        let text = Stock::general_text().replace("\"flange_mm\": 26", "\"flange_mm\": 31");
        let now = in_force(&text);
        assert!(now.own && now.problem.is_none(), "{:?}", now.problem);
        assert!((now.value.flange_mm - 31.0).abs() < 1e-9);
        assert_eq!(in_force(Stock::general_text()).value, *Stock::general());
    }

    #[test]
    fn a_broken_list_never_stands_half() {
        let now = in_force(&Stock::general_text().replace("[1.8, 3.5]", "[3.5, 1.8]"));
        assert!(!now.own);
        assert_eq!(&now.value, Stock::general());
        assert!(now.problem.is_some_and(|why| why.contains("fasteners[0].grip_mm")));
    }
}
