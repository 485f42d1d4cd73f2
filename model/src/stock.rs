//! The shop's joining list: fasteners, adhesives, welding settings, isolation and coats on its shelf.
//!
//! Reads and checks the list; it never chooses. The built-in list is invented and holds no product.

use crate::error::{Error, Result, from_json};
use crate::terms::{Environment, JointKind, Wait, Work};
use serde_json::{Map, Value};
use std::sync::{Arc, OnceLock};

const FORMAT: &str = "cutline-joining";
const FIELDS: &[&str] = &[
    "$schema",
    "format",
    "version",
    "id",
    "edition",
    "note",
    "environment",
    "spares_percent",
    "flange_mm",
    "butt_gap_mm",
    "fasteners",
    "adhesives",
    "welding",
    "fillers",
    "isolation",
    "jurisdiction",
    "coats",
];

/// Limits of 40 CFR 59 subpart B, table 1, g/l less water and exempt compounds, by category word (second hand, the last
/// from memory). States may ask for less.
pub const LIMITS_40_CFR_59: [(&str, f64); 7] = [
    ("pretreatment-wash-primer", 780.0),
    ("primer-and-primer-surfacer", 580.0),
    ("primer-sealer", 550.0),
    ("topcoat-one-or-two-stages", 600.0),
    ("topcoat-three-or-more-stages", 630.0),
    ("multi-coloured-topcoat", 680.0),
    ("specialty-coating", 840.0),
];

/// What a shop has for joining and coating.
#[derive(Clone, Debug, PartialEq)]
pub struct Stock {
    /// Id of the list.
    pub id: String,
    /// Its edition.
    pub edition: String,
    /// Where its customers' vehicles live.
    pub environment: Environment,
    /// Spare fasteners on top of the count, per cent.
    pub spares_percent: f64,
    /// Flange width where the body book gives none, mm.
    pub flange_mm: f64,
    /// Gap between butted ends, mm.
    pub butt_gap_mm: f64,
    /// Fasteners.
    pub fasteners: Vec<Fastener>,
    /// Adhesives.
    pub adhesives: Vec<Adhesive>,
    /// Welding settings, thinnest sheet first.
    pub welding: Vec<Setting>,
    /// Fillers.
    pub fillers: Vec<Filler>,
    /// Isolation materials.
    pub isolation: Vec<Isolation>,
    /// Jurisdiction of the solvent limits: `us-40-cfr-59` or `none`.
    pub jurisdiction: String,
    /// Coats.
    pub coats: Vec<Coat>,
}

/// One fastener.
#[derive(Clone, Debug, PartialEq)]
pub struct Fastener {
    /// Id.
    pub id: String,
    /// Kind: self-piercing, structural blind or solid rivet, or bolt.
    pub kind: JointKind,
    /// Shank, mm.
    pub diameter_mm: f64,
    /// Head, mm.
    pub head_mm: f64,
    /// Hole to drill, mm; 0 for one that pierces.
    pub hole_mm: f64,
    /// Thinnest and thickest stack, adhesive film included, mm.
    pub grip_mm: (f64, f64),
    /// Pitch to aim at, mm.
    pub pitch_mm: f64,
    /// Shear strength of one, N.
    pub shear_n: f64,
    /// Whether its coat isolates it from the sheet.
    pub coated: bool,
}

/// One adhesive.
#[derive(Clone, Debug, PartialEq)]
pub struct Adhesive {
    /// Id.
    pub id: String,
    /// What for: `structural`, `hem` or `glass`.
    pub for_use: String,
    /// Width of the bead, mm.
    pub bead_mm: f64,
    /// Height of the bead, mm.
    pub height_mm: f64,
    /// Film between the closed sheets, mm.
    pub film_mm: f64,
    /// Waste, per cent of the bead.
    pub waste_percent: f64,
    /// Contents of a cartridge, ml.
    pub cartridge_ml: f64,
    /// From mixing until parts must be closed, minutes.
    pub working_minutes: f64,
    /// Until the joint may be let go of, minutes.
    pub fixture_minutes: f64,
    /// Until it carries, minutes.
    pub cure_minutes: f64,
    /// Shear strength, N/mm².
    pub shear_mpa: f64,
}

