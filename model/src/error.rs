//! One error for the whole model: where it is, what is wrong, what to do next.
//!
//! The text comes from the message catalogue. An error is a value; nothing here prints or panics.

use crate::words::{Language, say};
use std::fmt;

/// A problem with what was given to the model.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Error {
    /// The field, part or rule at fault, as a person can find it in the file: `parts[12].shapes.side`.
    pub place: String,
    /// Key of the message in the catalogue; its text says what is wrong and what to do.
    pub key: &'static str,
    /// Values for the message.
    pub arguments: Vec<(&'static str, String)>,
}

/// The model's result.
pub type Result<T, E = Error> = std::result::Result<T, E>;

impl Error {
    /// A problem at `place`, explained by the message `key`.
    pub fn new(key: &'static str, place: impl Into<String>) -> Self {
        Self { place: place.into(), key, arguments: Vec::new() }
    }

    /// The same with a value for the message.
    #[must_use]
    pub fn with(mut self, name: &'static str, value: impl fmt::Display) -> Self {
        self.arguments.push((name, value.to_string()));
        self
    }

    /// The same seen from further out: `outer` is put before the place.
    #[must_use]
    pub fn within(mut self, outer: &str) -> Self {
        self.place = match (outer.is_empty(), self.place.is_empty()) {
            (true, _) => self.place,
            (_, true) => outer.to_owned(),
            _ => format!("{outer}.{}", self.place),
        };
        self
    }

    /// The message in a language, without the place.
    pub fn message(&self, language: Language) -> String {
        let arguments: Vec<(&str, &str)> = self.arguments.iter().map(|(name, value)| (*name, value.as_str())).collect();
        say(language, self.key, &arguments)
    }
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.place.is_empty() {
            f.write_str(&self.message(Language::English))
        } else {
            write!(f, "{}: {}", self.place, self.message(Language::English))
        }
    }
}

impl std::error::Error for Error {}

/// A file's text that is not the JSON it should be; `place` names the line and column.
pub fn from_json(error: &serde_json::Error) -> Error {
    let place = format!("line {}, column {}", error.line(), error.column());
    Error::new("error-json", place).with("detail", error)
}
