//! Factory joints between two parts that are both renewed: cut once, made once, counted with one of them.
//!
//! One rule, [`left_to`]: a part that is replaced whole takes its joints upon itself; of two such parts, and of two that
//! are sectioned, the one whose id comes first. Two sections share the stretch along which both new pieces lie.

use super::Amount;
use super::draft::{Draft, On};
use super::joining::fixed;
use crate::catalogue::{Book, Joint, JointFacts, Part};
use crate::decide::{Pick, SectionPlan};
use crate::terms::{Action, JointKind, Role, Route};

/// How far the edges of two joined parts may lie apart on the drawing, mm.
const APART_MM: f64 = 45.0;

/// The factory joints within the amount of an operation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AtJoints {
    /// Which joints of the part.
    pub which: Which,
    /// What share of each, 0 to 1.
    pub share: f64,
    /// Whether their fasteners count, as they do where they are drilled out or set.
    pub fastened: bool,
}

/// Kinds of factory joints that an operation opens or makes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Which {
    /// All that are released with the part.
    Fixed,
    /// The same but for flow-drill screws, for which an operation of its own sets rivets.
    FixedWithoutScrews,
    /// Flow-drill screws.
    Screws,
    /// Those between two metals.
    Mixed,
}

impl AtJoints {
    /// Length and fasteners of all these joints of the part at this place in the book; fasteners of a share are rounded up.
    pub(super) fn all(&self, book: &Book, part: usize) -> Amount {
        let (length, count) = self.sum(book, part, |_| true);
        self.amount(length, (f64::from(count) * self.share).ceil())
    }

    /// Length and fasteners of those with one other part; fasteners of a share are rounded down, so that no more is taken
    /// off than there was.
    pub fn with(&self, book: &Book, part: usize, other: usize) -> Amount {
        let (length, count) = self.sum(book, part, |joint| joint.to == Some(other));
        self.amount(length, (f64::from(count) * self.share).floor())
    }

    fn amount(&self, length_mm: f64, fasteners: f64) -> Amount {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a whole number, not negative
        let fasteners = if self.fastened { fasteners as u32 } else { 0 };
        Amount { joint_mm: length_mm * self.share, fasteners, ..Amount::default() }
    }

    fn sum(&self, book: &Book, part: usize, test: impl Fn(&JointFacts) -> bool) -> (f64, u32) {
        let within = |joint: &Joint, facts: &JointFacts| match self.which {
            Which::Fixed => fixed(joint.kind),
            Which::FixedWithoutScrews => fixed(joint.kind) && joint.kind != JointKind::FlowDrillScrew,
            Which::Screws => joint.kind == JointKind::FlowDrillScrew,
            Which::Mixed => facts.mixed,
        };
        let all = book.parts[part].joints.iter().zip(&book.facts().parts[part].joints);
        let those = all.filter(|(joint, facts)| test(facts) && within(joint, facts));
        those.fold((0.0, 0), |(length, count), (joint, facts)| (length + joint.length_mm, count + facts.pieces))
    }
}

/// How a part is renewed at its factory joints.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Renewed<'p> {
    /// Replaced whole: all of each joint.
    Whole,
    /// Sectioned: the share of each joint that the new piece has.
    Section(&'p SectionPlan),
}

impl<'p> Renewed<'p> {
    /// How a pick renews its part; `None` for one that leaves the factory joints closed, as a skin exchanged at its hem
    /// does.
    pub fn of(pick: &'p Pick) -> Option<Self> {
        match pick.action {
            Action::Section => pick.section.as_deref().map(Self::Section),
            Action::Replace => pick.route.filter(|route| *route != Route::Hemmed).map(|_| Self::Whole),
            _ => None,
        }
    }
    /// The same for joints that are released with the part: what is only bolted on, or is glass, has none.
    pub fn of_joined(part: &Part, pick: &'p Pick) -> Option<Self> {
        Self::of(pick).filter(|one| *one != Self::Whole || joined_in(part, pick.route))
    }
}

