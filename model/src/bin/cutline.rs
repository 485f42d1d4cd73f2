//! The command line: the same functions as the app, for batch use and for tests.
//!
//! Reads files, writes JSON or SVG to standard output; errors go to standard error with exit code 1 and name the field.

use model::catalogue::{self, read::Description};
use model::money::Currency;
use model::prices::PriceList;
use model::rates::Rates;
use model::scene::{self, Place, SvgLook};
use model::stock::Stock;
use model::terms::{Aim, Layer, View};
use model::times::TimeBook;
use model::{job, optimise, plan, rules, words};
use std::process::ExitCode;
use std::sync::Arc;

#[path = "cutline/backup.rs"]
mod backup;
#[path = "cutline/joints.rs"]
mod joints;

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    match run(&arguments) {
        Ok(text) => {
            use std::io::Write;
            // A reader that stops early (`| head`) is no fault of ours.
            let _ = std::io::stdout().write_all(text.as_bytes());
            ExitCode::SUCCESS
        }
        Err(message) => {
            eprintln!("cutline: {message}");
            ExitCode::FAILURE
        }
    }
}

fn run(arguments: &[String]) -> Result<String, String> {
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    match words.as_slice() {
        ["plan", file, rest @ ..] => plan_file(file, &Options::read(rest)?),
        ["solve", rest @ ..] => {
            let (file, rest) = job_among(rest)?;
            solve_file(file, &Options::read(&rest)?)
        }
        ["draw", file, rest @ ..] => draw_file(file, &Options::read(rest)?),
        ["joints", file, rest @ ..] => joints::run(file, rest),
        ["generate", rest @ ..] => generate(&Options::read(rest)?),
        ["check-backup", file] => backup::run(file),
        ["check-book", file] => check_book(file),
        ["check-rules", file] => check_rules(file),
        ["check-rates", file] => check_rates(file),
        ["check-prices", file, rest @ ..] => check_prices(file, &Options::read(rest)?),
        _ => Err(words::word("command-usage")),
    }
}

#[derive(Default)]
struct Options {
    view: Option<Place>,
    layer: Option<Layer>,
    rules: Option<String>,
    rates: Option<String>,
    joining: Option<String>,
    prices: Option<String>,
    times: Option<String>,
    line: bool,
    cuts: Option<String>,
    aluminium_welding: Option<bool>,
    seed: Option<u64>,
    parts: Option<usize>,
    mps: bool,
    objective: Option<Aim>,
}

impl Options {
    fn read(words: &[&str]) -> Result<Self, String> {
        let mut options = Self::default();
        let mut rest = words.iter();
        while let Some(option) = rest.next() {
            let mut value = || rest.next().copied().ok_or_else(|| say("command-value", &[("option", option)]));
            match *option {
                "--view" => {
                    let word = value()?;
                    let place = View::from_word(word).map(Place::of).or_else(|| Place::from_word(word));
                    options.view = Some(place.ok_or_else(|| unknown("--view", word))?);
                }
                "--layer" => {
                    let word = value()?;
                    options.layer = Some(Layer::from_word(word).ok_or_else(|| unknown("--layer", word))?);
                }
                "--rules" => options.rules = Some(value()?.to_owned()),
                "--joining" => options.joining = Some(value()?.to_owned()),
                "--rates" => options.rates = Some(value()?.to_owned()),
                "--prices" => options.prices = Some(value()?.to_owned()),
                "--times" => options.times = Some(value()?.to_owned()),
                "--seed" => options.seed = Some(number("--seed", value()?)?),
                "--parts" => options.parts = Some(number("--parts", value()?)?),
                "--mps" => options.mps = true,
                "--objective" => {
                    let word = value()?;
                    options.objective = Some(Aim::from_word(word).ok_or_else(|| unknown("--objective", word))?);
                }
                "--line" => options.line = true,
                "--cuts" => options.cuts = Some(value()?.to_owned()),
                "--aluminium-welding" => {
                    options.aluminium_welding = Some(match value()? {
                        "yes" => true,
                        "no" => false,
                        other => return Err(unknown("--aluminium-welding", other)),
                    });
                }
                other => return Err(say("command-option", &[("option", other)])),
            }
        }
        Ok(options)
    }
}

fn say(key: &str, arguments: &[(&str, &str)]) -> String {
    words::say(words::Language::English, key, arguments)
}

fn unknown(option: &str, value: &str) -> String {
    say("command-unknown", &[("option", option), ("value", value)])
}

