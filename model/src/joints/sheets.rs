//! The joint map on paper: a template at true size, cut into pages with marks where they overlap, and an overview that fits
//! one page. Every page has a scale bar to be measured before anything is drilled by it.
//!
//! Cuts and labels what [`super::draw`] draws; never scales the template.

use super::draw::{Drawing, Ink, Map, drawing};
use super::ink::{haloed, inside, scale_bar, text};
use crate::geometry::{Bounds, Point};
use crate::words::{Language, say, word};
use std::fmt::Write as _;

/// Free edge of a page that printers leave white, mm.
const EDGE_MM: f64 = 10.0;
/// Foot of a page for scale bar and page number, mm.
const FOOT_MM: f64 = 18.0;
/// How far two pages of a template overlap, mm.
const OVERLAP_MM: f64 = 10.0;
/// What of the surroundings of a line a page must show for the line to count as shown, mm.
const ROUND_MM: f64 = 15.0;
/// How many places of the grid of pages are tried along each side, to save pages.
const TRIES: u8 = 4;
/// Size of the list under an overview, mm.
const LIST_MM: f64 = 3.4;

/// A size of paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// 210 × 297 mm (ISO 216).
    A4,
    /// 8.5 × 11 inches (ANSI/ASME Y14.1 size A).
    Letter,
}

impl Paper {
    /// By its written form, `a4` or `letter`.
    pub fn from_word(word: &str) -> Option<Self> {
        match word {
            "a4" => Some(Self::A4),
            "letter" => Some(Self::Letter),
            _ => None,
        }
    }
    /// Its written form.
    pub fn word(self) -> &'static str {
        match self {
            Self::A4 => "a4",
            Self::Letter => "letter",
        }
    }
    /// Width and height upright, mm.
    pub fn size_mm(self) -> (f64, f64) {
        match self {
            Self::A4 => (210.0, 297.0),
            Self::Letter => (215.9, 279.4),
        }
    }
    /// Width and height within the free edge, mm; a millimetre less high, so that rounding never makes a page more.
    fn room_mm(self, wide: bool) -> (f64, f64) {
        let (w, h) = self.size_mm();
        let (w, h) = if wide { (h, w) } else { (w, h) };
        (w - 2.0 * EDGE_MM, h - 2.0 * EDGE_MM - 1.0)
    }
}

/// A page: an SVG document as large as the paper within its free edge.
pub struct Page {
    /// Whether the paper lies on its side.
    pub wide: bool,
    /// The document.
    pub svg: String,
}

/// One window of a template, in screen millimetres of its map.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Tile {
    column: i32,
    row: i32,
    window: Bounds,
}

/// The template of a map at true size: one page for each window that shows anything of a joint.
pub fn template(map: &Map<'_>, paper: Paper) -> Vec<Page> {
    let drawing = drawing(map, Ink::TRUE);
    let (wide, tiles) = tiles(&drawing, paper);
    let each = tiles
        .iter()
        .zip(1..)
        .map(|(tile, number)| Page { wide, svg: tile_page(&drawing, paper, wide, &tiles, tile, number) });
    each.collect()
}

