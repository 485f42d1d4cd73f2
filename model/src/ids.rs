//! Names of things in books and jobs, kept apart by type so that one cannot stand where another is meant.
//!
//! Results repeat them many times, so that a copy is cheap: it shares the text.

use std::sync::Arc;

macro_rules! names {
    ($text:ty: $($(#[$meta:meta])* $name:ident),+ $(,)?) => {$(
        $(#[$meta])*
        #[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
        #[serde(transparent)]
        pub struct $name(pub $text);

        impl $name {
            /// The written form.
            pub fn as_str(&self) -> &str { &self.0 }
        }
        impl From<&str> for $name {
            fn from(text: &str) -> Self { Self(text.into()) }
        }
        impl From<String> for $name {
            fn from(text: String) -> Self { Self(text.into()) }
        }
        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result { f.write_str(&self.0) }
        }
    )+};
}

names! { Arc<str>:
    /// A part of one body with its side: `fender-left`, `roof`.
    PartId,
    /// A piece of access work with its side: `fender-off-left`, `dash-out`.
    AccessId,
    /// A cell of a sectionable part, unique within the part.
    CellId,
    /// A permitted cut line, unique within the part.
    CutId,
    /// A mark of a job, unique within the job.
    MarkId,
    /// A rule of a rule book.
    RuleId,
    /// An operation of a plan.
    OperationId,
    /// What is ordered: `fender` (the whole part of either side), `fender-left`, `rocker/front-section` (a section of it).
    ServiceId,
}

names! { String:
    /// A photo of a job, unique within the job. No result repeats it.
    PhotoId,
}

/// A price list is searched by the text alone.
impl std::borrow::Borrow<str> for ServiceId {
    fn borrow(&self) -> &str {
        &self.0
    }
}
