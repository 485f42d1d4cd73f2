//! Turns the message catalogue (`data/words/en/*.ftl`) into sorted tables, so that no parser ships with the app.
//!
//! The files keep to a small subset of Fluent: `key = text`, indented continuation lines, `# comments` and
//! `{ $name }` placeables. The build fails on anything else and on a key given twice; a native test reads the
//! same files with an independent Fluent parser.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::Path;
use std::{env, fs};

/// Files whose texts the first screen may show; those of the others come behind it (tests/runner/src/split.rs).
const FIRST: [&str; 4] = ["app.ftl", "gate.ftl", "job.ftl", "terms.ftl"];

fn main() {
    let folder = Path::new("data/words/en");
    println!("cargo:rerun-if-changed={}", folder.display());
    let mut files: Vec<_> = fs::read_dir(folder)
        .expect("data/words/en exists")
        .map(|entry| entry.expect("a readable folder entry").path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "ftl"))
        .collect();
    files.sort();
    let mut table: BTreeMap<String, String> = BTreeMap::new();
    let mut later: BTreeMap<String, String> = BTreeMap::new();
    for file in &files {
        println!("cargo:rerun-if-changed={}", file.display());
        let text = fs::read_to_string(file).expect("a readable message file");
        let mut open: Option<String> = None;
        let first = file.file_name().and_then(|name| name.to_str()).is_some_and(|name| FIRST.contains(&name));
        let (table, other) = if first { (&mut table, &later) } else { (&mut later, &table) };
        for (number, line) in text.lines().enumerate() {
            let place = || format!("{}:{}", file.display(), number + 1);
            if line.trim().is_empty() || line.starts_with('#') {
                open = None;
            } else if line.starts_with(' ') {
                let key = open.as_ref().unwrap_or_else(|| panic!("{}: text without a key", place()));
                let value = table.get_mut(key).expect("the open key is in the table");
                if !value.is_empty() {
                    value.push(' ');
                }
                value.push_str(line.trim());
            } else {
                let (key, value) = line.split_once('=').unwrap_or_else(|| panic!("{}: write `key = text`", place()));
                let key = key.trim().to_owned();
                assert!(
                    key.chars().all(|c| c.is_ascii_alphanumeric() || c == '-'),
                    "{}: a key is letters, digits and hyphens: {key}",
                    place()
                );
                assert!(!table.contains_key(&key) && !other.contains_key(&key), "{}: {key} is given twice", place());
                table.insert(key.clone(), value.trim().to_owned());
                open = Some(key);
            }
        }
    }
    let out = env::var("OUT_DIR").expect("cargo sets OUT_DIR");
    let mut code = String::from("static ENGLISH: &[(&str, &str)] = &[\n");
    for (key, value) in in_order(&table) {
        writeln!(code, "    ({key:?}, {value:?}),").expect("writing to a string");
    }
    code.push_str("];\n");
    fs::write(Path::new(&out).join("words.rs"), code).expect("writing the table");
    let mut text = String::new();
    for (key, value) in in_order(&later) {
        assert!(!value.contains(['\t', '\n']), "{key}: a tab or line break in a text");
        writeln!(text, "{key}\t{value}").expect("writing to a string");
    }
    // The bundler finds the text by this line and knows its length from it.
    let text = format!("CUTLINE-LATER:{:08}:\n{text}", text.len());
    fs::write(Path::new(&out).join("later.txt"), text).expect("writing the text");
}

/// Shorter keys first: a search then compares lengths before it compares letters.
fn in_order(table: &BTreeMap<String, String>) -> Vec<(&String, &String)> {
    let mut entries: Vec<_> = table.iter().collect();
    entries.sort_by_key(|(key, _)| (key.len(), key.as_str()));
    entries
}