/// The overview of a map, fitted to the page, with the pages of its template and a list; a list too long for the page goes
/// on over further pages.
pub fn overview(map: &Map<'_>, paper: Paper, list: &[String]) -> Vec<Page> {
    let template = drawing(map, Ink::TRUE);
    let wide = template.bounds.width() > 1.4 * template.bounds.height();
    let (width, height) = paper.room_mm(wide);
    let most = (height - FOOT_MM - 14.0) * if list.is_empty() { 1.0 } else { 0.66 };
    let fitted = |bounds: &Bounds| (width / bounds.width()).min(most / bounds.height()).min(1.0);
    // Words keep their size on the page, so that they reach the further on the truck the smaller it is drawn.
    let first = drawing(map, Ink::paper(fitted(&template.bounds)));
    let drawn = drawing(map, Ink::paper(fitted(&first.bounds)));
    let bounds = drawn.bounds;
    let scale = fitted(&bounds);
    let mut body = text(&drawn.title, Point::new(0.0, 6.0), 5.0, "start", "jm-title");
    let high = bounds.height() * scale;
    body.push_str(&nested(&drawn, &bounds, (0.0, 12.0), scale));
    for (tile, number) in tiles(&template, paper).1.iter().zip(1..) {
        let at = |point: Point| Point::new((point.a - bounds.low.a) * scale, (point.b - bounds.low.b) * scale + 12.0);
        let (low, high) = (at(tile.window.low), at(tile.window.high));
        let _ = write!(
            body,
            "<rect x=\"{:.2}\" y=\"{:.2}\" width=\"{:.2}\" height=\"{:.2}\" fill=\"none\" stroke=\"#777777\" \
             stroke-width=\"0.2\" stroke-dasharray=\"1 1\"/>",
            low.a,
            low.b,
            high.a - low.a,
            high.b - low.b
        );
        let named = say(Language::English, "joint-sheet-page", &[("page", &number.to_string())]);
        // A page of the template may reach beyond the drawing; its number stays on this one.
        let place = Point::new((low.a + 1.0).clamp(0.0, width - 12.0), (high.b - 1.0).clamp(3.0, height - 1.0));
        body.push_str(&text(&named, place, 2.4, "start", "jm-title"));
    }
    // A bar that is round on the truck and of a handy length on the page.
    let bar = [2000.0, 1000.0, 500.0, 200.0, 100.0].into_iter().find(|mm| mm * scale <= 100.0).unwrap_or(100.0);
    body.push_str(&scale_bar(Point::new(0.0, 12.0 + high + 5.0), bar, scale));
    let said = say(Language::English, "joint-sheet-fitted", &[("share", &format!("{:.0}", scale * 100.0))]);
    body.push_str(&text(&said, Point::new(bar * scale + 6.0, 12.0 + high + 6.0), 3.4, "start", "jm-title"));
    let mut pages = vec![(body, 12.0 + high + FOOT_MM + 2.0)];
    for line in list {
        let full = pages.last().is_none_or(|(_, at)| *at > height - 1.0);
        if full {
            pages.push((String::new(), 6.0));
        }
        if let Some((body, at)) = pages.last_mut() {
            body.push_str(&text(line, Point::new(0.0, *at), LIST_MM, "start", "jm-title"));
            *at += 1.5 * LIST_MM;
        }
    }
    pages.into_iter().map(|(body, _)| Page { wide, svg: page(width, height, &body) }).collect()
}

/// How many letters of the list's size stand in a line of the narrower way to lay the paper.
pub fn letters(paper: Paper) -> usize {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a page is small
    let letters = (paper.room_mm(false).0 / (0.56 * LIST_MM)) as usize;
    letters
}

/// The windows of a template: upright or on its side and from whichever corner takes the fewest pages.
fn tiles(drawing: &Drawing, paper: Paper) -> (bool, Vec<Tile>) {
    let points = shown(drawing);
    let reach = Bounds::of(&points).unwrap_or_default();
    let mut best: Option<(bool, Vec<Tile>)> = None;
    for wide in [false, true] {
        let (width, height) = paper.room_mm(wide);
        let (width, height) = (width, height - FOOT_MM);
        for (a, b) in (0..TRIES).flat_map(|a| (0..TRIES).map(move |b| (f64::from(a), f64::from(b)))) {
            let share = |n: f64| n / f64::from(TRIES);
            let from = Point::new(
                reach.low.a - ROUND_MM - share(a) * (width - OVERLAP_MM),
                reach.low.b - ROUND_MM - share(b) * (height - OVERLAP_MM),
            );
            let tiles = grid(&points, from, (width, height));
            if best.as_ref().is_none_or(|(_, known)| tiles.len() < known.len()) {
                best = Some((wide, tiles));
            }
        }
    }
    best.unwrap_or_default()
}

