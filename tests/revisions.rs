//! What has changed between two frozen plans: the differences add up exactly, each bears its cause, and only what
//! changed is named. Random plans; a failing one is named by its seed.

#[path = "jobs/random.rs"]
mod random;

use checks::Numbers;
use model::estimate::cost_money;
use model::ids::{MarkId, PartId};
use model::job::{DeviceId, Job, MarkField, Revision, Session};
use model::revision::{About, Cause, Differences, differences};
use model::terms::{Action, Aim, Category};
use random::{command, revision, start};

/// A job after some random edits.
fn job(numbers: &mut Numbers) -> Job {
    let mut session = start(DeviceId::from("a"), 1_000);
    for step in 0..14 {
        let _ = session.apply(&command(numbers, session.job()), 2_000 + step); // a refused one changes nothing
    }
    (**session.job()).clone()
}

/// Changes something of a plan and keeps its sums right.
fn touch(numbers: &mut Numbers, plan: &mut Revision) {
    match numbers.below(8) {
        0 => plan.aim = Aim::Days,
        1 => plan.against.prices = format!("list {}", numbers.below(3)),
        2 if !plan.taxes.is_empty() => plan.taxes[0].amount += 7,
        3 if !plan.lines.is_empty() => {
            let at = numbers.below(plan.lines.len());
            plan.lines.remove(at);
        }
        4 => plan.taxes.clear(),
        5 => {
            let mut line = revision(numbers, &job(&mut Numbers::new(1))).lines.remove(0);
            line.key = format!("new-{}", numbers.below(1_000_000));
            line.part = (numbers.below(2) == 0).then(|| PartId::from("roof"));
            plan.lines.push(line);
        }
        _ => {
            let count = plan.lines.len().max(1);
            if let Some(line) = plan.lines.get_mut(numbers.below(count)) {
                line.amount -= 250;
                line.seconds += 60;
            }
        }
    }
    sum(plan);
}

fn sum(plan: &mut Revision) {
    plan.total = plan.lines.iter().map(|line| line.amount).sum::<i64>() + plan.tax();
    plan.seconds = plan.lines.iter().map(|line| line.seconds).sum();
}

fn adds_up(of: &Differences, before: &Revision, after: &Revision, seed: u64) {
    let signed = |value: u64| i64::try_from(value).expect("small");
    assert_eq!(of.money, after.total - before.total, "seed {seed}");
    assert_eq!(of.money, of.of.iter().map(|one| one.money).sum::<i64>(), "seed {seed}");
    assert_eq!(of.seconds, signed(after.seconds) - signed(before.seconds), "seed {seed}");
    assert_eq!(of.seconds, of.of.iter().map(|one| one.seconds).sum::<i64>(), "seed {seed}");
    for one in &of.of {
        if matches!(one.about, About::Part(_) | About::Vehicle) {
            assert_eq!(one.money, one.lines.iter().map(model::revision::LineChange::money).sum::<i64>());
            assert_eq!(one.seconds, one.lines.iter().map(model::revision::LineChange::seconds).sum::<i64>());
        }
        assert!(!one.causes.is_empty(), "seed {seed}: {one:?}");
        assert!(one.causes.iter().all(|cause| !cause.words().contains('{')));
    }
}

#[test]
fn differences_add_up_exactly_to_the_change_of_the_sum() {
    let mut changed = 0;
    for seed in 0..2_000 {
        let mut numbers = Numbers::new(seed);
        let one = job(&mut numbers);
        let before = revision(&mut numbers, &one);
        let mut after = before.clone();
        for _ in 0..numbers.below(6) {
            touch(&mut numbers, &mut after);
        }
        let of = differences(&before, &after).expect("one currency");
        adds_up(&of, &before, &after, seed);
        // And of two plans that have nothing to do with each other.
        let other = job(&mut numbers);
        let other = revision(&mut numbers, &other);
        adds_up(&differences(&before, &other).expect("one currency"), &before, &other, seed);
        // Back again is the same with the signs turned.
        let back = differences(&after, &before).expect("one currency");
        assert_eq!((back.money, back.seconds), (-of.money, -of.seconds));
        assert_eq!(differences(&after, &after).expect("one currency").of, []);
        changed += usize::from(!of.of.is_empty());
    }
    assert!(changed > 1_000, "the random changes changed {changed} plans only");
}

