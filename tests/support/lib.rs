//! What several checks share: the project's folder, a mark to plan with, a seeded source of numbers, and Python as an
//! outside judge.

use model::damage::{Mark, MarkShape};
use model::ids::PartId;
use model::terms::{Coat, MarkKind, View};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// The project's top folder.
pub fn project() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("tests lies in the project").to_owned()
}

/// A file of the project as text.
///
/// # Panics
/// If it cannot be read.
pub fn read(path: &str) -> String {
    let file = project().join(path);
    std::fs::read_to_string(&file).unwrap_or_else(|error| panic!("{}: {error}", file.display()))
}

/// A round mark of bare, sharply bent metal, as the checks of trade facts use it; `radius` and `depth_mm` in mm.
pub fn mark(part: &str, view: View, at: [i32; 2], radius: i32, kind: MarkKind, depth_mm: u16) -> Mark {
    Mark {
        part: PartId::from(part),
        view,
        shape: MarkShape::Ellipse { at, radii: [radius, radius], turn_deg: 0 },
        kind,
        depth_mm,
        coat: Coat::BareMetal,
        sharp: true,
        count: 0,
        note: String::new(),
    }
}

/// Runs a Python script with `input` on its standard input and returns its output.
///
/// The interpreter is `CUTLINE_PYTHON` (the task runner sets it to the one that has the outside libraries) or else the
/// one under `target/venv`.
///
/// # Panics
/// If there is no interpreter or the script fails; the message says what to do.
pub fn python(script: &str, input: &str) -> String {
    let interpreter = std::env::var("CUTLINE_PYTHON")
        .unwrap_or_else(|_| project().join("target/venv/bin/python").display().to_string());
    let mut child = Command::new(&interpreter)
        .arg(project().join(script))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap_or_else(|error| panic!("{interpreter}: {error}. Run `sh tests/go setup` first."));
    let mut stdin = child.stdin.take().expect("standard input is piped");
    let input = input.to_owned();
    let writer = std::thread::spawn(move || stdin.write_all(input.as_bytes()));
    let output = child.wait_with_output().expect("the interpreter ends");
    let written = writer.join().expect("the writer ends");
    assert!(output.status.success(), "{script}: {}", String::from_utf8_lossy(&output.stderr));
    written.expect("the script reads its input");
    String::from_utf8(output.stdout).expect("the script prints text")
}

/// A small seeded generator (splitmix64), so that every failing case can be made again from its seed.
pub struct Numbers(u64);

impl Numbers {
    /// Starts from a seed.
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }
    /// The next 64 bits.
    pub fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }
    /// A number from `low` up to `high`, not reaching it.
    pub fn within(&mut self, low: f64, high: f64) -> f64 {
        #[allow(clippy::cast_precision_loss)] // 53 bits fit
        let share = (self.bits() >> 11) as f64 / (1_u64 << 53) as f64;
        low + share * (high - low)
    }
    /// A whole number below `count`.
    ///
    /// # Panics
    /// If `count` is 0.
    pub fn below(&mut self, count: usize) -> usize {
        usize::try_from(self.bits() % count as u64).expect("below a usize")
    }
}