fn number<T: std::str::FromStr>(option: &str, word: &str) -> Result<T, String> {
    word.parse().map_err(|_| say("command-number", &[("option", option), ("value", word)]))
}

fn read(file: &str) -> Result<String, String> {
    std::fs::read_to_string(file).map_err(|error| format!("{file}: {error}"))
}

fn in_file(file: &str) -> impl Fn(model::Error) -> String {
    move |error| format!("{file}: {error}")
}

/// The job of a file with the plan that stands on it.
fn planned(file: &str, options: &Options) -> Result<(job::Job, plan::Shop, plan::Plan), String> {
    let job = job::wire::read_file(&read(file)?).map_err(in_file(file))?.job;
    let mut rule_book = rules::general().clone();
    if let Some(own) = &options.rules {
        let loaded = rules::read::read(&read(own)?).map_err(in_file(own))?;
        rule_book = rule_book.overlay(loaded).map_err(in_file(own))?;
    }
    let book = book_of(&job);
    let shop = shop(options)?;
    let plan = plan::plan(book, &rule_book, &job, &shop);
    Ok((job, shop, plan))
}

/// The format of a file that only says what differs from the built-in time book.
const TIME_CHANGES: &str = "\"cutline-time-changes\"";

/// The built-in shop with what the options put in place of it.
fn shop(options: &Options) -> Result<plan::Shop, String> {
    let mut shop = plan::Shop { aluminium_welding: options.aluminium_welding.unwrap_or(true), ..plan::Shop::default() };
    if let Some(file) = &options.rates {
        shop.rates = Arc::new(Rates::read(&read(file)?).map_err(in_file(file))?);
    }
    if let Some(file) = &options.times {
        let text = read(file)?;
        let general = TimeBook::general();
        let own = if text.contains(TIME_CHANGES) { general.with(&text) } else { TimeBook::read(&text) };
        shop.times = Arc::new(own.map_err(in_file(file))?);
    }
    if options.joining.is_some() {
        shop.times = Arc::new((*shop.times).clone().cured(&*stock(options)?));
    }
    shop.prices = match &options.prices {
        Some(file) => Arc::new(prices(file, shop.rates.currency)?),
        None => PriceList::demo_in(shop.rates.currency),
    };
    Ok(shop)
}

/// The built-in joining list, or the one that the options name.
fn stock(options: &Options) -> Result<Arc<Stock>, String> {
    match &options.joining {
        Some(file) => Ok(Arc::new(Stock::read(&read(file)?).map_err(in_file(file))?)),
        None => Ok(Arc::clone(Stock::general())),
    }
}

/// A price list, or every fault of it on a line of its own.
fn prices(file: &str, currency: Currency) -> Result<PriceList, String> {
    let csv = std::fs::read(file).map_err(|error| format!("{file}: {error}"))?;
    let faults = |faults: Vec<model::Error>| faults.into_iter().map(in_file(file)).collect::<Vec<_>>().join("\n");
    PriceList::read(&csv, file, "own", currency).map_err(faults)
}

fn book_of(job: &job::Job) -> &'static catalogue::Book {
    catalogue::generic(catalogue::Body { cab: job.vehicle.cab, bed: job.vehicle.bed })
}

/// A job of which a mark cannot be measured is refused: its plan would lack something.
fn whole(file: &str, plan: &plan::Plan) -> Result<(), String> {
    match plan.refused_marks.first() {
        Some((_, error)) => Err(in_file(file)(error.clone().within("job"))),
        None => Ok(()),
    }
}

fn plan_file(file: &str, options: &Options) -> Result<String, String> {
    let (job, _, plan) = planned(file, options)?;
    whole(file, &plan)?;
    let json = serde_json::to_string_pretty(&plan::to_json(book_of(&job), &plan)).map_err(|error| error.to_string())?;
    Ok(json + "\n")
}

/// The job's file, which stands before, between or after the options, and the options.
fn job_among<'w>(words: &[&'w str]) -> Result<(&'w str, Vec<&'w str>), String> {
    let valued = |at: usize| at > 0 && words[at - 1].starts_with("--") && !["--mps", "--line"].contains(&words[at - 1]);
    let mut files = (0..words.len()).filter(|at| !words[*at].starts_with("--") && !valued(*at));
    let at = files.next().ok_or_else(|| words::word("command-usage"))?;
    let rest = words.iter().enumerate().filter(|(place, _)| *place != at).map(|(_, word)| *word).collect();
    Ok((words[at], rest))
}

