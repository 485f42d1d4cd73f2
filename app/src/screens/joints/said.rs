//! A joint in sentences: what it is, its fasteners, adhesive, weld, isolation, strength and why.
//!
//! Puts the model's figures into words in the person's units; judges and rounds nothing that is counted.

use crate::words::{lowered, raised, t, tf};
use model::catalogue::Book;
use model::decide::section::cut_name;
use model::ids::PartId;
use model::joints::strength::Carries;
use model::joints::{Apart, Bead, JointPlan, Screening, Seam, Stock, Use, What};
use model::terms::JointKind;

/// Millimetres in an inch, exactly.
const MM_IN_INCH: f64 = 25.4;

/// A small length: a tenth of a millimetre, or a thousandth of an inch.
#[must_use]
pub fn fine(mm: f64, imperial: bool) -> String {
    if imperial {
        tf("ui-inches", &[("value", &format!("{:.3}", mm / MM_IN_INCH))])
    } else {
        tf("ui-millimetres", &[("value", &number(mm))])
    }
}

/// At most one decimal.
#[must_use]
pub fn number(value: f64) -> String {
    format!("{}", (value * 10.0).round() / 10.0)
}

/// The other part in words.
#[must_use]
pub fn name(book: &Book, id: &PartId) -> String {
    book.part(id).map_or_else(|| id.to_string(), model::catalogue::Part::name)
}

/// What the joint is, as a heading.
#[must_use]
pub fn heading(book: &Book, plan: &JointPlan) -> String {
    let cut = |cut| book.part(&plan.part).map(|part| cut_name(part, cut)).unwrap_or_default();
    match &plan.what {
        What::Butt(line) | What::Lap(line) => tf("joints-cut", &[("line", &cut(line))]),
        What::Factory(_) if plan.to == plan.part => raised(&t("joints-own-hem")),
        What::Factory(_) => tf("joints-to", &[("part", &lowered(&name(book, &plan.to)))]),
    }
}

/// How it goes together, in one sentence.
#[must_use]
pub fn route(plan: &JointPlan, imperial: bool) -> String {
    let long = tf("joints-long", &[("length", &fine(plan.length_mm, imperial))]);
    let how = match &plan.what {
        What::Butt(_) => {
            tf("joints-butt", &[("sleeve", &fine(plan.width_mm, imperial)), ("gap", &fine(plan.gap_mm, imperial))])
        }
        What::Lap(_) => tf("joints-lap", &[("width", &fine(plan.width_mm, imperial))]),
        What::Factory(kind) => tf("joints-factory", &[("kind", &t(kind.key()))]),
    };
    let way = match &plan.what {
        What::Factory(JointKind::Bolt) => t("joints-way-bolts"),
        What::Factory(JointKind::BondedGlass | JointKind::Adhesive) => t("joints-way-bonded"),
        _ => tf("joints-way", &[("route", &t(plan.route.key()))]),
    };
    format!("{way} {how} {long}")
}

/// The rows of a joint: the key of a heading and what stands under it.
#[must_use]
pub fn rows(book: &Book, stock: &Stock, plan: &JointPlan, imperial: bool) -> Vec<(&'static str, Vec<String>)> {
    let mut rows = Vec::new();
    if let Some(used) = &plan.fastener {
        rows.push(("joints-fasteners", fasteners(plan, used, imperial)));
    }
    if let Some(bead) = &plan.adhesive {
        rows.push(("joints-adhesive", adhesive(bead, imperial)));
    }
    if let Some(seam) = &plan.weld {
        rows.push(("joints-weld", weld(book, seam, imperial)));
    }
    if let Some(apart) = &plan.isolation {
        rows.push(("joints-isolation", isolation(stock, apart)));
    }
    if let Some(found) = &plan.screening {
        rows.push(("joints-strength", strength(found)));
    }
    let why: Vec<String> =
        plan.notes.iter().filter(|note| note.key != "joint-time-short").map(|note| note.words(LANGUAGE)).collect();
    if !why.is_empty() {
        rows.push(("joints-why", why));
    }
    rows
}

