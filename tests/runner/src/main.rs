//! The developer tasks of Cutline: set up a machine, serve the app, run every test, measure.
//!
//! Reading order: `place` (where things are), `command` (running a program), `setup` and `install` (what a machine
//! needs), `check` (every test), `bundle` (what the bundle weighs), `slim` (its texts and sheets), `split`
//! (its two parts, over `wasm` and `reach`), `pack` and `finish` (its last steps).
//! Must never decide anything about trucks, and must never touch what lies outside the repository
//! except by the system's own package managers.

mod bundle;
mod check;
mod command;
mod count;
mod failure;
mod finish;
mod install;
mod pack;
mod place;
mod reach;
mod setup;
mod slim;
mod split;
mod wasm;

use std::process::ExitCode;

use command::Run;
use failure::{Done, Failure};
use place::Place;
use setup::Need;

const HELP: &str = "\
Usage: sh tests/go COMMAND [ARGUMENTS]     (or: cargo task COMMAND [ARGUMENTS])

  serve [..]   set up what is missing and serve the app; arguments go to trunk serve (--release, --port 9000)
  test [NAME]  set up what is missing and run every test, or only the named steps:
               format lint native wasm bundle size browser
               (browser=WORD runs only the files of tests/browser whose name holds that word)
  setup        set up all that the other commands need
  build        write the release bundle to dist
  size         what the first load of the bundle weighs, compressed
  bench        the benchmarks, native and in Chromium
  shots [..]   screenshots of the screens in three sizes, light and dark, into target/shots
  help         this text
";

fn main() -> ExitCode {
    let mut arguments = std::env::args().skip(1);
    let command = arguments.next().unwrap_or_else(|| "help".to_owned());
    let rest: Vec<String> = arguments.collect();
    let place = Place::find();
    match act(&place, &command, &rest) {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            eprintln!("\n{failure}");
            ExitCode::FAILURE
        }
    }
}

/// Carries out one command.
fn act(place: &Place, command: &str, rest: &[String]) -> Done {
    match command {
        "serve" => serve(place, rest),
        "test" => check::all(place, rest),
        "setup" => setup::ensure(place, Need::ALL),
        "build" => build(place),
        "size" => {
            build(place)?;
            bundle::within_limit(place)
        }
        "finish-bundle" => finish::finish(place), // trunk calls it; see Trunk.toml
        "bench" => bench(place),
        "shots" => shots(place, rest),
        "help" | "--help" | "-h" => {
            print!("{HELP}");
            Ok(())
        }
        other => Err(Failure::new(format!("there is no command `{other}`"), "run `sh tests/go help` for the list")),
    }
}

fn serve(place: &Place, rest: &[String]) -> Done {
    setup::ensure(place, Need::FOR_BUNDLE)?;
    println!("\nServing the app. Open the address that trunk prints below; stop with Ctrl+C.");
    Run::new(place, "trunk")
        .args(["serve", "--offline"])
        .args(rest)
        .stream("if the port is taken, try `sh tests/go serve --port 9000`; otherwise read the first error above")
}

fn build(place: &Place) -> Done {
    setup::ensure(place, Need::FOR_BUNDLE)?;
    bundle::build(place)
}

fn bench(place: &Place) -> Done {
    setup::ensure(place, Need::ALL)?;
    Run::new(place, "cargo")
        .args(["bench", "--package", "checks", "--benches"])
        .stream("read the first error above")?;
    bundle::build(place)?;
    for file in place.browser_files(".bench.mjs")? {
        Run::new(place, "node").args([file]).stream("read the first error above")?;
    }
    Ok(())
}

fn shots(place: &Place, rest: &[String]) -> Done {
    setup::ensure(place, Need::ALL)?;
    bundle::build(place)?;
    Run::new(place, "node")
        .args(["tests/browser/shots.mjs"])
        .args(rest)
        .stream("read the first error above; the pictures made so far are in target/shots")
}
