//! The cut map of a part that may be sectioned: drag a line within its range or to another, see what changes, let go;
//! tap a forbidden line and read what forbids it.
//!
//! Draws the model's cut map and reports a choice as one command. Never lets a line rest where the model forbids it.

use super::Desk;
use super::cutdrag::{self, Draft};
use super::cutpaper::Sheet;
use super::figures::{Coin, hours_differ};
use crate::platform::page;
use crate::widgets::Icon;
use crate::words::{length, raised, t, tf};
use leptos::ev::{KeyboardEvent, PointerEvent};
use leptos::html;
use leptos::prelude::*;
use model::decide::section::{SectionHold, What, held_section, section_words, with_line};
use model::decide::{Decision, Pick, SectionPlan};
use model::geometry::Point;
use model::ids::PartId;
use model::job::{Command, OptionHold};
use model::scene::{self, CutLine, CutMap, LineUse};
use model::terms::Action;
use std::sync::Arc;

/// What lies further from a line is not told in words, mm; the damage always is.
const NEAR_MM: f64 = 400.0;
/// Most distances told of one line.
const NEAREST: usize = 5;

/// What is drawn: the section that stands, its map, and why a held one does not stand.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Shown {
    pub(super) map: CutMap,
    pub(super) plan: Option<SectionPlan>,
    refused: Option<String>,
}

/// What the parts of one cut map share.
#[derive(Clone, Copy)]
pub(super) struct Bench {
    pub(super) desk: Desk,
    pub(super) part: StoredValue<PartId>,
    decided: Memo<Option<(Arc<Decision>, Pick)>>,
    pub(super) shown: Memo<Option<Arc<Shown>>>,
    /// The line of which one reads more.
    pub(super) selected: RwSignal<usize>,
    /// A line on its way.
    pub(super) draft: RwSignal<Option<Draft>>,
    /// Why the last choice was not taken.
    refused: RwSignal<Option<String>>,
}

/// The cut map of one part. It stays on the page through edits, so that nothing moves under the finger.
#[component]
pub fn CutMapOf(
    /// The part.
    part: PartId,
    /// Its decision, and what stands for it.
    decided: Memo<Option<(Arc<Decision>, Pick)>>,
) -> impl IntoView {
    let desk = Desk::get();
    let own = part.clone();
    let held =
        Memo::new(move |_| desk.planned.job.with(|job| job.as_ref().and_then(|job| job.options.get(&own).cloned())));
    let id = part.clone();
    let shown = Memo::new(move |_| {
        let part = desk.part(&id)?;
        let (known, pick) = decided.get()?;
        let mut refused = None;
        let own = held.get().filter(OptionHold::has_lines).and_then(|hold| {
            let hold = SectionHold { cells: hold.cells, moves: hold.moves };
            held_section(part, &known.finding, &hold).map_err(|why| refused = Some(why.words(part))).ok()
        });
        let least = || known.option(Action::Section).and_then(|option| option.section.clone());
        let plan = own.or_else(|| pick.section.as_deref().cloned()).or_else(least);
        let map = scene::cut_map(part, &known.finding, plan.as_ref()).ok()?;
        Some(Arc::new(Shown { map, plan, refused }))
    });
    let first = shown.with_untracked(|shown| {
        let lines = shown.as_ref().map(|shown| shown.map.lines.as_slice()).unwrap_or_default();
        lines.iter().position(|line| line.state == LineUse::Chosen).unwrap_or(0)
    });
    let bench = Bench {
        desk,
        part: StoredValue::new(part.clone()),
        decided,
        shown,
        selected: RwSignal::new(first),
        draft: RwSignal::new(None),
        refused: RwSignal::new(None),
    };
    let name = desk.name(&part);
    view! {
        <section class="cutmap" data-cutmap=part.to_string() aria-label=tf("cutmap-label", &[("part", &name)])>
            <p class="form-note">{t("cutmap-how")}</p>
            <Board bench=bench />
            <Legend />
            <div class="cutmap-words" aria-live="polite">
                {move || bench.words()}
            </div>
            <div class="cutmap-acts">
                <Show when=move || bench.draft.get().is_some()>
                    <button type="button" class="key primary" data-act="cut-keep" on:click=move |_| bench.keep()>
                        {t("cutmap-keep")}
                    </button>
                    <button type="button" class="key" data-act="cut-drop" on:click=move |_| bench.draft.set(None)>
                        {t("cutmap-drop")}
                    </button>
                </Show>
                <Show when=move || held.with(|held| held.as_ref().is_some_and(OptionHold::has_lines))>
                    <button type="button" class="key" data-act="cut-recommended" on:click=move |_| bench.let_go()>
                        {t("cutmap-recommended")}
                    </button>
                </Show>
            </div>
            <Lines bench=bench />
        </section>
    }
}

