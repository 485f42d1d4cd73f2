//! The test command: every check in order, a table at the end, and one closing line with the totals.
//! Must never end well when a step failed, was not run, or ran no test although it should have.

use std::time::Instant;

use crate::bundle;
use crate::command::{Run, elapsed};
use crate::count::Tally;
use crate::failure::{Done, Failure};
use crate::place::Place;
use crate::setup::{self, Need};

/// One step of the test command.
struct Step {
    name: &'static str,
    about: &'static str,
    /// The step whose failure makes this one pointless.
    after: Option<&'static str>,
    run: fn(&Place, Option<&str>) -> Result<Tally, Failure>,
}

const STEPS: [Step; 7] = [
    Step { name: "format", about: "the source is formatted", after: None, run: format },
    Step { name: "lint", about: "no compiler or clippy warnings, native and wasm", after: None, run: lint },
    Step { name: "native", about: "native tests and outside checks", after: None, run: native },
    Step { name: "wasm", about: "wasm tests in headless Chromium", after: None, run: wasm },
    Step { name: "bundle", about: "the release bundle builds", after: None, run: release },
    Step { name: "size", about: "the first load is within its limit", after: Some("bundle"), run: size },
    Step { name: "browser", about: "end to end in Chromium", after: Some("bundle"), run: browser },
];

/// What became of a step.
struct Outcome {
    name: &'static str,
    tally: Option<Tally>,
    time: String,
}

/// Runs all steps, or the named ones (`name` or `name=word`).
///
/// # Errors
/// When a name is unknown, the set-up fails, or any step fails.
pub fn all(place: &Place, wanted: &[String]) -> Done {
    let wanted: Vec<(&str, Option<&str>)> =
        wanted.iter().map(|word| word.split_once('=').map_or((word.as_str(), None), |(a, b)| (a, Some(b)))).collect();
    if let Some((unknown, _)) = wanted.iter().find(|(name, _)| !STEPS.iter().any(|step| step.name == *name)) {
        let names: Vec<&str> = STEPS.iter().map(|step| step.name).collect();
        return Err(Failure::new(
            format!("there is no test step `{unknown}`"),
            format!("name some of: {}", names.join(", ")),
        ));
    }
    let start = Instant::now();
    setup::ensure(place, Need::ALL)?;
    let mut outcomes: Vec<Outcome> = Vec::new();
    for step in &STEPS {
        let word = wanted.iter().find(|(name, _)| *name == step.name);
        if !wanted.is_empty() && word.is_none() {
            continue;
        }
        let blocked = step.after.is_some_and(|before| outcomes.iter().any(|o| o.name == before && !o.passed()));
        if blocked {
            outcomes.push(Outcome { name: step.name, tally: None, time: "not run".to_owned() });
            continue;
        }
        println!("\n== {}: {}", step.name, step.about);
        let begin = Instant::now();
        let tally = (step.run)(place, word.and_then(|(_, word)| *word)).unwrap_or_else(|failure| {
            eprintln!("{failure}");
            Tally::one(false)
        });
        outcomes.push(Outcome { name: step.name, tally: Some(tally), time: elapsed(begin) });
    }
    report(&outcomes, &elapsed(start))
}

impl Outcome {
    fn passed(&self) -> bool {
        self.tally.is_some_and(|tally| tally.failed == 0)
    }
}

/// Prints the table and the closing line.
fn report(outcomes: &[Outcome], time: &str) -> Done {
    println!("\n== Summary, {time}");
    let mut total = Tally::default();
    for outcome in outcomes {
        let counts = outcome.tally.unwrap_or(Tally::one(false));
        total.add(counts);
        let word = match outcome.tally {
            None => "NOT RUN",
            Some(_) if outcome.passed() => "passed",
            Some(_) => "FAILED",
        };
        println!(
            "  {:<8} {word:<8} {:>5} passed {:>4} failed {:>4} skipped   {}",
            outcome.name, counts.passed, counts.failed, counts.skipped, outcome.time
        );
    }
    println!("{} passed, {} failed, {} skipped", total.passed, total.failed, total.skipped);
    let bad: Vec<&str> = outcomes.iter().filter(|outcome| !outcome.passed()).map(|outcome| outcome.name).collect();
    let Some(first) = bad.first() else {
        return Ok(());
    };
    Err(Failure::new(
        format!("these steps did not pass: {}", bad.join(", ")),
        format!("read their output above; `sh tests/go test {first}` runs one step alone"),
    ))
}

/// A plain step: its commands all end well or it counts as one failure.
fn plain(done: Done) -> Result<Tally, Failure> {
    done.map(|()| Tally::one(true))
}

