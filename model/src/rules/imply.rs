//! Compares conditions: does one imply another, can one ever hold?
//!
//! Sound but not complete: "implies" and "cannot hold" are only said when they are certain. Never looks at a vehicle.

use super::condition::{Bound, Condition, Field, Test};
use crate::terms::{Family, Metal};

/// Whether `one` holding makes certain that `other` holds.
pub(crate) fn implies(one: &Condition, other: &Condition) -> bool {
    // A choice on the left is followed branch by branch.
    if let Some(at) = one.tests.iter().position(|test| matches!(test, Test::AnyOf(_)))
        && let Test::AnyOf(branches) = &one.tests[at]
        && !branches.is_empty()
        && branches.iter().all(|branch| implies(&resolved(one, at, branch), other))
    {
        return true;
    }
    other.tests.iter().all(|wanted| grants(one, wanted))
}

/// Whether the condition can never hold.
pub(crate) fn never(condition: &Condition) -> bool {
    let tests = &condition.tests;
    let conflict = tests
        .iter()
        .enumerate()
        .any(|(at, one)| empty(one) || tests.iter().skip(at + 1).any(|other| excludes(one, other)));
    if conflict {
        return true;
    }
    tests.iter().enumerate().any(|(at, test)| match test {
        Test::AnyOf(branches) => branches.iter().all(|branch| never(&resolved(condition, at, branch))),
        Test::Not(inner) => {
            let rest: Vec<Test> = tests.iter().enumerate().filter(|(n, _)| *n != at).map(|(_, t)| t.clone()).collect();
            implies(&Condition { tests: rest }, inner)
        }
        _ => false,
    })
}

/// The condition with its `at`th test, a choice, replaced by one of its branches.
fn resolved(condition: &Condition, at: usize, branch: &Condition) -> Condition {
    let mut tests: Vec<Test> = branch.tests.clone();
    tests.extend(condition.tests.iter().enumerate().filter(|(n, _)| *n != at).map(|(_, test)| test.clone()));
    Condition { tests }
}

fn grants(one: &Condition, wanted: &Test) -> bool {
    if one.tests.iter().any(|have| covers(have, wanted)) {
        return true;
    }
    match wanted {
        Test::AnyOf(branches) => branches.iter().any(|branch| implies(one, branch)),
        // Not (a and b) is certain as soon as a or b is impossible.
        Test::Not(inner) => inner.tests.iter().any(|denied| one.tests.iter().any(|have| excludes(have, denied))),
        _ => false,
    }
}

/// Whether one test holding makes certain that the other holds.
fn covers(have: &Test, wanted: &Test) -> bool {
    match (have, wanted) {
        (Test::Any(Field::Material, mine), Test::Any(Field::Metal, theirs)) => metals(*mine) & !theirs == 0,
        (Test::Any(field, mine), Test::Any(other, theirs)) => field == other && mine & !theirs == 0,
        (Test::OnlyKinds(mine), Test::OnlyKinds(theirs)) => mine & !theirs == 0,
        // Every finding has at least one kind.
        (Test::OnlyKinds(mine), Test::Any(Field::Kind, theirs)) => mine & !theirs == 0,
        (Test::Within(number, mine), Test::Within(other, theirs)) => {
            number == other && mine.over >= theirs.over && mine.up_to <= theirs.up_to
        }
        (Test::Named(name, mine), Test::Named(other, theirs)) => {
            name == other && mine.iter().all(|one| theirs.contains(one))
        }
        (Test::Not(mine), Test::Not(theirs)) => implies(theirs, mine),
        _ => false,
    }
}

/// Whether the two tests can never hold together.
fn excludes(one: &Test, other: &Test) -> bool {
    match (one, other) {
        (Test::Any(Field::Material, mine), Test::Any(Field::Metal, theirs))
        | (Test::Any(Field::Metal, theirs), Test::Any(Field::Material, mine)) => metals(*mine) & theirs == 0,
        (Test::Any(field, mine), Test::Any(other, theirs)) => field == other && field.single() && mine & theirs == 0,
        (Test::OnlyKinds(mine), Test::Any(Field::Kind, theirs))
        | (Test::Any(Field::Kind, theirs), Test::OnlyKinds(mine))
        | (Test::OnlyKinds(mine), Test::OnlyKinds(theirs)) => mine & theirs == 0,
        (Test::Within(number, mine), Test::Within(other, theirs)) => number == other && apart(*mine, *theirs),
        (Test::Named(name, mine), Test::Named(other, theirs)) => {
            // A part carries many tags but only one id and one base.
            name == other && *name != super::condition::Name::Tag && !mine.iter().any(|one| theirs.contains(one))
        }
        (Test::Not(denied), have) | (have, Test::Not(denied)) => {
            denied.tests.len() == 1 && covers(have, &denied.tests[0])
        }
        _ => false,
    }
}

fn apart(one: Bound, other: Bound) -> bool {
    one.over.max(other.over) >= one.up_to.min(other.up_to)
}

fn empty(test: &Test) -> bool {
    match test {
        Test::Any(_, mask) | Test::OnlyKinds(mask) => *mask == 0,
        Test::Within(_, bound) => bound.over >= bound.up_to,
        Test::Named(_, names) => names.is_empty(),
        Test::AnyOf(branches) => branches.is_empty(),
        Test::Not(inner) => inner.tests.is_empty(),
    }
}

/// The metals of a set of material families.
fn metals(materials: u32) -> u32 {
    let mut sum = 0;
    for (at, family) in Family::ALL.iter().enumerate() {
        if materials & (1 << at) != 0 {
            let metal = Metal::ALL.iter().position(|known| *known == family.metal()).unwrap_or(0);
            sum |= 1 << metal;
        }
    }
    sum
}
