//! What went wrong and what to do next. Every failure of a task carries both.
//! Must never be made without a next step.

use std::fmt;
use std::path::Path;

/// The result of a task that hands nothing back.
pub type Done = Result<(), Failure>;

/// A task that did not work out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Failure {
    what: String,
    next: String,
}

impl Failure {
    /// `what` says what went wrong, `next` what the reader can do about it; both without a full stop.
    pub fn new(what: impl Into<String>, next: impl Into<String>) -> Self {
        Self { what: what.into(), next: next.into() }
    }

    /// A file of the bundle that could not be read or written.
    pub fn file(file: impl AsRef<Path>, error: &std::io::Error) -> Self {
        let what = format!("{} cannot be read or written ({error})", file.as_ref().display());
        Self::new(what, "run `sh tests/go build` again")
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(to, "Failed: {}.\n  What to do: {}.", self.what, self.next)
    }
}
