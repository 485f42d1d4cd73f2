//! What is asked about a vehicle, as the gate and the plan share it: cab, bed, colour, identification number.
//!
//! Shows what it is given and reports changes. The number is a hint to read again and never stops anyone.

use crate::widgets::{Choices, Field, Pick};
use crate::words::{cap, t, tf};
use leptos::prelude::*;
use model::job::{LINE_MAX, VIN_MAX, Vehicle};
use model::terms::{Bed, Cab, ColourFamily};
use model::vin::Vin;
use model::words::Language;

/// Fields for a vehicle. `prefix` keeps their ids apart from another set on the same page.
#[component]
pub fn VehicleFields(
    /// The vehicle.
    #[prop(into)]
    vehicle: Signal<Vehicle>,
    /// Told the whole vehicle when one field is done.
    #[prop(into)]
    on_change: Callback<Vehicle>,
) -> impl IntoView {
    let change = move |set: &dyn Fn(&mut Vehicle)| {
        let mut new = vehicle.get_untracked();
        set(&mut new);
        on_change.run(new);
    };
    // The hint follows the typing; the number itself is reported when the field is done.
    let typed = RwSignal::new(None::<String>);
    let hint =
        Signal::derive(move || vin_hint(&typed.get().unwrap_or_else(|| vehicle.with(|vehicle| vehicle.vin.clone()))));
    let cabs: Vec<Pick> = Cab::ALL.iter().map(|cab| Pick::plain(cab.word(), cap(cab.key()))).collect();
    let beds: Vec<Pick> = Bed::ALL.iter().map(|bed| Pick::plain(bed.word(), cap(bed.key()))).collect();
    view! {
        <Choices
            label=t("vehicle-cab")
            picks=Signal::stored(cabs)
            value=Signal::derive(move || vehicle.with(|vehicle| vehicle.cab.word().to_owned()))
            on_pick=move |word: String| {
                if let Some(cab) = Cab::from_word(&word) {
                    change(&|vehicle| vehicle.cab = cab);
                }
            }
        />
        <Choices
            label=t("vehicle-bed")
            picks=Signal::stored(beds)
            value=Signal::derive(move || vehicle.with(|vehicle| vehicle.bed.word().to_owned()))
            on_pick=move |word: String| {
                if let Some(bed) = Bed::from_word(&word) {
                    change(&|vehicle| vehicle.bed = bed);
                }
            }
        />
        <Field
            id="vehicle-colour"
            label=t("vehicle-colour")
            value=Signal::derive(move || vehicle.with(|vehicle| vehicle.colour.clone()))
            on_done=move |text: String| change(&|vehicle| vehicle.colour = text.trim().to_owned())
            most=LINE_MAX
        />
        <Field
            id="vehicle-vin"
            label=t("vehicle-vin")
            value=Signal::derive(move || vehicle.with(|vehicle| vehicle.vin.clone()))
            on_type=move |text: String| typed.set(Some(text))
            on_done=move |text: String| {
                typed.set(None);
                change(&|vehicle| vehicle.vin = tidy(&text));
            }
            hint=hint
            most=VIN_MAX
        />
    }
}

/// What kind of colour the vehicle has, with what follows while nobody has said.
#[component]
pub fn ColourKind(
    /// The family; `None`: not known.
    #[prop(into)]
    family: Signal<Option<ColourFamily>>,
    /// Told another family.
    #[prop(into)]
    on_change: Callback<Option<ColourFamily>>,
) -> impl IntoView {
    let named = ColourFamily::ALL.iter().map(|family| Pick::plain(family.word(), cap(family.key())));
    let families: Vec<Pick> =
        named.chain(std::iter::once(Pick::plain("unknown", t("vehicle-colour-family-unknown")))).collect();
    view! {
        <Choices
            label=t("vehicle-colour-family")
            form="pairs"
            picks=Signal::stored(families)
            value=Signal::derive(move || family.get().map_or("unknown", ColourFamily::word).to_owned())
            on_pick=move |word: String| on_change.run(ColourFamily::from_word(&word))
        />
        <p class="form-note" data-colour-family="">
            {move || t(if family.get().is_none() { "vehicle-colour-family-assumed" } else { "vehicle-colour-family-why" })}
        </p>
    }
}

