//! What a job may contain: alphabets, lengths and ranges, the same as in the published schema.
//!
//! Checks form only. Whether a part exists is the body book's business, and what damage means is the rule book's.

use super::change::{Body, CHANGE_VERSION, MarkField, Write};
use super::option::{CELLS_MAX, MOVE_MAX_MM, OptionHold, VALUE_MAX, VehicleValue};
use super::revision::Revision;
use super::stamp::days_from_civil;
use super::state::{Job, JobId, Vehicle};
use crate::damage::{DEPTH_MAX_MM, Mark, MarkShape, REACH_MM};
use crate::error::{Error, Result};
use crate::money::{Currency, decimal};

/// Greatest length of a line of text (title, owner, colour), characters.
pub const LINE_MAX: usize = 200;
/// Greatest length of a note, characters.
pub const NOTE_MAX: usize = 4_000;
/// Greatest length of a vehicle identification number, characters.
pub const VIN_MAX: usize = 17;
/// Most points of one outline.
pub const POINTS_MAX: usize = 500;
/// Most dents that one hail field counts.
pub const COUNT_MAX: u16 = 10_000;
/// Most marks that a person can add to one job.
pub const MARKS_MAX: usize = 1_000;
/// Most revisions that a person can freeze of one job.
pub const REVISIONS_MAX: usize = 100;
/// Most lines, and most parts, of one revision.
pub const REVISION_LINES_MAX: usize = 5_000;

/// Whether a text can name a job, device, part or mark: 1 to 64 out of `a`–`z`, `0`–`9`, `-`.
pub fn is_name(text: &str) -> bool {
    (1..=64).contains(&text.len()) && text.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-')
}

/// Whether a text is a day of the calendar, `YYYY-MM-DD`, from 1970 to 9999.
pub fn is_date(text: &str) -> bool {
    let mut pieces = text.split('-');
    let mut piece = |length: usize| {
        let digits = pieces.next().filter(|p| p.len() == length && p.bytes().all(|b| b.is_ascii_digit()))?;
        digits.parse::<u64>().ok()
    };
    let day = (piece(4), piece(2), piece(2));
    let (Some(year), Some(month), Some(day)) = day else { return false };
    pieces.next().is_none() && days_from_civil(year, month, day).is_some()
}

pub(super) fn name(text: &str, place: &str) -> Result<()> {
    if is_name(text) { Ok(()) } else { Err(Error::new("error-job-name", place).with("value", short(text))) }
}

fn short(text: &str) -> String {
    text.chars().take(40).collect()
}

pub(super) fn length(text: &str, most: usize, place: &str) -> Result<()> {
    if text.chars().count() <= most { Ok(()) } else { Err(Error::new("error-job-long", place).with("most", most)) }
}

pub(super) fn date(text: &str, place: &str) -> Result<()> {
    if text.is_empty() || is_date(text) {
        Ok(())
    } else {
        Err(Error::new("error-job-date", place).with("value", short(text)))
    }
}

pub(super) fn at_most(value: u16, most: u16, place: &str) -> Result<()> {
    if value <= most {
        Ok(())
    } else {
        Err(Error::new("error-job-number", place).with("value", value).with("most", most))
    }
}

/// An outline's ranges; with `deep` also that it encloses something, which costs a geometry run.
fn shape(shape: &MarkShape, deep: bool) -> Result<()> {
    let reach = |values: &[i32]| values.iter().all(|v| (-REACH_MM..=REACH_MM).contains(v));
    let enough = |points: &[[i32; 2]], least: usize| {
        if (least..=POINTS_MAX).contains(&points.len()) {
            Ok(())
        } else {
            Err(Error::new("error-job-points", "shape").with("least", least).with("most", POINTS_MAX))
        }
    };
    let ok = match shape {
        MarkShape::Ellipse { at, radii, turn_deg } => {
            reach(at) && reach(radii) && radii.iter().all(|r| *r >= 1) && (-360..=360).contains(turn_deg)
        }
        MarkShape::Stroke { points, width } => {
            enough(points, 2)?;
            points.iter().all(|p| reach(p)) && (1..=REACH_MM).contains(width)
        }
        MarkShape::Polygon { points } => {
            enough(points, 3)?;
            points.iter().all(|p| reach(p))
        }
    };
    if !ok {
        return Err(Error::new("error-mark-range", "shape").with("reach", REACH_MM));
    }
    if deep { shape.area().map(|_| ()) } else { Ok(()) }
}

pub(super) fn mark(mark: &Mark, deep: bool) -> Result<()> {
    name(mark.part.as_str(), "part")?;
    shape(&mark.shape, deep)?;
    at_most(mark.depth_mm, DEPTH_MAX_MM, "depth_mm")?;
    at_most(mark.count, COUNT_MAX, "count")?;
    length(&mark.note, NOTE_MAX, "note")
}

