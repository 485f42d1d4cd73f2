//! What the whole job takes: fasteners, adhesive, wire, isolation and coats, each line with where it is used; and CSV.
//!
//! Adds up what joint plans and operations hold. It knows no price.

use super::{JointPlan, Stock, paint};
use crate::ids::PartId;
use crate::operations::Operation;
use crate::terms::Work;
use std::collections::BTreeMap;
use std::fmt::Write as _;

/// One coat on one part.
#[derive(Clone, Debug, PartialEq)]
pub struct Refinish {
    /// The part.
    pub part: PartId,
    /// The work that it belongs to.
    pub work: Work,
    /// The coat's id in the shop's list.
    pub coat: String,
    /// Area, m².
    pub area_m2: f64,
    /// Dry film, µm.
    pub film_um: f64,
    /// Volume for this part alone, ml; the least mix counts once for a coat in [`materials`].
    pub mixed_ml: f64,
    /// Solvent content, g/l.
    pub solvent_g_l: f64,
    /// Its limit in the shop's jurisdiction; `None` where none is chosen.
    pub limit_g_l: Option<f64>,
}

impl Refinish {
    /// Whether the solvent content is within the limit; `None` without one.
    pub fn within(&self) -> Option<bool> {
        self.limit_g_l.map(|limit| self.solvent_g_l <= limit)
    }
}

/// One line of the materials list.
#[derive(Clone, Debug, PartialEq)]
pub struct Material {
    /// Id in the shop's list.
    pub id: String,
    /// What it is: `fastener`, `adhesive`, `filler`, `isolation`, `coat`.
    pub kind: &'static str,
    /// How much the job takes.
    pub amount: f64,
    /// Unit: `pieces`, `ml`, `m`, `g`.
    pub unit: String,
    /// Whole packs where it comes in packs: cartridges or spools.
    pub packs: Option<u32>,
    /// Spare pieces on top, of fasteners.
    pub spares: u32,
    /// Where it is used: id of the joint, or part and work, with the amount.
    pub uses: Vec<(String, f64)>,
}

/// Every coat of every operation that asks for one, in the order of the operations.
pub fn refinish(stock: &Stock, operations: &[Operation]) -> Vec<Refinish> {
    let mut out = Vec::new();
    for operation in operations {
        let Some(part) = &operation.part else { continue };
        for coat in stock.coats.iter().filter(|coat| coat.on == operation.work.word()) {
            let area_m2 = operation.amount.area_mm2 / 1e6;
            out.push(Refinish {
                part: part.clone(),
                work: operation.work,
                coat: coat.id.clone(),
                area_m2,
                film_um: coat.film_um,
                mixed_ml: paint::mixed_ml(area_m2, coat.volume_solids, coat.film_um, coat.transfer, 0.0),
                solvent_g_l: coat.solvent_g_l,
                limit_g_l: paint::limit_g_l(&stock.jurisdiction, &coat.category),
            });
        }
    }
    out
}

