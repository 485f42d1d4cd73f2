//! Finds where a part may be sectioned: which cells are renewed, at which cut lines, how far each line may move.
//!
//! The permitted cut lines divide a part into cells. A section renews a set of cells that holds the damage with its
//! clearance; every line between a renewed and a remaining cell runs inside its window and keeps its distances. Sections
//! bought in several pieces are joined to each other along cut lines too. The search is exact. Never moves a line out
//! of its window or closer than stated, and knows no price but what its caller gives.

mod best;
mod build;
mod clash;
mod cover;
mod cut;
mod hold;
mod place;
mod words;

pub use clash::{Clash, STAGGER_MM, clash, staggered};
pub use cut::{ENDLESS, NODES_MAX, minimum_cut};
pub use hold::{LineState, SectionHold, WhyNot, held_section, lines, with_line};
pub use place::What;
pub(crate) use place::damage_in;
pub use words::{cell_name, cut_name, section_words, service_name};

use crate::catalogue::{Part, Sections};
use crate::damage::Finding;
use crate::geometry::Point;
use crate::ids::{CellId, CutId, PartId};
use crate::terms::{Join, NoCutKind, Route, View};
use crate::words::{Language, say, word};
use best::{Best, Problem};
use cover::Cover;
use place::Site;
use std::cell::RefCell;
use std::sync::Arc;

/// Sound metal between a cut line and the damage, mm. Common practice, no source; a maker's procedure may ask for more.
pub const CLEARANCE_MM: f64 = 50.0;
/// Least distance between a cut line and the end of a factory joint of the part, mm. Common practice, no source.
pub const JOINT_CLEAR_MM: f64 = 25.0;
/// How far beside its ends a cut still minds damage and no-cut areas, mm.
pub const BESIDE_MM: f64 = 50.0;
/// Damage that is no further than this from a cell may belong to it, mm.
const SLIVER_MM: f64 = 5.0;
/// Distances closer than this count as equal, mm.
const ROUNDING_MM: f64 = 1e-6;

/// Which cells are renewed and where the part is cut.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionPlan {
    /// View in which lines and cells are given.
    pub view: View,
    /// Cells to renew, in the order of the book.
    pub cells: Vec<CellId>,
    /// Cut lines, in the order of the book.
    pub cuts: Vec<CutUse>,
    /// Sections to order, in the order of the book; empty where the piece is cut out of a whole new part.
    pub service: Vec<String>,
    /// Renewed area as a share of the part, 0 to 1.
    pub share: f64,
    /// Ways to join that every cut permits.
    pub routes: Vec<Route>,
    /// Whether a person put the lines where they are.
    pub held: bool,
}

/// A cut line in use.
#[derive(Clone, Debug, PartialEq)]
pub struct CutUse {
    /// The cut line of the book.
    pub cut: CutId,
    /// Where the line runs.
    pub line: (Point, Point),
    /// How far it is moved from its drawn place, mm; positive to the left of the line's direction. As little as the
    /// distances ask for, unless a person chose it.
    pub moved_mm: f64,
    /// Least and greatest move that keep all distances, mm.
    pub range_mm: (f64, f64),
    /// Length that is cut and joined along the line, mm.
    pub length_mm: f64,
    /// The part of that length, mm, that joins two new pieces to each other.
    pub between_new_mm: f64,
    /// The neighbouring cells that come in two new pieces and are joined to each other along the line.
    pub seams: Vec<(CellId, CellId)>,
    /// How the ends meet.
    pub join: Join,
    /// Width of the backing sleeve or of the overlap, mm.
    pub sleeve_mm: f64,
    /// Ways to join that the part permits here.
    pub routes: Vec<Route>,
    /// Distance to the damage, mm; infinity where no damage lies before the line.
    pub to_damage_mm: f64,
    /// The nearest no-cut area and its distance, mm.
    pub nearest_no_cut: Option<(NoCutKind, f64)>,
    /// The nearest end of a factory joint, with the part that is joined there, and its distance, mm.
    pub nearest_joint: Option<(PartId, f64)>,
}

