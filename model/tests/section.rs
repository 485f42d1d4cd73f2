//! The section search against an exhaustive one, on every sectionable part of all nine bodies.
//!
//! The exhaustive search tries every set of cells, every way to cut it from pieces that are sold, and every place of
//! every cut line on a fine grid. It measures with the geometry crate's polygons and so shares neither search nor
//! distance code with the functions under test. Whether a plan is sound is measured on the moved pieces themselves.

mod exhaustive;
mod support;

use exhaustive::{Shop, World};
use model::catalogue::{Book, Part, generic_description};
use model::damage::{Finding, Mark, measure};
use model::decide::section::{
    Priced, Search, SectionHold, Weights, WhyNot, held_section, lines, minimum_cut, with_line,
};
use model::decide::{NoSection, section_plan};
use model::geometry::Point;
use model::ids::MarkId;
use model::terms::MarkKind;
use support::mark_at;

/// Numbers by splitmix64 (Steele, Lea and Flood, 2014), so that a failure can be repeated by its seed.
struct Random(u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }
    fn below(&mut self, end: u64) -> u64 {
        self.next() % end
    }
}

fn books() -> Vec<Book> {
    generic_description().resolve_all().expect("every body resolves")
}

/// One to three marks on the part.
fn marks(part: &Part, random: &mut Random) -> Vec<Mark> {
    let view = part.sections.as_ref().expect("sections").view;
    let bounds = part.shapes[&view].bounds();
    let count = 1 + random.below(3) * random.below(2);
    (0..count)
        .map(|_| {
            let share = |random: &mut Random| random.below(1001) as f64 / 1000.0;
            let at = Point::new(
                bounds.low.a + bounds.width() * share(random),
                bounds.low.b + bounds.height() * share(random),
            );
            let radius = [8, 15, 40, 60, 120, 200][random.below(6) as usize];
            mark_at(part.id.as_str(), view, at, radius, MarkKind::Buckle, 30)
        })
        .collect()
}

fn finding(book: &Book, part: &Part, marks: &[Mark]) -> Option<Finding> {
    let ids: Vec<MarkId> = (0..marks.len()).map(|n| MarkId::from(format!("m{n}").as_str())).collect();
    let pairs: Vec<(&MarkId, &Mark)> = ids.iter().zip(marks).collect();
    measure(book, part, &pairs).0
}

/// Each sectionable part of all bodies, with this many random damages each.
fn each(count: u64, seed: u64, mut test: impl FnMut(&Book, &Part, &Finding, &mut Random, &str)) {
    for (body, book) in books().iter().enumerate() {
        for (at, part) in book.parts.iter().enumerate() {
            if part.sections.as_ref().is_none_or(|sections| sections.cuts.is_empty()) {
                continue;
            }
            for n in 0..count {
                let seed = seed + body as u64 * 1_000_000 + at as u64 * 1_000 + n;
                let mut random = Random(seed);
                let marks = marks(part, &mut random);
                if let Some(finding) = finding(book, part, &marks) {
                    test(book, part, &finding, &mut random, &format!("{} seed {seed}", part.id));
                }
            }
        }
    }
}

#[test]
fn the_least_section_is_as_small_as_an_exhaustive_search_finds_and_sound() {
    let (mut tried, mut found) = (0, 0);
    each(8, 10, |_, part, finding, _, place| {
        let world = World::new(part, finding);
        tried += 1;
        let least = |slack: f64| {
            let fits = |set: &u64| world.fits(*set, None, slack);
            world.sets().filter(fits).map(|set| world.area(set)).min_by(f64::total_cmp)
        };
        match section_plan(part, finding) {
            Ok(plan) => {
                found += 1;
                world.assert_sound(&plan, place);
                // On a grid the exhaustive search may miss a single exact place: it gets a hair of slack.
                let area = world.area(world.bits(&plan.cells));
                let (loose, strict) = (least(1.0), least(-1.0));
                assert!(loose.is_some_and(|loose| loose <= area + 1.0), "{place}: {loose:?} {area}");
                assert!(strict.is_none_or(|strict| strict >= area - 1.0), "{place}: {strict:?} {area}");
            }
            Err(NoSection::EveryCell) => assert_eq!(finding.cells.len(), world.count(), "{place}"),
            Err(NoSection::NoLine(_)) => assert_eq!(least(-1.0), None, "{place}: none found"),
            Err(why) => panic!("{place} {why:?}"),
        }
    });
    println!("{tried} tried, {found} sectioned");
    assert!(tried > 1000 && found > 400, "{tried} tried, {found} sectioned");
}

