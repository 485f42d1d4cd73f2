//! The plan of the open job.

use crate::words::t;
use leptos::prelude::*;

/// The plan screen.
#[component]
pub fn PlanScreen() -> impl IntoView {
    view! { <main class="page plan"><h1>{t("ui-plan")}</h1></main> }.into_any()
}
