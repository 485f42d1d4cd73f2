//! Reading a time book, laying a shop's changes over one, and writing those changes down.
//!
//! A shop's changes are a text of the same form that names only what differs. Bad input gets an error that names the
//! field; a book is changed whole or not at all.

use super::{Pace, TimeBook, UnitTime, WorkTime};
use crate::error::{Error, Result, from_json};
use crate::stock::Stock;
use crate::terms::{Skill, Unit, Wait, Work};
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;

const BOOK: &str = "cutline-times";
const CHANGES: &str = "cutline-time-changes";
const VERSION: u64 = 1;

/// Greatest time, seconds.
pub const SECONDS: u32 = 360_000;
/// Greatest wait, working minutes.
pub const WAIT_MINUTES: u32 = 10_080;
/// Fewest and most people on one truck.
pub const HANDS: (u32, u32) = (1, 6);
/// Shortest and longest working day, minutes.
pub const DAY_MINUTES: (u32, u32) = (60, 1_440);

impl TimeBook {
    /// Reads a whole book.
    ///
    /// # Errors
    /// The field at fault and what it may hold; a [`Work`] that is missing.
    pub fn read(text: &str) -> Result<Self> {
        let value = document(text, BOOK)?;
        let top = Fields::of(&value, "", &["$schema", "format", "version", "id", "edition", "note", "pace", "works"])?;
        for optional in ["$schema", "note"] {
            if top.map.get(optional).is_some_and(|value| !value.is_string()) {
                return Err(Error::new("error-time-text", optional));
            }
        }
        let (id, edition) = (top.text("id")?, top.text("edition")?);
        let mut book = Self { id, edition, works: BTreeMap::new(), pace: Pace { hands: 0, day_minutes: 0 } };
        book.apply(&top, true)?;
        match Work::ALL.iter().find(|work| !book.works.contains_key(work.word())) {
            Some(missing) => Err(Error::new("error-time-missing", "works").with("name", missing)),
            None => Ok(book.cured(Stock::general())),
        }
    }

    /// This book with a shop's changes.
    ///
    /// # Errors
    /// The field at fault and what it may hold; work that this book does not have.
    pub fn with(&self, changes: &str) -> Result<Self> {
        let value = document(changes, CHANGES)?;
        let top = Fields::of(&value, "", &["$schema", "format", "version", "pace", "works"])?;
        let mut book = self.clone();
        book.apply(&top, false)?;
        // Waits for an adhesive are those of the joining list that this book stands on.
        for (name, work) in &mut book.works {
            if let Some(known) = self.works.get(name).filter(|_| work.wait.is_some_and(Wait::is_cure)) {
                (work.wait_minutes, work.carry_minutes) = (known.wait_minutes, known.carry_minutes);
            }
        }
        Ok(book)
    }

    /// This book with the waits for adhesives that a joining list gives: it holds no such figure of its own.
    #[must_use]
    pub fn cured(mut self, stock: &Stock) -> Self {
        for (name, work) in &mut self.works {
            if let Some(minutes) = work.wait.and_then(|wait| stock.cure_minutes(name, wait)) {
                work.wait_minutes = minutes;
            }
            work.carry_minutes = work.wait.and_then(|wait| stock.carry_minutes(name, wait)).unwrap_or(0);
        }
        self
    }

    /// The changes that make this book of `from`, for [`TimeBook::with`]; `None` where nothing differs.
    pub fn changes(&self, from: &Self) -> Option<String> {
        let mut works = Map::new();
        for (name, work) in &self.works {
            match from.works.get(name) {
                Some(known) if known != work => works.insert(name.clone(), difference(work, known)),
                _ => None,
            };
        }
        if works.is_empty() && self.pace == from.pace {
            return None;
        }
        let mut all = json!({"format": CHANGES, "version": VERSION, "works": works});
        if self.pace != from.pace {
            all["pace"] = json!({"hands": self.pace.hands, "day_minutes": self.pace.day_minutes});
        }
        Some(all.to_string())
    }