fn section_plans(part: &Part, finding: &Finding, weights: &Weights) -> Vec<Priced> {
    Search::new(part, finding).map_or(Vec::new(), |search| search.plans(weights))
}

/// Compares the best sections with an exhaustive search; `None` where its grid cannot tell, or else how many there are.
fn compared(part: &Part, finding: &Finding, random: &mut Random, place: &str) -> Option<usize> {
    let world = World::new(part, finding);
    let shop = Shop::random(part, random);
    let plans = section_plans(part, finding, &shop.weights);
    let front: Vec<(u64, u64)> = plans.iter().map(|one| (one.price, one.work)).collect();
    for one in &plans {
        world.assert_sound(&one.plan, place);
        let priced = shop.weigh(&world, &one.plan);
        assert_eq!((one.price, one.work), priced, "{place}: a plan costs what it says");
    }
    let (loose, strict) = (world.front(&shop, 1.0), world.front(&shop, -1.0));
    if loose != strict {
        return None;
    }
    assert_eq!(front, loose, "{place}");
    Some(front.len())
}

fn cells(part: &Part) -> usize {
    part.sections.as_ref().map_or(0, |sections| sections.cells.len())
}

#[test]
fn the_best_sections_are_those_of_an_exhaustive_search() {
    let (mut number, mut several) = (0, 0);
    each(5, 20_000_000, |_, part, finding, random, place| {
        if let Some(best) =
            Some(part).filter(|part| cells(part) <= 9).and_then(|part| compared(part, finding, random, place))
        {
            number += 1;
            several += usize::from(best > 1);
        }
    });
    println!("{number} compared, {several} with several plans");
    assert!(number > 500 && several > 50, "{number} compared, {several} with several plans");
}

/// The floor of the longer cabs: 2^15 sets of cells, and every way to cut each from 17 pieces.
#[test]
fn the_best_sections_of_a_floor_pan_are_those_of_an_exhaustive_search() {
    let (mut number, mut several) = (0, 0);
    each(12, 40_000_000, |_, part, finding, random, place| {
        if cells(part) < 15 || number >= 10 {
            return;
        }
        if let Some(best) = compared(part, finding, random, place) {
            number += usize::from(best > 0);
            several += usize::from(best > 1);
        }
    });
    println!("{number} compared, {several} with several plans");
    assert!(number >= 10 && several > 3, "{number} compared, {several} with several plans");
}

#[test]
fn more_damage_is_never_cheaper_and_a_wider_window_never_dearer() {
    let best = |part: &Part, finding: &Finding, shop: &Shop| {
        section_plans(part, finding, &shop.weights).iter().map(|one| one.price + one.work).min().unwrap_or(u64::MAX)
    };
    each(6, 40_000_000, |book, part, less, random, place| {
        let shop = Shop::random(part, random);
        let area = |finding: &Finding| section_plan(part, finding).map_or(f64::INFINITY, |plan| plan.share);
        let before = best(part, less, &shop);
        let mut marks = marks(part, &mut Random(random.next()));
        let view = part.sections.as_ref().expect("sections").view;
        // The same damage again and more.
        for (_, damage) in less.areas.iter() {
            for ring in damage.points() {
                marks.push(support::polygon(part.id.as_str(), view, &ring));
            }
        }
        let more = finding(book, part, &marks).expect("damage");
        assert!(best(part, &more, &shop) >= before, "{place}: more damage is cheaper");
        assert!(area(&more) >= area(less) - 1e-9, "{place}: more damage renews less");
        let mut wide = part.clone();
        let sections = wide.sections.as_mut().expect("sections");
        for cut in &mut sections.cuts {
            cut.window_mm += 1.0 + random.below(60) as f64;
        }
        assert!(best(&wide, less, &shop) <= before, "{place}: a wider window is dearer");
    });
}

