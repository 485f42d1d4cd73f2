//! From decisions to work: every operation of the chosen options, in stage order, with what must come before it.
//!
//! Operations form a directed acyclic graph: `after` names operations of the same or an earlier stage. Access work is
//! done once for the whole job, however many parts ask for it. Nothing here decides what is permitted, and nothing
//! here counts hours or money.

mod access;
mod blend;
mod draft;
mod joining;
mod part;
mod shared;
mod whole;

use crate::catalogue::{AccessWork, Book, Part, Units};
use crate::decide::{Circumstances, Decision, Pick};
use crate::ids::{AccessId, OperationId, PartId, RuleId};
use crate::terms::{Caution, Route, Stage, Work};
use crate::words::{Language, find, say, word};

pub use blend::{METALLIC_GAP_MM, Neighbour, SOLID_GAP_MM, Verdict, neighbours, verdict};
pub use shared::{AtJoints, Renewed, Which, left_to};

/// One piece of work.
#[derive(Clone, Debug, PartialEq)]
pub struct Operation {
    /// Id, unique in the plan and the same for the same plan.
    pub id: OperationId,
    /// The part on which it is done; `None` for work on the whole vehicle and for access work.
    pub part: Option<PartId>,
    /// Stage.
    pub stage: Stage,
    /// What kind of work it is.
    pub work: Work,
    /// Operations that must be finished first.
    pub after: Vec<OperationId>,
    /// Cautions that belong to it; [`caution_words`] says each in full.
    pub cautions: Vec<Caution>,
    /// Rules that ask for it.
    pub from_rules: Vec<RuleId>,
    /// Access work that it does or undoes.
    pub access: Option<AccessId>,
    /// Parts to which access work makes room; empty for other work.
    pub access_for: Vec<PartId>,
    /// Parts that are new among those that the way back of access work puts on.
    pub renewed: Vec<PartId>,
    /// How it joins, for joining.
    pub route: Option<Route>,
    /// How much of it there is.
    pub amount: Amount,
    /// Which factory joints of its part are within that amount; `None` for work that opens or makes none.
    pub joints: Option<AtJoints>,
    /// What of that amount is done and counted with other parts: joints with parts that are renewed too.
    pub elsewhere: Vec<(PartId, Amount)>,
}

/// How much work there is; what does not apply is zero.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Amount {
    /// Area worked on, mm²: of the damage, or of the largest outline of a part that is worked on whole.
    pub area_mm2: f64,
    /// Length cut, mm.
    pub cut_mm: f64,
    /// Length joined or released, of glass that of its bead, of a skin that of its hem, mm.
    pub joint_mm: f64,
    /// Fasteners drilled out or set.
    pub fasteners: u32,
    /// Dents pressed out one by one.
    pub dents: u32,
    /// Bolts, connectors and clips.
    pub units: Units,
}

impl Operation {
    /// What is done, in words, on the body of this book.
    pub fn name(&self, book: &Book) -> String {
        if let Some(access) = self.access.as_ref().and_then(|id| book.access.get(id)) {
            if self.stage != Stage::Refit {
                return access.name();
            }
            let new: Vec<String> =
                self.renewed.iter().filter_map(|part| book.part(part)).map(Part::name_within).collect();
            let name = way_back(access);
            if new.is_empty() {
                return name;
            }
            return say(Language::English, "operation-refit-new", &[("name", &name), ("parts", &new.join(", "))]);
        }
        let part = self.part.as_ref().and_then(|part| book.part(part)).map(Part::name_within).unwrap_or_default();
        say(Language::English, self.work.key(), &[("part", &part)])
    }
}

fn way_back(work: &AccessWork) -> String {
    let key = format!("refit-{}", work.base);
    if find(Language::English, &key).is_none() {
        return say(Language::English, "operation-refit", &[("name", &work.name())]);
    }
    let name = word(&key);
    if work.id.as_str() == work.base {
        return name;
    }
    let side = word(work.side.key()).to_lowercase();
    say(Language::English, "operation-refit-side", &[("name", &name), ("side", &side)])
}

