//! Factory joints between two parts that are both renewed: cut once, made once, counted with one of them.
//!
//! A part that is replaced whole takes its joints upon itself; of two such parts the one whose id comes first. Where
//! both are sectioned nothing is shared: the two pieces may end at different stretches of the joint.

use super::Amount;
use super::draft::{Draft, On};
use super::joining::fixed;
use crate::catalogue::{Book, Joint, Part};
use crate::ids::PartId;
use crate::terms::JointKind;

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
    /// Length and fasteners of all these joints of the part; fasteners of a share are rounded up.
    pub(super) fn all(&self, book: &Book, part: &Part) -> Amount {
        let (length, count) = self.sum(book, part, |_| true);
        self.amount(length, (f64::from(count) * self.share).ceil())
    }

    /// Length and fasteners of those with one other part; fasteners of a share are rounded down, so that no more is taken
    /// off than there was.
    pub fn with(&self, book: &Book, part: &Part, other: &PartId) -> Amount {
        let (length, count) = self.sum(book, part, |joint| joint.to == *other);
        self.amount(length, (f64::from(count) * self.share).floor())
    }

    fn amount(&self, length_mm: f64, fasteners: f64) -> Amount {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a whole number, not negative
        let fasteners = if self.fastened { fasteners as u32 } else { 0 };
        Amount { joint_mm: length_mm * self.share, fasteners, ..Amount::default() }
    }

    fn sum(&self, book: &Book, part: &Part, test: impl Fn(&Joint) -> bool) -> (f64, u32) {
        let metal = |id: &PartId| book.part(id).map(|other| other.family.metal());
        let within = |joint: &&Joint| match self.which {
            Which::Fixed => fixed(joint.kind),
            Which::FixedWithoutScrews => fixed(joint.kind) && joint.kind != JointKind::FlowDrillScrew,
            Which::Screws => joint.kind == JointKind::FlowDrillScrew,
            Which::Mixed => metal(&joint.to).is_some_and(|other| other != part.family.metal()),
        };
        let those = part.joints.iter().filter(within).filter(|joint| test(joint));
        those.fold((0.0, 0), |(length, count), joint| (length + joint.length_mm, count + joint.pieces()))
    }
}

/// Whether the joints between two renewed parts are counted with `other`, which is replaced whole. `whole` says that the
/// part itself is too.
pub fn counted_with(part: &PartId, whole: bool, other: &PartId) -> bool {
    part != other && (!whole || other < part)
}

/// Says of each operation what of it is counted with another part.
pub(super) fn count_once(draft: &mut Draft<'_>) {
    let book = draft.book;
    let at_part = |on: On| if let On::Part(at) = on { Some(at) } else { None };
    let released: Vec<usize> =
        draft.items.iter().filter(|item| item.work == "release").filter_map(|item| at_part(item.on)).collect();
    for item in &mut draft.items {
        let (Some(joints), Some(at)) = (item.joints, at_part(item.on)) else { continue };
        let part = &book.parts[at];
        let whole = released.contains(&at);
        for other in released.iter().filter(|other| counted_with(&part.id, whole, &book.parts[**other].id)) {
            let amount = joints.with(book, part, &book.parts[*other].id);
            if amount != Amount::default() {
                item.elsewhere.push((*other, amount));
            }
        }
    }
}
