//! A drawing as an SVG file, with the `svg` crate: the same paths as on screen, the state of each part as hatch, line
//! style and word, so that it reads in black and white.

use super::{Look, Overlay, Scene};
use crate::terms::Action;
use crate::words::word;
use svg::Document;
use svg::node::element::{Definitions, Group, Line, Path, Pattern, Rectangle, Text, Title};

/// Room around the drawing, mm.
const MARGIN_MM: f64 = 120.0;
/// Scale of the file when printed: one to this.
const SCALE: f64 = 20.0;
/// Distance between hatch lines, mm on the truck.
const HATCH_MM: f64 = 44.0;

/// What the file is drawn with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SvgLook {
    /// Ink on a white ground with soft fills, for screen and colour print.
    Tinted,
    /// Outlines only, for copying and black-and-white print.
    Line,
}

/// The drawing as the text of an SVG file at a scale of 1:20.
pub fn to_svg(scene: &Scene, overlay: &Overlay, title: &str, look: SvgLook) -> String {
    let (low, width, height) =
        (scene.bounds.low, scene.bounds.width() + 2.0 * MARGIN_MM, scene.bounds.height() + 2.0 * MARGIN_MM);
    let mut document = Document::new()
        .set("viewBox", (low.a - MARGIN_MM, low.b - MARGIN_MM, width, height))
        .set("width", format!("{:.1}mm", width / SCALE))
        .set("height", format!("{:.1}mm", height / SCALE))
        .set("role", "img")
        .add(Title::new(title))
        .add(hatches())
        .add(
            Rectangle::new()
                .set("x", low.a - MARGIN_MM)
                .set("y", low.b - MARGIN_MM)
                .set("width", width)
                .set("height", height)
                .set("fill", "#ffffff"),
        );
    for panel in &scene.panels {
        let mut group = Group::new().set("data-view", panel.view.word()).set("stroke-linejoin", "round");
        for path in &panel.ghost {
            group = group.add(outline(path, "none", "#c4c9cc", 3.0));
        }
        for item in &panel.items {
            let fill = if look == SvgLook::Line { "#ffffff" } else { tint(item.look) };
            let mut part = Group::new()
                .set("data-part", item.part.as_str())
                .add(Title::new(item.name.clone()))
                .add(outline(&item.path, fill, "#1a1a1a", 6.0));
            if !item.lines.is_empty() {
                part = part.add(outline(&item.lines, "none", "#4d5357", 4.0));
            }
            if !item.details.is_empty() {
                part = part.add(outline(&item.details, "none", "#6b7276", 3.0));
            }
            group = group.add(part);
        }
        document = document.add(group);
    }
    for part in &overlay.parts {
        let mut path = outline(&part.path, &format!("url(#{})", part.action.word()), "#000000", 12.0);
        if part.action == Action::Refer {
            path = path.set("stroke-dasharray", "48 28");
        }
        document = document.add(path.set("data-action", part.action.word()));
        if !part.cuts.is_empty() {
            document =
                document.add(outline(&part.cuts, "none", "#000000", 16.0).set("stroke-dasharray", "90 24 16 24"));
        }
    }
    for mark in &overlay.marks {
        document = document
            .add(outline(&mark.path, "none", "#ffffff", 22.0))
            .add(outline(&mark.path, "none", "#000000", 10.0).set("data-mark", mark.mark.as_str()));
    }
    for part in &overlay.parts {
        let text = word(part.action.key());
        document = document.add(
            Text::new(text)
                .set("x", part.label.a)
                .set("y", part.label.b)
                .set("text-anchor", "middle")
                .set("font-family", "system-ui, sans-serif")
                .set("font-size", 84)
                .set("font-weight", 600)
                .set("paint-order", "stroke")
                .set("stroke", "#ffffff")
                .set("stroke-width", 22)
                .set("fill", "#000000"),
        );
    }
    let mut out = document.to_string();
    out.push('\n');
    out
}

fn outline(path: &str, fill: &str, stroke: &str, width: f64) -> Path {
    Path::new()
        .set("d", path)
        .set("fill", fill.to_owned())
        .set("fill-rule", "evenodd")
        .set("stroke", stroke)
        .set("stroke-width", width)
}

fn tint(look: Look) -> &'static str {
    match look {
        Look::Painted => "#eef1f3",
        Look::Glass => "#dbe7ec",
        Look::Lamp => "#f6f1dc",
        Look::Plastic => "#d9dcde",
        Look::Rubber => "#b9bdc0",
        Look::Aluminium => "#e6ebee",
        Look::Steel => "#d4d0cb",
        Look::StrongSteel => "#bdb7b0",
        Look::Magnesium => "#e9e3ee",
    }
}

/// One hatch an action: leave none, refinish level lines, repair dots, section slanted lines, replace crossed lines,
/// refer none (its outline is dashed).
fn hatches() -> Definitions {
    let pattern = |action: Action| {
        Pattern::new()
            .set("id", action.word())
            .set("width", HATCH_MM)
            .set("height", HATCH_MM)
            .set("patternUnits", "userSpaceOnUse")
    };
    let stroke = |x1: f64, y1: f64, x2: f64, y2: f64| {
        Line::new()
            .set("x1", x1)
            .set("y1", y1)
            .set("x2", x2)
            .set("y2", y2)
            .set("stroke", "#000000")
            .set("stroke-width", 5)
    };
    let dot = svg::node::element::Circle::new().set("cx", HATCH_MM / 2.0).set("cy", HATCH_MM / 2.0).set("r", 6);
    Definitions::new()
        .add(pattern(Action::Leave))
        .add(pattern(Action::Refinish).add(stroke(0.0, HATCH_MM / 2.0, HATCH_MM, HATCH_MM / 2.0)))
        .add(pattern(Action::Repair).add(dot))
        .add(pattern(Action::Section).set("patternTransform", "rotate(45)").add(stroke(0.0, 0.0, 0.0, HATCH_MM)))
        .add(
            pattern(Action::Replace)
                .set("patternTransform", "rotate(45)")
                .add(stroke(0.0, 0.0, 0.0, HATCH_MM))
                .add(stroke(0.0, 0.0, HATCH_MM, 0.0)),
        )
        .add(pattern(Action::Refer))
}
