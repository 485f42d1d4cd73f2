//! The whole-job program against outside judges: every choice tried, and a well-known mixed-integer solver on the file
//! that the model writes.

mod programs;

use checks::{Numbers, python};
use model::catalogue::{Body, Book, generic};
use model::decide::{Decision, Pick};
use model::estimate::{MONEY_UNITS, Tariff, estimate, line_cost};
use model::ids::{CutId, MarkId, PartId};
use model::job::{Job, OptionHold};
use model::operations::operations;
use model::optimise::{Best, Instance, Labels, Program, per, picks, solve, whole};
use model::plan::{Plan, plan};
use model::shop::Shop;
use model::terms::{Action, Aim, Category, Route};
use programs::jobs::Case;
use programs::{Size, exhaustive, random};
use serde_json::Value;
use std::collections::BTreeSet;
use std::sync::Arc;

#[test]
fn equals_trying_every_choice() {
    for seed in 0..6_000_u64 {
        let mut numbers = Numbers::new(seed);
        let size = Size {
            groups: 1 + numbers.below(6),
            options: 4,
            shared: numbers.below(9),
            clashes: numbers.below(5) * numbers.below(2),
            needs: 3,
        };
        let mut instance = random(&mut numbers, size);
        if numbers.below(3) == 0 {
            for group in &mut instance.groups {
                if numbers.below(3) == 0 {
                    group.held = Some(vec![numbers.below(group.options.len())]);
                }
            }
        }
        match (solve(&instance), exhaustive(&instance)) {
            (Ok(solution), Some(best)) => {
                assert!(instance.allows(&solution.choice), "seed {seed}: not allowed: {instance:?}");
                let found = (instance.evaluate(&solution.choice), instance.rank(&solution.choice));
                assert_eq!(solution.cost, found.0, "seed {seed}");
                assert_eq!(found, best, "seed {seed}: {instance:?}");
                assert_eq!(solve(&instance).as_ref(), Ok(&solution), "seed {seed}: the same again");
            }
            (Err(conflict), None) => {
                let without = |kept: &[usize]| {
                    let mut free = instance.clone();
                    for (at, group) in free.groups.iter_mut().enumerate() {
                        if !kept.contains(&at) {
                            group.held = None;
                        }
                    }
                    exhaustive(&free).is_none()
                };
                assert!(without(&conflict.groups), "seed {seed}: these holds alone leave no choice");
                for one in &conflict.groups {
                    let fewer: Vec<usize> = conflict.groups.iter().copied().filter(|known| known != one).collect();
                    assert!(!without(&fewer), "seed {seed}: {one} is no part of the conflict");
                }
            }
            (found, best) => panic!("seed {seed}: {found:?} but {best:?}: {instance:?}"),
        }
    }
}

/// Solves files with HiGHS and gives the objective of each.
fn highs(files: &[String]) -> Vec<f64> {
    let input = serde_json::to_string(&files).expect("text");
    let answers: Vec<Value> = serde_json::from_str(&python("tests/outside/highs.py", &input)).expect("answers");
    answers.iter().map(|answer| answer["objective"].as_f64().expect("an objective")).collect()
}

#[test]
fn equals_highs_on_large_random_programs() {
    let mut instances = Vec::new();
    for seed in 0..60_u64 {
        let mut numbers = Numbers::new(1_000 + seed);
        let groups = 5 + numbers.below(56);
        let size = Size { groups, options: 6, shared: groups, clashes: numbers.below(4), needs: 3 };
        instances.push(random(&mut numbers, size));
    }
    // Much is shared and little costs anything by itself: the bound leaves gaps and the search must branch.
    for seed in 0..8_u64 {
        let mut numbers = Numbers::new(5_003 + seed);
        let size = Size { groups: 30, options: 6, shared: 50, clashes: 2, needs: 6 };
        let mut instance = random(&mut numbers, size);
        for option in instance.groups.iter_mut().flat_map(|group| &mut group.options) {
            option.cost /= 4;
        }
        instances.push(instance);
    }
    let solved: Vec<(&Instance, i64, u64)> = instances
        .iter()
        .filter_map(|instance| solve(instance).ok().map(|solution| (instance, solution.cost, solution.steps)))
        .collect();
    assert!(solved.len() > 50, "most have a choice");
    assert!(solved.iter().any(|(_, _, steps)| *steps > 20), "some are hard");
    let files: Vec<String> =
        solved.iter().map(|(instance, _, _)| instance.to_mps(&Labels::numbered(instance))).collect();
    for (at, ((_, cost, steps), objective)) in solved.iter().zip(highs(&files)).enumerate() {
        // Both costs are whole numbers below 2^53.
        #[allow(clippy::cast_precision_loss)]
        let cost = *cost as f64;
        assert!((cost - objective).abs() < 0.5, "program {at}, {steps} steps: {cost} here, {objective} there");
    }
}