pub(super) const LANGUAGE: model::words::Language = model::words::Language::English;

/// The fastener in words: kind and shank.
#[must_use]
pub fn fastener(kind: JointKind, diameter_mm: f64, imperial: bool) -> String {
    let kind = t(&format!("fastener-{kind}"));
    tf("joints-fastener", &[("kind", &kind), ("diameter", &fine(diameter_mm, imperial))])
}

fn fasteners(plan: &JointPlan, used: &Use, imperial: bool) -> Vec<String> {
    let length = |mm: f64| fine(mm, imperial);
    let count = tf(
        "joints-count",
        &[
            ("count", &used.count.to_string()),
            ("spares", &used.spares.to_string()),
            ("fastener", &fastener(used.kind, used.diameter_mm, imperial)),
        ],
    );
    let hole =
        if used.hole_mm > 0.0 { tf("joints-hole", &[("hole", &length(used.hole_mm))]) } else { t("joints-no-hole") };
    let stack = plan.stack_mm.iter().map(|sheet| number(*sheet)).collect::<Vec<_>>().join(" + ");
    let grip = tf(
        "joints-grip",
        &[
            ("stack", &tf("ui-millimetres", &[("value", &stack)])),
            ("grip", &length(used.grip_mm)),
            ("low", &length(used.grip_range_mm.0)),
            ("high", &length(used.grip_range_mm.1)),
        ],
    );
    let mut out = vec![count, hole, grip];
    if used.kind != JointKind::Bolt {
        let keep = &used.keep;
        out.push(tf(
            "joints-keep",
            &[
                ("edge", &length(keep.edge_mm)),
                ("pitch", &length(keep.pitch_mm)),
                ("apart", &length(keep.any_mm)),
                ("bend", &length(keep.bend_mm)),
            ],
        ));
    }
    out
}

fn adhesive(bead: &Bead, imperial: bool) -> Vec<String> {
    let length = |mm: f64| fine(mm, imperial);
    let packs = if bead.cartridges == 1 { "joints-bead-one" } else { "joints-bead" };
    vec![
        tf(
            packs,
            &[
                ("adhesive", &raised(&bead.id.replace('-', " "))),
                ("wide", &length(bead.section_mm.0)),
                ("high", &length(bead.section_mm.1)),
                ("length", &length(bead.length_mm)),
                ("volume", &format!("{:.0}", bead.volume_ml)),
                ("cartridges", &bead.cartridges.to_string()),
            ],
        ),
        tf(
            "joints-cure",
            &[
                ("working", &number(bead.working_minutes)),
                ("fitting", &format!("{:.0}", bead.fitting_minutes.ceil())),
                ("fixture", &hours(bead.cure_minutes.0)),
                ("cure", &hours(bead.cure_minutes.1)),
            ],
        ),
    ]
}

/// Minutes as hours where they are whole hours.
fn hours(minutes: f64) -> String {
    if minutes >= 60.0 && (minutes % 30.0).abs() < 1e-9 {
        tf("joints-hours", &[("hours", &number(minutes / 60.0))])
    } else {
        tf("joints-minutes", &[("minutes", &number(minutes))])
    }
}

fn weld(book: &Book, seam: &Seam, imperial: bool) -> Vec<String> {
    let passes = if seam.passes == 1 { "joints-seam-one" } else { "joints-seam" };
    let mut out = vec![
        tf(
            passes,
            &[
                ("length", &fine(seam.length_mm, imperial)),
                ("passes", &seam.passes.to_string()),
                ("filler", seam.filler),
                ("heat", &format!("{:.2}", seam.heat_kj_mm)),
                ("wire", &format!("{:.0}", seam.wire_g)),
            ],
        ),
        tf("joints-softened", &[("mm", &fine(seam.haz_mm, imperial))]),
    ];
    if seam.must_out.is_empty() {
        out.push(t("joints-nothing-out"));
    } else {
        let list: Vec<String> = seam
            .must_out
            .iter()
            .map(|one| {
                let what = t(&format!("joint-heat-{}", one.what));
                tf("joints-out-of", &[("what", &what), ("part", &lowered(&name(book, &one.part)))])
            })
            .collect();
        out.push(tf("joints-must-out", &[("list", &list.join("; "))]));
    }
    let count: usize = seam.stitches.iter().map(Vec::len).sum();
    if count > 1 {
        out.push(tf("joints-stitches", &[("count", &count.to_string())]));
    }
    out
}

