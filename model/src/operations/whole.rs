//! Work on the whole vehicle: making it safe, measuring, calibrating, inspecting, the way back of access work.
//!
//! Runs once after all parts have said what they need; each of these operations appears at most once in a plan (a
//! sensor once for its part).

use super::access;
use super::draft::{At, Draft, On};
use super::{blend, shared};
use crate::catalogue::Part;
use crate::decide::{Circumstances, Decision, Pick};
use crate::ids::RuleId;
use crate::terms::{Action, Caution, ColourFamily, Role, Stage, Work};

/// Adds all work on the whole vehicle and ties it to the work on its parts. `at_fit` are the rules that want new parts
/// measured once they are clamped.
pub(super) fn add<'b>(
    draft: &mut Draft<'b>,
    picked: &[(&'b Decision, &Pick)],
    at_fit: &[&'b RuleId],
    circumstances: &Circumstances,
) {
    let asked = Asked { picked };
    let picks: Vec<&Pick> = picked.iter().map(|(_, pick)| *pick).collect();
    shared::count_once(draft, &picks);
    secure(draft, &asked, circumstances);
    refinish(draft, circumstances.colour_family);
    let renewed = renewed(draft);
    access::refit(draft, &renewed);
    measure(draft, &asked);
    if draft.told {
        start(draft);
        back(draft);
    }
    measure_again(draft, at_fit);
    calibrate(draft, &asked);
    inspect(draft, &asked);
}

struct Asked<'d, 'b> {
    picked: &'d [(&'b Decision, &'d Pick)],
}

impl<'b> Asked<'_, 'b> {
    /// Rules that require this work with a chosen action; empty where none does.
    fn rules(&self, work: &str) -> impl Iterator<Item = &'b RuleId> {
        let chosen = self.picked.iter().filter_map(|(decision, pick)| decision.option(pick.action));
        let required = chosen.flat_map(|option| option.requires.iter());
        required.filter(move |required| required.work == work).map(|required| &required.rule)
    }

    /// Adds one operation on the whole vehicle if a rule requires one of these works.
    fn once(&self, draft: &mut Draft<'b>, stage: Stage, works: &[&str], name: Work) -> Option<At> {
        let mut at = None;
        for rule in works.iter().flat_map(|work| self.rules(work)) {
            let at = *at.get_or_insert_with(|| draft.once(stage, name, On::Vehicle));
            draft.rule(at, rule);
        }
        at
    }

    /// The part and the action of each pick.
    fn actions<'d>(&'d self, draft: &Draft<'b>) -> impl Iterator<Item = (&'b Part, Action)> + 'd {
        let book = draft.book;
        self.picked.iter().filter_map(move |(_, pick)| Some((book.part(&pick.part)?, pick.action)))
    }
}

fn secure<'b>(draft: &mut Draft<'b>, asked: &Asked<'_, 'b>, circumstances: &Circumstances) {
    let body = |part: &Part| matches!(part.role, Role::Structural | Role::BondedOuter | Role::Closure);
    let touches_restraints = asked.actions(draft).any(|(part, action)| match action {
        Action::Section | Action::Replace => body(part) || part.has("restraint"),
        Action::Repair => part.role == Role::Structural || part.has("restraint"),
        _ => false,
    });
    if touches_restraints || draft.warns(Caution::Restraints) || circumstances.restraints_deployed {
        let wanted = &draft.facts.restraints;
        if wanted.direct.is_empty() {
            let battery = draft.once(Stage::Secure, Work::BatteryOff, On::Vehicle);
            let at = draft.once(Stage::Secure, Work::RestraintsSafe, On::Vehicle);
            draft.caution(battery, [Caution::StoredEnergy]);
            draft.caution(at, [Caution::Restraints, Caution::StoredEnergy]);
            draft.order(battery, at);
        } else {
            access::ask(draft, wanted, None);
        }
    }
    if let Some(at) = asked.once(draft, Stage::Secure, &["high-voltage-off"], Work::HighVoltageOff) {
        draft.caution(at, [Caution::HighVoltage, Caution::StoredEnergy]);
    }
    for (required, work) in [("clean-bay", Work::CleanBay), ("clean-bay-set-up", Work::CleanBaySetUp)] {
        if let Some(at) = asked.once(draft, Stage::Secure, &[required], work) {
            draft.caution(at, [Caution::AluminiumDust]);
        }
    }
}

