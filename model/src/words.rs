//! The message catalogue: every word that a person reads, by key.
//!
//! Text lives in `data/words/<language>/*.ftl` and nowhere else. This module never decides what is said, only
//! finds and fills it. A missing key shows the key itself; a test proves that none is missing.

mod later;

include!(concat!(env!("OUT_DIR"), "/words.rs"));

/// A language that the catalogue speaks.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Language {
    /// English.
    #[default]
    English,
}

/// The unfilled text of `key`, or `None` where the catalogue lacks it.
pub fn find(language: Language, key: &str) -> Option<&'static str> {
    let Language::English = language;
    found(ENGLISH, key).or_else(|| found(later::table(), key))
}

fn found(table: &'static [(&'static str, &'static str)], key: &str) -> Option<&'static str> {
    let order = |known: &str| known.len().cmp(&key.len()).then_with(|| known.cmp(key));
    table.binary_search_by(|(known, _)| order(known)).ok().map(|at| table[at].1)
}

/// All keys of the catalogue.
pub fn keys(language: Language) -> impl Iterator<Item = &'static str> {
    let Language::English = language;
    ENGLISH.iter().chain(later::table()).map(|(key, _)| *key)
}

/// The text of `key` with each `{ $name }` replaced by its argument; an argument not given stays visible as its name.
pub fn say(language: Language, key: &str, arguments: &[(&str, &str)]) -> String {
    find(language, key).map_or_else(|| key.to_owned(), |text| fill(text, arguments))
}

/// A text with each `{ $name }` replaced as by [`say`]; for texts that a loaded book brings itself.
pub fn fill(text: &str, arguments: &[(&str, &str)]) -> String {
    fill_with(text, |wanted| {
        arguments.iter().find(|(known, _)| *known == wanted).map(|(_, value)| std::borrow::Cow::Borrowed(*value))
    })
}

/// [`fill`] with values that are only made when the text asks for them.
pub fn fill_with<'v>(text: &str, value: impl Fn(&str) -> Option<std::borrow::Cow<'v, str>>) -> String {
    let mut out = String::with_capacity(text.len() + 16);
    let mut rest = text;
    while let Some(open) = rest.find('{') {
        let Some(close) = rest[open..].find('}') else { break };
        out.push_str(&rest[..open]);
        let name = rest[open + 1..open + close].trim().trim_start_matches('$');
        match value(name) {
            Some(value) => out.push_str(&value),
            None => out.push_str(name),
        }
        rest = &rest[open + close + 1..];
    }
    out.push_str(rest);
    out
}

/// [`say`] in English without arguments, for the many texts that need none.
pub fn word(key: &str) -> String {
    say(Language::English, key, &[])
}
