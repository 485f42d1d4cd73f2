//! What the whole job takes: coats with their films, volumes and solvents, and every material with where it is used; both
//! as files.
//!
//! Shows what the model added up; adds nothing itself.

use super::said::{self, number};
use super::{Bench, Built};
use crate::platform::{files, page, paper};
use crate::widgets::Icon;
use crate::words::{lowered, raised, t, tf};
use leptos::prelude::*;
use model::catalogue::Part;
use model::ids::PartId;
use model::joints::draw::numbered;
use model::joints::materials::{Material, Refinish, refinish_csv, to_csv};

/// Coats and materials.
#[component]
pub fn Takes() -> impl IntoView {
    let bench = Bench::get();
    let refused = RwSignal::new(false);
    let save = move |ending: &'static str, make: fn(&Built) -> String| {
        let text = bench.built.with_untracked(|built| built.as_deref().map(make)).unwrap_or_default();
        refused.set(!files::save(&bench.file(ending), "text/csv", &text));
    };
    view! {
        <section class="joints-takes" data-takes="refinish" aria-labelledby="joints-refinish">
            <h2 id="joints-refinish" class="plan-heading">{t("joints-refinish")}</h2>
            {move || bench.with(coats)}
            {move || { let imperial = bench.imperial(); bench.with(|built| blends(built, imperial)) }}
            <Show when=move || bench.with(|built| !built.coats.is_empty()).unwrap_or(false)>
                <div class="joint-acts">
                    <button type="button" class="key" data-act="save-coats" on:click=move |_| save("coats.csv", |built| refinish_csv(&built.coats))>
                        {t("joints-save-coats")}
                    </button>
                </div>
            </Show>
        </section>
        <section class="joints-takes" data-takes="materials" aria-labelledby="joints-materials">
            <h2 id="joints-materials" class="plan-heading">{t("joints-materials")}</h2>
            <div class="joints-list">{move || { let imperial = bench.imperial(); bench.with(|built| list(bench, built, imperial)) }}</div>
            <div class="joint-acts">
                <button type="button" class="key" data-act="save-materials" on:click=move |_| save("materials.csv", |built| to_csv(&built.materials))>
                    {t("joints-save-materials")}
                </button>
            </div>
            <Show when=move || refused.get()>
                <p class="plan-refused" role="alert"><Icon name="caution" />{t("file-refused")}</p>
            </Show>
        </section>
    }
}

/// The coats by part.
fn coats(built: &Built) -> AnyView {
    if built.coats.is_empty() {
        return view! { <p>{t("joints-no-coats")}</p> }.into_any();
    }
    let limits = t(&format!("joints-limits-{}", built.stock.jurisdiction));
    let mut parts: Vec<&PartId> = Vec::new();
    for coat in &built.coats {
        if !parts.contains(&&coat.part) {
            parts.push(&coat.part);
        }
    }
    let groups = parts.into_iter().map(|part| {
        let own = built.coats.iter().filter(|coat| coat.part == *part);
        let name = said::name(built.book, part);
        view! {
            <article class="coats" data-part=part.to_string()>
                <h3>{name}</h3>
                <ul>{own.map(|coat| coat_row(built, coat)).collect_view()}</ul>
            </article>
        }
    });
    view! {
        <p class="form-note">{limits}</p>
        <div class="coats-list">{groups.collect_view()}</div>
    }
    .into_any()
}

fn coat_row(built: &Built, coat: &Refinish) -> impl IntoView + use<> {
    let item = built.stock.coats.iter().find(|one| one.id == coat.coat);
    let film = tf(
        "joints-coat",
        &[
            ("area", &format!("{:.2}", coat.area_m2)),
            ("film", &number(coat.film_um)),
            ("volume", &format!("{:.0}", coat.mixed_ml.ceil())),
            ("solids", &number(item.map_or(0.0, |item| item.volume_solids) * 100.0)),
            ("transfer", &number(item.map_or(0.0, |item| item.transfer) * 100.0)),
        ],
    );
    let within = coat.within();
    let solvent = match coat.limit_g_l {
        Some(limit) => {
            let key = if within == Some(true) { "joints-solvent-within" } else { "joints-solvent-over" };
            tf(key, &[("solvent", &number(coat.solvent_g_l)), ("limit", &number(limit))])
        }
        None => tf("joints-solvent", &[("solvent", &number(coat.solvent_g_l))]),
    };
    view! {
        <li data-coat=coat.coat.clone() data-within=within.map(|within| within.to_string())>
            <b>{raised(&coat.coat.replace('-', " "))}</b>
            " · "
            {t(&format!("work-{}", coat.work))}
            <p>{film}</p>
            <p>{(within == Some(false)).then(|| view! { <Icon name="caution" /> })}{solvent}</p>
        </li>
    }
}

