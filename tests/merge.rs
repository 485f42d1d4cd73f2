//! Several devices edit one job, apart and together: the same changes give the same job, byte for byte, in whatever
//! order they arrive; nothing is lost; undo is exact. Histories are random; a failing one is named by its seed.
//!
//! The oracle is a second, naive fold written here from the rules in words: the latest (time, id) wins a field; a mark
//! is there while some write of it was seen by no removal.

#[path = "jobs/random.rs"]
mod random;

use checks::Numbers;
use model::damage::{Mark, MarkShape};
use model::ids::{MarkId, PartId};
use model::job::{
    Change, ChangeId, Command, DeviceId, Field, Job, JobId, Log, MarkField, Op, Session, Stamp, Write, wire,
};
use model::terms::{Action, Coat, MarkKind, View};
use random::{command, start};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

fn device(name: &str) -> DeviceId {
    DeviceId::from(name)
}

fn exchange(from: &Session, to: &mut Session) {
    for change in from.log().changes() {
        to.receive(change.clone()).expect("a change of the same job");
    }
}

fn dent(part: &str) -> Mark {
    Mark {
        part: PartId::from(part),
        view: View::Left,
        shape: MarkShape::Ellipse { at: [120, 820], radii: [180, 120], turn_deg: 0 },
        kind: MarkKind::Dent,
        depth_mm: 18,
        coat: Coat::ThroughColour,
        sharp: true,
        count: 0,
        note: String::new(),
    }
}

fn add(session: &mut Session, id: &str, part: &str, now: u64) {
    session
        .apply(&Command::AddMark { id: MarkId::from(id), mark: dent(part) }, now)
        .expect("a good mark")
        .expect("a change");
}

fn edit(session: &mut Session, id: &str, set: MarkField, now: u64) {
    let command = Command::EditMark { id: MarkId::from(id), fields: vec![set] };
    session.apply(&command, now).expect("a good edit").expect("a change");
}

/// Two devices with the same job and one mark.
fn pair() -> (Session, Session) {
    let mut one = start(device("one"), 1_000);
    add(&mut one, "m1", "fender-left", 2_000);
    let two = Session::open(one.log().clone(), device("two")).expect("the same job");
    (one, two)
}

fn join(one: &mut Session, two: &mut Session) {
    exchange(one, two);
    exchange(two, one);
    assert_eq!(wire::write_file(one), wire::write_file(two));
    assert_eq!(one.conflicts(), two.conflicts());
}

/// The naive fold.
fn oracle(changes: &[Arc<Change>]) -> (BTreeMap<String, String>, BTreeSet<MarkId>) {
    let mut fields: BTreeMap<Field, (Stamp, ChangeId, Write)> = BTreeMap::new();
    let mut touched: BTreeSet<(MarkId, ChangeId)> = BTreeSet::new();
    let mut removed: BTreeSet<(MarkId, ChangeId)> = BTreeSet::new();
    for change in changes {
        for Op { write, over } in &change.body().ops {
            if let Write::RemoveMark(mark) = write {
                removed.extend(over.iter().map(|id| (mark.clone(), *id)));
                continue;
            }
            if let Write::Mark { id, .. } = write {
                touched.insert((id.clone(), change.id()));
            }
            let new = (change.body().at, change.id(), write.clone());
            let old = fields.entry(write.field()).or_insert_with(|| new.clone());
            if (new.0, new.1) >= (old.0, old.1) {
                *old = new;
            }
        }
    }
    let marks = touched.difference(&removed).map(|(mark, _)| mark.clone()).collect();
    let words = fields.into_iter().map(|(field, (_, _, write))| (format!("{field:?}"), format!("{write:?}"))).collect();
    (words, marks)
}

