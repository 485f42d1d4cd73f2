//! Reading and writing rates. Published schema: `public/schema/rates.schema.json`.
//!
//! Rates are read whole or not at all; an error names the field. Amounts are texts, so that no reader turns them into
//! floating-point numbers.

use super::{Material, Rates};
use crate::error::{Error, Result, from_json};
use crate::money::{Currency, Decimal, Rounding, decimal};
use crate::terms::{Category, Measure, Skill, Unit, Work};
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;
use std::sync::Arc;

const FORMAT: &str = "cutline-rates";
const VERSION: u64 = 1;
/// Greatest price of an hour, a measure, a day or work done outside, whole units of the currency.
pub const PRICE_MAX: u32 = 100_000_000;
/// Greatest amount of a material for one unit of work.
pub const AMOUNT_MAX: u32 = 1_000;
const MATERIALS_MAX: usize = 200;
const TEXT_MAX: usize = 120;

impl Rates {
    /// Reads rates.
    ///
    /// # Errors
    /// The field at fault and what it may hold.
    pub fn read(text: &str) -> Result<Self> {
        let value: Value = serde_json::from_str(text).map_err(|error| from_json(&error))?;
        let top = At { value: &value, place: String::new() };
        top.only(&[
            "$schema",
            "format",
            "version",
            "id",
            "edition",
            "note",
            "currency",
            "rounding",
            "labour",
            "materials",
            "sublet",
            "storage_per_day",
            "tax",
            "worth_threshold",
        ])?;
        if value["format"] != FORMAT {
            return Err(Error::new("error-format", "format").with("wanted", FORMAT));
        }
        match value["version"].as_u64() {
            Some(VERSION) => {}
            Some(version) if version > VERSION => {
                return Err(Error::new("error-newer", "version").with("version", version).with("known", VERSION));
            }
            _ => return Err(Error::new("error-rates-version", "version").with("known", VERSION)),
        }
        for optional in ["$schema", "note"] {
            if value.get(optional).is_some_and(|value| !value.is_string()) {
                return Err(Error::new("error-rates-text", optional).with("most", TEXT_MAX));
            }
        }
        let currency = top.get("currency")?;
        let mut rates = Self {
            id: top.get("id")?.text()?.to_owned(),
            edition: top.get("edition")?.text()?.to_owned(),
            currency: Currency::from_code(currency.text()?).map_err(|error| error.within("currency"))?,
            rounding: top.get("rounding")?.term(Rounding::from_word, &|| words(Rounding::ALL, Rounding::word))?,
            labour: [Decimal::ZERO; Skill::ALL.len()],
            materials: Vec::new(),
            sublet: BTreeMap::new(),
            storage_per_day: top.get("storage_per_day")?.price()?,
            tax: [Decimal::ZERO; Category::ALL.len()],
            worth_threshold: top.get("worth_threshold")?.number(3, (1, 200))?,
        };
        let labour = top.get("labour")?;
        labour.only(&Skill::ALL.iter().map(|skill| skill.word()).collect::<Vec<_>>())?;
        for skill in Skill::ALL {
            rates.labour[*skill as usize] = labour.get(skill.word())?.price()?;
        }
        let tax = top.get("tax")?;
        tax.only(&Category::ALL.iter().map(|category| category.word()).collect::<Vec<_>>())?;
        for category in Category::ALL {
            rates.tax[*category as usize] = tax.get(category.word())?.number(3, (0, 100))?;
        }
        let sublet = top.get("sublet")?;
        for name in sublet.map()?.keys() {
            let at = sublet.get(name)?;
            known_work(name, &at.place)?;
            rates.sublet.insert(name.clone(), at.price()?);
        }
        rates.materials(&top.get("materials")?)?;
        Ok(rates)
    }

