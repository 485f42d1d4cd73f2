//! The rule book in force, and the way to lay the shop's own over it.
//!
//! A book with a fault is refused with its place and changes nothing.

use super::own_file::{Outcome, Told, taking};
use crate::planned::Planned;
use crate::rule_book::{self, LONGEST};
use crate::state::AppState;
use crate::widgets::{FileKey, Refused};
use crate::words::{t, tf};
use leptos::prelude::*;

/// The section.
#[component]
pub fn Rules() -> impl IntoView {
    let (app, planned) = (AppState::get(), Planned::get());
    let outcome = RwSignal::new(None::<Outcome>);
    let words = Memo::new(move |_| {
        planned.rules.with(|rules| {
            let (book, number) = (&rules.value, rules.value.rules.len().to_string());
            let arguments =
                [("title", book.title.as_str()), ("id", &book.id), ("edition", &book.edition), ("count", &number)];
            tf("shop-rules-now", &arguments)
        })
    });
    let problem = Memo::new(move |_| planned.rules.with(|rules| rules.problem.clone()));
    let kept = Memo::new(move |_| app.settings.with(|settings| !settings.rule_book.is_empty()));
    let own = Memo::new(move |_| planned.rules.with(|rules| rules.own));
    let take = taking(outcome, LONGEST, "shop-rules-large", move |text, _| {
        let book = rule_book::check(&text).map_err(|error| vec![(String::new(), error.to_string())])?;
        app.update_settings(|settings| settings.rule_book = text);
        Ok(tf("shop-rules-taken", &[("title", &book.title)]))
    });
    view! {
        <section class="shop-part" aria-labelledby="shop-rules">
            <h2 id="shop-rules">{t("shop-rules")}</h2>
            <p data-rules=move || if own.get() { "own" } else { "built-in" }>{move || words.get()}</p>
            <p class="form-note">{move || t(if own.get() { "shop-rules-own" } else { "shop-rules-built-in" })}</p>
            {move || problem.get().map(|why| view! { <Refused text=tf("plan-own-rules-refused", &[("why", &why)]) /> })}
            <div class="shop-acts">
                <FileKey label=t("shop-rules-load") accept=".json,application/json" act="load-rules" on_pick=take />
                <Show when=move || kept.get()>
                    <button type="button" class="key" data-act="drop-rules" on:click=move |_| {
                        outcome.set(None);
                        app.update_settings(|settings| settings.rule_book.clear());
                    }>
                        {t("shop-rules-drop")}
                    </button>
                </Show>
            </div>
            <Told outcome=outcome />
        </section>
    }
}
