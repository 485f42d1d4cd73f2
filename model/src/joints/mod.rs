//! How it goes back together: for each cut and each factory joint that is opened, where every fastener, bead, stitch and
//! barrier goes.
//!
//! Reading order: [`stock`] (what the shop has), [`fasten`], [`strength`], [`weld`], [`galvanic`], [`paint`] (published
//! formulas), `place` and [`layout`] (geometry), [`plan`] (puts them together). Never decides whether a joint or a route
//! is permitted: routes come from the decision. Every figure of strength is a screening aid; the maker's procedure and a
//! qualified engineer decide.

mod choose;
pub mod draw;
pub mod fasten;
pub mod galvanic;
mod glue;
mod heat;
pub mod ink;
pub mod json;
pub mod layout;
pub mod materials;
pub mod paint;
pub mod place;
pub mod plan;
mod screening;
mod set;
pub mod sheets;
pub mod strength;
pub mod weld;

pub use crate::stock::{self, Stock};
pub use choose::{choose, grip};
pub use glue::bead;
pub use plan::{MadeWith, Wanted, joint_plans, made_with, unjoinable};

use crate::error::Error;
use crate::geometry::Point;
use crate::ids::{CutId, PartId};
use crate::terms::{Environment, JointKind, Metal, Route};
use crate::words::{Language, say};
use place::Lies;

/// What a joint is.
#[derive(Clone, Debug, PartialEq)]
pub enum What {
    /// A cut line, butted over a backing sleeve.
    Butt(CutId),
    /// A cut line, lapped.
    Lap(CutId),
    /// A factory joint of this kind.
    Factory(JointKind),
}

/// Everything about one joint by one route.
#[derive(Clone, Debug)]
pub struct JointPlan {
    /// Id, unique in the job: `<part>/cut/<cut>/<route>` or `<part>/<other>/<n>/<route>`.
    pub id: String,
    /// The part that is renewed.
    pub part: PartId,
    /// What it is joined to: the other part, or the piece that stays of the same part.
    pub to: PartId,
    /// What it is.
    pub what: What,
    /// The way to join.
    pub route: Route,
    /// Whether this is the route that was picked; the others are permitted too.
    pub picked: bool,
    /// Sheets, outermost first, mm.
    pub stack_mm: Vec<f64>,
    /// True length, mm.
    pub length_mm: f64,
    /// Width of the sleeve, overlap or flange, mm.
    pub width_mm: f64,
    /// Gap between butted ends, mm; 0 for others.
    pub gap_mm: f64,
    /// Where it lies; `None` where no view shows it.
    pub lies: Option<Lies>,
    /// Which fastener, for joints with fasteners.
    pub fastener: Option<Use>,
    /// Fasteners in the order of work.
    pub fasteners: Vec<Placed>,
    /// Adhesive.
    pub adhesive: Option<Bead>,
    /// Weld.
    pub weld: Option<Seam>,
    /// What keeps unlike metals apart.
    pub isolation: Option<Apart>,
    /// Strength against the parent panel; `None` where no figures are at hand.
    pub screening: Option<Screening>,
    /// Why it is so.
    pub notes: Vec<Note>,
    /// What is wrong and what would make it possible; the joint is then not to be made so.
    pub problems: Vec<Error>,
}

/// The fastener of a joint.
#[derive(Clone, Debug, PartialEq)]
pub struct Use {
    /// Its id in the shop's list.
    pub id: String,
    /// Its kind.
    pub kind: JointKind,
    /// Shank, mm.
    pub diameter_mm: f64,
    /// Hole to drill, mm; 0 for one that pierces.
    pub hole_mm: f64,
    /// Stack with adhesive film, mm.
    pub grip_mm: f64,
    /// Thinnest and thickest stack that it takes, mm.
    pub grip_range_mm: (f64, f64),
    /// Least distances kept: to an edge, within a row, between any two, to a bend, mm.
    pub keep: layout::Keep,
    /// How many are set.
    pub count: usize,
    /// How many more to have at hand.
    pub spares: usize,
    /// How many a metre would carry what the panel carries, by AC 43.13-1B's formula with this fastener's strength.
    pub needed_per_metre: Option<f64>,
}

/// One fastener in its place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placed {
    /// When it is set, from 1.
    pub number: u32,
    /// Where, in the view of the joint.
    pub point: Point,
    /// Its row.
    pub row: usize,
    /// Distance to the nearest edge, mm.
    pub edge_mm: f64,
    /// Distance to the nearest one of its row at true length, mm; 0 for one alone.
    pub pitch_mm: f64,
}

