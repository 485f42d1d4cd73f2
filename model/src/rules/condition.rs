//! When a rule speaks: a condition, and the facts against which it is tested.
//!
//! Every closed list of words is held as a set of bits, so that testing is fast and the loader can compare two
//! conditions exactly. Tests facts and nothing else: it never says what follows from them.

use crate::catalogue::Part;
use crate::damage::{Finding, NearKind};
use crate::terms::{
    Action, Behind, Coat, ColourFamily, Family, Form, FrameState, JointKind, Layer, MarkKind, Metal, Role, Route, Side,
};

/// Facts of the whole job and of the shop that rules may ask for.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Circumstances {
    /// Family of the vehicle's colour; `None` where nobody named it.
    pub colour_family: Option<ColourFamily>,
    /// A restraint has deployed.
    pub restraints_deployed: bool,
    /// The vehicle has a high-voltage system.
    pub high_voltage: bool,
    /// What is known of the frame's shape; `None` is as good as not measured.
    pub frame: Option<FrameState>,
    /// The shop may weld aluminium (equipment and a qualified welder).
    pub aluminium_welding: bool,
    /// The shop has a clean aluminium bay with its own tools and extraction.
    pub aluminium_bay: bool,
}

/// A conjunction of tests; an empty one always holds.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Condition {
    /// All of these must hold.
    pub tests: Vec<Test>,
}

/// One test.
#[derive(Clone, Debug, PartialEq)]
pub enum Test {
    /// At least one of these words is true of the field; bit `n` is the field's `n`th word.
    Any(Field, u32),
    /// No kind of damage but these is marked.
    OnlyKinds(u32),
    /// The number lies over `over` and is at most `up_to`.
    Within(Number, Bound),
    /// One of these names.
    Named(Name, Vec<String>),
    /// At least one of these conditions holds.
    AnyOf(Vec<Condition>),
    /// The condition does not hold.
    Not(Condition),
}

/// A range open below and closed above: `over < value <= up_to`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bound {
    /// Excluded lower end; minus infinity where none is given.
    pub over: f64,
    /// Included upper end; infinity where none is given.
    pub up_to: f64,
}

/// A field with a closed list of words.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs)] // the written form in `FIELDS` and the schema describe each
pub enum Field {
    Layer,
    Role,
    Material,
    Metal,
    Form,
    Side,
    Behind,
    Coat,
    Frame,
    Sharp,
    Sectionable,
    SectionFound,
    MixedJoint,
    RestraintsDeployed,
    HighVoltage,
    AluminiumWelding,
    AluminiumBay,
    Kind,
    Joined,
    CutRoutes,
    Crosses,
    Unpermitted,
}

/// A measured number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs)]
pub enum Number {
    Depth,
    Share,
    Area,
    Extent,
    Count,
    Thickness,
    Edge,
    JointLine,
    NoCut,
    FeatureLine,
}

/// A field with an open list of names.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs)]
pub enum Name {
    Part,
    Base,
    Tag,
}

/// Words of a yes-or-no field, in bit order.
pub(crate) const NO_YES: [&str; 2] = ["no", "yes"];
/// Words of `crosses`, in bit order.
pub(crate) const CROSSED: [&str; 4] = ["feature-line", "edge", "joint", "no-cut"];

/// Every field with a closed list and its name in files.
pub(crate) const FIELDS: [(Field, &str); 22] = [
    (Field::Layer, "layer"),
    (Field::Role, "role"),
    (Field::Material, "material"),
    (Field::Metal, "metal"),
    (Field::Form, "form"),
    (Field::Side, "side"),
    (Field::Behind, "behind"),
    (Field::Coat, "coat"),
    (Field::Frame, "frame"),
    (Field::Sharp, "sharp"),
    (Field::Sectionable, "sectionable"),
    (Field::SectionFound, "section_found"),
    (Field::MixedJoint, "mixed_joint"),
    (Field::RestraintsDeployed, "restraints_deployed"),
    (Field::HighVoltage, "high_voltage"),
    (Field::AluminiumWelding, "aluminium_welding"),
    (Field::AluminiumBay, "aluminium_bay"),
    (Field::Kind, "kind"),
    (Field::Joined, "joined"),
    (Field::CutRoutes, "cut_routes"),
    (Field::Crosses, "crosses"),
    (Field::Unpermitted, "unpermitted"),
];

