//! The best of each aim side by side: what it comes to, what it does otherwise, and the key that makes the plan follow it.
//!
//! Compares what the model worked out; the chosen one is told by a word and a line, not by colour alone.

use super::Desk;
use super::figures::{Coin, days, days_differ, exact, hours, hours_differ};
use super::fold::Fold;
use crate::platform::page;
use crate::widgets::Icon;
use crate::words::{cap, count, lowered, t, tf};
use leptos::prelude::*;
use model::catalogue::Book;
use model::decide::{CutUse, Pick, section};
use model::estimate::{HandOver, day_seconds};
use model::ids::CellId;
use model::job::Command;
use model::terms::{Action, Aim};

/// The best for one aim.
#[derive(Clone, Debug, PartialEq)]
pub struct Offer {
    /// The aim.
    pub aim: Aim,
    /// Total, minor units.
    pub total: i64,
    /// Planned work, seconds.
    pub seconds: u64,
    /// Days in the shop.
    pub days: [u64; 2],
    /// What holds the hand-over longer than the days, if anything does.
    pub held: Option<HandOver>,
    /// What is done to each part.
    pub picks: Vec<Pick>,
}

/// How many differing parts a card names before it counts the rest.
const NAMED: usize = 4;

/// The three cards.
#[component]
pub fn Best() -> impl IntoView {
    let desk = Desk::get();
    view! {
        <section class="best" aria-labelledby="plan-best">
            <h2 id="plan-best" tabindex="-1" class="plan-heading">{t("plan-best")}</h2>
            <p class="form-note">{t("plan-best-note")}</p>
            <div class="best-cards">
                {move || {
                    let (Some(plan), offers, aim) = (desk.current.get(), desk.offers.get(), desk.aim.get()) else {
                        return Vec::new();
                    };
                    let coin = Coin::of(&plan);
                    let chosen = offers.iter().find(|offer| offer.aim == aim).cloned();
                    offers.iter().map(|offer| card(desk, offer, chosen.as_ref(), &offers, &coin).into_any()).collect()
                }}
            </div>
        </section>
    }
}

fn card(desk: Desk, offer: &Offer, chosen: Option<&Offer>, all: &[Offer], coin: &Coin) -> impl IntoView + use<> {
    let aim = offer.aim;
    let is_chosen = chosen.is_some_and(|chosen| chosen.aim == aim);
    let id = format!("best-{}", aim.word());
    let title = t(&format!("plan-best-{}", aim.word()));
    let figures =
        [(Aim::Money, coin.say(offer.total)), (Aim::Hours, hours(offer.seconds)), (Aim::Days, days(offer.days))]
            .into_iter()
            .map(|(of, text)| {
                let key = match of {
                    Aim::Money => "plan-total",
                    Aim::Hours => "plan-hours-planned",
                    Aim::Days => "plan-days-stay",
                };
                view! {
                    <div data-figure=of.word() data-best=(of == aim).then_some("")>
                        <dt>{t(key)}</dt>
                        <dd>{text}</dd>
                    </div>
                }
            })
            .collect_view();
    let words = match chosen {
        Some(chosen) if !is_chosen => against(desk, offer, chosen, coin),
        _ => twins(offer, all),
    };
    let focus = format!("#{id} h3");
    let choose = move |_| {
        desk.app.dispatch(Command::SetAim((aim != Aim::Money).then_some(aim)));
        // The pressed key is gone; the keyboard stays at the card.
        let focus = focus.clone();
        page::next_frame(move || page::focus(&focus));
    };
    view! {
        <article class="best-card" id=id.clone() data-aim=aim.word() data-chosen=is_chosen.to_string()
            data-money=offer.total.to_string() data-seconds=offer.seconds.to_string() data-days=offer.days[0].to_string()
            aria-labelledby=format!("{id}-name")>
            <h3 id=format!("{id}-name") tabindex="-1">{title.clone()}</h3>
            {if is_chosen {
                view! { <p class="best-state"><Icon name="saved" />{t("plan-best-chosen")}</p> }.into_any()
            } else {
                let label = tf("plan-best-choose-named", &[("title", &lowered(&title))]);
                view! {
                    <button type="button" class="key" data-act="aim" aria-label=label on:click=choose>{t("plan-best-choose")}</button>
                }
                .into_any()
            }}
            <dl>{figures}</dl>
            <ul class="best-differs">{words.into_iter().map(|text| view! { <li>{text}</li> }).collect_view()}</ul>
            {offer.held.as_ref().map(|hold| held(desk, hold))}
        </article>
    }
}

