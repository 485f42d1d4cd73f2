//! Marks (what a person recorded) and findings (the marks of one part, measured).
//!
//! Measures and never judges: whether a finding may be repaired is the rule book's business.

mod measure;

pub use measure::{findings, measure};

use crate::error::{Error, Result};
use crate::geometry::{Area, Point};
use crate::ids::{CellId, CutId, MarkId, PartId};
use crate::terms::{Behind, Coat, MarkKind, NoCutKind, View};
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

/// Greatest coordinate of a mark, mm: no vehicle of this kind is longer.
pub const REACH_MM: i32 = 10_000;
/// Greatest depth of a mark, mm.
pub const DEPTH_MAX_MM: u16 = 1_000;

/// One recorded piece of damage. Whole millimetres, in the vehicle's frame and the plane of `view`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Mark {
    /// Part that is hit.
    pub part: PartId,
    /// View in which the outline is given.
    pub view: View,
    /// Outline.
    pub shape: MarkShape,
    /// What it is.
    pub kind: MarkKind,
    /// Greatest depth, mm; 0 where nothing is pushed in.
    #[serde(default)]
    pub depth_mm: u16,
    /// How far it goes through the paint.
    #[serde(default = "whole_coat")]
    pub coat: Coat,
    /// Whether the metal is bent sharply (a radius of a few sheet thicknesses) rather than in a soft bowl.
    #[serde(default)]
    pub sharp: bool,
    /// Number of dents in a hail field; 0 otherwise.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub count: u16,
    /// A person's note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

fn whole_coat() -> Coat {
    Coat::Whole
}
#[allow(clippy::trivially_copy_pass_by_ref)] // the signature that serde asks for
fn is_zero(value: &u16) -> bool {
    *value == 0
}

/// Outline of a mark, whole millimetres.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum MarkShape {
    /// An ellipse: centre, half axes, turn in degrees.
    Ellipse {
        /// Centre.
        at: [i32; 2],
        /// Half axes, at least 1.
        radii: [i32; 2],
        /// Turn, degrees.
        #[serde(default)]
        turn_deg: i32,
    },
    /// A line with a width, as a finger draws a scratch.
    Stroke {
        /// Points, at least two.
        points: Vec<[i32; 2]>,
        /// Width, at least 1.
        width: i32,
    },
    /// A ring of points.
    Polygon {
        /// Points, at least three.
        points: Vec<[i32; 2]>,
    },
}

impl MarkShape {
    /// The outline as an area.
    ///
    /// # Errors
    /// Where it has no area or leaves the range of ±[`REACH_MM`].
    pub fn area(&self) -> Result<Area> {
        let point = |p: &[i32; 2]| Point::new(f64::from(p[0]), f64::from(p[1]));
        let within = |values: &[i32; 2]| values.iter().all(|v| v.abs() <= REACH_MM);
        let (ok, area) = match self {
            Self::Ellipse { at, radii, turn_deg } => (
                within(at) && within(radii) && radii[0] >= 1 && radii[1] >= 1,
                Area::ellipse(point(at), f64::from(radii[0]), f64::from(radii[1]), f64::from(*turn_deg)),
            ),
            Self::Stroke { points, width } => {
                let path: Vec<Point> = points.iter().map(point).collect();
                let ok = points.iter().all(within) && points.len() >= 2 && (1..=REACH_MM).contains(width);
                (ok, if ok { Area::stroke(&path, f64::from(*width)) } else { None })
            }
            Self::Polygon { points } => {
                let path: Vec<Point> = points.iter().map(point).collect();
                (points.iter().all(within), Area::from_points(&path))
            }
        };
        if !ok {
            return Err(Error::new("error-mark-range", "shape").with("reach", REACH_MM));
        }
        area.ok_or_else(|| Error::new("error-mark-empty", "shape"))
    }
}

/// The marks of one part, measured.
#[derive(Clone, Debug)]
pub struct Finding {
    /// The part.
    pub part: PartId,
    /// Its marks, in the order of their ids.
    pub marks: Vec<MarkId>,
    /// Kinds of damage.
    pub kinds: BTreeSet<MarkKind>,
    /// Damaged area on the part, union of all marks in the view that shows most of it, mm².
    pub area_mm2: f64,
    /// That area as a share of the part's outline in the same view, 0 to 1.
    pub share: f64,
    /// Longest extent of one mark's damage, mm.
    pub extent_mm: f64,
    /// Greatest depth, mm.
    pub depth_mm: f64,
    /// Deepest reach through the paint.
    pub coat: Coat,
    /// Whether any of it is bent sharply.
    pub sharp: bool,
    /// Dents in hail fields.
    pub count: u32,
    /// Reach to the back of the part.
    pub behind: Behind,
    /// Feature lines, edges, joints and no-cut areas that the damage crosses or nears, nearest first.
    pub near: Vec<Near>,
    /// Cells touched by the damage itself; empty for a part that is not divided.
    pub cells: Vec<CellId>,
    /// The damage as an area in each view; for drawing and for the section search.
    pub areas: Vec<(View, Area)>,
}

/// Something that the damage crosses or comes near.
#[derive(Clone, Debug, PartialEq)]
pub struct Near {
    /// What it is.
    pub what: NearKind,
    /// Distance, mm; 0 where it is crossed.
    pub distance_mm: f64,
}

/// What damage can cross or come near.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum NearKind {
    /// A pressed feature line.
    FeatureLine,
    /// The edge of the part.
    Edge,
    /// A factory joint with this part.
    Joint(PartId),
    /// An area through which no cut may run.
    NoCut(NoCutKind),
    /// A permitted cut line.
    CutLine(CutId),
}

impl Finding {
    /// Whether the damage crosses a thing of this kind.
    pub fn crosses(&self, test: impl Fn(&NearKind) -> bool) -> bool {
        self.near.iter().any(|near| near.distance_mm <= 0.0 && test(&near.what))
    }
}
