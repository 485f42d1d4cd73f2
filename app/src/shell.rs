//! The frame round every screen: start, navigation, save state in words, undo and redo, notices, and what shows when the
//! app breaks.
//!
//! Chooses the screen by route. Knows no trade matter and changes no job but by undo and redo.

use crate::planned;
use crate::platform::build::{self, Kept};
use crate::platform::page;
use crate::platform::rest;
use crate::route::{self, Route, Router};
use crate::screens::gate::GateScreen;
use crate::screens::joints::JointsScreen;
use crate::screens::photos::PhotosScreen;
use crate::screens::plan::PlanScreen;
use crate::screens::shop::ShopScreen;
use crate::screens::unlock::UnlockScreen;
use crate::screens::walk::WalkScreen;
use crate::state::{AppState, Hand, Look, Privacy, SaveState};
use crate::widgets::{Icon, SignPatterns};
use crate::words::t;
use leptos::prelude::*;
use model::job::JobId;

/// Starts the app in the page's body.
pub fn start() {
    std::panic::set_hook(Box::new(|info| {
        page::log_error(&info.to_string());
        page::reveal("#broken");
    }));
    mount_to_body(App);
    rest::follow();
}

/// The whole app.
#[component]
fn App() -> impl IntoView {
    let app = AppState::provide();
    planned::provide(app);
    let router = route::provide();
    let kept = RwSignal::new(build::kept());
    build::on_change(move |now| kept.set(now));
    provide_context(kept);

    // The look of the page follows the settings; the style sheet does the rest.
    Effect::new(move |_| {
        app.settings.with(|settings| {
            let look = match settings.look {
                Look::Auto => "auto",
                Look::Light => "light",
                Look::Dark => "dark",
                Look::Sun => "sun",
            };
            page::root_attribute("data-look", Some(look));
            page::root_attribute("data-gloves", settings.gloves.then_some("on"));
            page::root_attribute("data-hand", Some(if settings.hand == Hand::Left { "left" } else { "right" }));
        });
    });
    // The address names the job; whoever comes by an address or "back" finds it open.
    let wanted = Memo::new(move |_| router.now().job().map(str::to_owned));
    let at_gate = Memo::new(move |_| router.now() == Route::Gate);
    Effect::new(move |_| match wanted.get() {
        Some(job) => {
            let open = app.open.with_untracked(|open| open.as_ref().is_some_and(|open| open.job.id.0 == job));
            if !open {
                app.open_job(&JobId(job));
            }
        }
        // A look into the shop leaves the job open; the gate puts it down.
        None => {
            if at_gate.get() && app.open.with_untracked(Option::is_some) {
                app.close_job();
            }
        }
    });
    let open = Memo::new(move |_| {
        let wanted = wanted.get();
        app.open.with(|open| open.as_ref().is_some_and(|open| Some(&open.job.id.0) == wanted.as_ref()))
    });
    let screen = Memo::new(move |_| match router.now() {
        Route::Gate => "gate",
        Route::Walk { .. } => "walk",
        Route::Photos { .. } => "photos",
        Route::Plan { .. } => "plan",
        Route::Joints { .. } => "joints",
        Route::Shop => "shop",
    });

    let locked = Memo::new(move |_| app.privacy.with(|privacy| *privacy == Privacy::Locked));

    view! {
        <SignPatterns />
        <div id="broken" class="broken" role="alert" hidden>
            <h1>{t("ui-broken")}</h1>
            <p>{t("ui-broken-why")}</p>
            <a class="key" href="" rel="external">{t("ui-broken-reload")}</a>
        </div>
        <div class="frame" data-screen=move || screen.get()>
            <Show when=move || !locked.get()>
                <Bar />
            </Show>
            <Notices />
            {move || match (screen.get(), open.get()) {
                _ if locked.get() => view! { <UnlockScreen /> }.into_any(),
                ("walk" | "plan" | "photos" | "joints", false) => view! { <NoJob /> }.into_any(),
                ("walk", true) => view! { <WalkScreen /> }.into_any(),
                ("plan", true) => view! { <PlanScreen /> }.into_any(),
                ("joints", true) => view! { <JointsScreen /> }.into_any(),
                ("photos", true) => view! { <PhotosScreen /> }.into_any(),
                ("shop", _) => view! { <ShopScreen /> }.into_any(),
                _ => view! { <GateScreen /> }.into_any(),
            }}
        </div>
    }
}

