//! Making a backup, and restoring one: what the file holds and what would change is shown before anything is taken.
//!
//! Decides nothing about what is joined or kept; `model::backup` and the state do.

use crate::platform::clock;
use crate::platform::picked::{self, Picked};
use crate::state::{AppState, Backed, Privacy, Restored};
use crate::vehicle::{YesNo, day};
use crate::widgets::{AskFirst, Icon, Stepper};
use crate::words::{count, megabytes, t, tf};
use leptos::prelude::*;
use leptos::task::spawn_local;
use model::backup::{Found, Plan};
use model::job::Stamp;
use model::words::Language;
use std::sync::Arc;

/// As many jobs and entries are named; the others are counted.
const SHOWN: usize = 12;
const DAY_MS: u64 = 86_400_000;

/// What is going on.
#[derive(Clone)]
enum Now {
    Idle,
    /// At work: what is said.
    Busy(String),
    Made(Backed),
    /// A file was read and waits for the person.
    Asked(Arc<Read>),
    Taken(Restored),
    Failed(String),
}

/// A backup that was read.
struct Read {
    name: String,
    file: Picked,
    found: Found,
    plan: Plan,
}

/// The section.
#[component]
pub fn Backup() -> impl IntoView {
    let app = AppState::get();
    // The shop may be left while a backup is made: what comes late finds nobody.
    let now = RwSignal::new(Now::Idle);
    let sealed = Memo::new(move |_| app.privacy.with(|privacy| *privacy != Privacy::None));
    let busy = Memo::new(move |_| now.with(|now| matches!(now, Now::Busy(_))));
    let steps = move |key: &'static str| {
        move |done: usize, of: usize| {
            now.try_set(Now::Busy(tf(key, &[("done", &done.to_string()), ("of", &of.to_string())])));
        }
    };
    let make = move || {
        now.set(Now::Busy(t("backup-begins")));
        spawn_local(async move {
            let outcome = app.make_backup(steps("backup-making")).await;
            now.try_set(outcome.map_or_else(Now::Failed, Now::Made));
        });
    };
    let look = move |files: Vec<Picked>| {
        let Some(file) = files.into_iter().next() else { return };
        now.set(Now::Busy(t("backup-begins")));
        spawn_local(async move {
            let tell = move |share: f64| {
                now.try_set(Now::Busy(tf("backup-reading", &[("share", &format!("{:.0}", share * 100.0))])));
            };
            let name = file.name();
            let outcome = app.look_into(&file, tell).await;
            now.try_set(match outcome {
                Ok((found, plan)) => Now::Asked(Arc::new(Read { name, file, found, plan })),
                Err(why) => Now::Failed(format!("{} {why}", tf("backup-refused", &[("file", &name)]))),
            });
        });
    };
    let take = Callback::new(move |(read, replace): (Arc<Read>, bool)| {
        now.set(Now::Busy(t("backup-begins")));
        spawn_local(async move {
            let tell = steps("backup-restoring");
            let outcome = app.restore(&read.file, &read.found, &read.plan, replace, tell).await;
            now.try_set(outcome.map_or_else(Now::Failed, Now::Taken));
        });
    });
    let days = Signal::derive(move || {
        i32::try_from(app.settings.with(|settings| settings.backup_days)).unwrap_or(i32::MAX).min(90)
    });
    view! {
        <section class="shop-part backup" aria-labelledby="shop-backup">
            <h2 id="shop-backup">{t("backup")}</h2>
            <p class="backup-last">{move || last(app.settings.with(|settings| settings.last_backup_ms))}</p>
            <p class="form-note">{t("backup-note")}</p>
            // Under a passphrase, an open file is made only after a word about it.
            <Show when=move || sealed.get()>
                <p class="given-refused"><Icon name="caution" /><span>{t("backup-sealed")}</span></p>
                <AskFirst act="backup" words="backup-plain" on_sure=move |()| make() />
            </Show>
            <div class="shop-acts">
                <Show when=move || !sealed.get()>
                    <button
                        type="button"
                        class="key primary"
                        data-act="backup"
                        disabled=move || busy.get()
                        on:click=move |_| make()
                    >
                        {t("backup-make")}
                    </button>
                </Show>
                <label class="key given-key" aria-disabled=move || busy.get().to_string()>
                    <Icon name="below" />
                    <span>{t("backup-restore")}</span>
                    <input
                        type="file"
                        class="spoken"
                        accept=".tar,application/x-tar"
                        data-act="restore"
                        disabled=move || busy.get()
                        on:change=move |event| look(picked::chosen(&event))
                    />
                </label>
            </div>
            <div role="status" data-backup=move || now.with(word)>
                {move || match now.get() {
                    Now::Busy(what) => view! { <p>{what}</p> }.into_any(),
                    Now::Made(made) => made_words(&made).into_any(),
                    Now::Taken(restored) => {
                        view! { <p class="given-taken"><Icon name="saved" /><span>{restored_words(&restored)}</span></p> }
                            .into_any()
                    }
                    _ => ().into_any(),
                }}
            </div>
            <div role="alert">
                {move || match now.get() {
                    Now::Failed(why) => Some(view! { <p class="given-refused"><Icon name="caution" /><span>{why}</span></p> }),
                    _ => None,
                }}
            </div>
            {move || match now.get() {
                Now::Asked(read) => {
                    Some(view! { <Asked read=read on_take=take on_leave=move || now.set(Now::Idle) /> })
                }
                _ => None,
            }}
            <Stepper
                label=t("backup-days")
                value=days
                shown=Signal::derive(move || match days.get() {
                    0 => t("backup-days-never"),
                    days => count("backup-days-after", usize::try_from(days).unwrap_or(0)),
                })
                least=0
                most=90
                step=|_, _| 1
                less=t("backup-days-less")
                more=t("backup-days-more")
                on_change=move |days: i32| {
                    app.update_settings(|settings| settings.backup_days = u32::try_from(days).unwrap_or(0));
                }
            />
        </section>
    }
}

