//! Counting tests by what the test programs print. Must never guess: a line that is not understood counts nothing.

/// How many tests passed, failed and were skipped.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Tally {
    /// Tests that passed.
    pub passed: u64,
    /// Tests that failed.
    pub failed: u64,
    /// Tests that were skipped.
    pub skipped: u64,
}

impl Tally {
    /// One check that passed or failed.
    pub const fn one(passed: bool) -> Self {
        Self { passed: passed as u64, failed: !passed as u64, skipped: 0 }
    }

    /// Adds another tally.
    pub const fn add(&mut self, other: Self) {
        self.passed += other.passed;
        self.failed += other.failed;
        self.skipped += other.skipped;
    }

    /// Reads one line of output: the closing line of cargo's and wasm-bindgen's test programs, or of Node's.
    pub fn read(&mut self, line: &str) {
        if let Some(result) = line.strip_prefix("test result: ") {
            // test result: ok. 12 passed; 0 failed; 1 ignored; ...
            let counts = result.split_once(". ").map_or(result, |(_, counts)| counts);
            for piece in counts.split(';') {
                let mut words = piece.split_whitespace();
                let Some(Ok(number)) = words.next().map(str::parse::<u64>) else {
                    continue;
                };
                match words.next() {
                    Some("passed") => self.passed += number,
                    Some("failed") => self.failed += number,
                    Some("ignored") => self.skipped += number,
                    _ => {}
                }
            }
            return;
        }
        // Node's own reporters: "ℹ pass 3" (spec) or "# pass 3" (tap).
        let Some(rest) = line.strip_prefix("ℹ ").or_else(|| line.strip_prefix("# ")) else {
            return;
        };
        let mut words = rest.split_whitespace();
        let (Some(word), Some(Ok(number)), None) = (words.next(), words.next().map(str::parse::<u64>), words.next())
        else {
            return;
        };
        match word {
            "pass" => self.passed += number,
            "fail" | "cancelled" => self.failed += number,
            "skipped" | "todo" => self.skipped += number,
            _ => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(lines: &[&str]) -> Tally {
        let mut tally = Tally::default();
        for line in lines {
            tally.read(line);
        }
        tally
    }

    #[test]
    fn cargo_closing_lines_add_up() {
        let tally = read(&[
            "running 3 tests",
            "test result: ok. 3 passed; 0 failed; 1 ignored; 0 measured; 0 filtered out; finished in 0.00s",
            "test result: FAILED. 2 passed; 1 failed; 0 ignored; 0 measured; 0 filtered out; finished in 1.20s",
        ]);
        assert_eq!(tally, Tally { passed: 5, failed: 1, skipped: 1 });
    }

    #[test]
    fn node_closing_lines_add_up_in_both_reporters() {
        let tally = read(&["ℹ tests 4", "ℹ pass 3", "ℹ fail 1", "ℹ cancelled 0", "# pass 2", "# skipped 1"]);
        assert_eq!(tally, Tally { passed: 5, failed: 1, skipped: 1 });
    }

    #[test]
    fn other_lines_count_nothing() {
        let tally = read(&["# pass the salt 3", "ℹ pass", "pass 3", "test a ... ok", "# Subtest: pass 3"]);
        assert_eq!(tally, Tally::default());
    }
}
