//! The rule book in force: the built-in one, or the shop's own over it.

use crate::in_force::InForce;
use model::rules::{self, RuleBook, read};
use std::sync::Arc;

/// Longest shop's book that is kept with the settings, bytes.
pub const LONGEST: usize = 512 << 10;

/// The book in force for the text of a shop's own book, which may be empty.
#[must_use]
pub fn in_force(own: &str) -> InForce<RuleBook> {
    InForce::of(own, || Arc::new(rules::general().clone()), check)
}

/// Reads a shop's own book and lays it over the built-in one.
///
/// # Errors
/// Where the book is broken or contradicts what it stands on; the error names the place.
pub fn check(own: &str) -> model::Result<RuleBook> {
    rules::general().overlay(read::read(own)?)
}

#[cfg(test)]
mod tests {
    use super::*;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    const OWN: &str = r#"{"format":"cutline-rules","version":1,"id":"north-yard","edition":"2026-1","title":"North Yard",
        "rules":[{"id":"north-yard-no-weld","when":{"role":["structural"]},"then":[{"forbid_route":"welded","with":["section"]}],
        "text":"Our yard does not weld structure.","basis":{"kind":"shop-policy","source":"Yard rules, page 3"}}]}"#;

    #[test]
    fn a_good_book_stands_over_the_built_in_one() {
        let now = in_force(OWN);
        assert!(now.own && now.problem.is_none(), "{:?}", now.problem);
        assert_eq!(now.value.id, "north-yard");
        assert_eq!(now.value.rules.len(), rules::general().rules.len() + 1);
    }

    #[test]
    fn a_broken_book_never_stands_half() {
        let now = in_force(&OWN.replace("structural", "structurel"));
        assert!(!now.own);
        assert_eq!(now.value.id, rules::general().id);
        assert!(now.problem.is_some_and(|why| why.contains("rules[0].when.role")));
    }

    #[test]
    fn without_an_own_book_the_built_in_one_stands() {
        let now = in_force("");
        assert!(!now.own && now.problem.is_none());
    }
}