#[test]
fn what_a_choice_costs_is_what_its_plan_costs() {
    for case in programs::jobs::all() {
        let parts = case.parts();
        for best in whole(case.book, &case.shop, &parts, Aim::Money).best {
            let name = format!("{} {}", case.name, best.aim);
            let picks = picks(case.book, &parts, &best.choice);
            let picked: Vec<(&Decision, &Pick)> = case.decisions.iter().zip(&picks).collect();
            let work = operations(case.book, &picked, &case.circumstances);
            let ids: BTreeSet<&str> = work.iter().map(|one| one.id.as_str()).collect();
            assert_eq!(ids.len(), work.len(), "{name}: each step once");
            let access: Vec<&str> = work
                .iter()
                .filter(|one| one.work.word() == "access")
                .map(|one| one.access.as_ref().unwrap().as_str())
                .collect();
            assert_eq!(access.iter().collect::<BTreeSet<_>>().len(), access.len(), "{name}: access work once");
            let plan = estimate(&Tariff::new(&case.shop), case.book, &picks, &work);
            let [money, hours, days] = best.costs.map(i128::from);
            let lines: i128 = plan.lines.iter().map(|line| i128::from(line_cost(line, &case.shop.rates))).sum();
            assert_eq!(money, lines, "{name}: money");
            assert_eq!(hours, i128::from(plan.hours.planned_s), "{name}: hours");
            assert_eq!(days, i128::from(plan.days.numerator), "{name}: days");
            assert_eq!(i128::from(per(&case.shop, Aim::Days)), i128::from(plan.days.denominator));
            // Only the tax of each category is rounded further, to the nearest minor unit.
            let rounded = i128::from(plan.total.minor) * i128::from(MONEY_UNITS) - money;
            let taxed = i128::try_from(Category::ALL.len()).expect("five");
            assert!(2 * rounded.abs() <= taxed * i128::from(MONEY_UNITS), "{name}: {} and {money}", plan.total.minor);
        }
    }
}

#[test]
fn equals_highs_on_demo_and_made_up_jobs() {
    let cases = programs::jobs::all();
    let (mut files, mut ours) = (Vec::new(), Vec::new());
    for case in &cases {
        let parts = case.parts();
        let found = whole(case.book, &case.shop, &parts, Aim::Money);
        assert_eq!(found.conflict, None, "{}", case.name);
        let program = Program::new(case.book, &case.shop, parts);
        for best in found.best {
            let per = per(&case.shop, best.aim);
            files.push(program.instance(best.aim, &case.shop).to_mps(&program.labels(case.book, &case.name, per)));
            ours.push((format!("{} {}", case.name, best.aim), best.cost(), per));
        }
    }
    assert_eq!(files.len(), 3 * cases.len());
    for ((name, cost, per), objective) in ours.into_iter().zip(highs(&files)) {
        // Whole numbers below 2^53, and a file in units of `per`.
        #[allow(clippy::cast_precision_loss)]
        let (cost, per) = (cost as f64, per as f64);
        let theirs = objective * per;
        assert!((cost - theirs).abs() <= 0.5 + 1e-9 * cost, "{name}: {cost} here, {theirs} there");
    }
}

#[test]
fn nothing_forbidden_is_ever_weighed() {
    for case in programs::jobs::all() {
        for (decision, candidates) in case.decisions.iter().zip(&case.candidates) {
            assert!(!candidates.list.is_empty(), "{}: {} has no candidate", case.name, decision.part);
            let refers = candidates.list.iter().any(|one| one.pick.action == Action::Refer);
            assert_eq!(refers, candidates.list.len() == 1 && candidates.list[0].pick.action == Action::Refer);
            for one in &candidates.list {
                let option = decision.option(one.pick.action).expect("one of the six");
                assert!(option.permitted, "{}: {} {}", case.name, decision.part, one.pick.action);
                assert!(one.pick.route.is_none_or(|route| option.permitted_routes().any(|known| known == route)));
                let section = one.pick.section.as_ref();
                assert!(section.is_none_or(|plan| plan.routes.contains(&one.pick.route.expect("a way to join"))));
                assert_eq!(section.is_some(), one.pick.action == Action::Section);
            }
        }
    }
}

