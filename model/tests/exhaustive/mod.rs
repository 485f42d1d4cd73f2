//! Sections by trying everything: the judge of the search. Slow, plain, and measured with polygons alone.
//!
//! Uses nothing of `decide` but the two stated distances and the plan's own fields.

#![allow(missing_docs)]

use model::catalogue::{Cut, Part, Sections};
use model::damage::Finding;
use model::decide::SectionPlan;
use model::decide::section::{BESIDE_MM, CLEARANCE_MM, JOINT_CLEAR_MM, Weights};
use model::geometry::{Area, Point};
use model::ids::{CellId, CutId};
use std::collections::BTreeMap;

/// Steps of the grid of moves, mm.
const STEP_MM: f64 = 0.5;
const FAR_MM: f64 = 20_000.0;

/// A directed border: the first cell is renewed, the second stays.
struct Border {
    from: usize,
    to: usize,
    cut: usize,
    /// Permitted moves, by slack.
    moves: BTreeMap<i64, Vec<bool>>,
    /// Permitted moves between two new pieces, by slack.
    seam: BTreeMap<i64, Vec<bool>>,
    length_mm: f64,
    /// Whether the damage of the second cell can be cut away past this border, by slack.
    spares: BTreeMap<i64, bool>,
}

pub struct World<'a> {
    part: &'a Part,
    sections: &'a Sections,
    damage: Vec<Area>,
    touched: Vec<bool>,
    borders: Vec<Border>,
}

/// Turned and shifted so that the line runs along the second axis and its left lies at positive first coordinates.
fn turned(cut: &Cut) -> impl Fn(Point) -> Point {
    let (from, to) = cut.line;
    let length = from.distance(to);
    let (ua, ub) = ((to.a - from.a) / length, (to.b - from.b) / length);
    move |p: Point| {
        let (a, b) = (p.a - from.a, p.b - from.b);
        Point::new(b * ua - a * ub, a * ua + b * ub)
    }
}

fn rectangle(a0: f64, b0: f64, a1: f64, b1: f64) -> Area {
    Area::from_points(&[Point::new(a0, b0), Point::new(a1, b0), Point::new(a1, b1), Point::new(a0, b1)]).expect("area")
}

fn key(slack: f64) -> i64 {
    (slack * 100.0).round() as i64
}

const SLACKS: [f64; 4] = [1.0, -1.0, 0.01, -0.01];

impl<'a> World<'a> {
    pub fn new(part: &'a Part, finding: &Finding) -> Self {
        let sections = part.sections.as_ref().expect("sections");
        let damage: Vec<Area> = finding
            .areas
            .iter()
            .flat_map(|(_, area)| area.points())
            .filter_map(|ring| Area::from_points(&ring))
            .collect();
        let touched: Vec<bool> = sections.cells.iter().map(|cell| finding.cells.contains(&cell.id)).collect();
        let mut world = Self { part, sections, damage, touched, borders: Vec::new() };
        for (cut_at, cut) in sections.cuts.iter().enumerate() {
            let turn = turned(cut);
            let cells: Vec<Area> = sections.cells.iter().map(|cell| cell.area.mapped(&turn)).collect();
            // What each cell shows of the line, as far as a millimetre to either side of it.
            let along = |cell: &Area| {
                cell.common(&rectangle(-1.0, -FAR_MM, 1.0, FAR_MM)).map(|strip| {
                    let bounds = strip.bounds();
                    (bounds.low.b, bounds.high.b)
                })
            };
            let mut pairs = Vec::new();
            for (one, cell) in sections.cells.iter().enumerate() {
                for border in cell.borders.iter().filter(|border| border.cut == cut.id) {
                    let two = sections.cells.iter().position(|cell| cell.id == border.beyond).expect("a cell");
                    let (a, b) = (along(&cells[one]).expect("a strip"), along(&cells[two]).expect("a strip"));
                    pairs.push((one, two, (a.0.max(b.0), a.1.min(b.1)), border.length_mm));
                }
            }
            let low = pairs.iter().map(|pair| pair.2.0).fold(f64::INFINITY, f64::min);
            let high = pairs.iter().map(|pair| pair.2.1).fold(f64::NEG_INFINITY, f64::max);
            let length = cut.line.0.distance(cut.line.1);
            for (from, to, span, length_mm) in pairs {
                let start = if span.0 <= low + 1.5 { 0.0 } else { span.0 } - BESIDE_MM;
                let end = if span.1 >= high - 1.5 { length } else { span.1 } + BESIDE_MM;
                let strip = rectangle(-FAR_MM, start, FAR_MM, end);
                let left = cells[from].bounds().centre().a > cells[to].bounds().centre().a;
                let mut border = Border {
                    from,
                    to,
                    cut: cut_at,
                    moves: BTreeMap::new(),
                    seam: BTreeMap::new(),
                    length_mm,
                    spares: BTreeMap::new(),
                };
                for slack in SLACKS {
                    let moves = world.moves(cut, &strip, &turn, (from, to), left, slack);
                    border.moves.insert(key(slack), moves.0);
                    border.seam.insert(key(slack), moves.1);
                    let spares = world.spared(&cells[to], &strip, &turn, left, cut.window_mm, slack);
                    border.spares.insert(key(slack), spares);
                }
                world.borders.push(border);
            }
        }
        world
    }

