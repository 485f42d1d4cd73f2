//! Asks for the passphrase of a tablet that is closed; the app starts behind it.
//!
//! Tells nothing of what is kept, and keeps no passphrase.

use crate::platform::{page, paper};
use crate::state::AppState;
use crate::widgets::{Icon, Secret};
use crate::words::t;
use leptos::ev;
use leptos::prelude::*;
use leptos::task::spawn_local;

/// The screen.
#[component]
pub fn UnlockScreen() -> impl IntoView {
    let app = AppState::get();
    let (typed, busy, wrong) = (RwSignal::new(String::new()), RwSignal::new(false), RwSignal::new(None::<String>));
    page::next_frame(|| paper::go_to("#unlock"));
    let open = move |event: ev::SubmitEvent| {
        event.prevent_default();
        if busy.get_untracked() {
            return;
        }
        busy.set(true);
        wrong.set(None);
        let passphrase = typed.get_untracked();
        spawn_local(async move {
            // With the right one this screen is gone by then.
            if let Err(why) = app.unlock(&passphrase).await {
                wrong.try_set(Some(why));
                typed.try_set(String::new());
                busy.try_set(false);
                page::next_frame(|| paper::go_to("#unlock"));
            }
        });
    };
    view! {
        <main class="page unlock">
            <h1>{t("unlock")}</h1>
            <p>{t("unlock-why")}</p>
            <form class="unlock-form" on:submit=open>
                <Secret id="unlock" label=t("unlock-passphrase") value=typed current=true />
                <button type="submit" class="key primary" data-act="unlock" disabled=move || busy.get()>
                    {t("unlock-open")}
                </button>
            </form>
            <p role="status">{move || busy.get().then(|| t("unlock-busy"))}</p>
            <div role="alert">
                {move || {
                    wrong.get().map(|why| view! { <p class="given-refused"><Icon name="caution" /><span>{why}</span></p> })
                }}
            </div>
            <p class="form-note">{t("unlock-note")}</p>
        </main>
    }
    .into_any()
}
