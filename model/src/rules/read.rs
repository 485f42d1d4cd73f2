//! Reads a rule book from JSON and refuses what it does not know, by place: `rules[3].when.metal`.
//!
//! Never guesses: an unknown field, word or work is an error, because a rule that is silently not understood would be
//! a rule that silently does not protect anyone.

use super::condition::{Bound, Condition, FIELDS, Field, NAMES, NO_YES, NUMBERS, Test};
use super::reason::percent;
use super::{Basis, Rule, RuleBook, Verdict, check, work};
use crate::error::{Error, Result, from_json};
use crate::ids::RuleId;
use crate::terms::{Action, BasisKind, Caution, Route};
use crate::words::{Language, find};
use serde_json::{Map, Value};
use std::sync::Arc;

/// Format name in the file.
pub const FORMAT: &str = "cutline-rules";
/// Version that this program reads.
pub const VERSION: u64 = 1;
/// Greatest number of rules in one book.
pub const RULES_MAX: usize = 2_000;
/// Greatest depth of `any_of` and `not` inside each other.
const NESTING_MAX: usize = 8;

/// Reads and checks a rule book.
///
/// # Errors
/// Where the text is no JSON or the book is broken; the error names the place and what to do.
pub fn read(text: &str) -> Result<RuleBook> {
    let value: Value = serde_json::from_str(text).map_err(|error| from_json(&error))?;
    let book = object(&value, "")?;
    if string(book, "format", "")? != FORMAT {
        return Err(Error::new("error-format", "format").with("wanted", FORMAT));
    }
    match book.get("version").and_then(Value::as_u64) {
        Some(VERSION) => {}
        Some(newer) if newer > VERSION => {
            return Err(Error::new("error-newer", "version").with("version", newer).with("known", VERSION));
        }
        _ => return Err(Error::new("error-rules-version", "version").with("known", VERSION)),
    }
    only(book, &["format", "version", "id", "edition", "title", "overrides", "rules", "$schema"], "")?;
    let id = name(string(book, "id", "")?, "id")?;
    let edition = string(book, "edition", "")?.to_owned();
    let title = string(book, "title", "")?.to_owned();
    let mut overrides = Vec::new();
    if book.contains_key("overrides") {
        for (at, one) in list(book, "overrides", "")?.iter().enumerate() {
            let place = format!("overrides[{at}]");
            overrides.push(RuleId(name(text_of(one, &place)?, &place)?.into()));
        }
    }
    let items = list(book, "rules", "")?;
    if items.len() > RULES_MAX {
        return Err(Error::new("error-rules-many", "rules").with("limit", RULES_MAX));
    }
    let mut rules: Vec<Rule> = Vec::with_capacity(items.len());
    for (at, item) in items.iter().enumerate() {
        let place = format!("rules[{at}]");
        let rule = rule(item, &place)?;
        if rules.iter().any(|known| known.id == rule.id) {
            return Err(Error::new("error-rule-twice", format!("{place}.id")).with("rule", &rule.id));
        }
        rules.push(rule);
    }
    check::check(&rules)?;
    Ok(RuleBook { id, edition, title, rules, overrides })
}

fn rule(value: &Value, place: &str) -> Result<Rule> {
    let rule = object(value, place)?;
    only(rule, &["id", "when", "then", "reason", "text", "basis", "cautions"], place)?;
    let id = RuleId(name(string(rule, "id", place)?, &join(place, "id"))?.into());
    let when = condition(field(rule, "when", place)?, &join(place, "when"), 0)?;
    let then_place = join(place, "then");
    let mut then = Vec::new();
    for (at, one) in list(rule, "then", place)?.iter().enumerate() {
        then.push(verdict(one, &format!("{then_place}[{at}]"))?);
    }
    if then.is_empty() {
        return Err(Error::new("error-rule-silent", then_place).with("rule", &id));
    }
    let text = match rule.get("text") {
        Some(_) => Some(string(rule, "text", place)?.to_owned()),
        None => None,
    };
    let reason = match rule.get("reason") {
        Some(_) => string(rule, "reason", place)?.to_owned(),
        None => String::new(),
    };
    if text.is_none() && find(Language::English, &reason).is_none() {
        return Err(Error::new("error-rule-reason", join(place, "reason")).with("key", reason));
    }
    let mut cautions = Vec::new();
    if rule.contains_key("cautions") {
        for (at, one) in list(rule, "cautions", place)?.iter().enumerate() {
            let place = format!("{place}.cautions[{at}]");
            cautions.push(term(
                text_of(one, &place)?,
                &place,
                Caution::from_word,
                &words(Caution::ALL, Caution::word),
            )?);
        }
    }
    let basis = Arc::new(basis(field(rule, "basis", place)?, &join(place, "basis"))?);
    let limits = limits(&when);
    let closing = when.asks_for_unpermitted();
    let words = text.as_deref().or_else(|| find(Language::English, &reason));
    let fixed = words.filter(|words| !words.contains('{')).map(Arc::from);
    Ok(Rule { id, when, then, reason, text, basis, cautions, limits, fixed, closing })
}