    fn moves(
        &self,
        cut: &Cut,
        strip: &Area,
        turn: &impl Fn(Point) -> Point,
        (from, to): (usize, usize),
        left: bool,
        slack: f64,
    ) -> (Vec<bool>, Vec<bool>) {
        let _ = from;
        let beside = |area: &Area| area.mapped(turn).common(strip).map(|area| area.bounds());
        let steps = (cut.window_mm / STEP_MM).round() as i32;
        let places = || (-steps..=steps).map(|step| f64::from(step) * STEP_MM);
        let mut seam: Vec<bool> = places().map(|_| true).collect();
        let off = |seam: &mut Vec<bool>, low: f64, high: f64| {
            for (free, place) in seam.iter_mut().zip(places()) {
                *free &= place <= low || place >= high;
            }
        };
        for zone in self.part.no_cut.iter().filter(|zone| zone.view.plane() == self.sections.view.plane()) {
            if let Some(bounds) = beside(&zone.area) {
                let clear = zone.clear_mm - slack;
                off(&mut seam, bounds.low.a - clear, bounds.high.a + clear);
            }
        }
        for end in &self.sections.joint_ends {
            let at = turn(end.at);
            let bounds = strip.bounds();
            if (bounds.low.b..=bounds.high.b).contains(&at.b) {
                off(&mut seam, at.a - JOINT_CLEAR_MM + slack, at.a + JOINT_CLEAR_MM - slack);
            }
        }
        let mut moves = seam.clone();
        let clear = CLEARANCE_MM - slack;
        for piece in &self.damage {
            let Some(bounds) = beside(piece) else { continue };
            let (low, high) = (bounds.low.a, bounds.high.a);
            let reach = cut.window_mm + CLEARANCE_MM;
            if low >= reach || high <= -reach {
                continue;
            }
            let apart = if left { high <= 0.001 } else { low >= -0.001 };
            if apart && !self.touched[to] {
                off(&mut moves, low - clear, high + clear);
            } else if left {
                off(&mut moves, low - clear, f64::INFINITY);
            } else {
                off(&mut moves, f64::NEG_INFINITY, high + clear);
            }
        }
        (moves, seam)
    }

    /// Whether all damage in the cell lies beside the border and no deeper in it than the line can follow.
    fn spared(
        &self,
        cell: &Area,
        strip: &Area,
        turn: &impl Fn(Point) -> Point,
        left: bool,
        window: f64,
        slack: f64,
    ) -> bool {
        self.damage.iter().filter_map(|piece| piece.mapped(turn).common(cell)).all(|inside| {
            let (bounds, strip) = (inside.bounds(), strip.bounds());
            let deep = if left { -bounds.low.a } else { bounds.high.a };
            bounds.low.b >= strip.low.b - slack
                && bounds.high.b <= strip.high.b + slack
                && deep <= window - CLEARANCE_MM + slack
        })
    }

    pub fn count(&self) -> usize {
        self.sections.cells.len()
    }

    /// Every set of cells that is neither nothing nor everything.
    pub fn sets(&self) -> impl Iterator<Item = u64> + use<> {
        1..(1_u64 << self.count()) - 1
    }