/// One word for what is going on, for style and tests.
fn word(now: &Now) -> &'static str {
    match now {
        Now::Idle => "idle",
        Now::Busy(_) => "busy",
        Now::Made(_) => "made",
        Now::Asked(_) => "asked",
        Now::Taken(_) => "taken",
        Now::Failed(_) => "failed",
    }
}

/// What a file holds and what would change; the person says whether.
#[component]
fn Asked(
    /// The backup.
    read: Arc<Read>,
    /// Told to take it, and whether to replace the shop's own.
    on_take: Callback<(Arc<Read>, bool)>,
    /// Told to leave it.
    #[prop(into)]
    on_leave: Callback<()>,
) -> impl IntoView {
    let replace = RwSignal::new(false);
    let (found, plan) = (&read.found, &read.plan);
    let made = found.made.as_ref().map(|made| {
        let at = Stamp::after(Stamp::default(), made.at_ms).day();
        tf("backup-made-by", &[("by", &made.by), ("day", &day(&at))])
    });
    let whole = if found.is_whole() {
        t("backup-whole")
    } else if found.cut {
        t("backup-cut")
    } else {
        t("backup-damaged")
    };
    let jobs: Vec<String> = plan.jobs.iter().map(|job| job.words(Language::English)).collect();
    #[allow(clippy::cast_precision_loss)] // bytes of a file
    let photos = (!plan.photos.is_empty()).then(|| {
        let size = megabytes(plan.photo_bytes as f64);
        format!("{} {}", count("backup-plan-photos", plan.photos.len()), tf("backup-size", &[("size", &size)]))
    });
    let asked = plan.shop.iter().any(|part| part.replaces);
    let named = |replaces: bool| {
        let parts = plan.shop.iter().filter(|part| part.replaces == replaces && part.what != "prices-name");
        parts.map(|part| shop_name(&part.what)).collect::<Vec<_>>().join(", ")
    };
    let (adds, differs) = (named(false), named(true));
    let nothing = plan.is_empty() && plan.shop.is_empty();
    let read_to_take = read.clone();
    view! {
        <div class="backup-asked" role="group" aria-label=t("backup-asked")>
            <h3>{read.name.clone()}</h3>
            {made.map(|made| view! { <p>{made}</p> })}
            <p class=if found.is_whole() { "given-taken" } else { "given-refused" }>
                <Icon name=if found.is_whole() { "saved" } else { "caution" } />
                <span>{whole}</span>
            </p>
            {rest(missing_words(found))}
            {rest(refused_words(found))}
            <h3>{t("backup-plan")}</h3>
            {nothing.then(|| view! { <p>{t("backup-plan-nothing")}</p> })}
            {rest(jobs)}
            {(plan.same > 0).then(|| view! { <p>{count("backup-plan-same", plan.same)}</p> })}
            {photos.map(|photos| view! { <p>{photos}</p> })}
            {(!adds.is_empty()).then(|| view! { <p>{tf("backup-plan-shop", &[("what", &adds)])}</p> })}
            {asked
                .then(|| {
                    view! {
                        <YesNo
                            label=tf("backup-plan-replace", &[("what", &differs)])
                            value=replace
                            on_change=move |yes| replace.set(yes)
                        />
                    }
                })}
            <p class="form-note">{t("backup-plan-note")}</p>
            <div class="shop-acts">
                {(!nothing)
                    .then(|| {
                        view! {
                            <button
                                type="button"
                                class="key primary"
                                data-act="restore-take"
                                on:click=move |_| on_take.run((read_to_take.clone(), replace.get_untracked()))
                            >
                                {t("backup-take")}
                            </button>
                        }
                    })}
                <button type="button" class="key" data-act="restore-leave" on:click=move |_| on_leave.run(())>
                    {t("backup-leave")}
                </button>
            </div>
        </div>
    }
}

