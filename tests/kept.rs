//! What is kept from one edit to the next gives, step by step, exactly what the whole plan gives.

use model::catalogue::{Body, generic};
use model::generate;
use model::job::{Job, Vehicle};
use model::plan::kept::{Decided, Weighed};
use model::plan::{plan, to_json};
use model::rules::general;
use model::shop::Shop;
use model::terms::Action;
use std::sync::Arc;

#[test]
fn mark_after_mark_the_plan_is_that_of_the_whole_job() {
    let (rules, shop) = (Arc::new(general().clone()), Shop::default());
    for seed in 5..8 {
        let whole = generate::job(seed, 12).expect("a job");
        let Vehicle { cab, bed, .. } = whole.vehicle;
        let book = generic(Body { cab, bed });
        let mut job = Job { marks: Default::default(), ..whole.clone() };
        let mut before: Option<(Decided, Weighed)> = None;
        for (step, (id, mark)) in whole.marks.iter().enumerate() {
            job.marks.insert(id.clone(), mark.clone());
            if step % 4 == 3 {
                job.holds.insert(mark.part.clone(), Action::Replace);
            }
            let decided = Decided::of(before.as_ref().map(|(decided, _)| decided), book, &rules, &job, &shop);
            let old = before.as_ref().map(|(_, weighed)| weighed);
            let mut weighed = Weighed::begin(old, book, &job, &shop, &decided);
            let missing = std::iter::from_fn(|| weighed.step(&job).then_some(())).count();
            assert!(missing <= 1, "seed {seed}, step {step}: an edit touches one part");
            let now = to_json(book, &weighed.plan(&rules, &job, &decided).expect("a plan"));
            assert_eq!(now, to_json(book, &plan(book, &rules, &job, &shop)), "seed {seed}, step {step}");
            before = Some((decided, weighed));
        }
    }
}