/// Welding settings up to a sheet thickness.
#[derive(Clone, Debug, PartialEq)]
pub struct Setting {
    /// Greatest sheet thickness, mm.
    pub to_mm: f64,
    /// Arc voltage, V.
    pub volts: f64,
    /// Current, A.
    pub amps: f64,
    /// Travel, mm a minute.
    pub travel_mm_min: f64,
    /// Wire, mm.
    pub wire_mm: f64,
    /// Wire feed, mm a minute.
    pub feed_mm_min: f64,
    /// Longest stitch, mm.
    pub stitch_mm: f64,
}

/// One filler wire.
#[derive(Clone, Debug, PartialEq)]
pub struct Filler {
    /// Id.
    pub id: String,
    /// Designation: `5356` or `4043`.
    pub filler: String,
    /// Density, g/cm³.
    pub density_g_cm3: f64,
    /// Contents of a spool, g.
    pub spool_g: f64,
}

/// One isolation material.
#[derive(Clone, Debug, PartialEq)]
pub struct Isolation {
    /// Id.
    pub id: String,
    /// What for: `barrier` between the sheets or `edge` over them.
    pub for_use: String,
    /// Width that it covers, mm.
    pub width_mm: f64,
    /// How much a metre of joint takes, in `unit`.
    pub per_metre: f64,
    /// Unit: `m` or `ml`.
    pub unit: String,
}

/// One coat.
#[derive(Clone, Debug, PartialEq)]
pub struct Coat {
    /// Id.
    pub id: String,
    /// The work that it goes with, the word of a [`Work`](crate::terms::Work).
    pub on: String,
    /// Dry film, µm.
    pub film_um: f64,
    /// Volume solids, 0 to 1.
    pub volume_solids: f64,
    /// Transfer efficiency, 0 to 1.
    pub transfer: f64,
    /// Least that can be mixed, ml.
    pub least_ml: f64,
    /// Solvent content ready to spray, g/l less water and exempt compounds.
    pub solvent_g_l: f64,
    /// Category of the solvent limits.
    pub category: String,
}

