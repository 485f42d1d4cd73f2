//! The body book: every body resolves, holds what a technician expects, and a broken book is refused with the part.

use checks::read;
use model::catalogue::read::Description;
use model::catalogue::{Body, Book, generic_description};
use model::terms::{Bed, Cab, Layer, Metal, Side, View};
use serde_json::{Value, json};

const BOOK: &str = "model/data/book/generic-pickup.json";

fn book(cab: Cab, bed: Bed) -> Book {
    generic_description().resolve(Body { cab, bed }).expect("the built-in book resolves")
}

fn length(book: &Book) -> f64 {
    let boxes = book.parts.iter().filter_map(|part| part.shapes.get(&View::Left)).map(model::geometry::Area::bounds);
    boxes.reduce(|sum, b| sum.join(&b)).expect("parts").width()
}

#[test]
fn nine_bodies_come_out_of_one_description() {
    let books = generic_description().resolve_all().expect("every body resolves");
    assert_eq!(books.len(), 9);
    for book in &books {
        assert!(book.parts.len() >= 90, "{:?} has {} parts", book.body, book.parts.len());
    }
    // Longer beds and cabs are longer trucks, by what the stations say.
    let short = length(&book(Cab::FourDoor, Bed::Short));
    let long = length(&book(Cab::FourDoor, Bed::Long));
    let two_door = length(&book(Cab::TwoDoor, Bed::Short));
    assert!((long - short - 700.0).abs() < 1.0, "{}", long - short);
    assert!((short - two_door - 700.0).abs() < 1.0, "{}", short - two_door);
    assert!((5_500.0..6_200.0).contains(&short), "a full-size pickup is some 5.9 m long, not {short}");
}

#[test]
fn doors_follow_the_cab() {
    let has = |cab, base: &str| book(cab, Bed::Short).parts.iter().any(|part| part.base == base);
    assert!(has(Cab::FourDoor, "rear-door"));
    assert!(has(Cab::Extended, "rear-door"));
    assert!(!has(Cab::TwoDoor, "rear-door"));
    for cab in Cab::ALL {
        assert!(has(*cab, "front-door") && has(*cab, "b-pillar") && has(*cab, "bed-side-outer"));
    }
}

#[test]
fn every_view_and_layer_that_is_promised_shows_parts() {
    let book = book(Cab::FourDoor, Bed::Short);
    for (view, layer, least) in [
        (View::Left, Layer::Skin, 12),
        (View::Right, Layer::Skin, 12),
        (View::Front, Layer::Skin, 8),
        (View::Rear, Layer::Skin, 8),
        (View::Top, Layer::Skin, 10),
        (View::Left, Layer::Structure, 12),
        (View::Right, Layer::Structure, 12),
        (View::Underside, Layer::Structure, 10),
        (View::Left, Layer::Frame, 5),
        (View::Underside, Layer::Frame, 12),
    ] {
        let count = book.shown(view, layer).count();
        assert!(count >= least, "{view} {layer}: {count} parts");
    }
    for base in [
        "apron-tube",
        "a-pillar",
        "b-pillar",
        "rocker",
        "floor-pan",
        "floor-cross-member-1",
        "frame-rail",
        "bed-sill",
        "roof-rail",
    ] {
        assert!(book.parts.iter().any(|part| part.base == base), "{base}");
    }
}

#[test]
fn an_aluminium_body_stands_on_a_steel_frame() {
    let book = book(Cab::FourDoor, Bed::Short);
    let metal = |base: &str| book.parts.iter().find(|part| part.base == base).expect(base).family.metal();
    for base in ["fender", "hood", "front-door", "roof", "bed-side-outer", "rocker", "floor-pan", "apron-tube"] {
        assert_eq!(metal(base), Metal::Aluminium, "{base}");
    }
    for part in book.parts.iter().filter(|part| part.base.starts_with("frame-")) {
        assert_eq!(part.family.metal(), Metal::Steel, "{}", part.id);
        assert!(part.sections.is_none(), "{}: the frame has no cut lines of its own", part.id);
    }
}

#[test]
fn sides_are_mirrored_and_named() {
    let book = book(Cab::FourDoor, Bed::Short);
    let part = |id: &str| book.part(&id.into()).unwrap_or_else(|| panic!("{id}"));
    let (left, right) = (part("fender-left"), part("fender-right"));
    assert_eq!((left.side, right.side), (Side::Left, Side::Right));
    let (one, other) = (&left.shapes[&View::Front], &right.shapes[&View::Front]);
    assert!((one.bounds().low.a + other.bounds().high.a).abs() < 1e-6);
    assert_eq!(left.name(), "Left fender");
    // Each joint stands with both parts.
    for part in &book.parts {
        for joint in &part.joints {
            let back = book.part(&joint.to).expect("checked").joints.iter().any(|other| other.to == part.id);
            assert!(back, "{} to {}", part.id, joint.to);
        }
    }
}