/// The materials of the picked joints and the coats, sorted by kind and id.
pub fn materials(stock: &Stock, plans: &[JointPlan], coats: &[Refinish]) -> Vec<Material> {
    let mut lines: BTreeMap<(&'static str, String), Material> = BTreeMap::new();
    let mut add = |kind: &'static str, id: &str, unit: &str, amount: f64, at: String| {
        if amount <= 0.0 {
            return;
        }
        let line = lines.entry((kind, id.to_owned())).or_insert_with(|| Material {
            id: id.to_owned(),
            kind,
            amount: 0.0,
            unit: unit.to_owned(),
            packs: None,
            spares: 0,
            uses: Vec::new(),
        });
        line.amount += amount;
        line.uses.push((at, amount));
    };
    for plan in plans.iter().filter(|plan| plan.picked) {
        if let Some(used) = &plan.fastener {
            #[allow(clippy::cast_precision_loss)] // counts of fasteners
            add("fastener", &used.id, "pieces", used.count as f64, plan.id.clone());
        }
        if let Some(bead) = &plan.adhesive {
            add("adhesive", &bead.id, "ml", bead.volume_ml, plan.id.clone());
        }
        if let Some(seam) = &plan.weld {
            let filler = stock.fillers.iter().find(|one| one.filler == seam.filler);
            add("filler", filler.map_or(seam.filler, |one| &one.id), "g", seam.wire_g, plan.id.clone());
        }
        if let Some(apart) = &plan.isolation {
            if let Some((amount, unit)) = &apart.barrier_amount {
                add("isolation", &apart.barrier, unit, *amount, plan.id.clone());
            }
            if let Some((id, amount, unit)) = &apart.edge {
                add("isolation", id, unit, *amount, plan.id.clone());
            }
        }
    }
    for coat in coats {
        add("coat", &coat.coat, "ml", coat.mixed_ml, format!("{}/{}", coat.part, coat.work));
    }
    let mut out: Vec<Material> = lines.into_values().collect();
    for line in &mut out {
        let packs = |size: f64| Some(count((line.amount / size - 1e-9).ceil()));
        match line.kind {
            "fastener" => line.spares = count((line.amount * stock.spares_percent / 100.0).ceil()),
            "adhesive" => {
                let item = stock.adhesives.iter().find(|one| one.id == line.id);
                line.packs = item.and_then(|one| packs(one.cartridge_ml));
            }
            "filler" => {
                let item = stock.fillers.iter().find(|one| one.id == line.id);
                line.packs = item.and_then(|one| packs(one.spool_g));
            }
            // What can be mixed at least counts once for the job.
            "coat" => {
                let least = stock.coats.iter().find(|one| one.id == line.id).map_or(0.0, |one| one.least_ml);
                line.amount = line.amount.max(least);
            }
            _ => {}
        }
    }
    out
}

fn count(value: f64) -> u32 {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // bounded
    let count = value.clamp(0.0, 1e6) as u32;
    count
}

/// The list as CSV (RFC 4180) with a header row: kind, id, amount, unit, spares, packs, used at.
pub fn to_csv(materials: &[Material]) -> String {
    let mut out = String::from("kind,id,amount,unit,spares,packs,used_at\r\n");
    for line in materials {
        let places: Vec<String> = line.uses.iter().map(|(at, amount)| format!("{at} {amount:.1}")).collect();
        let packs = line.packs.map_or_else(String::new, |packs| packs.to_string());
        let id = quoted(&line.id);
        let used = quoted(&places.join("; "));
        let _ = write!(out, "{},{id},{:.1},{},{},{packs},{used}\r\n", line.kind, line.amount, line.unit, line.spares);
    }
    out
}

/// The coats as CSV (RFC 4180) with a header row; an empty limit where none is chosen.
pub fn refinish_csv(coats: &[Refinish]) -> String {
    let mut out = String::from("part,work,coat,area_m2,film_um,mixed_ml,solvent_g_l,limit_g_l,within_limit\r\n");
    for one in coats {
        let limit = one.limit_g_l.map_or_else(String::new, |limit| format!("{limit}"));
        let within = one.within().map_or("", |within| if within { "yes" } else { "no" });
        let (part, coat) = (quoted(one.part.as_str()), quoted(&one.coat));
        let _ = write!(
            out,
            "{part},{},{coat},{:.3},{},{:.1},{},{limit},{within}\r\n",
            one.work, one.area_m2, one.film_um, one.mixed_ml, one.solvent_g_l
        );
    }
    out
}

/// A cell in quotes where it needs them; a cell that a spreadsheet would take for a formula gets an apostrophe.
fn quoted(cell: &str) -> String {
    let cell = if cell.starts_with(['=', '+', '-', '@']) { format!("'{cell}") } else { cell.to_owned() };
    if cell.contains([',', '"', '\r', '\n', ';']) { format!("\"{}\"", cell.replace('"', "\"\"")) } else { cell }
}