/// Holds a job against the naive fold.
fn agrees(session: &Session) {
    let changes: Vec<Arc<Change>> = session.log().changes().rev().cloned().collect();
    let (fields, marks) = oracle(&changes);
    let job = session.job();
    assert_eq!(job.marks.keys().cloned().collect::<BTreeSet<_>>(), marks);
    let shown = |field: Field| fields.get(&format!("{field:?}")).cloned();
    let same = |field: Field, write: Write, default: bool| match shown(field) {
        Some(known) => assert_eq!(known, format!("{write:?}")),
        None => assert!(default, "{write:?} was written by nobody"),
    };
    same(Field::Title, Write::Title(job.title.clone()), job.title.is_empty());
    same(Field::Note, Write::Note(job.note.clone()), job.note.is_empty());
    same(Field::RestraintsDeployed, Write::RestraintsDeployed(job.restraints_deployed), !job.restraints_deployed);
    for (part, action) in &job.holds {
        same(Field::Hold(part.clone()), Write::Hold { part: part.clone(), action: Some(*action) }, false);
    }
    for (id, mark) in &job.marks {
        for set in [MarkField::Kind(mark.kind), MarkField::DepthMm(mark.depth_mm), MarkField::Sharp(mark.sharp)] {
            let default = matches!(set, MarkField::DepthMm(0) | MarkField::Sharp(false));
            same(Field::Mark(id.clone(), set.name()), Write::Mark { id: id.clone(), set }, default);
        }
    }
}

#[test]
fn any_order_any_batches_any_repeats_give_the_same_job() {
    for seed in 0..250 {
        let mut numbers = Numbers::new(seed);
        let first = start(device("a"), 1_000_000);
        let mut devices: Vec<Session> = ["a", "b", "c"]
            .iter()
            .map(|name| Session::open(first.log().clone(), device(name)).expect("a job"))
            .collect();
        // One clock runs behind and one ahead.
        let clock = |at: usize, step: u64| 1_000_000 + step * 500 + [0, 90_000, 3_600_000][at];
        for step in 0..60 {
            let at = numbers.below(3);
            match numbers.below(10) {
                0..=5 => {
                    let wish = command(&mut numbers, devices[at].job());
                    let before = devices[at].job().clone();
                    if devices[at].apply(&wish, clock(at, step)).is_err() {
                        assert_eq!(&before, devices[at].job(), "seed {seed}: a refused command changed the job");
                    }
                }
                6 => drop(devices[at].undo(clock(at, step))),
                7 => drop(devices[at].redo(clock(at, step))),
                _ => {
                    // Some of another device's changes arrive, not all and in no order.
                    let other = (at + 1 + numbers.below(2)) % 3;
                    let changes: Vec<_> = devices[other].log().changes().cloned().collect();
                    for _ in 0..numbers.below(8) {
                        let one = changes[numbers.below(changes.len())].clone();
                        devices[at].receive(one).expect("a change of the same job");
                    }
                }
            }
        }
        let mut all: Vec<Arc<Change>> =
            devices.iter().flat_map(|d| d.log().changes().cloned().collect::<Vec<_>>()).collect();
        let mut texts = BTreeSet::new();
        for one in &mut devices {
            for _ in 0..all.len() {
                let (a, b) = (numbers.below(all.len()), numbers.below(all.len()));
                all.swap(a, b);
            }
            for change in &all {
                one.receive(change.clone()).expect("a change of the same job");
            }
            agrees(one);
            texts.insert(wire::write_file(one));
        }
        let mut log = Log::default();
        for change in &all {
            log.add(change.clone());
        }
        texts.insert(wire::write_file(&Session::open(log, device("reader")).expect("a job")));
        assert_eq!(texts.len(), 1, "seed {seed}");
        // And the file says all of it.
        let text = texts.pop_first().expect("one");
        let again = wire::read_file(&text).unwrap_or_else(|error| panic!("seed {seed}: {error}")).open(device("z"));
        assert_eq!(wire::write_file(&again.expect("opens")), text, "seed {seed}");
    }
}

