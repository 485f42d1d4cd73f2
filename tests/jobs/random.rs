//! Random edits of a job, from a seed.

use checks::Numbers;
use model::damage::{Mark, MarkShape};
use model::ids::{CellId, CutId, MarkId, PartId, PhotoId};
use model::job::{
    Against, Command, DeviceId, Job, JobId, MarkField, OptionHold, Photo, PhotoField, Pin, RevisedLine, RevisedPart,
    RevisedTax, Revision, Session, Taken, Vehicle, VehicleValue,
};
use model::terms::{
    Action, Aim, Bed, Cab, Category, Coat, ColourFamily, FrameState, Inspection, MarkKind, Rounding, Route, View,
};
use std::sync::Arc;

const PARTS: [&str; 4] = ["fender-left", "hood", "apron-tube-left", "roof"];

fn one<T: Copy>(numbers: &mut Numbers, of: &[T]) -> T {
    of[numbers.below(of.len())]
}

fn small(numbers: &mut Numbers, below: usize) -> u16 {
    u16::try_from(numbers.below(below)).expect("small")
}

fn shape(numbers: &mut Numbers) -> MarkShape {
    let at = [100 + i32::from(small(numbers, 900)), 300 + i32::from(small(numbers, 900))];
    match numbers.below(3) {
        0 => MarkShape::Ellipse {
            at,
            radii: [20 + i32::from(small(numbers, 200)), 30],
            turn_deg: i32::from(small(numbers, 180)),
        },
        1 => MarkShape::Stroke { points: vec![at, [at[0] + 200, at[1] + 10]], width: 6 },
        _ => MarkShape::Polygon { points: vec![at, [at[0] + 90, at[1]], [at[0], at[1] + 70]] },
    }
}

fn option(numbers: &mut Numbers) -> OptionHold {
    OptionHold {
        route: (numbers.below(2) == 0).then(|| one(numbers, Route::ALL)),
        cells: (0..numbers.below(3)).map(|_| CellId::from(format!("cell-{}", numbers.below(4)))).collect(),
        moves: (0..numbers.below(3))
            .map(|_| (CutId::from(format!("cut-{}", numbers.below(3))), i32::from(small(numbers, 40)) - 20))
            .collect(),
    }
}

/// Some revision whose sums agree.
pub fn revision(numbers: &mut Numbers, job: &Job) -> Revision {
    let parts: Vec<RevisedPart> = job
        .marks
        .iter()
        .map(|(id, mark)| RevisedPart {
            part: mark.part.clone(),
            action: one(numbers, Action::ALL),
            route: None,
            cuts: Vec::new(),
            marks: [(id.clone(), format!("{:08x}", numbers.below(1 << 30)))].into(),
            hold: job.holds.get(&mark.part).copied(),
            option: job.options.get(&mark.part).cloned(),
            found: None,
        })
        .collect();
    let line = |(at, part): (usize, &RevisedPart), numbers: &mut Numbers| RevisedLine {
        key: format!("line-{at}"),
        part: Some(part.part.clone()),
        category: one(numbers, Category::ALL),
        what: "Work".into(),
        how: "1 × 1".into(),
        amount: i64::from(small(numbers, 9_000)),
        seconds: u64::from(small(numbers, 9_000)),
    };
    let lines: Vec<RevisedLine> = parts.iter().enumerate().map(|each| line(each, numbers)).collect();
    let (net, tax): (i64, i64) = (lines.iter().map(|line| line.amount).sum(), i64::from(small(numbers, 500)));
    let seconds = lines.iter().map(|line| line.seconds).sum();
    Revision {
        name: format!("given out {}", numbers.below(1000)),
        day: "2026-11-25".into(),
        aim: job.aim.unwrap_or(Aim::Money),
        against: Against { book: "book 1".into(), ..Against::default() },
        vehicle: "00000000".into(),
        currency: "EUR".into(),
        digits: 2,
        parts,
        lines,
        taxes: vec![RevisedTax { category: Category::Parts, percent: "19".into(), amount: tax }],
        rounding: Rounding::HalfUp,
        total: net + tax,
        seconds,
        bound_seconds: seconds * 2,
        days: [seconds, 28_800],
    }
}

