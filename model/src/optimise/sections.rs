//! The sections of one part that are worth weighing, under what its work and its pieces really cost.
//!
//! The price of work is not written down here: it is what the work of two imagined sections differs by. Never judges
//! where a line may run; that is the section search's.

use super::cost::{self, Cost};
use crate::catalogue::{Book, Part, Sections};
use crate::decide::section::{Search, SectionHold, Weights, WhyNot};
use crate::decide::{CutUse, Decision, NoSection, Pick, SectionPlan};
use crate::estimate::{MONEY_UNITS, Tariff};
use crate::geometry::Point;
use crate::job::OptionHold;
use crate::operations::{Counted, Counting};
use crate::shop::Shop;
use crate::terms::{Action, Join, Route};
use std::sync::Arc;

/// Weighs the sections of one part.
pub(super) struct Weighing<'a> {
    decision: &'a Decision,
    tariff: &'a Tariff<'a>,
    /// The part, where it may be cut, and what its pieces cost; `None` where it is not divided.
    divided: Option<(&'a Part, &'a Sections, Pieces)>,
    /// `None` where the damage has no place in the part.
    search: Result<Search<'a>, NoSection>,
}

impl<'a> Weighing<'a> {
    pub(super) fn new(book: &'a Book, decision: &'a Decision, tariff: &'a Tariff<'a>) -> Self {
        let part = book.part(&decision.part);
        let divided = part.and_then(|part| {
            let sections = part.sections.as_ref()?;
            Some((part, sections, Pieces::of(tariff.shop(), part, sections)))
        });
        let search = part.ok_or(NoSection::NotDivided).and_then(|part| Search::new(part, &decision.finding));
        Self { decision, tariff, divided, search }
    }

    /// Sections for one way to join: those of which none is cheaper, quicker or sooner there without being worse in price
    /// or work, each once, in the order in which they are found; and whether a person drew them.
    ///
    /// With a person's own lines, theirs come too, or else why they cannot be cut.
    pub(super) fn worth_weighing(
        &self,
        counting: &mut Counting<'a>,
        route: Route,
        hold: Option<&SectionHold>,
    ) -> (Vec<(Arc<SectionPlan>, bool)>, Option<String>) {
        let mut out: Vec<(Arc<SectionPlan>, bool)> = Vec::new();
        let mut refused = None;
        let Some((part, sections, pieces)) = &self.divided else { return (out, refused) };
        let mut add = |plan: Arc<SectionPlan>, own: bool| {
            let same = |known: &Arc<SectionPlan>| Arc::ptr_eq(known, &plan) || *known == plan;
            if plan.routes.contains(&route) && !out.iter().any(|(known, by)| same(known) && *by == own) {
                out.push((plan, own));
            }
        };
        for weights in self.all_weights(counting, (part, sections, pieces), route) {
            if let Ok(search) = &self.search {
                search.plans(&weights).into_iter().for_each(|one| add(one.plan, false));
            }
            if let Some(hold) = hold {
                let held = self.search.as_ref().map_err(|why| WhyNot::None(why.clone()));
                match held.and_then(|search| search.held(hold, &weights)) {
                    Ok(list) => list.into_iter().for_each(|one| add(one.plan, true)),
                    Err(why) => refused = Some(why.words(part)),
                }
            }
        }
        if out.is_empty()
            && let Some(least) = self.decision.option(Action::Section).and_then(|option| option.section.clone())
            && least.routes.contains(&route)
        {
            out.push((Arc::new(least), false));
        }
        (out, refused)
    }

