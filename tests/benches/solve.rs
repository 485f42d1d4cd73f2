//! Speed of the whole-job choice, natively: made-up jobs of 5 to 60 damaged parts, three of each.
//!
//! "solve" is the program and its best choice for all three aims, as after an edit; "weigh one part" is what an edit adds
//! to it; "whole plan" is everything from marks to words.HiGHS gets the same programs. Run with
//! `cargo task bench`.

#[allow(dead_code)] // what only the tests use
#[path = "../programs/mod.rs"]
mod programs;

use checks::{Numbers, python};
use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use model::catalogue::{Body, generic};
use model::estimate::Tariff;
use model::optimise::{Candidates, Labels, Program, per, solve, whole};
use model::plan::{Plan, Shop, candidates_of, plan};
use model::terms::Aim;
use std::hint::black_box;
use std::time::Instant;

const SIZES: [usize; 5] = [5, 10, 20, 40, 60];
const SEEDS: [u64; 3] = [1, 2, 3];

fn benches(c: &mut Criterion) {
    let (rules, shop) = (model::rules::general(), Shop::default());
    let tariff = Tariff::new(&shop);
    for size in SIZES {
        let jobs: Vec<_> = SEEDS.iter().map(|seed| model::generate::job(*seed, size).expect("a job")).collect();
        let books: Vec<_> =
            jobs.iter().map(|job| generic(Body { cab: job.vehicle.cab, bed: job.vehicle.bed })).collect();
        let plans: Vec<Plan> = jobs.iter().zip(&books).map(|(job, book)| plan(book, rules, job, &shop)).collect();
        let parts: Vec<Vec<&Candidates>> =
            plans.iter().map(|plan| plan.candidates.iter().map(|one| &**one).collect()).collect();
        c.bench_with_input(BenchmarkId::new("solve", size), &size, |b, _| {
            let mut at = 0;
            b.iter(|| {
                at = (at + 1) % SEEDS.len();
                whole(books[at], &shop, black_box(&parts[at]), Aim::Money)
            });
        });
        c.bench_with_input(BenchmarkId::new("weigh one part", size), &size, |b, _| {
            let mut at = 0;
            b.iter(|| {
                at += 1;
                let plan = &plans[at % SEEDS.len()];
                let decision = &plan.decisions[at % plan.decisions.len()];
                candidates_of(books[at % SEEDS.len()], &jobs[at % SEEDS.len()], &tariff, black_box(decision))
            });
        });
        c.bench_with_input(BenchmarkId::new("whole plan", size), &size, |b, _| {
            let mut at = 0;
            b.iter(|| {
                at = (at + 1) % SEEDS.len();
                plan(books[at], rules, black_box(&jobs[at]), &shop)
            });
        });
        beside_highs(size, &books, &parts, &shop);
    }
}

/// Prints how long HiGHS takes for the same programs, three aims of each job.
fn beside_highs(size: usize, books: &[&'static model::catalogue::Book], parts: &[Vec<&Candidates>], shop: &Shop) {
    let mut files = Vec::new();
    let start = Instant::now();
    for (book, parts) in books.iter().zip(parts) {
        let program = Program::new(book, shop, parts.iter().copied());
        for aim in Aim::ALL {
            files.push(program.instance(*aim, shop).to_mps(&program.labels(book, "bench", per(shop, *aim))));
        }
    }
    let written = start.elapsed();
    let theirs = highs_seconds(&files);
    let mut ours = f64::INFINITY;
    for _ in 0..20 {
        let start = Instant::now();
        for (book, parts) in books.iter().zip(parts) {
            black_box(whole(book, shop, parts, Aim::Money));
        }
        ours = ours.min(start.elapsed().as_secs_f64());
    }
    println!(
        "{size} parts, {} programs: {:.2} ms here, {:.2} ms with HiGHS ({:.1} times), files written in {written:.1?}",
        files.len(),
        ours * 1e3,
        theirs * 1e3,
        theirs / ours
    );
}

/// Random programs, far more entangled than a truck: groups of options that ask for up to 6 shared things each.
fn entangled(_: &mut Criterion) {
    for (groups, options, shared) in [(15, 5, 30), (40, 6, 60)] {
        let size = programs::Size { groups, options, shared, clashes: 0, needs: 6 };
        let instances: Vec<_> = (0..20).map(|seed| programs::random(&mut Numbers::new(5_000 + seed), size)).collect();
        let start = Instant::now();
        let steps: u64 = instances.iter().map(|one| solve(one).map_or(0, |found| found.steps)).sum();
        let ours = start.elapsed().as_secs_f64();
        let files: Vec<String> = instances.iter().map(|one| one.to_mps(&Labels::numbered(one))).collect();
        let theirs = highs_seconds(&files);
        println!(
            "20 random programs, {groups} × {options}, {shared} shared: {:.2} ms here in {steps} steps, {:.2} ms with HiGHS",
            ours * 1e3,
            theirs * 1e3
        );
    }
}

fn highs_seconds(files: &[String]) -> f64 {
    let answers = python("tests/outside/highs.py", &serde_json::to_string(files).expect("text"));
    let answers: serde_json::Value = serde_json::from_str(&answers).expect("answers");
    answers.as_array().expect("a list").iter().map(|one| one["seconds"].as_f64().expect("seconds")).sum()
}

criterion_group!(solve_jobs, benches, entangled);
criterion_main!(solve_jobs);
