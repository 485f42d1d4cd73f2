//! The message catalogue: read by an independent Fluent parser's rules, complete for every term, part and rule.

use checks::{project, read};
use model::terms::{Action, Bed, Cab, Caution, Coat, Direction, Family, Layer, MarkKind, Side, Stage, View};
use model::words::{Language, find, keys, say};
use std::collections::BTreeSet;

#[test]
fn every_trade_word_has_a_name() {
    let mut missing = Vec::new();
    let mut need = |key: &str| {
        if find(Language::English, key).is_none() {
            missing.push(key.to_owned());
        }
    };
    Action::ALL.iter().for_each(|term| need(term.key()));
    MarkKind::ALL.iter().for_each(|term| need(term.key()));
    Coat::ALL.iter().for_each(|term| need(term.key()));
    Stage::ALL.iter().for_each(|term| need(term.key()));
    Caution::ALL.iter().for_each(|term| need(term.key()));
    Direction::ALL.iter().for_each(|term| need(term.key()));
    Family::ALL.iter().for_each(|term| need(term.key()));
    Layer::ALL.iter().for_each(|term| need(term.key()));
    Side::ALL.iter().for_each(|term| need(term.key()));
    View::ALL.iter().for_each(|term| need(term.key()));
    Cab::ALL.iter().for_each(|term| need(term.key()));
    Bed::ALL.iter().for_each(|term| need(term.key()));
    for book in model::catalogue::generic_description().resolve_all().expect("every body resolves") {
        for part in &book.parts {
            need(&format!("part-{}", part.base));
            // Cells, cut lines and what is sold: by the part's own key or by the common one.
            let sections = part.sections.iter().flat_map(|one| {
                let cells = one.cells.iter().map(|cell| ("cell", cell.id.as_str()));
                let cuts = one.cuts.iter().map(|cut| ("cut", cut.id.as_str()));
                cells.chain(cuts).chain(one.service.iter().map(|section| ("service", section.id.as_str())))
            });
            for (kind, id) in sections {
                let own = format!("{kind}-{}-{id}", part.base);
                if find(Language::English, &own).is_none() {
                    need(&format!("{kind}-{id}"));
                }
            }
        }
        book.access.values().for_each(|work| need(&format!("access-{}", work.base)));
    }
    missing.sort();
    missing.dedup();
    assert!(missing.is_empty(), "the catalogue lacks {missing:#?}");
}

/// Keys named in source text as string literals must exist; a typing mistake would show the key to a person.
#[test]
fn every_key_in_the_source_exists() {
    let known: BTreeSet<&str> = keys(Language::English).collect();
    let mut missing = Vec::new();
    for folder in ["app/src", "model/src"] {
        for source in sources(&project().join(folder)) {
            let text = std::fs::read_to_string(&source).expect("readable");
            for call in ["word(\"", "say(Language::English, \"", "Error::new(\"", "say(\"", "text(\"", "t(\""] {
                for (at, _) in text.match_indices(call) {
                    let before = text[..at].chars().next_back();
                    if before.is_some_and(|c| c.is_alphanumeric() || c == '_') {
                        continue;
                    }
                    let key: String = text[at + call.len()..].chars().take_while(|c| *c != '"').collect();
                    let plain = !key.is_empty()
                        && key.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-');
                    if plain && key.contains('-') && !known.contains(key.as_str()) {
                        missing.push(format!("{key} in {}", source.display()));
                    }
                }
            }
        }
    }
    assert!(missing.is_empty(), "{missing:#?}");
}

fn sources(folder: &std::path::Path) -> Vec<std::path::PathBuf> {
    let mut out = Vec::new();
    for entry in std::fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("readable").path();
        if path.is_dir() {
            out.extend(sources(&path));
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            out.push(path);
        }
    }
    out
}

#[test]
fn values_are_put_in_and_unknown_keys_show() {
    assert_eq!(say(Language::English, "name-with-side", &[("side", "Left"), ("name", "fender")]), "Left fender");
    assert_eq!(say(Language::English, "no-such-key", &[]), "no-such-key");
}

/// The outside judge: the reference parser of the Fluent project (crate fluent-syntax) reads the same files.
#[test]
fn the_files_are_fluent() {
    let folder = project().join("model/data/words/en");
    let mut count = 0;
    for entry in std::fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("readable").path();
        let text = read(path.strip_prefix(project()).expect("inside").to_str().expect("text"));
        let resource = fluent_syntax::parser::parse(text.as_str())
            .unwrap_or_else(|(_, errors)| panic!("{}: {errors:?}", path.display()));
        for entry in &resource.body {
            if let fluent_syntax::ast::Entry::Message(message) = entry {
                count += 1;
                assert!(find(Language::English, message.id.name).is_some(), "{}", message.id.name);
            }
        }
    }
    assert_eq!(count, keys(Language::English).count());
}
