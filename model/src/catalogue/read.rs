//! The body book's file: its JSON form and how it is read. Published schema: `public/schema/body-book.schema.json`.
//!
//! Reading finds mistakes of form and names their place; mistakes of meaning (a joint to nowhere, access that waits for
//! itself) are found when a body is resolved.

use super::{Body, Book, Units, expand};
use crate::error::{Error, Result};
use crate::terms::{
    Bed, Behind, Cab, Caution, Direction, Family, Form, Join, JointKind, Layer, NoCutKind, Role, Route, Side,
};
use serde::Deserialize;
use std::collections::BTreeMap;

/// The newest version of the format that this program reads.
pub const VERSION: u32 = 1;

/// A body book as written: one description from which every cab and bed is resolved.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Description {
    pub(super) format: String,
    pub(super) version: u32,
    pub(super) id: String,
    pub(super) edition: String,
    #[serde(default)]
    #[allow(dead_code)] // for readers of the file
    pub(super) note: String,
    pub(super) reference: Body,
    #[serde(default)]
    pub(super) stations: Vec<Station>,
    #[serde(default)]
    pub(super) access_work: Vec<AccessSpec>,
    pub(super) parts: Vec<PartSpec>,
}

/// A place along the truck and how far it moves for other cabs and beds, mm.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Station {
    pub x: f64,
    #[serde(default)]
    pub cab: BTreeMap<Cab, f64>,
    #[serde(default)]
    pub bed: BTreeMap<Bed, f64>,
}

/// `pair`, or the one side on which something sits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum SideSpec {
    Pair,
    Left,
    Right,
    Centre,
}

impl SideSpec {
    pub fn sides(self) -> &'static [Side] {
        match self {
            Self::Pair => &[Side::Left, Side::Right],
            Self::Left => &[Side::Left],
            Self::Right => &[Side::Right],
            Self::Centre => &[Side::Centre],
        }
    }
}

/// A view as the file names it: both sides share one outline.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum ViewSpec {
    Side,
    Front,
    Rear,
    Top,
    Underside,
}

#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(super) struct When {
    pub cab: Vec<Cab>,
    pub bed: Vec<Bed>,
}

impl When {
    pub fn fits(&self, body: Body) -> bool {
        (self.cab.is_empty() || self.cab.contains(&body.cab)) && (self.bed.is_empty() || self.bed.contains(&body.bed))
    }
}

#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct MaterialSpec {
    pub family: Family,
    #[serde(default)]
    pub temper: String,
    pub thickness_mm: f64,
}

#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PartSpec {
    pub id: String,
    pub side: SideSpec,
    pub layer: Layer,
    #[serde(default)]
    pub also: Vec<Layer>,
    pub role: Role,
    pub material: MaterialSpec,
    pub form: Form,
    #[serde(default)]
    pub when: When,
    pub shapes: BTreeMap<ViewSpec, String>,
    #[serde(default)]
    pub lines: BTreeMap<ViewSpec, Vec<String>>,
    #[serde(default)]
    pub details: BTreeMap<ViewSpec, Vec<String>>,
    /// Round details such as holes and fastener heads: centre and radius.
    #[serde(default)]
    pub dots: BTreeMap<ViewSpec, Vec<[f64; 3]>>,
    #[serde(default)]
    pub tags: Vec<String>,
    pub behind: Behind,
    #[serde(default)]
    pub uncover: Vec<String>,
    #[serde(default)]
    pub access: Vec<String>,
    #[serde(default)]
    pub no_cut: Vec<NoCutSpec>,
    #[serde(default)]
    pub section_view: Option<ViewSpec>,
    #[serde(default)]
    pub cuts: Vec<CutSpec>,
    #[serde(default)]
    pub cells: Vec<CellSpec>,
    #[serde(default)]
    pub service: Vec<ServiceSpec>,
    #[serde(default)]
    pub joint_ends: Vec<JointEndSpec>,
    #[serde(default)]
    pub joints: Vec<JointSpec>,
    #[serde(default)]
    pub load: Vec<LoadSpec>,
}

#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct NoCutSpec {
    pub kind: NoCutKind,
    pub view: ViewSpec,
    pub shape: String,
    pub clear_mm: f64,
}

