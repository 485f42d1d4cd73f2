//! How much room the jobs take in this browser, in words, and whether the browser promised to keep them.
//!
//! Asks; never removes anything.

use crate::platform::build::{self, Kept};
use crate::platform::room::{self, Room};
use crate::state::AppState;
use crate::words::{count, megabytes, t, tf};
use leptos::prelude::*;
use leptos::task::spawn_local;

/// Characters that browsers give one origin in local storage: 5 × 1024 × 1024 in Chromium, measured.
const QUICK_MOST: usize = 5 << 20;

/// The section.
#[component]
pub fn Store() -> impl IntoView {
    let app = AppState::get();
    let told = RwSignal::new(Room::default());
    let look = move || {
        spawn_local(async move {
            let now = room::room().await;
            told.try_set(now);
        });
    };
    look();
    let jobs = Memo::new(move |_| app.jobs.with(Vec::len));
    let quick = quick_words();
    let kept = expect_context::<RwSignal<Kept>>();
    view! {
        <section class="shop-part" aria-labelledby="shop-store">
            <h2 id="shop-store">{t("shop-store")}</h2>
            <p>{move || count("shop-store-jobs", jobs.get())}" "{move || used(told.get())}</p>
            <p class="form-note">{quick}</p>
            <p data-kept=move || kept_word(kept.get())>{move || t(&format!("shop-app-{}", kept_word(kept.get())))}</p>
            {build::name().map(|name| view! { <p class="form-note">{tf("shop-app-build", &[("name", &name)])}</p> })}
            <p class="shop-kept">
                {move || match told.get().kept {
                    Some(true) => t("shop-store-kept"),
                    Some(false) => t("shop-store-not-kept"),
                    None => t("shop-store-unknown"),
                }}
            </p>
            <Show when=move || told.get().kept == Some(false)>
                <button
                    type="button"
                    class="key"
                    data-act="keep"
                    on:click=move |_| {
                        spawn_local(async move {
                            room::keep().await;
                            look();
                        });
                    }
                >
                    {t("shop-store-keep")}
                </button>
            </Show>
        </section>
    }
}

fn kept_word(kept: Kept) -> &'static str {
    match kept {
        Kept::Preparing => "preparing",
        Kept::Ready => "ready",
        Kept::Newer => "newer",
        Kept::No => "none",
    }
}

fn used(room: Room) -> String {
    match (room.used, room.most) {
        (Some(used), Some(most)) => tf("shop-store-used", &[("used", &megabytes(used)), ("most", &megabytes(most))]),
        (Some(used), None) => tf("shop-store-used-only", &[("used", &megabytes(used))]),
        _ => t("shop-store-not-told"),
    }
}

/// How full local storage is, in words.
fn quick_words() -> String {
    match room::quick_characters() {
        Ok(characters) => {
            #[allow(clippy::cast_precision_loss)] // a few million at most
            let share = characters as f64 / QUICK_MOST as f64 * 100.0;
            tf(
                "shop-store-quick",
                &[("share", &if share < 1.0 { t("plan-share-small") } else { format!("{share:.0}") })],
            )
        }
        Err(_) => t("shop-store-quick-blocked"),
    }
}