#[test]
fn more_damage_is_never_cheaper_quicker_or_sooner() {
    // 1200 jobs; held for the first 4000 seeds too when it was written.
    std::thread::scope(|scope| {
        for part in 0..4_u64 {
            scope.spawn(move || more_is_not_less((part * 1_000)..).take(300).for_each(drop));
        }
    });
}

/// Compares jobs from these seeds on with the same jobs less one mark.
fn more_is_not_less(seeds: impl Iterator<Item = u64>) -> impl Iterator<Item = ()> {
    seeds.filter_map(|seed| {
        let mut numbers = Numbers::new(seed);
        let job = model::generate::job(seed, 2 + numbers.below(14)).expect("a job");
        let ids: Vec<MarkId> = job.marks.keys().cloned().collect();
        let mut less = job.clone();
        less.marks.remove(&ids[numbers.below(ids.len())]);
        let case = |job: &Job| {
            programs::jobs::Case::new(format!("seed {seed}"), job.clone(), model::rules::general(), Shop::default())
        };
        let (more, less) = (case(&job), case(&less));
        let refers = |case: &programs::jobs::Case<'_>| {
            case.candidates.iter().filter(|part| part.list[0].pick.action == Action::Refer).count()
        };
        // A part that is referred is not yet planned: what it will cost is not known.
        if refers(&more) != refers(&less) {
            return None;
        }
        let costs = |case: &programs::jobs::Case<'_>| -> Vec<i64> {
            whole(case.book, &case.shop, &case.parts(), Aim::Money).best.iter().map(Best::cost).collect()
        };
        let (more, less) = (costs(&more), costs(&less));
        for aim in Aim::ALL {
            let (more, less) = (more[*aim as usize], less[*aim as usize]);
            assert!(more >= less, "seed {seed}, {aim}: {more} with more damage, {less} without");
        }
        Some(())
    })
}

#[test]
fn a_wider_window_is_never_dearer() {
    let mut cheaper = 0;
    for seed in 0..60_u64 {
        let job = model::generate::job(seed, 12).expect("a job");
        let book = generic(Body { cab: job.vehicle.cab, bed: job.vehicle.bed });
        let mut wide = book.clone();
        for cut in wide.parts.iter_mut().filter_map(|part| part.sections.as_mut()).flat_map(|one| &mut one.cuts) {
            cut.window_mm += 40.0;
        }
        let best = |book: &Book| {
            let case = Case::on(String::new(), job.clone(), book, model::rules::general(), Shop::default());
            let costs = whole(case.book, &case.shop, &case.parts(), Aim::Money).best.iter().map(Best::cost).collect();
            let refers = case.candidates.iter().filter(|part| part.list[0].pick.action == Action::Refer).count();
            (refers, costs)
        };
        let ((refers, narrow), (fewer, wider)): ((usize, Vec<i64>), (usize, Vec<i64>)) = (best(book), best(&wide));
        assert!(fewer <= refers, "seed {seed}: more room never takes an option away");
        if fewer < refers {
            continue;
        }
        for (narrow, wider) in narrow.iter().zip(&wider) {
            assert!(wider <= narrow, "seed {seed}: {wider} with wider windows, {narrow} without");
            cheaper += u32::from(wider < narrow);
        }
    }
    assert!(cheaper > 0, "room buys something somewhere");
}

#[test]
fn no_price_brings_in_what_is_forbidden() {
    let shops = {
        let mut dear_work = Shop::default();
        let mut rates = (*dear_work.rates).clone();
        rates.labour.iter_mut().for_each(|hour| *hour = 10_000.into());
        let mut prices = (*dear_work.prices).clone();
        prices.items.values_mut().for_each(|item| item.price.minor = 0);
        (dear_work.rates, dear_work.prices) = (Arc::new(rates), Arc::new(prices));
        let mut dear_parts = Shop::default();
        let mut rates = (*dear_parts.rates).clone();
        rates.labour.iter_mut().for_each(|hour| *hour = 0.into());
        let mut prices = (*dear_parts.prices).clone();
        prices.items.values_mut().for_each(|item| item.price.minor = 1_000_000_000);
        (dear_parts.rates, dear_parts.prices) = (Arc::new(rates), Arc::new(prices));
        [dear_work, dear_parts]
    };
    let mut moved = 0;
    for name in programs::jobs::DEMOS {
        let job = programs::jobs::demo(name);
        let book = generic(Body { cab: job.vehicle.cab, bed: job.vehicle.bed });
        let usual = plan(book, model::rules::general(), &job, &Shop::default());
        for shop in &shops {
            let plan = plan(book, model::rules::general(), &job, shop);
            for (decision, pick) in plan.best.iter().flat_map(|best| plan.decisions.iter().zip(&best.picks)) {
                let option = decision.option(pick.action).expect("one of the six");
                assert!(option.permitted, "{name}: {} {}", pick.part, pick.action);
                assert!(pick.route.is_none_or(|route| option.permitted_routes().any(|known| known == route)));
            }
            moved += usize::from(plan.picks != usual.picks);
        }
    }
    assert!(moved > 0, "prices move the choice among what is permitted");
}