/// Into which panels beside the refinished ones the colour is blended, and why.
fn blends(built: &Built, imperial: bool) -> impl IntoView + use<> {
    (!built.blends.is_empty()).then(|| {
        let mut parts: Vec<&PartId> = built.blends.iter().map(|one| &one.part).collect();
        parts.dedup();
        let groups = parts.into_iter().map(|part| {
            let rows = built.blends.iter().filter(|one| one.part == *part).map(|one| {
                let key = if one.verdict.blends { "joints-blended" } else { "joints-not-blended" };
                let gap = tf("joints-gap", &[("gap", &said::fine(one.gap_mm, imperial))]);
                let way = t(if one.same_way { "joints-same-way" } else { "joints-other-way" });
                view! {
                    <li data-beside=one.beside.0.clone() data-blended=one.verdict.blends.to_string()>
                        <b>{said::name(built.book, &one.beside)}</b>
                        " · "
                        {t(key)}
                        <p>{t(one.verdict.reason)}</p>
                        <p class="form-note">{gap}" "{way}</p>
                    </li>
                }
            });
            let name = tf("joints-beside", &[("part", &lowered(&said::name(built.book, part)))]);
            view! {
                <article class="coats" data-blends-of=part.to_string()>
                    <h4>{name}</h4>
                    <ul>{rows.collect_view()}</ul>
                </article>
            }
        });
        view! {
            <h3 class="coats-blends">{t("joints-blends")}</h3>
            <p class="form-note">{t("blend-basis")}</p>
            <div class="coats-list">{groups.collect_view()}</div>
        }
    })
}

/// The materials, each opening to where it is used.
fn list(bench: Bench, built: &Built, imperial: bool) -> impl IntoView + use<> {
    if built.materials.is_empty() {
        return view! { <p>{t("joints-no-materials")}</p> }.into_any();
    }
    let rows = built.materials.iter().map(|material| {
        let uses: Vec<_> = material.uses.iter().map(|(at, amount)| used(bench, built, material, at, *amount)).collect();
        view! {
            <details class="fold" data-fold="material" data-material=material.id.clone()>
                <summary>
                    <Icon name="open" />
                    <span class="fold-name">{named(built, material, imperial)}</span>
                    <span class="cash">{comes_to(material)}</span>
                </summary>
                <ul class="joints-uses">{uses}</ul>
            </details>
        }
    });
    view! { {rows.collect_view()} }.into_any()
}

/// The material in words: fasteners by kind and size, what else by its own name.
fn named(built: &Built, material: &Material, imperial: bool) -> String {
    let kind = t(&format!("joints-kind-{}", material.kind));
    let own = raised(&material.id.replace('-', " "));
    let fastener = built.stock.fasteners.iter().find(|one| one.id == material.id && material.kind == "fastener");
    match fastener {
        Some(one) => {
            let said = said::fastener(one.kind, one.diameter_mm, imperial);
            let (low, high) = (said::fine(one.grip_mm.0, imperial), said::fine(one.grip_mm.1, imperial));
            tf("joints-material-grip", &[("name", &raised(&said)), ("low", &low), ("high", &high)])
        }
        None => tf("joints-material", &[("name", &own), ("kind", &kind)]),
    }
}

fn amount(material: &Material, value: f64) -> String {
    let said = match material.unit.as_str() {
        "pieces" => return format!("{value:.0}"),
        "ml" | "g" => format!("{:.0}", value.ceil()),
        _ => number(value),
    };
    tf("joints-amount", &[("amount", &said), ("unit", &material.unit)])
}

/// What it comes to, with spares or packs.
fn comes_to(material: &Material) -> String {
    let sum = amount(material, material.amount);
    match (material.packs, material.spares) {
        (Some(packs), _) => {
            let key = format!("joints-packs-{}{}", material.kind, if packs == 1 { "-one" } else { "" });
            tf(&key, &[("amount", &sum), ("packs", &packs.to_string())])
        }
        (None, spares) if spares > 0 => tf("joints-spares", &[("amount", &sum), ("spares", &spares.to_string())]),
        _ => sum,
    }
}

/// Where it is used and how much of it there: a joint, which one can go to, or a coat of a part.
fn used(bench: Bench, built: &Built, material: &Material, at: &str, value: f64) -> impl IntoView + use<> {
    let amount = amount(material, value);
    match numbered(&built.joints).find(|(_, plan)| plan.id == at) {
        Some((joint, plan)) => {
            let place = [
                ("part", &*said::name(built.book, &plan.part)),
                ("number", &joint.to_string()),
                ("what", &lowered(&said::heading(built.book, plan))),
            ];
            let text = tf("joints-used", &place);
            let part = plan.part.clone();
            let go = move |_| {
                bench.look_at(&part);
                page::next_frame(move || paper::go_to(&format!("#joint-{joint}")));
            };
            view! {
                <li>
                    <button type="button" class="key quiet" data-act="to-joint" on:click=go>{text}</button>
                    <span class="cash">{amount}</span>
                </li>
            }
            .into_any()
        }
        None => {
            let (part, work) = at.split_once('/').unwrap_or((at, ""));
            let name = built.book.part(&PartId::from(part.to_owned())).map_or_else(|| part.to_owned(), Part::name);
            let text = tf("joints-used-coat", &[("part", &name), ("work", &lowered(&t(&format!("work-{work}"))))]);
            view! { <li><span>{text}</span><span class="cash">{amount}</span></li> }.into_any()
        }
    }
}