    /// Lays the works and the pace of a document over this book; `whole` says that nothing may be left out.
    fn apply(&mut self, top: &Fields<'_>, whole: bool) -> Result<()> {
        if let Some(pace) = top.inner("pace", whole, &["hands", "day_minutes"])? {
            pace.number("hands", whole, HANDS, &mut self.pace.hands)?;
            pace.number("day_minutes", whole, DAY_MINUTES, &mut self.pace.day_minutes)?;
        }
        let Some(works) = top.inner("works", whole, &[])? else { return Ok(()) };
        for (name, value) in works.map {
            let place = format!("works.{name}");
            let fields = Fields::of(value, &place, &["skill", "set_up", "per", "wait"])?;
            let known = Work::from_word(name.split('/').next().unwrap_or_default()).is_some();
            if !(known && (whole || self.works.contains_key(name))) {
                return Err(Error::new("error-time-unknown", place).with("name", name));
            }
            let mut work = self.works.remove(name).unwrap_or(WorkTime {
                skill: Skill::Body,
                set_up: UnitTime { seconds: 0, spread: 0.0 },
                per: Vec::new(),
                wait: None,
                wait_minutes: 0,
                carry_minutes: 0,
            });
            fields.work(&mut work, whole)?;
            self.works.insert(name.clone(), work);
        }
        Ok(())
    }
}

/// What of a work differs from what is known.
fn difference(work: &WorkTime, known: &WorkTime) -> Value {
    let time = |time: &UnitTime| json!({"seconds": time.seconds, "spread": time.spread});
    let mut out = Map::new();
    if work.skill != known.skill {
        out.insert("skill".into(), work.skill.word().into());
    }
    if work.set_up != known.set_up {
        out.insert("set_up".into(), time(&work.set_up));
    }
    let changed = work.per.iter().filter(|one| !known.per.contains(one));
    let per: Map<String, Value> = changed.map(|(unit, each)| (unit.word().to_owned(), time(each))).collect();
    if !per.is_empty() {
        out.insert("per".into(), per.into());
    }
    if let Some(wait) = work.wait.filter(|_| (work.wait, work.wait_minutes) != (known.wait, known.wait_minutes)) {
        out.insert("wait".into(), json!({"kind": wait.word(), "minutes": work.wait_minutes}));
    }
    out.into()
}

fn document(text: &str, format: &'static str) -> Result<Value> {
    let value: Value = serde_json::from_str(text).map_err(|error| from_json(&error))?;
    if value["format"] != format {
        return Err(Error::new("error-format", "format").with("wanted", format));
    }
    match value["version"].as_u64() {
        Some(VERSION) => Ok(value),
        Some(version) if version > VERSION => {
            Err(Error::new("error-newer", "version").with("version", version).with("known", VERSION))
        }
        _ => Err(Error::new("error-time-number", "version").with("low", VERSION).with("high", VERSION)),
    }
}

/// The fields of one object with its place in the document.
struct Fields<'v> {
    map: &'v Map<String, Value>,
    place: String,
}

impl<'v> Fields<'v> {
    /// The object's fields, each of which must be `known`; no names given means that any may stand.
    fn of(value: &'v Value, place: &str, known: &[&str]) -> Result<Self> {
        let Value::Object(map) = value else { return Err(Error::new("error-time-object", place)) };
        let fields = Self { map, place: place.to_owned() };
        match map.keys().find(|name| !known.is_empty() && !known.contains(&name.as_str())) {
            Some(name) => Err(Error::new("error-time-field", fields.at(name)).with("known", known.join(", "))),
            None => Ok(fields),
        }
    }

    fn at(&self, name: &str) -> String {
        if self.place.is_empty() { name.to_owned() } else { format!("{}.{name}", self.place) }
    }