/// Some edit of the photos.
fn photo(numbers: &mut Numbers, job: &Job, text: String) -> Command {
    let known: Vec<PhotoId> = job.photos.keys().cloned().collect();
    let mark = job.marks.keys().next().cloned();
    if known.is_empty() || numbers.below(3) == 0 {
        let taken = Taken {
            at: "2026-11-25T14:03".into(),
            width: 2048,
            height: 1536,
            bytes: u32::from(small(numbers, 60_000)),
            sha256: format!("{:064x}", numbers.below(1 << 30)),
            original: None,
        };
        return Command::AddPhoto {
            id: PhotoId::from(format!("p{}", numbers.below(100_000))),
            photo: Photo::new(taken, mark.filter(|_| numbers.below(2) == 0)),
        };
    }
    let field = match numbers.below(4) {
        0 => PhotoField::Note(text),
        1 => PhotoField::Mark(mark),
        2 => PhotoField::Pins(
            mark.into_iter().map(|mark| Pin { mark, x: small(numbers, 10_001), y: small(numbers, 10_001) }).collect(),
        ),
        _ => PhotoField::Binned((numbers.below(2) == 0).then(|| "2026-11-25".to_owned())),
    };
    Command::EditPhoto { id: known[numbers.below(known.len())].clone(), fields: vec![field] }
}

/// A job with nothing but its title, made by `device`.
pub fn start(device: DeviceId, now_ms: u64) -> Session {
    let mut job = Job::empty(JobId::from("test-job"));
    job.title = "Test".into();
    Session::create(&job, device, now_ms).expect("a good job")
}

/// Some edit that may be made to this job; now and then one that must be refused.
pub fn command(numbers: &mut Numbers, job: &Job) -> Command {
    let known: Vec<MarkId> = job.marks.keys().cloned().collect();
    let text = format!("text {}", numbers.below(1000));
    if !known.is_empty() && numbers.below(2) == 0 {
        let id = known[numbers.below(known.len())].clone();
        let field = match numbers.below(8) {
            0 => MarkField::Part(PartId::from(one(numbers, &PARTS))),
            1 => MarkField::Outline { view: one(numbers, View::ALL), shape: shape(numbers) },
            2 => MarkField::Kind(one(numbers, MarkKind::ALL)),
            3 => MarkField::DepthMm(small(numbers, 200)),
            4 => MarkField::Coat(one(numbers, Coat::ALL)),
            5 => MarkField::Sharp(numbers.below(2) == 0),
            6 => MarkField::Note(text),
            _ => return Command::RemoveMark { id },
        };
        return Command::EditMark { id, fields: vec![field, MarkField::Count(small(numbers, 3))] };
    }
    let part = PartId::from(one(numbers, &PARTS));
    if numbers.below(8) == 0 {
        return photo(numbers, job, text);
    }
    match numbers.below(16) {
        0..=4 => {
            let mark = Mark {
                part,
                view: one(numbers, View::ALL),
                shape: shape(numbers),
                kind: one(numbers, MarkKind::ALL),
                depth_mm: small(numbers, 60),
                coat: one(numbers, Coat::ALL),
                sharp: numbers.below(2) == 0,
                count: 0,
                note: String::new(),
            };
            Command::AddMark { id: MarkId::from(format!("m{}", numbers.below(100_000))), mark }
        }
        5 => Command::SetTitle(text),
        6 => Command::SetVehicle(Vehicle {
            cab: one(numbers, Cab::ALL),
            bed: one(numbers, Bed::ALL),
            vin: String::new(),
            colour: text,
            colour_family: (numbers.below(3) > 0).then(|| one(numbers, ColourFamily::ALL)),
        }),
        7 => Command::SetRestraintsDeployed(numbers.below(2) == 0),
        8 => Command::SetFrame(one(numbers, FrameState::ALL)),
        9 => Command::Hold { part, action: (numbers.below(3) > 0).then(|| one(numbers, Action::ALL)) },
        10 => Command::Inspect { part, state: one(numbers, Inspection::ALL) },
        11 => Command::SetAim((numbers.below(4) > 0).then(|| one(numbers, Aim::ALL))),
        12 => Command::HoldOption {
            part,
            action: (numbers.below(3) > 0).then_some(Action::Section),
            option: (numbers.below(3) > 0).then(|| option(numbers)),
        },
        13 => Command::SetValue(
            (numbers.below(4) > 0)
                .then(|| VehicleValue { minor: 100 * i64::from(small(numbers, 9)), currency: "EUR".into() }),
        ),
        14 => Command::Freeze(Arc::new(revision(numbers, job))),
        _ => Command::SetNote(text),
    }
}