#[test]
fn a_hold_is_kept_and_the_rest_solved_around_it() {
    let mut job = programs::jobs::demo("side-hit");
    let book = generic(Body { cab: job.vehicle.cab, bed: job.vehicle.bed });
    let solved = |job: &Job| plan(book, model::rules::general(), job, &Shop::default());
    let free = solved(&job);
    let floor = PartId::from("floor-pan");
    let of = |plan: &Plan| plan.picks.iter().find(|pick| pick.part == floor).expect("the floor").clone();
    assert_eq!(of(&free).action, Action::Section);
    let text = |plan: &Plan| {
        let about = plan.differences.iter().find(|one| one.part.as_ref() == Some(&floor)).expect("a difference");
        about.text.clone()
    };
    let words = text(&free);
    for word in ["Sectioning the floor pan (cut", "instead of replacing the floor pan saves", " h", "needs an overlap"]
    {
        assert!(words.contains(word), "{words}");
    }
    job.holds.insert(floor.clone(), Action::Replace);
    let held = solved(&job);
    assert_eq!(of(&held).action, Action::Replace);
    assert_eq!(held.conflict, None);
    for aim in Aim::ALL {
        assert!(held.best(*aim).costs[*aim as usize] > free.best(*aim).costs[*aim as usize], "{aim}");
    }
    // What a single other choice would change is what holding it changes, at most.
    let change = free.changes.iter().filter(|change| {
        let part = &free.candidates[change.part];
        part.part == floor && part.list[change.candidate].pick.action == Action::Replace
    });
    let least = change.map(|change| change.costs[0]).min().expect("replacing is permitted");
    assert!(held.best(Aim::Money).costs[0] - free.best(Aim::Money).costs[0] <= least);
}

#[test]
fn a_hold_that_cannot_be_kept_is_named() {
    let mut job = programs::jobs::demo("side-hit");
    let book = generic(Body { cab: job.vehicle.cab, bed: job.vehicle.bed });
    let floor = PartId::from("floor-pan");
    job.holds.insert(floor.clone(), Action::Section);
    let bad = OptionHold { moves: [(CutId::from("left-of-tunnel"), 900)].into(), ..OptionHold::default() };
    for (hold, says) in [
        (OptionHold { route: Some(Route::Hemmed), ..OptionHold::default() }, "joined in the way"),
        (bad, "cannot be cut where it is held to"),
    ] {
        job.options.insert(floor.clone(), hold);
        let plan = plan(book, model::rules::general(), &job, &Shop::default());
        let conflict = plan.conflict.clone().expect("a conflict");
        assert_eq!(conflict.parts, std::slice::from_ref(&floor));
        assert!(conflict.text.contains(says) && conflict.text.contains("floor pan"), "{}", conflict.text);
        assert!(plan.notices.iter().any(|notice| notice.text == conflict.text), "it stands before the plan");
        assert_eq!(plan.picks.len(), plan.decisions.len(), "the rest is planned all the same");
    }
    let small = OptionHold { moves: [(CutId::from("left-of-tunnel"), 3)].into(), ..OptionHold::default() };
    job.options.insert(floor.clone(), small);
    let plan = plan(book, model::rules::general(), &job, &Shop::default());
    assert_eq!(plan.conflict, None);
    let pick = plan.picks.iter().find(|pick| pick.part == floor).expect("the floor");
    let section = pick.section.as_ref().expect("a section");
    let line = section.cuts.iter().find(|cut| cut.cut.as_str() == "left-of-tunnel").expect("the line");
    assert!(section.held && (line.moved_mm - 3.0).abs() < 1e-9, "{line:?}");
}
