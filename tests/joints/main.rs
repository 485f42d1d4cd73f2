//! Joints against the outside: published tables and worked examples, an independent judge of distances, properties, bad
//! input. The source stands beside each check; "from memory" and "common practice, no source" where that is so.

mod formulas;
mod plans;
mod shelf;

/// Rows of a small published table under `tests/outside/joining`, without comments, by column name.
fn table(name: &str) -> Vec<std::collections::BTreeMap<String, String>> {
    let text = checks::read(&format!("tests/outside/joining/{name}"));
    let mut lines = text.lines().filter(|line| !line.starts_with('#') && !line.is_empty()).map(cells);
    let header = lines.next().expect("a header row");
    lines.map(|row| header.iter().cloned().zip(row).collect()).collect()
}

/// Cells of a row; a cell in quotes may hold commas.
fn cells(line: &str) -> Vec<String> {
    let (mut out, mut quoted) = (vec![String::new()], false);
    for letter in line.chars() {
        match letter {
            '"' => quoted = !quoted,
            ',' if !quoted => out.push(String::new()),
            other => out.last_mut().expect("one cell at least").push(other),
        }
    }
    out
}

fn number(row: &std::collections::BTreeMap<String, String>, column: &str) -> Option<f64> {
    row.get(column).filter(|cell| !cell.is_empty()).map(|cell| cell.parse().expect("a number"))
}

#[track_caller]
fn near(found: f64, expected: f64, within: f64) {
    assert!((found - expected).abs() <= within, "found {found}, expected {expected} within {within}");
}