#[test]
fn cells_fill_their_part_exactly() {
    for book in generic_description().resolve_all().expect("every body resolves") {
        let mut divided = 0;
        for part in &book.parts {
            let Some(sections) = &part.sections else { continue };
            divided += 1;
            let whole = part.shapes[&sections.view].size();
            let sum: f64 = sections.cells.iter().map(|cell| cell.area.size()).sum();
            assert!((whole - sum).abs() < whole * 1e-6 + 1.0, "{}: {whole} against {sum}", part.id);
            for cell in &sections.cells {
                assert!(!cell.borders.is_empty(), "{} {}: a cell that touches no cut line", part.id, cell.id);
                for border in &cell.borders {
                    let back = sections.cells.iter().find(|other| other.id == border.beyond).expect("a cell");
                    assert!(back.borders.iter().any(|other| other.beyond == cell.id && other.cut == border.cut));
                }
            }
        }
        assert!(divided >= 10, "{:?}: {divided} parts may be sectioned", book.body);
    }
}

/// Breaks the built-in book in one place and returns the complaint.
fn broken(change: impl Fn(&mut Value)) -> String {
    let mut book: Value = serde_json::from_str(&read(BOOK)).expect("JSON");
    change(&mut book);
    let error = Description::read(&book.to_string())
        .and_then(|description| description.resolve_all())
        .expect_err("a broken book is refused");
    error.to_string()
}

fn part<'a>(book: &'a mut Value, id: &str) -> &'a mut Value {
    let parts = book["parts"].as_array_mut().expect("parts");
    parts.iter_mut().find(|part| part["id"] == id).unwrap_or_else(|| panic!("{id}"))
}

#[test]
fn a_broken_book_is_refused_with_part_and_reason() {
    type Change = Box<dyn Fn(&mut Value)>;
    let cases: Vec<(&str, &str, Change)> = vec![
        (
            "parts[fender].shapes.side",
            "not closed",
            Box::new(|b| part(b, "fender")["shapes"]["side"] = json!("M0 0 L10 0 L10 10")),
        ),
        (
            "parts[fender].shapes.side",
            "crosses itself",
            Box::new(|b| part(b, "fender")["shapes"]["side"] = json!("M0 0 L100 100 L100 0 L0 100 Z")),
        ),
        (
            "parts[hood]",
            "no part called",
            Box::new(|b| part(b, "hood")["joints"] = json!([{"to":"bonnet","kind":"bolt","length_mm":100}])),
        ),
        ("parts[hood].access", "no access work called", Box::new(|b| part(b, "hood")["access"] = json!(["magic"]))),
        (
            "parts[hood].load",
            "no part called",
            Box::new(|b| part(b, "hood")["load"] = json!([{"to":"nowhere","direction":"up"}])),
        ),
        (
            "access_work[",
            "waits for itself",
            Box::new(|b| {
                let work = b["access_work"].as_array_mut().expect("access work");
                let id = work[0]["id"].clone();
                work[0]["after"] = json!([id]);
            }),
        ),
        (
            "parts[roof]",
            "described twice",
            Box::new(|b| {
                let copy = part(b, "roof").clone();
                b["parts"].as_array_mut().expect("parts").push(copy);
            }),
        ),
        (
            "parts[hood].material.thickness_mm",
            "above zero",
            Box::new(|b| part(b, "hood")["material"]["thickness_mm"] = json!(0)),
        ),
        (
            "parts[apron-tube].cells",
            "no cell",
            Box::new(|b| {
                part(b, "apron-tube")["cells"].as_array_mut().expect("cells").pop();
            }),
        ),
        (
            "parts[apron-tube].cuts",
            "does not cross",
            Box::new(|b| part(b, "apron-tube")["cuts"][0]["line"] = json!("M 0 0 L 1 1")),
        ),
        (
            "material.family",
            "unknown variant",
            Box::new(|b| part(b, "hood")["material"]["family"] = json!("unobtainium")),
        ),
        ("stations", "order", Box::new(|b| b["stations"][0]["x"] = json!(99_999))),
        ("version", "newer", Box::new(|b| b["version"] = json!(99))),
        ("format", "different kind", Box::new(|b| b["format"] = json!("something-else"))),
    ];
    for (place, reason, change) in cases {
        let text = broken(change);
        assert!(text.contains(place) && text.contains(reason), "wanted {place} and {reason}: {text}");
    }
}

#[test]
fn left_and_right_that_differ_are_refused() {
    // A part given once for each side, with another shape on the right.
    let text = broken(|book| {
        let mut left = part(book, "mirror").clone();
        left["id"] = json!("lone");
        left["joints"] = json!([]);
        left["side"] = json!("left");
        let mut right = left.clone();
        right["side"] = json!("right");
        right["shapes"] = json!({"side": "M0 0 L400 0 L400 300 L0 300 Z"});
        left["shapes"] = json!({"side": "M0 0 L400 0 L400 350 L0 350 Z"});
        let parts = book["parts"].as_array_mut().expect("parts");
        parts.push(left);
        parts.push(right);
    });
    assert!(text.contains("lone"), "{text}");
}