#[test]
fn undo_goes_back_step_by_step_and_redo_forth_also_after_a_kill() {
    for seed in 0..200 {
        let mut numbers = Numbers::new(seed);
        let mut session = start(device("a"), 1_000);
        assert!(!session.can_undo() && !session.can_redo(), "a new job has nothing to take back");
        let mut states: Vec<Job> = vec![(**session.job()).clone()];
        for step in 0..12 {
            let wish = command(&mut numbers, session.job());
            if let Ok(Some(_)) = session.apply(&wish, 2_000 + step) {
                states.push((**session.job()).clone());
            }
        }
        let mut at = states.len() - 1;
        for step in 0..60 {
            // The tab is killed at every step: only the log is left.
            session = Session::open(session.log().clone(), device("a")).expect("a job");
            assert_eq!(session.can_undo(), at > 0, "seed {seed}, state {at}");
            assert_eq!(session.can_redo(), at + 1 < states.len(), "seed {seed}, state {at}");
            if numbers.below(2) == 0 {
                assert_eq!(session.undo(9_000 + step).is_some(), at > 0);
                at = at.saturating_sub(1);
            } else {
                assert_eq!(session.redo(9_000 + step).is_some(), at + 1 < states.len());
                at = (at + 1).min(states.len() - 1);
            }
            assert_eq!(**session.job(), states[at], "seed {seed}, state {at}");
        }
    }
}

#[test]
fn a_new_edit_after_undo_ends_redo() {
    let (mut one, _) = pair();
    one.undo(3_000).expect("the mark");
    assert!(one.job().marks.is_empty() && one.can_redo());
    one.apply(&Command::SetNote("other".into()), 4_000).expect("a note");
    assert!(!one.can_redo() && one.redo(5_000).is_none());
}

#[test]
fn undo_leaves_what_somebody_else_wrote_since() {
    let (mut one, mut two) = pair();
    edit(&mut one, "m1", MarkField::DepthMm(30), 3_000);
    exchange(&one, &mut two);
    edit(&mut two, "m1", MarkField::DepthMm(44), 4_000);
    join(&mut one, &mut two);
    // The step that still stands is the mark itself; the depth is the other's by now.
    one.undo(5_000).expect("an earlier step");
    assert!(one.job().marks.is_empty(), "the mark was this device's");
    assert!(!two.can_undo() || two.undo(6_000).is_some());
}

#[test]
fn an_edit_at_the_time_of_a_removal_keeps_the_mark_and_shows_it() {
    let (mut one, mut two) = pair();
    one.apply(&Command::RemoveMark { id: MarkId::from("m1") }, 3_000).expect("there").expect("a change");
    assert!(one.job().marks.is_empty());
    edit(&mut two, "m1", MarkField::DepthMm(44), 2_500);
    join(&mut one, &mut two);
    let mark = &one.job().marks[&MarkId::from("m1")];
    assert_eq!((mark.depth_mm, mark.part.as_str(), mark.sharp), (44, "fender-left", true), "every field is there");
    let conflicts = one.conflicts();
    assert_eq!(conflicts.len(), 1);
    assert_eq!(conflicts[0].mark(), Some(&MarkId::from("m1")));
    assert_eq!(conflicts[0].lost[0].write, Write::RemoveMark(MarkId::from("m1")));
    // Editing it further answers the removal; so does removing it now that the edit was seen.
    let mut kept = one.clone();
    edit(&mut kept, "m1", MarkField::DepthMm(45), 5_000);
    assert!(kept.conflicts().is_empty() && kept.job().marks.len() == 1);
    one.apply(&Command::Settle(Write::RemoveMark(MarkId::from("m1"))), 5_000).expect("there");
    assert!(one.conflicts().is_empty() && one.job().marks.is_empty());
}

#[test]
fn a_removal_that_saw_the_edit_removes() {
    let (mut one, mut two) = pair();
    edit(&mut two, "m1", MarkField::DepthMm(44), 2_500);
    exchange(&two, &mut one);
    one.apply(&Command::RemoveMark { id: MarkId::from("m1") }, 3_000).expect("there");
    join(&mut one, &mut two);
    assert!(two.job().marks.is_empty() && two.conflicts().is_empty());
}