#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct CutSpec {
    pub id: String,
    pub line: String,
    pub window_mm: f64,
    pub join: Join,
    #[serde(default)]
    pub sleeve_mm: f64,
    pub routes: Vec<Route>,
}

#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct CellSpec {
    pub id: String,
    pub at: [f64; 2],
}

#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ServiceSpec {
    pub id: String,
    pub cells: Vec<String>,
}

/// Where a factory joint ends, in the section view.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct JointEndSpec {
    pub to: String,
    pub at: [f64; 2],
}

#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct JointSpec {
    pub to: String,
    pub kind: JointKind,
    #[serde(default)]
    pub adhesive: bool,
    pub length_mm: f64,
    #[serde(default)]
    pub pitch_mm: f64,
    #[serde(default)]
    pub stack_mm: Vec<f64>,
}

#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct LoadSpec {
    pub to: String,
    pub direction: Direction,
}

#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct AccessSpec {
    pub id: String,
    pub side: SideSpec,
    #[serde(default)]
    pub when: When,
    #[serde(default)]
    pub removes: Vec<String>,
    #[serde(default)]
    pub after: Vec<String>,
    #[serde(default)]
    pub units: Units,
    #[serde(default)]
    pub cautions: Vec<Caution>,
}

/// Natively the place of a fault is its field; the app reads only the built-in book, which is tested, and tells line and
/// column, since tracking fields costs some 100 kB of code.
#[cfg(not(target_arch = "wasm32"))]
fn parse(text: &str) -> Result<Description> {
    let mut reader = serde_json::Deserializer::from_str(text);
    let description = serde_path_to_error::deserialize(&mut reader).map_err(|error| {
        let place = error.path().to_string();
        Error::new("error-field", if place == "." { String::new() } else { place }).with("detail", error.inner())
    })?;
    reader.end().map_err(|error| crate::error::from_json(&error))?;
    Ok(description)
}

#[cfg(target_arch = "wasm32")]
fn parse(text: &str) -> Result<Description> {
    serde_json::from_str(text).map_err(|error| crate::error::from_json(&error))
}

impl Description {
    /// Reads a body book's file.
    ///
    /// # Errors
    /// Where the text is no JSON, is no body book, is of a newer version or breaks the format; the place names the field.
    pub fn read(text: &str) -> Result<Self> {
        let description: Self = parse(text)?;
        if description.format != "cutline-book" {
            return Err(Error::new("error-format", "format").with("wanted", "cutline-book"));
        }
        if description.version > VERSION {
            return Err(Error::new("error-newer", "version")
                .with("version", description.version)
                .with("known", VERSION));
        }
        Ok(description)
    }

    /// Resolves and checks one body.
    ///
    /// # Errors
    /// Where the book is broken for this body; the place names the part.
    pub fn resolve(&self, body: Body) -> Result<Book> {
        expand::resolve(self, body)
    }

    /// The body in which the description is drawn.
    pub fn reference(&self) -> Body {
        self.reference
    }

    /// What is sold for any cab or bed, by id without side, and whether there is one for each side: `<part>` for the whole
    /// part, `<part>/<section>` for a section of it, `<part>/`[`OUTER_SKIN`](super::OUTER_SKIN) for the outer skin of a closure with a hem.
    pub fn sold(&self) -> BTreeMap<String, bool> {
        let mut out = BTreeMap::new();
        for part in &self.parts {
            let pair = part.side == SideSpec::Pair;
            out.insert(part.id.clone(), pair);
            let skin = part.tags.iter().any(|tag| tag == "hem").then_some(super::OUTER_SKIN);
            for section in part.service.iter().map(|section| section.id.as_str()).chain(skin) {
                out.insert(format!("{}/{section}", part.id), pair);
            }
        }
        out
    }

    /// Id and edition.
    pub fn name(&self) -> (&str, &str) {
        (&self.id, &self.edition)
    }

    /// Resolves every cab with every bed.
    ///
    /// # Errors
    /// The first body that is broken, with its part.
    pub fn resolve_all(&self) -> Result<Vec<Book>> {
        let bodies = Cab::ALL.iter().flat_map(|cab| Bed::ALL.iter().map(|bed| Body { cab: *cab, bed: *bed }));
        bodies
            .map(|body| self.resolve(body).map_err(|error| error.within(&format!("[{} {}]", body.cab, body.bed))))
            .collect()
    }
}
