//! The shop: settings of this tablet and of this shop, the rule book in force, backup, room in the browser, limits and help.
//!
//! Changes settings only; never a job.

mod backup;
mod help;
mod joining;
mod own_file;
mod prices;
mod privacy;
mod rates;
mod rules;
mod store;
mod times;

use crate::state::{AppState, Hand, Look, Settings, Units};
use crate::vehicle::YesNo;
use crate::widgets::{Choices, Pick};
use crate::words::t;
use leptos::prelude::*;

/// The shop screen.
#[component]
pub fn ShopScreen() -> impl IntoView {
    let app = AppState::get();
    view! {
        <main class="page shop">
            <h1>{t("ui-shop")}</h1>
            <div class="shop-columns">
                <div class="shop-column">
                    <section class="shop-part" aria-labelledby="shop-tablet">
                        <h2 id="shop-tablet">{t("shop-tablet")}</h2>
                        <Choices
                            label=t("shop-look")
                            form="pairs"
                            picks=Signal::stored(picks(&["auto", "light", "dark", "sun"], "shop-look"))
                            value=Signal::derive(move || app.settings.with(|settings| look_word(settings.look).to_owned()))
                            on_pick=move |word: String| app.update_settings(|settings| settings.look = look(&word))
                        />
                        <p class="form-note">{t("shop-look-note")}</p>
                        <YesNo
                            label=t("shop-gloves")
                            value=yes(app, |settings| settings.gloves)
                            on_change=move |on| app.update_settings(|settings| settings.gloves = on)
                        />
                        <Choices
                            label=t("shop-hand")
                            picks=Signal::stored(picks(&["left", "right"], "shop-hand"))
                            value=Signal::derive(move || {
                                app.settings.with(|settings| if settings.hand == Hand::Left { "left" } else { "right" }.to_owned())
                            })
                            on_pick=move |word: String| {
                                app.update_settings(|settings| settings.hand = if word == "left" { Hand::Left } else { Hand::Right });
                            }
                        />
                        <Choices
                            label=t("shop-units")
                            picks=Signal::stored(picks(&["metric", "imperial"], "shop-units"))
                            value=Signal::derive(move || {
                                let imperial = app.settings.with(|settings| settings.units == Units::Imperial);
                                if imperial { "imperial" } else { "metric" }.to_owned()
                            })
                            on_pick=move |word: String| {
                                let units = if word == "imperial" { Units::Imperial } else { Units::Metric };
                                app.update_settings(|settings| settings.units = units);
                            }
                        />
                    </section>
                    <backup::Backup />
                    <privacy::PrivacyPart />
                    <help::Keys />
                </div>
                <div class="shop-column">
                    <section class="shop-part" aria-labelledby="shop-equipment">
                        <h2 id="shop-equipment">{t("shop-equipment")}</h2>
                        <p class="form-note">{t("shop-equipment-note")}</p>
                        <YesNo
                            label=t("shop-welding")
                            value=yes(app, |settings| settings.aluminium_welding)
                            on_change=move |on| app.update_settings(|settings| settings.aluminium_welding = on)
                        />
                        <YesNo
                            label=t("shop-bay")
                            value=yes(app, |settings| settings.aluminium_bay)
                            on_change=move |on| app.update_settings(|settings| settings.aluminium_bay = on)
                        />
                    </section>
                    <section class="shop-part" aria-labelledby="shop-photos">
                        <h2 id="shop-photos">{t("photos")}</h2>
                        <YesNo
                            label=t("shop-camera-file")
                            value=yes(app, |settings| settings.keep_camera_file)
                            on_change=move |on| app.update_settings(|settings| settings.keep_camera_file = on)
                        />
                        <p class="form-note">{t("shop-camera-file-note")}</p>
                    </section>
                    <rules::Rules />
                    <joining::Joining />
                    <store::Store />
                    <help::About />
                </div>
            </div>
            <rates::RatesPart />
            <prices::Prices />
            <times::Times />
        </main>
    }
    .into_any()
}

fn picks(words: &[&'static str], key: &str) -> Vec<Pick> {
    words.iter().map(|word| Pick::plain(*word, t(&format!("{key}-{word}")))).collect()
}

fn yes(app: AppState, get: fn(&Settings) -> bool) -> Signal<bool> {
    Signal::derive(move || app.settings.with(get))
}

fn look_word(look: Look) -> &'static str {
    match look {
        Look::Auto => "auto",
        Look::Light => "light",
        Look::Dark => "dark",
        Look::Sun => "sun",
    }
}

fn look(word: &str) -> Look {
    match word {
        "light" => Look::Light,
        "dark" => Look::Dark,
        "sun" => Look::Sun,
        _ => Look::Auto,
    }
}
