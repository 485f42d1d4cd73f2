//! Helpers for the model's own tests: a body, a job with marks, a plan.

#![allow(dead_code, missing_docs)] // each test file uses some of them

use model::catalogue::{Body, Book, generic};
use model::damage::{Mark, MarkShape};
use model::geometry::Point;
use model::ids::{MarkId, PartId};
use model::job::{Job, JobId};
use model::plan::{Plan, Shop, plan};
use model::terms::{Action, Bed, Cab, Coat, FrameState, MarkKind, View};

pub const BODY: Body = Body { cab: Cab::FourDoor, bed: Bed::Short };

pub fn book() -> &'static Book {
    generic(BODY)
}

pub fn job(book: &Book) -> Job {
    let mut job = Job::empty(JobId::from("test"));
    job.vehicle.cab = book.body.cab;
    job.vehicle.bed = book.body.bed;
    job.frame = FrameState::WithinTolerance;
    job
}

/// A point that surely lies on the part in this view.
pub fn point_on(book: &Book, part: &str, view: View) -> Point {
    let area = &book.part(&PartId::from(part)).unwrap_or_else(|| panic!("{part}")).shapes[&view];
    let (low, high) = (area.bounds().low, area.bounds().high);
    for steps in [2, 4, 8, 16, 32, 64, 128] {
        let mut best: Option<(f64, Point)> = None;
        for i in 1..steps {
            for j in 1..steps {
                let at = |n: i32, from: f64, to: f64| from + (to - from) * f64::from(n) / f64::from(steps);
                let point = Point::new(at(i, low.a, high.a).round(), at(j, low.b, high.b).round());
                if area.contains(point) {
                    let room = area.distance_to_edge(point);
                    if best.is_none_or(|(known, _)| room > known) {
                        best = Some((room, point));
                    }
                }
            }
        }
        if let Some((_, point)) = best {
            return point;
        }
    }
    panic!("no point on {part}");
}

#[allow(clippy::cast_possible_truncation)]
pub fn mark_at(part: &str, view: View, at: Point, radius: i32, kind: MarkKind, depth_mm: u16) -> Mark {
    Mark {
        part: PartId::from(part),
        view,
        shape: MarkShape::Ellipse { at: [at.a as i32, at.b as i32], radii: [radius, radius], turn_deg: 0 },
        kind,
        depth_mm,
        coat: Coat::BareMetal,
        sharp: false,
        count: 0,
        note: String::new(),
    }
}

/// A round mark somewhere on the part, in the view that shows most of it.
pub fn mark(book: &Book, part: &str, radius: i32, kind: MarkKind, depth_mm: u16) -> Mark {
    let known = book.part(&PartId::from(part)).unwrap_or_else(|| panic!("{part}"));
    let most = known.shapes.iter().max_by(|(_, one), (_, other)| one.size().total_cmp(&other.size()));
    let view = known.sections.as_ref().map_or_else(|| *most.expect("a view").0, |s| s.view);
    mark_at(part, view, point_on(book, part, view), radius, kind, depth_mm)
}

pub fn planned(book: &Book, job: &Job) -> Plan {
    plan(book, model::rules::general(), job, &Shop::default())
}

pub fn plan_of(book: &Book, marks: Vec<Mark>) -> Plan {
    let mut job = job(book);
    for (at, mark) in marks.into_iter().enumerate() {
        job.marks.insert(MarkId::from(format!("m{at}")), mark);
    }
    planned(book, &job)
}

pub fn permitted(plan: &Plan, part: &str) -> Vec<Action> {
    let decision = plan.decisions.iter().find(|decision| decision.part.as_str() == part);
    let decision = decision.unwrap_or_else(|| panic!("{part} has a decision; notices: {:?}", plan.notices));
    decision.options.iter().filter(|option| option.permitted).map(|option| option.action).collect()
}

pub fn recommended(plan: &Plan, part: &str) -> Action {
    let decision = plan.decisions.iter().find(|decision| decision.part.as_str() == part);
    decision.unwrap_or_else(|| panic!("{part} has a decision; notices: {:?}", plan.notices)).recommended
}

pub fn all_bodies() -> impl Iterator<Item = Body> {
    Cab::ALL.iter().flat_map(|cab| Bed::ALL.iter().map(|bed| Body { cab: *cab, bed: *bed }))
}

/// A mark with the given ring as its outline, buckled.
#[allow(clippy::cast_possible_truncation)]
pub fn polygon(part: &str, view: View, ring: &[Point]) -> Mark {
    let mut mark = mark_at(part, view, Point::default(), 1, MarkKind::Buckle, 30);
    // A little larger than the ring: the damage is inside whatever the rounding does.
    let middle = ring.iter().fold(Point::default(), |sum, p| Point::new(sum.a + p.a, sum.b + p.b));
    let middle = Point::new(middle.a / ring.len() as f64, middle.b / ring.len() as f64);
    let out = |p: &Point| {
        let length = p.distance(middle).max(1e-9);
        let grow = (length + 3.0) / length;
        [(middle.a + (p.a - middle.a) * grow).round() as i32, (middle.b + (p.b - middle.b) * grow).round() as i32]
    };
    mark.shape = MarkShape::Polygon { points: ring.iter().map(out).collect() };
    mark
}