impl Stock {
    /// The built-in, invented list.
    ///
    /// # Panics
    /// Never in a release: a test reads it.
    pub fn general() -> &'static Arc<Self> {
        static LIST: OnceLock<Arc<Stock>> = OnceLock::new();
        LIST.get_or_init(|| {
            Arc::new(
                Self::read(Self::general_text())
                    .unwrap_or_else(|error| panic!("the built-in joining list is broken: {error}")),
            )
        })
    }

    /// The text of the built-in list, for a shop that begins with it.
    pub fn general_text() -> &'static str {
        include_str!("../data/joining/general.json")
    }

    /// Reads a list.
    ///
    /// # Errors
    /// The first fault of [`Stock::read_all`].
    pub fn read(text: &str) -> Result<Self> {
        Self::read_all(text).map_err(|mut faults| faults.swap_remove(0))
    }

    /// Reads a list, or gives its faults: the first of each row, in the order of the file's parts.
    ///
    /// # Errors
    /// The fields at fault and what they may hold; lengths that look as if they were in inches. At least one.
    pub fn read_all(text: &str) -> std::result::Result<Self, Vec<Error>> {
        let value: Value = serde_json::from_str(text).map_err(|error| vec![from_json(&error)])?;
        let top = Row::of(&value, String::new()).map_err(|error| vec![error])?;
        // What is no list of this kind at all has a single fault.
        if top.text("format").is_ok_and(|format| format != FORMAT)
            || top.map.get("version").and_then(Value::as_u64) != Some(1)
            || top.text("format").is_err()
        {
            return Err(vec![Error::new("error-joining-format", "format")]);
        }
        let mut faults: Vec<Error> = top.only(FIELDS).err().into_iter().collect();
        for note in ["$schema", "note"] {
            if top.map.get(note).is_some_and(|value| !value.is_string()) {
                faults.push(Error::new("error-joining-text", note));
            }
        }
        let mut ask = Faults(faults);
        let environment = ask.one(top.word("environment", &["harsh", "normal", "controlled"]));
        let stock = Self {
            id: ask.one(top.text("id")),
            edition: ask.one(top.text("edition")),
            environment: Environment::from_word(&environment).unwrap_or(Environment::Harsh),
            spares_percent: ask.one(top.number("spares_percent", 0.0, 100.0)),
            flange_mm: ask.one(top.length("flange_mm", 8.0, 100.0)),
            butt_gap_mm: ask.one(top.number("butt_gap_mm", 0.0, 5.0)),
            fasteners: ask.rows(&top, "fasteners", fastener),
            adhesives: ask.rows(&top, "adhesives", adhesive),
            welding: ask.rows(&top, "welding", setting),
            fillers: ask.rows(&top, "fillers", filler),
            isolation: ask.rows(&top, "isolation", isolation),
            jurisdiction: ask.one(top.word("jurisdiction", &["us-40-cfr-59", "none"])),
            coats: ask.rows(&top, "coats", coat),
        };
        if let Some(at) = stock.welding.windows(2).position(|pair| pair[0].to_mm >= pair[1].to_mm) {
            ask.0.push(Error::new("error-joining-order", format!("welding[{}].to_mm", at + 1)));
        }
        if ask.0.is_empty() { Ok(stock) } else { Err(ask.0) }
    }

    /// How long the truck stands after a work until its adhesive may be let go of, working minutes, rounded up: the one
    /// figure for the plan's days and for the joint's sheet. `None` for another wait, or where the list has no adhesive
    /// for it.
    pub fn cure_minutes(&self, work: &str, wait: Wait) -> Option<u32> {
        self.adhesive_after(work, wait).map(|one| whole_minutes(one.fixture_minutes))
    }

    /// How long after a work its adhesive takes to carry, minutes of the clock, rounded up: until then the vehicle is not
    /// driven and not handed over.
    pub fn carry_minutes(&self, work: &str, wait: Wait) -> Option<u32> {
        self.adhesive_after(work, wait).map(|one| whole_minutes(one.cure_minutes))
    }

    fn adhesive_after(&self, work: &str, wait: Wait) -> Option<&Adhesive> {
        match wait {
            Wait::AdhesiveCure if work == "join-hem" => self.adhesive("hem"),
            Wait::AdhesiveCure => self.adhesive("structural"),
            Wait::GlassCure => self.adhesive("glass"),
            Wait::PaintDry => None,
        }
    }

    /// The adhesive for a use.
    pub fn adhesive(&self, for_use: &str) -> Option<&Adhesive> {
        self.adhesives.iter().find(|one| one.for_use == for_use)
    }
}

fn whole_minutes(minutes: f64) -> u32 {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // read within 1 to 10 080
    let whole = minutes.ceil() as u32;
    whole
}

fn fastener(row: &Row<'_>) -> Result<Fastener> {
    row.only(&["id", "kind", "diameter_mm", "head_mm", "hole_mm", "grip_mm", "pitch_mm", "shear_n", "coated"])?;
    let kinds = ["self-piercing-rivet", "structural-blind-rivet", "solid-rivet", "bolt"];
    let kind = row.word("kind", &kinds)?;
    let diameter_mm = row.length("diameter_mm", 2.0, 30.0)?;
    let grip = row.map.get("grip_mm").and_then(Value::as_array).filter(|pair| pair.len() == 2);
    let grip = grip.and_then(|pair| Some((pair[0].as_f64()?, pair[1].as_f64()?)));
    let grip_mm = grip.ok_or_else(|| row.wrong("error-joining-grip", "grip_mm"))?;
    if grip_mm.1 < 1.0 && grip_mm.1 > 0.0 {
        return Err(row.wrong("error-joining-inches", "grip_mm").with("value", grip_mm.1).with("mm", mm(grip_mm.1)));
    }
    if !(grip_mm.0 > 0.0 && grip_mm.0 < grip_mm.1 && grip_mm.1 <= 100.0) {
        return Err(row.wrong("error-joining-grip", "grip_mm"));
    }
    let pierces = kind == "self-piercing-rivet";
    Ok(Fastener {
        id: row.text("id")?,
        kind: JointKind::from_word(&kind).unwrap_or(JointKind::Bolt),
        diameter_mm,
        head_mm: row.length("head_mm", diameter_mm, 60.0)?,
        hole_mm: if pierces { row.number("hole_mm", 0.0, 0.0)? } else { row.length("hole_mm", diameter_mm, 35.0)? },
        grip_mm,
        pitch_mm: row.length("pitch_mm", 8.0, 400.0)?,
        shear_n: row.number("shear_n", 1.0, 1e6)?,
        coated: row
            .map
            .get("coated")
            .and_then(Value::as_bool)
            .ok_or_else(|| row.wrong("error-joining-yes", "coated"))?,
    })
}