/// Points along all lines of the joints, and their spots.
fn shown(drawing: &Drawing) -> Vec<Point> {
    let mut out: Vec<Point> = drawing.spots.iter().map(|spot| spot.at).collect();
    for (_, line) in &drawing.lines {
        for pair in line.windows(2) {
            let length = pair[0].distance(pair[1]);
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a part is a few metres
            let steps = (length / 10.0).ceil().clamp(1.0, 1e4) as u32;
            out.extend((0..=steps).map(|step| {
                let share = f64::from(step) / f64::from(steps);
                Point::new(pair[0].a + share * (pair[1].a - pair[0].a), pair[0].b + share * (pair[1].b - pair[0].b))
            }));
        }
    }
    out
}

/// The windows of a grid that hold a point, row by row. A point near an edge is held by the window beside it too, unless
/// the overlap shows it whole.
fn grid(points: &[Point], from: Point, (width, height): (f64, f64)) -> Vec<Tile> {
    let (across, down) = (width - OVERLAP_MM, height - OVERLAP_MM);
    let mut out: Vec<(i32, i32)> = Vec::new();
    for point in points {
        #[allow(clippy::cast_possible_truncation)] // a part is a few metres
        let at = (((point.b - from.b) / down).floor() as i32, ((point.a - from.a) / across).floor() as i32);
        if let Err(place) = out.binary_search(&at) {
            out.insert(place, at);
        }
    }
    let window = |(row, column): (i32, i32)| {
        let low = Point::new(from.a + f64::from(column) * across, from.b + f64::from(row) * down);
        Bounds { low, high: Point::new(low.a + width, low.b + height) }
    };
    out.into_iter().map(|at| Tile { row: at.0, column: at.1, window: window(at) }).collect()
}

fn tile_page(drawing: &Drawing, paper: Paper, wide: bool, tiles: &[Tile], tile: &Tile, number: usize) -> String {
    let (width, height) = paper.room_mm(wide);
    let high = height - FOOT_MM;
    let mut body = nested(drawing, &tile.window, (0.0, 0.0), 1.0);
    let _ = write!(
        body,
        "<rect x=\"0.1\" y=\"0.1\" width=\"{:.1}\" height=\"{:.1}\" fill=\"none\" stroke=\"#777777\" stroke-width=\"0.2\"/>",
        width - 0.2,
        high - 0.2
    );
    for (neighbour, page) in tiles.iter().zip(1..) {
        let (right, down) = (neighbour.column - tile.column, neighbour.row - tile.row);
        if right.abs() + down.abs() != 1 {
            continue;
        }
        body.push_str(&overlap(width, high, right, down, page));
    }
    body.push_str(&scale_bar(Point::new(0.0, high + 5.0), 100.0, 1.0));
    let (row, column) = (place(tiles, |tile| tile.row, tile.row), place(tiles, |tile| tile.column, tile.column));
    let counted = [
        ("page", &*number.to_string()),
        ("pages", &tiles.len().to_string()),
        ("row", &row.to_string()),
        ("column", &column.to_string()),
    ];
    body.push_str(&text(&drawing.title, Point::new(108.0, high + 5.0), 3.6, "start", "jm-title"));
    let said =
        [say(Language::English, "joint-sheet-counted", &counted), word("joint-sheet-true"), word("joint-sheet-again")];
    for (line, below) in said.iter().zip([9.3, 13.2, 17.1]) {
        body.push_str(&text(line, Point::new(108.0, high + below), 3.0, "start", "jm-title"));
    }
    page(width, height, &body)
}

/// Which row or column it is, from 1.
fn place(tiles: &[Tile], of: impl Fn(&Tile) -> i32, own: i32) -> i32 {
    tiles.iter().map(of).min().map_or(1, |least| own - least + 1)
}