/// Whether a part that is replaced by that route is riveted, welded or bonded in.
pub(super) fn joined_in(part: &Part, route: Option<Route>) -> bool {
    match route {
        Some(Route::RivetedBonded | Route::Welded) => true,
        Some(Route::Bonded) => part.role != Role::Glass,
        _ => false,
    }
}

/// What share of its joints with another part a renewed part leaves to it, 0 to 1 of their whole length: what is opened and
/// made with the other part and counted there.
pub fn left_to(part: (&Part, Renewed<'_>), other: (&Part, Renewed<'_>)) -> f64 {
    let after = other.0.id < part.0.id;
    match (part.1, other.1) {
        _ if part.0.id == other.0.id => 0.0,
        (Renewed::Whole, Renewed::Whole) => f64::from(u8::from(after)),
        (Renewed::Whole, Renewed::Section(_)) => 0.0,
        (Renewed::Section(plan), Renewed::Whole) => plan.share,
        (Renewed::Section(plan), Renewed::Section(there)) if after => common((part.0, plan), (other.0, there)),
        (Renewed::Section(_), Renewed::Section(_)) => 0.0,
    }
}

/// The share of their joints along which the new pieces of both parts lie: as much of the part's own as the other piece
/// reaches along it, and never more than the other piece has. Nothing where the pieces lie apart.
fn common(part: (&Part, &SectionPlan), other: (&Part, &SectionPlan)) -> f64 {
    let mut along: f64 = 0.0;
    for (one, two) in reach(part).into_iter().zip(reach(other)) {
        let (Some(one), Some(two)) = (one, two) else { continue };
        let both = one.1.min(two.1) - one.0.max(two.0);
        if both < -APART_MM {
            return 0.0;
        }
        along = along.max(both / (one.1 - one.0).max(1.0));
    }
    (part.1.share * along.min(1.0)).min(other.1.share)
}

/// From where to where a new piece reaches along x, y and z, mm; `None` along the axis that its view does not show.
fn reach((part, plan): (&Part, &SectionPlan)) -> [Option<(f64, f64)>; 3] {
    let mut reach = [None; 3];
    let cells = part.sections.iter().flat_map(|sections| &sections.cells);
    for cell in cells.filter(|cell| plan.cells.contains(&cell.id)) {
        let (bounds, (first, second)) = (cell.area.bounds(), plan.view.plane());
        for (axis, low, high) in [(first, bounds.low.a, bounds.high.a), (second, bounds.low.b, bounds.high.b)] {
            let known = reach[axis].unwrap_or((low, high));
            reach[axis] = Some((low.min(known.0), high.max(known.1)));
        }
    }
    reach
}

/// Says of each operation what of it is counted with another part.
pub(super) fn count_once(draft: &mut Draft<'_>, picked: &[&Pick]) {
    let book = draft.book;
    let known = |pick: &&Pick| book.index.get(&pick.part).copied();
    let renewed: Vec<(usize, Renewed<'_>)> = picked
        .iter()
        .filter_map(|pick| known(pick).and_then(|at| Some((at, Renewed::of_joined(&book.parts[at], pick)?))))
        .collect();
    for item in &mut draft.items {
        let (Some(joints), On::Part(at)) = (item.joints, item.on) else { continue };
        let Some((_, own)) = renewed.iter().find(|(known, _)| *known == at) else { continue };
        let part = &book.parts[at];
        let joints_of_part = &draft.facts.parts[at].joints;
        for (other, there) in &renewed {
            if !joints_of_part.iter().any(|joint| joint.to == Some(*other)) {
                continue;
            }
            let left = left_to((part, *own), (&book.parts[*other], *there));
            let amount = AtJoints { share: left, ..joints }.with(book, at, *other);
            if amount != Amount::default() {
                item.elsewhere.push((*other, amount));
            }
        }
    }
}
