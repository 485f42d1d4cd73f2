//! The one place that picks among permitted options. The optimiser will take this place.
//!
//! Here: the least intrusive that is permitted. Never picks what is not permitted and never asks for a price.

use super::Choice;
use crate::terms::{Action, Route};

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

/// The way to join that stands: the permitted one that brings least heat and takes least apart; `None` where no rule
/// permits one, as for actions that join nothing.
pub fn route(option: &Choice) -> Option<Route> {
    const ORDER: [Route; 5] = [Route::Hemmed, Route::Bolted, Route::RivetedBonded, Route::Bonded, Route::Welded];
    ORDER.into_iter().find(|route| option.permitted_routes().any(|permitted| permitted == *route))
}
