//! Names of things in books and jobs, kept apart by type so that one cannot stand where another is meant.

macro_rules! names {
    ($($(#[$meta:meta])* $name:ident),+ $(,)?) => {$(
        $(#[$meta])*
        #[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
        #[serde(transparent)]
        pub struct $name(pub String);

        impl $name {
            /// The written form.
            pub fn as_str(&self) -> &str { &self.0 }
        }
        impl From<&str> for $name {
            fn from(text: &str) -> Self { Self(text.to_owned()) }
        }
        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result { f.write_str(&self.0) }
        }
    )+};
}

names! {
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
    /// A photo of a job, unique within the job.
    PhotoId,
}

/// Names that results repeat many times: a copy is cheap.
macro_rules! shared_names {
    ($($(#[$meta:meta])* $name:ident),+ $(,)?) => {$(
        $(#[$meta])*
        #[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub std::sync::Arc<str>);

        impl $name {
            /// The written form.
            pub fn as_str(&self) -> &str { &self.0 }
        }
        impl From<&str> for $name {
            fn from(text: &str) -> Self { Self(text.into()) }
        }
        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result { f.write_str(&self.0) }
        }
    )+};
}

shared_names! {
    /// A rule of a rule book.
    RuleId,
    /// An operation of a plan.
    OperationId,
    /// What is ordered: `fender` (the whole part of either side), `fender-left`, `rocker/front-section` (a section of it).
    ServiceId,
}
