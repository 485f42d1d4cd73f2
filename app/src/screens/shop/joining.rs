//! The joining list: which one is in force, taking the shop's own from a file, saving it, going back.
//!
//! A file with a fault is refused with every row's fault and field; what was in force stays.

use super::own_file::{Outcome, Told, taking};
use crate::joining::LONGEST;
use crate::planned::Planned;
use crate::platform::files;
use crate::state::AppState;
use crate::widgets::{FileKey, Refused};
use crate::words::{t, tf};
use leptos::prelude::*;
use model::stock::Stock;
use model::words::Language;

/// The section.
#[component]
pub fn Joining() -> impl IntoView {
    let (app, planned) = (AppState::get(), Planned::get());
    let outcome = RwSignal::new(None::<Outcome>);
    let own = Memo::new(move |_| planned.joining.with(|list| list.own));
    let kept = Memo::new(move |_| app.settings.with(|settings| !settings.joining.is_empty()));
    let problem = Memo::new(move |_| planned.joining.with(|list| list.problem.clone()));
    let take = taking(outcome, LONGEST, "shop-joining-large", move |text, _| {
        let list = Stock::read_all(&text).map_err(|faults| {
            faults.iter().map(|one| (place(&one.place), one.message(Language::English))).collect::<Vec<_>>()
        })?;
        app.update_settings(|settings| settings.joining = text);
        Ok(tf("shop-joining-taken", &[("name", &list.id)]))
    });
    let save = move |_| {
        let text = app.settings.with_untracked(|settings| match settings.joining.as_str() {
            "" => Stock::general_text().to_owned(),
            own => own.to_owned(),
        });
        let _ = files::save(&t("shop-joining-file"), "application/json", &text);
    };
    view! {
        <section class="shop-part" aria-labelledby="shop-joining">
            <h2 id="shop-joining">{t("shop-joining")}</h2>
            <p data-joining=move || if own.get() { "own" } else { "built-in" }>
                {move || planned.joining.with(|list| words(&list.value))}
            </p>
            <p class="form-note">{move || t(if own.get() { "shop-joining-own" } else { "shop-joining-built-in" })}</p>
            {move || problem.get().map(|why| view! { <Refused text=tf("shop-joining-unused", &[("why", &why)]) /> })}
            <div class="shop-acts">
                <FileKey label=t("shop-joining-load") accept=".json,application/json" act="load-joining" on_pick=take />
                <button type="button" class="key" data-act="save-joining" on:click=save>{t("shop-joining-save")}</button>
                <Show when=move || kept.get()>
                    <button type="button" class="key" data-act="drop-joining" on:click=move |_| {
                        outcome.set(None);
                        app.update_settings(|settings| settings.joining.clear());
                    }>
                        {t("shop-joining-drop")}
                    </button>
                </Show>
            </div>
            <Told outcome=outcome />
        </section>
    }
}

/// What the list holds, in two sentences.
fn words(list: &Stock) -> String {
    let number = |count: usize| count.to_string();
    let now = tf(
        "shop-joining-now",
        &[
            ("name", &list.id),
            ("edition", &list.edition),
            ("fasteners", &number(list.fasteners.len())),
            ("adhesives", &number(list.adhesives.len())),
            ("settings", &number(list.welding.len())),
            ("coats", &number(list.coats.len())),
        ],
    );
    let lives = tf("shop-joining-lives", &[("environment", &t(list.environment.key()))]);
    format!("{now} {lives} {}", t(&format!("joints-limits-{}", list.jurisdiction)))
}

/// A place in the file as a person counts: `fasteners[3].grip_mm` is row 4 of the fasteners, field `grip_mm`.
fn place(place: &str) -> String {
    let row = place.split_once('[').and_then(|(list, rest)| {
        let (at, field) = rest.split_once(']')?;
        Some((list, at.parse::<usize>().ok()? + 1, field.trim_start_matches('.')))
    });
    match row {
        Some((list, row, "")) => tf("shop-joining-row", &[("list", list), ("row", &row.to_string())]),
        Some((list, row, field)) => {
            tf("shop-joining-place", &[("list", list), ("row", &row.to_string()), ("field", field)])
        }
        None if place.is_empty() || place.contains(' ') => place.to_owned(),
        None => tf("shop-joining-field", &[("field", place)]),
    }
}