/// All operations of what is picked for each decision, ordered by stage and, within it, so that nothing comes before what
/// it waits for.
///
/// They are the operations of each part alone, each once and with the same amounts, but for two things: the blend of a
/// panel falls away where that panel is refinished itself ([`repaints`]), and a factory joint between two renewed parts
/// is counted with one of them ([`Operation::elsewhere`]). The way back of access work always stands: it
/// puts the old part on or, for the same work, the new one.
pub fn operations<'a>(
    book: &'a Book,
    picked: &[(&'a Decision, &'a Pick)],
    circumstances: &Circumstances,
) -> Vec<Operation> {
    let mut draft = draft::Draft::new(book, true);
    add(&mut draft, picked, circumstances);
    draft.finish()
}

/// Counts the operations of picks that are made one at a time, without their names, order and reasons.
pub(crate) struct Counting<'b> {
    draft: draft::Draft<'b>,
    circumstances: &'b Circumstances,
}

/// An operation as far as it is counted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Counted {
    /// What is done.
    pub(crate) task: TaskKey,
    /// How much of it there is.
    pub(crate) amount: Amount,
    /// Which factory joints of its part are within that amount.
    pub(crate) joints: Option<AtJoints>,
}

/// What tells one operation of a plan from all others. Parts and access work are named by their place in the book.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct TaskKey {
    /// Stage.
    pub stage: Stage,
    /// What kind of work it is.
    pub work: Work,
    /// On what it is done.
    pub on: On,
}

/// On what an operation is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum On {
    /// The whole vehicle.
    Vehicle,
    /// A part, by its place in [`Book::parts`].
    Part(usize),
    /// Access work, by its place in [`Book::access`].
    Access(usize),
}

impl<'b> Counting<'b> {
    pub(crate) fn new(book: &'b Book, circumstances: &'b Circumstances) -> Self {
        Self { draft: draft::Draft::new(book, false), circumstances }
    }

    /// All operations of one pick, in no order.
    pub(crate) fn all(&mut self, decision: &'b Decision, pick: &Pick) -> impl Iterator<Item = Counted> {
        self.draft.clear();
        add(&mut self.draft, &[(decision, pick)], self.circumstances);
        self.draft.counted()
    }

    /// Those on the part itself and those that reach it.
    pub(crate) fn on_part(&mut self, decision: &'b Decision, pick: &Pick) -> impl Iterator<Item = Counted> {
        self.draft.clear();
        if let Some(at) = self.draft.book.index.get(&decision.part) {
            part::add(&mut self.draft, *at, decision, pick);
        }
        self.draft.counted()
    }

    /// The id of access work by its place.
    pub(crate) fn access(&self, place: usize) -> &'b str {
        self.draft.facts.works[place].id.as_str()
    }
}

impl TaskKey {
    /// The operation's id.
    pub fn id(&self, book: &Book) -> OperationId {
        let on = match self.on {
            On::Vehicle => "",
            On::Part(at) => book.parts[at].id.as_str(),
            On::Access(at) => book.facts().works[at].id.as_str(),
        };
        draft::id(self.stage, self.work, on, &mut String::new())
    }
}

fn add<'b>(draft: &mut draft::Draft<'b>, picked: &[(&'b Decision, &Pick)], circumstances: &Circumstances) {
    let mut measured_at_fit = Vec::new();
    for (decision, pick) in picked {
        if let Some(at) = draft.book.index.get(&decision.part) {
            measured_at_fit.extend(part::add(draft, *at, decision, pick));
        }
    }
    whole::add(draft, picked, &measured_at_fit, circumstances);
}

/// The panel into which the operation blends the colour of a refinished neighbour.
pub fn blend_of(operation: &Operation) -> Option<&PartId> {
    operation.part.as_ref().filter(|_| operation.work == Work::Blend)
}

/// The panel that the operation refinishes.
pub fn repaints(operation: &Operation) -> Option<&PartId> {
    operation.part.as_ref().filter(|_| operation.work == Work::RefinishPanel)
}

/// The caution in full: the danger, whom it concerns, and that the maker's procedure, local codes and licensed practice
/// come first.
pub fn caution_words(caution: Caution) -> String {
    word(&format!("caution-text-{}", caution.word()))
}
