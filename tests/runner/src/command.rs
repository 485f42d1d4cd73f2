//! Running a program: streamed, watched with a progress line, or only asked.
//! Must never hide the output of a program that failed.

use std::ffi::OsStr;
use std::io::{BufRead, BufReader, Read};
use std::process::{Command, Stdio};
use std::sync::{Arc, Mutex};
use std::thread;
use std::time::{Duration, Instant};

use crate::count::Tally;
use crate::failure::{Done, Failure};
use crate::place::Place;

/// How often a watched program says that it is still at work.
const HEARTBEAT: Duration = Duration::from_secs(20);
/// How many lines of a failed, watched program are shown.
const LAST_LINES: usize = 60;

/// A program to run, with its arguments, in the top folder of the repository.
pub struct Run {
    shown: String,
    command: Command,
}

impl Run {
    /// Prepares a program; it is looked for among the installed tools first.
    pub fn new(place: &Place, program: &str) -> Self {
        let mut command = Command::new(place.program(program).unwrap_or_else(|| program.into()));
        command.current_dir(place.root()).env("PATH", place.search_path()).stdin(Stdio::null());
        // Cargo sets these for the program that it runs; passed on, they would make build scripts run again.
        for (key, _) in std::env::vars_os() {
            let own = key.to_string_lossy();
            if own.starts_with("CARGO_PKG_") || own.starts_with("CARGO_MANIFEST_") || own == "CARGO" {
                command.env_remove(&key);
            }
        }
        Self { shown: program.to_owned(), command }
    }

    /// Adds arguments.
    pub fn args<I: IntoIterator<Item: AsRef<OsStr>>>(mut self, arguments: I) -> Self {
        for argument in arguments {
            self.shown.push(' ');
            self.shown.push_str(&argument.as_ref().to_string_lossy());
            self.command.arg(argument);
        }
        self
    }

    /// Sets an environment variable.
    pub fn env(mut self, key: &str, value: impl AsRef<OsStr>) -> Self {
        self.command.env(key, value);
        self
    }

    /// Whether the program runs and ends well; its output is not shown.
    pub fn succeeds(mut self) -> bool {
        self.command.stdout(Stdio::null()).stderr(Stdio::null()).status().is_ok_and(|status| status.success())
    }

    /// What the program prints, if it ends well.
    pub fn answer(self) -> Option<String> {
        self.bytes().map(|bytes| String::from_utf8_lossy(&bytes).trim().to_owned())
    }

    /// The bytes that the program prints, if it ends well.
    pub fn bytes(mut self) -> Option<Vec<u8>> {
        let output = self.command.stderr(Stdio::null()).output().ok()?;
        output.status.success().then_some(output.stdout)
    }

    /// Runs with all output shown.
    ///
    /// # Errors
    /// When the program cannot be started or ends badly; `next` says what to do then.
    pub fn stream(mut self, next: &str) -> Done {
        println!("> {}", self.shown);
        let status = self.command.status().map_err(|error| self.not_started(&error))?;
        if status.success() { Ok(()) } else { Err(Failure::new(format!("`{}` ended with {status}", self.shown), next)) }
    }

    /// Runs with all output shown, and counts the tests that the program reports.
    /// A program that ends badly without a failed test counts as one failure.
    ///
    /// # Errors
    /// When the program cannot be started.
    pub fn tally(mut self) -> Result<Tally, Failure> {
        println!("> {}", self.shown);
        let mut child = self.command.stdout(Stdio::piped()).spawn().map_err(|error| self.not_started(&error))?;
        let mut tally = Tally::default();
        if let Some(output) = child.stdout.take() {
            for line in lines(output) {
                println!("{line}");
                tally.read(&line);
            }
        }
        let ended_well = child.wait().is_ok_and(|status| status.success());
        if !ended_well && tally.failed == 0 {
            tally.failed = 1;
        }
        Ok(tally)
    }

    /// Runs a long job with one progress line now and then instead of its output, which is shown if it fails.
    ///
    /// # Errors
    /// When the program cannot be started or ends badly; `next` says what to do then.
    pub fn watch(mut self, label: &str, next: &str) -> Done {
        let start = Instant::now();
        let mut child = self
            .command
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .map_err(|error| self.not_started(&error))?;
        let seen = Arc::new(Mutex::new(Vec::new()));
        let readers = [
            child.stdout.take().map(|output| collect(output, &seen)),
            child.stderr.take().map(|output| collect(output, &seen)),
        ];
        let mut next_word = HEARTBEAT;
        let status = loop {
            if let Some(status) = child.try_wait().map_err(|error| self.not_started(&error))? {
                break status;
            }
            if start.elapsed() >= next_word {
                next_word += HEARTBEAT;
                let last = seen.lock().ok().and_then(|lines| lines.last().cloned()).unwrap_or_default();
                println!("  {label}: still at work, {} ({})", elapsed(start), last.trim());
            }
            thread::sleep(Duration::from_millis(100));
        };
        for reader in readers.into_iter().flatten() {
            let _ = reader.join();
        }
        if status.success() {
            println!("  {label}: done in {}", elapsed(start));
            return Ok(());
        }
        if let Ok(lines) = seen.lock() {
            for line in lines.iter().skip(lines.len().saturating_sub(LAST_LINES)) {
                eprintln!("    {line}");
            }
        }
        Err(Failure::new(format!("`{}` ended with {status}", self.shown), next))
    }

    fn not_started(&self, error: &std::io::Error) -> Failure {
        Failure::new(format!("`{}` could not be run ({error})", self.shown), "run `sh tests/go setup`, then try again")
    }
}

/// Time since `start` in words, in whole seconds.
pub fn elapsed(start: Instant) -> String {
    let seconds = start.elapsed().as_secs();
    if seconds < 60 { format!("{seconds} s") } else { format!("{} min {} s", seconds / 60, seconds % 60) }
}

/// The lines of a stream; bytes that are not text are replaced.
fn lines(output: impl Read) -> impl Iterator<Item = String> {
    let mut reader = BufReader::new(output);
    std::iter::from_fn(move || {
        let mut bytes = Vec::new();
        let count = reader.read_until(b'\n', &mut bytes).ok()?;
        (count > 0).then(|| String::from_utf8_lossy(&bytes).trim_end_matches(['\n', '\r']).to_owned())
    })
}

fn collect(output: impl Read + Send + 'static, seen: &Arc<Mutex<Vec<String>>>) -> thread::JoinHandle<()> {
    let seen = Arc::clone(seen);
    thread::spawn(move || {
        for line in lines(output).filter(|line| !line.trim().is_empty()) {
            if let Ok(mut list) = seen.lock() {
                list.push(line);
            }
        }
    })
}