fn vehicle(vehicle: &Vehicle) -> Result<()> {
    length(&vehicle.vin, VIN_MAX, "vin")?;
    length(&vehicle.colour, LINE_MAX, "colour")
}

/// A whole job, as read from a file.
pub(super) fn job(job: &Job) -> Result<()> {
    length(&job.title, LINE_MAX, "title")?;
    length(&job.owner, LINE_MAX, "owner")?;
    date(&job.received, "received")?;
    vehicle(&job.vehicle).map_err(|error| error.within("vehicle"))?;
    length(&job.note, NOTE_MAX, "note")?;
    for (id, value) in &job.marks {
        name(id.as_str(), &format!("marks.{}", short(id.as_str())))?;
        mark(value, true).map_err(|error| error.within(&format!("marks.{id}")))?;
    }
    let parts = |place: &str, part: &str| name(part, &format!("{place}.{}", short(part)));
    job.holds.keys().try_for_each(|part| parts("holds", part.as_str()))?;
    job.inspections.keys().try_for_each(|part| parts("inspections", part.as_str()))?;
    for (part, hold) in &job.options {
        let place = format!("options.{}", short(part.as_str()));
        name(part.as_str(), &place)?;
        option(hold).map_err(|error| error.within(&place))?;
    }
    job.photos.iter().try_for_each(|(id, photo)| super::photo::check(id, photo))?;
    job.value.iter().try_for_each(|value| worth(value).map_err(|error| error.within("value")))?;
    for (at, one) in job.revisions.iter().enumerate() {
        revision(one).map_err(|error| error.within(&format!("revisions[{at}]")))?;
    }
    Ok(())
}

/// What a person holds to for one part.
fn option(hold: &OptionHold) -> Result<()> {
    if hold.is_empty() {
        return Err(Error::new("error-job-option-empty", ""));
    }
    if hold.cells.len() > CELLS_MAX || hold.moves.len() > CELLS_MAX {
        let place = if hold.cells.len() > CELLS_MAX { "cells" } else { "moves" };
        return Err(Error::new("error-job-option-many", place).with("most", CELLS_MAX));
    }
    hold.cells.iter().try_for_each(|cell| name(cell.as_str(), "cells"))?;
    if !hold.cells.is_sorted_by(|one, next| one < next) {
        return Err(Error::new("error-job-option-order", "cells"));
    }
    for (cut, mm) in &hold.moves {
        let place = format!("moves.{}", short(cut.as_str()));
        name(cut.as_str(), &place)?;
        if *mm == 0 || !(-MOVE_MAX_MM..=MOVE_MAX_MM).contains(mm) {
            return Err(Error::new("error-job-move", place).with("value", mm).with("most", MOVE_MAX_MM));
        }
    }
    Ok(())
}

fn currency(code: &str) -> Result<Currency> {
    Currency::from_code(code).map_err(|error| error.within("currency"))
}

fn worth(value: &VehicleValue) -> Result<()> {
    currency(&value.currency)?;
    if (0..=VALUE_MAX).contains(&value.minor) {
        Ok(())
    } else {
        Err(Error::new("error-job-number", "minor").with("value", value.minor).with("most", VALUE_MAX))
    }
}

/// A frozen revision: lengths, names, and that its sums are the sums of its lines.
fn revision(revision: &Revision) -> Result<()> {
    length(&revision.name, LINE_MAX, "name")?;
    if !is_date(&revision.day) {
        return Err(Error::new("error-job-date", "day").with("value", short(&revision.day)));
    }
    let decimals = currency(&revision.currency)?.decimals();
    if revision.digits != decimals {
        return Err(Error::new("error-job-digits", "digits").with("wanted", decimals));
    }
    let against = &revision.against;
    let editions = [&against.book, &against.rules, &against.times, &against.prices, &against.rates, &against.shop];
    editions.into_iter().chain([&revision.vehicle]).try_for_each(|text| length(text, NOTE_MAX, "against"))?;
    if revision.lines.len() > REVISION_LINES_MAX || revision.parts.len() > REVISION_LINES_MAX {
        return Err(Error::new("error-revision-long", "lines").with("most", REVISION_LINES_MAX));
    }
    for part in &revision.parts {
        let place = format!("parts.{}", short(part.part.as_str()));
        let names = part.cuts.iter().map(|cut| cut.as_str()).chain(part.marks.keys().map(|mark| mark.as_str()));
        names.chain([part.part.as_str()]).try_for_each(|one| name(one, &place))?;
        part.marks.values().try_for_each(|print| length(print, 64, &place))?;
        part.option.iter().try_for_each(|hold| option(hold).map_err(|error| error.within(&place)))?;
    }
    let mut keys = std::collections::BTreeSet::new();
    for line in &revision.lines {
        let place = format!("lines.{}", short(&line.key));
        [&line.key, &line.what, &line.how].into_iter().try_for_each(|text| length(text, LINE_MAX, &place))?;
        line.part.iter().try_for_each(|part| name(part.as_str(), &place))?;
        if !keys.insert(&line.key) {
            return Err(Error::new("error-revision-twice", place));
        }
    }
    let money = revision.lines.iter().map(|line| i128::from(line.amount)).sum::<i128>();
    let seconds = revision.lines.iter().map(|line| u128::from(line.seconds)).sum::<u128>();
    let tax = revision.taxes.iter().map(|tax| i128::from(tax.amount)).sum::<i128>();
    if money + tax != i128::from(revision.total) || seconds != u128::from(revision.seconds) || revision.days[1] == 0 {
        return Err(Error::new("error-revision-sum", "total"));
    }
    for tax in &revision.taxes {
        let percent = decimal(&tax.percent, 3).map(|_| ());
        percent.map_err(|error| error.within(&format!("taxes.{}", tax.category)))?;
    }
    Ok(())
}