/// The drawing with a handle for each line.
#[component]
fn Board(bench: Bench) -> impl IntoView {
    let shell = NodeRef::<html::Div>::new();
    let width = RwSignal::new(0.0_f64);
    let watch = StoredValue::new_local(None);
    Effect::new(move |_| {
        if let Some(element) = shell.get() {
            watch.set_value(page::watch_size(&element, move |wide, _| {
                if width.try_get_untracked().is_some_and(|known: f64| (known - wide).abs() > 0.5) {
                    width.set(wide);
                }
            }));
        }
    });
    let sheet = Memo::new(move |_| {
        let width = width.get();
        bench.shown.with(|shown| shown.as_ref().map(|shown| Sheet::of(&shown.map.bounds, width)))
    });
    // Pixels for each millimetre.
    let scale = Memo::new(move |_| {
        let scale = sheet.get().map_or(0.1, |sheet| width.get() / sheet.width);
        if scale > 0.0 { scale } else { 0.1 }
    });
    let style = move || {
        let ratio = sheet.get().map_or(1.5, |sheet| sheet.width / sheet.height);
        format!("aspect-ratio:{ratio:.4};width:min(100%, {:.2}vh)", 64.0 * ratio)
    };
    view! {
        <div class="cutmap-board" node_ref=shell style=style>
            {move || {
                let (shown, sheet, scale) = (bench.shown.get()?, sheet.get()?, scale.get());
                let draft = bench.draft.get();
                Some(sheet.draw(&shown.map, bench.selected.get(), draft, scale, bench.desk.imperial()))
            }}
            {move || {
                let (shown, sheet, scale) = (bench.shown.get()?, sheet.get()?, scale.get());
                let lines = shown.map.lines.iter().zip(sheet.handles(&shown.map, scale)).enumerate();
                Some(lines.map(|(at, (line, place))| handle(bench, at, line, place, sheet, scale)).collect_view())
            }}
        </div>
    }
}

