//! The joint map as SVG at true size: one millimetre on the truck is one millimetre on paper.
//!
//! Each kind of fastener has a shape and a label of its own; colour says nothing by itself. Draws what
//! [`super::plan`] found and nothing else.

use super::layout::beside;
use super::place::slice;
use super::{JointPlan, What};
use crate::catalogue::{Book, Part};
use crate::geometry::{Area, Bounds, Line, Point};
use crate::ids::PartId;
use crate::terms::{JointKind, View};
use crate::words::{Language, say, word};
use svg::Document;
use svg::node::element::{Group, Path, Rectangle, Text, Title};

/// Room around each map, mm.
const MARGIN_MM: f64 = 25.0;
/// Room below each map for its scale bar, mm.
const BAR_MM: f64 = 20.0;

/// One map: a part in one view with its joints there.
pub struct Map<'p> {
    /// The part.
    pub part: &'p Part,
    /// The view.
    pub view: View,
    /// Its joints with their number on the map, from 1.
    pub joints: Vec<(usize, &'p JointPlan)>,
}

/// The maps of a job's picked joints, or only those of one part: a map for each part and view, in the order of the plans.
pub fn maps<'p>(book: &'p Book, plans: &'p [JointPlan], only: Option<&PartId>) -> Vec<Map<'p>> {
    let mut out: Vec<Map<'p>> = Vec::new();
    let shown = plans.iter().filter(|plan| plan.picked && only.is_none_or(|part| *part == plan.part));
    for plan in shown {
        let (Some(lies), Some(part)) = (&plan.lies, book.part(&plan.part)) else { continue };
        match out.iter_mut().find(|map| map.part.id == part.id && map.view == lies.view) {
            Some(map) => {
                let number = map.joints.len() + 1;
                map.joints.push((number, plan));
            }
            None => out.push(Map { part, view: lies.view, joints: vec![(1, plan)] }),
        }
    }
    out
}

/// All maps of a job below each other, as the text of an SVG file in true millimetres, each with a 100 mm scale bar.
pub fn to_svg(book: &Book, plans: &[JointPlan], only: Option<&PartId>, title: &str) -> String {
    let maps = maps(book, plans, only);
    let (mut top, mut width) = (0.0, 200.0_f64);
    let mut groups = Vec::new();
    for map in &maps {
        let bounds = bounds(map);
        let move_by = (MARGIN_MM - bounds.low.a, top + MARGIN_MM + 10.0 - bounds.low.b);
        groups.push(draw(map, &bounds).set("transform", format!("translate({:.1} {:.1})", move_by.0, move_by.1)));
        width = width.max(bounds.width() + 2.0 * MARGIN_MM);
        top += bounds.height() + 2.0 * MARGIN_MM + 10.0 + BAR_MM;
    }
    let height = top.max(60.0);
    let ground = Rectangle::new().set("width", width).set("height", height).set("fill", "#ffffff");
    let mut document = Document::new()
        .set("viewBox", (0, 0, width, height))
        .set("width", format!("{width:.1}mm"))
        .set("height", format!("{height:.1}mm"))
        .set("role", "img")
        .set("font-family", "system-ui, sans-serif")
        .add(Title::new(title))
        .add(ground);
    if maps.is_empty() {
        document = document.add(label(word("joint-map-empty"), Point::new(10.0, 20.0), 6.0, "start"));
    }
    for group in groups {
        document = document.add(group);
    }
    document.to_string() + "\n"
}

/// What the map covers on the screen: the part and its joints.
pub fn bounds(map: &Map<'_>) -> Bounds {
    let screen = |point: Point| map.view.to_screen(point);
    let outline = map.part.shapes.get(&map.view).map(|area| {
        let bounds = area.bounds();
        [screen(bounds.low), screen(bounds.high)]
    });
    let joints = map.joints.iter().filter_map(|(_, plan)| plan.lies.as_ref());
    let mut points = joints.flat_map(|lies| lies.runs.iter()).flat_map(|run| run.points.iter().map(|p| screen(*p)));
    let first = points.next().unwrap_or_default();
    let all = points
        .chain(outline.into_iter().flatten())
        .fold(Bounds { low: first, high: first }, |all, point| all.join(&Bounds { low: point, high: point }));
    Bounds {
        low: Point::new(all.low.a - 10.0, all.low.b - 10.0),
        high: Point::new(all.high.a + 10.0, all.high.b + 10.0),
    }
}

