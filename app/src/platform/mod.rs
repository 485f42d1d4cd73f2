//! The browser: the only place that names web-sys, js-sys and gloo.
//!
//! Takes and returns plain texts and numbers; knows nothing of jobs and never uses the model.

pub mod build;
pub mod bytes;
pub mod camera;
pub mod chance;
pub mod clock;
pub mod files;
pub mod idle;
pub mod journal;
pub mod lifecycle;
pub mod page;
pub mod paper;
pub mod parcel;
pub mod picked;
pub mod quick;
pub mod rest;
pub mod room;
pub mod veil;

/// Why the browser did not keep something.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Refusal {
    /// No room is left.
    Full,
    /// This page may not store anything.
    Blocked,
    /// A tab of an older version does not let go of the store.
    Held,
    /// Something else; the browser's own name for it.
    Broken(String),
}
