//! Jobs for the whole-job program: all demo jobs and made-up ones, with their decisions and candidates.

use checks::read;
use model::catalogue::{Body, Book, generic};
use model::decide::{Circumstances, Decision, decide};
use model::estimate::Tariff;
use model::job::{Job, wire};
use model::optimise::{Candidates, candidates};
use model::plan::circumstances;
use model::rules::RuleBook;
use model::shop::Shop;
use model::terms::ColourFamily;

pub const DEMOS: [&str; 6] = ["parking-scrape", "hail", "front-corner", "side-hit", "rear-hit", "kinked-frame"];

/// A job with all that a program needs.
pub struct Case<'b> {
    pub name: String,
    pub book: &'b Book,
    pub shop: Shop,
    pub circumstances: Circumstances,
    pub decisions: Vec<Decision>,
    pub candidates: Vec<Candidates>,
}

impl<'b> Case<'b> {
    pub fn new(name: String, job: Job, rules: &RuleBook, shop: Shop) -> Self {
        let book = generic(Body { cab: job.vehicle.cab, bed: job.vehicle.bed });
        Self::on(name, job, book, rules, shop)
    }

    /// On a book of its own.
    pub fn on(name: String, job: Job, book: &'b Book, rules: &RuleBook, shop: Shop) -> Self {
        let circumstances = circumstances(&job, &shop);
        let (findings, refused) = model::damage::findings(book, job.marks.iter());
        assert!(refused.is_empty(), "{name}");
        let decisions = decide(book, rules, findings, &job.holds, &circumstances);
        let tariff = Tariff::new(&shop);
        let candidates = decisions
            .iter()
            .map(|decision| {
                let (hold, option) = (job.holds.get(&decision.part).copied(), job.options.get(&decision.part));
                candidates(book, decision, hold, option, &tariff, &circumstances)
            })
            .collect();
        Self { name, book, shop, circumstances, decisions, candidates }
    }

    pub fn parts(&self) -> Vec<&Candidates> {
        self.candidates.iter().collect()
    }
}

pub fn demo(name: &str) -> Job {
    wire::read_file(&read(&format!("public/demo/{name}.json"))).expect("a demo job").job
}

/// All demo jobs and made-up ones of up to 60 damaged parts.
pub fn all() -> Vec<Case<'static>> {
    let mut out: Vec<Case<'static>> = DEMOS
        .iter()
        .map(|name| Case::new((*name).to_owned(), demo(name), model::rules::general(), Shop::default()))
        .collect();
    for (seed, parts) in
        [(1, 3), (2, 5), (3, 8), (4, 12), (5, 16), (6, 20), (7, 20), (8, 30), (9, 40), (10, 60), (11, 60)]
    {
        let mut job = model::generate::job(seed, parts).expect("a job");
        // Every family of colour, and none.
        job.vehicle.colour_family = usize::try_from(seed % 4).ok().and_then(|at| ColourFamily::ALL.get(at)).copied();
        let name = format!("seed {seed}, {parts} parts");
        out.push(Case::new(name, job, model::rules::general(), Shop::default()));
    }
    out
}
