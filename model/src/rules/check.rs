//! Finds what is wrong with a rule book as a whole: contradictions and rules that can never speak.
//!
//! Judges the book, never a vehicle's damage.

use super::condition::{Facts, mixed_joint};
use super::imply::{implies, never};
use super::{Rule, RuleBook, Verdict};
use crate::catalogue::Book;
use crate::error::{Error, Result};
use crate::ids::RuleId;

/// Refuses a book with a rule that can never speak, or with a permission that another rule always takes away.
///
/// # Errors
/// Names the ids of the rules at fault.
pub(crate) fn check(rules: &[Rule]) -> Result<()> {
    for (at, rule) in rules.iter().enumerate() {
        if never(&rule.when) {
            return Err(Error::new("error-rule-unreachable", format!("rules[{at}].when")).with("rule", &rule.id));
        }
    }
    for (at, one) in rules.iter().enumerate() {
        for other in rules {
            // Rules of the second round ask what the first has left open, so they cannot take a permission away.
            if other.when.asks_for_unpermitted() || !implies(&one.when, &other.when) {
                continue;
            }
            if let Some(what) = one.then.iter().find_map(|said| taken_away(said, other)) {
                return Err(Error::new("error-rule-contradiction", format!("rules[{at}]"))
                    .with("rule", &one.id)
                    .with("other", &other.id)
                    .with("action", what));
            }
        }
    }
    Ok(())
}

/// What the verdict permits and the other rule forbids, in words of the file.
fn taken_away(said: &Verdict, other: &Rule) -> Option<&'static str> {
    other.then.iter().find_map(|denial| match (said, denial) {
        (Verdict::Permit(mine), Verdict::Forbid(theirs)) if mine == theirs => Some(mine.word()),
        (Verdict::PermitRoute { route: mine, with }, Verdict::ForbidRoute { route: theirs, with: from })
            if mine == theirs && with.iter().all(|action| from.contains(action)) =>
        {
            Some(mine.word())
        }
        _ => None,
    })
}

/// Rules that no part of the body can ever meet, in book order. No error: a general book covers more than one body.
pub fn idle_for(rules: &RuleBook, book: &Book) -> Vec<RuleId> {
    let facts: Vec<Facts<'_>> = book.parts.iter().map(|part| Facts::of_part(part, mixed_joint(book, part))).collect();
    rules
        .rules
        .iter()
        .filter(|rule| facts.iter().all(|one| rule.when.for_part(one) == Some(false)))
        .map(|rule| rule.id.clone())
        .collect()
}
