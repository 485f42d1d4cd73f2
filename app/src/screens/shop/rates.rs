//! What the shop charges: currency, labour by skill, tax, storage, work done outside, materials, rounding, its own limit.
//!
//! Changes the shop's rates only, never a job. What is out of range is refused with the reason and changes nothing.

use crate::charges;
use crate::planned::Planned;
use crate::platform::page;
use crate::state::AppState;
use crate::widgets::{Amount, AskFirst, Choices, Pick, Refused};
use crate::words::{cap, raised, t, tf};
use leptos::prelude::*;
use model::money::{Currency, Decimal, decimal};
use model::rates::Rates;
use model::terms::{Category, Rounding, Skill};
use std::sync::Arc;

/// Work that shops often have done outside. Common practice, no source; what rates name besides is shown too.
const OUTSIDE: [&str; 7] =
    ["wheel-alignment", "sensor-calibrate", "lamp-aim", "paintless", "glass-repair", "bond-glass", "frame-measure"];

/// The section.
#[component]
pub fn RatesPart() -> impl IntoView {
    let (app, planned) = (AppState::get(), Planned::get());
    let own = Memo::new(move |_| app.settings.with(|settings| !settings.rates.is_empty()));
    let problem = Memo::new(move |_| planned.charges.with(|now| now.rates_problem.clone()));
    let currency = Memo::new(move |_| planned.charges.with(|now| now.rates.currency.code()));
    view! {
        <section class="shop-part rates" aria-labelledby="shop-rates">
            <h2 id="shop-rates">{t("rates")}</h2>
            <p class="form-note" data-own=move || if own.get() { "own" } else { "built-in" }>
                {move || t(if own.get() { "rates-own" } else { "rates-built-in" })}
            </p>
            {move || problem.get().map(|why| view! { <Refused text=tf("rates-refused", &[("why", &why)]) /> })}
            <div class="rates-top">
                <CurrencyChoice currency=currency />
                <Number
                    id="rates-storage"
                    label=t("rates-storage")
                    unit=Signal::derive(move || tf("rates-per-day", &[("currency", currency.get())]))
                    get=|rates| Some(rates.storage_per_day)
                    set=|rates, number| rates.storage_per_day = number
                />
                <Number
                    id="rates-threshold"
                    label=t("rates-threshold")
                    unit=Signal::stored(t("rates-of-value"))
                    decimals=3
                    get=|rates| Some(rates.worth_threshold)
                    set=|rates, number| rates.worth_threshold = number
                />
            </div>
            <h3>{t("rates-labour")}</h3>
            <div class="rates-fields">
                {Skill::ALL
                    .iter()
                    .map(|skill| {
                        view! {
                            <Number
                                id=format!("rates-labour-{skill}")
                                label=cap(skill.key())
                                unit=Signal::derive(move || tf("rates-per-hour", &[("currency", currency.get())]))
                                get=move |rates| Some(rates.hour(*skill))
                                set=move |rates, number| rates.labour[*skill as usize] = number
                            />
                        }
                    })
                    .collect_view()}
            </div>
            <h3>{t("rates-tax")}</h3>
            <div class="rates-fields">
                {Category::ALL
                    .iter()
                    .map(|category| {
                        view! {
                            <Number
                                id=format!("rates-tax-{category}")
                                label=cap(category.key())
                                unit=Signal::stored(t("rates-percent"))
                                decimals=3
                                get=move |rates| Some(rates.tax(*category))
                                set=move |rates, number| rates.tax[*category as usize] = number
                            />
                        }
                    })
                    .collect_view()}
            </div>
            <Choices
                label=t("rates-rounding")
                form="stack"
                picks=Signal::stored(Rounding::ALL.iter().map(|one| Pick::plain(one.word(), cap(one.key()))).collect::<Vec<_>>())
                value=Signal::derive(move || planned.charges.with(|now| now.rates.rounding.word().to_owned()))
                on_pick=move |word: String| {
                    if let Some(rounding) = Rounding::from_word(&word) {
                        let _ = charges::change(app, |rates| {
                            rates.rounding = rounding;
                            Ok(())
                        });
                    }
                }
            />
            <Outside currency=currency />
            <Materials currency=currency />
            <Show when=move || own.get()>
                <AskFirst
                    act="rates-back"
                    words="rates-back"
                    on_sure=move |()| app.update_settings(|settings| settings.rates.clear())
                />
            </Show>
        </section>
    }
}

#[component]
fn CurrencyChoice(currency: Memo<&'static str>) -> impl IntoView {
    let app = AppState::get();
    let mut codes: Vec<&'static str> = Currency::all().map(Currency::code).collect();
    codes.sort_unstable();
    view! {
        <div class="amount">
            <label for="rates-currency">{t("rates-currency")}</label>
            <select
                id="rates-currency"
                aria-describedby="rates-currency-hint"
                prop:value=move || currency.get()
                on:change=move |event| {
                    let code = page::value_of_target(&event);
                    let _ = charges::change(app, |rates| {
                        rates.currency = Currency::from_code(&code)?;
                        Ok(())
                    });
                }
            >
                {codes
                    .into_iter()
                    .map(|code| view! { <option value=code selected=currency.get_untracked() == code>{code}</option> })
                    .collect_view()}
            </select>
            <p class="field-hint" id="rates-currency-hint">{t("rates-currency-note")}</p>
        </div>
    }
}