/// Colour and booth once for all panels, and the blend of each painted neighbour into which the colour is blended and that
/// is not refinished itself.
fn refinish(draft: &mut Draft<'_>, family: Option<ColourFamily>) {
    let panels: Vec<(At, usize)> = painted(draft, Work::RefinishPanel).collect();
    if panels.is_empty() {
        return;
    }
    let mix = draft.add(Stage::Refinish, Work::RefinishSetUp, On::Vehicle);
    draft.caution(mix, [Caution::Isocyanates]);
    let facts = draft.facts;
    for (at, part) in &panels {
        for rule in draft.items[*at].rules.clone() {
            draft.rule(mix, rule);
        }
        draft.order(mix, *at);
        for beside in &facts.parts[*part].beside {
            if panels.iter().any(|(_, known)| *known == beside.at) || !blend::verdict(family, beside).blends {
                continue;
            }
            let blend = draft.once(Stage::Refinish, Work::Blend, On::Part(beside.at));
            draft.amount(blend).area_mm2 = facts.parts[beside.at].area_mm2;
            draft.caution(blend, [Caution::Isocyanates]);
            draft.order(*at, blend);
        }
    }
}

fn painted<'d>(draft: &'d Draft<'_>, work: Work) -> impl Iterator<Item = (At, usize)> + 'd {
    draft.items.iter().enumerate().filter_map(move |(at, item)| match item.on {
        On::Part(part) if item.work == work => Some((at, part)),
        _ => None,
    })
}

/// New parts that go on with the way back of access work, and the operation that makes each ready.
fn renewed(draft: &Draft<'_>) -> Vec<(usize, At)> {
    painted(draft, Work::MakeReady).map(|(at, part)| (part, at)).collect()
}