/// Adhesive of a joint.
#[derive(Clone, Debug, PartialEq)]
pub struct Bead {
    /// Its id in the shop's list.
    pub id: String,
    /// Bead: width and height, mm.
    pub section_mm: (f64, f64),
    /// How many beads run beside each other.
    pub beads: u32,
    /// Length of all beads, mm.
    pub length_mm: f64,
    /// Volume with waste, ml.
    pub volume_ml: f64,
    /// Cartridges, if this joint stood alone.
    pub cartridges: u32,
    /// Time until the parts must be closed, minutes.
    pub working_minutes: f64,
    /// Time to close all bonded joints of the part that close with it, from the time book, minutes.
    pub fitting_minutes: f64,
    /// How many people close them in time; 1 where there is time enough.
    pub people: u32,
    /// Until it may be let go of and until it carries, minutes.
    pub cure_minutes: (f64, f64),
}

/// Weld of a joint.
#[derive(Clone, Debug, PartialEq)]
pub struct Seam {
    /// Filler family.
    pub filler: &'static str,
    /// Length, mm.
    pub length_mm: f64,
    /// Passes.
    pub passes: u32,
    /// Heat input, kJ/mm.
    pub heat_kj_mm: f64,
    /// Wire, g.
    pub wire_g: f64,
    /// Stitches along each line of the joint, in the order of the lines.
    pub stitches: Vec<Vec<weld::Stitch>>,
    /// Extent of the softened zone to each side, mm.
    pub haz_mm: f64,
    /// What lies in it and must come out first.
    pub must_out: Vec<MustOut>,
}

/// Something that heat would harm.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct MustOut {
    /// `foam`, `wiring`, `adhesive`, `sealer`, `glass-edge`; `joint-heat-<what>` is the key of its words.
    pub what: &'static str,
    /// The part to which it belongs.
    pub part: PartId,
}

/// What keeps two metals apart.
#[derive(Clone, Debug, PartialEq)]
pub struct Apart {
    /// The metals.
    pub metals: (Metal, Metal),
    /// Difference of their anodic indexes, V.
    pub difference_v: f64,
    /// Where the vehicle lives.
    pub environment: Environment,
    /// Whether the index alone would tolerate bare contact there; it never permits it.
    pub index_tolerates: bool,
    /// The barrier: an id of the shop's list, or that of the adhesive, which isolates too.
    pub barrier: String,
    /// How much of it where it is no adhesive: amount and unit.
    pub barrier_amount: Option<(f64, String)>,
    /// Whether the fasteners are coated; `None` without fasteners.
    pub coated: Option<bool>,
    /// Sealer over the edges: id, amount, unit.
    pub edge: Option<(String, f64, String)>,
}

/// Strength of the joint against its parent panel. A screening aid: see [`strength::SCREENING_KEY`].
#[derive(Clone, Debug, PartialEq)]
pub struct Screening {
    /// Alloy that stands for the panel.
    pub alloy: &'static str,
    /// What the weaker panel carries, N/mm.
    pub panel: strength::Carries,
    /// What the fasteners carry.
    pub riveted: Option<strength::Carries>,
    /// What the adhesive carries.
    pub bonded: Option<strength::Carries>,
    /// What the weld carries, its softened zone counted.
    pub welded: Option<strength::Carries>,
    /// The best of them, not their sum, over the panel: in shear and in tension.
    pub share: strength::Carries,
}

/// A sentence with its values.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Note {
    /// Key of the sentence.
    pub key: &'static str,
    /// Its values.
    pub arguments: Vec<(&'static str, String)>,
}

impl Note {
    /// A sentence without values.
    pub fn new(key: &'static str) -> Self {
        Self { key, arguments: Vec::new() }
    }
    /// The same with a value.
    #[must_use]
    pub fn with(mut self, name: &'static str, value: impl std::fmt::Display) -> Self {
        self.arguments.push((name, value.to_string()));
        self
    }
    /// The sentence in words.
    pub fn words(&self, language: Language) -> String {
        let arguments: Vec<(&str, &str)> = self.arguments.iter().map(|(name, value)| (*name, value.as_str())).collect();
        say(language, self.key, &arguments)
    }
}

impl What {
    /// The written form: `butt`, `lap` or the word of the factory's joint.
    pub fn word(&self) -> &'static str {
        match self {
            Self::Butt(_) => "butt",
            Self::Lap(_) => "lap",
            Self::Factory(kind) => kind.word(),
        }
    }
}