/// Every number, its name in files and the word under which messages may quote its limit.
pub(crate) const NUMBERS: [(Number, &str, &str); 10] = [
    (Number::Depth, "depth_mm", "depth-limit"),
    (Number::Share, "share", "share-limit"),
    (Number::Area, "area_mm2", "area-limit"),
    (Number::Extent, "extent_mm", "extent-limit"),
    (Number::Count, "count", "count-limit"),
    (Number::Thickness, "thickness_mm", "thickness-limit"),
    (Number::Edge, "edge_mm", "edge-limit"),
    (Number::JointLine, "joint_mm", "joint-limit"),
    (Number::NoCut, "no_cut_mm", "no-cut-limit"),
    (Number::FeatureLine, "feature_line_mm", "feature-line-limit"),
];

/// Every open list and its name in files.
pub(crate) const NAMES: [(Name, &str); 3] = [(Name::Part, "part"), (Name::Base, "base"), (Name::Tag, "tag")];

fn words_of<T: Copy>(all: &[T], word: impl Fn(T) -> &'static str) -> Vec<&'static str> {
    all.iter().map(|value| word(*value)).collect()
}

impl Field {
    /// The field's words in bit order.
    pub fn words(self) -> Vec<&'static str> {
        match self {
            Self::Layer => words_of(Layer::ALL, Layer::word),
            Self::Role => words_of(Role::ALL, Role::word),
            Self::Material => words_of(Family::ALL, Family::word),
            Self::Metal => words_of(Metal::ALL, Metal::word),
            Self::Form => words_of(Form::ALL, Form::word),
            Self::Side => words_of(Side::ALL, Side::word),
            Self::Behind => words_of(Behind::ALL, Behind::word),
            Self::Coat => words_of(Coat::ALL, Coat::word),
            Self::Frame => words_of(FrameState::ALL, FrameState::word),
            Self::Kind => words_of(MarkKind::ALL, MarkKind::word),
            Self::Joined => words_of(JointKind::ALL, JointKind::word),
            Self::CutRoutes => words_of(Route::ALL, Route::word),
            Self::Unpermitted => words_of(Action::ALL, Action::word),
            Self::Crosses => CROSSED.to_vec(),
            _ => NO_YES.to_vec(),
        }
    }

    /// Whether the field answers yes or no.
    pub(crate) fn yes_no(self) -> bool {
        self >= Self::Sharp && self <= Self::AluminiumBay
    }

    /// Whether exactly one word is true of the field at a time.
    pub(crate) fn single(self) -> bool {
        self < Self::Kind
    }

    /// Whether the field is known from the part alone.
    pub(crate) fn of_part(self) -> bool {
        matches!(
            self,
            Self::Layer
                | Self::Role
                | Self::Material
                | Self::Metal
                | Self::Form
                | Self::Side
                | Self::Sectionable
                | Self::Joined
                | Self::MixedJoint
        )
    }
}

/// All that rules may ask of one finding, ready to test.
#[derive(Clone, Debug)]
pub struct Facts<'a> {
    /// The part.
    pub part: &'a Part,
    pub(super) masks: [u32; FIELDS.len()],
    pub(super) numbers: [f64; NUMBERS.len()],
}

fn bit<T: Copy + PartialEq>(all: &[T], value: T) -> u32 {
    all.iter().position(|known| *known == value).map_or(0, |at| 1 << at)
}
fn yes(value: bool) -> u32 {
    1 << u32::from(value)
}

