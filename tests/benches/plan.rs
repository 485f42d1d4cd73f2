//! Speed of the model, natively: reading and resolving the book, the plan of a job with 40 marks from nothing and after one
//! mark more, a scene, a hit.
//!
//! Bar for the plan: under 1 ms. Run with `cargo task bench`.

use checks::read;
use criterion::{Criterion, criterion_group, criterion_main};
use model::catalogue::{Body, generic, read::Description};
use model::damage::findings;
use model::decide::{Pick, decide};
use model::geometry::Point;
use model::ids::MarkId;
use model::job::{Job, JobId, wire};
use model::operations::operations;
use model::plan::kept::{Decided, Weighed};
use model::plan::look_behind;
use model::scene::{Place, hit, overlay, scene};
use model::terms::{Action, Bed, Cab, Layer};
use std::hint::black_box;

const BODY: Body = Body { cab: Cab::FourDoor, bed: Bed::Short };

/// The first 40 marks of all demo jobs together, on one truck.
fn forty_marks() -> Job {
    let mut job = Job::empty(JobId::from("bench"));
    for demo in ["front-corner", "side-hit", "rear-hit", "hail", "kinked-frame", "parking-scrape"] {
        let file = wire::read_file(&read(&format!("public/demo/{demo}.json"))).expect("a demo job");
        for mark in file.job.marks.into_values() {
            if job.marks.len() < 40 {
                job.marks.insert(MarkId::from(format!("m{:02}", job.marks.len())), mark);
            }
        }
    }
    assert_eq!(job.marks.len(), 40);
    job
}

fn benches(c: &mut Criterion) {
    let text = read("model/data/book/generic-pickup.json");
    c.bench_function("book: read", |b| b.iter(|| Description::read(black_box(&text)).expect("good")));
    let description = Description::read(&text).expect("good");
    c.bench_function("book: resolve one body", |b| b.iter(|| description.resolve(black_box(BODY)).expect("good")));

    let (book, rules, shop, job) =
        (generic(BODY), model::rules::general(), model::plan::Shop::default(), forty_marks());
    c.bench_function("findings: 40 marks", |b| b.iter(|| findings(book, black_box(&job).marks.iter())));
    let circumstances = model::plan::circumstances(&job, &shop);
    // What may be done and why, the least intrusive of it as work, and where to look: nothing is weighed or priced.
    c.bench_function("plan before the choice: 40 marks", |b| {
        b.iter(|| {
            let (findings, _) = findings(book, black_box(&job).marks.iter());
            let decisions = decide(book, rules, findings, &job.holds, &circumstances);
            let picks: Vec<Pick> = decisions.iter().map(Pick::standing).collect();
            let picked: Vec<_> = decisions.iter().zip(&picks).collect();
            let (work, behind) =
                (operations(book, &picked, &circumstances), look_behind(book, &decisions, &job.inspections));
            black_box((&decisions, work, behind));
        });
    });
    c.bench_function("plan: 40 marks", |b| b.iter(|| model::plan::plan(book, rules, black_box(&job), &shop)));
    // What a tap costs: one mark more on a job whose other parts are decided and weighed.
    let kept_rules = std::sync::Arc::new(rules.clone());
    let before =
        Job { marks: job.marks.iter().skip(1).map(|(id, mark)| (id.clone(), mark.clone())).collect(), ..job.clone() };
    let decided = Decided::of(None, book, &kept_rules, &before, &shop);
    let mut weighed = Weighed::begin(None, book, &before, &shop, &decided);
    weighed.solve(&before);
    c.bench_function("plan: one mark more, 40 in all", |b| {
        b.iter(|| {
            let decided = Decided::of(Some(&decided), book, &kept_rules, black_box(&job), &shop);
            Weighed::begin(Some(&weighed), book, &job, &shop, &decided).plan(rules, &job, &decided).expect("a plan")
        });
    });
    let plan = model::plan::plan(book, rules, &job, &shop);
    let decisions = &plan.decisions;
    let picked: Vec<_> = decisions.iter().map(AsRef::as_ref).zip(&plan.picks).collect();
    c.bench_function("operations: 40 marks", |b| {
        b.iter(|| operations(book, black_box(&picked), &circumstances));
    });
    let section = picked.iter().find(|(_, pick)| pick.action == Action::Section).expect("a section");
    c.bench_function("operations: one section", |b| {
        b.iter(|| operations(book, black_box(&[*section]), &circumstances));
    });
    let times = model::times::TimeBook::general();
    c.bench_function("hours: 40 marks", |b| {
        b.iter(|| {
            model::times::spread(
                black_box(&plan.operations).iter().flat_map(|one| times.hours(one).spreads().collect::<Vec<_>>()),
            )
        });
    });
    c.bench_function("scene: left side", |b| b.iter(|| scene(book, black_box(Place::Left), Layer::Skin)));
    let drawing = scene(book, Place::Left, Layer::Skin);
    c.bench_function("overlay: 40 marks", |b| {
        b.iter(|| overlay(book, black_box(&drawing), job.marks.iter(), &plan.decisions));
    });
    c.bench_function("hit: one tap", |b| b.iter(|| hit(book, &drawing, black_box(Point::new(1200.0, -900.0)), 60.0)));
}

criterion_group!(plan, benches);
criterion_main!(plan);
