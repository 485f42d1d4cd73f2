//! Sections in words: the names of cells and cut lines, one sentence for a section, and what forbids a line.
//!
//! Texts come from the catalogue by key; a book's own cell without a text is named by its id, hyphens as spaces.

use super::{CLEARANCE_MM, Clash, SectionPlan, What, WhyNot};
use crate::catalogue::Part;
use crate::ids::{CellId, CutId};
use crate::terms::Join;
use crate::words::{Language, find, say, word};

/// A cell's name as it stands within a sentence: "nose", "front footwell, left".
pub fn cell_name(part: &Part, cell: &CellId) -> String {
    named("cell", part, cell.as_str())
}

/// A cut line's name as it stands after "cut": "at the second cross-member".
pub fn cut_name(part: &Part, cut: &CutId) -> String {
    named("cut", part, cut.as_str())
}

/// The name of a section that is sold, as it stands after the part's: "front footwell, left".
pub fn service_name(part: &Part, id: &str) -> String {
    named("service", part, id)
}

/// The text of the part's own key, or else of the common one.
fn named(kind: &str, part: &Part, id: &str) -> String {
    let own = find(Language::English, &format!("{kind}-{}-{id}", part.base));
    let text = own.or_else(|| find(Language::English, &format!("{kind}-{id}")));
    text.map_or_else(|| id.replace('-', " "), str::to_owned)
}

/// A section in one line: "cut at the second cross-member, needs a backing sleeve 80 mm wide".
pub fn section_words(part: &Part, plan: &SectionPlan) -> String {
    let mut widths: Vec<(&str, f64)> = Vec::new();
    for cut in &plan.cuts {
        let key = match cut.join {
            Join::Butt => "section-needs-sleeve",
            Join::Lap => "section-needs-lap",
        };
        if !widths.contains(&(key, cut.sleeve_mm)) {
            widths.push((key, cut.sleeve_mm));
        }
    }
    let lines: Vec<String> = plan.cuts.iter().map(|cut| cut_name(part, &cut.cut)).collect();
    let needs: Vec<String> = widths
        .iter()
        .filter(|(_, width)| *width > 0.0)
        .map(|(key, width)| say(Language::English, key, &[("width", &format!("{width:.0}"))]))
        .collect();
    let lines = listed(&lines);
    if needs.is_empty() {
        return say(Language::English, "section-words-bare", &[("lines", &lines)]);
    }
    say(Language::English, "section-words", &[("lines", &lines), ("needs", &listed(&needs))])
}

/// "one, two and three".
fn listed(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [only] => only.clone(),
        [most @ .., last] => say(Language::English, "list-and", &[("most", &most.join(", ")), ("last", last)]),
    }
}

/// What is near a line, as it stands in a sentence: "the damage", "the hinge".
pub(super) fn thing(what: &What) -> String {
    match what {
        What::Damage => word("line-near-damage"),
        What::NoCut(kind) => say(Language::English, "line-near-no-cut", &[("what", &word(kind.key()))]),
        What::JointEnd(to) => {
            let name = crate::words::find(Language::English, &format!("part-{}", base(to.as_str())));
            let name = name.map_or_else(|| to.as_str().replace('-', " "), str::to_lowercase);
            say(Language::English, "line-near-joint", &[("part", &name)])
        }
    }
}

fn base(id: &str) -> &str {
    id.strip_suffix("-left").or_else(|| id.strip_suffix("-right")).unwrap_or(id)
}

impl What {
    /// The thing as it stands in a sentence: "the damage", "the hinge".
    pub fn words(&self) -> String {
        thing(self)
    }
}

pub(super) fn why(part: &Part, why: &WhyNot) -> String {
    let text = |key: &str, arguments: &[(&str, &str)]| say(Language::English, key, arguments);
    let cell = |id: &CellId| cell_name(part, id);
    let cut = |id: &CutId| cut_name(part, id);
    let clearance = format!("{CLEARANCE_MM:.0}");
    match why {
        WhyNot::None(none) => none.words(),
        WhyNot::UnknownCell(id) => text("line-unknown-cell", &[("cell", id.as_str())]),
        WhyNot::UnknownCut(id) => text("line-unknown-cut", &[("cut", id.as_str())]),
        WhyNot::Damaged(id) => text("line-damaged", &[("cell", &cell(id)), ("clearance", &clearance)]),
        WhyNot::EveryCell => text("line-every-cell", &[]),
        WhyNot::BothSides(id) => text("line-both-sides", &[("cut", &cut(id)), ("clearance", &clearance)]),
        WhyNot::Open(id) => text("line-open", &[("cut", &cut(id))]),
        WhyNot::Line { cut: id, what, distance_mm, needed_mm, nearest_mm } => {
            let (distance, needed) = (format!("{distance_mm:.0}"), format!("{needed_mm:.0}"));
            let mut out = match what {
                None => text("line-window", &[("cut", &cut(id)), ("distance", &distance), ("needed", &needed)]),
                Some(what) => {
                    let what = thing(what);
                    let key = if *distance_mm < 0.5 { "line-through" } else { "line-too-near" };
                    text(key, &[("cut", &cut(id)), ("what", &what), ("distance", &distance), ("needed", &needed)])
                }
            };
            if let Some(nearest) = nearest_mm {
                out.push(' ');
                let at = format!("{:.0}", nearest.abs());
                let key = if nearest.abs() < 0.5 { "line-nearest-drawn" } else { "line-nearest" };
                out.push_str(&text(key, &[("distance", &at)]));
            }
            out
        }
    }
}

pub(super) fn clash_words(clash: &Clash, part: &Part, other: &Part) -> String {
    let arguments = [
        ("part", part.name_within()),
        ("cut", cut_name(part, &clash.cut)),
        ("other", other.name_within()),
        ("second", cut_name(other, &clash.other)),
        ("distance", format!("{:.0}", clash.distance_mm)),
        ("needed", format!("{:.0}", clash.needed_mm)),
    ];
    let arguments = arguments.each_ref().map(|(name, value)| (*name, value.as_str()));
    say(Language::English, "section-clash", &arguments)
}
