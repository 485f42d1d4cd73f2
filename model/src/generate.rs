//! Makes up a plausible damaged truck from a seed, for tests, measurements and trying things out.
//!
//! The same seed gives the same job, on every machine. Never part of anybody's real job: nothing else in the model asks
//! for it.

use crate::catalogue::{self, Body, Book, Part};
use crate::damage::{self, Mark, MarkShape};
use crate::error::{Error, Result};
use crate::ids::MarkId;
use crate::job::{Job, JobId, Vehicle};
use crate::terms::{Bed, Cab, Coat, Family, Form, FrameState, MarkKind, Role};

/// How far the order of parts by distance from the hit is shaken, mm.
const SHAKE_MM: u64 = 700;

/// A truck with one hit: the parts around it are damaged, the nearest worst. `parts` of them, 1 or more.
///
/// # Errors
/// Where the body that the seed picks has fewer parts.
pub fn job(seed: u64, parts: usize) -> Result<Job> {
    let mut dice = Dice(seed);
    let vehicle = Vehicle { cab: dice.one(Cab::ALL), bed: dice.one(Bed::ALL), ..Vehicle::default() };
    let book = catalogue::generic(Body { cab: vehicle.cab, bed: vehicle.bed });
    let most = book.parts.len();
    if parts == 0 || parts > most {
        return Err(Error::new("error-generate-parts", "--parts").with("parts", parts).with("most", most));
    }
    let mut job = Job::empty(JobId(format!("generated-{seed}-{parts}")));
    job.title = format!("Generated {seed}, {parts}");
    job.vehicle = vehicle;
    let mut near = around(book, &mut dice);
    near.truncate(parts);
    for (place, part) in near.into_iter().enumerate() {
        // 0 where the hit is worst, 100 at its rim.
        let rim = 100 * place / parts;
        let part = &book.parts[part];
        let wanted = 1 + usize::from(dice.below(4) == 0);
        let mut made = 0;
        while made < wanted {
            let mark = mark(part, rim, &mut dice);
            let id = MarkId::from(format!("m{:03}", job.marks.len() + 1));
            if damage::measure(book, part, &[(&id, &mark)]).1.is_empty() {
                job.marks.insert(id, mark);
                made += 1;
            }
        }
    }
    job.restraints_deployed = parts > 8 && dice.below(3) == 0;
    job.frame = dice.one(FrameState::ALL);
    Ok(job)
}

/// All parts by their distance from a random point of the body, shaken a little.
fn around(book: &Book, dice: &mut Dice) -> Vec<usize> {
    let hit = book.parts[dice.below(book.parts.len())].centre();
    let mut order: Vec<(u64, usize)> = book
        .parts
        .iter()
        .enumerate()
        .map(|(at, part)| {
            let there = part.centre();
            let (x, y, z) = (hit.0 - there.0, hit.1 - there.1, hit.2 - there.2);
            // Millimetres of a vehicle fit.
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            let distance = (x * x + y * y + z * z).sqrt() as u64;
            (distance + dice.bits() % SHAKE_MM, at)
        })
        .collect();
    order.sort_unstable();
    order.into_iter().map(|(_, at)| at).collect()
}

/// A mark somewhere on the part.
fn mark(part: &Part, rim: usize, dice: &mut Dice) -> Mark {
    let at = dice.below(part.shapes.len());
    let (view, area) = part.shapes.iter().nth(at).unwrap_or_else(|| unreachable!("a part has a shape"));
    let bounds = area.bounds();
    // Millimetres of a vehicle fit.
    #[allow(clippy::cast_possible_truncation)]
    let span = |low: f64, high: f64| (low as i32, ((high - low) as i32).max(1));
    let ((a, width), (b, height)) = (span(bounds.low.a, bounds.high.a), span(bounds.low.b, bounds.high.b));
    let centre = [a + dice.less(width), b + dice.less(height)];
    let radius = |size: i32, dice: &mut Dice| 12 + dice.less((size / 5).clamp(1, 200));
    let shape = if dice.below(4) == 0 {
        let to = [centre[0] + dice.less(160) - 80, centre[1] + 20 + dice.less(120)];
        MarkShape::Stroke { points: vec![centre, to], width: 4 + dice.less(8) }
    } else {
        let radii = [radius(width, dice), radius(height, dice)];
        MarkShape::Ellipse { at: centre, radii, turn_deg: dice.less(180) }
    };
    let kind = kind(part, rim, dice);
    let flat = matches!(kind, MarkKind::Scratch | MarkKind::Crack | MarkKind::Missing | MarkKind::Corrosion);
    let deepest = if rim < 40 { 90 } else { 25 };
    let depth_mm = if flat { 0 } else { u16::try_from(2 + dice.below(deepest)).unwrap_or(2) };
    let torn = matches!(kind, MarkKind::Tear | MarkKind::Crack | MarkKind::Kink | MarkKind::Buckle);
    let coat = if torn { Coat::BareMetal } else { dice.one(Coat::ALL) };
    let sharp = matches!(kind, MarkKind::Crease | MarkKind::Kink | MarkKind::Buckle) || dice.below(5) == 0;
    let count = if kind == MarkKind::HailField { u16::try_from(3 + dice.below(60)).unwrap_or(3) } else { 0 };
    Mark { part: part.id.clone(), view: *view, shape, kind, depth_mm, coat, sharp, count, note: String::new() }
}

/// What such a part suffers: light damage at the rim of the hit, worse within.
fn kind(part: &Part, rim: usize, dice: &mut Dice) -> MarkKind {
    let brittle = matches!(part.family, Family::Glass | Family::AluminiumCasting | Family::Magnesium)
        || matches!(part.form, Form::Pane | Form::Casting);
    let soft = matches!(part.family, Family::Plastic | Family::Composite | Family::Rubber);
    let carries = matches!(part.role, Role::Structural | Role::Frame);
    let choices: &[MarkKind] = match (brittle, soft, carries, rim < 40) {
        (true, ..) => &[MarkKind::Crack, MarkKind::Scratch, MarkKind::Missing],
        (_, true, ..) => &[MarkKind::Scratch, MarkKind::Crack, MarkKind::Tear, MarkKind::Misfit],
        (_, _, true, true) => &[MarkKind::Kink, MarkKind::Buckle, MarkKind::Tear, MarkKind::Crack, MarkKind::Dent],
        (_, _, true, false) => &[MarkKind::Dent, MarkKind::Scratch, MarkKind::Misfit, MarkKind::Corrosion],
        (_, _, _, true) => &[MarkKind::Crease, MarkKind::Dent, MarkKind::Buckle, MarkKind::Tear, MarkKind::Misfit],
        _ => &[MarkKind::Scratch, MarkKind::Dent, MarkKind::Dent, MarkKind::HailField, MarkKind::Misfit],
    };
    dice.one(choices)
}

/// A small seeded source of numbers (splitmix64: Steele, Lea and Flood, "Fast splittable pseudorandom number
/// generators", 2014).
struct Dice(u64);

impl Dice {
    fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A whole number below `count`, which is not 0.
    fn below(&mut self, count: usize) -> usize {
        usize::try_from(self.bits() % count as u64).unwrap_or(0)
    }

    /// The same for millimetres.
    fn less(&mut self, count: i32) -> i32 {
        i32::try_from(self.below(usize::try_from(count).unwrap_or(1))).unwrap_or(0)
    }

    fn one<T: Copy>(&mut self, of: &[T]) -> T {
        of[self.below(of.len())]
    }
}