    /// Weights by money, by time, and by delivery.
    fn all_weights(
        &self,
        counting: &mut Counting<'a>,
        (part, sections, pieces): (&Part, &Sections, &Pieces),
        route: Route,
    ) -> [Weights; 3] {
        // Sections of no share without a cut, of the whole part, and with a metre of cut: the work on the part differs by
        // what a share and a metre cost; all other work is the same.
        let picks = [(0.0, 0.0), (1.0, 0.0), (0.0, 1_000.0)]
            .map(|(share, length_mm)| imagined(part, sections, route, share, length_mm));
        let [nothing, whole, metre] = &picks;
        let work: Vec<Counted> = counting.on_part(self.decision, nothing).collect();
        let mut more = |pick| -> Cost {
            let mut sum = Cost::default();
            for (one, other) in work.iter().zip(counting.on_part(self.decision, pick)) {
                debug_assert_eq!(one.task, other.task, "only amounts differ");
                if one.amount == other.amount {
                    continue;
                }
                let task = self.tariff.task(one.task.work, None);
                let (less, more) = (cost::of_work(&task, &one.amount), cost::of_work(&task, &other.amount));
                sum.money += more.money - less.money;
                sum.seconds += more.seconds - less.seconds;
            }
            sum
        };
        let (whole, metre) = (more(whole), more(metre));
        let areas: Vec<f64> = sections.cells.iter().map(|cell| cell.area.size()).collect();
        let total: f64 = areas.iter().sum::<f64>().max(1.0);
        #[allow(clippy::cast_precision_loss, clippy::cast_possible_truncation, clippy::cast_sign_loss)] // below 2^53
        let by_area = |whole: u64| -> Vec<u64> {
            areas.iter().map(|area| (whole as f64 * area / total).round() as u64).collect()
        };
        let lines = sections.cuts.len();
        let seconds = |more: i64| u64::try_from(more.max(0)).unwrap_or(0);
        let money = Weights {
            cell: by_area(units(whole.money)),
            metre: vec![units(metre.money); lines],
            service: pieces.prices.clone(),
            whole: pieces.whole_price,
            ..Weights::default()
        };
        let time = Weights {
            cell: by_area(seconds(whole.seconds)),
            metre: vec![seconds(metre.seconds); lines],
            ..money.clone()
        };
        let delivery = Weights { service: pieces.days.clone(), whole: pieces.whole_days, ..time.clone() };
        [money, time, delivery]
    }
}

/// Prices and delivery times of what may be ordered for a part: its sections in the order of the book, and the whole.
struct Pieces {
    prices: Vec<u64>,
    days: Vec<u64>,
    whole_price: u64,
    whole_days: u64,
}

impl Pieces {
    fn of(shop: &Shop, part: &Part, sections: &Sections) -> Self {
        let piece = |section: Option<&str>| {
            let (money, days) = cost::of_service(shop, part, section);
            (units(money), u64::from(days))
        };
        let (prices, days) = sections.service.iter().map(|section| piece(Some(&section.id))).unzip();
        let (whole_price, whole_days) = piece(None);
        Self { prices, days, whole_price, whole_days }
    }
}

/// Money as a weight: a thousandth of the program's unit is fine enough and keeps far below the search's bounds.
fn units(cost: i64) -> u64 {
    u64::try_from(cost.max(0) / (MONEY_UNITS / 1_000)).unwrap_or(0)
}

/// A person's own section of a job's hold.
pub(super) fn own_lines(hold: &OptionHold) -> Option<SectionHold> {
    hold.has_lines().then(|| SectionHold { cells: hold.cells.clone(), moves: hold.moves.clone() })
}

/// A pick of a section that need not exist, to ask what its work would cost.
fn imagined(part: &Part, sections: &Sections, route: Route, share: f64, length_mm: f64) -> Pick {
    let nowhere = Point::new(0.0, 0.0);
    let cuts = sections.cuts.first().filter(|_| length_mm > 0.0).map(|cut| CutUse {
        cut: cut.id.clone(),
        line: (nowhere, nowhere),
        moved_mm: 0.0,
        range_mm: (0.0, 0.0),
        length_mm,
        between_new_mm: 0.0,
        seams: Vec::new(),
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
        service: Vec::new(),
        share,
        routes: vec![route],
        held: false,
    };
    Pick { part: part.id.clone(), action: Action::Section, route: Some(route), section: Some(Arc::new(plan)) }
}