/// Places, title, save state, undo and redo.
#[component]
fn Bar() -> impl IntoView {
    let (app, router) = (AppState::get(), Router::get());
    // An edit must not build the keys anew.
    let job = Memo::new(move |_| app.open.with(|open| open.as_ref().map(|open| open.job.id.0.clone())));
    let title = Memo::new(move |_| app.open.with(|open| open.as_ref().map(|open| open.job.title.clone())));
    let undoable = Memo::new(move |_| app.open.with(|open| open.as_ref().map(|open| (open.can_undo, open.can_redo))));
    let screen = Memo::new(move |_| match router.now() {
        Route::Gate => "gate",
        Route::Walk { .. } => "walk",
        Route::Photos { .. } => "photos",
        // A page of the plan.
        Route::Plan { .. } | Route::Joints { .. } => "plan",
        Route::Shop => "shop",
    });
    let key = move |own: &'static str, name: &str, to: Route| {
        view! {
            <button
                type="button"
                class="key"
                aria-current=move || (screen.get() == own).then_some("page")
                on:click=move |_| router.go(to.clone())
            >
                {t(name)}
            </button>
        }
    };
    view! {
        <header class="bar">
            <nav class="bar-places" aria-label=t("ui-app-places")>
                {key("gate", "ui-gate", Route::Gate)}
                {move || {
                    job.get()
                        .map(|job| {
                            view! {
                                {key("walk", "ui-walk", Route::walk(&job))}
                                {key("plan", "ui-plan", Route::Plan { job: job.clone() })}
                                {key("photos", "photos", Route::Photos { job, photo: None })}
                            }
                        })
                }}
                {key("shop", "ui-shop", Route::Shop)}
            </nav>
            <p class="bar-title">{move || title.get()}</p>
            <Saved />
            <Show when=move || undoable.with(Option::is_some)>
                <div class="bar-undo">
                    <button
                        type="button"
                        class="key"
                        data-act="undo"
                        aria-label=t("ui-undo")
                        disabled=move || !undoable.get().is_some_and(|can| can.0)
                        on:click=move |_| app.undo()
                    >
                        <Icon name="undo" />
                    </button>
                    <button
                        type="button"
                        class="key"
                        data-act="redo"
                        aria-label=t("ui-redo")
                        disabled=move || !undoable.get().is_some_and(|can| can.1)
                        on:click=move |_| app.redo()
                    >
                        <Icon name="redo" />
                    </button>
                </div>
            </Show>
            <NotSaved />
        </header>
    }
}

/// Whether the last edit is safe, in words.
#[component]
fn Saved() -> impl IntoView {
    let app = AppState::get();
    let router = Router::get();
    let has_job = Memo::new(move |_| app.open.with(Option::is_some));
    // In the shop the settings are what is kept.
    let told = Memo::new(move |_| has_job.get() || router.now() == Route::Shop);
    let word = Memo::new(move |_| {
        app.saving.with(|saving| match saving {
            SaveState::Saved => "saved",
            SaveState::Saving => "saving",
            SaveState::NotSaved { .. } => "not-saved",
        })
    });
    // All words are there, each in the same place: an edit shows another and builds none.
    let word_of = |own: &'static str| {
        view! {
            <span data-word=own>
                <Icon name=own />
                {t(&format!("ui-{own}"))}
            </span>
        }
    };
    view! {
        <Show when=move || told.get()>
            <p class="saved" role="status" data-save=move || word.get()>
                {word_of("saved")}
                {word_of("saving")}
                {word_of("not-saved")}
            </p>
        </Show>
    }
}

/// Why the last edit is not safe, and the way to keep it as a file.
#[component]
fn NotSaved() -> impl IntoView {
    let app = AppState::get();
    let has_job = Memo::new(move |_| app.open.with(Option::is_some));
    view! {
        {move || {
            app.saving
                .with(|saving| match saving {
                    SaveState::NotSaved { reason } => Some(reason.clone()),
                    _ => None,
                })
                .map(|reason| {
                    view! {
                        <div class="not-saved" role="alert">
                            <p>{reason}</p>
                            <button
                                type="button"
                                class="key"
                                hidden=move || !has_job.get()
                                on:click=move |_| {
                                    let id = app.open.with_untracked(|open| open.as_ref().map(|open| open.job.id.clone()));
                                    if let Some(id) = id {
                                        app.save_file(&id);
                                    }
                                }
                            >
                                {t("ui-save-file")}
                            </button>
                        </div>
                    }
                })
        }}
    }
}

/// What the app has to tell, one below another, each to be put away.
#[component]
fn Notices() -> impl IntoView {
    let app = AppState::get();
    view! {
        <div class="notices" role="status">
            <Newer />
            <For each=move || app.notices.get() key=|notice| notice.id let:row>
                <div class="notice">
                    <p>{row.text.clone()}</p>
                    {row
                        .has_file
                        .then(|| {
                            view! {
                                <button type="button" class="key" on:click=move |_| app.save_aside()>{t("ui-save-file")}</button>
                            }
                        })}
                    <button
                        type="button"
                        class="key"
                        aria-label=t("ui-close")
                        on:click={
                            let id = row.id;
                            move |_| app.dismiss(id)
                        }
                    >
                        <Icon name="close" />
                    </button>
                </div>
            </For>
        </div>
    }
}

/// A newer build of the app: taken when the person says so and every edit is safe, never before.
#[component]
fn Newer() -> impl IntoView {
    let app = AppState::get();
    let kept = expect_context::<RwSignal<Kept>>();
    let (asked, leaving) = (RwSignal::new(false), RwSignal::new(false));
    build::on_leave(move || leaving.set(true));
    let safe = Memo::new(move |_| app.saving.with(|saving| *saving == SaveState::Saved));
    Effect::new(move |_| {
        if safe.get() && leaving.get() {
            build::reload();
        } else if safe.get() && asked.get() {
            build::accept();
        }
    });
    view! {
        <Show when=move || kept.get() == Kept::Newer>
            <div class="notice newer">
                <p>{move || if asked.get() && !safe.get() { t("ui-newer-waits") } else { t("ui-newer") }}</p>
                <button type="button" class="key" data-act="take-newer" on:click=move |_| asked.set(true)>
                    {t("ui-newer-take")}
                </button>
            </div>
        </Show>
    }
}

/// An address that names a job which is not open, or not here.
#[component]
fn NoJob() -> impl IntoView {
    let router = Router::get();
    view! {
        <main class="page no-job">
            <h1>{t("ui-no-job")}</h1>
            <p>{t("ui-no-job-why")}</p>
            <button type="button" class="key" on:click=move |_| router.go(Route::Gate)>{t("ui-to-gate")}</button>
        </main>
    }
    .into_any()
}