    fn get(&self, name: &str, whole: bool) -> Result<Option<&'v Value>> {
        match self.map.get(name) {
            None if whole => Err(Error::new("error-time-lacks", self.at(name))),
            found => Ok(found),
        }
    }

    fn inner(&self, name: &str, whole: bool, known: &[&str]) -> Result<Option<Self>> {
        self.get(name, whole)?.map(|value| Self::of(value, &self.at(name), known)).transpose()
    }

    fn text(&self, name: &str) -> Result<String> {
        match self.get(name, true)?.and_then(Value::as_str) {
            Some(text) if !text.is_empty() => Ok(text.to_owned()),
            _ => Err(Error::new("error-time-text", self.at(name))),
        }
    }

    fn number(&self, name: &str, whole: bool, (low, high): (u32, u32), to: &mut u32) -> Result<()> {
        let Some(value) = self.get(name, whole)? else { return Ok(()) };
        let number = value.as_u64().and_then(|number| u32::try_from(number).ok());
        *to = number
            .filter(|number| (low..=high).contains(number))
            .ok_or_else(|| Error::new("error-time-number", self.at(name)).with("low", low).with("high", high))?;
        Ok(())
    }

    fn term<T: Copy>(
        &self,
        name: &str,
        from: fn(&str) -> Option<T>,
        words: &dyn Fn() -> String,
        to: &mut T,
    ) -> Result<()> {
        let Some(value) = self.map.get(name) else { return Ok(()) };
        *to = value
            .as_str()
            .and_then(from)
            .ok_or_else(|| Error::new("error-time-word", self.at(name)).with("known", words()))?;
        Ok(())
    }

    fn time(&self, name: &str, whole: bool, to: &mut UnitTime) -> Result<()> {
        let Some(fields) = self.inner(name, whole, &["seconds", "spread"])? else { return Ok(()) };
        fields.number("seconds", whole, (0, SECONDS), &mut to.seconds)?;
        if let Some(value) = fields.get("spread", whole)? {
            let spread = value.as_f64().filter(|spread| (0.0..=1.0).contains(spread));
            to.spread = spread.ok_or_else(|| Error::new("error-time-spread", fields.at("spread")))?;
        }
        Ok(())
    }

    fn work(&self, work: &mut WorkTime, whole: bool) -> Result<()> {
        self.get("skill", whole)?;
        self.term("skill", Skill::from_word, &|| words(Skill::ALL.iter().map(|term| term.word())), &mut work.skill)?;
        self.time("set_up", whole, &mut work.set_up)?;
        if let Some(per) = self.inner("per", false, &[])? {
            for name in per.map.keys() {
                let units = || words(Unit::ALL.iter().map(|term| term.word()));
                let unit = Unit::from_word(name)
                    .ok_or_else(|| Error::new("error-time-word", per.at(name)).with("known", units()))?;
                let place = work.per.iter().position(|(known, _)| *known == unit);
                let mut time = place.map_or(UnitTime { seconds: 0, spread: 0.0 }, |at| work.per[at].1);
                per.time(name, place.is_none(), &mut time)?;
                match place {
                    Some(at) => work.per[at].1 = time,
                    None => work.per.push((unit, time)),
                }
            }
            work.per.sort_by_key(|(unit, _)| *unit);
        }
        if let Some(wait) = self.inner("wait", false, &["kind", "minutes"])? {
            let fresh = work.wait.is_none();
            wait.get("kind", fresh)?;
            let mut kind = work.wait.unwrap_or(Wait::PaintDry);
            wait.term("kind", Wait::from_word, &|| words(Wait::ALL.iter().map(|term| term.word())), &mut kind)?;
            // How long an adhesive takes stands in the joining list; what an older file says of it is read past.
            wait.number("minutes", fresh && !kind.is_cure(), (0, WAIT_MINUTES), &mut work.wait_minutes)?;
            work.wait = Some(kind);
        }
        Ok(())
    }
}

fn words<'w>(words: impl Iterator<Item = &'w str>) -> String {
    words.collect::<Vec<_>>().join(", ")
}
