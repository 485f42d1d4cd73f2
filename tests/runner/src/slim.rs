//! What of the bundle's text is only for people, taken away; and the style sheets, divided into those of the first screen and
//! those that come within the rest of the app (`app/load.js`).
//! Must never change what a script does or how a screen looks: the order of the sheets is made by their layers.

use std::fs;
use std::path::Path;

use crate::failure::Failure;

/// Sheets by which the first screen stands.
const FIRST: [&str; 3] = ["tokens", "base", "gate"];
/// Stands in the page for the name of the first screen's sheet.
pub const SHEET: &str = "@SHEET@";

/// A page and its sheets.
#[derive(Debug, PartialEq, Eq)]
pub struct Divided {
    /// The page with one sheet, named [`SHEET`], in place of all.
    pub page: String,
    /// What the first screen needs.
    pub first: String,
    /// What the other screens need.
    pub later: String,
}

/// Divides the sheets that the page names, and removes their files.
///
/// # Errors
/// When the page names no sheet, or one that cannot be read.
pub fn divide(bundle: &Path, page: &str) -> Result<Divided, Failure> {
    let (mut first, mut later, mut out) = (String::new(), String::new(), String::new());
    let mut rest = page;
    while let Some(found) = rest.find("<link rel=\"stylesheet\"") {
        let (before, link) = rest.split_at(found);
        let (link, after) = link.split_once('>').unwrap_or((link, ""));
        let name = link.split("href=\"./").nth(1).and_then(|tail| tail.split('"').next()).ok_or_else(strange)?;
        let file = bundle.join(name);
        let text = fs::read_to_string(&file).map_err(|error| Failure::file(&file, &error))?;
        let is_first = name.rsplit_once('-').is_some_and(|(sheet, _)| FIRST.contains(&sheet));
        if is_first { &mut first } else { &mut later }.push_str(&sheet(&text));
        fs::remove_file(&file).map_err(|error| Failure::file(&file, &error))?;
        out.push_str(before);
        rest = after.trim_start_matches(['\n', ' ']);
    }
    if first.is_empty() || later.is_empty() {
        return Err(strange());
    }
    out.push_str(&format!("<link rel=\"stylesheet\" href=\"./{SHEET}\"/>\n{rest}"));
    Ok(Divided { page: out, first, later })
}

fn strange() -> Failure {
    Failure::new("trunk's page names its sheets in an unknown way", "look at tests/runner/src/slim.rs")
}

/// A sheet without comments, and without line breaks and spaces round them. Texts in it stay as they are.
fn sheet(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    let mut rest = text;
    let mut quote = None;
    while let Some(letter) = rest.chars().next() {
        if quote.is_none() && rest.starts_with("/*") {
            rest = rest[2..].split_once("*/").map_or("", |(_, after)| after);
            continue;
        }
        if quote == Some(letter) {
            quote = None;
        } else if quote.is_none() && matches!(letter, '"' | '\'') {
            quote = Some(letter);
        }
        plain.push(letter);
        rest = &rest[letter.len_utf8()..];
    }
    let mut out = String::with_capacity(plain.len());
    for line in plain.lines().map(str::trim).filter(|line| !line.is_empty()) {
        if !out.is_empty() && !out.ends_with(['{', '}', ';', ',']) {
            out.push(' ');
        }
        out.push_str(line.strip_suffix(" {").map_or(line, |head| head));
        if line.ends_with(" {") {
            out.push('{');
        }
    }
    out.push('\n');
    out
}

/// A script without indents and without the comments that have lines of their own.
pub fn script(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut inside = false;
    for line in text.lines().map(str::trim) {
        inside |= line.starts_with("/*");
        if !inside && !line.is_empty() && !line.starts_with("//") {
            out.push_str(line);
            out.push('\n');
        }
        inside &= !line.contains("*/");
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sheet_loses_what_only_people_read() {
        let text = "/* Why\n   so */\n@layer parts {\n  .key,\n  .card > p {\n    color: red; /* warm */\n    grid:\n      \"a b\"\n      \"/* c */\";\n  }\n}\n";
        let slim = "@layer parts{.key,.card > p{color: red;grid: \"a b\" \"/* c */\";}}\n";
        assert_eq!(sheet(text), slim);
    }

    #[test]
    fn a_script_loses_what_only_people_read() {
        let text =
            "// why\n\n/**\n * @param {string} a\n */\nfunction f(a) {\n    return a; // here\n    /* one line */\n}\n";
        assert_eq!(script(text), "function f(a) {\nreturn a; // here\n}\n");
    }

    #[test]
    fn the_sheets_of_other_screens_leave_the_page() {
        let folder = std::env::temp_dir().join(format!("cutline-slim-{}", std::process::id()));
        fs::create_dir_all(&folder).expect("a folder");
        for name in ["tokens", "walk", "gate"] {
            fs::write(folder.join(format!("{name}-0f.css")), format!("/* {name} */\n.{name} {{}}\n")).expect("written");
        }
        let link = |name: &str| format!("    <link rel=\"stylesheet\" href=\"./{name}-0f.css\" integrity=\"x\"/>\n");
        let page = format!("<head>\n{}{}{}    <meta/>\n</head>", link("tokens"), link("walk"), link("gate"));
        let divided = divide(&folder, &page).expect("a page that is known");
        let page = "<head>\n    <link rel=\"stylesheet\" href=\"./@SHEET@\"/>\n<meta/>\n</head>".to_owned();
        let (first, later) = (".tokens {}\n.gate {}\n".to_owned(), ".walk {}\n".to_owned());
        assert_eq!(divided, Divided { page, first, later });
        assert!(!folder.join("walk-0f.css").exists());
        assert!(divide(&folder, "<head></head>").is_err());
        let _ = fs::remove_dir_all(&folder);
    }
}
