//! The walk: mark the damage on the truck and read at once what is permitted for each part, and why.
//!
//! Lays out map, controls, sheet and lists; each stands in a file of its own. Judges nothing and saves nothing itself.

mod asks;
mod decision;
mod defaults;
mod hand;
mod keys;
mod lists;
mod map;
mod marking;
mod round;
mod selection;
mod sheet;
mod state;

pub use state::{Ask, Walk};

use crate::platform::page;
use crate::route::Router;
use crate::words::t;
use asks::Asks;
use leptos::prelude::*;
use lists::{Behind, Found, Parts, Tab, Tabs};
use map::Map;
use round::Round;
use sheet::Sheet;

/// Height at the lower edge of a sheet-free map that a tapped point keeps, pixels.
const KEEP_PX: f64 = 40.0;
/// From this width of the map on the sheet stands beside it, never over it, as the style sheet has it; pixels.
const BESIDE_PX: f64 = 700.0;

/// The walk screen of the open job.
#[component]
pub fn WalkScreen() -> impl IntoView {
    let walk = Walk::provide();
    // Where the controls stand beside the lists, they need no tab of their own.
    let narrow = page::frame_of("html").is_none_or(|frame| frame.2 < 700.0 || frame.3 < 560.0);
    let tab = RwSignal::new(if narrow { Tab::Round } else { Tab::Parts });
    if let Some(part) = Router::get().take_part() {
        walk.open(part);
    }
    // The truck is drawn first: the list beside it takes as long to make.
    let drawn = RwSignal::new(false);
    page::after_frame(move || {
        drawn.try_set(true);
    });
    let part = Memo::new(move |_| walk.part.get());
    let busy = move || part.with(Option::is_some) || walk.ask.with(Option::is_some);
    // A sheet that opens over the lower part of the map must not cover what was tapped.
    Effect::new(move |_| {
        if busy() {
            page::next_frame(move || clear_of_sheet(walk));
        }
    });
    view! {
        <main class="walk" data-open=move || busy().to_string() data-tab=move || format!("{:?}", tab.get()).to_lowercase()>
            <Map />
            <Round />
            <div class="side">
                // The lists stay in the page behind a sheet: taking them away and back would cost more than the sheet.
                <div class="lists" data-away=move || busy().then_some("")>
                    <Tabs tab=tab />
                    {move || {
                        drawn
                            .get()
                            .then(|| match tab.get() {
                                Tab::Round | Tab::Parts => view! { <Parts /> }.into_any(),
                                Tab::Found => view! { <Found /> }.into_any(),
                                Tab::Behind => view! { <Behind /> }.into_any(),
                            })
                    }}
                </div>
                <Asks />
                <Sheet />
            </div>
            <h1 class="spoken">{t("ui-walk")}</h1>
        </main>
    }
    .into_any()
}

/// Shifts the picture up where the sheet lies over the tapped point.
fn clear_of_sheet(walk: Walk) {
    // Measuring makes the browser lay out the page once more: only where something may be covered.
    if walk.size.try_get_untracked().is_none_or(|size| size.0 >= BESIDE_PX) {
        return;
    }
    let Some(Some(tapped)) = walk.flash.try_get_untracked() else { return };
    let (Some(map), Some(sheet)) = (page::frame_of(".map"), page::frame_of(".side")) else { return };
    let covers = sheet.0 < map.0 + map.2 - 1.0 && map.0 < sheet.0 + sheet.2 - 1.0;
    let free = sheet.1 - map.1 - KEEP_PX;
    if covers && tapped.1 > free && free > 0.0 {
        walk.look(|camera| camera.shifted((0.0, free - tapped.1)));
        walk.flash.set(Some((tapped.0, free)));
    }
}
