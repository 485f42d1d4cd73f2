//! The rule book in force, and the way to lay the shop's own over it.
//!
//! A book with a fault is refused with its place and changes nothing.

use crate::planned::Planned;
use crate::platform::picked::{Picked, Unread};
use crate::rule_book::{self, LONGEST};
use crate::state::AppState;
use crate::widgets::{FileKey, Icon, Refused};
use crate::words::{t, tf};
use leptos::prelude::*;
use leptos::task::spawn_local;

/// What became of the file that was given last.
#[derive(Clone)]
enum Outcome {
    Taken(String),
    Refused { file: String, why: String },
}

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
    let take = move |files: Vec<Picked>| {
        let Some(file) = files.into_iter().next() else { return };
        spawn_local(async move {
            let name = file.name();
            let read = match file.text(LONGEST).await {
                Ok(text) => rule_book::check(&text).map(|book| (text, book.title)).map_err(|error| error.to_string()),
                Err(Unread::Large) => Err(tf("shop-rules-large", &[("most", &(LONGEST >> 10).to_string())])),
                Err(Unread::Broken) => Err(t("gate-file-unreadable")),
            };
            let told = match read {
                Ok((text, title)) => {
                    app.update_settings(|settings| settings.rule_book = text);
                    Outcome::Taken(title)
                }
                Err(why) => Outcome::Refused { file: name, why },
            };
            // The shop may have been left meanwhile.
            outcome.try_set(Some(told));
        });
    };
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
            <div role="status">
                {move || match outcome.get() {
                    Some(Outcome::Taken(title)) => {
                        Some(view! { <p class="given-taken"><Icon name="saved" />{tf("shop-rules-taken", &[("title", &title)])}</p> })
                    }
                    _ => None,
                }}
            </div>
            <div role="alert">
                {move || match outcome.get() {
                    Some(Outcome::Refused { file, why }) => {
                        Some(
                            view! {
                                <p class="given-refused">
                                    <Icon name="caution" />
                                    <span>{tf("shop-rules-refused", &[("file", &file)])}" "{why}</span>
                                </p>
                            },
                        )
                    }
                    _ => None,
                }}
            </div>
        </section>
    }
}