/// One write; `deep` as in [`shape`].
pub(super) fn write(value: &Write, deep: bool) -> Result<()> {
    match value {
        Write::Title(text) => length(text, LINE_MAX, "title"),
        Write::Owner(text) => length(text, LINE_MAX, "owner"),
        Write::Received(text) => date(text, "received"),
        Write::Vin(text) => length(text, VIN_MAX, "vehicle.vin"),
        Write::Colour(text) => length(text, LINE_MAX, "vehicle.colour"),
        Write::Note(text) => length(text, NOTE_MAX, "note"),
        Write::Cab(_)
        | Write::Bed(_)
        | Write::RestraintsDeployed(_)
        | Write::HighVoltage(_)
        | Write::Frame(_)
        | Write::Archived(_) => Ok(()),
        Write::Hold { part, .. } => name(part.as_str(), "holds"),
        Write::Inspect { part, .. } => name(part.as_str(), "inspections"),
        Write::RemoveMark(id) => name(id.as_str(), "marks"),
        Write::Aim(_) | Write::ColourFamily(_) => Ok(()),
        Write::HoldOption { part, option: hold } => {
            name(part.as_str(), "options")?;
            let place = format!("options.{part}");
            hold.iter().try_for_each(|hold| option(hold).map_err(|error| error.within(&place)))
        }
        Write::Value(value) => value.iter().try_for_each(|value| worth(value).map_err(|error| error.within("value"))),
        Write::Freeze(one) => revision(one).map_err(|error| error.within("revisions")),
        Write::Photo { id, set } => {
            name(id.as_str(), "photos")?;
            super::photo::check_field(set).map_err(|error| error.within(&format!("photos.{id}")))
        }
        Write::Mark { id, set } => {
            name(id.as_str(), "marks")?;
            let within = match set {
                MarkField::Part(part) => name(part.as_str(), "part"),
                MarkField::Outline { shape: outline, .. } => shape(outline, deep),
                MarkField::Kind(_) | MarkField::Coat(_) | MarkField::Sharp(_) => Ok(()),
                MarkField::DepthMm(depth) => at_most(*depth, DEPTH_MAX_MM, "depth_mm"),
                MarkField::Count(count) => at_most(*count, COUNT_MAX, "count"),
                MarkField::Note(text) => length(text, NOTE_MAX, "note"),
            };
            within.map_err(|error| error.within(&format!("marks.{id}")))
        }
    }
}

/// A whole change.
pub(super) fn body(body: &Body, deep: bool) -> Result<()> {
    if body.v > CHANGE_VERSION {
        return Err(Error::new("error-job-newer", "v").with("version", body.v));
    }
    if body.v == 0 {
        return Err(Error::new("error-job-version", "v").with("version", CHANGE_VERSION));
    }
    super::wire::needs(body.v, Body::version_of(&body.ops), "v")?;
    name(&body.job.0, "job")?;
    name(&body.by.0, "by")?;
    for (at, op) in body.ops.iter().enumerate() {
        write(&op.write, deep).map_err(|error| error.within(&format!("ops[{at}]")))?;
    }
    Ok(())
}

/// A job's name.
pub(super) fn job_id(id: &JobId) -> Result<()> {
    name(&id.0, "id")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates() {
        for good in ["2026-11-25", "2000-02-29", "9999-12-31"] {
            assert!(is_date(good), "{good}");
        }
        for bad in
            ["", "2026-11-31", "1900-02-29", "2026-1-1", "2026-11-25 ", "2026-11-25-", "+026-11-25", "2026–11–25"]
        {
            assert!(!is_date(bad), "{bad}");
        }
    }

    #[test]
    fn names() {
        assert!(is_name("fender-left") && is_name(&"a".repeat(64)));
        for bad in ["", "Fender", "a/b", "a b", "é", &"a".repeat(65)] {
            assert!(!is_name(bad), "{bad}");
        }
    }
}
