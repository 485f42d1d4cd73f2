//! From findings to permitted options: for each damaged part every action with every rule that permitted or forbade it.
//!
//! The explanation *is* the trace of the evaluation. Nothing here weighs price or time; the one place that picks among
//! permitted options is [`choice`].

pub mod choice;
mod evaluate;
pub mod section;

pub use crate::rules::Circumstances;
pub use choice::Pick;
pub use evaluate::decide;
pub use section::{CLEARANCE_MM, CutUse, NoSection, SectionPlan, section_plan};

use crate::damage::Finding;
use crate::ids::{PartId, RuleId};
use crate::rules::Basis;
use crate::terms::{Action, Caution, Route};
use std::sync::Arc;

/// What may be done with one damaged part, and why.
#[derive(Clone, Debug)]
pub struct Decision {
    /// The part.
    pub part: PartId,
    /// Its measured damage.
    pub finding: Finding,
    /// All six actions, least intrusive first.
    pub options: Vec<Choice>,
    /// The action that [`choice::recommended`] picks.
    pub recommended: Action,
    /// The action that stands: the person's hold, if it is permitted, or else the recommended one.
    pub chosen: Action,
    /// A hold that the rules forbid; shown as such, never followed.
    pub refused_hold: Option<Action>,
    /// Why no section is found, where none is; the words are those of [`NoSection::words`].
    pub no_section: Option<NoSection>,
}

/// One action for one part.
#[derive(Clone, Debug)]
pub struct Choice {
    /// The action.
    pub action: Action,
    /// Whether at least one rule permits it and none forbids it; `refer` always is.
    pub permitted: bool,
    /// Every rule that spoke: permitting, then forbidding, then requiring ones, each in rule-book order.
    pub trace: Vec<Trace>,
    /// Ways to join that a rule spoke of, for section and replace.
    pub routes: Vec<RouteChoice>,
    /// What the rules require with it: keys of [`crate::rules::work::WORKS`], each once, with the first rule that asks.
    pub requires: Vec<Required>,
    /// Where to cut, for section, if a section is found.
    pub section: Option<SectionPlan>,
}

/// A way to join with its own trace.
#[derive(Clone, Debug)]
pub struct RouteChoice {
    /// The way.
    pub route: Route,
    /// Whether it is permitted.
    pub permitted: bool,
    /// Every rule that spoke.
    pub trace: Vec<Trace>,
}

/// A piece of work that a rule requires.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Required {
    /// The work, a key of the operation list: `crack-check`.
    pub work: &'static str,
    /// Rule that requires it.
    pub rule: RuleId,
}

/// One rule's word on an option.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trace {
    /// The rule.
    pub rule: RuleId,
    /// What it did.
    pub effect: Effect,
    /// Why, in words.
    pub reason: Arc<str>,
    /// What it stands on.
    pub basis: Arc<Basis>,
    /// Cautions that it brings.
    pub cautions: Vec<Caution>,
}

/// What a rule does to an option.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Effect {
    /// It permits.
    Permits,
    /// It forbids; no permission outweighs it.
    Forbids,
    /// It requires further work.
    Requires,
}

impl Effect {
    /// The written form.
    pub fn word(self) -> &'static str {
        match self {
            Self::Permits => "permits",
            Self::Forbids => "forbids",
            Self::Requires => "requires",
        }
    }
}

impl Decision {
    /// The option with this action.
    pub fn option(&self, action: Action) -> Option<&Choice> {
        self.options.iter().find(|option| option.action == action)
    }

    /// The option that stands.
    pub fn chosen_option(&self) -> Option<&Choice> {
        self.option(self.chosen)
    }
}

impl Choice {
    /// Ways to join that are permitted, in the order of [`Route::ALL`].
    pub fn permitted_routes(&self) -> impl Iterator<Item = Route> + '_ {
        self.routes.iter().filter(|route| route.permitted).map(|route| route.route)
    }

    /// Whether a rule requires this work with the action.
    pub fn requires(&self, work: &str) -> bool {
        self.requires.iter().any(|required| required.work == work)
    }

    /// The one sentence to show first: the reason of the first rule that permits, or, if the option is not permitted,
    /// of the first that forbids.
    pub fn headline(&self) -> Option<&Trace> {
        let wanted = if self.permitted { Effect::Permits } else { Effect::Forbids };
        self.trace.iter().find(|trace| trace.effect == wanted)
    }
}