/// A plan with a line of each category for the fender, and work on the hood and on the whole vehicle.
fn plan() -> Revision {
    let mut session = start(DeviceId::from("a"), 1_000);
    let mut numbers = Numbers::new(3);
    while session.job().marks.len() < 2 {
        let _ = session.apply(&command(&mut numbers, session.job()), 2_000);
    }
    put(&mut session, 0, "fender-left");
    put(&mut session, 1, "hood");
    let job = Job { holds: [].into(), options: [].into(), aim: None, ..(**session.job()).clone() };
    let mut plan = revision(&mut numbers, &job);
    plan.parts.sort_by(|one, other| one.part.cmp(&other.part));
    plan.parts.truncate(2);
    plan.parts.iter_mut().for_each(|part| part.action = Action::Repair);
    let sample = plan.lines[0].clone();
    let line = |key: &str, part: Option<&str>, category| model::job::RevisedLine {
        key: key.into(),
        part: part.map(PartId::from),
        category,
        amount: 1_000,
        seconds: if category == Category::Labour { 600 } else { 0 },
        ..sample.clone()
    };
    plan.lines = vec![
        line("fender/labour", Some("fender-left"), Category::Labour),
        line("fender/parts", Some("fender-left"), Category::Parts),
        line("fender/materials", Some("fender-left"), Category::Materials),
        line("hood/labour", Some("hood"), Category::Labour),
        line("vehicle/labour", None, Category::Labour),
        line("vehicle/storage", None, Category::Storage),
    ];
    sum(&mut plan);
    plan
}

fn put(session: &mut Session, at: usize, part: &str) {
    let id = session.job().marks.keys().nth(at).expect("two marks").clone();
    let fields = vec![MarkField::Part(PartId::from(part))];
    session.apply(&model::job::Command::EditMark { id, fields }, 3_000).expect("fine");
}

/// What the difference about a part, or the vehicle, is put down to.
fn why(of: &Differences, about: &About) -> Vec<Cause> {
    of.of.iter().find(|one| one.about == *about).map(|one| one.causes.clone()).unwrap_or_default()
}

fn after(change: impl FnOnce(&mut Revision)) -> Differences {
    let mut plan = plan();
    let before = plan.clone();
    change(&mut plan);
    sum(&mut plan);
    differences(&before, &plan).expect("one currency")
}

#[test]
fn each_difference_bears_its_cause_and_no_other() {
    let fender = About::Part(PartId::from("fender-left"));
    let hood = About::Part(PartId::from("hood"));
    let id = MarkId::from("m-new");

    let of = after(|plan| {
        plan.parts[0].marks.insert(id.clone(), "abc".into());
        plan.lines[0].seconds += 300;
        plan.lines[0].amount += 500;
        plan.lines[4].amount += 100;
        plan.lines[4].seconds += 60;
    });
    assert_eq!(why(&of, &fender), [Cause::MarksAdded(1)]);
    assert_eq!(why(&of, &About::Vehicle), [Cause::Shared], "the vehicle's work follows from the fender");
    assert_eq!(why(&of, &hood), []);

    let of = after(|plan| plan.parts[0].marks.clear());
    assert_eq!(why(&of, &fender), [Cause::MarksRemoved(1)], "said although it changed no money");
    let of = after(|plan| plan.parts[0].marks.values_mut().for_each(|print| *print = "other".into()));
    assert_eq!(why(&of, &fender), [Cause::MarksChanged(1)]);

    let of = after(|plan| {
        plan.parts[0].hold = Some(Action::Replace);
        plan.parts[0].action = Action::Replace;
        plan.lines.remove(0);
    });
    assert_eq!(why(&of, &fender), [Cause::Hold]);

    let of = after(|plan| {
        plan.against.prices = "next".into();
        plan.lines[1].amount += 77;
    });
    assert_eq!(why(&of, &fender), [Cause::Prices]);
    assert_eq!(of.of.len(), 1);

    let of = after(|plan| {
        plan.against.rates = "next".into();
        plan.lines[0].amount += 77;
        plan.taxes[0].amount += 9;
    });
    assert_eq!((why(&of, &fender), why(&of, &About::Tax)), (vec![Cause::Rates], vec![Cause::Sum, Cause::Rates]));

    let of = after(|plan| {
        plan.against.times = "next".into();
        plan.lines[3].amount += 77;
        plan.lines[3].seconds += 77;
    });
    assert_eq!(why(&of, &hood), [Cause::Times]);

    let of = after(|plan| {
        plan.aim = Aim::Days;
        plan.parts[1].action = Action::Replace;
        plan.lines[3].amount += 77;
        plan.lines[2].amount -= 5;
    });
    assert_eq!(why(&of, &hood), [Cause::Aim]);
    assert_eq!(why(&of, &fender), [Cause::Shared], "the fender's material is shared with the hood's other choice");

    let of = after(|plan| plan.lines[3].amount += 1);
    assert_eq!(why(&of, &hood), [Cause::Program]);
    let of = after(|plan| plan.taxes.clear());
    assert_eq!(why(&of, &About::Tax), [Cause::Sum]);
}

