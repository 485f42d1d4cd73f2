//! The money: category by category, each opening to its lines, each line to its quantity and price; tax, rounding, total.
//!
//! Shows the lines as they would be frozen; adds up nothing that it does not show.

use super::figures::Coin;
use super::{Desk, Fold};
use crate::words::{cap, count, t, tf};
use leptos::prelude::*;
use model::job::{RevisedLine, Revision};
use model::terms::Category;
use std::sync::Arc;

/// The section.
#[component]
pub fn Money() -> impl IntoView {
    let desk = Desk::get();
    view! {
        <section class="money" aria-labelledby="plan-money">
            <h2 id="plan-money" tabindex="-1" class="plan-heading">{t("plan-money-title")}</h2>
            {move || desk.current.get().map(|plan| sheet(&plan))}
        </section>
    }
}

fn sheet(plan: &Arc<Revision>) -> impl IntoView + use<> {
    let coin = Coin::of(plan);
    let categories = Category::ALL
        .iter()
        .filter_map(|category| {
            let lines: Vec<RevisedLine> = of(plan, *category).cloned().collect();
            (!lines.is_empty()).then(|| group(*category, lines, &coin))
        })
        .collect_view();
    let terms: Vec<(String, i64)> = Category::ALL
        .iter()
        .map(|category| (cap(category.key()), sum(of(plan, *category))))
        .filter(|(_, amount)| *amount != 0)
        .chain(Desk::taxes(plan))
        .collect();
    let total = plan.total;
    let shown = coin.clone();
    view! {
        <div class="money-groups">{categories}</div>
        <Fold class="money-total" name=t("plan-total") figure=coin.say(total) act="total">
            {
                let rows = terms
                    .iter()
                    .map(|(name, amount)| {
                        view! {
                            <tr data-amount=amount.to_string()>
                                <th scope="row">{name.clone()}</th>
                                <td class="cash">{shown.say(*amount)}</td>
                            </tr>
                        }
                    })
                    .collect_view();
                view! {
                    <table class="money-lines">
                        <caption class="spoken">{t("plan-total-terms")}</caption>
                        <tbody>
                            {rows}
                            <tr class="sum"><th scope="row">{t("plan-total")}</th><td class="cash">{shown.say(total)}</td></tr>
                        </tbody>
                    </table>
                }
            }
        </Fold>
        <p class="form-note">{tf("plan-rounding", &[("how", &t(plan.rounding.key()))])}</p>
    }
}

fn of(plan: &Revision, category: Category) -> impl Iterator<Item = &RevisedLine> {
    plan.lines.iter().filter(move |line| line.category == category)
}

fn sum<'l>(lines: impl Iterator<Item = &'l RevisedLine>) -> i64 {
    lines.map(|line| line.amount).sum()
}

fn group(category: Category, lines: Vec<RevisedLine>, coin: &Coin) -> impl IntoView + use<> {
    let total = sum(lines.iter());
    let name = tf("plan-money-group", &[("name", &cap(category.key())), ("lines", &count("plan-lines", lines.len()))]);
    let coin = coin.clone();
    let figure = coin.say(total);
    view! {
        <Fold class="money-group" name=name figure=figure act=category.word()>
            {
                let rows = lines
                    .iter()
                    .map(|line| {
                        view! {
                            <tr data-amount=line.amount.to_string()>
                                <td class="line-what">{line.what.clone()}</td>
                                <td class="line-how">{line.how.clone()}</td>
                                <td class="cash">{coin.say(line.amount)}</td>
                            </tr>
                        }
                    })
                    .collect_view();
                view! {
                    <table class="money-lines">
                        <thead>
                            <tr>
                                <th scope="col">{t("plan-line-what")}</th>
                                <th scope="col">{t("plan-line-how")}</th>
                                <th scope="col" class="cash">{t("plan-line-amount")}</th>
                            </tr>
                        </thead>
                        <tbody>
                            {rows}
                            <tr class="sum">
                                <th scope="row" colspan="2">{cap(category.key())}</th>
                                <td class="cash">{coin.say(total)}</td>
                            </tr>
                        </tbody>
                    </table>
                }
            }
        </Fold>
    }
}