/// Sentences, the first of them in full and the others counted.
fn rest(lines: Vec<String>) -> Option<impl IntoView> {
    let more = lines.len().saturating_sub(SHOWN);
    (!lines.is_empty()).then(|| {
        view! {
            <ul class="backup-lines">
                {lines.into_iter().take(SHOWN).map(|line| view! { <li>{line}</li> }).collect_view()}
                {(more > 0).then(|| view! { <li>{count("backup-more", more)}</li> })}
            </ul>
        }
    })
}

/// What an entry of the shop is called; one that only a newer program knows keeps its own name.
fn shop_name(what: &str) -> String {
    let key = format!("backup-shop-{what}");
    let name = t(&key);
    if name == key { what.to_owned() } else { name }
}

fn missing_words(found: &Found) -> Vec<String> {
    let missing = &found.missing;
    let mut out = Vec::new();
    for (job, edits) in &missing.changes {
        let title = found.jobs.get(job).map(|job| job.title.clone()).filter(|title| !title.is_empty());
        let all = found.jobs.contains_key(job);
        let key = if all { "backup-missing-edits" } else { "backup-missing-job" };
        let edits = count("backup-edits", *edits);
        out.push(tf(key, &[("title", &title.unwrap_or_else(|| job.0.clone())), ("edits", &edits)]));
    }
    if !missing.photos.is_empty() {
        out.push(count("backup-missing-photos", missing.photos.len()));
    }
    for what in &missing.shop {
        out.push(tf("backup-missing-shop", &[("what", &shop_name(what))]));
    }
    out
}

fn refused_words(found: &Found) -> Vec<String> {
    let mut out: Vec<String> = found
        .refused
        .iter()
        .map(|refused| {
            let why = refused.error.message(Language::English);
            tf("backup-refused-entry", &[("name", &refused.name), ("why", &why)])
        })
        .collect();
    if found.refused_more > 0 {
        out.push(count("backup-more", found.refused_more));
    }
    out
}

fn last(ms: u64) -> String {
    if ms == 0 {
        return t("backup-never");
    }
    let days = usize::try_from(clock::now_ms().saturating_sub(ms) / DAY_MS).unwrap_or(0);
    let on = day(&Stamp::after(Stamp::default(), ms).day());
    if days == 0 {
        t("backup-last-today")
    } else {
        format!("{} {}", tf("backup-last", &[("day", &on)]), count("backup-ago", days))
    }
}

#[allow(clippy::cast_precision_loss)] // bytes of a file
fn made_words(made: &Backed) -> impl IntoView + use<> {
    let what = [("file", made.name.as_str()), ("size", &megabytes(made.bytes as f64))]
        .map(|(name, text)| (name, text.to_owned()));
    let what: Vec<(&str, &str)> = what.iter().map(|(name, text)| (*name, text.as_str())).collect();
    let said = format!(
        "{} {} {}",
        tf("backup-made", &what),
        count("backup-made-jobs", made.jobs),
        count("backup-made-photos", made.photos)
    );
    view! {
        <p class="given-taken"><Icon name="saved" /><span>{said}</span></p>
        <p class="form-note">{t("backup-keep")}</p>
        {(made.left_out > 0)
            .then(|| view! { <p class="given-refused"><Icon name="caution" /><span>{count("backup-left-out", made.left_out)}</span></p> })}
    }
}

fn restored_words(restored: &Restored) -> String {
    if *restored == Restored::default() {
        return t("backup-restored-nothing");
    }
    let edits = count("backup-edits", restored.edits);
    let photos = count("backup-photos", restored.photos);
    let jobs = count("backup-jobs", restored.jobs);
    let said = tf("backup-restored", &[("edits", &edits), ("jobs", &jobs), ("photos", &photos)]);
    if restored.shop > 0 { format!("{said} {}", t("backup-restored-shop")) } else { said }
}