    pub fn bits(&self, cells: &[CellId]) -> u64 {
        let at = |id: &CellId| self.sections.cells.iter().position(|cell| cell.id == *id).expect("a cell");
        cells.iter().map(|id| 1 << at(id)).sum()
    }

    pub fn ids(&self, set: u64) -> Vec<CellId> {
        let cells = self.sections.cells.iter().enumerate();
        cells.filter(|(at, _)| set & (1 << at) != 0).map(|(_, cell)| cell.id.clone()).collect()
    }

    pub fn area(&self, set: u64) -> f64 {
        let cells = self.sections.cells.iter().enumerate();
        cells.filter(|(at, _)| set & (1 << at) != 0).map(|(_, cell)| cell.area.size()).sum()
    }

    pub fn uses(&self, set: u64, cut: usize) -> bool {
        self.borders.iter().any(|border| border.cut == cut && cuts(set, border))
    }

    pub fn fits(&self, set: u64, moves: Option<&BTreeMap<CutId, i32>>, slack: f64) -> bool {
        self.fits_as(set, &vec![0; self.count()], moves, slack)
    }

    /// Whether the set is a permitted section when the cells come from these pieces.
    fn fits_as(&self, set: u64, piece: &[usize], moves: Option<&BTreeMap<CutId, i32>>, slack: f64) -> bool {
        if set == 0 || set + 1 == 1 << self.count() {
            return false;
        }
        let bare = |cell: usize| {
            let spares = |border: &&Border| border.to == cell && cuts(set, border) && border.spares[&key(slack)];
            self.touched[cell] && set & (1 << cell) == 0 && !self.borders.iter().any(|border| spares(&border))
        };
        if (0..self.count()).any(bare) {
            return false;
        }
        self.sections.cuts.iter().enumerate().all(|(at, cut)| {
            let steps = 2 * (cut.window_mm / STEP_MM).round() as usize + 1;
            let mut free = vec![true; steps];
            let mut used = false;
            for border in self.borders.iter().filter(|border| border.cut == at) {
                let allowed = if cuts(set, border) {
                    &border.moves[&key(slack)]
                } else if seam(set, piece, border) {
                    &border.seam[&key(slack)]
                } else {
                    continue;
                };
                used = true;
                free.iter_mut().zip(allowed).for_each(|(free, allowed)| *free &= allowed);
            }
            match moves.and_then(|moves| moves.get(&cut.id)).filter(|_| used) {
                Some(mm) => {
                    let step = (f64::from(*mm) + cut.window_mm) / STEP_MM;
                    step >= 0.0 && free.get(step.round() as usize).copied().unwrap_or(false)
                }
                None => !used || free.contains(&true),
            }
        })
    }

    /// Best pairs of price and work over all sets and all ways to cut each from pieces. A way is left half-tried only
    /// where what it costs already is no better than a pair that is known.
    pub fn front(&self, shop: &Shop, slack: f64) -> Vec<(u64, u64)> {
        let none = vec![0; self.count()];
        let fitting = self.sets().filter(|set| self.fits(*set, None, slack));
        // Least work first, so that much is beaten soon.
        let mut sets: Vec<(u64, u64)> = fitting.map(|set| (shop.work(self, set, &none), set)).collect();
        sets.sort_unstable();
        let mut front = Front::default();
        for (work, set) in sets {
            front.add((shop.weights.whole, work));
            self.spread(shop, (set, work), 0, &mut none.clone(), slack, &mut front);
        }
        front.0.sort_unstable();
        front.0
    }

    /// Every way to cut the cells from `at` on from pieces. `set` comes with its work without joints between pieces.
    fn spread(
        &self,
        shop: &Shop,
        (set, least): (u64, u64),
        at: usize,
        piece: &mut [usize],
        slack: f64,
        front: &mut Front,
    ) {
        let mut used: Vec<usize> = (0..at).filter(|cell| set & (1 << cell) != 0).map(|cell| piece[cell]).collect();
        used.sort_unstable();
        used.dedup();
        let price = used.iter().map(|one| shop.weights.service[*one]).sum();
        if front.beats((price, least)) {
            return;
        }
        if at == self.count() {
            if self.fits_as(set, piece, None, slack) {
                front.add((price, shop.work(self, set, piece)));
            }
            return;
        }
        if set & (1 << at) == 0 {
            return self.spread(shop, (set, least), at + 1, piece, slack, front);
        }
        for (one, service) in self.sections.service.iter().enumerate() {
            if service.cells.contains(&self.sections.cells[at].id) {
                piece[at] = one;
                self.spread(shop, (set, least), at + 1, piece, slack, front);
            }
        }
    }

