//! The cut map of one part as an SVG file, with the `svg` crate: the same shapes as on screen, in black and white.
//!
//! Chosen lines are thick, permitted ones thin in their band, forbidden ones dashed with a cross; what goes is hatched.

use super::cuts::{CutMap, LineUse};
use crate::geometry::Point;
use crate::words::{Language, say, word};
use svg::Document;
use svg::node::element::{Definitions, Group, Line, Path, Pattern, Rectangle, Text, Title};

/// Dimensions drawn of one line.
const DIMENSIONS: usize = 3;

/// The cut map as the text of an SVG file at a scale of 1:10, with its lines in words below the part.
pub fn cut_sheet(map: &CutMap, title: &str) -> String {
    let edge = map.bounds.width().max(map.bounds.height()) * 0.12 + 60.0;
    let low = Point::new(map.bounds.low.a - edge, map.bounds.low.b - edge);
    let (width, high) = (map.bounds.width() + 2.0 * edge, map.bounds.height() + 2.0 * edge);
    // One size of everything that is not measured: a word, a stroke.
    let unit = width.max(high) / 700.0;
    let rows = map.lines.len();
    #[allow(clippy::cast_precision_loss)] // a part has few lines
    let height = high + (rows as f64 + 1.0) * 18.0 * unit;
    let hatch = 12.0 * unit;
    let pattern = Pattern::new().set("id", "goes").set("width", hatch).set("height", hatch);
    let stroke = Line::new().set("x1", 0).set("y1", hatch).set("x2", hatch).set("y2", 0);
    let pattern = pattern
        .set("patternUnits", "userSpaceOnUse")
        .add(stroke.set("stroke", "#000000").set("stroke-width", 1.5 * unit));
    let ground = Rectangle::new().set("x", low.a).set("y", low.b).set("width", width).set("height", height);
    let mut document = Document::new()
        .set("viewBox", (low.a, low.b, width, height))
        .set("width", format!("{:.1}mm", width / 10.0))
        .set("height", format!("{:.1}mm", height / 10.0))
        .set("role", "img")
        .set("font-family", "system-ui, sans-serif")
        .add(Title::new(title))
        .add(Definitions::new().add(pattern))
        .add(ground.set("fill", "#ffffff"));
    for cell in &map.cells {
        let fill = if cell.goes { "url(#goes)" } else { "#f1f3f4" };
        let piece = path(&cell.path, fill, "#000000", unit).set("data-cell", cell.cell.as_str());
        document = document.add(piece.set("data-goes", cell.goes.to_string()));
    }
    document = document.add(path(&map.features, "none", "#777777", 0.6 * unit));
    for zone in &map.zones {
        let dots = format!("{} {}", 2.0 * unit, 2.0 * unit);
        let area = path(&zone.path, "#ffffff", "#000000", 1.2 * unit).set("stroke-dasharray", dots);
        document = document.add(area.set("data-no-cut", zone.kind.word()));
    }
    document = document
        .add(path(&map.outline, "none", "#000000", 2.0 * unit))
        .add(path(&map.damage, "#00000033", "#000000", 2.5 * unit).set("data-damage", "true"));
    for line in &map.lines {
        let mut group = Group::new().set("data-cut", line.cut.as_str()).set("data-use", line.state.word());
        for band in line.bands.iter().filter(|_| line.state != LineUse::Forbidden) {
            group = group.add(path(band, "#00000018", "#555555", 0.6 * unit));
        }
        let (p, q) = line.ends;
        let mut over =
            path(&straight(p, q), "none", "#000000", unit * if line.state == LineUse::Chosen { 5.0 } else { 1.5 });
        if line.state == LineUse::Forbidden {
            over = over.set("stroke-dasharray", format!("{} {}", 7.0 * unit, 5.0 * unit));
            let (a, b, r) = (f64::midpoint(p.a, q.a), f64::midpoint(p.b, q.b), 7.0 * unit);
            let one = straight(Point::new(a - r, b - r), Point::new(a + r, b + r));
            let two = straight(Point::new(a - r, b + r), Point::new(a + r, b - r));
            group = group.add(path(&(one + &two), "none", "#000000", 2.0 * unit));
        }
        group = group.add(over);
        if line.state == LineUse::Chosen {
            for near in line.distances.iter().take(DIMENSIONS) {
                let middle = Point::new(f64::midpoint(near.from.a, near.to.a), f64::midpoint(near.from.b, near.to.b));
                group = group.add(path(&straight(near.from, near.to), "none", "#000000", unit)).add(text(
                    middle,
                    format!("{:.0}", near.mm),
                    unit,
                    "middle",
                ));
            }
        }
        document = document.add(group);
    }
    for zone in &map.zones {
        document = document.add(text(zone.middle, word(zone.kind.key()), 0.8 * unit, "middle"));
    }
    for (row, line) in map.lines.iter().enumerate() {
        let near: Vec<String> = line
            .distances
            .iter()
            .map(|one| {
                let distance = format!("{:.0} mm", one.mm);
                say(Language::English, "cutmap-near", &[("what", &one.what.words()), ("distance", &distance)])
            })
            .collect();
        let state = word(&format!("cutmap-line-{}", line.state.word()));
        #[allow(clippy::cast_precision_loss)]
        let at = Point::new(low.a + 20.0 * unit, low.b + high + (row as f64 + 0.5) * 18.0 * unit);
        document = document.add(text(at, format!("{}: {state} {}", line.name, near.join(", ")), unit, "start"));
    }
    let mut out = document.to_string();
    out.push('\n');
    out
}

fn straight(p: Point, q: Point) -> String {
    format!("M{:.1} {:.1}L{:.1} {:.1}", p.a, p.b, q.a, q.b)
}

fn path(d: &str, fill: &str, stroke: &str, width: f64) -> Path {
    Path::new()
        .set("d", d)
        .set("fill", fill)
        .set("fill-rule", "evenodd")
        .set("stroke", stroke)
        .set("stroke-width", width)
}

fn text(at: Point, words: String, unit: f64, anchor: &str) -> Text {
    Text::new(words)
        .set("x", at.a)
        .set("y", at.b)
        .set("text-anchor", anchor)
        .set("dominant-baseline", "central")
        .set("font-size", 12.0 * unit)
        .set("paint-order", "stroke")
        .set("stroke", "#ffffff")
        .set("stroke-width", 3.0 * unit)
        .set("fill", "#000000")
}