/// One number of the rates. Where `get` gives none, the field is empty; where `clear` is given, an emptied field calls it.
#[component]
fn Number(
    #[prop(into)] id: String,
    label: String,
    #[prop(into)] unit: Signal<String>,
    #[prop(default = 4)] decimals: u8,
    get: impl Fn(&Rates) -> Option<Decimal> + Send + Sync + 'static,
    set: impl Fn(&mut Rates, Decimal) + Send + Sync + 'static,
    #[prop(optional, into)] clear: Option<Callback<()>>,
) -> impl IntoView {
    let (app, planned) = (AppState::get(), Planned::get());
    let shown = Memo::new(move |_| {
        planned.charges.with(|now| get(&now.rates).map(|number| number.to_string()).unwrap_or_default())
    });
    view! {
        <Amount
            id=id
            label=label
            value=shown
            unit=unit
            on_done=move |text: String| {
                if let Some(clear) = clear.filter(|_| text.trim().is_empty()) {
                    clear.run(());
                    return Ok(());
                }
                charges::change(app, |rates| {
                    set(rates, decimal(&text, decimals)?);
                    Ok(())
                })
            }
        />
    }
}

/// Work that is done outside at a fixed price; an empty field says that the shop does it itself.
#[component]
fn Outside(currency: Memo<&'static str>) -> impl IntoView {
    let (app, planned) = (AppState::get(), Planned::get());
    let works = Memo::new(move |_| {
        let mut works: Vec<String> = OUTSIDE.iter().map(|work| (*work).to_owned()).collect();
        planned.charges.with(|now| {
            works.extend(now.rates.sublet.keys().filter(|work| !OUTSIDE.contains(&work.as_str())).cloned());
        });
        works
    });
    view! {
        <h3>{t("rates-outside")}</h3>
        <p class="form-note">{t("rates-outside-note")}</p>
        <div class="rates-fields">
            <For each=move || works.get() key=String::clone let:work>
                {
                    let work: Arc<str> = work.into();
                    let (shown, set, cleared) = (Arc::clone(&work), Arc::clone(&work), Arc::clone(&work));
                    view! {
                        <Number
                            id=format!("rates-outside-{work}")
                            label=t(&format!("work-{work}"))
                            unit=Signal::derive(move || tf("rates-per-job", &[("currency", currency.get())]))
                            get=move |rates| rates.sublet.get(&*shown).copied()
                            set=move |rates, number| {
                                rates.sublet.insert(set.to_string(), number);
                            }
                            clear=move |()| {
                                let _ = charges::change(app, |rates| {
                                    rates.sublet.remove(&*cleared);
                                    Ok(())
                                });
                            }
                        />
                    }
                }
            </For>
        </div>
    }
}

/// Materials: what one costs, and how much work takes.
#[component]
fn Materials(currency: Memo<&'static str>) -> impl IntoView {
    let planned = Planned::get();
    // A change of a number leaves the list as it is.
    let ids = Memo::new(move |_| {
        planned.charges.with(|now| now.rates.materials.iter().map(|one| Arc::clone(&one.id)).collect::<Vec<_>>())
    });
    view! {
        <details class="rates-materials">
            <summary>
                <h3>{move || tf("rates-materials", &[("count", &ids.with(Vec::len).to_string())])}</h3>
            </summary>
            <p class="form-note">{t("rates-materials-note")}</p>
            <For each=move || ids.get() key=Arc::clone let:id>
                <Material id=id currency=currency />
            </For>
        </details>
    }
}

#[component]
fn Material(id: Arc<str>, currency: Memo<&'static str>) -> impl IntoView {
    let planned = Planned::get();
    let Some(one) = planned.charges.with_untracked(|now| now.rates.materials.iter().find(|one| one.id == id).cloned())
    else {
        return ().into_any();
    };
    let (measure, per) = (t(one.measure.key()), one.per.map_or_else(|| t("unit-job"), |unit| t(unit.key())));
    let said = measure.clone();
    let place = move |id: &Arc<str>, rates: &Rates| rates.materials.iter().position(|one| one.id == *id);
    let [price, set_price, amount, set_amount] = std::array::from_fn(|_| Arc::clone(&id));
    view! {
        <div class="rates-material" data-material=id.to_string()>
            <h4>{raised(&one.words())}</h4>
            <Number
                id=format!("rates-price-{id}")
                label=t("rates-price")
                unit=Signal::derive(move || tf("rates-per", &[("currency", currency.get()), ("measure", &said)]))
                get=move |rates| place(&price, rates).map(|at| rates.materials[at].price)
                set=move |rates, number| {
                    if let Some(at) = place(&set_price, rates) {
                        Arc::make_mut(&mut rates.materials[at]).price = number;
                    }
                }
            />
            <Number
                id=format!("rates-amount-{id}")
                label=t("rates-amount")
                unit=Signal::stored(tf("rates-amount-per", &[("measure", &measure), ("per", &per)]))
                get=move |rates| place(&amount, rates).map(|at| rates.materials[at].amount)
                set=move |rates, number| {
                    if let Some(at) = place(&set_amount, rates) {
                        Arc::make_mut(&mut rates.materials[at]).amount = number;
                    }
                }
            />
        </div>
    }
    .into_any()
}
