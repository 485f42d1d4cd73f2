//! What the choice buys, in words: each part's pick against its other permitted actions, and the best for other aims.
//!
//! Every figure is that of the program; nothing is compared that was not permitted.

use super::Outcome;
use crate::catalogue::{Book, Part};
use crate::decide::Pick;
use crate::decide::section::section_words;
use crate::estimate::cost_money;
use crate::ids::PartId;
use crate::optimise::{Candidates, Change, Costs};
use crate::shop::Shop;
use crate::terms::{Action, Aim, Route};
use crate::words::{Language, say, word};

/// A choice against another.
#[derive(Clone, Debug, PartialEq)]
pub struct Difference {
    /// The part, if it is about one.
    pub part: Option<PartId>,
    /// The other action, if it is about one.
    pub against: Option<Action>,
    /// The other aim, if it is about the best for another aim.
    pub aim: Option<Aim>,
    /// How much more the other choice comes to; negative where it is less. For another aim: its best against the plan.
    pub costs: Costs,
    /// The difference in words.
    pub text: String,
}

/// Each part's pick against the best candidate of each other action, all other parts as they are; then the best for
/// every other aim that picks otherwise.
pub(super) fn differences(
    book: &Book,
    shop: &Shop,
    parts: &[&Candidates],
    best: &[Outcome],
    aim: Aim,
    changes: &[Change],
) -> Vec<Difference> {
    let stands = &best[aim as usize];
    let mut out: Vec<Difference> = Vec::new();
    for (at, pick) in stands.picks.iter().enumerate() {
        for action in Action::ALL.iter().filter(|action| **action != pick.action) {
            let others = changes
                .iter()
                .filter(|change| change.part == at && parts[at].list[change.candidate].pick.action == *action);
            // One that can stand beside the rest, then the best for the aim.
            let Some(change) = others.min_by_key(|change| (change.clashes, change.costs[aim as usize])) else {
                continue;
            };
            let other = &parts[at].list[change.candidate].pick;
            let text = sentence(shop, &doing(book, pick), &doing(book, other), &change.costs);
            let text =
                if change.clashes { say(Language::English, "difference-clash", &[("sentence", &text)]) } else { text };
            out.push(Difference {
                part: Some(pick.part.clone()),
                against: Some(*action),
                aim: None,
                costs: change.costs,
                text,
            });
        }
    }
    for other in best.iter().filter(|other| other.choice != stands.choice) {
        let costs: Costs = std::array::from_fn(|at| other.costs[at] - stands.costs[at]);
        let changed: Vec<String> = (0..parts.len())
            .filter(|at| stands.choice[*at] != other.choice[*at])
            .map(|at| {
                let (one, other) = (&stands.picks[at], &other.picks[at]);
                let arguments =
                    [("chosen", &*doing_joined(book, other, one)), ("other", &*doing_joined(book, one, other))];
                say(Language::English, "difference-best-part", &arguments)
            })
            .collect();
        let (less, more) = amounts(shop, &costs);
        let key = match (less.is_empty(), more.is_empty()) {
            (true, true) => "difference-best-same",
            (false, true) => "difference-best-saves",
            (true, false) => "difference-best-costs",
            (false, false) => "difference-best-both",
        };
        let comparison = say(Language::English, key, &[("saved", &*listed(&less)), ("more", &*listed(&more))]);
        let arguments = [
            ("aim", &*word(other.aim.key()).to_lowercase()),
            ("comparison", &*comparison),
            ("changes", &*changed.join("; ")),
        ];
        let text = say(Language::English, "difference-best", &arguments);
        out.push(Difference { part: None, against: None, aim: Some(other.aim), costs, text });
    }
    out
}

/// What is done, as it stands within a sentence: "replacing the left fender".
fn doing(book: &Book, pick: &Pick) -> String {
    let part = book.part(&pick.part);
    let name = part.map_or_else(|| pick.part.to_string(), Part::name_within);
    let section = part.zip(pick.section.as_deref()).map(|(part, plan)| section_words(part, plan)).unwrap_or_default();
    let skin = pick.action == Action::Replace && pick.route == Some(Route::Hemmed);
    let key = if skin { "doing-replace-skin".to_owned() } else { format!("doing-{}", pick.action) };
    say(Language::English, &key, &[("part", &name), ("section", &section)])
}

/// The same with the way to join, for picks that differ by it alone.
fn doing_joined(book: &Book, pick: &Pick, other: &Pick) -> String {
    let doing = doing(book, pick);
    match pick.route {
        Some(route) if pick.action == other.action && pick.route != other.route && route != Route::Hemmed => {
            let way = word(route.key()).to_lowercase();
            say(Language::English, "doing-joined", &[("doing", &doing), ("way", &way)])
        }
        _ => doing,
    }
}

/// `costs` is what the other comes to beyond the chosen.
fn sentence(shop: &Shop, chosen: &str, other: &str, costs: &Costs) -> String {
    let (more, saved) = amounts(shop, costs);
    let key = match (saved.is_empty(), more.is_empty()) {
        (true, true) => "difference-same",
        (false, true) => "difference-saves",
        (true, false) => "difference-costs",
        (false, false) => "difference-both",
    };
    let mut letters = chosen.chars();
    let first: String = letters.next().map(|first| first.to_uppercase().collect()).unwrap_or_default();
    let chosen = first + letters.as_str();
    let arguments = [("chosen", &*chosen), ("other", other), ("saved", &*listed(&saved)), ("more", &*listed(&more))];
    say(Language::English, key, &arguments)
}

/// What is less and what is more than nothing, each in words without a sign; what rounds to nothing is left out.
fn amounts(shop: &Shop, costs: &Costs) -> (Vec<String>, Vec<String>) {
    let (mut less, mut more) = (Vec::new(), Vec::new());
    let [money, seconds, days] = *costs;
    let mut add = |cost: i64, text: Option<String>| {
        if let Some(text) = text {
            if cost < 0 { less.push(text) } else { more.push(text) }
        }
    };
    let amount = cost_money(money.abs(), &shop.rates);
    add(money, (amount.minor > 0).then(|| amount.to_string()));
    // Far below 2^53.
    #[allow(clippy::cast_precision_loss)]
    let (hours, shop_days) =
        (seconds.abs() as f64 / 3_600.0, days.abs() as f64 / crate::optimise::per(shop, Aim::Days) as f64);
    let hours = (hours >= 0.05).then(|| say(Language::English, "amount-hours", &[("hours", &format!("{hours:.1}"))]));
    add(seconds, hours);
    let text = |days: f64| say(Language::English, "amount-days", &[("days", &format!("{days:.1}"))]);
    add(days, (shop_days >= 0.05).then(|| text(shop_days)));
    (less, more)
}

fn listed(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [only] => only.clone(),
        [most @ .., last] => say(Language::English, "list-and", &[("most", &most.join(", ")), ("last", last)]),
    }
}
