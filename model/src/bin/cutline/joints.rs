//! `cutline joints`: every joint plan of a job as JSON, the map as SVG, the template as pages, the
//! materials as CSV.
//!
//! Only reads its own options and hands on what the model found.

use super::{Options, book_of, planned, say, stock, whole};
use model::ids::PartId;
use model::joints::sheets::{self, Page, Paper};
use model::joints::{Wanted, draw, ink, joint_plans, json, made_with, materials, unjoinable};
use model::operations::neighbours;

/// `joints JOB.json [--svg | --csv | --template a4|letter] [--part PART] [--joining LIST.json]` and the options of `plan`.
pub fn run(file: &str, words: &[&str]) -> Result<String, String> {
    let (mut svg, mut csv, mut part, mut paper) = (false, false, None, None);
    let mut rest = Vec::new();
    let mut words = words.iter().copied();
    while let Some(option) = words.next() {
        let mut value = || words.next().ok_or_else(|| say("command-value", &[("option", option)]));
        match option {
            "--svg" => svg = true,
            "--csv" => csv = true,
            "--template" => {
                let word = value()?;
                let known = || say("command-unknown", &[("option", "--template"), ("value", word)]);
                paper = Some(Paper::from_word(word).ok_or_else(known)?);
            }
            "--part" => part = Some(PartId::from(value()?)),
            other => rest.push(other),
        }
    }
    let options = Options::read(&rest)?;
    let (job, shop, plan) = planned(file, &options)?;
    whole(file, &plan)?;
    let stock = &*stock(&options)?;
    let book = book_of(&job);
    if let Some(part) = part.as_ref().filter(|part| book.part(part).is_none()) {
        return Err(say("command-unknown", &[("option", "--part"), ("value", part.as_str())]));
    }
    let picked: Vec<_> = plan.decisions.iter().map(std::sync::Arc::as_ref).zip(&plan.picks).collect();
    let mut plans = joint_plans(book, &picked, stock, &shop.times, Wanted::Permitted);
    let mut with = made_with(book, &picked, &plans);
    with.retain(|one| part.as_ref().is_none_or(|part| one.part == *part));
    plans.retain(|joint| part.as_ref().is_none_or(|part| joint.part == *part));
    if let Some(paper) = paper {
        let maps = draw::maps(book, &plans, part.as_ref());
        let pages: Vec<Page> = maps
            .iter()
            .flat_map(|map| [sheets::overview(map, paper, &[]), sheets::template(map, paper)])
            .flatten()
            .collect();
        return Ok(sheets::to_html(&pages, paper, &job.title));
    }
    if svg {
        return Ok(ink::to_svg(book, &plans, part.as_ref(), &job.title));
    }
    let coats = materials::refinish(stock, &plan.operations);
    let lines = materials::materials(stock, &plans, &coats);
    let mut blends = neighbours(book, &plan.operations, job.vehicle.colour_family);
    blends.retain(|one| part.as_ref().is_none_or(|part| one.part == *part));
    if csv {
        return Ok(materials::to_csv(&lines));
    }
    let json = json::to_json(stock, &plans, &with, &unjoinable(book, &picked), &coats, &blends, &lines);
    serde_json::to_string_pretty(&json).map(|text| text + "\n").map_err(|error| error.to_string())
}