/// Until when an adhesive holds the hand-over; opens to how that comes about.
fn held(desk: Desk, hold: &HandOver) -> impl IntoView + use<> {
    let day = exact(desk.planned.shop.with(day_seconds));
    let rest = exact(hold.carries_s.saturating_sub(hold.more_s));
    let rows = [
        (t("plan-held-carries"), exact(60 * u64::from(hold.minutes))),
        (tf("plan-held-working", &[("day", &day)]), exact(hold.carries_s)),
        (t("plan-held-rest"), tf("plan-held-less", &[("time", &rest)])),
        (t("plan-held-more"), exact(hold.more_s)),
    ];
    view! {
        <Fold class="best-held" name=tf("plan-best-held", &[("more", &hours(hold.more_s))]) figure="" act="held">
            {
                let row = |(what, time): (String, String)| view! { <div><dt>{what}</dt><dd>{time}</dd></div> };
                view! { <dl>{rows.clone().map(row).into_iter().collect_view()}</dl> }
            }
        </Fold>
    }
}

/// What an offer comes to more or less than the chosen one, and which parts it treats otherwise.
fn against(desk: Desk, offer: &Offer, chosen: &Offer, coin: &Coin) -> Vec<String> {
    let parts = desk.untreated_alike(&offer.picks, &chosen.picks);
    if parts.is_empty() {
        return vec![t("plan-best-same")];
    }
    let (money, seconds) = (offer.total - chosen.total, offer.seconds.cast_signed() - chosen.seconds.cast_signed());
    let stay = offer.days[0].cast_signed() - chosen.days[0].cast_signed();
    let sums = [
        (money != 0).then(|| coin.differ(money)),
        (seconds != 0).then(|| hours_differ(seconds)),
        (stay != 0).then(|| days_differ(stay, offer.days[1])),
    ];
    let sums = sums.into_iter().flatten().collect::<Vec<_>>().join(", ");
    let mut out = Vec::new();
    if !sums.is_empty() {
        out.push(tf("plan-best-against", &[("sums", &sums)]));
    }
    let rest = parts.len().saturating_sub(NAMED);
    out.extend(
        parts
            .into_iter()
            .take(NAMED)
            .map(|(name, mine, theirs)| tf("plan-best-part", &[("part", &name), ("this", &mine), ("other", &theirs)])),
    );
    if rest > 0 {
        out.push(count("plan-best-more", rest));
    }
    out
}

/// Which other aims the chosen one serves just as well.
fn twins(offer: &Offer, all: &[Offer]) -> Vec<String> {
    all.iter()
        .filter(|other| other.aim != offer.aim && other.picks == offer.picks)
        .map(|other| tf("plan-best-twin", &[("title", &lowered(&t(&format!("plan-best-{}", other.aim.word()))))]))
        .collect()
}

/// What is done to a part, in a few words: action, way to join where it joins, which pieces where it is sectioned.
#[must_use]
pub fn pick_words(book: &Book, pick: &Pick) -> String {
    let mut out = t(pick.action.key());
    if let Some(section) = pick.section.as_ref().filter(|_| pick.action == Action::Section) {
        let part = book.part(&pick.part);
        let name = |cell: &CellId| part.map_or_else(|| cell.to_string(), |part| section::cell_name(part, cell));
        let pieces = section.cells.iter().map(name).collect::<Vec<_>>().join(", ");
        out = tf("plan-pick-section", &[("action", &out), ("pieces", &pieces)]);
    }
    match pick.route {
        Some(route) => tf("plan-pick-route", &[("action", &out), ("way", &t(route.key()))]),
        None => out,
    }
}

/// The same with a capital letter.
#[must_use]
pub fn pick_title(book: &Book, pick: &Pick) -> String {
    crate::words::raised(&pick_words(book, pick))
}

impl Desk {
    /// The action and where its cut lines run.
    fn cuts(self, pick: &Pick) -> String {
        let name = |cut: &CutUse| {
            self.part(&pick.part).map_or_else(|| cut.cut.to_string(), |part| section::cut_name(part, &cut.cut))
        };
        let cuts = pick.section.iter().flat_map(|plan| plan.cuts.iter().map(name));
        format!("{} ({})", cap(pick.action.key()), cuts.collect::<Vec<_>>().join(", "))
    }

    /// The parts that two choices treat otherwise: name, what the one does, what the other does.
    fn untreated_alike(self, one: &[Pick], other: &[Pick]) -> Vec<(String, String, String)> {
        one.iter()
            .filter_map(|pick| {
                let twin = other.iter().find(|twin| twin.part == pick.part)?;
                (twin != pick).then(|| {
                    let book = self.planned.book.get_untracked();
                    let (mine, theirs) = (pick_words(book, pick), pick_words(book, twin));
                    let (mine, theirs) =
                        if mine == theirs { (self.cuts(pick), self.cuts(twin)) } else { (mine, theirs) };
                    (self.name(&pick.part), mine, theirs)
                })
            })
            .collect()
    }
}