#[test]
fn two_values_at_the_same_time_one_wins_everywhere_and_the_other_can_be_read() {
    let (mut one, mut two) = pair();
    edit(&mut one, "m1", MarkField::DepthMm(30), 3_000);
    edit(&mut two, "m1", MarkField::DepthMm(44), 3_500);
    two.apply(&Command::SetTitle("two".into()), 3_600).expect("a title");
    join(&mut one, &mut two);
    assert_eq!(one.job().marks[&MarkId::from("m1")].depth_mm, 44, "the later one");
    let conflicts = one.conflicts();
    assert_eq!(conflicts.len(), 1, "the title was written by one only");
    let lost = &conflicts[0].lost[0];
    assert_eq!(
        (lost.by.0.as_str(), &lost.write),
        ("one", &Write::Mark { id: MarkId::from("m1"), set: MarkField::DepthMm(30) })
    );
    // Settled for the loser, on one device; the other learns it.
    one.apply(&Command::Settle(lost.write.clone()), 4_000).expect("settled").expect("a change");
    join(&mut one, &mut two);
    assert_eq!(two.job().marks[&MarkId::from("m1")].depth_mm, 30);
    assert!(two.conflicts().is_empty());
}

#[test]
fn the_same_value_at_the_same_time_is_no_conflict() {
    let (mut one, mut two) = pair();
    for session in [&mut one, &mut two] {
        let hold = Command::Hold { part: PartId::from("hood"), action: Some(Action::Replace) };
        session.apply(&hold, 3_000).expect("a hold").expect("a change");
    }
    join(&mut one, &mut two);
    assert!(one.conflicts().is_empty());
}

#[test]
fn a_clock_set_back_never_loses_the_later_edit() {
    let (mut one, _) = pair();
    edit(&mut one, "m1", MarkField::DepthMm(30), 50_000);
    edit(&mut one, "m1", MarkField::DepthMm(31), 10);
    assert_eq!(one.job().marks[&MarkId::from("m1")].depth_mm, 31);
    assert!(!one.clock_is_ahead(50_000));
    edit(&mut one, "m1", MarkField::DepthMm(32), 400 * 86_400_000);
    assert!(one.clock_is_ahead(50_000));
}

#[test]
fn two_tabs_with_one_device_name_lose_nothing() {
    let (one, _) = pair();
    let mut left = Session::open(one.log().clone(), device("one")).expect("a job");
    let mut right = Session::open(one.log().clone(), device("one")).expect("a job");
    add(&mut left, "m2", "hood", 3_000);
    add(&mut right, "m3", "hood", 3_000);
    join(&mut left, &mut right);
    assert_eq!(left.job().marks.len(), 3);
}

#[test]
fn what_changes_nothing_is_no_step() {
    let (mut one, _) = pair();
    let count = one.log().len();
    let same = Command::EditMark { id: MarkId::from("m1"), fields: vec![MarkField::DepthMm(18)] };
    assert_eq!(one.apply(&same, 3_000), Ok(None));
    assert_eq!(one.apply(&Command::SetNote(String::new()), 3_000), Ok(None));
    assert_eq!(one.log().len(), count);
}

#[test]
fn wrong_commands_are_refused_with_the_field() {
    let (mut one, _) = pair();
    let before = one.job().clone();
    let mut bad = dent("hood");
    bad.depth_mm = 5_000;
    let id = MarkId::from;
    let cases = [
        (Command::AddMark { id: id("m1"), mark: dent("hood") }, "marks.m1"),
        (Command::AddMark { id: id("m2"), mark: bad }, "marks.m2.depth_mm"),
        (Command::AddMark { id: id("M 2"), mark: dent("hood") }, "marks"),
        (Command::EditMark { id: id("m9"), fields: vec![] }, "marks.m9"),
        (Command::RemoveMark { id: id("m9") }, "marks.m9"),
        (Command::SetReceived("tomorrow".into()), "received"),
        (Command::SetTitle("x".repeat(201)), "title"),
    ];
    for (command, place) in cases {
        assert_eq!(one.apply(&command, 3_000).expect_err("refused").place, place);
    }
    assert_eq!(one.job(), &before);
}

#[test]
fn changes_of_another_job_stay_out() {
    let (mut one, _) = pair();
    let mut job = Job::empty(JobId::from("other"));
    job.title = "Other".into();
    let other = Session::create(&job, device("x"), 5_000).expect("a job");
    let change = other.log().changes().next().expect("one").clone();
    assert!(one.receive(change).is_err());
}