/// The handle of a line: at its end, beside the part, as large as a finger.
fn handle(
    bench: Bench,
    at: usize,
    line: &CutLine,
    (x, y): (f64, f64),
    sheet: Sheet,
    scale: f64,
) -> impl IntoView + use<> {
    let step = line.step;
    let (moved, state, name) = (line.moved_mm, line.state, line.name.clone());
    let (low, high) = line.ranges.iter().fold((moved, moved), |(a, b), range| (a.min(range.0), b.max(range.1)));
    let grabbed = StoredValue::new(None::<(i32, f64, f64)>);
    let now = move || bench.draft.get().filter(|draft| draft.from == at);
    // While the line is on its way the handle goes with it.
    let style = move || {
        let (x, y) = now()
            .and_then(|draft| bench.carried(draft))
            .map_or((x, y), |by| (x + by.a / sheet.width * 100.0, y + by.b / sheet.height * 100.0));
        format!("left:{x:.3}%;top:{y:.3}%")
    };
    let can_move = state == LineUse::Chosen;
    let drag = move |event: &PointerEvent| {
        let Some((id, x, y)) = grabbed.get_value() else { return };
        if id != event.pointer_id() || !can_move {
            return;
        }
        let shift = Point::new((f64::from(event.client_x()) - x) / scale, (f64::from(event.client_y()) - y) / scale);
        if shift.a.hypot(shift.b) * scale < 4.0 && bench.draft.get_untracked().is_none() {
            return;
        }
        bench.try_at(at, moved + cutdrag::along(step, shift));
    };
    let release = move |event: &PointerEvent, counts: bool| {
        if grabbed.get_value().is_none_or(|(id, _, _)| id != event.pointer_id()) {
            return;
        }
        grabbed.set_value(None);
        if bench.draft.get_untracked().is_some() {
            if counts { bench.keep() } else { bench.draft.set(None) }
        }
    };
    view! {
        <button
            type="button"
            class=format!("cut-handle cut-{}", state.word())
            style=style
            data-cut=line.cut.to_string()
            data-use=state.word()
            data-moved=format!("{moved:.0}")
            role=can_move.then_some("slider")
            aria-label=tf(&format!("cutmap-handle-{}", state.word()), &[("line", &name)])
            aria-valuemin=can_move.then(|| format!("{low:.0}"))
            aria-valuemax=can_move.then(|| format!("{high:.0}"))
            aria-valuenow=move || can_move.then(|| format!("{:.0}", now().filter(|draft| draft.to == at).map_or(moved, |draft| draft.mm)))
            aria-current=move || (bench.selected.get() == at).then_some("true")
            on:click=move |_| {
                bench.selected.set(at);
            }
            on:pointerdown=move |event| {
                if event.button() != 0 {
                    return;
                }
                // A finger's short drag counts as a tap too: the browser would press once more where the handle was.
                if event.pointer_type() == "touch" {
                    event.prevent_default();
                }
                if let Some(target) = event.current_target() {
                    page::capture_target(&target, event.pointer_id());
                }
                bench.selected.set(at);
                grabbed.set_value(Some((event.pointer_id(), f64::from(event.client_x()), f64::from(event.client_y()))));
            }
            on:pointermove=move |event| drag(&event)
            on:pointerup=move |event| release(&event, true)
            on:pointercancel=move |event| release(&event, false)
            on:keydown=move |event| bench.press(at, &event)
        >
            <span class="cut-sign" aria-hidden="true">{can_move.then(|| view! { <Icon name="cut" /> })}</span>
        </button>
    }
}

impl Bench {
    fn map<T>(self, read: impl FnOnce(&CutMap) -> T) -> Option<T> {
        self.shown.with_untracked(|shown| shown.as_ref().map(|shown| read(&shown.map)))
    }

    /// Shows where the dragged line would come to rest.
    fn try_at(self, from: usize, mm: f64) {
        self.refused.set(None);
        if let Some(draft) = self.map(|map| cutdrag::rest(map, from, mm))
            && self.draft.get_untracked() != Some(draft)
        {
            self.draft.set(Some(draft));
        }
    }

    /// How far the draft has carried the dragged line, screen mm.
    pub(super) fn carried(self, draft: Draft) -> Option<Point> {
        self.map(|map| {
            let (from, to) = (&map.lines[draft.from], &map.lines[draft.to]);
            let by = draft.mm - to.moved_mm;
            let middle = |line: &CutLine| {
                Point::new(f64::midpoint(line.ends.0.a, line.ends.1.a), f64::midpoint(line.ends.0.b, line.ends.1.b))
            };
            let (here, there) = (middle(from), middle(to));
            // Along the dragged line's own step only, so that its handle stays at its end.
            let shift = Point::new(there.a + to.step.a * by - here.a, there.b + to.step.b * by - here.b);
            let along = cutdrag::along(from.step, shift);
            Point::new(from.step.a * along, from.step.b * along)
        })
    }