fn basis(value: &Value, place: &str) -> Result<Basis> {
    let basis = object(value, place)?;
    only(basis, &["kind", "source"], place)?;
    let kind_place = join(place, "kind");
    let kind = term(
        string(basis, "kind", place)?,
        &kind_place,
        BasisKind::from_word,
        &words(BasisKind::ALL, BasisKind::word),
    )?;
    let source =
        if basis.contains_key("source") { string(basis, "source", place)?.trim().to_owned() } else { String::new() };
    if source.is_empty() && kind != BasisKind::CommonPractice {
        return Err(Error::new("error-rule-source", join(place, "source")).with("kind", kind));
    }
    if !source.is_empty() && kind == BasisKind::CommonPractice {
        return Err(Error::new("error-rule-source-common", join(place, "source")));
    }
    Ok(Basis { kind, source })
}

fn condition(value: &Value, place: &str, depth: usize) -> Result<Condition> {
    if depth > NESTING_MAX {
        return Err(Error::new("error-rule-deep", place).with("limit", NESTING_MAX));
    }
    let fields = object(value, place)?;
    let mut tests = Vec::with_capacity(fields.len());
    for (key, value) in fields {
        let place = join(place, key);
        tests.push(test(key, value, &place, depth)?);
    }
    Ok(Condition { tests })
}

fn test(key: &str, value: &Value, place: &str, depth: usize) -> Result<Test> {
    if key == "any_of" {
        let branches = value.as_array().ok_or_else(|| Error::new("error-rule-list", place))?;
        let branches: Result<Vec<Condition>> =
            branches.iter().enumerate().map(|(at, one)| condition(one, &format!("{place}[{at}]"), depth + 1)).collect();
        return Ok(Test::AnyOf(branches?));
    }
    if key == "not" {
        return Ok(Test::Not(condition(value, place, depth + 1)?));
    }
    if key == "kind_only" {
        return Ok(Test::OnlyKinds(mask(Field::Kind, value, place)?));
    }
    if let Some((field, _)) = FIELDS.iter().find(|(_, known)| *known == key) {
        if field.yes_no() {
            let flag = value.as_bool().ok_or_else(|| Error::new("error-rule-yes-no", place))?;
            return Ok(Test::Any(*field, 1 << u32::from(flag)));
        }
        return Ok(Test::Any(*field, mask(*field, value, place)?));
    }
    if let Some((number, _, _)) = NUMBERS.iter().find(|(_, known, _)| *known == key) {
        return Ok(Test::Within(*number, bound(value, place)?));
    }
    if let Some((name_field, _)) = NAMES.iter().find(|(_, known)| *known == key) {
        let mut names = Vec::new();
        for (at, one) in texts(value, place)?.into_iter().enumerate() {
            names.push(name(one, &format!("{place}[{at}]"))?);
        }
        return Ok(Test::Named(*name_field, names));
    }
    let known: Vec<&str> = FIELDS
        .iter()
        .map(|(_, known)| *known)
        .chain(NUMBERS.iter().map(|(_, known, _)| *known))
        .chain(NAMES.iter().map(|(_, known)| *known))
        .chain(["kind_only", "any_of", "not"])
        .collect();
    Err(Error::new("error-rule-field", place).with("known", known.join(", ")))
}

fn mask(field: Field, value: &Value, place: &str) -> Result<u32> {
    debug_assert!(field.words() != NO_YES);
    let known = field.words();
    let mut mask = 0;
    for (at, one) in texts(value, place)?.into_iter().enumerate() {
        let bit = known.iter().position(|word| *word == one).ok_or_else(|| {
            Error::new("error-word", format!("{place}[{at}]")).with("word", one).with("known", known.join(", "))
        })?;
        mask |= 1 << bit;
    }
    Ok(mask)
}

fn bound(value: &Value, place: &str) -> Result<Bound> {
    let ends = object(value, place)?;
    only(ends, &["over", "up_to"], place)?;
    let end = |key: &str, missing: f64| -> Result<f64> {
        match ends.get(key) {
            None => Ok(missing),
            Some(value) => value.as_f64().ok_or_else(|| Error::new("error-rule-number", join(place, key))),
        }
    };
    if ends.is_empty() {
        return Err(Error::new("error-rule-bound", place));
    }
    Ok(Bound { over: end("over", f64::NEG_INFINITY)?, up_to: end("up_to", f64::INFINITY)? })
}