/// The zone to each side of a weld that heat softens: nothing that heat harms may lie in it.
pub fn heat_zones(plan: &JointPlan) -> Vec<Area> {
    let (Some(seam), Some(lies)) = (&plan.weld, &plan.lies) else { return Vec::new() };
    lies.runs.iter().filter_map(|run| Area::stroke(&run.points, 2.0 * seam.haz_mm)).collect()
}

fn draw(map: &Map<'_>, bounds: &Bounds) -> Group {
    let screen = |point: Point| map.view.to_screen(point);
    let name =
        say(Language::English, "joint-map-title", &[("part", &map.part.name()), ("view", &word(map.view.key()))]);
    let mut group = Group::new().set("data-part", map.part.id.as_str()).set("data-view", map.view.word()).add(label(
        name,
        Point::new(bounds.low.a, bounds.low.b - 6.0),
        6.0,
        "start",
    ));
    if let Some(area) = map.part.shapes.get(&map.view) {
        group = group.add(path(&area.path(screen), "#f3f5f6", "#1a1a1a", 0.5));
    }
    for line in map.part.lines.get(&map.view).into_iter().flatten() {
        group = group.add(path(&line.path(screen), "none", "#8a9196", 0.3));
    }
    for (number, plan) in &map.joints {
        group = group.add(joint(*number, plan, &screen));
    }
    group.add(scale_bar(Point::new(bounds.low.a, bounds.high.b + 10.0)))
}

fn joint(number: usize, plan: &JointPlan, screen: &impl Fn(Point) -> Point) -> Group {
    let mut group = Group::new().set("data-joint", plan.id.as_str()).add(Title::new(plan.id.clone()));
    for zone in heat_zones(plan) {
        let outline = path(&zone.path(screen), "none", "#000000", 0.4).set("stroke-dasharray", "1.5 1.5");
        group = group.add(outline.set("data-heat", plan.id.as_str()));
    }
    let Some(lies) = &plan.lies else { return group };
    for (at, run) in lies.runs.iter().enumerate() {
        let line = Line::new(run.points.clone());
        let cut = !matches!(plan.what, What::Factory(_));
        let dash = if cut { "8 2 1.5 2" } else { "none" };
        group = group.add(path(&line.path(screen), "none", "#000000", 0.5).set("stroke-dasharray", dash));
        if plan.adhesive.is_some() {
            // Where the bead runs: a wavy look by dots beside the row of fasteners.
            let inset = run.inside * plan.width_mm / 4.0;
            let bead: Vec<Point> = ends(&run.points, inset);
            let bead = path(&Line::new(bead).path(screen), "none", "#5a4a00", 1.2);
            group = group.add(bead.set("stroke-dasharray", "0.1 2.4").set("stroke-linecap", "round"));
        }
        if let Some(stitches) = plan.weld.as_ref().and_then(|seam| seam.stitches.get(at)) {
            for stitch in stitches {
                let (low, high) = (stitch.from_mm.min(stitch.to_mm), stitch.from_mm.max(stitch.to_mm));
                let points = slice(&run.points, low / lies.stretch + 1.0, high / lies.stretch - 1.0);
                let middle = slice(&run.points, f64::midpoint(low, high) / lies.stretch, high / lies.stretch)[0];
                let at = screen(middle);
                group = group.add(path(&Line::new(points).path(screen), "none", "#000000", 1.6)).add(label(
                    format!("{number}.{}", stitch.order),
                    Point::new(at.a + 2.5, at.b - 1.5),
                    3.0,
                    "start",
                ));
            }
        }
    }
    if let Some(used) = &plan.fastener {
        for placed in &plan.fasteners {
            let at = screen(placed.point);
            let named = say(
                Language::English,
                if used.hole_mm > 0.0 { "joint-map-drilled" } else { "joint-map-pierced" },
                &[
                    ("number", &format!("{number}.{}", placed.number)),
                    ("kind", &word(&format!("fastener-{}", used.kind))),
                    ("hole", &format!("{:.1}", used.hole_mm)),
                    ("edge", &format!("{:.0}", placed.edge_mm)),
                    ("pitch", &format!("{:.0}", placed.pitch_mm)),
                ],
            );
            let mark = path(&mark(used.kind, at, used.diameter_mm / 2.0), "#ffffff", "#000000", 0.5)
                .set("data-fastener", used.kind.word());
            group = group.add(Group::new().add(Title::new(named)).add(mark));
            group = group.add(label(
                format!("{}{number}.{}", letter(used.kind), placed.number),
                Point::new(at.a + used.diameter_mm / 2.0 + 1.0, at.b - 1.0),
                3.0,
                "start",
            ));
        }
    }
    group
}

