//! A rule's reason in words, with the numbers of the finding that mattered.
//!
//! Fills the rule's own sentence and adds nothing: the explanation is the evaluation.

use super::condition::{Facts, Number};
use super::Rule;
use crate::words::{Language, find, fill};
use std::cell::OnceCell;

/// The numbers of one finding as text, written once and only when a sentence asks for them.
pub struct Spoken<'f, 'a> {
    facts: &'f Facts<'a>,
    numbers: OnceCell<Vec<(&'static str, String)>>,
    no_section: &'f str,
}

impl<'f, 'a> Spoken<'f, 'a> {
    /// `no_section` says in words why no section is found, or is empty.
    pub fn new(facts: &'f Facts<'a>, no_section: &'f str) -> Self {
        Self { facts, numbers: OnceCell::new(), no_section }
    }

    fn numbers(&self) -> &[(&'static str, String)] {
        self.numbers.get_or_init(|| {
            let whole = |number: Number| format!("{:.0}", self.facts.number(number));
            vec![
                ("depth", whole(Number::Depth)),
                ("share", percent(self.facts.number(Number::Share))),
                ("area", format!("{:.0}", self.facts.number(Number::Area) / 100.0)),
                ("extent", whole(Number::Extent)),
                ("count", whole(Number::Count)),
                ("edge", whole(Number::Edge)),
                ("joint", whole(Number::JointLine)),
                ("no-cut", whole(Number::NoCut)),
                ("thickness", format!("{}", self.facts.number(Number::Thickness))),
                ("part", self.facts.part.name()),
                ("no-section", self.no_section.to_owned()),
            ]
        })
    }
}

/// The rule's reason for this finding.
pub fn reason(rule: &Rule, spoken: &Spoken<'_, '_>) -> String {
    let text = match &rule.text {
        Some(text) => text.as_str(),
        None => match find(Language::English, &rule.reason) {
            Some(text) => text,
            None => return rule.reason.clone(),
        },
    };
    if !text.contains('{') {
        return text.to_owned();
    }
    let arguments: Vec<(&str, &str)> = spoken
        .numbers()
        .iter()
        .chain(&rule.limits)
        .map(|(name, value)| (*name, value.as_str()))
        .collect();
    fill(text, &arguments)
}

/// A share as a percentage without the sign; small shares keep one decimal.
pub(crate) fn percent(share: f64) -> String {
    let value = share * 100.0;
    if value < 9.95 && (value - value.round()).abs() > 0.05 { format!("{value:.1}") } else { format!("{value:.0}") }
}
