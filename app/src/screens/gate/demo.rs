//! The six demo jobs, carried in the app so that they work without a network. Each is taken as a new copy.
//!
//! Invented vehicles, people and damage. Never touches a job that is here already.

use crate::route::{Route, Router};
use crate::state::AppState;
use crate::vehicle::in_words;
use crate::widgets::Icon;
use crate::words::{count, t, tf};
use leptos::prelude::*;
use model::job::{Vehicle, wire};
use model::terms::{Bed, Cab, ColourFamily};
use serde_json::Value;

/// Name, key of the description, and file of each demo job.
const DEMOS: [(&str, &str, &str); 6] = [
    ("parking-scrape", "demo-parking-scrape", include_str!("../../../../public/demo/parking-scrape.json")),
    ("hail", "demo-hail", include_str!("../../../../public/demo/hail.json")),
    ("front-corner", "demo-front-corner", include_str!("../../../../public/demo/front-corner.json")),
    ("side-hit", "demo-side-hit", include_str!("../../../../public/demo/side-hit.json")),
    ("rear-hit", "demo-rear-hit", include_str!("../../../../public/demo/rear-hit.json")),
    ("kinked-frame", "demo-kinked-frame", include_str!("../../../../public/demo/kinked-frame.json")),
];

/// The demo jobs, folded unless there is nothing else to do.
#[component]
pub fn Demo(
    /// Whether they show unasked.
    #[prop(into)]
    open: Signal<bool>,
) -> impl IntoView {
    let pressed = RwSignal::new(None::<bool>);
    let shown = Memo::new(move |_| pressed.get().unwrap_or_else(|| open.get()));
    view! {
        <section class="demo">
            <button
                type="button"
                class="key disclose"
                data-act="demo"
                aria-expanded=move || shown.get().to_string()
                on:click=move |_| pressed.set(Some(!shown.get_untracked()))
            >
                <span>{t("gate-demo")}</span>
                <Icon name="open" />
            </button>
            <Show when=move || shown.get()>
                <p class="form-note">{t("gate-demo-note")}</p>
                <ul class="cards">{DEMOS.iter().filter_map(card).collect_view()}</ul>
            </Show>
        </section>
    }
}

fn card((name, about, text): &'static (&str, &str, &str)) -> Option<impl IntoView + use<>> {
    let (app, router) = (AppState::get(), Router::get());
    let (title, vehicle, marks) = face(text)?;
    let foot = tf("gate-demo-foot", &[("vehicle", &in_words(&vehicle)), ("marks", &count("ui-marks", marks))]);
    Some(view! {
        <li class="card">
            <button
                type="button"
                class="key card-open"
                data-demo=*name
                on:click=move |_| {
                    if let Ok(file) = wire::read_file(text) {
                        let id = app.arrive(file.job);
                        router.go(Route::walk(&id.0));
                    }
                }
            >
                <span class="card-title">{title}</span>
                <span class="card-line">{t(about)}</span>
                <span class="card-foot"><span>{foot}</span></span>
            </button>
        </li>
    })
}

/// Title, vehicle and number of marks. The job itself is read when it is taken: the gate must not wait for its reader.
fn face(text: &str) -> Option<(String, Vehicle, usize)> {
    let file: Value = serde_json::from_str(text).ok()?;
    let job = file.get("job")?;
    let vehicle = job.get("vehicle")?;
    let word = |field: &str| vehicle.get(field).and_then(Value::as_str).unwrap_or_default();
    let vehicle = Vehicle {
        cab: Cab::from_word(word("cab"))?,
        bed: Bed::from_word(word("bed"))?,
        vin: word("vin").to_owned(),
        colour: word("colour").to_owned(),
        colour_family: ColourFamily::from_word(word("colour_family")),
    };
    Some((job.get("title")?.as_str()?.to_owned(), vehicle, job.get("marks")?.as_object()?.len()))
}

#[cfg(test)]
mod tests {
    use super::*;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    #[test]
    fn every_demo_job_can_be_read_and_is_described() {
        for (name, about, text) in DEMOS {
            let job = wire::read_file(text).unwrap_or_else(|error| panic!("{name}: {error}")).job;
            assert!(!job.title.is_empty() && !job.marks.is_empty(), "{name}");
            assert_eq!(face(text), Some((job.title, job.vehicle, job.marks.len())), "{name}");
            assert_ne!(t(about), about, "{name} has no description");
        }
    }
}