    /// Measures a plan on its moved pieces: every piece of damage with its clearance is renewed, every line keeps its
    /// distances inside its window, the pieces that are ordered cover what is renewed.
    pub fn assert_sound(&self, plan: &SectionPlan, place: &str) {
        let place = format!("{place} {:?}", plan.cells);
        let moved = |at: usize| {
            plan.cuts.iter().find(|used| used.cut == self.sections.cuts[at].id).map_or(0.0, |used| used.moved_mm)
        };
        let whole = &self.part.shapes[&self.sections.view];
        let cells: Vec<Option<Area>> = self
            .sections
            .cells
            .iter()
            .map(|cell| {
                self.sections.cuts.iter().enumerate().try_fold(whole.clone(), |area, (at, cut)| {
                    let turn = turned(cut);
                    let (from, to) = cut.line;
                    let length = from.distance(to);
                    let by = moved(at) / length;
                    let shift = |p: Point| Point::new(p.a - (to.b - from.b) * by, p.b + (to.a - from.a) * by);
                    let inside = cell.area.mapped(&turn).bounds().centre().a;
                    let (from, to) = (shift(from), shift(to));
                    if inside > 0.0 { area.left_of(from, to) } else { area.left_of(to, from) }
                })
            })
            .collect();
        let set = self.bits(&plan.cells);
        let renewed = |at: usize| set & (1 << at) != 0;
        for (at, cell) in cells.iter().enumerate().filter(|(at, _)| !renewed(*at)) {
            let Some(cell) = cell else { continue };
            for piece in &self.damage {
                assert!(cell.common(piece).is_none(), "{place}: damage stays in {}", self.sections.cells[at].id);
            }
        }
        for used in &plan.cuts {
            let at = self.sections.cuts.iter().position(|one| one.id == used.cut).expect("a cut of the part");
            let cut = &self.sections.cuts[at];
            assert!(used.moved_mm.abs() <= cut.window_mm + 1e-6, "{place}: inside its window");
            assert!(used.range_mm.0 <= used.moved_mm + 1e-6 && used.moved_mm <= used.range_mm.1 + 1e-6, "{place}");
            assert!(used.length_mm > 0.0 && used.length_mm <= cut.length_mm + 1.0, "{place}");
            assert!(used.between_new_mm <= used.length_mm, "{place}");
            assert!(used.between_new_mm > 0.0 || used.to_damage_mm >= CLEARANCE_MM - 1e-6, "{place}");
            assert!(plan.routes.iter().all(|route| used.routes.contains(route)), "{place}");
        }
        for border in &self.borders {
            if !cuts(set, border) {
                continue;
            }
            assert!(plan.cuts.iter().any(|used| used.cut == self.sections.cuts[border.cut].id), "{place}: is cut");
            let (Some(one), Some(two)) = (&cells[border.from], &cells[border.to]) else { continue };
            // Both pieces meet along the moved line: that strip is a millimetre to either side of it.
            let Some(strip) = one.grown(1.0).common(&two.grown(1.0)) else { continue };
            for piece in &self.damage {
                let distance = piece.distance(&strip);
                assert!(distance >= CLEARANCE_MM - 2.5, "{place}: {distance} from damage");
            }
            for zone in self.part.no_cut.iter().filter(|zone| zone.view == self.sections.view) {
                let distance = zone.area.distance(&strip);
                assert!(distance >= zone.clear_mm - 2.5, "{place}: {distance} from {:?}", zone.kind);
            }
        }
        if !plan.service.is_empty() {
            let sold = |id: &String| self.sections.service.iter().find(|one| one.id == *id).expect("is sold");
            let covered = |cell: &CellId| plan.service.iter().any(|id| sold(id).cells.contains(cell));
            assert!(plan.cells.iter().all(covered), "{place}: {:?} cover it", plan.service);
        }
        assert!(!plan.cuts.is_empty() && plan.share > 0.0 && plan.share < 1.0, "{place}");
    }
}