impl<'a> Facts<'a> {
    /// What is known from the part alone; fields that depend on damage or job hold no word.
    /// `mixed_joint` says whether a joint of the part brings aluminium and steel together.
    pub fn of_part(part: &'a Part, mixed_joint: bool) -> Self {
        let mut facts = Self { part, masks: [0; FIELDS.len()], numbers: [f64::INFINITY; NUMBERS.len()] };
        facts.set(Field::Layer, bit(Layer::ALL, part.layer));
        facts.set(Field::Role, bit(Role::ALL, part.role));
        facts.set(Field::Material, bit(Family::ALL, part.family));
        facts.set(Field::Metal, bit(Metal::ALL, part.family.metal()));
        facts.set(Field::Form, bit(Form::ALL, part.form));
        facts.set(Field::Side, bit(Side::ALL, part.side));
        facts.set(Field::Sectionable, yes(part.sections.as_ref().is_some_and(|s| !s.cuts.is_empty())));
        facts.set(Field::MixedJoint, yes(mixed_joint));
        facts.set(Field::Joined, part.joints.iter().fold(0, |sum, joint| sum | bit(JointKind::ALL, joint.kind)));
        facts.numbers[Number::Thickness as usize] = part.thickness_mm;
        facts
    }

    /// Everything about a finding. `section_routes` are the ways to join that every cut of the section found permits,
    /// or `None` where no section is found.
    pub fn new(
        part: &'a Part,
        mixed_joint: bool,
        finding: &Finding,
        section_routes: Option<&[Route]>,
        circumstances: &Circumstances,
    ) -> Self {
        let mut facts = Self::of_part(part, mixed_joint);
        facts.set(Field::Behind, bit(Behind::ALL, finding.behind));
        facts.set(Field::Coat, bit(Coat::ALL, finding.coat));
        facts.set(Field::Frame, bit(FrameState::ALL, circumstances.frame.unwrap_or(FrameState::NotMeasured)));
        facts.set(Field::Sharp, yes(finding.sharp));
        facts.set(Field::SectionFound, yes(section_routes.is_some()));
        facts.set(Field::RestraintsDeployed, yes(circumstances.restraints_deployed));
        facts.set(Field::HighVoltage, yes(circumstances.high_voltage));
        facts.set(Field::AluminiumWelding, yes(circumstances.aluminium_welding));
        facts.set(Field::AluminiumBay, yes(circumstances.aluminium_bay));
        facts.set(Field::Kind, finding.kinds.iter().fold(0, |sum, kind| sum | bit(MarkKind::ALL, *kind)));
        let routes = section_routes.unwrap_or_default();
        facts.set(Field::CutRoutes, routes.iter().fold(0, |sum, route| sum | bit(Route::ALL, *route)));
        let mut crossed = 0;
        for near in &finding.near {
            let (number, word) = match near.what {
                NearKind::FeatureLine => (Number::FeatureLine, 0),
                NearKind::Edge => (Number::Edge, 1),
                NearKind::Joint(_) => (Number::JointLine, 2),
                NearKind::NoCut(_) => (Number::NoCut, 3),
                NearKind::CutLine(_) => continue,
            };
            let least = &mut facts.numbers[number as usize];
            *least = least.min(near.distance_mm);
            if near.distance_mm <= 0.0 {
                crossed |= 1 << word;
            }
        }
        facts.set(Field::Crosses, crossed);
        for (number, value) in [
            (Number::Depth, finding.depth_mm),
            (Number::Share, finding.share),
            (Number::Area, finding.area_mm2),
            (Number::Extent, finding.extent_mm),
            (Number::Count, f64::from(finding.count)),
        ] {
            facts.numbers[number as usize] = value;
        }
        facts
    }

    fn set(&mut self, field: Field, mask: u32) {
        self.masks[field as usize] = mask;
    }

