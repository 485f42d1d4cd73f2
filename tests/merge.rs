//! Several devices edit one job, apart and together: the same changes give the same job, byte for byte, in whatever
//! order they arrive; nothing is lost; undo is exact. Histories are random; a failing one is named by its seed.
//!
//! The oracle is a second, naive fold written here from the rules in words: the latest (time, id) wins a field; a mark
//! is there while some write of it was seen by no removal.

#[path = "jobs/random.rs"]
mod random;

use checks::Numbers;
use model::damage::{Mark, MarkShape};
use model::ids::{CellId, CutId, MarkId, PartId};
use model::job::{
    Change, ChangeId, Command, DeviceId, Field, Job, JobId, Log, MarkField, Op, OptionHold, Revision, Session, Stamp,
    VehicleValue, Write, wire,
};
use model::terms::{Action, Aim, Coat, MarkKind, Route, View};
use random::{command, revision, start};
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
            if let Write::Freeze(_) = write {
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
    same(Field::Aim, Write::Aim(job.aim), job.aim.is_none());
    same(Field::Value, Write::Value(job.value.clone()), job.value.is_none());
    for (part, option) in &job.options {
        let write = Write::HoldOption { part: part.clone(), option: Some(option.clone()) };
        same(Field::HoldOption(part.clone()), write, false);
    }
    // Every revision that anybody froze is there, in the order of time.
    let mut frozen: Vec<(Stamp, ChangeId, usize, Arc<Revision>)> = Vec::new();
    for change in &changes {
        for (place, op) in change.body().ops.iter().enumerate() {
            if let Write::Freeze(revision) = &op.write {
                frozen.push((change.body().at, change.id(), place, revision.clone()));
            }
        }
    }
    frozen.sort_by_key(|(at, id, place, _)| (*at, *id, *place));
    assert_eq!(frozen.into_iter().map(|(.., revision)| revision).collect::<Vec<_>>(), job.revisions);
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

fn without_revisions(job: &Job) -> Job {
    Job { revisions: Vec::new(), ..job.clone() }
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
            if let Ok(Some(_)) = session.apply(&wish, 2_000 + step)
                && !matches!(wish, Command::Freeze(_))
            {
                states.push(without_revisions(session.job()));
            }
        }
        let frozen = session.job().revisions.clone();
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
            let mut now = without_revisions(session.job());
            // A photo whose taking was taken back waits in the bin.
            now.photos.retain(|id, photo| states[at].photos.contains_key(id) || photo.binned.is_none());
            assert_eq!(now, states[at], "seed {seed}, state {at}");
            assert_eq!(session.job().revisions, frozen, "seed {seed}: what was given out stays");
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
    let none = OptionHold::default;
    let hold = |option| Command::HoldOption { part: PartId::from("hood"), action: None, option: Some(option) };
    let freeze = |spoil: fn(&mut Revision)| {
        let mut given = given(&before);
        spoil(&mut given);
        Command::Freeze(Arc::new(given))
    };
    let cases = [
        (Command::AddMark { id: id("m1"), mark: dent("hood") }, "marks.m1"),
        (Command::AddMark { id: id("m2"), mark: bad }, "marks.m2.depth_mm"),
        (Command::AddMark { id: id("M 2"), mark: dent("hood") }, "marks"),
        (Command::EditMark { id: id("m9"), fields: vec![] }, "marks.m9"),
        (Command::RemoveMark { id: id("m9") }, "marks.m9"),
        (Command::SetReceived("tomorrow".into()), "received"),
        (Command::SetTitle("x".repeat(201)), "title"),
        (Command::SetValue(Some(VehicleValue { minor: -1, currency: "EUR".into() })), "value.minor"),
        (Command::SetValue(Some(VehicleValue { minor: 1, currency: "eur".into() })), "value.currency"),
        (
            hold(OptionHold { cells: (0..65).map(|n| CellId::from(format!("c{n}"))).collect(), ..none() }),
            "options.hood.cells",
        ),
        (hold(OptionHold { cells: vec![CellId::from("A b")], ..none() }), "options.hood.cells"),
        (hold(OptionHold { moves: [(CutId::from("x"), 1_001)].into(), ..none() }), "options.hood.moves.x"),
        (hold(OptionHold { moves: [(CutId::from("x"), i32::MIN)].into(), ..none() }), "options.hood.moves.x"),
        (freeze(|revision| revision.total += 1), "revisions.total"),
        (freeze(|revision| revision.seconds += 1), "revisions.total"),
        (freeze(|revision| revision.lines.push(revision.lines[0].clone())), "revisions.lines.line-0"),
        (freeze(|revision| revision.day = "today".into()), "revisions.day"),
        (freeze(|revision| revision.name = "x".repeat(201)), "revisions.name"),
        (freeze(|revision| revision.digits = 3), "revisions.digits"),
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

/// A revision of a job, the same at each call.
fn given(job: &Job) -> Revision {
    revision(&mut Numbers::new(5), job)
}

fn freeze(session: &mut Session, name: &str, now: u64) {
    let revision = Revision { name: name.into(), ..given(session.job()) };
    session.apply(&Command::Freeze(Arc::new(revision)), now).expect("a good revision").expect("a change");
}

fn names(session: &Session) -> Vec<&str> {
    session.job().revisions.iter().map(|revision| revision.name.as_str()).collect()
}

#[test]
fn two_devices_freeze_at_the_same_time_and_both_stay() {
    let (mut one, mut two) = pair();
    freeze(&mut one, "for the owner", 3_000);
    freeze(&mut two, "for the file", 2_900);
    let marks: Vec<String> = one.job().revisions.iter().map(|revision| revision.check_mark()).collect();
    join(&mut one, &mut two);
    assert_eq!(names(&one), ["for the file", "for the owner"], "in the order of time");
    assert!(one.conflicts().is_empty());
    // The number may move when another tablet's revision arrives; what is printed to know it by does not.
    assert_eq!(one.job().revisions[1].check_mark(), marks[0]);
    assert_ne!(one.job().revisions[0].check_mark(), marks[0]);
}

#[test]
fn a_frozen_revision_is_never_taken_back_and_undo_passes_it() {
    let (mut one, _) = pair();
    edit(&mut one, "m1", MarkField::DepthMm(30), 3_000);
    assert_eq!(one.undo_passes(), None);
    freeze(&mut one, "for the owner", 4_000);
    let before = one.job().revisions.clone();
    assert_eq!(one.undo_passes(), Some(1), "it is said that revision 1 stays");
    one.undo(5_000).expect("the depth");
    assert_eq!(one.job().marks[&MarkId::from("m1")].depth_mm, 18);
    assert!(one.can_redo(), "freezing ended nothing");
    one.redo(5_500).expect("the depth again");
    while one.undo(6_000).is_some() {}
    assert!(one.job().marks.is_empty() && one.job().revisions == before);
    while one.redo(7_000).is_some() {}
    assert_eq!(one.job().revisions, before, "nor does redo freeze it twice");
    // An edit after the freeze is taken back without a word about the revision.
    edit(&mut one, "m1", MarkField::DepthMm(31), 8_000);
    assert_eq!(one.undo_passes(), None);
    // Even a change that claims to undo it does not.
    let frozen = one.log().changes().find(|change| matches!(change.body().ops[0].write, Write::Freeze(_)));
    let mut body = one.log().changes().next_back().expect("some").body().clone();
    body.undoes = Some(frozen.expect("there").id());
    one.receive(Arc::new(Change::new(body))).expect("a change of the same job");
    assert!(!one.can_redo() || one.redo(9_000).is_some());
    assert_eq!(one.job().revisions, before);
}

#[test]
fn the_same_plan_given_out_twice_is_one_revision_until_something_changes() {
    let (mut one, _) = pair();
    freeze(&mut one, "for the owner", 3_000);
    let again = Command::Freeze(one.job().revisions[0].clone());
    assert_eq!(one.apply(&again, 3_001), Ok(None), "a double tap");
    freeze(&mut one, "for the shop", 3_002);
    one.apply(&again, 3_003).expect("fine").expect("given out once more");
    assert_eq!(names(&one), ["for the owner", "for the shop", "for the owner"]);
}

#[test]
fn what_is_held_to_for_a_part_is_one_step_and_has_one_written_form() {
    let (mut one, mut two) = pair();
    let option = OptionHold {
        route: Some(Route::Bonded),
        cells: ["rear", "front", "rear"].map(CellId::from).to_vec(),
        moves: [(CutId::from("upper"), 0), (CutId::from("lower"), -12)].into(),
    };
    let part = PartId::from("hood");
    let hold = Command::HoldOption { part: part.clone(), action: Some(Action::Section), option: Some(option) };
    one.apply(&hold, 3_000).expect("a hold").expect("a change");
    let held = &one.job().options[&part];
    assert_eq!(held.cells, ["front", "rear"].map(CellId::from));
    assert_eq!(held.moves, [(CutId::from("lower"), -12)].into());
    assert_eq!(one.job().holds[&part], Action::Section);
    // Two people aim and hold differently at the same time: one stands, the other can be read and settled.
    one.apply(&Command::SetAim(Some(Aim::Days)), 3_100).expect("an aim");
    two.apply(&Command::SetAim(Some(Aim::Hours)), 3_200).expect("an aim");
    two.apply(
        &Command::HoldOption {
            part: part.clone(),
            action: None,
            option: Some(OptionHold { route: Some(Route::Welded), ..OptionHold::default() }),
        },
        3_300,
    )
    .expect("a hold");
    join(&mut one, &mut two);
    assert_eq!(one.job().aim, Some(Aim::Hours));
    let fields: Vec<Field> = one.conflicts().into_iter().map(|conflict| conflict.field).collect();
    assert_eq!(fields, [Field::Aim, Field::HoldOption(part.clone())]);
    two.apply(&Command::Settle(Write::Aim(Some(Aim::Days))), 4_000).expect("settled");
    join(&mut one, &mut two);
    assert_eq!(one.job().aim, Some(Aim::Days));
    // Letting go is one step as well.
    one.apply(&Command::HoldOption { part: part.clone(), action: None, option: None }, 5_000).expect("let go");
    assert!(one.job().options.is_empty() && one.job().holds.is_empty());
    one.undo(6_000).expect("the letting go");
    assert_eq!(one.job().options[&part].route, Some(Route::Welded));
    // A hold that holds to nothing is none.
    let nothing = Command::HoldOption { part: part.clone(), action: None, option: Some(OptionHold::default()) };
    one.apply(&nothing, 7_000).expect("fine");
    assert!(one.job().options.is_empty());
}