/// A line moved to its left.
fn ends(points: &[Point], left: f64) -> Vec<Point> {
    let mut along = 0.0;
    let mut out = Vec::with_capacity(points.len());
    for pair in points.windows(2) {
        if out.is_empty() {
            out.push(beside(pair, 0.0, left));
        }
        along += pair[0].distance(pair[1]);
        out.push(beside(points, along, left));
    }
    out
}

/// The first letter of a fastener's mark: pierced, blind, solid, bolt.
pub fn letter(kind: JointKind) -> &'static str {
    match kind {
        JointKind::SelfPiercingRivet => "P",
        JointKind::StructuralBlindRivet => "B",
        JointKind::SolidRivet => "S",
        _ => "T",
    }
}

/// The shape of a fastener's mark as an SVG path: pierced a circle with a cross, blind a triangle, solid a square, bolt a
/// hexagon; no two alike in outline.
pub fn mark(kind: JointKind, at: Point, radius: f64) -> String {
    let (x, y, r) = (at.a, at.b, radius);
    let ring = |count: u8, turn: f64| {
        let corner = |n: u8| {
            let (sin, cos) = (f64::from(n) * std::f64::consts::TAU / f64::from(count) + turn).sin_cos();
            format!("{}{:.2} {:.2}", if n == 0 { 'M' } else { 'L' }, x + r * cos, y + r * sin)
        };
        (0..count).map(corner).collect::<String>() + "Z"
    };
    match kind {
        JointKind::SelfPiercingRivet => format!(
            "M{:.2} {y:.2}A{r:.2} {r:.2} 0 1 0 {:.2} {y:.2}A{r:.2} {r:.2} 0 1 0 {:.2} {y:.2}ZM{:.2} {y:.2}H{:.2}M{x:.2} {:.2}V{:.2}",
            x - r,
            x + r,
            x - r,
            x - r,
            x + r,
            y - r,
            y + r
        ),
        JointKind::StructuralBlindRivet => ring(3, -std::f64::consts::FRAC_PI_2),
        JointKind::SolidRivet => ring(4, std::f64::consts::FRAC_PI_4),
        _ => ring(6, 0.0),
    }
}

fn scale_bar(at: Point) -> Group {
    let (x, y) = (at.a, at.b);
    let bar = format!(
        "M{x:.1} {y:.1}H{:.1}M{x:.1} {:.1}V{:.1}M{:.1} {:.1}V{:.1}",
        x + 100.0,
        y - 2.0,
        y + 2.0,
        x + 100.0,
        y - 2.0,
        y + 2.0
    );
    Group::new().set("data-scale", "100").add(path(&bar, "none", "#000000", 0.5)).add(label(
        word("joint-map-scale"),
        Point::new(x + 50.0, y + 6.0),
        4.0,
        "middle",
    ))
}

fn path(d: &str, fill: &'static str, stroke: &'static str, width: f64) -> Path {
    Path::new().set("d", d).set("fill", fill).set("stroke", stroke).set("stroke-width", width)
}

fn label(text: String, at: Point, size: f64, anchor: &'static str) -> Text {
    Text::new(text)
        .set("x", format!("{:.1}", at.a))
        .set("y", format!("{:.1}", at.b))
        .set("font-size", size)
        .set("text-anchor", anchor)
}
