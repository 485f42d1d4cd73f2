//! Plans that were given out: freeze the present one under a name, see what has changed since with its cause, read and
//! print what was frozen.
//!
//! What was frozen is shown as it was written down and is never worked out again. Nothing here can alter or remove it.

use super::figures::{Coin, days, exact, hours, hours_differ};
use super::{Desk, Heading};
use crate::platform::{clock, page, paper};
use crate::vehicle::day;
use crate::widgets::{Field, Icon};
use crate::words::{cap, t, tf};
use leptos::prelude::*;
use model::decide::section::cut_name;
use model::ids::CutId;
use model::job::{Command, LINE_MAX, RevisedLine, RevisedPart, Revision};
use model::revision::{About, Difference, Differences, LineChange, differences};
use model::terms::Category;
use model::words::Language;
use std::sync::Arc;

/// The field for a name, the key that freezes, and every revision, latest first.
#[component]
pub fn Revisions() -> impl IntoView {
    let desk = Desk::get();
    let all = Memo::new_with_compare(
        move |_| desk.planned.job.with(|job| job.as_ref().map(|job| job.revisions.clone()).unwrap_or_default()),
        |old, new| old != new,
    );
    let number = Signal::derive(move || all.with(Vec::len));
    let name = RwSignal::new(String::new());
    let freeze = move || {
        let (Some(plan), title) = (desk.current.get_untracked(), name.get_untracked()) else { return };
        let title = title.trim();
        let title = if title.is_empty() { t("plan-revision-unnamed") } else { title.to_owned() };
        let given = Revision { name: title, day: clock::today(), ..(*plan).clone() };
        desk.app.dispatch(Command::Freeze(Arc::new(given)));
        name.set(String::new());
    };
    view! {
        <section class="revisions" aria-labelledby="plan-revisions">
            <Heading id="plan-revisions" key="plan-revisions" number=number />
            <p class="form-note">{t("plan-revision-note")}</p>
            <div class="revision-new">
                <Field
                    id="revision-name"
                    label=t("plan-revision-name")
                    value=name
                    on_type=move |text: String| name.set(text)
                    most=LINE_MAX
                />
                <button type="button" class="key primary" data-act="freeze" on:click=move |_| freeze()>
                    {t("plan-revision-freeze")}
                </button>
            </div>
            <ol class="revision-list" reversed>
                <For
                    each=move || all.get().into_iter().enumerate().rev()
                    key=|(at, revision)| (*at, revision.check_mark())
                    let((at, revision))
                >
                    <Row number=at + 1 revision=revision />
                </For>
            </ol>
        </section>
    }
}

/// One revision: its sums, what has changed since, and its lines on request.
#[component]
fn Row(
    /// Its number, from 1.
    number: usize,
    /// The revision.
    revision: Arc<Revision>,
) -> impl IntoView {
    let desk = Desk::get();
    let coin = Coin::of(&revision);
    let title = tf("plan-revision", &[("number", &number.to_string()), ("name", &revision.name)]);
    let facts = [
        coin.say(revision.total),
        hours(revision.seconds),
        days(revision.days),
        tf("plan-revision-day", &[("day", &day(&revision.day))]),
        tf("plan-revision-mark", &[("mark", &revision.check_mark())]),
    ];
    let open = RwSignal::new((false, false));
    let (then, own) = (revision.clone(), revision.clone());
    let since = Memo::new_with_compare(
        move |_| desk.current.get().map(|now| (differences(&then, &now), Coin::of(&now))),
        |_, _| true,
    );
    let sum = { move || since.with(|since| since.as_ref().map(|(of, coin)| sentence(of, coin))) };
    // The sentence above says so already.
    let nothing =
        move || since.with(|since| since.as_ref().is_none_or(|(of, _)| of.as_ref().is_ok_and(|of| of.of.is_empty())));
    view! {
        <li class="revision" data-revision=number.to_string() value=number.to_string()>
            <h3>{title.clone()}</h3>
            <p class="revision-facts">{facts.join(" · ")}</p>
            <p class="revision-sum" data-since="">{sum}</p>
            <details hidden=nothing on:toggle=move |event| open.update(|open| open.0 = page::is_open(&event))>
                <summary data-act="since"><Icon name="open" />{t("plan-since")}</summary>
                <Show when=move || open.get().0>
                    {move || since.with(|since| since.as_ref().map(|(of, coin)| changed(desk, of, coin)))}
                </Show>
            </details>
            <details on:toggle=move |event| open.update(|open| open.1 = page::is_open(&event))>
                <summary data-act="given"><Icon name="open" />{t("plan-revision-lines")}</summary>
                <Show when=move || open.get().1>
                    <Document revision=own.clone() number=number />
                </Show>
            </details>
        </li>
    }
}