    /// Says which actions no rule has permitted or forbidden so far; only the last rules of a book ask.
    pub(crate) fn set_unpermitted(&mut self, actions: impl Iterator<Item = Action>) {
        let mask = actions.fold(0, |sum, action| sum | bit(Action::ALL, action));
        self.set(Field::Unpermitted, mask);
    }

    /// The words that are true of a field.
    pub fn mask(&self, field: Field) -> u32 {
        self.masks[field as usize]
    }

    /// A measured number; infinity for the distance to something that the part does not have.
    pub fn number(&self, number: Number) -> f64 {
        self.numbers[number as usize]
    }

    fn named(&self, name: Name, wanted: &str) -> bool {
        match name {
            Name::Part => self.part.id.as_str() == wanted,
            Name::Base => self.part.base == wanted,
            Name::Tag => self.part.has(wanted),
        }
    }
}

impl Bound {
    /// Whether the value lies within.
    pub fn holds(self, value: f64) -> bool {
        value > self.over && value <= self.up_to
    }
}

impl Condition {
    /// Whether all tests hold.
    pub fn holds(&self, facts: &Facts<'_>) -> bool {
        self.tests.iter().all(|test| test.holds(facts))
    }

    /// Whether the condition holds for this part whatever the damage (`Some(true)`), never (`Some(false)`), or
    /// depending on the damage and the job (`None`).
    pub fn for_part(&self, facts: &Facts<'_>) -> Option<bool> {
        let mut sure = Some(true);
        for test in &self.tests {
            match test.for_part(facts) {
                Some(false) => return Some(false),
                None => sure = None,
                Some(true) => {}
            }
        }
        sure
    }

    /// Whether the condition asks what other rules have said.
    pub(crate) fn asks_for_unpermitted(&self) -> bool {
        self.tests.iter().any(|test| match test {
            Test::Any(field, _) => *field == Field::Unpermitted,
            Test::AnyOf(branches) => branches.iter().any(Self::asks_for_unpermitted),
            Test::Not(inner) => inner.asks_for_unpermitted(),
            _ => false,
        })
    }
}

impl Test {
    fn holds(&self, facts: &Facts<'_>) -> bool {
        match self {
            Self::Any(field, mask) => facts.mask(*field) & mask != 0,
            Self::OnlyKinds(mask) => facts.mask(Field::Kind) & !mask == 0,
            Self::Within(number, bound) => bound.holds(facts.number(*number)),
            Self::Named(name, wanted) => wanted.iter().any(|one| facts.named(*name, one)),
            Self::AnyOf(branches) => branches.iter().any(|branch| branch.holds(facts)),
            Self::Not(inner) => !inner.holds(facts),
        }
    }

    fn for_part(&self, facts: &Facts<'_>) -> Option<bool> {
        match self {
            Self::Any(field, mask) => field.of_part().then(|| facts.mask(*field) & mask != 0),
            Self::Within(Number::Thickness, _) | Self::Named(..) => Some(self.holds(facts)),
            Self::OnlyKinds(_) | Self::Within(..) => None,
            Self::AnyOf(branches) => {
                let mut sure = Some(false);
                for branch in branches {
                    match branch.for_part(facts) {
                        Some(true) => return Some(true),
                        None => sure = None,
                        Some(false) => {}
                    }
                }
                sure
            }
            Self::Not(inner) => inner.for_part(facts).map(|holds| !holds),
        }
    }
}

/// Whether a factory joint of the part brings aluminium (or magnesium) and steel together.
pub fn mixed_joint(book: &crate::catalogue::Book, part: &Part) -> bool {
    let light = |metal| matches!(metal, Metal::Aluminium | Metal::Magnesium);
    let mine = part.family.metal();
    let joints = book.index.get(&part.id).map_or(&[][..], |at| &book.facts().parts[*at].joints);
    joints.iter().filter_map(|joint| joint.to).any(|other| {
        let theirs = book.parts[other].family.metal();
        (light(mine) && theirs == Metal::Steel) || (mine == Metal::Steel && light(theirs))
    })
}
