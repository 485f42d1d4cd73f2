//! The price list of service parts, read from CSV.