/// The whole-job program of a file as MPS, or its best choice.
fn solve_file(file: &str, options: &Options) -> Result<String, String> {
    let (job, shop, plan) = planned(file, options)?;
    whole(file, &plan)?;
    let aim = options.objective.unwrap_or(plan.aim);
    if options.mps {
        let candidates = plan.candidates.iter().map(|one| &**one);
        let book = book_of(&job);
        let program = optimise::Program::new(book, &shop, candidates);
        let labels = program.labels(book, &format!("{}/{aim}", job.id), optimise::per(&shop, aim));
        return Ok(program.instance(aim, &shop).to_mps(&labels));
    }
    let best = plan::best_json(book_of(&job), &plan, aim);
    let json = serde_json::to_string_pretty(&best).map_err(|error| error.to_string())?;
    Ok(json + "\n")
}

fn draw_file(file: &str, options: &Options) -> Result<String, String> {
    let (job, _, plan) = planned(file, options)?;
    let book = book_of(&job);
    if let Some(id) = &options.cuts {
        return draw_cuts(book, &plan, id);
    }
    let place = options.view.unwrap_or(Place::Left);
    let layer = options.layer.unwrap_or(if place == Place::Below { Layer::Structure } else { Layer::Skin });
    let scene = scene::scene(book, place, layer);
    let overlay = scene::overlay(book, &scene, job.marks.iter(), &plan.decisions);
    let look = if options.line { SvgLook::Line } else { SvgLook::Tinted };
    Ok(scene::to_svg(&scene, &overlay, &job.title, look))
}

/// The cut map of one damaged part.
fn draw_cuts(book: &catalogue::Book, plan: &plan::Plan, id: &str) -> Result<String, String> {
    let found = plan.decisions.iter().zip(&plan.picks).find(|(decision, _)| decision.part.as_str() == id);
    let (decision, pick) = found.ok_or_else(|| say("command-cuts-part", &[("part", id)]))?;
    let part = book.part(&decision.part).ok_or_else(|| say("command-cuts-part", &[("part", id)]))?;
    let least = decision.option(model::terms::Action::Section).and_then(|option| option.section.as_ref());
    let section = pick.section.as_deref().or(least);
    let map = scene::cut_map(part, &decision.finding, section).map_err(|why| why.words())?;
    Ok(scene::cut_sheet(&map, &part.name()))
}

fn generate(options: &Options) -> Result<String, String> {
    let given = |option: &str| say("command-value", &[("option", option)]);
    let seed = options.seed.ok_or_else(|| given("--seed"))?;
    let parts = options.parts.ok_or_else(|| given("--parts"))?;
    let job = model::generate::job(seed, parts).map_err(|error| error.to_string())?;
    let file = serde_json::json!({
        "format": job::wire::FORMAT, "version": job::wire::VERSION, "id": job.id, "job": job,
    });
    let text = serde_json::to_string_pretty(&file).map_err(|error| error.to_string())?;
    Ok(text + "\n")
}

fn check_book(file: &str) -> Result<String, String> {
    let description = Description::read(&read(file)?).map_err(in_file(file))?;
    let books = description.resolve_all().map_err(in_file(file))?;
    let (id, edition) = description.name();
    let parts = books.iter().map(|book| book.parts.len()).max().unwrap_or(0).to_string();
    let bodies = books.len().to_string();
    Ok(say("command-book-good", &[("id", id), ("edition", edition), ("bodies", &bodies), ("parts", &parts)]) + "\n")
}

fn check_rules(file: &str) -> Result<String, String> {
    let book = rules::read::read(&read(file)?).map_err(in_file(file))?;
    let count = book.rules.len().to_string();
    Ok(say("command-rules-good", &[("id", &book.id), ("edition", &book.edition), ("rules", &count)]) + "\n")
}

fn check_rates(file: &str) -> Result<String, String> {
    let rates = Rates::read(&read(file)?).map_err(in_file(file))?;
    let (currency, count) = (rates.currency.code(), rates.materials.len().to_string());
    let values = [("id", &*rates.id), ("edition", &*rates.edition), ("currency", currency), ("materials", &*count)];
    Ok(say("command-rates-good", &values) + "\n")
}

/// Checks a price list in the currency of the rates.
fn check_prices(file: &str, options: &Options) -> Result<String, String> {
    let currency = shop(&Options { prices: None, rates: options.rates.clone(), ..Options::default() })?.rates.currency;
    let list = prices(file, currency)?;
    let (own, all) = (list.own.to_string(), list.items.len().to_string());
    Ok(say("command-prices-good", &[("own", &own), ("all", &all), ("currency", currency.code())]) + "\n")
}