fn isolation(stock: &Stock, apart: &Apart) -> Vec<String> {
    let metals = |metal: model::terms::Metal| t(metal.key());
    let bonds = stock.adhesives.iter().any(|one| one.id == apart.barrier);
    let barrier = if bonds {
        tf("joints-barrier-adhesive", &[("adhesive", &apart.barrier.replace('-', " "))])
    } else if let Some((amount, unit)) = &apart.barrier_amount {
        let amount = [("what", &*apart.barrier.replace('-', " ")), ("amount", &number(*amount)), ("unit", unit)];
        tf("joints-barrier", &amount)
    } else {
        t("joints-no-barrier")
    };
    let mut out = vec![
        raised(&tf("joints-apart", &[("one", &metals(apart.metals.0)), ("other", &metals(apart.metals.1))])),
        barrier,
    ];
    if let Some((id, amount, unit)) = &apart.edge {
        let edge = [("what", &*id.replace('-', " ")), ("amount", &number(*amount)), ("unit", unit)];
        out.push(tf("joints-edges", &edge));
    }
    match apart.coated {
        Some(true) => out.push(t("joints-coated")),
        Some(false) => out.push(t("joints-bare")),
        None => {}
    }
    let key = if apart.index_tolerates { "joints-index-tolerates" } else { "joints-index-forbids" };
    out.push(tf(
        key,
        &[
            ("volts", &format!("{:.2}", apart.difference_v)),
            ("allowed", &format!("{:.2}", apart.environment.allowed_v())),
            ("environment", &t(apart.environment.key())),
        ],
    ));
    out
}

fn strength(found: &Screening) -> Vec<String> {
    let percent = |value: f64| format!("{:.0}", value * 100.0);
    let mut out = Vec::new();
    let ways = [("riveted", found.riveted), ("bonded", found.bonded), ("welded", found.welded)];
    for (way, carries) in ways {
        let Some(carries) = carries else { continue };
        out.push(tf(
            &format!("joints-strength-{way}"),
            &[
                ("shear", &percent(over(carries, found.panel).shear)),
                ("tension", &percent(over(carries, found.panel).tension)),
            ],
        ));
    }
    out.push(t(model::joints::strength::SCREENING_KEY));
    out
}

fn over(one: Carries, panel: Carries) -> Carries {
    Carries { shear: one.shear / panel.shear, tension: one.tension / panel.tension }
}

/// Fasteners, adhesive and weld in a line for a list on paper, in millimetres as the map is.
#[must_use]
pub fn short(plan: &JointPlan) -> String {
    let mut out = Vec::new();
    if let Some(used) = &plan.fastener {
        let fastener = fastener(used.kind, used.diameter_mm, false);
        let (count, hole) = (used.count.to_string(), fine(used.hole_mm, false));
        let key = if used.hole_mm > 0.0 { "joints-short-drilled" } else { "joints-short-pierced" };
        out.push(tf(key, &[("count", &count), ("fastener", &fastener), ("hole", &hole)]));
    }
    if let Some(bead) = &plan.adhesive {
        out.push(tf("joints-short-bead", &[("length", &fine(bead.length_mm, false))]));
    }
    if let Some(seam) = &plan.weld {
        out.push(tf("joints-short-weld", &[("length", &fine(seam.length_mm, false)), ("filler", seam.filler)]));
    }
    out.join(" ")
}