    fn press(self, at: usize, event: &KeyboardEvent) {
        let pace = if event.shift_key() { 10.0 } else { 1.0 };
        let Some((line, now)) = self.map(|map| (map.lines[at].clone(), self.draft.get_untracked())) else { return };
        let now = now.filter(|draft| draft.from == at);
        // The arrow that points where the line would go: right and down are positive on the screen.
        let along = |a: f64, b: f64| cutdrag::along(line.step, Point::new(a, b)).signum() * pace;
        let next = match event.key().as_str() {
            "ArrowRight" | "ArrowLeft" if line.step.a.abs() >= line.step.b.abs() => {
                along(if event.key() == "ArrowRight" { 1.0 } else { -1.0 }, 0.0)
            }
            "ArrowDown" | "ArrowUp" if line.step.a.abs() < line.step.b.abs() => {
                along(0.0, if event.key() == "ArrowDown" { 1.0 } else { -1.0 })
            }
            "ArrowRight" | "ArrowUp" => pace,
            "ArrowLeft" | "ArrowDown" => -pace,
            "PageUp" | "PageDown" if line.state == LineUse::Chosen => {
                event.prevent_default();
                if let Some(draft) = self.map(|map| cutdrag::next_line(map, at, event.key() == "PageUp")).flatten() {
                    self.draft.set(Some(draft));
                }
                return;
            }
            "Enter" if self.draft.get_untracked().is_some() => {
                event.prevent_default();
                return self.keep();
            }
            "Escape" if self.draft.get_untracked().is_some() => return self.draft.set(None),
            _ => return,
        };
        event.prevent_default();
        if line.state == LineUse::Chosen {
            self.selected.set(at);
            // Within the line's own range; another line is reached by the page keys.
            let from = now.filter(|draft| draft.to == at).map_or(line.moved_mm, |draft| draft.mm) + next;
            let fits = line.ranges.iter().any(|range| range.0 - 1e-6 <= from && from <= range.1 + 1e-6);
            if fits {
                self.draft.set(Some(Draft { from: at, to: at, mm: from.round() }));
            }
        }
    }

    /// The section that the draft would make.
    fn would(self, draft: Draft) -> Option<Result<(SectionHold, SectionPlan), String>> {
        let shown = self.shown.get_untracked()?;
        let id = self.part.get_value();
        let part = self.desk.part(&id)?;
        let (decision, _) = self.decided.get_untracked()?;
        let (from, to) = (&shown.map.lines[draft.from].cut, &shown.map.lines[draft.to].cut);
        let mut moves = self.hold().map(|hold| hold.moves).unwrap_or_default();
        let cells = if draft.from == draft.to {
            shown.plan.as_ref()?.cells.clone()
        } else {
            moves.remove(from);
            match with_line(part, &decision.finding, to, Some(from)) {
                Ok(plan) => plan.cells,
                Err(why) => return Some(Err(why.words(part))),
            }
        };
        #[allow(clippy::cast_possible_truncation)] // a window is far smaller
        moves.insert(to.clone(), draft.mm.round() as i32);
        let hold = SectionHold { cells, moves };
        Some(match held_section(part, &decision.finding, &hold) {
            Ok(plan) => {
                let mut moves = hold.moves;
                moves.retain(|cut, _| plan.cuts.iter().any(|used| used.cut == *cut));
                Ok((SectionHold { cells: hold.cells, moves }, plan))
            }
            Err(why) => Err(why.words(part)),
        })
    }

    fn hold(self) -> Option<OptionHold> {
        let id = self.part.get_value();
        self.desk.planned.job.with_untracked(|job| job.as_ref().and_then(|job| job.options.get(&id).cloned()))
    }

    /// Holds the part to the draft.
    fn keep(self) {
        let Some(draft) = self.draft.get_untracked() else { return };
        let made = self.would(draft);
        self.draft.set(None);
        match made {
            Some(Ok((hold, _))) => {
                let route = self.hold().and_then(|hold| hold.route);
                let option = OptionHold { route, cells: hold.cells, moves: hold.moves }.tidy();
                let part = self.part.get_value();
                let cut = self.map(|map| map.lines[draft.to].cut.to_string()).unwrap_or_default();
                let to_focus = format!("[data-cutmap=\"{}\"] .cut-handle[data-cut=\"{cut}\"]", part.0);
                self.selected.set(draft.to);
                self.desk.app.dispatch(Command::HoldOption { part, action: Some(Action::Section), option });
                page::next_frame(move || page::focus(&to_focus));
            }
            Some(Err(why)) => self.refused.set(Some(why)),
            None => {}
        }
    }

    /// Back to what the plan lays down by itself.
    fn let_go(self) {
        self.draft.set(None);
        self.desk.app.dispatch(Command::HoldOption { part: self.part.get_value(), action: None, option: None });
    }

