//! What may be chosen for one part: every permitted action with every permitted way to join and every section worth
//! weighing, with the work that each brings and what that work costs.
//!
//! A pure function of one part's decision, so that it can be kept while nothing about the part changes. A forbidden
//! option never becomes a candidate, whatever it costs; `refer` is one only where nothing else is permitted or a person
//! holds to it.

use super::cost::{self, Cost};
use super::sections;
use crate::catalogue::Book;
use crate::decide::{Choice, Circumstances, Decision, Pick, choice};
use crate::ids::{OperationId, PartId, ServiceId};
use crate::job::OptionHold;
use crate::operations::{AtJoints, Operation, blend_of, repaints, unordered};
use crate::shop::Shop;
use crate::terms::{Action, Route, Wait};

/// The candidates of one part.
#[derive(Clone, Debug, PartialEq)]
pub struct Candidates {
    /// The part.
    pub part: PartId,
    /// The work of all of them, each piece once.
    pub pieces: Vec<Piece>,
    /// The candidates, least intrusive first; at least one.
    pub list: Vec<Candidate>,
    /// Which of them a person's holds leave, by place; `None` where nobody holds the part to anything. May be empty: the
    /// holds then ask for what is not permitted.
    pub held: Option<Vec<usize>>,
    /// What the person holds to most closely.
    pub hold: Hold,
    /// Why the lines that the person drew cannot be cut, in words.
    pub refused: Option<String>,
}

/// What a person holds a part to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Hold {
    /// Nothing.
    #[default]
    None,
    /// The action.
    Action,
    /// The way to join.
    Route,
    /// Where to cut.
    Cuts,
}

/// One option of a part.
#[derive(Clone, Debug, PartialEq)]
pub struct Candidate {
    /// What is done.
    pub pick: Pick,
    /// Its work, by place among the pieces.
    pub pieces: Vec<usize>,
    /// What it costs beside its work: the service parts to order.
    pub own: Cost,
    /// Working days until the last of its service parts is there.
    pub lead_days: u32,
    /// Service parts without a price in the shop's list.
    pub unpriced: Vec<ServiceId>,
    /// The part is refinished itself, so that nothing blends into it.
    pub refinishes: bool,
}

/// One operation as the program sees it.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// The operation.
    pub id: OperationId,
    /// What makes it needless.
    pub needless: Needless,
    /// What it costs.
    pub cost: Cost,
    /// What the truck waits for afterwards, and for how many working seconds.
    pub wait: Option<(Wait, i64)>,
    /// What kind of work it is.
    pub work: &'static str,
    /// Factory joints that it opens or makes.
    pub joints: Option<AtJoints>,
}

/// What makes an operation needless.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Needless {
    /// Nothing.
    Never,
    /// A blend: when this part is refinished itself.
    Refinished(PartId),
}

/// The candidates of a part. `hold` is the action and `option` what else a person holds to.
pub fn candidates(
    book: &Book,
    decision: &Decision,
    hold: Option<Action>,
    option: Option<&OptionHold>,
    shop: &Shop,
    circumstances: &Circumstances,
) -> Candidates {
    let mut out = Candidates {
        part: decision.part.clone(),
        pieces: Vec::new(),
        list: Vec::new(),
        held: None,
        hold: Hold::None,
        refused: None,
    };
    let hold = hold.filter(|action| decision.option(*action).is_some_and(|choice| choice.permitted));
    let others = decision.options.iter().any(|choice| choice.permitted && choice.action != Action::Refer);
    let own = option.and_then(sections::own_lines);
    let mut held = Vec::new();
    for choice in decision.options.iter().filter(|choice| choice.permitted) {
        if choice.action == Action::Refer && others && hold != Some(Action::Refer) {
            continue;
        }
        for route in routes(choice) {
            let list = match (choice.action, route) {
                (Action::Section, Some(route)) => {
                    let (list, refused) =
                        sections::worth_weighing(book, decision, route, own.as_ref(), shop, circumstances);
                    out.refused = out.refused.take().or(refused);
                    list.into_iter().map(|(section, by_hand)| (Some(section), by_hand)).collect()
                }
                _ => vec![(None, false)],
            };
            for (section, by_hand) in list {
                let pick = Pick { part: decision.part.clone(), action: choice.action, route, section };
                if keeps(&pick, by_hand, hold, option) {
                    held.push(out.list.len());
                } else if by_hand {
                    // What a person draws and then does not hold to is no candidate.
                    continue;
                }
                let work = unordered(book, &[(decision, &pick)], circumstances);
                out.add(shop, book, pick, &work);
            }
        }
    }
    out.hold = match option {
        Some(option) if option.has_lines() => Hold::Cuts,
        Some(option) if option.route.is_some() => Hold::Route,
        _ if hold.is_some() => Hold::Action,
        _ => Hold::None,
    };
    out.held = (out.hold != Hold::None).then_some(held);
    out
}

/// Whether a pick is what the person holds to.
fn keeps(pick: &Pick, by_hand: bool, hold: Option<Action>, option: Option<&OptionHold>) -> bool {
    let Some(option) = option else { return hold.is_none_or(|action| action == pick.action) };
    let cuts = option.has_lines();
    // Where to cut speaks of section alone; held to another action it waits.
    let action = hold.or(cuts.then_some(Action::Section));
    action.is_none_or(|action| action == pick.action)
        && (!cuts || pick.action != Action::Section || by_hand)
        && option.route.is_none_or(|route| pick.route == Some(route))
}

/// The permitted ways to join, best first; one `None` for actions that join nothing.
fn routes(choice: &Choice) -> Vec<Option<Route>> {
    let permitted = |route: &Route| choice.permitted_routes().any(|permitted| permitted == *route);
    let mut out: Vec<Option<Route>> = choice::ROUTES.into_iter().filter(permitted).map(Some).collect();
    if out.is_empty() && choice.action != Action::Section {
        out.push(None);
    }
    out
}

impl Candidates {
    fn add(&mut self, shop: &Shop, book: &Book, pick: Pick, work: &[Operation]) {
        let mut pieces = Vec::with_capacity(work.len());
        for operation in work {
            let piece = Piece {
                id: operation.id.clone(),
                needless: needless(operation),
                cost: cost::of_operation(shop, operation),
                wait: cost::wait_of(shop, operation),
                work: operation.work,
                joints: operation.joints,
            };
            let known = self.pieces.iter().position(|known| *known == piece);
            pieces.push(known.unwrap_or_else(|| {
                self.pieces.push(piece);
                self.pieces.len() - 1
            }));
        }
        pieces.sort_unstable();
        let refinishes = work.iter().any(|operation| repaints(operation) == Some(&pick.part));
        let (own, lead_days, unpriced) = cost::of_parts(shop, book, &pick);
        self.list.push(Candidate { pick, pieces, own, lead_days, unpriced, refinishes });
    }
}

fn needless(operation: &Operation) -> Needless {
    blend_of(operation).map_or(Needless::Never, |part| Needless::Refinished(part.clone()))
}