#[test]
fn a_line_that_moves_to_another_part_is_no_difference() {
    let of = after(|plan| plan.lines[0].part = Some(PartId::from("hood")));
    assert_eq!(of.of, []);
}

#[test]
fn two_currencies_are_not_held_against_each_other() {
    let one = plan();
    let error = differences(&one, &Revision { currency: "USD".into(), ..one.clone() }).expect_err("refused");
    assert!(error.to_string().contains("EUR") && error.to_string().contains("USD"));
}

/// Every demo job's plan written down: the document comes to exactly what the estimate does, can be frozen, survives the
/// file, and differs from the present plan by nothing; one more mark is a difference on its part.
#[test]
fn a_real_plan_is_frozen_to_the_unit_and_the_second() {
    use model::job::{Command, wire};
    use model::plan::{Shop, plan};
    let shop = Shop::default();
    let rules = model::rules::general();
    for demo in ["front-corner", "parking-scrape", "hail", "side-hit", "rear-hit", "kinked-frame"] {
        let file = wire::read_file(&checks::read(&format!("public/demo/{demo}.json"))).expect("a demo job");
        let mut session = file.open(DeviceId::from("a")).expect("opens");
        let vehicle = &session.job().vehicle;
        let book = model::catalogue::generic(model::catalogue::Body { cab: vehicle.cab, bed: vehicle.bed });
        let document = |session: &Session| {
            let plan = plan(book, rules, session.job(), &shop);
            let estimate = &plan.estimate;
            let document = plan.document(book, &shop, session.job(), estimate);
            assert_eq!(document.total, estimate.total.minor, "{demo}");
            assert_eq!(document.seconds, estimate.hours.planned_s, "{demo}");
            assert_eq!(document.parts.len(), plan.picks.len());
            for best in &plan.best {
                let made = plan.estimate_for(book, best.aim);
                let weighed = cost_money(best.costs[Aim::Money as usize], &shop.rates);
                // The program taxes line by line, the estimate each of its categories once.
                assert!((made.total.minor - weighed.minor).unsigned_abs() <= made.sums.len() as u64, "{demo}");
                assert_eq!(i64::try_from(made.hours.planned_s), Ok(best.costs[Aim::Hours as usize]), "{demo}");
            }
            document
        };
        let given = document(&session);
        let named = Revision { name: demo.into(), day: "2026-11-25".into(), ..given.clone() };
        session.apply(&Command::Freeze(std::sync::Arc::new(named)), 9_000).expect("in order").expect("a change");
        let text = wire::write_file(&session);
        println!(
            "{demo}: {} lines, {} bytes",
            given.lines.len(),
            serde_json::to_string(&given.lines).expect("JSON").len()
        );
        let mut session = wire::read_file(&text).expect("in order").open(DeviceId::from("b")).expect("opens");
        let frozen = session.job().revisions[0].clone();
        let since = differences(&frozen, &document(&session)).expect("one currency");
        assert_eq!(since.of, [], "{demo}");
        let (id, mark) =
            session.job().marks.iter().next().map(|(id, mark)| (id.clone(), mark.clone())).expect("a mark");
        let part = mark.part.clone();
        session.apply(&Command::AddMark { id: MarkId::from(format!("{id}-x")), mark }, 9_100).expect("fine");
        let since = differences(&frozen, &document(&session)).expect("one currency");
        assert_eq!(why(&since, &About::Part(part)), [Cause::MarksAdded(1)], "{demo}");
        assert_eq!(session.job().revisions[0], frozen);
    }
}