    fn materials(&mut self, list: &At<'_>) -> Result<()> {
        for at in list.list(MATERIALS_MAX)? {
            at.only(&["id", "name", "works", "per", "amount", "measure", "price"])?;
            let id = at.get("id")?;
            let name = id.text()?;
            let plain = name.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'-');
            if !plain {
                return Err(Error::new("error-id", id.place).with("name", name));
            }
            if self.materials.iter().any(|known| *known.id == *name) {
                return Err(Error::new("error-rates-twice", id.place).with("name", name));
            }
            let works = at.get("works")?;
            let mut material = Material {
                id: name.into(),
                name: at.find("name").map_or(Ok(String::new()), |at| at.text().map(str::to_owned))?,
                works: Vec::new(),
                per: at.find("per").map(|at| at.term(Unit::from_word, &|| words(Unit::ALL, Unit::word))).transpose()?,
                amount: at.get("amount")?.number(4, (0, AMOUNT_MAX))?,
                measure: at.get("measure")?.term(Measure::from_word, &|| words(Measure::ALL, Measure::word))?,
                price: at.get("price")?.price()?,
            };
            if material.amount.is_zero() {
                return Err(Error::new("error-positive", at.get("amount")?.place));
            }
            for work in works.list(Work::ALL.len())? {
                let name = work.text()?;
                known_work(name, &work.place)?;
                material.works.push(name.to_owned());
            }
            self.materials.push(Arc::new(material));
        }
        Ok(())
    }

    /// The rates as [`Rates::read`] reads them.
    pub fn to_text(&self) -> String {
        let labour = Skill::ALL.iter().map(|skill| (skill.word().to_owned(), amount(self.hour(*skill)))).collect();
        let tax = Category::ALL.iter().map(|one| (one.word().to_owned(), amount(self.tax(*one)))).collect();
        let sublet = self.sublet.iter().map(|(work, price)| (work.clone(), amount(*price))).collect();
        let material = |one: &Arc<Material>| {
            let mut out = json!({
                "id": &*one.id, "works": one.works, "amount": amount(one.amount), "measure": one.measure.word(),
                "price": amount(one.price),
            });
            if !one.name.is_empty() {
                out["name"] = one.name.as_str().into();
            }
            if let Some(unit) = one.per {
                out["per"] = unit.word().into();
            }
            out
        };
        json!({
            "format": FORMAT,
            "version": VERSION,
            "id": self.id,
            "edition": self.edition,
            "currency": self.currency.code(),
            "rounding": self.rounding.word(),
            "labour": Value::Object(labour),
            "materials": self.materials.iter().map(material).collect::<Vec<_>>(),
            "sublet": Value::Object(sublet),
            "storage_per_day": amount(self.storage_per_day),
            "tax": Value::Object(tax),
            "worth_threshold": amount(self.worth_threshold),
        })
        .to_string()
    }
}

fn amount(number: Decimal) -> Value {
    number.to_string().into()
}

fn words<T: Copy>(all: &[T], word: fn(T) -> &'static str) -> String {
    all.iter().map(|one| word(*one)).collect::<Vec<_>>().join(", ")
}

fn known_work(name: &str, place: &str) -> Result<()> {
    if Work::from_word(name).is_some() { Ok(()) } else { Err(Error::new("error-rates-work", place).with("name", name)) }
}

/// A value with its place in the document.
struct At<'v> {
    value: &'v Value,
    place: String,
}

impl<'v> At<'v> {
    fn map(&self) -> Result<&'v Map<String, Value>> {
        self.value.as_object().ok_or_else(|| Error::new("error-rates-object", self.place.as_str()))
    }

    /// Refuses fields of other names.
    fn only(&self, known: &[&str]) -> Result<()> {
        match self.map()?.keys().find(|name| !known.contains(&name.as_str())) {
            Some(name) => Err(Error::new("error-rates-field", self.at(name)).with("known", known.join(", "))),
            None => Ok(()),
        }
    }

    fn at(&self, name: &str) -> String {
        if self.place.is_empty() { name.to_owned() } else { format!("{}.{name}", self.place) }
    }

    fn find(&self, name: &str) -> Option<Self> {
        self.value.get(name).map(|value| Self { value, place: self.at(name) })
    }

    fn get(&self, name: &str) -> Result<Self> {
        self.find(name).ok_or_else(|| Error::new("error-rates-lacks", self.at(name)))
    }

    fn text(&self) -> Result<&'v str> {
        let text = self.value.as_str().filter(|text| !text.trim().is_empty() && text.chars().count() <= TEXT_MAX);
        text.ok_or_else(|| Error::new("error-rates-text", self.place.as_str()).with("most", TEXT_MAX))
    }

    fn list(&self, most: usize) -> Result<impl Iterator<Item = Self>> {
        let list = self.value.as_array().filter(|list| list.len() <= most);
        let list = list.ok_or_else(|| Error::new("error-rates-list", self.place.as_str()).with("most", most))?;
        let one = |(n, value)| Self { value, place: format!("{}[{n}]", self.place) };
        Ok(list.iter().enumerate().map(one))
    }

    fn term<T>(&self, from: fn(&str) -> Option<T>, known: &dyn Fn() -> String) -> Result<T> {
        let term = self.value.as_str().and_then(from);
        term.ok_or_else(|| Error::new("error-rates-word", self.place.as_str()).with("known", known()))
    }

    /// A text that holds an exact number within `low` and `high`.
    fn number(&self, decimals: u8, (low, high): (u32, u32)) -> Result<Decimal> {
        let text = self.value.as_str().ok_or_else(|| Error::new("error-rates-number", self.place.as_str()))?;
        let number = decimal(text, decimals).map_err(|error| error.within(&self.place))?;
        if number < Decimal::from(low) || number > Decimal::from(high) {
            let error = Error::new("error-rates-range", self.place.as_str());
            return Err(error.with("low", low).with("high", high));
        }
        Ok(number)
    }

    fn price(&self) -> Result<Decimal> {
        self.number(4, (0, PRICE_MAX))
    }
}
