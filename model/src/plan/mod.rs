//! The plan of a job: findings, decisions, operations and where to look behind, from one pure function.
//!
//! Joins the other modules and adds no judgement. Results are never stored; the same job, body book and rule book give
//! the same plan, byte for byte.

mod json;
mod look_behind;

pub use json::to_json;
pub use look_behind::{LookBehind, look_behind};

use crate::catalogue::{Body, Book};
use crate::damage;
use crate::decide::{Circumstances, Decision, Pick, decide};
use crate::error::Error;
use crate::ids::{MarkId, PartId};
use crate::job::Job;
use crate::operations::{Operation, operations};
use crate::rules::RuleBook;
use crate::terms::{Action, FrameState, Inspection};
use crate::words::{Language, say, word};

/// What the shop can do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shop {
    /// It may weld aluminium: equipment and a qualified welder.
    pub aluminium_welding: bool,
    /// It has a clean aluminium bay with its own tools and extraction.
    pub aluminium_bay: bool,
}

impl Default for Shop {
    /// An equipped shop, as that of the demo; the app asks each shop what it has.
    fn default() -> Self {
        Self { aluminium_welding: true, aluminium_bay: true }
    }
}

/// Name and edition of a book on which a plan stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StandsOn {
    /// Id of the book.
    pub id: String,
    /// Its edition.
    pub edition: String,
}

/// What is to be done with a job, and why.
#[derive(Clone, Debug)]
pub struct Plan {
    /// The body book.
    pub book: StandsOn,
    /// The body.
    pub body: Body,
    /// The rule book.
    pub rules: StandsOn,
    /// One decision for each damaged part, in the order of the part ids.
    pub decisions: Vec<Decision>,
    /// What is done to each part, one for each decision.
    pub picks: Vec<Pick>,
    /// The work, in stage order.
    pub operations: Vec<Operation>,
    /// Where to look for hidden damage, nearest first.
    pub look_behind: Vec<LookBehind>,
    /// What a person must know before trusting the plan; the refused marks stand among it.
    pub notices: Vec<Notice>,
    /// Marks that could not be measured, with the reason.
    pub refused_marks: Vec<(MarkId, Error)>,
}

/// Something that a person must know before trusting the plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Notice {
    /// Key of its message.
    pub key: &'static str,
    /// The message in words.
    pub text: String,
    /// The part that it concerns, if it is one.
    pub part: Option<PartId>,
    /// The mark that it concerns, if it is one.
    pub mark: Option<MarkId>,
}

/// What rules may ask about a job and a shop as a whole.
pub fn circumstances(job: &Job, shop: &Shop) -> Circumstances {
    Circumstances {
        restraints_deployed: job.restraints_deployed,
        high_voltage: job.high_voltage,
        frame: Some(job.frame),
        aluminium_welding: shop.aluminium_welding,
        aluminium_bay: shop.aluminium_bay,
    }
}

/// The plan of a job.
pub fn plan(book: &Book, rules: &RuleBook, job: &Job, shop: &Shop) -> Plan {
    let circumstances = circumstances(job, shop);
    let (findings, refused_marks) = damage::findings(book, job.marks.iter());
    let decisions = decide(book, rules, findings, &job.holds, &circumstances);
    let picks: Vec<Pick> = decisions.iter().map(Pick::standing).collect();
    let picked: Vec<(&Decision, &Pick)> = decisions.iter().zip(&picks).collect();
    let operations = operations(book, &picked, &circumstances);
    let look_behind = look_behind(book, &decisions, &job.inspections);
    let mut notices: Vec<Notice> = refused_marks
        .iter()
        .map(|(mark, error)| Notice {
            key: error.key,
            text: error.message(Language::English),
            part: None,
            mark: Some(mark.clone()),
        })
        .collect();
    notices.extend(decisions.iter().filter_map(|decision| refused_hold(book, decision)));
    notices.extend(circumstance_notices(book, job, &decisions, &look_behind));
    Plan {
        book: StandsOn { id: book.id.clone(), edition: book.edition.clone() },
        body: book.body,
        rules: StandsOn { id: rules.id.clone(), edition: rules.edition.clone() },
        decisions,
        picks,
        operations,
        look_behind,
        notices,
        refused_marks,
    }
}

fn refused_hold(book: &Book, decision: &Decision) -> Option<Notice> {
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

fn circumstance_notices(book: &Book, job: &Job, decisions: &[Decision], behind: &[LookBehind]) -> Vec<Notice> {
    let mut out = Vec::new();
    let mut plain = |key: &'static str, arguments: &[(&str, &str)]| {
        out.push(Notice { key, text: say(Language::English, key, arguments), part: None, mark: None });
    };
    let unseen = behind.iter().filter(|one| one.state == Inspection::NotYet).count();
    if unseen > 0 {
        plain("notice-look-behind", &[("count", &unseen.to_string())]);
    }
    let refers = decisions.iter().filter(|decision| decision.chosen == Action::Refer).count();
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
