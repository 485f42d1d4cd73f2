//! The sections of one part that are worth weighing, under what its work and its pieces really cost.
//!
//! The price of work is not written down here: it is what the work of two imagined sections differs by. Never judges
//! where a line may run; that is the section search's.

use super::cost::{self, Cost};
use crate::catalogue::{Book, Part, Sections};
use crate::decide::section::{SectionHold, Weights, held_sections, section_plans};
use crate::decide::{Circumstances, CutUse, Decision, Pick, SectionPlan};
use crate::estimate::MONEY_UNITS;
use crate::geometry::Point;
use crate::job::OptionHold;
use crate::operations::unordered;
use crate::shop::Shop;
use crate::terms::{Action, Join, Route};
use std::sync::Arc;

/// Sections for one way to join: those of which none is cheaper, quicker or sooner there without being worse in price or
/// work, each once, in the order in which they are found; and whether a person drew them.
///
/// With a person's own lines, theirs come too, or else why they cannot be cut.
pub(super) fn worth_weighing(
    book: &Book,
    decision: &Decision,
    route: Route,
    hold: Option<&SectionHold>,
    shop: &Shop,
    circumstances: &Circumstances,
) -> (Vec<(Arc<SectionPlan>, bool)>, Option<String>) {
    let mut out: Vec<(Arc<SectionPlan>, bool)> = Vec::new();
    let mut refused = None;
    let Some((part, sections)) = book.part(&decision.part).and_then(|part| Some((part, part.sections.as_ref()?)))
    else {
        return (out, refused);
    };
    let mut add = |plan: SectionPlan, own: bool| {
        if plan.routes.contains(&route) && !out.iter().any(|(known, by)| **known == plan && *by == own) {
            out.push((Arc::new(plan), own));
        }
    };
    for weights in all_weights(book, part, sections, decision, route, shop, circumstances) {
        for one in section_plans(part, &decision.finding, &weights) {
            add(one.plan, false);
        }
        if let Some(hold) = hold {
            match held_sections(part, &decision.finding, hold, &weights) {
                Ok(list) => list.into_iter().for_each(|one| add(one.plan, true)),
                Err(why) => refused = Some(why.words(part)),
            }
        }
    }
    if out.is_empty()
        && let Some(least) = decision.option(Action::Section).and_then(|option| option.section.clone())
        && least.routes.contains(&route)
    {
        out.push((Arc::new(least), false));
    }
    (out, refused)
}

/// A person's own section of a job's hold.
pub(super) fn own_lines(hold: &OptionHold) -> Option<SectionHold> {
    hold.has_lines().then(|| SectionHold { cells: hold.cells.clone(), moves: hold.moves.clone() })
}

/// Weights by money, by time, and by delivery.
fn all_weights(
    book: &Book,
    part: &Part,
    sections: &Sections,
    decision: &Decision,
    route: Route,
    shop: &Shop,
    circumstances: &Circumstances,
) -> [Weights; 3] {
    // Work on a section of this share of the part with this length of cut.
    let work = |share: f64, length_mm: f64| -> Cost {
        let pick = imagined(part, sections, route, share, length_mm, &[]);
        let mut sum = Cost::default();
        for operation in unordered(book, &[(decision, &pick)], circumstances) {
            let one = cost::of_operation(shop, &operation);
            sum.money += one.money;
            sum.seconds += one.seconds;
        }
        sum
    };
    let (nothing, whole, metre) = (work(0.0, 0.0), work(1.0, 0.0), work(0.0, 1_000.0));
    let areas: Vec<f64> = sections.cells.iter().map(|cell| cell.area.size()).collect();
    let total: f64 = areas.iter().sum::<f64>().max(1.0);
    // A thousandth of the program's unit is fine enough and keeps far below the search's bounds.
    let units = |cost: i64| u64::try_from(cost.max(0) / (MONEY_UNITS / 1_000)).unwrap_or(0);
    #[allow(clippy::cast_precision_loss, clippy::cast_possible_truncation, clippy::cast_sign_loss)] // far below 2^53
    let by_area =
        |whole: u64| -> Vec<u64> { areas.iter().map(|area| (whole as f64 * area / total).round() as u64).collect() };
    let pieces = |service: &[String]| cost::of_parts(shop, book, &imagined(part, sections, route, 1.0, 0.0, service));
    let (mut prices, mut days) = (Vec::new(), Vec::new());
    for section in &sections.service {
        let (price, lead, _) = pieces(std::slice::from_ref(&section.id));
        prices.push(units(price.money));
        days.push(u64::from(lead));
    }
    let (whole_price, whole_days, _) = pieces(&[]);
    let lines = sections.cuts.len();
    let seconds = |more: i64| u64::try_from(more.max(0)).unwrap_or(0);
    let money = Weights {
        cell: by_area(units(whole.money - nothing.money)),
        metre: vec![units(metre.money - nothing.money); lines],
        service: prices,
        whole: units(whole_price.money),
        ..Weights::default()
    };
    let time = Weights {
        cell: by_area(seconds(whole.seconds - nothing.seconds)),
        metre: vec![seconds(metre.seconds - nothing.seconds); lines],
        ..money.clone()
    };
    let delivery = Weights { service: days, whole: u64::from(whole_days), ..time.clone() };
    [money, time, delivery]
}

/// A pick of a section that need not exist, to ask what its work or its pieces would cost.
fn imagined(part: &Part, sections: &Sections, route: Route, share: f64, length_mm: f64, service: &[String]) -> Pick {
    let nowhere = Point::new(0.0, 0.0);
    let cuts = sections.cuts.first().filter(|_| length_mm > 0.0).map(|cut| CutUse {
        cut: cut.id.clone(),
        line: (nowhere, nowhere),
        moved_mm: 0.0,
        range_mm: (0.0, 0.0),
        length_mm,
        between_new_mm: 0.0,
        join: Join::Butt,
        sleeve_mm: 0.0,
        routes: Vec::new(),
        to_damage_mm: f64::INFINITY,
        nearest_no_cut: None,
        nearest_joint: None,
    });
    let plan = SectionPlan {
        view: sections.view,
        cells: Vec::new(),
        cuts: cuts.into_iter().collect(),
        service: service.to_vec(),
        share,
        routes: vec![route],
        held: false,
    };
    Pick { part: part.id.clone(), action: Action::Section, route: Some(route), section: Some(Arc::new(plan)) }
}
