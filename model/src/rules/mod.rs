//! The rule book: what is permitted, forbidden or required, under which conditions, and on which basis.
//!
//! Rules are data (`data/rules/general.json`, published schema); this module reads, checks and overlays them. It never
//! measures and never chooses.

mod check;
mod condition;
mod imply;
pub mod read;
mod reason;
#[cfg(test)]
mod tests;
pub mod work;

pub use check::idle_for;
pub use condition::{Bound, Circumstances, Condition, Facts, Field, Name, Number, Test, mixed_joint};
pub use reason::{Spoken, reason};

use crate::error::{Error, Result};
use crate::ids::RuleId;
use crate::terms::{Action, BasisKind, Caution, Route};
use std::sync::{Arc, LazyLock};

/// A rule book, read and checked.
#[derive(Clone, Debug)]
pub struct RuleBook {
    /// Id; plans name it.
    pub id: String,
    /// Edition; plans name it.
    pub edition: String,
    /// Title in words.
    pub title: String,
    /// Rules in book order.
    pub rules: Vec<Rule>,
    /// Rules of a more general book that this one takes out of force.
    pub overrides: Vec<RuleId>,
}

/// One rule.
#[derive(Clone, Debug)]
pub struct Rule {
    /// Id, unique in the book.
    pub id: RuleId,
    /// When it speaks.
    pub when: Condition,
    /// What it says.
    pub then: Vec<Verdict>,
    /// Catalogue key of the reason in words; empty where the book brings its own `text`.
    pub reason: String,
    /// The reason in the rule's own words, for a loaded book whose keys the catalogue lacks.
    pub text: Option<String>,
    /// What it stands on.
    pub basis: Arc<Basis>,
    /// Cautions that it brings.
    pub cautions: Vec<Caution>,
    /// Limits of the condition that the reason may quote, as name and text: `depth-limit`, `20`.
    pub limits: Vec<(&'static str, String)>,
    /// The reason where it quotes no number, made once.
    pub fixed: Option<Arc<str>>,
    /// Whether it speaks in the second round, about actions on which no other rule has spoken.
    pub closing: bool,
}

/// What a rule stands on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Basis {
    /// Kind of basis.
    pub kind: BasisKind,
    /// Publication, procedure or policy; empty for common practice, which has no source.
    pub source: String,
}

/// One thing that a rule says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// The action is permitted unless another rule forbids it.
    Permit(Action),
    /// The action is forbidden whatever else permits it.
    Forbid(Action),
    /// The way to join is permitted with these actions.
    PermitRoute {
        /// The way.
        route: Route,
        /// Section, replace or both.
        with: Vec<Action>,
    },
    /// The way to join is forbidden with these actions.
    ForbidRoute {
        /// The way.
        route: Route,
        /// Section, replace or both.
        with: Vec<Action>,
    },
    /// The actions need this work too.
    Require {
        /// The work, a key of [`work::WORKS`].
        work: &'static str,
        /// Actions with which it is needed.
        with: Vec<Action>,
    },
}

static GENERAL: LazyLock<RuleBook> = LazyLock::new(|| {
    let text = include_str!("../../data/rules/general.json");
    read::read(text).unwrap_or_else(|error| panic!("the built-in rule book is sound, but: {error}"))
});

/// The built-in book: general trade practice for a generic body.
pub fn general() -> &'static RuleBook {
    &GENERAL
}

impl RuleBook {
    /// The rule with this id.
    pub fn rule(&self, id: &RuleId) -> Option<&Rule> {
        self.rules.iter().find(|rule| rule.id == *id)
    }

    /// A shop's own book in force over this one: its rules are added and those that it overrides fall away.
    /// The result keeps the own book's id and names both editions.
    ///
    /// # Errors
    /// Where an overridden id is not in this book, an id stands in both, or the two contradict each other.
    pub fn overlay(&self, own: Self) -> Result<Self> {
        for (at, id) in own.overrides.iter().enumerate() {
            if self.rule(id).is_none() {
                return Err(Error::new("error-rule-override", format!("overrides[{at}]"))
                    .with("rule", id)
                    .with("book", &self.id));
            }
        }
        let mut rules: Vec<Rule> =
            self.rules.iter().filter(|rule| !own.overrides.contains(&rule.id)).cloned().collect();
        for (at, rule) in own.rules.iter().enumerate() {
            if rules.iter().any(|known| known.id == rule.id) {
                return Err(Error::new("error-rule-twice", format!("rules[{at}].id")).with("rule", &rule.id));
            }
        }
        rules.extend(own.rules);
        check::check(&rules)?;
        Ok(Self {
            id: own.id,
            edition: format!("{} ({} {})", own.edition, self.id, self.edition),
            title: own.title,
            rules,
            overrides: Vec::new(),
        })
    }
}

impl Basis {
    /// The basis in words: its source, or that there is none.
    pub fn words(&self) -> String {
        use crate::words::{Language, say};
        let key = match self.kind {
            BasisKind::CommonPractice => "rule-basis-common-practice",
            BasisKind::PublishedSource => "rule-basis-published-source",
            BasisKind::MakersProcedure => "rule-basis-makers-procedure",
            BasisKind::ShopPolicy => "rule-basis-shop-policy",
        };
        say(Language::English, key, &[("source", &self.source)])
    }
}