fn adhesive(row: &Row<'_>) -> Result<Adhesive> {
    row.only(&[
        "id",
        "use",
        "bead_mm",
        "height_mm",
        "film_mm",
        "waste_percent",
        "cartridge_ml",
        "working_minutes",
        "fixture_minutes",
        "cure_minutes",
        "shear_mpa",
    ])?;
    Ok(Adhesive {
        id: row.text("id")?,
        for_use: row.word("use", &["structural", "hem", "glass"])?,
        bead_mm: row.length("bead_mm", 1.0, 40.0)?,
        height_mm: row.length("height_mm", 0.5, 40.0)?,
        film_mm: row.number("film_mm", 0.05, 10.0)?,
        waste_percent: row.number("waste_percent", 0.0, 100.0)?,
        cartridge_ml: row.number("cartridge_ml", 10.0, 5000.0)?,
        working_minutes: row.number("working_minutes", 1.0, 1440.0)?,
        fixture_minutes: row.number("fixture_minutes", 1.0, 10_080.0)?,
        cure_minutes: row.number("cure_minutes", 1.0, 10_080.0)?,
        shear_mpa: row.number("shear_mpa", 0.5, 60.0)?,
    })
}

fn setting(row: &Row<'_>) -> Result<Setting> {
    row.only(&["to_mm", "volts", "amps", "travel_mm_min", "wire_mm", "feed_mm_min", "stitch_mm"])?;
    Ok(Setting {
        to_mm: row.length("to_mm", 0.5, 25.0)?,
        volts: row.number("volts", 8.0, 50.0)?,
        amps: row.number("amps", 10.0, 500.0)?,
        travel_mm_min: row.number("travel_mm_min", 50.0, 3000.0)?,
        wire_mm: row.length("wire_mm", 0.6, 2.4)?,
        feed_mm_min: row.number("feed_mm_min", 500.0, 30_000.0)?,
        stitch_mm: row.length("stitch_mm", 10.0, 200.0)?,
    })
}

fn filler(row: &Row<'_>) -> Result<Filler> {
    row.only(&["id", "filler", "density_g_cm3", "spool_g"])?;
    Ok(Filler {
        id: row.text("id")?,
        filler: row.word("filler", &["5356", "4043"])?,
        density_g_cm3: row.number("density_g_cm3", 2.5, 3.0)?,
        spool_g: row.number("spool_g", 50.0, 20_000.0)?,
    })
}

fn isolation(row: &Row<'_>) -> Result<Isolation> {
    row.only(&["id", "use", "width_mm", "per_metre", "unit"])?;
    Ok(Isolation {
        id: row.text("id")?,
        for_use: row.word("use", &["barrier", "edge"])?,
        width_mm: row.length("width_mm", 2.0, 200.0)?,
        per_metre: row.number("per_metre", 0.01, 1000.0)?,
        unit: row.word("unit", &["m", "ml"])?,
    })
}

fn coat(row: &Row<'_>) -> Result<Coat> {
    row.only(&["id", "on", "film_um", "volume_solids", "transfer", "least_ml", "solvent_g_l", "category"])?;
    let works: Vec<&str> = Work::ALL.iter().map(|work| work.word()).collect();
    let categories: Vec<&str> = LIMITS_40_CFR_59.iter().map(|(name, _)| *name).collect();
    Ok(Coat {
        id: row.text("id")?,
        on: row.word("on", &works)?,
        film_um: row.number("film_um", 1.0, 2000.0)?,
        volume_solids: row.number("volume_solids", 0.01, 1.0)?,
        transfer: row.number("transfer", 0.05, 1.0)?,
        least_ml: row.number("least_ml", 0.0, 5000.0)?,
        solvent_g_l: row.number("solvent_g_l", 0.0, 1000.0)?,
        category: row.word("category", &categories)?,
    })
}