/// The middle of an overlap as a line with two crosses that lie on the same places of both pages, and the other page's
/// number.
fn overlap(width: f64, height: f64, right: i32, down: i32, page: usize) -> String {
    let half = OVERLAP_MM / 2.0;
    let (mut d, mut at) = (String::new(), Point::default());
    let cross = |d: &mut String, x: f64, y: f64| {
        let _ = write!(d, "M{:.2} {y:.2}H{:.2}M{x:.2} {:.2}V{:.2}", x - 4.0, x + 4.0, y - 4.0, y + 4.0);
    };
    if right != 0 {
        let x = if right > 0 { width - half } else { half };
        for share in [0.2, 0.8] {
            cross(&mut d, x, share * height);
        }
        let _ = write!(d, "M{x:.2} 0V{height:.2}");
        at = Point::new(x + if right > 0 { -1.5 } else { 1.5 }, height / 2.0);
    }
    if down != 0 {
        let y = if down > 0 { height - half } else { half };
        for share in [0.2, 0.8] {
            cross(&mut d, share * width, y);
        }
        let _ = write!(d, "M0 {y:.2}H{width:.2}");
        at = Point::new(width / 2.0, y + if down > 0 { -1.5 } else { 4.5 });
    }
    let anchor = match right {
        1.. => "end",
        0 => "middle",
        _ => "start",
    };
    let said = say(Language::English, "joint-sheet-joins", &[("page", &page.to_string())]);
    format!(
        "<path class=\"jm-overlap\" d=\"{d}\" fill=\"none\" stroke=\"#777777\" stroke-width=\"0.2\" stroke-dasharray=\"2 1\"/>{}",
        haloed(&text(&said, at, 3.0, anchor, "jm-title"), 3.0)
    )
}

/// A window of a drawing at a place of the page, at a scale of paper over truck.
fn nested(drawing: &Drawing, window: &Bounds, at: (f64, f64), scale: f64) -> String {
    let (width, height) = (window.width(), window.height());
    format!(
        "<svg x=\"{:.2}\" y=\"{:.2}\" width=\"{:.3}\" height=\"{:.3}\" viewBox=\"{:.3} {:.3} {width:.3} {height:.3}\" overflow=\"hidden\">{}</svg>",
        at.0,
        at.1,
        width * scale,
        height * scale,
        window.low.a,
        window.low.b,
        inside(drawing, Some(window))
    )
}

fn page(width: f64, height: f64, body: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width:.1}mm\" height=\"{height:.1}mm\" \
         viewBox=\"0 0 {width:.1} {height:.1}\" font-family=\"system-ui, sans-serif\">{body}</svg>"
    )
}

/// Pages as one file that a browser prints on that paper without scaling.
pub fn to_html(pages: &[Page], paper: Paper, title: &str) -> String {
    let name = match paper {
        Paper::A4 => "A4",
        Paper::Letter => "letter",
    };
    let title = title.replace('&', "&amp;").replace('<', "&lt;");
    let mut out = format!(
        "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><title>{title}</title><style>\
         @page upright{{size:{name} portrait;margin:{EDGE_MM}mm}}@page wide{{size:{name} landscape;margin:{EDGE_MM}mm}}\
         body{{margin:0}}div{{break-after:page;page:upright}}div.wide{{page:wide}}div:last-child{{break-after:auto}}\
         svg{{display:block}}</style></head><body>\n"
    );
    for page in pages {
        let _ = writeln!(out, "<div class=\"{}\">{}</div>", if page.wide { "wide" } else { "upright" }, page.svg);
    }
    out + "</body></html>\n"
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_grid_shows_every_point_and_no_page_for_nothing() {
        let points: Vec<Point> =
            (0..300_u16).map(|n| Point::new(f64::from(n) * 9.0, f64::from(n % 7) * 30.0)).collect();
        let tiles = grid(&points, Point::new(-15.0, -15.0), (190.0, 258.0));
        for point in &points {
            assert!(tiles.iter().any(|tile| tile.window.near(&Bounds { low: *point, high: *point }, 0.0)));
        }
        for tile in &tiles {
            assert!(points.iter().any(|point| tile.window.near(&Bounds { low: *point, high: *point }, 0.0)));
        }
        // 2691 mm and a free edge of 15 mm, 180 mm a page, one row.
        assert_eq!(tiles.len(), 16);
    }
}
