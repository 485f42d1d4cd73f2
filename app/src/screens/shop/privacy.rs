//! The passphrase: what it does and cannot do is said before it is set; setting, changing, taking away, locking at once.
//!
//! Knows no cipher; a passphrase lives here only while it is typed.

use crate::state::{AppState, Privacy};
use crate::widgets::{AskFirst, Icon, Secret, Stepper};
use crate::words::{count, t, tf};
use leptos::prelude::*;
use leptos::task::spawn_local;
use model::seal::PASSPHRASE_LEAST;

/// What becomes of what was asked for.
#[derive(Clone, PartialEq)]
enum Outcome {
    None,
    Busy,
    Done(&'static str),
    Failed(String),
}

/// The section.
#[component]
pub fn PrivacyPart() -> impl IntoView {
    let app = AppState::get();
    let outcome = RwSignal::new(Outcome::None);
    let on = Memo::new(move |_| app.privacy.with(|now| matches!(now, Privacy::Open)));
    let working = Memo::new(move |_| app.privacy.with(|now| matches!(now, Privacy::Working(_))));
    let word = move || {
        app.privacy.with(|now| match now {
            Privacy::None => "none",
            Privacy::Locked => "locked",
            Privacy::Open => "open",
            Privacy::Working(_) => "working",
        })
    };
    view! {
        <section class="shop-part privacy" aria-labelledby="shop-privacy" data-privacy=word>
            <h2 id="shop-privacy">{t("privacy")}</h2>
            <p>{move || t(if on.get() || working.get() { "privacy-on" } else { "privacy-off" })}</p>
            <div role="status">
                {move || app.privacy.with(|now| match now {
                    Privacy::Working(seen) => Some(view! { <p>{tf("privacy-working", &[("count", &seen.to_string())])}</p> }),
                    _ => None,
                })}
                {move || match outcome.get() {
                    Outcome::Busy => Some(view! { <p>{t("unlock-busy")}</p> }.into_any()),
                    Outcome::Done(key) => {
                        Some(view! { <p class="given-taken"><Icon name="saved" /><span>{t(key)}</span></p> }.into_any())
                    }
                    _ => None,
                }}
            </div>
            <div role="alert">
                {move || match outcome.get() {
                    Outcome::Failed(why) => {
                        Some(view! { <p class="given-refused"><Icon name="caution" /><span>{why}</span></p> })
                    }
                    _ => None,
                }}
            </div>
            <Show when=move || app.privacy.with(|now| *now == Privacy::None)>
                <Set outcome=outcome />
            </Show>
            <Show when=move || on.get()>
                <div class="shop-acts">
                    <button type="button" class="key" data-act="lock" on:click=move |_| app.lock_now()>
                        {t("privacy-lock")}
                    </button>
                </div>
                <Minutes />
                <Change outcome=outcome />
            </Show>
        </section>
    }
}

/// Two fields that must hold the same new passphrase; gives it, or why it is none.
fn agreed(one: &str, other: &str) -> Result<String, String> {
    if one.chars().count() < PASSPHRASE_LEAST {
        return Err(tf("error-seal-short", &[("least", &PASSPHRASE_LEAST.to_string())]));
    }
    if one == other { Ok(one.to_owned()) } else { Err(t("privacy-differ")) }
}

/// Runs what takes a while and says what became of it.
fn run(outcome: RwSignal<Outcome>, done: &'static str, act: impl Future<Output = Result<(), String>> + 'static) {
    outcome.set(Outcome::Busy);
    spawn_local(async move {
        let result = act.await;
        outcome.try_set(result.map_or_else(Outcome::Failed, |()| Outcome::Done(done)));
    });
}

#[component]
fn Set(
    /// What becomes of it.
    outcome: RwSignal<Outcome>,
) -> impl IntoView {
    let app = AppState::get();
    let (one, other) = (RwSignal::new(String::new()), RwSignal::new(String::new()));
    let set = move |()| {
        match agreed(&one.get_untracked(), &other.get_untracked()) {
            Ok(passphrase) => run(outcome, "privacy-set", async move { app.set_passphrase(&passphrase).await }),
            Err(why) => outcome.set(Outcome::Failed(why)),
        }
        one.set(String::new());
        other.set(String::new());
    };
    view! {
        <p>{t("privacy-what")}</p>
        <p class="given-refused"><Icon name="caution" /><span>{t("privacy-forgotten")}</span></p>
        <Secret id="privacy-new" label=t("privacy-new") value=one current=false />
        <Secret id="privacy-again" label=t("privacy-again") value=other current=false />
        <AskFirst act="seal" words="privacy-seal" on_sure=set />
    }
}

#[component]
fn Minutes() -> impl IntoView {
    let app = AppState::get();
    let minutes = Signal::derive(move || {
        i32::try_from(app.settings.with(|settings| settings.lock_minutes)).unwrap_or(i32::MAX).min(120)
    });
    view! {
        <Stepper
            label=t("privacy-minutes")
            value=minutes
            shown=Signal::derive(move || match minutes.get() {
                0 => t("privacy-minutes-never"),
                minutes => count("privacy-minutes-after", usize::try_from(minutes).unwrap_or(0)),
            })
            least=0
            most=120
            step=|now, up| if now < 5 || (now == 5 && !up) { 1 } else { 5 }
            less=t("privacy-minutes-less")
            more=t("privacy-minutes-more")
            on_change=move |minutes: i32| {
                app.update_settings(|settings| settings.lock_minutes = u32::try_from(minutes).unwrap_or(0));
            }
        />
    }
}

#[component]
fn Change(
    /// What becomes of it.
    outcome: RwSignal<Outcome>,
) -> impl IntoView {
    let app = AppState::get();
    let [old, one, other] = [(); 3].map(|()| RwSignal::new(String::new()));
    let clear = move || [old, one, other].into_iter().for_each(|field| field.set(String::new()));
    let change = move |_| {
        let now = old.get_untracked();
        match agreed(&one.get_untracked(), &other.get_untracked()) {
            Ok(next) => run(outcome, "privacy-changed", async move { app.change_passphrase(&now, &next).await }),
            Err(why) => outcome.set(Outcome::Failed(why)),
        }
        clear();
    };
    let take_away = move |()| {
        let now = old.get_untracked();
        run(outcome, "privacy-dropped", async move { app.drop_passphrase(&now).await });
        clear();
    };
    let unfolded = RwSignal::new(false);
    view! {
        <button
            type="button"
            class="key disclose"
            data-act="privacy-change"
            aria-expanded=move || unfolded.get().to_string()
            on:click=move |_| unfolded.update(|open| *open = !*open)
        >
            <span>{t("privacy-change")}</span>
            <Icon name="open" />
        </button>
        <Show when=move || unfolded.get()>
            <Secret id="privacy-old" label=t("privacy-old") value=old current=true />
            <Secret id="privacy-next" label=t("privacy-new") value=one current=false />
            <Secret id="privacy-next-again" label=t("privacy-again") value=other current=false />
            <div class="shop-acts">
                <button type="button" class="key" data-act="privacy-renew" on:click=change>{t("privacy-renew")}</button>
            </div>
            <p class="form-note">{t("privacy-drop-note")}</p>
            <AskFirst act="unseal" words="privacy-drop" on_sure=take_away />
        </Show>
    }
}
