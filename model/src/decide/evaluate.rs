//! Puts every rule to every finding and keeps what each rule said.
//!
//! Two rounds: first all ordinary rules, then the closing ones that speak about actions on which no rule has spoken.
//! Adds no judgement of its own, save that `refer` is always permitted: asking the maker can never be wrong.

use super::{Choice, Decision, Effect, Required, RouteChoice, SectionPlan, Trace, choice, section_plan};
use crate::catalogue::{Book, Part};
use crate::damage::Finding;
use crate::ids::PartId;
use crate::rules::{Circumstances, Facts, Rule, RuleBook, Spoken, Verdict, mixed_joint, reason};
use crate::terms::{Action, Route};
use std::collections::BTreeMap;
use std::sync::Arc;

/// One decision for each finding, in the order given. A finding of a part that the book lacks is left out.
/// `holds` are the actions on which a person insists.
pub fn decide(
    book: &Book,
    rules: &RuleBook,
    findings: Vec<Finding>,
    holds: &BTreeMap<PartId, Action>,
    circumstances: &Circumstances,
) -> Vec<Decision> {
    findings
        .into_iter()
        .filter_map(|finding| {
            let part = book.part(&finding.part)?;
            let hold = holds.get(&finding.part).copied();
            Some(one(book, part, rules, finding, hold, circumstances))
        })
        .collect()
}

fn one(
    book: &Book,
    part: &Part,
    rules: &RuleBook,
    finding: Finding,
    hold: Option<Action>,
    circumstances: &Circumstances,
) -> Decision {
    let section = section_plan(part, &finding);
    let routes = section.as_ref().ok().map(|plan| plan.routes.as_slice());
    let mut facts = Facts::new(part, mixed_joint(book, part), &finding, routes, circumstances);
    let mut draft = Draft::new();
    {
        let spoken = Spoken::new(&facts, section.as_ref().err());
        for rule in rules.rules.iter().filter(|rule| !rule.closing && rule.when.holds(&facts)) {
            draft.hear(rule, &spoken);
        }
    }
    facts.set_unpermitted(draft.silent());
    {
        let spoken = Spoken::new(&facts, section.as_ref().err());
        for rule in rules.rules.iter().filter(|rule| rule.closing && rule.when.holds(&facts)) {
            draft.hear(rule, &spoken);
        }
    }
    let (section, no_section) = match section {
        Ok(plan) => (Some(plan), None),
        Err(why) => (None, Some(why)),
    };
    let options = draft.options(section);
    let recommended = choice::recommended(&options);
    let (chosen, refused_hold) = choice::standing(&options, hold);
    Decision { part: part.id.clone(), finding, options, recommended, chosen, refused_hold, no_section }
}

/// What has been said so far, by action.
struct Draft {
    traces: [Vec<Trace>; Action::ALL.len()],
    requires: [Vec<Required>; Action::ALL.len()],
    routes: [Vec<(Route, Trace)>; Action::ALL.len()],
}

impl Draft {
    fn new() -> Self {
        Self {
            traces: std::array::from_fn(|_| Vec::with_capacity(8)),
            requires: std::array::from_fn(|_| Vec::with_capacity(8)),
            routes: std::array::from_fn(|_| Vec::new()),
        }
    }

    fn hear(&mut self, rule: &Rule, spoken: &Spoken<'_, '_>) {
        let reason = reason(rule, spoken);
        let trace = |effect| Trace {
            rule: rule.id.clone(),
            effect,
            reason: Arc::clone(&reason),
            basis: Arc::clone(&rule.basis),
            cautions: rule.cautions.clone(),
        };
        for verdict in &rule.then {
            match verdict {
                Verdict::Permit(action) => self.traces[*action as usize].push(trace(Effect::Permits)),
                Verdict::Forbid(action) => self.traces[*action as usize].push(trace(Effect::Forbids)),
                Verdict::PermitRoute { route, with } => {
                    for action in with {
                        self.routes[*action as usize].push((*route, trace(Effect::Permits)));
                    }
                }
                Verdict::ForbidRoute { route, with } => {
                    for action in with {
                        self.routes[*action as usize].push((*route, trace(Effect::Forbids)));
                    }
                }
                Verdict::Require { work, with } => {
                    for action in with {
                        let asked = &mut self.requires[*action as usize];
                        if !asked.iter().any(|known| known.work == *work) {
                            asked.push(Required { work, rule: rule.id.clone() });
                        }
                        let traces = &mut self.traces[*action as usize];
                        // A rule that requires several works with one action speaks once.
                        if !traces.iter().any(|known| known.effect == Effect::Requires && known.rule == rule.id) {
                            traces.push(trace(Effect::Requires));
                        }
                    }
                }
            }
        }
    }

    /// Actions that no rule has permitted or forbidden.
    fn silent(&self) -> impl Iterator<Item = Action> + '_ {
        Action::ALL
            .iter()
            .copied()
            .filter(|action| self.traces[*action as usize].iter().all(|trace| trace.effect == Effect::Requires))
    }

    fn options(self, mut section: Option<SectionPlan>) -> Vec<Choice> {
        let Self { traces, requires, routes } = self;
        let parts = traces.into_iter().zip(requires).zip(routes);
        Action::ALL
            .iter()
            .zip(parts)
            .map(|(action, ((mut trace, requires), routes))| {
                trace.sort_by_key(|one| one.effect);
                Choice {
                    action: *action,
                    permitted: *action == Action::Refer || permitted(&trace),
                    trace,
                    routes: by_route(routes),
                    requires,
                    section: if *action == Action::Section { section.take() } else { None },
                }
            })
            .collect()
    }
}

fn permitted(trace: &[Trace]) -> bool {
    trace.iter().any(|one| one.effect == Effect::Permits) && trace.iter().all(|one| one.effect != Effect::Forbids)
}

fn by_route(said: Vec<(Route, Trace)>) -> Vec<RouteChoice> {
    let mut out: Vec<RouteChoice> = Vec::new();
    for (route, trace) in said {
        match out.iter_mut().find(|known| known.route == route) {
            Some(known) => known.trace.push(trace),
            None => out.push(RouteChoice { route, permitted: false, trace: vec![trace] }),
        }
    }
    for choice in &mut out {
        choice.trace.sort_by_key(|one| one.effect);
        choice.permitted = permitted(&choice.trace);
    }
    out.sort_by_key(|choice| choice.route);
    out
}
