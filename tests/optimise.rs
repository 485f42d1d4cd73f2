//! The whole-job program against outside judges: every choice tried, and a well-known mixed-integer solver on the file
//! that the model writes.

mod programs;

use checks::{Numbers, python};
use model::decide::{Decision, Pick};
use model::operations::operations;
use model::optimise::{Instance, Labels, picks, solve, whole};
use model::terms::Aim;
use programs::{Size, exhaustive, random};
use serde_json::Value;

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

/// Solves files with HiGHS and gives the objective and the choice of each.
fn highs(instances: &[Instance]) -> Vec<(f64, f64)> {
    let files: Vec<String> = instances.iter().map(|instance| instance.to_mps(&Labels::numbered(instance))).collect();
    let input = serde_json::to_string(&files).expect("text");
    let answers: Vec<Value> = serde_json::from_str(&python("tests/outside/highs.py", &input)).expect("answers");
    answers
        .iter()
        .map(|answer| {
            (answer["objective"].as_f64().expect("an objective"), answer["seconds"].as_f64().expect("a time"))
        })
        .collect()
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
    let files: Vec<Instance> = solved.iter().map(|(instance, _, _)| (*instance).clone()).collect();
    for (at, ((_, cost, steps), (objective, _))) in solved.iter().zip(highs(&files)).enumerate() {
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
        let found = whole(case.book, &case.shop, &parts);
        for best in found.best {
            let picks = picks(&parts, &best.choice);
            let picked: Vec<(&Decision, &Pick)> = case.decisions.iter().zip(&picks).collect();
            let work = operations(case.book, &picked, &case.circumstances);
            let seconds: u64 = work.iter().map(|one| case.shop.times.hours(one).seconds).sum();
            if best.aim == Aim::Hours {
                assert_eq!(u64::try_from(best.cost), Ok(seconds), "{}", case.name);
            }
        }
    }
}
