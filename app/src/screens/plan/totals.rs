//! What the plan comes to: money, hours with what eight of ten jobs keep to, days and what they are made of; and how near
//! that is to what the vehicle is worth.
//!
//! Says how near, in the model's words, and never that a vehicle is beyond repair: that is for a person to say.

use super::Desk;
use super::figures::{Coin, days, hours};
use crate::widgets::{Field, Icon};
use crate::words::{count, t, tf};
use leptos::prelude::*;
use model::estimate::{Estimate, worth};
use model::job::{Command, VehicleValue};
use model::money::{Currency, Money};
use model::words::Language;

/// The three figures, and the value of the vehicle.
#[component]
pub fn Totals() -> impl IntoView {
    let desk = Desk::get();
    view! {
        <section class="totals" aria-labelledby="plan-totals">
            <h2 id="plan-totals" class="spoken">{t("plan-totals")}</h2>
            {move || {
                desk.current
                    .get()
                    .map(|plan| {
                        let coin = Coin::of(&plan);
                        view! {
                            <dl class="totals-figures">
                                <div data-figure="money" data-value=plan.total.to_string()>
                                    <dt>{t("plan-total")}</dt>
                                    <dd>{coin.say(plan.total)}</dd>
                                </div>
                                <div data-figure="hours" data-value=plan.seconds.to_string()>
                                    <dt>{t("plan-hours-planned")}</dt>
                                    <dd>{hours(plan.seconds)}</dd>
                                </div>
                                <div data-figure="days" data-value=format!("{}/{}", plan.days[0], plan.days[1])>
                                    <dt>{t("plan-days-stay")}</dt>
                                    <dd>{days(plan.days)}</dd>
                                </div>
                            </dl>
                            <p class="totals-bound">{tf("plan-bound", &[("hours", &hours(plan.bound_seconds))])}</p>
                            <p class="totals-stay">
                                {move || desk.estimate.with(|sums| sums.as_ref().map(|sums| stay(desk, sums)))}
                            </p>
                        }
                    })
            }}
            <Worth />
        </section>
    }
}

/// How near the plan is to the value of the vehicle, and the field for that value.
#[component]
fn Worth() -> impl IntoView {
    let desk = Desk::get();
    let refused = RwSignal::new(String::new());
    let value = Memo::new(move |_| desk.planned.job.with(|job| job.as_ref().and_then(|job| job.value.clone())));
    let money = |value: &VehicleValue| {
        Currency::from_code(&value.currency).map(|currency| Money { minor: value.minor, currency }).ok()
    };
    let shown =
        Memo::new(move |_| value.with(|value| value.as_ref().and_then(money)).map(Money::amount).unwrap_or_default());
    let write = move |text: String| {
        let Some(currency) = desk.estimate.with_untracked(|sums| sums.as_ref().map(|sums| sums.currency)) else {
            return;
        };
        let bare: String = text.chars().filter(|letter| !letter.is_whitespace()).collect();
        let read = if bare.is_empty() { Ok(None) } else { Money::parse(&bare, currency).map(Some) };
        match read {
            Ok(value) => {
                refused.set(String::new());
                let value =
                    value.map(|value| VehicleValue { minor: value.minor, currency: currency.code().to_owned() });
                desk.app.dispatch(Command::SetValue(value));
            }
            Err(error) => refused.set(error.message(Language::English)),
        }
    };
    let hint = Signal::derive(move || {
        let wrong = refused.get();
        if !wrong.is_empty() {
            return wrong;
        }
        let value = value.with(|value| value.as_ref().and_then(money));
        if value.is_none() {
            return t("plan-value-hint");
        }
        let threshold = desk.planned.shop.with(|shop| shop.rates.worth_threshold);
        desk.estimate
            .with(|sums| sums.as_ref().map(|sums| worth(sums.total, value, threshold).words()).unwrap_or_default())
    });
    let label = move || {
        let code = desk.current.with(|plan| plan.as_ref().map(|plan| plan.currency.clone()).unwrap_or_default());
        tf("plan-value-in", &[("currency", &code)])
    };
    view! {
        <div class="worth" data-worth=move || if value.with(Option::is_some) { "known" } else { "" }>
            {move || {
                view! { <Field id="vehicle-value" label=label() value=shown on_done=write most=20 hint=hint decimal=true /> }
            }}
            <Show when=move || !refused.with(String::is_empty)>
                <Icon name="caution" />
            </Show>
        </div>
    }
}

/// What the days in the shop are made of.
fn stay(desk: Desk, sums: &Estimate) -> String {
    let pace = desk.planned.shop.with_untracked(|shop| shop.times.pace);
    let work = days([sums.hours.planned_s, sums.days.denominator]);
    let mut parts = Vec::new();
    if sums.lead_days > 0 {
        parts.push(count("plan-stay-lead", sums.lead_days as usize));
    }
    let hands = count("plan-stay-hands", pace.hands as usize);
    parts.push(tf("plan-stay-work", &[("days", &work), ("hands", &hands)]));
    for (wait, seconds) in &sums.waits {
        parts.push(tf("plan-stay-wait", &[("wait", &t(wait.key())), ("time", &hours(u64::from(*seconds)))]));
    }
    let made = tf("plan-stay", &[("list", &parts.join("; "))]);
    // What an adhesive needs before the vehicle leaves stands beside the days, which no plan could add up one by one.
    match &sums.hand_over {
        None => made,
        Some(hold) => {
            let carries = hours(60 * u64::from(hold.minutes));
            let key = if hold.more_s > 0 { "plan-hand-over-more" } else { "plan-hand-over" };
            let values = [("carries", &*carries), ("more", &*hours(hold.more_s))];
            format!("{made} {}", tf(key, &values))
        }
    }
}
