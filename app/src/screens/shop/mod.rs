//! The shop: settings of this tablet and of this shop.
//!
//! Changes settings only; never a job.

use crate::words::t;
use leptos::prelude::*;

/// The shop screen.
#[component]
pub fn ShopScreen() -> impl IntoView {
    view! { <main class="page shop"><h1>{t("ui-shop")}</h1></main> }.into_any()
}