fn cuts(set: u64, border: &Border) -> bool {
    set & (1 << border.from) != 0 && set & (1 << border.to) == 0
}

fn seam(set: u64, piece: &[usize], border: &Border) -> bool {
    let both = (1 << border.from) | (1 << border.to);
    set & both == both && piece[border.from] != piece[border.to]
}

/// Pairs of price and work of which none is as good as another in both.
#[derive(Default)]
struct Front(Vec<(u64, u64)>);

impl Front {
    fn beats(&self, (price, work): (u64, u64)) -> bool {
        self.0.iter().any(|known| known.0 <= price && known.1 <= work)
    }

    fn add(&mut self, pair: (u64, u64)) {
        if !self.beats(pair) {
            self.0.retain(|known| known.0 < pair.0 || known.1 < pair.1);
            self.0.push(pair);
        }
    }
}

/// Random weights and prices.
pub struct Shop {
    pub weights: Weights,
}

impl Shop {
    pub fn random(part: &Part, random: &mut super::Random) -> Self {
        let sections = part.sections.as_ref().expect("sections");
        let total: f64 = sections.cells.iter().map(|cell| cell.area.size()).sum();
        let share = |cell: &CellId| {
            let cell = sections.cells.iter().find(|one| one.id == *cell).expect("a cell");
            cell.area.size() / total
        };
        let whole = 50_000 + random.below(200_000);
        let work = 10_000 + random.below(200_000);
        let weights = Weights {
            cell: sections.cells.iter().map(|cell| (share(&cell.id) * work as f64) as u64 + 1).collect(),
            metre: sections.cuts.iter().map(|_| random.below(60_000)).collect(),
            line: sections.cuts.iter().map(|_| random.below(2) * random.below(30_000)).collect(),
            service: sections
                .service
                .iter()
                .map(|one| {
                    let share: f64 = one.cells.iter().map(share).sum();
                    (share * whole as f64 * (0.7 + random.below(80) as f64 / 100.0)) as u64 + 1
                })
                .collect(),
            whole,
            avoid: Vec::new(),
        };
        Self { weights }
    }

    fn work(&self, world: &World<'_>, set: u64, piece: &[usize]) -> u64 {
        let mut sum = 0;
        for (cell, cost) in self.weights.cell.iter().enumerate() {
            sum += u64::from(set & (1 << cell) != 0) * cost;
        }
        let mut used = vec![false; world.sections.cuts.len()];
        for border in &world.borders {
            let joint = seam(set, piece, border) && border.from < border.to;
            if cuts(set, border) || joint {
                used[border.cut] = true;
                let tenths = (border.length_mm * 10.0).round() as u64;
                sum += tenths * self.weights.metre[border.cut] / 10_000;
            }
        }
        sum + used.iter().zip(&self.weights.line).map(|(used, cost)| u64::from(*used) * cost).sum::<u64>()
    }

    /// Price and work of a plan as it stands: the pieces that it orders, the least joints between them.
    pub fn weigh(&self, world: &World<'_>, plan: &SectionPlan) -> (u64, u64) {
        let set = world.bits(&plan.cells);
        let at = |id: &String| world.sections.service.iter().position(|one| one.id == *id).expect("is sold");
        if plan.service.is_empty() {
            return (self.weights.whole, self.work(world, set, &vec![0; world.count()]));
        }
        let used: Vec<usize> = plan.service.iter().map(at).collect();
        let mut ways = vec![vec![0; world.count()]];
        for cell in (0..world.count()).filter(|cell| set & (1 << cell) != 0) {
            let from =
                used.iter().filter(|one| world.sections.service[**one].cells.contains(&world.sections.cells[cell].id));
            ways = from
                .flat_map(|one| {
                    ways.iter().cloned().map(move |mut piece: Vec<usize>| {
                        piece[cell] = *one;
                        piece
                    })
                })
                .collect();
        }
        let fits = ways.iter().filter(|piece| world.fits_as(set, piece, None, 1.0));
        let work = fits.map(|piece| self.work(world, set, piece)).min().expect("a way to cut it");
        (used.iter().map(|one| self.weights.service[*one]).sum(), work)
    }
}
