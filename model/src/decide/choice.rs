//! What stands for a part until the whole job is weighed: the least intrusive option that is permitted.
//!
//! Never picks what is not permitted and never asks for a price.

use super::{Choice, Decision, SectionPlan};
use crate::ids::PartId;
use crate::terms::{Action, Route};
use std::sync::Arc;

/// What is done to one part: the action, the way to join and where to cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Pick {
    /// The part.
    pub part: PartId,
    /// The action.
    pub action: Action,
    /// The way to join, for actions that join something.
    pub route: Option<Route>,
    /// Where to cut, for section.
    pub section: Option<Arc<SectionPlan>>,
}

impl Pick {
    /// The pick of the decision's chosen action with its first way to join and its least section.
    pub fn standing(decision: &Decision) -> Self {
        let option = decision.chosen_option();
        Self {
            part: decision.part.clone(),
            action: decision.chosen,
            route: option.and_then(route),
            section: option.and_then(|option| option.section.clone()).map(Arc::new),
        }
    }
}

/// The least intrusive permitted action; [`Action::Refer`] where no other is permitted.
pub fn recommended(options: &[Choice]) -> Action {
    options.iter().filter(|option| option.permitted).map(|option| option.action).min().unwrap_or(Action::Refer)
}

/// The action that stands and, if the person's hold is not permitted, that hold.
pub fn standing(options: &[Choice], hold: Option<Action>) -> (Action, Option<Action>) {
    let permitted = |action| options.iter().any(|option| option.action == action && option.permitted);
    match hold {
        Some(action) if permitted(action) => (action, None),
        refused => (recommended(options), refused),
    }
}

/// Ways to join, the one first that brings least heat and takes least apart.
pub const ROUTES: [Route; 5] = [Route::Hemmed, Route::Bolted, Route::RivetedBonded, Route::Bonded, Route::Welded];

/// The way to join that stands: the first permitted one of [`ROUTES`]; `None` where no rule permits one, as for actions
/// that join nothing.
pub fn route(option: &Choice) -> Option<Route> {
    ROUTES.into_iter().find(|route| option.permitted_routes().any(|permitted| permitted == *route))
}