#[test]
fn a_person_may_choose_exactly_what_is_permitted() {
    each(2, 60_000_000, |_, part, finding, random, place| {
        let world = World::new(part, finding);
        let sections = part.sections.as_ref().expect("sections");
        for _ in 0..6 {
            let set = 1 + random.below((1 << world.count()) - 1);
            let mut hold = SectionHold { cells: world.ids(set), ..SectionHold::default() };
            for cut in &sections.cuts {
                if random.below(2) == 0 {
                    let reach = cut.window_mm as u64 + 20;
                    hold.moves.insert(cut.id.clone(), random.below(2 * reach + 1) as i32 - reach as i32);
                }
            }
            let (loose, strict) = (world.fits(set, Some(&hold.moves), 0.01), world.fits(set, Some(&hold.moves), -0.01));
            match held_section(part, finding, &hold) {
                Ok(plan) => {
                    assert!(loose, "{place}: {hold:?}");
                    assert!(plan.held && plan.cells == hold.cells, "{place}");
                    for cut in plan.cuts.iter().filter(|cut| hold.moves.contains_key(&cut.cut)) {
                        assert_eq!(cut.moved_mm, f64::from(hold.moves[&cut.cut]), "{place}");
                    }
                    world.assert_sound(&plan, place);
                }
                Err(why) => {
                    assert!(!strict, "{place}: {hold:?} {why:?}");
                    assert!(why.words(part).ends_with('.'), "{place}: {}", why.words(part));
                    if let WhyNot::Line { cut, nearest_mm: Some(mm), .. } = &why {
                        hold.moves.insert(cut.clone(), *mm as i32);
                        let again = held_section(part, finding, &hold);
                        let same = |why: &WhyNot| matches!(why, WhyNot::Line { cut: other, .. } if other == cut);
                        let exact = mm.fract() != 0.0 || !again.as_ref().err().is_some_and(same);
                        assert!(exact, "{place}: the nearest place {mm} is permitted: {again:?}");
                    }
                }
            }
        }
    });
}

#[test]
fn every_line_is_permitted_or_says_why_not() {
    let (mut permitted, mut forbidden) = (0, 0);
    each(3, 80_000_000, |_, part, finding, _, place| {
        let world = World::new(part, finding);
        let Ok(states) = lines(part, finding) else { return };
        let strict: Vec<u64> = world.sets().filter(|set| world.fits(*set, None, -1.0)).collect();
        let loose: Vec<u64> = world.sets().filter(|set| world.fits(*set, None, 1.0)).collect();
        for (cut, state) in states.iter().enumerate() {
            match &state.with {
                Ok(cells) => {
                    permitted += 1;
                    let set = world.bits(cells);
                    assert!(world.uses(set, cut) && loose.contains(&set), "{place}: {}", state.cut);
                    assert!(!state.ranges.is_empty(), "{place}");
                    let plan = with_line(part, finding, &state.cut, None).expect("a plan");
                    assert_eq!(plan.cells, *cells, "{place}");
                }
                Err(why) => {
                    forbidden += 1;
                    assert!(!strict.iter().any(|set| world.uses(*set, cut)), "{place}: {} {why:?}", state.cut);
                    assert!(state.ranges.is_empty() && why.words(part).ends_with('.'), "{place}");
                }
            }
        }
    });
    assert!(permitted > 300 && forbidden > 100, "{permitted} {forbidden}");
}

#[test]
fn damage_at_both_ends_leaves_the_middle() {
    let book = support::book();
    let part = book.part(&"rocker-left".into()).expect("a rocker");
    let view = part.sections.as_ref().expect("sections").view;
    let mark = |a: f64| mark_at("rocker-left", view, Point::new(a, 530.0), 30, MarkKind::Buckle, 30);
    let finding = finding(book, part, &[mark(850.0), mark(2650.0)]).expect("damage");
    let plan = section_plan(part, &finding).expect("a section");
    let cells: Vec<&str> = plan.cells.iter().map(|cell| cell.as_str()).collect();
    assert_eq!(cells, ["front-end", "rear-end"]);
}

