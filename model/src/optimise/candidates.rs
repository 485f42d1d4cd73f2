//! What may be chosen for one part: every permitted action with every permitted way to join and every section worth
//! weighing, with the work that each brings and what that work costs.
//!
//! A pure function of one part's decision, so that it can be kept while nothing about the part changes. A forbidden
//! option never becomes a candidate, whatever it costs; `refer` is one only where nothing else is permitted or a person
//! holds to it.

use super::cost::{self, Cost};
use super::sections::{self, Weighing};
use crate::catalogue::Book;
use crate::decide::{Choice, Circumstances, Decision, Pick, choice};
use crate::estimate::Tariff;
use crate::ids::{PartId, ServiceId};
use crate::job::OptionHold;
use crate::operations::{Amount, AtJoints, Counted, Counting, On, TaskKey};
use crate::terms::{Action, Route, Wait, Work};

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
    pub task: TaskKey,
    /// How much of it there is.
    pub amount: Amount,
    /// What makes it needless.
    pub needless: Needless,
    /// What it costs.
    pub cost: Cost,
    /// What the truck waits for afterwards, and for how many working seconds.
    pub wait: Option<(Wait, i64)>,
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
    tariff: &Tariff<'_>,
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
    let mut picks: Vec<(Pick, bool)> = Vec::new();
    let mut weighing = None;
    let mut counting = Counting::new(book, circumstances);
    for choice in decision.options.iter().filter(|choice| choice.permitted) {
        if choice.action == Action::Refer && others && hold != Some(Action::Refer) {
            continue;
        }
        for route in routes(choice) {
            let pick = |section| Pick { part: decision.part.clone(), action: choice.action, route, section };
            match (choice.action, route) {
                (Action::Section, Some(route)) => {
                    let weighing = weighing.get_or_insert_with(|| Weighing::new(book, decision, tariff));
                    let (list, refused) = weighing.worth_weighing(&mut counting, route, own.as_ref());
                    out.refused = out.refused.take().or(refused);
                    picks.extend(list.into_iter().map(|(section, by_hand)| (pick(Some(section)), by_hand)));
                }
                _ => picks.push((pick(None), false)),
            }
        }
    }
    // What a person draws and then does not hold to is no candidate.
    picks.retain(|(pick, by_hand)| !by_hand || keeps(pick, *by_hand, hold, option));
    let held = (0..picks.len()).filter(|at| keeps(&picks[*at].0, picks[*at].1, hold, option)).collect();
    for (pick, _) in &picks {
        let work: Vec<Counted> = counting.all(decision, pick).collect();
        out.add(tariff, book, &counting, pick, &work);
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
    fn add(&mut self, tariff: &Tariff<'_>, book: &Book, counting: &Counting<'_>, pick: &Pick, work: &[Counted]) {
        let mut pieces = Vec::with_capacity(work.len());
        for one in work {
            let Counted { task, amount, joints } = *one;
            let known = self
                .pieces
                .iter()
                .position(|known| known.task == task && known.amount == amount && known.joints == joints);
            pieces.push(known.unwrap_or_else(|| {
                let access = if let On::Access(at) = task.on { Some((counting.access(at), task.stage)) } else { None };
                let priced = tariff.task(task.work, access);
                self.pieces.push(Piece {
                    task,
                    amount,
                    needless: needless(book, task),
                    cost: cost::of_work(&priced, &amount),
                    wait: cost::wait_of(&priced),
                    joints,
                });
                self.pieces.len() - 1
            }));
        }
        pieces.sort_unstable();
        let own = book.index.get(&pick.part).map(|at| On::Part(*at));
        let refinishes = work.iter().any(|one| one.task.work == Work::RefinishPanel && Some(one.task.on) == own);
        let (own, lead_days, unpriced) = cost::of_parts(tariff.shop(), book, pick);
        self.list.push(Candidate { pick: pick.clone(), pieces, own, lead_days, unpriced, refinishes });
    }
}

fn needless(book: &Book, task: TaskKey) -> Needless {
    match task.on {
        On::Part(at) if task.work == Work::Blend => Needless::Refinished(book.parts[at].id.clone()),
        _ => Needless::Never,
    }
}
