//! What is in force where a shop may have its own: the built-in one, or the shop's own.
//!
//! What cannot be used never stands half: the built-in one stands and the reason is kept for people.

use std::sync::Arc;

/// What plans stand on.
#[derive(Clone, Debug, PartialEq)]
pub struct InForce<T> {
    /// What stands.
    pub value: Arc<T>,
    /// Whether the shop's own is part of it.
    pub own: bool,
    /// Why the shop's own is not used, in words with its place, although there is one.
    pub problem: Option<String>,
}

impl<T> InForce<T> {
    /// What is in force for the shop's own text, which may be empty.
    pub fn of<E: ToString>(
        own: &str,
        built_in: impl FnOnce() -> Arc<T>,
        read: impl FnOnce(&str) -> Result<T, E>,
    ) -> Self {
        if own.is_empty() {
            return Self { value: built_in(), own: false, problem: None };
        }
        match read(own) {
            Ok(own) => Self { value: Arc::new(own), own: true, problem: None },
            Err(why) => Self { value: built_in(), own: false, problem: Some(why.to_string()) },
        }
    }
}
