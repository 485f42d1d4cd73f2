//! The price list of service parts: which one is in force, taking the shop's own from a file, saving it, going back.
//!
//! A file with a fault is refused with every fault's line and column; what was in force stays.

use super::own_file::{Fault, Outcome, Told, taking};
use crate::charges;
use crate::planned::Planned;
use crate::platform::files;
use crate::state::AppState;
use crate::widgets::{FileKey, Refused};
use crate::words::{count, t, tf};
use leptos::prelude::*;
use model::prices::FILE_MAX;
use model::words::Language;

/// The section.
#[component]
pub fn Prices() -> impl IntoView {
    let (app, planned) = (AppState::get(), Planned::get());
    let outcome = RwSignal::new(None::<Outcome>);
    let own = Memo::new(move |_| planned.charges.with(|now| now.prices.own > 0));
    let kept = Memo::new(move |_| app.settings.with(|settings| !settings.price_list.is_empty()));
    let problem = Memo::new(move |_| planned.charges.with(|now| now.prices_problem.clone()));
    let words = Memo::new(move |_| {
        planned.charges.with(|now| {
            let all = now.prices.items.len();
            let demo = now.prices.items.values().filter(|item| item.demo).count();
            let (own, all, demo) = (now.prices.own.to_string(), all.to_string(), demo.to_string());
            let currency = now.prices.currency.code();
            let values = [
                ("name", now.prices.id.as_str()),
                ("own", &own),
                ("all", &all),
                ("demo", &demo),
                ("currency", currency),
            ];
            tf(if now.prices.own > 0 { "prices-own" } else { "prices-built-in" }, &values)
        })
    });
    let take = taking(outcome, FILE_MAX, "error-csv-large", move |text, file| {
        let rows = count("prices-rows", take_list(app, planned, &text, file)?);
        Ok(tf("prices-taken", &[("file", file), ("rows", &rows)]))
    });
    let save = move |_| {
        let list = planned.charges.with_untracked(|now| now.prices.to_csv(now.prices.own == 0));
        let _ = files::save(&t("prices-file"), "text/csv", &list);
    };
    view! {
        <section class="shop-part prices" aria-labelledby="shop-prices">
            <h2 id="shop-prices">{t("prices")}</h2>
            <p data-prices=move || if own.get() { "own" } else { "built-in" }>{move || words.get()}</p>
            <p class="form-note">{t("prices-note")}</p>
            {move || problem.get().map(|why| view! { <Refused text=tf("prices-unused", &[("why", &why)]) /> })}
            <div class="shop-acts">
                <FileKey label=t("prices-load") accept=".csv,text/csv" act="load-prices" on_pick=take />
                <button type="button" class="key" data-act="save-prices" on:click=save>{t("prices-save")}</button>
                <Show when=move || kept.get()>
                    <button type="button" class="key" data-act="drop-prices" on:click=move |_| {
                        outcome.set(None);
                        app.update_settings(|settings| {
                            settings.price_list.clear();
                            settings.price_file.clear();
                        });
                    }>
                        {t("prices-drop")}
                    </button>
                </Show>
            </div>
            <Told outcome=outcome />
        </section>
    }
}

/// Takes a list over if it has no fault; gives the number of its rows.
fn take_list(app: AppState, planned: Planned, text: &str, name: &str) -> Result<usize, Vec<Fault>> {
    let Some(now) = planned.charges.try_get_untracked() else { return Ok(0) };
    let list = charges::read_prices(text, name, &now.rates).map_err(|faults| {
        faults.into_iter().map(|fault| (fault.place.clone(), fault.message(Language::English))).collect::<Vec<_>>()
    })?;
    // Written anew: short, and read by every later version.
    let own = list.to_csv(false);
    app.update_settings(|settings| {
        settings.price_list = own;
        settings.price_file = name.to_owned();
    });
    Ok(list.own)
}
