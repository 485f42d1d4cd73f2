//! Writes a joint map down as SVG: the inside of a drawing for the screen, or a whole file in true millimetres.
//!
//! Every element carries a class, which a style sheet may dress, and the plain look of black on white for paper. Never
//! decides what is drawn: that is [`super::draw`].

use super::JointPlan;
use super::draw::{Drawing, Ink, Look, drawing, maps, mark};
use crate::catalogue::Book;
use crate::geometry::{Bounds, Point};
use crate::ids::PartId;
use crate::terms::JointKind;
use crate::words::word;
use std::fmt::Write as _;

/// Room around each map, mm.
const MARGIN_MM: f64 = 25.0;
/// Room below each map for its scale bar, mm.
const BAR_MM: f64 = 20.0;

/// Class, line width over the thinnest, fill, colour of the line, and dashes in line widths.
type Dress = (&'static str, f64, &'static str, &'static str, &'static [f64]);

fn dress(look: Look) -> Dress {
    match look {
        Look::Part => ("jm-part", 1.6, "#f3f5f6", "#1a1a1a", &[]),
        Look::Bend => ("jm-bend", 1.0, "none", "#7a8288", &[]),
        Look::Bonded => ("jm-bonded", 0.8, "none", "#5c6670", &[1.0, 3.0]),
        Look::Heated => ("jm-heated", 1.6, "none", "#000000", &[5.0, 4.0]),
        Look::Hatch => ("jm-hatch", 0.6, "none", "#5c6670", &[]),
        Look::Factory => ("jm-factory", 1.8, "none", "#000000", &[]),
        Look::Cut => ("jm-cut", 2.4, "none", "#000000", &[16.0, 4.0, 3.0, 4.0]),
        Look::Bead => ("jm-bead", 4.0, "none", "#5a4a00", &[0.1, 2.0]),
        Look::Stitch => ("jm-stitch", 5.0, "none", "#000000", &[]),
        Look::Fastener => ("jm-mark", 1.7, "#ffffff", "#000000", &[]),
    }
}

/// The shapes and words of a drawing as SVG elements; of a window, only what reaches into it. Fasteners and stitches
/// carry `data-spot`, their place in [`Drawing::spots`].
pub fn inside(drawing: &Drawing, window: Option<&Bounds>) -> String {
    let ink = drawing.ink;
    let shows = |bounds: &Bounds| window.is_none_or(|window| window.near(bounds, 2.0 * ink.text_mm));
    let mut out = String::new();
    for shape in drawing.shapes.iter().filter(|shape| shows(&shape.bounds)) {
        let (class, width, fill, stroke, dashes) = dress(shape.look);
        let width = width * ink.line_mm;
        let _ = write!(out, "<path class=\"{class}\" d=\"{}\" fill=\"{fill}\" stroke=\"{stroke}\"", shape.path);
        let _ = write!(out, " stroke-width=\"{width:.3}\"");
        if shape.look == Look::Part {
            out.push_str(" fill-rule=\"evenodd\"");
        }
        if !dashes.is_empty() {
            let dashes: Vec<String> = dashes.iter().map(|dash| format!("{:.2}", dash * width)).collect();
            let _ = write!(out, " stroke-dasharray=\"{}\"", dashes.join(" "));
        }
        if shape.look == Look::Bead {
            out.push_str(" stroke-linecap=\"round\"");
        }
        if let Some(spot) = shape.spot {
            let _ = write!(out, " data-spot=\"{spot}\"");
        }
        if !shape.kind.is_empty() {
            let _ = write!(out, " data-fastener=\"{}\"", shape.kind);
        }
        if shape.joint > 0 {
            let _ = write!(out, " data-joint=\"{}\"", shape.joint);
        }
        out.push_str("/>");
    }
    let mut words = String::new();
    for label in &drawing.labels {
        let size = label.size * ink.text_mm;
        #[allow(clippy::cast_precision_loss)] // a word has few letters
        let reach = label.text.len() as f64 * size;
        let covers = Bounds {
            low: Point::new(label.at.a - reach, label.at.b - size),
            high: Point::new(label.at.a + reach, label.at.b + size),
        };
        if !shows(&covers) {
            continue;
        }
        if label.names {
            let (x, y, r) = (label.at.a, label.at.b, 1.1 * ink.text_mm);
            let line = 1.7 * ink.line_mm;
            let _ = write!(
                out,
                "<circle class=\"jm-badge\" cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"{r:.2}\" fill=\"#ffffff\" \
                 stroke=\"#000000\" stroke-width=\"{line:.3}\"/>"
            );
            out.push_str(&text(&label.text, Point::new(x, y + 0.35 * size), size, "middle", "jm-name"));
        } else {
            words.push_str(&text(&label.text, label.at, size, "start", "jm-label"));
        }
    }
    if !words.is_empty() {
        out.push_str(&haloed(&words, ink.text_mm));
    }
    out
}

/// Words of that size with a white edge, so that lines and hatch under them end before they begin.
pub fn haloed(words: &str, size: f64) -> String {
    format!(
        "<g paint-order=\"stroke\" stroke=\"#ffffff\" stroke-width=\"{:.3}\" stroke-linejoin=\"round\">{words}</g>",
        0.3 * size
    )
}