/// In one sentence what has changed.
fn sentence(of: &model::Result<Differences>, coin: &Coin) -> String {
    match of {
        Err(error) => error.message(Language::English),
        Ok(of) if of.of.is_empty() => t("plan-since-nothing"),
        Ok(of) if of.money == 0 && of.seconds == 0 => t("plan-since-alike"),
        Ok(of) => tf("plan-since-sum", &[("money", &coin.differ(of.money)), ("hours", &hours_differ(of.seconds))]),
    }
}

/// What has changed, part by part.
fn changed(desk: Desk, of: &model::Result<Differences>, coin: &Coin) -> AnyView {
    let Ok(of) = of else { return ().into_any() };
    let rows = of.of.iter().map(|one| difference(desk, one, coin)).collect_view();
    let money = tf("plan-since-total", &[("money", &coin.differ(of.money)), ("hours", &hours_differ(of.seconds))]);
    view! {
        <ul class="since">{rows}</ul>
        <p class="since-total">{money}</p>
    }
    .into_any()
}

fn difference(desk: Desk, one: &Difference, coin: &Coin) -> impl IntoView + use<> {
    let name = match &one.about {
        About::Part(part) => desk.name(part),
        About::Vehicle => t("plan-vehicle-whole"),
        About::Tax => t("plan-tax"),
    };
    let picks = match &one.picks {
        (None, Some(now)) => Some(tf("plan-since-new", &[("now", &pick(desk, now))])),
        (Some(then), None) => Some(tf("plan-since-gone", &[("then", &pick(desk, then))])),
        (Some(then), Some(now)) if pick(desk, then) != pick(desk, now) => {
            Some(tf("plan-since-other", &[("then", &pick(desk, then)), ("now", &pick(desk, now))]))
        }
        _ => None,
    };
    let causes = one.causes.iter().map(|cause| cause.words()).collect::<Vec<_>>().join("; ");
    let about = match &one.about {
        About::Part(part) => part.to_string(),
        other => format!("{other:?}").to_lowercase(),
    };
    let spent = match (one.money, one.seconds) {
        (0, 0) => t("plan-since-same"),
        (money, 0) => coin.differ(money),
        (0, seconds) => hours_differ(seconds),
        (money, seconds) => format!("{}, {}", coin.differ(money), hours_differ(seconds)),
    };
    let lines = one.lines.iter().map(|line| line_change(line, coin)).collect_view();
    view! {
        <li class="since-row" data-about=about data-money=one.money.to_string()>
            <h4>{name}</h4>
            <p class="since-spent">{spent}</p>
            {picks.map(|text| view! { <p>{text}</p> })}
            <p class="since-cause"><b>{t("plan-since-because")}</b>" "{causes}"."</p>
            <ul class="since-lines">{lines}</ul>
        </li>
    }
}

fn line_change(line: &LineChange, coin: &Coin) -> impl IntoView + use<> {
    let key = match (&line.before, &line.after) {
        (None, _) => "plan-line-added",
        (_, None) => "plan-line-dropped",
        _ => "plan-line-changed",
    };
    let how = |line: &Option<RevisedLine>| line.as_ref().map(|line| line.how.clone()).unwrap_or_default();
    let (before, after) = (how(&line.before), how(&line.after));
    let text = tf(key, &[("what", line.what()), ("before", &before), ("after", &after)]);
    view! { <li><span>{text}</span><span class="cash">{coin.differ(line.money())}</span></li> }
}

