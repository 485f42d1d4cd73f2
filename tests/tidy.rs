//! House rules as tests: who may use whom, every module says what it does, nothing names what it must not.

use checks::project;
use std::fs;
use std::path::{Path, PathBuf};

fn files(folder: &str, ending: &str) -> Vec<PathBuf> {
    fn walk(folder: &Path, ending: &str, out: &mut Vec<PathBuf>) {
        let Ok(entries) = fs::read_dir(folder) else { return };
        let mut paths: Vec<PathBuf> = entries.map(|entry| entry.expect("readable").path()).collect();
        paths.sort();
        for path in paths {
            let name = path.file_name().and_then(|name| name.to_str()).unwrap_or_default();
            if path.is_dir() {
                if !["node_modules", "target", "dist", ".git"].contains(&name) {
                    walk(&path, ending, out);
                }
            } else if name.ends_with(ending) {
                out.push(path);
            }
        }
    }
    let mut out = Vec::new();
    walk(&project().join(folder), ending, &mut out);
    out
}

fn text(path: &Path) -> String {
    fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// What a module of the model may use, besides `terms`, `ids`, `error` and `words`. Later lines stand on earlier ones.
const MODEL: &[(&str, &[&str])] = &[
    ("geometry", &[]),
    ("money", &[]),
    ("vin", &[]),
    ("photo", &[]),
    ("seal", &[]),
    ("catalogue", &["geometry"]),
    ("damage", &["catalogue", "geometry"]),
    ("job", &["damage", "catalogue", "geometry", "money", "photo"]),
    ("backup", &["job"]),
    ("generate", &["job", "damage", "catalogue", "geometry"]),
    ("rules", &["damage", "catalogue", "geometry", "decide"]),
    ("decide", &["rules", "damage", "catalogue", "geometry", "operations"]),
    ("operations", &["decide", "rules", "damage", "catalogue", "geometry"]),
    ("stock", &["operations"]),
    ("times", &["stock", "operations"]),
    ("prices", &["catalogue", "money"]),
    ("rates", &["money", "operations"]),
    ("shop", &["times", "prices", "rates", "money"]),
    ("estimate", &["shop", "times", "prices", "rates", "operations", "decide", "catalogue", "money"]),
    ("joints", &["stock", "shop", "times", "operations", "decide", "catalogue", "geometry"]),
    (
        "optimise",
        &[
            "estimate",
            "shop",
            "times",
            "prices",
            "rates",
            "operations",
            "decide",
            "rules",
            "damage",
            "catalogue",
            "geometry",
            "money",
            "job",
        ],
    ),
    ("revision", &["optimise", "estimate", "shop", "decide", "catalogue", "money", "job"]),
    (
        "plan",
        &[
            "joints",
            "revision",
            "optimise",
            "estimate",
            "shop",
            "times",
            "prices",
            "rates",
            "operations",
            "decide",
            "rules",
            "damage",
            "catalogue",
            "geometry",
            "money",
            "job",
        ],
    ),
    ("scene", &["plan", "joints", "operations", "decide", "rules", "damage", "catalogue", "geometry", "job"]),
];
const ALWAYS: &[&str] = &["terms", "ids", "error", "words", "Error", "Result"];

#[test]
fn modules_of_the_model_keep_to_their_neighbours() {
    for (module, allowed) in MODEL {
        let mut sources = files(&format!("model/src/{module}"), ".rs");
        sources.extend(Some(project().join(format!("model/src/{module}.rs"))).filter(|path| path.exists()));
        assert!(!sources.is_empty(), "there is no module {module}");
        for source in sources {
            for line in text(&source).lines().filter(|line| !line.trim_start().starts_with("//")) {
                for (at, _) in line.match_indices("crate::") {
                    let used: String =
                        line[at + 7..].chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
                    let fine = used == *module
                        || used.is_empty()
                        || ALWAYS.contains(&used.as_str())
                        || allowed.contains(&used.as_str());
                    assert!(fine, "{}: {module} must not use {used}", source.display());
                }
            }
        }
    }
}

#[test]
fn the_model_knows_no_browser_clock_or_chance() {
    for source in files("model/src", ".rs") {
        if source.display().to_string().contains("/src/bin/") {
            continue;
        }
        let text = text(&source);
        for banned in [
            "web_sys",
            "js_sys",
            "wasm_bindgen",
            "gloo",
            "leptos",
            "SystemTime",
            "Instant::now",
            "std::fs",
            "HashMap",
            "HashSet",
            "rand::",
        ] {
            assert!(!text.contains(banned), "{}: {banned}", source.display());
        }
    }
}

#[test]
fn only_the_platform_names_the_browser() {
    for source in files("app/src", ".rs") {
        let path = source.display().to_string();
        if path.contains("/platform/") {
            continue;
        }
        let text = text(&source);
        for banned in ["js_sys::", "gloo_storage", "web_sys::window", "local_storage"] {
            assert!(!text.contains(banned), "{path}: {banned} belongs to app/src/platform");
        }
    }
}

#[test]
fn screens_do_not_import_each_other() {
    for source in files("app/src/screens", ".rs") {
        let path = source.display().to_string();
        let own = path.split("/screens/").nth(1).and_then(|rest| rest.split(['/', '.']).next()).expect("a screen");
        for line in text(&source).lines() {
            if let Some(at) = line.find("crate::screens::") {
                let other: String = line[at + 16..].chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
                assert!(own == "mod" || other == own, "{path}: a screen must not use the screen {other}");
            }
        }
    }
}

#[test]
fn every_module_says_what_it_does() {
    for folder in ["model/src", "app/src", "tests"] {
        for source in files(folder, ".rs") {
            assert!(
                text(&source).starts_with("//!"),
                "{}: open with //! what it does and must never do",
                source.display()
            );
        }
    }
}

#[test]
fn files_fit_in_a_head() {
    for folder in ["model/src", "app/src"] {
        for source in files(folder, ".rs") {
            let lines = text(&source).lines().count();
            assert!(lines <= 600, "{}: {lines} lines, split it", source.display());
        }
    }
}

#[test]
fn no_machine_path_or_registry_host_is_named() {
    for ending in [".rs", ".md", ".toml", ".json", ".mjs", ".sh", ".css", ".html", ".ftl", ".py"] {
        for source in files("", ending) {
            let name = source.display().to_string();
            if name.ends_with("tidy.rs") || name.ends_with("package-lock.json") {
                continue;
            }
            let text = text(&source);
            for banned in ["/work/", "/root/", "/home/", concat!("registry.", "npmjs"), concat!("index.", "crates")] {
                assert!(!text.contains(banned), "{name}: {banned}");
            }
        }
    }
}
