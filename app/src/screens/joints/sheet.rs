//! The map of a part on paper and as a file: a template at true size over as many pages as it takes, and an overview.
//!
//! Pages are made when they are asked for and stand hidden in the page until they are printed. Scales nothing.

use super::{Bench, Built, said};
use crate::platform::{files, page, paper};
use crate::widgets::{Choices, Icon, Pick};
use crate::words::{count, t};
use leptos::prelude::*;
use model::ids::PartId;
use model::joints::draw::{maps, numbered};
use model::joints::ink;
use model::joints::sheets::{self, Page, Paper};
use std::sync::Arc;

/// Id of the element that is printed.
const SHEETS: &str = "joint-paper";

/// Paper, printing, and the map as a file.
#[component]
pub fn Sheets(
    /// The part.
    part: PartId,
) -> impl IntoView {
    let bench = Bench::get();
    let own = StoredValue::new(part);
    let size = RwSignal::new(Paper::A4);
    let pages = RwSignal::new(Vec::<(bool, String)>::new());
    let refused = RwSignal::new(false);
    let count_pages = Memo::new(move |_| {
        let size = size.get();
        bench.with(|built| own.with_value(|part| template(built, part, size).len())).unwrap_or(0)
    });
    let print = move |make: fn(&Built, &PartId, Paper) -> Vec<Page>| {
        let made = bench.built.with_untracked(|built| {
            built.as_deref().map(|built| own.with_value(|part| make(built, part, size.get_untracked())))
        });
        pages.set(made.unwrap_or_default().into_iter().map(|page| (page.wide, page.svg)).collect());
        page::next_frame(|| paper::print_only(SHEETS));
    };
    let save = move |_| {
        let text = bench.built.with_untracked(|built: &Option<Arc<Built>>| {
            built.as_deref().map(|built| {
                own.with_value(|part| ink::to_svg(built.book, &built.joints, Some(part), &said::name(built.book, part)))
            })
        });
        let ending = own.with_value(|part| format!("{part}-joints.svg"));
        refused.set(text.is_some_and(|text| !files::save(&bench.file(&ending), "image/svg+xml", &text)));
    };
    let sizes =
        [Paper::A4, Paper::Letter].map(|paper| Pick::plain(paper.word(), t(&format!("joints-paper-{}", paper.word()))));
    view! {
        <section class="joints-sheets" aria-labelledby="joints-sheets">
            <h3 id="joints-sheets">{t("joints-sheets")}</h3>
            <Choices
                label=t("joints-paper")
                picks=Signal::stored(sizes.to_vec())
                value=Signal::derive(move || size.get().word().to_owned())
                on_pick=move |word: String| {
                    if let Some(paper) = Paper::from_word(&word) {
                        size.set(paper);
                    }
                }
            />
            <div class="joint-acts">
                <button type="button" class="key" data-act="print-template" on:click=move |_| print(template)>
                    {move || count("joints-print-template", count_pages.get())}
                </button>
                <button type="button" class="key" data-act="print-overview" on:click=move |_| print(overview)>
                    {t("joints-print-overview")}
                </button>
                <button type="button" class="key" data-act="save-map" on:click=save>{t("joints-save-map")}</button>
            </div>
            <p class="form-note">{t("joints-print-how")}</p>
            <Show when=move || refused.get()>
                <p class="plan-refused" role="alert"><Icon name="caution" />{t("file-refused")}</p>
            </Show>
            <div id=SHEETS class="joint-paper" aria-hidden="true" data-paper=move || size.get().word()>
                {move || {
                    pages
                        .get()
                        .into_iter()
                        .map(|(wide, svg)| view! { <div class="joint-page" data-wide=wide.to_string() inner_html=svg></div> })
                        .collect_view()
                }}
            </div>
        </section>
    }
}

fn template(built: &Built, part: &PartId, paper: Paper) -> Vec<Page> {
    let maps = maps(built.book, &built.joints, Some(part));
    maps.iter().flat_map(|map| sheets::template(map, paper)).collect()
}

fn overview(built: &Built, part: &PartId, paper: Paper) -> Vec<Page> {
    let maps = maps(built.book, &built.joints, Some(part));
    let most = sheets::letters(paper);
    let pages = maps.iter().map(|map| {
        let mut list = Vec::new();
        for (number, plan) in numbered(&built.joints).filter(|(_, plan)| plan.part == *part) {
            if map.joints.iter().any(|(known, _)| *known == number) {
                list.extend(folded(
                    &format!("{number}  {}. {}", said::heading(built.book, plan), said::short(plan)),
                    most,
                ));
            }
        }
        sheets::overview(map, paper, &list)
    });
    pages.flatten().collect()
}

/// A text in lines no longer than that, broken between words.
fn folded(text: &str, most: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(' ') {
        match lines.last_mut().filter(|line| line.chars().count() + 1 + word.chars().count() <= most) {
            Some(line) => {
                line.push(' ');
                line.push_str(word);
            }
            None => lines.push(if lines.is_empty() { word.to_owned() } else { format!("    {word}") }),
        }
    }
    lines
}