    /// What stands, or what would change if the line were let go here.
    fn words(self) -> AnyView {
        let Some(shown) = self.shown.get() else { return ().into_any() };
        let id = self.part.get_value();
        let Some(part) = self.desk.part(&id) else { return ().into_any() };
        if let Some(draft) = self.draft.get() {
            return match self.would(draft) {
                Some(Ok((_, plan))) => self.change(&shown, draft, &plan).into_any(),
                Some(Err(why)) => view! { <p class="verdict-refused"><Icon name="caution" />{why}</p> }.into_any(),
                None => ().into_any(),
            };
        }
        let refused = self.refused.get().or_else(|| shown.refused.clone());
        let stands = shown.plan.as_ref().map(|plan| {
            let share = format!("{:.0}", plan.share * 100.0);
            tf("cutmap-stands", &[("words", &raised(&section_words(part, plan))), ("share", &share)])
        });
        view! {
            {refused.map(|text| view! { <p class="verdict-refused"><Icon name="caution" />{text}</p> })}
            {stands.map(|text| view! { <p class="cutmap-stands">{text}</p> })}
        }
        .into_any()
    }

    fn change(self, shown: &Shown, draft: Draft, plan: &SectionPlan) -> impl IntoView + use<> {
        let imperial = self.desk.imperial();
        let line = &shown.map.lines[draft.to];
        let moved = length(draft.mm.abs(), imperial);
        let mut rows = vec![if draft.mm.abs() < 0.5 {
            tf("cutmap-would-drawn", &[("line", &line.name)])
        } else {
            tf("cutmap-would", &[("line", &line.name), ("moved", &moved)])
        }];
        if let Some(cut) = plan.cuts.iter().find(|cut| cut.cut == line.cut)
            && cut.to_damage_mm.is_finite()
        {
            rows.push(tf("cutmap-would-damage", &[("distance", &length(cut.to_damage_mm, imperial))]));
        }
        let before = shown.plan.as_ref();
        let names = |list: Vec<&model::ids::CellId>| {
            let names = list.iter().filter_map(|id| shown.map.cells.iter().find(|cell| cell.cell == **id));
            names.map(|cell| cell.name.clone()).collect::<Vec<_>>().join(", ")
        };
        let had = |id: &model::ids::CellId| before.is_some_and(|plan| plan.cells.contains(id));
        let more = names(plan.cells.iter().filter(|id| !had(id)).collect());
        let less =
            names(before.iter().flat_map(|old| old.cells.iter()).filter(|id| !plan.cells.contains(id)).collect());
        if !more.is_empty() {
            rows.push(tf("cutmap-more", &[("cells", &more)]));
        }
        if !less.is_empty() {
            rows.push(tf("cutmap-less", &[("cells", &less)]));
        }
        let long = |plan: &SectionPlan| plan.cuts.iter().map(|cut| cut.length_mm).sum::<f64>();
        if let Some(old) = before.filter(|_| !more.is_empty() || !less.is_empty()) {
            let percent = |plan: &SectionPlan| format!("{:.0}", plan.share * 100.0);
            rows.push(tf("cutmap-share", &[("before", &percent(old)), ("after", &percent(plan))]));
            let (was, now) = (length(long(old), imperial), length(long(plan), imperial));
            rows.push(tf("cutmap-length", &[("before", &was), ("after", &now)]));
            rows.extend(self.costs(plan));
        }
        let rows = rows.into_iter().map(|row| view! { <li>{row}</li> }).collect_view();
        view! {
            <p class="cutmap-stands">{t("cutmap-change")}</p>
            <ul class="cutmap-change">{rows}</ul>
        }
    }

    /// What the plan says the other cells cost more or less, where it has weighed them.
    fn costs(self, plan: &SectionPlan) -> Option<String> {
        let same = |pick: &Pick| {
            pick.action == Action::Section && pick.section.as_ref().is_some_and(|known| known.cells == plan.cells)
        };
        let id = self.part.get_value();
        let list = self.desk.alternatives(&id);
        let found =
            list.iter().filter(|one| one.weighed && same(&one.pick)).min_by_key(|one| (one.money, one.seconds))?;
        let coin = self.desk.current.with(|plan| plan.as_ref().map(|plan| Coin::of(plan)))?;
        Some(format!("{}, {}.", raised(&coin.differ(found.money)), hours_differ(found.seconds)))
    }
}

