//! The price list of service parts: which one is in force, taking the shop's own from a file, saving it, going back.
//!
//! A file with a fault is refused with every fault's line and column; what was in force stays.

use crate::charges;
use crate::planned::Planned;
use crate::platform::files;
use crate::platform::picked::{Picked, Unread};
use crate::state::AppState;
use crate::widgets::{FileKey, Icon, Refused};
use crate::words::{count, t, tf};
use leptos::prelude::*;
use leptos::task::spawn_local;
use model::prices::FILE_MAX;
use model::words::Language;

/// What became of the file that was given last.
#[derive(Clone)]
enum Outcome {
    Taken { file: String, rows: usize },
    Refused { file: String, faults: Vec<Fault> },
}

/// A fault with its place, which may be empty.
pub(super) type Fault = (String, String);

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
    let take = move |files: Vec<Picked>| {
        let Some(file) = files.into_iter().next() else { return };
        spawn_local(async move {
            let name = file.name();
            let read = match file.text(FILE_MAX).await {
                Ok(text) => take_list(app, planned, &text, &name),
                Err(Unread::Large) => {
                    Err(vec![(String::new(), tf("error-csv-large", &[("most", &(FILE_MAX >> 10).to_string())]))])
                }
                Err(Unread::Broken) => Err(vec![(String::new(), t("gate-file-unreadable"))]),
            };
            // The shop may have been left meanwhile.
            outcome.try_set(Some(match read {
                Ok(rows) => Outcome::Taken { file: name, rows },
                Err(faults) => Outcome::Refused { file: name, faults },
            }));
        });
    };
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
            <div role="status">
                {move || match outcome.get() {
                    Some(Outcome::Taken { file, rows }) => {
                        let said = count("prices-rows", rows);
                        let said = tf("prices-taken", &[("file", &file), ("rows", &said)]);
                        Some(view! { <p class="given-taken"><Icon name="saved" />{said}</p> })
                    }
                    _ => None,
                }}
            </div>
            <div role="alert">
                {move || match outcome.get() {
                    Some(Outcome::Refused { file, faults }) => Some(view! { <Faults file=file faults=faults /> }),
                    _ => None,
                }}
            </div>
        </section>
    }
}

/// Every fault of a refused file.
#[component]
pub(super) fn Faults(file: String, faults: Vec<Fault>) -> impl IntoView {
    view! {
        <div class="prices-refused">
            <p class="given-refused">
                <Icon name="caution" />
                <span>{tf("prices-refused", &[("file", &file)])}" "{count("prices-faults", faults.len())}</span>
            </p>
            <ul class="prices-faults">
                {faults
                    .into_iter()
                    .map(|(place, what)| {
                        view! {
                            <li>
                                {(!place.is_empty()).then(|| view! { <b>{crate::words::raised(&place)}</b> })}
                                <span>{what}</span>
                            </li>
                        }
                    })
                    .collect_view()}
            </ul>
        </div>
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