#[test]
fn parts_without_cut_lines_say_so() {
    let book = support::book();
    let part = book.part(&"hood".into()).expect("a hood");
    let mark = support::mark(book, "hood", 60, MarkKind::Buckle, 30);
    let finding = finding(book, part, &[mark]).expect("a finding");
    assert_eq!(section_plan(part, &finding), Err(NoSection::NotDivided));
    assert!(NoSection::NotDivided.words().ends_with('.'));
}

#[test]
fn a_minimum_cut_parts_source_from_sink() {
    let (value, side) = minimum_cut(4, &[(0, 1, 3), (0, 2, 2), (1, 3, 2), (2, 3, 4), (1, 2, 5)], 0, 3);
    assert_eq!((value, side & 1, side >> 3), (5, 1, 0));
}

#[test]
fn joints_of_parts_that_lie_on_each_other_are_kept_apart() {
    use model::decide::section::{STAGGER_MM, clash, remeasured, staggered};
    let book = support::book();
    let (outer, inner) = ("bed-side-outer-left", "bed-side-inner-left");
    let of = |id: &str, a: f64| {
        let part = book.part(&id.into()).expect("a part");
        let view = part.sections.as_ref().expect("sections").view;
        let mark = mark_at(id, view, Point::new(a, 1200.0), 20, MarkKind::Buckle, 30);
        (part, finding(book, part, &[mark]).expect("damage"))
    };
    let ((one, found), (two, other)) = (of(outer, 4600.0), of(inner, 4600.0));
    let cut = |part: &Part, found: &Finding, cut: &str, mm: Option<i32>| {
        let plan = with_line(part, found, &cut.into(), None).expect("a section");
        let Some(mm) = mm else { return plan };
        let hold = SectionHold { cells: plan.cells, moves: [(cut.into(), mm)].into() };
        held_section(part, found, &hold).expect("permitted")
    };
    let at = |plan: &model::decide::SectionPlan, cut: &str| {
        plan.cuts.iter().find(|used| used.cut.as_str() == cut).expect("is cut").line.0.a
    };
    // Both over the wheel, at the same place: they are moved apart within their windows.
    let (above, below) = (cut(one, &found, "over-wheel", None), cut(two, &other, "over-arch", None));
    assert_eq!(at(&above, "over-wheel"), at(&below, "over-arch"));
    assert_eq!(clash(one, &above, two, &below), None);
    let apart = staggered(&[(one, &above), (two, &below)]);
    let gap = (at(&apart[0], "over-wheel") - at(&apart[1], "over-arch")).abs();
    assert!((STAGGER_MM..STAGGER_MM + 1.0).contains(&gap), "{gap}");
    for (plan, (part, found)) in apart.iter().zip([(one, &found), (two, &other)]) {
        let world = World::new(part, found);
        let measured = remeasured(part, found, plan);
        world.assert_sound(&measured, part.id.as_str());
        for (now, then) in measured.cuts.iter().zip(&plan.cuts) {
            assert_eq!((now.moved_mm, now.line), (then.moved_mm, then.line));
        }
    }
    // Held at the same place they cannot be moved: that is a conflict, in words.
    let (above, below) = (cut(one, &found, "over-wheel", Some(10)), cut(two, &other, "over-arch", Some(10)));
    let conflict = clash(one, &above, two, &below).expect("a clash");
    assert!(conflict.distance_mm < STAGGER_MM && conflict.needed_mm == STAGGER_MM);
    assert!(conflict.words(one, two).contains("over the wheel"), "{}", conflict.words(one, two));
    assert_eq!(staggered(&[(one, &above), (two, &below)]), [above.clone(), below.clone()]);
    // Far apart, or not joined to each other: nothing to say.
    let rear = cut(one, &found, "rear", None);
    assert_eq!(clash(one, &rear, two, &below), None);
}