/// The faults of a list while it is read; what is at fault is read as its default.
struct Faults(Vec<Error>);

impl Faults {
    fn one<T: Default>(&mut self, read: Result<T>) -> T {
        read.unwrap_or_else(|fault| {
            self.0.push(fault);
            T::default()
        })
    }
    fn rows<T>(&mut self, top: &Row<'_>, field: &str, read: impl Fn(&Row<'_>) -> Result<T>) -> Vec<T> {
        let rows = self.one(top.rows(field));
        let good = rows.iter().filter_map(|row| read(row).map_err(|fault| self.0.push(fault)).ok());
        good.collect()
    }
}

/// A value in inches as millimetres, for a hint.
pub(crate) fn mm(inches: f64) -> String {
    format!("{:.1}", inches * 25.4)
}

/// One object of the list with its place, for errors.
struct Row<'v> {
    map: &'v Map<String, Value>,
    place: String,
}

impl<'v> Row<'v> {
    fn of(value: &'v Value, place: String) -> Result<Self> {
        match value.as_object() {
            Some(map) => Ok(Self { map, place }),
            None => Err(Error::new("error-joining-object", place)),
        }
    }
    fn wrong(&self, key: &'static str, field: &str) -> Error {
        Error::new(key, field).within(&self.place)
    }
    fn only(&self, known: &[&str]) -> Result<()> {
        match self.map.keys().find(|name| !known.contains(&name.as_str())) {
            Some(name) => Err(self.wrong("error-joining-field", name).with("known", known.join(", "))),
            None => Ok(()),
        }
    }
    fn text(&self, field: &str) -> Result<String> {
        let text = self.map.get(field).and_then(Value::as_str).filter(|text| !text.trim().is_empty());
        text.map(str::to_owned).ok_or_else(|| self.wrong("error-joining-text", field))
    }
    fn word(&self, field: &str, known: &[&str]) -> Result<String> {
        let word = self.map.get(field).and_then(Value::as_str).filter(|word| known.contains(word));
        word.map(str::to_owned).ok_or_else(|| self.wrong("error-joining-word", field).with("known", known.join(", ")))
    }
    fn number(&self, field: &str, low: f64, high: f64) -> Result<f64> {
        let number = self.map.get(field).and_then(Value::as_f64).filter(|number| (low..=high).contains(number));
        number.ok_or_else(|| self.wrong("error-joining-number", field).with("low", low).with("high", high))
    }
    /// A length in mm; one that fits only when taken for inches is named as such.
    fn length(&self, field: &str, low: f64, high: f64) -> Result<f64> {
        let slip = |value: &f64| *value > 0.0 && *value < low && (low..=high).contains(&(value * 25.4));
        match self.map.get(field).and_then(Value::as_f64).filter(slip) {
            Some(value) => Err(self.wrong("error-joining-inches", field).with("value", value).with("mm", mm(value))),
            None => self.number(field, low, high),
        }
    }
    fn rows(&self, field: &str) -> Result<Vec<Self>> {
        let list = self.map.get(field).and_then(Value::as_array).filter(|list| !list.is_empty());
        let list = list.ok_or_else(|| self.wrong("error-joining-list", field))?;
        let rows: Vec<Self> = list
            .iter()
            .enumerate()
            .map(|(at, value)| Self::of(value, format!("{field}[{at}]")))
            .collect::<Result<_>>()?;
        let ids: Vec<Option<&str>> = rows.iter().map(|row| row.map.get("id").and_then(Value::as_str)).collect();
        for (at, id) in ids.iter().enumerate() {
            if id.is_some() && ids[..at].contains(id) {
                return Err(rows[at].wrong("error-joining-twice", "id").with("id", id.unwrap_or_default()));
            }
        }
        Ok(rows)
    }
}