/// Action, way to join and cuts of a frozen part.
fn pick(desk: Desk, part: &RevisedPart) -> String {
    let route = part.route.map(|route| t(route.key()));
    let known = desk.planned.book.get_untracked().part(&part.part);
    let name = |cut: &CutId| known.map_or_else(|| cut.to_string(), |part| cut_name(part, cut));
    let cuts = part.cuts.iter().map(name).collect::<Vec<_>>().join(", ");
    let cuts = (!cuts.is_empty()).then(|| tf("plan-cut-at", &[("cuts", &cuts)]));
    [Some(t(part.action.key())), route, cuts].into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// What was given out, as it was written down.
#[component]
fn Document(
    /// The revision.
    revision: Arc<Revision>,
    /// Its number.
    number: usize,
) -> impl IntoView {
    let desk = Desk::get();
    let coin = Coin::of(&revision);
    let parts = revision
        .parts
        .iter()
        .map(|part| view! { <li><b>{desk.name(&part.part)}</b>": "{pick(desk, part)}</li> })
        .collect_view();
    let lines = Category::ALL.iter().map(|category| category_lines(&revision, *category, &coin)).collect_view();
    let ends = Desk::taxes(&revision)
        .into_iter()
        .chain([(t("plan-total"), revision.total)])
        .map(|(name, amount)| {
            view! { <tr class="sum"><th scope="row" colspan="2">{name}</th><td class="cash">{coin.say(amount)}</td></tr> }
        })
        .collect_view();
    let title = tf("plan-revision", &[("number", &number.to_string()), ("name", &revision.name)]);
    let mark = tf("plan-revision-mark", &[("mark", &revision.check_mark())]);
    let whose = desk.planned.job.with_untracked(|job| {
        job.as_ref().map(|job| format!("{} · {}", job.title, super::head::whose(job))).unwrap_or_default()
    });
    let against = &revision.against;
    let stands = [&against.book, &against.rules, &against.times, &against.prices, &against.rates]
        .into_iter()
        .filter(|text| !text.is_empty())
        .cloned()
        .collect::<Vec<_>>()
        .join(" · ");
    let id = format!("revision-{number}");
    let this = id.clone();
    let bound = tf("plan-bound", &[("hours", &hours(revision.bound_seconds))]);
    let planned = tf("plan-revision-hours", &[("hours", &exact(revision.seconds)), ("days", &days(revision.days))]);
    view! {
        <div class="document" id=id>
            <div class="paper">
                <h1>{title}</h1>
                <p>{whose}</p>
                <p>{tf("plan-revision-day", &[("day", &day(&revision.day))])}" · "{mark}</p>
            </div>
            <p>{tf("plan-revision-aim", &[("aim", &t(revision.aim.key()))])}</p>
            <ul class="document-parts">{parts}</ul>
            <p>{planned}" "{bound}</p>
            <table class="money-lines">
                <caption class="spoken">{t("plan-revision-lines")}</caption>
                <tbody>{lines}{ends}</tbody>
            </table>
            <p class="form-note">{tf("plan-rounding", &[("how", &t(revision.rounding.key()))])}</p>
            <p class="form-note">{tf("plan-revision-against", &[("list", &stands)])}</p>
            <button type="button" class="key" data-act="print-revision" on:click=move |_| paper::print_only(&this)>
                {t("plan-revision-print")}
            </button>
        </div>
    }
}

fn category_lines(revision: &Revision, category: Category, coin: &Coin) -> impl IntoView + use<> {
    let lines: Vec<&RevisedLine> = revision.lines.iter().filter(|line| line.category == category).collect();
    let sum = lines.iter().map(|line| line.amount).sum();
    (!lines.is_empty()).then(|| {
        let rows = lines
            .into_iter()
            .map(|line| {
                view! {
                    <tr>
                        <td class="line-what">{line.what.clone()}</td>
                        <td class="line-how">{line.how.clone()}</td>
                        <td class="cash">{coin.say(line.amount)}</td>
                    </tr>
                }
            })
            .collect_view();
        view! {
            <tr class="sum"><th scope="rowgroup" colspan="2">{cap(category.key())}</th><td class="cash">{coin.say(sum)}</td></tr>
            {rows}
        }
    })
}