fn measure<'b>(draft: &mut Draft<'b>, asked: &Asked<'_, 'b>) {
    asked.once(draft, Stage::Measure, &["geometry-measure", "misfit-measure-first"], Work::GeometryMeasure);
    asked.once(draft, Stage::Measure, &["frame-measure"], Work::FrameMeasure);
    let first: Vec<At> = draft.last_of(Stage::Secure..=Stage::Secure);
    for at in draft.within(Stage::Measure..=Stage::Measure) {
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
    let mut waited = vec![false; draft.items.len()];
    let on_part = |at: At| match draft.items[at].on {
        On::Part(part) if draft.stage(at) > Stage::Measure && draft.stage(at) < Stage::Refit => Some(part),
        _ => None,
    };
    let mut done: Vec<(usize, At)> = (0..draft.items.len()).filter_map(|at| Some((on_part(at)?, at))).collect();
    for (part, at) in &done {
        for first in draft.items[*at].before.iter().filter(|first| on_part(**first) == Some(*part)) {
            waited[*first] = true;
        }
    }
    done.retain(|(_, at)| !waited[*at]);
    done.sort_unstable();
    let mut edges: Vec<(At, At)> = Vec::new();
    for (_, there, back) in draft.used() {
        let Some(back) = back else { continue };
        for part in &draft.items[there].room_for {
            let from = done.partition_point(|(known, _)| known < part);
            let last = done[from..].iter().take_while(|(known, _)| known == part);
            edges.extend(last.map(|(_, at)| (*at, back)));
        }
    }
    for (first, then) in edges {
        draft.order(first, then);
    }
}

fn measure_again<'b>(draft: &mut Draft<'b>, at_fit: &[&'b RuleId]) {
    if at_fit.is_empty() {
        return;
    }
    let at = draft.add(Stage::Fit, Work::GeometryAtFit, On::Vehicle);
    for rule in at_fit {
        draft.rule(at, rule);
    }
    for fit in draft.within(Stage::Fit..=Stage::Fit) {
        if [Work::FitSection, Work::FitPart].contains(&draft.items[fit].work) {
            draft.order(fit, at);
        }
    }
    for join in draft.within(Stage::Join..=Stage::Join) {
        draft.order(at, join);
    }
}

fn calibrate<'b>(draft: &mut Draft<'b>, asked: &Asked<'_, 'b>) {
    let together = draft.last_of(Stage::Strip..=Stage::Refit);
    let book = draft.book;
    let mut new = Vec::new();
    for (decision, pick) in asked.picked {
        let Some(part) = book.index.get(&pick.part) else { continue };
        let option = decision.option(pick.action);
        let required = option.and_then(|option| option.requires.iter().find(|one| one.work == "sensor-calibrate"));
        if let Some(required) = required {
            let at = draft.once(Stage::Calibrate, Work::SensorCalibrate, On::Part(*part));
            draft.rule(at, &required.rule);
            new.push(at);
        }
    }
    // Taking a sensor or a lamp off and on again moves it too.
    let removed = removed(draft);
    for at in removed.iter().copied().filter(|at| book.parts[*at].has("sensor")) {
        new.push(draft.once(Stage::Calibrate, Work::SensorCalibrate, On::Part(at)));
    }
    let moved = |test: fn(&Part) -> bool| removed.iter().any(|at| test(&book.parts[*at]));
    new.extend(asked.once(draft, Stage::Calibrate, &["lamp-aim"], Work::LampAim));
    if moved(|part| part.has("lamp") && part.has("aim")) {
        new.push(draft.once(Stage::Calibrate, Work::LampAim, On::Vehicle));
    }
    let mut alignment = asked.once(draft, Stage::Calibrate, &["wheel-alignment"], Work::WheelAlignment);
    if alignment.is_none() && moved(|part| part.has("aim") && part.role == Role::Mechanical) {
        alignment = Some(draft.add(Stage::Calibrate, Work::WheelAlignment, On::Vehicle));
    }
    if let Some(at) = alignment {
        draft.caution(at, [Caution::Lifting]);
        new.push(at);
    }
    for at in new {
        for before in &together {
            draft.order(*before, at);
        }
    }
}

/// Parts that access work in use takes off.
fn removed(draft: &Draft<'_>) -> Vec<usize> {
    draft.used().flat_map(|(place, _, _)| draft.facts.works[place].removes.iter().copied()).collect()
}

fn inspect<'b>(draft: &mut Draft<'b>, asked: &Asked<'_, 'b>) {
    let mut done = draft.last_of(Stage::Strip..=Stage::Calibrate);
    if done.is_empty() {
        // A job that is wholly referred is still measured first.
        done = draft.last_of(Stage::Secure..=Stage::Measure);
    }
    let report = asked.once(draft, Stage::Inspect, &["measurement-report"], Work::MeasurementReport);
    let list = asked.once(draft, Stage::Inspect, &["restraint-inspection"], Work::RestraintInspection);
    if let Some(at) = list {
        draft.caution(at, [Caution::Restraints, Caution::StoredEnergy]);
    }
    let worked = (0..draft.items.len()).any(|at| draft.stage(at) >= Stage::Strip && draft.stage(at) < Stage::Inspect);
    let last = worked.then(|| draft.add(Stage::Inspect, Work::FinalInspection, On::Vehicle));
    for at in [report, list, last].into_iter().flatten() {
        for before in &done {
            draft.order(*before, at);
        }
    }
    let drives = asked.actions(draft).any(|(part, action)| {
        matches!(action, Action::Repair | Action::Section | Action::Replace)
            && matches!(part.role, Role::Structural | Role::Frame | Role::Mechanical)
    });
    let wheels = removed(draft).into_iter().any(|at| draft.book.parts[at].role == Role::Mechanical);
    if drives || wheels {
        let before = draft.last_of(Stage::Inspect..=Stage::Inspect);
        let at = draft.add(Stage::RoadTest, Work::RoadTest, On::Vehicle);
        for one in before {
            draft.order(one, at);
        }
    }
}
