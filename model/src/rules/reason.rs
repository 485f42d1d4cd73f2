//! A rule's reason in words, with the numbers of the finding that mattered.
//!
//! Fills the rule's own sentence and adds nothing: the explanation is the evaluation.

use super::Rule;
use super::condition::{Facts, Number};
use crate::decide::NoSection;
use crate::words::{Language, fill_with, find};
use std::borrow::Cow;
use std::sync::Arc;

/// What the reasons of one finding may quote.
pub struct Spoken<'f, 'a> {
    facts: &'f Facts<'a>,
    no_section: Option<&'f NoSection>,
}

impl<'f, 'a> Spoken<'f, 'a> {
    /// `no_section` is why no section is found, where none is.
    pub fn new(facts: &'f Facts<'a>, no_section: Option<&'f NoSection>) -> Self {
        Self { facts, no_section }
    }

    fn value(&self, name: &str) -> Option<Cow<'f, str>> {
        let number = |number: Number| self.facts.number(number);
        let whole = |of: Number| Some(Cow::Owned(format!("{:.0}", number(of))));
        match name {
            "depth" => whole(Number::Depth),
            "share" => Some(percent(number(Number::Share)).into()),
            "area" => Some(format!("{:.0}", number(Number::Area) / 100.0).into()),
            "extent" => whole(Number::Extent),
            "count" => whole(Number::Count),
            "edge" => whole(Number::Edge),
            "joint" => whole(Number::JointLine),
            "no-cut" => whole(Number::NoCut),
            "thickness" => Some(number(Number::Thickness).to_string().into()),
            "part" => Some(self.facts.part.name().into()),
            "no-section" => Some(self.no_section.map(NoSection::words).unwrap_or_default().into()),
            _ => None,
        }
    }
}

/// The rule's reason for this finding.
pub fn reason(rule: &Rule, spoken: &Spoken<'_, '_>) -> Arc<str> {
    if let Some(fixed) = &rule.fixed {
        return Arc::clone(fixed);
    }
    let words = rule.text.as_deref().or_else(|| find(Language::English, &rule.reason)).unwrap_or(&rule.reason);
    let filled = fill_with(words, |name| {
        let limit = rule.limits.iter().find(|(known, _)| *known == name);
        limit.map(|(_, value)| Cow::Borrowed(value.as_str())).or_else(|| spoken.value(name))
    });
    filled.into()
}

/// A share as a percentage without the sign; small shares keep one decimal.
pub(crate) fn percent(share: f64) -> String {
    let value = share * 100.0;
    if value < 9.95 && (value - value.round()).abs() > 0.05 { format!("{value:.1}") } else { format!("{value:.0}") }
}