/// Why no section is found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoSection {
    /// The book gives no cut line for the part.
    NotDivided,
    /// The damage lies in no cell: its outline says too little about where it is.
    NoPlace,
    /// The damage with its clearance reaches every cell.
    EveryCell,
    /// No set of cells can be bounded: this cut, the first that is wanted, cannot keep its distances.
    NoLine(CutId),
}

impl NoSection {
    /// The reason in words.
    pub fn words(&self) -> String {
        let clearance = format!("{CLEARANCE_MM:.0}");
        match self {
            Self::NotDivided => word("section-not-divided"),
            Self::NoPlace => word("section-no-place"),
            Self::EveryCell => word("section-every-cell"),
            Self::NoLine(_) => say(Language::English, "section-no-line", &[("clearance", &clearance)]),
        }
    }
}

/// What work and pieces cost, in whole numbers of any one unit below 2^40; all vectors in the order of the book.
/// A vector that is too short counts as 0 beyond its end.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Weights {
    /// Renewing each cell: releasing and setting its factory joints, coating it.
    pub cell: Vec<u64>,
    /// Cutting and joining a metre along each cut line.
    pub metre: Vec<u64>,
    /// Once for each cut line in use: setting up, sleeve, what does not grow with length.
    pub line: Vec<u64>,
    /// Price of each service section.
    pub service: Vec<u64>,
    /// Price of the whole part.
    pub whole: u64,
    /// Cut lines that must not be used, as when another part's joint is too near.
    pub avoid: Vec<CutId>,
}

impl Weights {
    fn problem<'a>(&self, site: &'a Site<'a>) -> Problem<'a> {
        let mut problem = Problem::plain(site);
        let at = |values: &[u64], at: usize| values.get(at).copied().unwrap_or(0);
        for (cell, cost) in problem.cell.iter_mut().enumerate() {
            *cost = at(&self.cell, cell);
        }
        for (edge, cost) in site.edges.iter().zip(&mut problem.edge) {
            // Whole tenths of a millimetre, so that the sum over borders is exact.
            *cost = metres(edge.length_mm, at(&self.metre, edge.cut));
        }
        for (cut, cost) in problem.line.iter_mut().enumerate() {
            *cost = at(&self.line, cut);
        }
        for (at, cut) in site.sections.cuts.iter().enumerate() {
            problem.avoid |= u64::from(self.avoid.contains(&cut.id)) << at;
        }
        problem
    }

    fn section(&self, at: usize) -> u64 {
        self.service.get(at).copied().unwrap_or(0).min(1 << 40)
    }
}

/// What that length costs at so much a metre, in whole numbers, rounded down.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // shorter than a kilometre
fn metres(length_mm: f64, a_metre: u64) -> u64 {
    let tenths = (length_mm * 10.0).round() as u64;
    u64::try_from(u128::from(tenths) * u128::from(a_metre.min(1 << 40)) / 10_000).unwrap_or(u64::MAX)
}

fn divided(part: &Part) -> Result<&Sections, NoSection> {
    // The search keeps sets of cells, lines and pieces in 64 bits.
    let fits = |s: &&Sections| !s.cuts.is_empty() && s.cells.len().max(s.cuts.len()).max(s.service.len()) <= 64;
    part.sections.as_ref().filter(fits).ok_or(NoSection::NotDivided)
}

fn site<'a>(part: &'a Part, finding: &Finding) -> Result<Site<'a>, NoSection> {
    let site = Site::new(part, divided(part)?, finding);
    if site.touched == 0 {
        return Err(NoSection::NoPlace);
    }
    Ok(site)
}

/// The section that renews the least area and still holds the damage; the pieces to order without regard to price.
///
/// # Errors
/// Says why there is none; the part is then replaced whole or the maker is asked.
pub fn section_plan(part: &Part, finding: &Finding) -> Result<SectionPlan, NoSection> {
    let site = site(part, finding)?;
    let best = least(&site, |_| ()).ok_or_else(|| none(&site))?;
    Ok(build::unpriced(&site, best.cells))
}

