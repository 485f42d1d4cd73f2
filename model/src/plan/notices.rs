//! What a person must know before trusting a plan.
//!
//! Says it in words; decides nothing and withholds nothing.

use super::{LookBehind, Notice};
use crate::catalogue::Book;
use crate::decide::{Decision, Pick};
use crate::estimate::service_words;
use crate::job::Job;
use crate::optimise::Candidates;
use crate::terms::{Action, FrameState, Inspection};
use crate::words::{Language, say, word};
use std::sync::Arc;

/// Service parts that a choice orders and of which no list knows a price.
pub(super) fn unpriced(book: &Book, parts: &[&Candidates], choice: &[usize]) -> Vec<Notice> {
    let chosen = parts
        .iter()
        .zip(choice)
        .flat_map(|(part, at)| part.list[*at].unpriced.iter().map(|service| (&part.part, service)));
    chosen
        .map(|(part, service)| {
            let what = book.part(part).map_or_else(|| service.to_string(), |part| service_words(part, service));
            let arguments = [("what", &*what), ("service", service.as_str())];
            let text = say(Language::English, "notice-unpriced", &arguments);
            Notice { key: "notice-unpriced", text, part: Some(part.clone()), mark: None }
        })
        .collect()
}

pub(super) fn refused_hold(book: &Book, decision: &Decision) -> Option<Notice> {
    let hold = decision.refused_hold?;
    let part = book.part(&decision.part)?;
    let reason =
        decision.option(hold).and_then(|option| option.headline()).map_or_else(String::new, |t| t.reason.to_string());
    let arguments = [
        ("part", part.name()),
        ("hold", word(hold.key())),
        ("chosen", word(decision.chosen.key())),
        ("reason", reason),
    ];
    let arguments: Vec<(&str, &str)> = arguments.iter().map(|(name, value)| (*name, value.as_str())).collect();
    Some(Notice {
        key: "notice-hold-refused",
        text: say(Language::English, "notice-hold-refused", &arguments),
        part: Some(part.id.clone()),
        mark: None,
    })
}

pub(super) fn circumstance_notices(
    book: &Book,
    job: &Job,
    decisions: &[Arc<Decision>],
    picks: &[Pick],
    behind: &[LookBehind],
) -> Vec<Notice> {
    let mut out = Vec::new();
    let mut plain = |key: &'static str, arguments: &[(&str, &str)]| {
        out.push(Notice { key, text: say(Language::English, key, arguments), part: None, mark: None });
    };
    let unseen = behind.iter().filter(|one| one.state == Inspection::NotYet).count();
    if unseen > 0 {
        plain("notice-look-behind", &[("count", &unseen.to_string())]);
    }
    let refers = picks.iter().filter(|pick| pick.action == Action::Refer).count();
    if refers > 0 {
        plain("notice-refer", &[("count", &refers.to_string())]);
    }
    let touches_frame = decisions
        .iter()
        .filter_map(|decision| book.part(&decision.part))
        .any(|part| matches!(part.role, crate::terms::Role::Frame | crate::terms::Role::Structural));
    match job.frame {
        FrameState::NotMeasured if touches_frame => plain("notice-frame-not-measured", &[]),
        FrameState::OutOfTolerance => plain("notice-frame-out-of-tolerance", &[]),
        _ => {}
    }
    if job.restraints_deployed {
        plain("notice-restraints-deployed", &[]);
    }
    if job.high_voltage {
        plain("notice-high-voltage", &[]);
    }
    for part in job.holds.keys().filter(|part| !decisions.iter().any(|decision| decision.part == **part)) {
        if let Some(known) = book.part(part) {
            out.push(Notice {
                key: "notice-hold-idle",
                text: say(Language::English, "notice-hold-idle", &[("part", &known.name())]),
                part: Some(part.clone()),
                mark: None,
            });
        }
    }
    out
}