/// A yes-or-no question as two large buttons.
#[component]
pub fn YesNo(
    /// The question.
    label: String,
    /// The answer.
    #[prop(into)]
    value: Signal<bool>,
    /// Told a new answer.
    #[prop(into)]
    on_change: Callback<bool>,
) -> impl IntoView {
    let picks = vec![Pick::plain("no", t("answer-no")), Pick::plain("yes", t("answer-yes"))];
    view! {
        <Choices
            label=label
            picks=Signal::stored(picks)
            value=Signal::derive(move || if value.get() { "yes".to_owned() } else { "no".to_owned() })
            on_pick=move |word: String| on_change.run(word == "yes")
        />
    }
}

/// A vehicle in one line: colour, cab, bed.
#[must_use]
pub fn in_words(vehicle: &Vehicle) -> String {
    let (cab, bed) = (t(vehicle.cab.key()), t(vehicle.bed.key()));
    if vehicle.colour.is_empty() {
        tf("vehicle-plain", &[("cab", &cab), ("bed", &bed)])
    } else {
        tf("vehicle-coloured", &[("colour", &vehicle.colour), ("cab", &cab), ("bed", &bed)])
    }
}

/// What can be said of an identification number while it is typed.
#[must_use]
pub fn vin_hint(text: &str) -> String {
    if text.trim().is_empty() {
        return t("vehicle-vin-empty");
    }
    match Vin::read(text) {
        Ok(vin) => match vin.model_year() {
            Some(year) => tf("vehicle-vin-year", &[("year", &year.to_string())]),
            None => t("vehicle-vin-fits"),
        },
        Err(error) => error.message(Language::English),
    }
}

/// The number as it is kept: as written, without spaces at its ends and with small letters made large.
fn tidy(text: &str) -> String {
    text.trim().to_uppercase()
}

/// A day `YYYY-MM-DD` in words; another text as it is.
#[must_use]
pub fn day(text: &str) -> String {
    let parts: Vec<&str> = text.split('-').collect();
    let [year, month, day] = parts.as_slice() else { return text.to_owned() };
    let (Ok(month), Ok(day)) = (month.parse::<u8>(), day.parse::<u8>()) else { return text.to_owned() };
    if !(1..=12).contains(&month) {
        return text.to_owned();
    }
    tf("day", &[("day", &day.to_string()), ("month", &t(&format!("month-{month}"))), ("year", year)])
}

#[cfg(test)]
mod tests {
    use super::*;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    #[test]
    fn days_and_vehicles_are_said_in_words() {
        assert_eq!(day("2026-11-08"), "8 November 2026");
        assert_eq!(day(""), "");
        assert_eq!(day("2026-13-08"), "2026-13-08");
        let vehicle = Vehicle { colour: "slate grey".into(), ..Vehicle::default() };
        assert_eq!(in_words(&vehicle), "slate grey, four-door cab, short bed");
        assert_eq!(in_words(&Vehicle::default()), "Four-door cab, short bed".to_lowercase());
    }

    /// The rule is 49 CFR 565.15; the number is a worked example of it that is widely printed, here from memory.
    #[test]
    fn a_number_is_a_hint_and_never_an_obstacle() {
        assert!(vin_hint("1M8GDM9AXKP042788").contains("1989"));
        assert!(vin_hint("1M8GDM9A0KP042788").contains('X'));
        assert!(vin_hint("1M8GDM9AXKP04278").contains("16"));
        assert_eq!(tidy(" 1m8gdm9axkp042788 "), "1M8GDM9AXKP042788");
    }
}
