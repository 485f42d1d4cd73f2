//! What a shop can do and how it works: equipment and times; its prices and rates join them.
//!
//! Plain values that a person set; decides nothing.

use crate::times::TimeBook;
use std::sync::Arc;

/// A shop.
#[derive(Clone, Debug, PartialEq)]
pub struct Shop {
    /// It may weld aluminium: equipment and a qualified welder.
    pub aluminium_welding: bool,
    /// It has a clean aluminium bay with its own tools and extraction.
    pub aluminium_bay: bool,
    /// How long its work takes.
    pub times: Arc<TimeBook>,
}

impl Default for Shop {
    /// An equipped shop, as that of the demo; the app asks each shop what it has.
    fn default() -> Self {
        Self { aluminium_welding: true, aluminium_bay: true, times: Arc::clone(TimeBook::general()) }
    }
}