/// What the drawing means, in words.
#[component]
fn Legend() -> impl IntoView {
    let keys = ["stays", "goes", "damage", "no-cut", "chosen", "permitted", "forbidden"];
    view! {
        <ul class="cutmap-legend">
            {keys
                .iter()
                .map(|key| {
                    view! {
                        <li>
                            <span class=format!("cut-swatch cut-swatch-{key}") aria-hidden="true"></span>
                            {t(&format!("cutmap-legend-{key}"))}
                        </li>
                    }
                })
                .collect_view()}
        </ul>
    }
}

/// Every line in words: how it stands, how far it may move, what it keeps clear of, what forbids it.
#[component]
fn Lines(bench: Bench) -> impl IntoView {
    let rows = move || {
        let shown = bench.shown.get()?;
        let part = bench.desk.part(&bench.part.get_value())?;
        let imperial = bench.desk.imperial();
        let rows = shown.map.lines.iter().enumerate().map(|(at, line)| {
            let state = t(&format!("cutmap-line-{}", line.state.word()));
            let why = line.why.as_ref().map(|why| why.words(part));
            let room: Vec<String> = line
                .ranges
                .iter()
                .map(|(from, to)| {
                    if to - from < 1.0 {
                        t("cutmap-no-room")
                    } else if *from <= 0.0 && *to >= 0.0 {
                        let (right, left) = (length(-from, imperial), length(*to, imperial));
                        tf("cutmap-room", &[("right", &right), ("left", &left)])
                    } else {
                        let (near, far) = (from.abs().min(to.abs()), from.abs().max(to.abs()));
                        let (near, far) = (length(near, imperial), length(far, imperial));
                        tf("cutmap-room-off", &[("from", &near), ("to", &far)])
                    }
                })
                .collect();
            let near: Vec<String> = line
                .distances
                .iter()
                .filter(|one| one.mm <= NEAR_MM || one.what == What::Damage)
                .take(NEAREST)
                .map(|one| tf("cutmap-near", &[("what", &one.what.words()), ("distance", &length(one.mm, imperial))]))
                .collect();
            let name = raised(&line.name);
            let (label, cut) = (name.clone(), line.cut.clone());
            let permitted = line.state == LineUse::Permitted;
            let permitted_or_cut = line.state != LineUse::Forbidden;
            view! {
                <li
                    class="cutmap-line"
                    data-line=line.cut.to_string()
                    data-use=line.state.word()
                    data-selected=move || (bench.selected.get() == at).to_string()
                >
                    <p class="cutmap-line-name">
                        <b>{name}</b>
                        ": "
                        {state}
                    </p>
                    {why.map(|text| view! { <p class="cutmap-why">{text}</p> })}
                    {(!room.is_empty()).then(|| view! { <p>{room.join(" ")}</p> })}
                    {(!near.is_empty()).then(|| view! { <p>{tf(if permitted_or_cut { "cutmap-keeps" } else { "cutmap-drawn" }, &[("list", &near.join(", "))])}</p> })}
                    {permitted
                        .then(|| {
                            view! {
                                <button
                                    type="button"
                                    class="key"
                                    data-act="cut-here"
                                    aria-label=tf("cutmap-here-named", &[("line", &label)])
                                    on:click=move |_| bench.cut_here(&cut)
                                >
                                    {t("cutmap-here")}
                                </button>
                            }
                        })}
                </li>
            }
        });
        Some(rows.collect_view())
    };
    view! { <ul class="cutmap-lines">{rows}</ul> }
}

impl Bench {
    /// Holds the part to the least section that is cut at this line.
    fn cut_here(self, cut: &model::ids::CutId) {
        let id = self.part.get_value();
        let Some((part, (decision, _))) = self.desk.part(&id).zip(self.decided.get_untracked()) else { return };
        match with_line(part, &decision.finding, cut, None) {
            Ok(plan) => {
                let route = self.hold().and_then(|hold| hold.route);
                let option = OptionHold { route, cells: plan.cells, ..OptionHold::default() }.tidy();
                self.desk.app.dispatch(Command::HoldOption { part: id, action: Some(Action::Section), option });
            }
            Err(why) => self.refused.set(Some(why.words(part))),
        }
    }
}
