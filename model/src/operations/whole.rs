//! Work on the whole vehicle: making it safe, measuring, calibrating, inspecting, the way back of access work.
//!
//! Runs once after all parts have said what they need; each of these operations appears at most once in a plan (a
//! sensor once for its part).

use super::draft::{At, Draft};
use super::{access, part};
use crate::catalogue::{Book, Part};
use crate::decide::{Circumstances, Decision, Pick};
use crate::ids::{AccessId, PartId, RuleId};
use crate::terms::{Action, Caution, Role, Stage};
use crate::words::word;
use std::collections::{BTreeMap, BTreeSet};

/// Adds all work on the whole vehicle and ties it to the work on its parts.
pub(super) fn add(draft: &mut Draft<'_>, book: &Book, picked: &[(&Decision, &Pick)], circumstances: &Circumstances) {
    let asked = Asked { picked };
    secure(draft, book, &asked, circumstances);
    let renewed = renewed(draft, book);
    access::refit(draft, book, &renewed);
    measure(draft, &asked);
    start(draft);
    back(draft);
    measure_again(draft, &asked);
    calibrate(draft, book, &asked);
    inspect(draft, book, &asked);
}

struct Asked<'d> {
    picked: &'d [(&'d Decision, &'d Pick)],
}

impl Asked<'_> {
    /// Rules that require this work with a chosen action; empty where none does.
    fn rules(&self, work: &str) -> Vec<&RuleId> {
        let chosen = self.picked.iter().filter_map(|(decision, pick)| decision.option(pick.action));
        chosen
            .flat_map(|option| option.requires.iter())
            .filter(|required| required.work == work)
            .map(|required| &required.rule)
            .collect()
    }

    /// Adds one operation on the whole vehicle if a rule requires one of these works.
    fn once(&self, draft: &mut Draft<'_>, stage: Stage, works: &[&str], name: &'static str) -> Option<At> {
        let rules: Vec<&RuleId> = works.iter().flat_map(|work| self.rules(work)).collect();
        if rules.is_empty() {
            return None;
        }
        let at = whole(draft, stage, name);
        for rule in rules {
            draft.rule(at, rule);
        }
        Some(at)
    }
}

fn whole(draft: &mut Draft<'_>, stage: Stage, work: &'static str) -> At {
    draft.add(stage, work, None, None, || word(&format!("operation-{work}")))
}

fn secure(draft: &mut Draft<'_>, book: &Book, asked: &Asked<'_>, circumstances: &Circumstances) {
    let body = |part: &Part| matches!(part.role, Role::Structural | Role::BondedOuter | Role::Closure);
    let touches_restraints = asked.picked.iter().any(|(_, pick)| {
        book.part(&pick.part).is_some_and(|part| match pick.action {
            Action::Section | Action::Replace => body(part) || part.has("restraint"),
            Action::Repair => part.role == Role::Structural || part.has("restraint"),
            _ => false,
        })
    });
    let warned = draft.items.iter().any(|item| item.operation.cautions.contains(&Caution::Restraints));
    if touches_restraints || warned || circumstances.restraints_deployed {
        let wanted: Vec<AccessId> =
            book.access.values().filter(|work| work.base == "restraints-safe").map(|work| work.id.clone()).collect();
        if wanted.is_empty() {
            let battery = whole(draft, Stage::Secure, "battery-off");
            let at = whole(draft, Stage::Secure, "restraints-safe");
            draft.caution(battery, [Caution::StoredEnergy]);
            draft.caution(at, [Caution::Restraints, Caution::StoredEnergy]);
            draft.order(battery, at);
        } else {
            access::ask(draft, book, &wanted, None);
        }
    }
    if let Some(at) = asked.once(draft, Stage::Secure, &["high-voltage-off"], "high-voltage-off") {
        draft.caution(at, [Caution::HighVoltage, Caution::StoredEnergy]);
    }
    for work in ["clean-bay", "clean-bay-set-up"] {
        if let Some(at) = asked.once(draft, Stage::Secure, &[work], work_word(work)) {
            draft.caution(at, [Caution::AluminiumDust]);
        }
    }
}

fn work_word(work: &str) -> &'static str {
    if work == "clean-bay" { "clean-bay" } else { "clean-bay-set-up" }
}

/// Parts that come back as new ones and the operation that fits each.
fn renewed<'b>(draft: &Draft<'_>, book: &'b Book) -> Vec<(&'b Part, At)> {
    let fits = |work: &str| work == "fit-new" || work == "bond-glass";
    let new = draft.items.iter().enumerate().filter(|(_, item)| fits(item.operation.work));
    new.filter_map(|(at, item)| Some((book.part(item.operation.part.as_ref()?)?, at))).collect()
}

fn measure(draft: &mut Draft<'_>, asked: &Asked<'_>) {
    asked.once(draft, Stage::Measure, &["geometry-measure", "misfit-measure-first"], "geometry-measure");
    asked.once(draft, Stage::Measure, &["frame-measure"], "frame-measure");
    let first: Vec<At> = draft.last_of(Stage::Secure..=Stage::Secure);
    for at in (0..draft.items.len()).filter(|at| draft.stage(*at) == Stage::Measure).collect::<Vec<_>>() {
        for before in &first {
            draft.order(*before, at);
        }
    }
}

/// Whatever waits for nothing waits until the vehicle is safe and measured.
fn start(draft: &mut Draft<'_>) {
    let first = draft.last_of(Stage::Secure..=Stage::Measure);
    for at in 0..draft.items.len() {
        if draft.stage(at) > Stage::Measure && draft.stage(at) != Stage::Refit {
            let waits_for_work = draft.items[at].before.iter().any(|before| draft.stage(*before) > Stage::Measure);
            if !waits_for_work {
                for before in &first {
                    draft.order(*before, at);
                }
            }
        }
    }
}

