//! Speed of the joint plans, natively: every permitted way of the heaviest demo, the side hit with B-pillar, rocker and floor;
//! its map for a screen and its template for paper.
//!
//! Bar for the plan: under 10 ms. Run with `cargo task bench`.

use checks::read;
use criterion::{Criterion, criterion_group, criterion_main};
use model::catalogue::{Body, generic};
use model::ids::PartId;
use model::job::wire;
use model::joints::draw::{Ink, drawing, maps};
use model::joints::sheets::{Paper, template};
use model::joints::{Stock, Wanted, ink, joint_plans};
use model::plan::{Shop, plan};
use model::times::TimeBook;
use std::hint::black_box;

fn benches(c: &mut Criterion) {
    let job = wire::read_file(&read("public/demo/side-hit.json")).expect("a demo job").job;
    let book = generic(Body { cab: job.vehicle.cab, bed: job.vehicle.bed });
    let plan = plan(book, model::rules::general(), &job, &Shop::default());
    let picked: Vec<_> = plan.decisions.iter().map(AsRef::as_ref).zip(&plan.picks).collect();
    let (stock, times) = (Stock::general(), TimeBook::general());
    for (name, wanted) in [("picked ways", Wanted::Picked), ("all permitted ways", Wanted::Permitted)] {
        c.bench_function(&format!("joints: side hit, {name}"), |b| {
            b.iter(|| joint_plans(book, black_box(&picked), stock, times, wanted));
        });
    }
    let joints = joint_plans(book, &picked, stock, times, Wanted::Permitted);
    let part = PartId::from("floor-pan");
    let maps = maps(book, &joints, Some(&part));
    let map = maps.first().expect("a map");
    c.bench_function("joints: map for a screen", |b| {
        b.iter(|| ink::inside(&drawing(black_box(map), Ink::screen(0.4)), None));
    });
    c.bench_function("joints: template on A4", |b| b.iter(|| template(black_box(map), Paper::A4)));
}

criterion_group!(joints, benches);
criterion_main!(joints);