fn verdict(value: &Value, place: &str) -> Result<Verdict> {
    let said = object(value, place)?;
    only(said, &["permit", "forbid", "permit_route", "forbid_route", "require", "with"], place)?;
    let what: Vec<&String> = said.keys().filter(|key| *key != "with").collect();
    let [key] = what.as_slice() else {
        return Err(Error::new("error-rule-verdict", place));
    };
    let inner = join(place, key);
    let word = text_of(&said[key.as_str()], &inner)?;
    let actions = words(Action::ALL, Action::word);
    let with = |missing: &[Action], allowed: &[Action]| -> Result<Vec<Action>> {
        let Some(value) = said.get("with") else { return Ok(missing.to_vec()) };
        let place = join(place, "with");
        let known = words(allowed, Action::word);
        let mut out = Vec::new();
        for (at, one) in texts(value, &place)?.into_iter().enumerate() {
            let read = |word: &str| Action::from_word(word).filter(|action| allowed.contains(action));
            out.push(term(one, &format!("{place}[{at}]"), read, &known)?);
        }
        if out.is_empty() { Err(Error::new("error-rule-with", place)) } else { Ok(out) }
    };
    let joined = [Action::Section, Action::Replace];
    match key.as_str() {
        "permit" | "forbid" => {
            if said.contains_key("with") {
                return Err(Error::new("error-rule-with-action", join(place, "with")));
            }
            let action = term(word, &inner, Action::from_word, &actions)?;
            if key.as_str() == "forbid" && action == Action::Refer {
                return Err(Error::new("error-rule-refer", inner));
            }
            Ok(if key.as_str() == "permit" { Verdict::Permit(action) } else { Verdict::Forbid(action) })
        }
        "permit_route" | "forbid_route" => {
            let route = term(word, &inner, Route::from_word, &words(Route::ALL, Route::word))?;
            let with = with(&joined, &joined)?;
            Ok(if key.as_str() == "permit_route" {
                Verdict::PermitRoute { route, with }
            } else {
                Verdict::ForbidRoute { route, with }
            })
        }
        _ => {
            let work = work::known(word).ok_or_else(|| {
                Error::new("error-rule-work", inner).with("word", word).with("known", work::WORKS.join(", "))
            })?;
            let with = with(&[], Action::ALL)?;
            if with.is_empty() {
                return Err(Error::new("error-rule-with", join(place, "with")));
            }
            Ok(Verdict::Require { work, with })
        }
    }
}

/// Limits of the top-level tests, by the name under which the reason may quote them.
fn limits(when: &Condition) -> Vec<(&'static str, String)> {
    let mut out = Vec::new();
    for test in &when.tests {
        if let Test::Within(number, bound) = test {
            let limit = if bound.over.is_finite() { bound.over } else { bound.up_to };
            if let Some((_, file, name)) = NUMBERS.iter().find(|(known, _, _)| known == number) {
                let text = if *file == "share" { percent(limit) } else { format!("{limit}") };
                out.push((*name, text));
            }
        }
    }
    out
}

fn words<T: Copy>(all: &[T], word: impl Fn(T) -> &'static str) -> Vec<&'static str> {
    all.iter().map(|value| word(*value)).collect()
}

fn term<T>(word: &str, place: &str, read: impl Fn(&str) -> Option<T>, known: &[&str]) -> Result<T> {
    read(word).ok_or_else(|| Error::new("error-word", place).with("word", word).with("known", known.join(", ")))
}

fn join(place: &str, key: &str) -> String {
    if place.is_empty() { key.to_owned() } else { format!("{place}.{key}") }
}

fn object<'v>(value: &'v Value, place: &str) -> Result<&'v Map<String, Value>> {
    value.as_object().ok_or_else(|| Error::new("error-rule-object", place))
}

fn field<'v>(map: &'v Map<String, Value>, key: &str, place: &str) -> Result<&'v Value> {
    map.get(key).ok_or_else(|| Error::new("error-rule-missing", join(place, key)))
}

fn string<'v>(map: &'v Map<String, Value>, key: &str, place: &str) -> Result<&'v str> {
    text_of(field(map, key, place)?, &join(place, key))
}

fn text_of<'v>(value: &'v Value, place: &str) -> Result<&'v str> {
    value.as_str().filter(|text| !text.trim().is_empty()).ok_or_else(|| Error::new("error-rule-text", place))
}

fn list<'v>(map: &'v Map<String, Value>, key: &str, place: &str) -> Result<&'v Vec<Value>> {
    field(map, key, place)?.as_array().ok_or_else(|| Error::new("error-rule-list", join(place, key)))
}

fn texts<'v>(value: &'v Value, place: &str) -> Result<Vec<&'v str>> {
    let items = value.as_array().ok_or_else(|| Error::new("error-rule-list", place))?;
    items.iter().enumerate().map(|(at, one)| text_of(one, &format!("{place}[{at}]"))).collect()
}

fn only(map: &Map<String, Value>, known: &[&str], place: &str) -> Result<()> {
    match map.keys().find(|key| !known.contains(&key.as_str())) {
        Some(key) => Err(Error::new("error-rule-field", join(place, key)).with("known", known.join(", "))),
        None => Ok(()),
    }
}

/// A name: lower-case letters, digits and hyphens.
fn name(text: &str, place: &str) -> Result<String> {
    let fine = text.len() <= 80
        && text.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-')
        && text.starts_with(|c: char| c.is_ascii_lowercase());
    if fine { Ok(text.to_owned()) } else { Err(Error::new("error-rule-name", place).with("name", text)) }
}