/// What came off goes back on only when the work to which it made room is done.
fn back(draft: &mut Draft<'_>) {
    let mut done: BTreeMap<&PartId, Vec<At>> = BTreeMap::new();
    for (at, item) in draft.items.iter().enumerate() {
        if let Some(part) = &item.operation.part
            && item.operation.stage > Stage::Measure
            && item.operation.stage < Stage::Refit
        {
            done.entry(part).or_default().push(at);
        }
    }
    for list in done.values_mut() {
        let waited: BTreeSet<At> = list.iter().flat_map(|at| draft.items[*at].before.iter().copied()).collect();
        list.retain(|at| !waited.contains(at));
    }
    let mut edges: Vec<(At, At)> = Vec::new();
    for (_, there, back) in draft.used() {
        let Some(back) = back else { continue };
        for last in draft.items[there].operation.access_for.iter().filter_map(|part| done.get(part)) {
            edges.extend(last.iter().map(|at| (*at, back)));
        }
    }
    for (first, then) in edges {
        draft.order(first, then);
    }
}

fn measure_again(draft: &mut Draft<'_>, asked: &Asked<'_>) {
    if asked.rules("measurement-report").is_empty() {
        return;
    }
    let fits: Vec<At> = (0..draft.items.len())
        .filter(|at| ["fit-section", "fit-part"].contains(&draft.items[*at].operation.work))
        .collect();
    let joins: Vec<At> = (0..draft.items.len()).filter(|at| draft.stage(*at) == Stage::Join).collect();
    if !fits.is_empty() && !joins.is_empty() {
        let at = whole(draft, Stage::Fit, "geometry-at-fit");
        for rule in asked.rules("measurement-report") {
            draft.rule(at, rule);
        }
        for fit in fits {
            draft.order(fit, at);
        }
        for join in joins {
            draft.order(at, join);
        }
    }
}

fn calibrate(draft: &mut Draft<'_>, book: &Book, asked: &Asked<'_>) {
    let together = draft.last_of(Stage::Strip..=Stage::Refit);
    let mut new = Vec::new();
    for (decision, pick) in asked.picked {
        let Some(part) = book.part(&pick.part) else { continue };
        let required = decision
            .option(pick.action)
            .and_then(|option| option.requires.iter().find(|r| r.work == "sensor-calibrate"));
        if let Some(required) = required {
            let at = sensor(draft, part);
            draft.rule(at, &required.rule);
            new.push(at);
        }
    }
    // Taking a sensor or a lamp off and on again moves it too.
    let removed: Vec<&Part> =
        draft.used().flat_map(|(work, _, _)| work.removes.iter()).filter_map(|id| book.part(id)).collect();
    for part in &removed {
        if part.has("sensor") {
            new.push(sensor(draft, part));
        }
    }
    let aims = removed.iter().any(|part| part.has("lamp") && part.has("aim"));
    new.extend(asked.once(draft, Stage::Calibrate, &["lamp-aim"], "lamp-aim"));
    if aims {
        new.push(whole(draft, Stage::Calibrate, "lamp-aim"));
    }
    let steering = removed.iter().any(|part| part.has("aim") && part.role == Role::Mechanical);
    if let Some(at) = asked.once(draft, Stage::Calibrate, &["wheel-alignment"], "wheel-alignment") {
        draft.caution(at, [Caution::Lifting]);
        new.push(at);
    } else if steering {
        let at = whole(draft, Stage::Calibrate, "wheel-alignment");
        draft.caution(at, [Caution::Lifting]);
        new.push(at);
    }
    for at in new {
        for before in &together {
            draft.order(*before, at);
        }
    }
}

fn sensor(draft: &mut Draft<'_>, part: &Part) -> At {
    draft.add(Stage::Calibrate, "sensor-calibrate", Some(&part.id), None, || part::words("sensor-calibrate", part))
}

fn inspect(draft: &mut Draft<'_>, book: &Book, asked: &Asked<'_>) {
    let mut done = draft.last_of(Stage::Strip..=Stage::Calibrate);
    if done.is_empty() {
        // A job that is wholly referred is still measured first.
        done = draft.last_of(Stage::Secure..=Stage::Measure);
    }
    let report = asked.once(draft, Stage::Inspect, &["measurement-report"], "measurement-report");
    let list = asked.once(draft, Stage::Inspect, &["restraint-inspection"], "restraint-inspection");
    if let Some(at) = list {
        draft.caution(at, [Caution::Restraints, Caution::StoredEnergy]);
    }
    let worked = (0..draft.items.len()).any(|at| draft.stage(at) >= Stage::Strip && draft.stage(at) < Stage::Inspect);
    let last = worked.then(|| whole(draft, Stage::Inspect, "final-inspection"));
    for at in [report, list, last].into_iter().flatten() {
        for before in &done {
            draft.order(*before, at);
        }
    }
    let drives = asked.picked.iter().any(|(_, pick)| {
        matches!(pick.action, Action::Repair | Action::Section | Action::Replace)
            && book
                .part(&pick.part)
                .is_some_and(|part| matches!(part.role, Role::Structural | Role::Frame | Role::Mechanical))
    });
    let wheels = draft.used().any(|(work, _, _)| {
        work.removes.iter().filter_map(|id| book.part(id)).any(|part| part.role == Role::Mechanical)
    });
    if worked && (drives || wheels) {
        let before = draft.last_of(Stage::Inspect..=Stage::Inspect);
        let at = whole(draft, Stage::RoadTest, "road-test");
        for one in before {
            draft.order(one, at);
        }
    }
}