/// A step of tests must have run some: a suite that vanished is a fault, not a success.
fn some(tally: Tally, what: &str) -> Result<Tally, Failure> {
    if tally == Tally::default() {
        return Err(Failure::new(format!("{what} ran no test"), "see why the tests were not found"));
    }
    Ok(tally)
}

fn format(place: &Place, _: Option<&str>) -> Result<Tally, Failure> {
    plain(Run::new(place, "cargo").args(["fmt", "--all", "--", "--check"]).stream("run `cargo fmt --all`"))
}

fn lint(place: &Place, _: Option<&str>) -> Result<Tally, Failure> {
    const NEXT: &str = "read the warnings above; each is an error here";
    let native = ["clippy", "--workspace", "--exclude", "app", "--all-targets", "--", "-D", "warnings"];
    let wasm = ["--target", "wasm32-unknown-unknown", "--", "-D", "warnings"];
    plain(Run::new(place, "cargo").args(native).stream(NEXT))?;
    plain(Run::new(place, "cargo").args(["clippy", "--package", "model", "--lib"]).args(wasm).stream(NEXT))?;
    plain(Run::new(place, "cargo").args(["clippy", "--package", "app", "--all-targets"]).args(wasm).stream(NEXT))
}

fn native(place: &Place, _: Option<&str>) -> Result<Tally, Failure> {
    let tally = Run::new(place, "cargo")
        .args(["test", "--workspace", "--exclude", "app", "--no-fail-fast"])
        .env("CUTLINE_PYTHON", place.python())
        .tally()?;
    some(tally, "the native workspace")
}

fn wasm(place: &Place, _: Option<&str>) -> Result<Tally, Failure> {
    let missing = || Failure::new("ChromeDriver is missing", "run `sh tests/go setup`");
    let driver = place.chromedriver().ok_or_else(missing)?;
    let runner = place
        .program("wasm-bindgen-test-runner")
        .ok_or_else(|| Failure::new("wasm-bindgen-test-runner is missing", "run `sh tests/go setup`"))?;
    let tally = Run::new(place, "cargo")
        .args(["test", "--package", "app", "--target", "wasm32-unknown-unknown", "--no-fail-fast"])
        .env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUNNER", runner)
        .env("CHROMEDRIVER", driver)
        .env("WASM_BINDGEN_TEST_TIMEOUT", "120")
        .tally()?;
    some(tally, "the wasm suite")
}

fn release(place: &Place, _: Option<&str>) -> Result<Tally, Failure> {
    plain(bundle::build(place))
}

fn size(place: &Place, _: Option<&str>) -> Result<Tally, Failure> {
    plain(bundle::within_limit(place))
}

/// Two files side by side, each in browsers of its own: one alone leaves the second core idle for most of the time. Nothing
/// here is timed; that is what the benchmarks are for.
fn browser(place: &Place, word: Option<&str>) -> Result<Tally, Failure> {
    let mut files = place.browser_files(".test.mjs")?;
    files.retain(|file| word.is_none_or(|word| file.contains(word)));
    if files.is_empty() {
        return some(Tally::default(), "tests/browser");
    }
    let chromium = place.chromium().unwrap_or_else(|| "chromium".into());
    // A browser that does not end would keep the whole run waiting; forty minutes are far more than all need.
    let tally = Run::new(place, "timeout")
        .args([
            "--foreground",
            "--kill-after=30",
            "2400",
            "node",
            "--test",
            "--test-concurrency=2",
            "--test-reporter=spec",
        ])
        .args(&files)
        .env("CHROMIUM", chromium)
        .tally()?;
    some(tally, "tests/browser")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn outcome(tally: Option<Tally>) -> Outcome {
        Outcome { name: "native", tally, time: String::new() }
    }

    #[test]
    fn only_a_whole_pass_ends_well() {
        assert_eq!(report(&[outcome(Some(Tally { passed: 3, failed: 0, skipped: 1 }))], ""), Ok(()));
        assert!(report(&[outcome(Some(Tally { passed: 3, failed: 1, skipped: 0 }))], "").is_err());
        assert!(report(&[outcome(Some(Tally::one(true))), outcome(None)], "").is_err(), "a step that was not run");
    }

    #[test]
    fn a_suite_without_tests_is_a_failure() {
        assert!(some(Tally::default(), "x").is_err());
        assert!(some(Tally::one(true), "x").is_ok());
    }

    #[test]
    fn each_step_stands_after_the_one_it_needs() {
        for (place, step) in STEPS.iter().enumerate() {
            if let Some(before) = step.after {
                assert!(STEPS[..place].iter().any(|earlier| earlier.name == before), "{}", step.name);
            }
        }
    }
}
