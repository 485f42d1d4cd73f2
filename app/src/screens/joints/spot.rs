//! What there is to know about one fastener or one stitch: kind, size, hole, grip, edge, pitch, row, number.
//!
//! Shows the model's figures for the spot that is selected on the map; selects nothing itself.

use super::said::{fastener, fine};
use super::{Bench, Built};
use crate::widgets::Icon;
use crate::words::{lowered, t, tf};
use leptos::prelude::*;
use model::ids::PartId;
use model::joints::JointPlan;
use model::joints::draw::{Spot, numbered};

/// The sheet of a spot.
#[component]
pub fn Sheet(
    /// The part of the map.
    part: PartId,
    /// What is selected.
    spot: Spot,
    /// Told how many further in the order of work.
    #[prop(into)]
    on_step: Callback<isize>,
    /// Told that it is to be closed.
    #[prop(into)]
    on_close: Callback<()>,
) -> impl IntoView {
    let bench = Bench::get();
    let imperial = bench.imperial();
    let rows = bench.with(|built| {
        let plan = numbered(&built.joints).find(|(number, plan)| plan.part == part && *number == spot.joint);
        plan.map(|(_, plan)| rows(built, plan, &spot, imperial)).unwrap_or_default()
    });
    let row = |(key, text): (&'static str, String)| view! { <div data-row=key><dt>{t(key)}</dt><dd>{text}</dd></div> };
    view! {
        <aside class="joints-spot" data-spot=spot.label.clone() aria-label=tf("joints-spot", &[("label", &spot.label)])>
            <header>
                <h3>{spot.label.clone()}</h3>
                <button type="button" class="key" data-act="before" aria-label=t("joints-before") on:click=move |_| on_step.run(-1)>
                    <Icon name="back" />
                </button>
                <button type="button" class="key" data-act="after" aria-label=t("joints-after") on:click=move |_| on_step.run(1)>
                    <Icon name="open" />
                </button>
                <button type="button" class="key" data-act="close-spot" aria-label=t("joints-close") on:click=move |_| on_close.run(())>
                    <Icon name="close" />
                </button>
            </header>
            <dl>{rows.unwrap_or_default().into_iter().map(row).collect_view()}</dl>
        </aside>
    }
}

fn rows(built: &Built, plan: &JointPlan, spot: &Spot, imperial: bool) -> Vec<(&'static str, String)> {
    let length = |mm: f64| fine(mm, imperial);
    let mut out = Vec::new();
    let heading = super::said::heading(built.book, plan);
    let order =
        [("number", &*spot.number.to_string()), ("joint", &spot.joint.to_string()), ("what", &*lowered(&heading))];
    if spot.stitch {
        let Some(seam) = &plan.weld else { return out };
        let mut before = 0;
        let found = seam.stitches.iter().find_map(|line| {
            let one = line.iter().find(|stitch| stitch.order + before == spot.number);
            before += u32::try_from(line.len()).unwrap_or(0);
            one
        });
        out.push(("joints-spot-kind", t("joints-spot-stitch")));
        out.push(("joints-spot-number", tf("joints-spot-order", &order)));
        if let Some(stitch) = found {
            let (from, to) = (length(stitch.from_mm), length(stitch.to_mm));
            out.push(("joints-spot-length", length((stitch.to_mm - stitch.from_mm).abs())));
            out.push(("joints-spot-runs", tf("joints-spot-from", &[("from", &from), ("to", &to)])));
        }
        out.push(("joints-spot-filler", seam.filler.to_owned()));
        out.push(("joints-spot-softened", length(seam.haz_mm)));
        return out;
    }
    let (Some(used), Some(placed)) =
        (&plan.fastener, plan.fasteners.iter().find(|placed| placed.number == spot.number))
    else {
        return out;
    };
    let hole = if used.hole_mm > 0.0 { length(used.hole_mm) } else { t("joints-spot-pierces") };
    let range = [
        ("grip", &*length(used.grip_mm)),
        ("low", &length(used.grip_range_mm.0)),
        ("high", &length(used.grip_range_mm.1)),
    ];
    let pitch = if placed.pitch_mm > 0.0 { length(placed.pitch_mm) } else { t("joints-spot-alone") };
    out.extend([
        ("joints-spot-kind", fastener(used.kind, used.diameter_mm, imperial)),
        ("joints-spot-number", tf("joints-spot-order", &order)),
        ("joints-spot-hole", hole),
        ("joints-spot-grip", tf("joints-spot-range", &range)),
        ("joints-spot-edge", least(length(placed.edge_mm), length(used.keep.edge_mm))),
        ("joints-spot-pitch", least(pitch, length(used.keep.pitch_mm))),
        ("joints-spot-row", (placed.row + 1).to_string()),
    ]);
    out
}

/// A distance with the least that is permitted.
fn least(found: String, least: String) -> String {
    tf("joints-spot-least", &[("found", &found), ("least", &least)])
}