/// The set of cells with the least area; `more` adds what is asked for besides.
fn least<'a>(site: &'a Site<'a>, more: impl FnOnce(&mut Problem<'a>)) -> Option<Best> {
    let mut problem = Problem::plain(site);
    for (cost, cell) in problem.cell.iter_mut().zip(&site.sections.cells) {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // square millimetres of one part
        let area = cell.area.size().round() as u64;
        *cost = area;
    }
    more(&mut problem);
    problem.best()
}

fn none(site: &Site<'_>) -> NoSection {
    if site.touched.count_ones() as usize == site.sections.cells.len() {
        return NoSection::EveryCell;
    }
    let touched = |cell: usize| site.touched & (1 << cell) != 0;
    let edges = || site.edges.iter().enumerate().filter(|(_, edge)| touched(edge.cell) && !touched(edge.beyond));
    let barred = edges().find(|(at, edge)| site.free(edge.cut, site.bars(*at).iter()).is_empty());
    let cut = barred.or_else(|| edges().next()).map(|(_, edge)| edge.cut);
    cut.map_or(NoSection::EveryCell, |cut| NoSection::NoLine(site.sections.cuts[cut].id.clone()))
}

/// A part with its damage, ready for searches under one set of weights after the other.
pub struct Search<'a> {
    site: Site<'a>,
    /// Sections that were asked for before, by what they follow from: the same cells out of the same pieces are the same
    /// section whatever they cost.
    drawn: RefCell<Vec<(Drawn, Arc<SectionPlan>)>>,
}

/// The cells of a section, the pieces to order, and the piece from which each cell is cut.
type Drawn = (u64, Vec<usize>, Vec<usize>);

impl<'a> Search<'a> {
    /// Of a part with a finding.
    ///
    /// # Errors
    /// Where the part is not divided or the damage has no place in it.
    pub fn new(part: &'a Part, finding: &Finding) -> Result<Self, NoSection> {
        Ok(Self { site: site(part, finding)?, drawn: RefCell::default() })
    }

    /// The best sections under the caller's weights: for each set of pieces to buy the cells and lines with the least
    /// work, and of those each one than which none is better in price and no worse in work, or the other way round.
    /// Cheapest in price first; each with its price and its work. Empty where no section is possible.
    pub fn plans(&self, weights: &Weights) -> Vec<Priced> {
        let price = |one: Cover| {
            let (price, work, drawn) = (one.price, one.work, &mut *self.drawn.borrow_mut());
            let known = drawn.iter().find(|((cells, sections, piece), _)| {
                *cells == one.cells && *sections == one.sections && *piece == one.piece
            });
            let plan = known.map(|(_, plan)| Arc::clone(plan)).unwrap_or_else(|| {
                let plan = Arc::new(build::bought(&self.site, &one));
                drawn.push(((one.cells, one.sections, one.piece), Arc::clone(&plan)));
                plan
            });
            Priced { plan, price, work }
        };
        cover::covers(&self.site, weights, None).into_iter().map(price).collect()
    }

    /// The best sections for a person's choice, as [`Search::plans`].
    ///
    /// # Errors
    /// As [`held_section`].
    pub fn held(&self, hold: &SectionHold, weights: &Weights) -> Result<Vec<Priced>, WhyNot> {
        hold::held_sections(&self.site, hold, weights)
    }
}

/// The section with its distances measured where its lines run now; nothing else changes.
pub fn remeasured(part: &Part, finding: &Finding, plan: &SectionPlan) -> SectionPlan {
    let mut plan = plan.clone();
    if let Ok(site) = site(part, finding) {
        build::remeasured(&site, &mut plan);
    }
    plan
}

/// A section with what it costs under the caller's weights.
#[derive(Clone, Debug, PartialEq)]
pub struct Priced {
    /// The section.
    pub plan: Arc<SectionPlan>,
    /// Price of its pieces.
    pub price: u64,
    /// Cost of its work.
    pub work: u64,
}
