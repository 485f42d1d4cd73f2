//! Keys of the keyboard, what this program is, and what it cannot judge.

use crate::widgets::Icon;
use crate::words::{t, tf};
use leptos::prelude::*;

/// Keys that the walk knows, with the key of what each does.
const KEYS: [(&str, &str); 7] = [
    ("shop-key-arrows", "shop-key-arrows-does"),
    ("shop-key-ends", "shop-key-ends-does"),
    ("shop-key-enter", "shop-key-enter-does"),
    ("shop-key-delete", "shop-key-delete-does"),
    ("shop-key-zoom", "shop-key-zoom-does"),
    ("shop-key-escape", "shop-key-escape-does"),
    ("shop-key-tab", "shop-key-tab-does"),
];
/// How many sentences of limits the catalogue has: `limit-1` and so on.
const LIMITS: usize = 5;

/// Keyboard help.
#[component]
pub fn Keys() -> impl IntoView {
    view! {
        <section class="shop-part shop-last" aria-labelledby="shop-keys">
            <h2 id="shop-keys">{t("shop-keys")}</h2>
            <p class="form-note">{t("shop-keys-note")}</p>
            <dl class="keys">
                {KEYS
                    .iter()
                    .map(|(key, does)| view! { <div><dt><kbd>{t(key)}</kbd></dt><dd>{t(does)}</dd></div> })
                    .collect_view()}
            </dl>
        </section>
    }
}

/// What this program is and what it cannot judge.
#[component]
pub fn About() -> impl IntoView {
    view! {
        <section class="shop-part" aria-labelledby="shop-about">
            <h2 id="shop-about">{t("shop-about")}</h2>
            <p>{tf("shop-about-what", &[("version", env!("CARGO_PKG_VERSION"))])}</p>
            <p>{t("shop-about-data")}</p>
            <div class="limits">
                <p class="limits-title"><Icon name="caution" /><b>{t("limits")}</b></p>
                <ul>{(1..=LIMITS).map(|at| view! { <li>{t(&format!("limit-{at}"))}</li> }).collect_view()}</ul>
            </div>
        </section>
    }
}