/// One shape of a map alone, for a legend: 28 wide and 16 high. Knows the class of every shape but the part's, and every kind of
/// fastener; nothing for another word.
pub fn sample(what: &str) -> String {
    if let Some(kind) = JointKind::from_word(what) {
        let d = mark(kind, Point::new(14.0, 8.0), 6.0);
        return format!("<path class=\"jm-mark\" d=\"{d}\" fill=\"#ffffff\" stroke=\"#000000\" stroke-width=\"1.7\"/>");
    }
    let looks = [Look::Factory, Look::Cut, Look::Bead, Look::Stitch, Look::Bonded, Look::Heated];
    let Some(look) = looks.into_iter().find(|look| dress(*look).0 == what) else { return String::new() };
    let (class, width, fill, stroke, dashes) = dress(look);
    let zone = matches!(look, Look::Bonded | Look::Heated);
    let d = if zone { "M1 1H27V15H1Z" } else { "M1 8H27" };
    let dashes: Vec<String> = dashes.iter().map(|dash| format!("{:.2}", dash * width * 0.35)).collect();
    let cap = if look == Look::Bead { "round" } else { "butt" };
    let mut out = format!(
        "<path stroke-linecap=\"{cap}\" class=\"{class}\" d=\"{d}\" fill=\"{fill}\" stroke=\"{stroke}\" stroke-width=\"{width}\" \
         stroke-dasharray=\"{}\"/>",
        if dashes.is_empty() { "none".to_owned() } else { dashes.join(" ") }
    );
    if zone {
        let lines = if look == Look::Bonded {
            "M1 8L8 1M1 15L15 1M8 15L22 1M15 15L27 3M22 15L27 10"
        } else {
            "M1 8L8 15M1 1L15 15M8 1L22 15M15 1L27 13M22 1L27 6"
        };
        let _ = write!(
            out,
            "<path class=\"jm-hatch\" d=\"{lines}\" fill=\"none\" stroke=\"#5c6670\" stroke-width=\"0.8\"/>"
        );
    }
    out
}

/// All maps of a job below each other, as the text of an SVG file in true millimetres, each with a 100 mm scale bar.
pub fn to_svg(book: &Book, plans: &[JointPlan], only: Option<&PartId>, title: &str) -> String {
    let (mut top, mut width) = (0.0, 200.0_f64);
    let mut body = String::new();
    for map in maps(book, plans, only) {
        let map = drawing(&map, Ink::TRUE);
        let bounds = map.bounds;
        let (x, y) = (MARGIN_MM - bounds.low.a, top + MARGIN_MM + 10.0 - bounds.low.b);
        let _ = write!(
            body,
            "<g data-part=\"{}\" data-view=\"{}\" transform=\"translate({x:.1} {y:.1})\">",
            map.part,
            map.view.word()
        );
        body.push_str(&text(&map.title, Point::new(bounds.low.a, bounds.low.b - 6.0), 6.0, "start", "jm-title"));
        body.push_str(&inside(&map, None));
        body.push_str(&scale_bar(Point::new(bounds.low.a, bounds.high.b + 10.0), 100.0, 1.0));
        body.push_str("</g>\n");
        width = width.max(bounds.width() + 2.0 * MARGIN_MM);
        top += bounds.height() + 2.0 * MARGIN_MM + 10.0 + BAR_MM;
    }
    if body.is_empty() {
        body = text(&word("joint-map-empty"), Point::new(10.0, 20.0), 6.0, "start", "jm-title");
    }
    svg(width, top.max(60.0), title, &body)
}

/// An SVG document of that size in millimetres on white.
pub fn svg(width: f64, height: f64, title: &str, body: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width:.1}mm\" height=\"{height:.1}mm\" \
         viewBox=\"0 0 {width:.1} {height:.1}\" role=\"img\" font-family=\"system-ui, sans-serif\">\n\
         <title>{}</title>\n<rect width=\"{width:.1}\" height=\"{height:.1}\" fill=\"#ffffff\"/>\n{body}\n</svg>\n",
        plain(title)
    )
}

/// A bar of that length on the truck with a stroke at each end and its length in words, drawn at a scale of paper over
/// truck.
pub fn scale_bar(at: Point, length_mm: f64, scale: f64) -> String {
    let (x, y, to) = (at.a, at.b, at.a + length_mm * scale);
    let (up, down) = (y - 2.0, y + 2.0);
    let d = format!("M{x:.2} {y:.2}H{to:.2}M{x:.2} {up:.2}V{down:.2}M{to:.2} {up:.2}V{down:.2}");
    let said =
        crate::words::say(crate::words::Language::English, "joint-map-scale", &[("mm", &format!("{length_mm:.0}"))]);
    format!(
        "<g data-scale=\"{length_mm:.0}\"><path d=\"{d}\" fill=\"none\" stroke=\"#000000\" stroke-width=\"0.5\"/>{}</g>",
        text(&said, Point::new(f64::midpoint(x, to), y + 6.0), 4.0, "middle", "jm-title")
    )
}

/// Words at a place.
pub fn text(words: &str, at: Point, size: f64, anchor: &str, class: &str) -> String {
    format!(
        "<text class=\"{class}\" x=\"{:.1}\" y=\"{:.1}\" font-size=\"{size:.2}\" text-anchor=\"{anchor}\">{}</text>",
        at.a,
        at.b,
        plain(words)
    )
}

/// Text as it stands in XML.
fn plain(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}
