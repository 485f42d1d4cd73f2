//! What the plan stands on, and what it cannot judge.

use super::Desk;
use crate::widgets::Icon;
use crate::words::{t, tf};
use leptos::prelude::*;

/// How many sentences of limits the catalogue has: `limit-1` and so on.
const LIMITS: usize = 5;

/// Books with their editions, and the limits.
#[component]
pub fn Grounds() -> impl IntoView {
    let desk = Desk::get();
    let books = Memo::new(move |_| {
        desk.planned.plan.with(|plan| {
            plan.as_ref().map(|plan| {
                let body = tf("vehicle-plain", &[("cab", &t(plan.body.cab.key())), ("bed", &t(plan.body.bed.key()))]);
                let book = tf("plan-book", &[("id", &plan.book.id), ("edition", &plan.book.edition), ("body", &body)]);
                (book, plan.rules.id.clone(), plan.rules.edition.clone())
            })
        })
    });
    let title = Memo::new(move |_| desk.planned.rules.with(|rules| rules.value.title.clone()));
    view! {
        <section class="grounds" aria-labelledby="plan-grounds">
            <h2 id="plan-grounds" tabindex="-1" class="plan-heading">{t("plan-grounds")}</h2>
            {move || {
                books
                    .get()
                    .map(|(book, id, edition)| {
                        let rules = tf("plan-rules", &[("title", &title.get()), ("id", &id), ("edition", &edition)]);
                        view! {
                            <p>{book}</p>
                            <p data-rules=id>{rules}</p>
                        }
                    })
            }}
            <Limits />
        </section>
    }
}

/// What the program cannot judge, in words.
#[component]
pub fn Limits() -> impl IntoView {
    view! {
        <div class="limits">
            <p class="limits-title"><Icon name="caution" /><b>{t("limits")}</b></p>
            <ul>{(1..=LIMITS).map(|at| view! { <li>{t(&format!("limit-{at}"))}</li> }).collect_view()}</ul>
        </div>
    }
}
