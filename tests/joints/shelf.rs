//! The shop's joining list: what is wrong is named at its place with what would make it right.

use checks::read;
use model::Error;
use model::joints::{Stock, bead, choose};
use model::terms::JointKind;
use model::words::Language;
use serde_json::{Value, json};

fn list() -> Value {
    serde_json::from_str(&read("model/data/joining/general.json")).expect("JSON")
}

#[track_caller]
fn refused(change: impl FnOnce(&mut Value), place: &str, key: &str) -> String {
    let mut value = list();
    change(&mut value);
    let error = Stock::read(&value.to_string()).expect_err("it is wrong");
    assert_eq!((error.place.as_str(), error.key), (place, key), "{error}");
    let text = error.message(Language::English);
    assert!(!text.contains('$') && text != key, "{text}");
    text
}

#[test]
fn inches_in_a_millimetre_field_are_named() {
    let text = refused(
        |list| list["fasteners"][0]["diameter_mm"] = json!(0.209),
        "fasteners[0].diameter_mm",
        "error-joining-inches",
    );
    assert!(text.contains("5.3"), "{text}");
    let text = refused(
        |list| list["fasteners"][3]["grip_mm"] = json!([0.06, 0.16]),
        "fasteners[3].grip_mm",
        "error-joining-inches",
    );
    assert!(text.contains("4.1"), "{text}");
    refused(|list| list["flange_mm"] = json!(1), "flange_mm", "error-joining-inches");
    refused(|list| list["adhesives"][0]["bead_mm"] = json!(0.3), "adhesives[0].bead_mm", "error-joining-inches");
}

#[test]
fn faults_of_a_list_are_named() {
    refused(|list| list["format"] = json!("other"), "format", "error-joining-format");
    refused(|list| list["environment"] = json!("wet"), "environment", "error-joining-word");
    refused(|list| list["fasteners"] = json!([]), "fasteners", "error-joining-list");
    refused(
        |list| list["fasteners"][1]["id"] = list["fasteners"][0]["id"].clone(),
        "fasteners[1].id",
        "error-joining-twice",
    );
    refused(|list| list["fasteners"][0]["hole_mm"] = json!(5.4), "fasteners[0].hole_mm", "error-joining-number");
    refused(|list| list["fasteners"][3]["hole_mm"] = json!(4.0), "fasteners[3].hole_mm", "error-joining-number");
    refused(|list| list["fasteners"][3]["grip_mm"] = json!([4, 2]), "fasteners[3].grip_mm", "error-joining-grip");
    refused(|list| list["fasteners"][3]["coated"] = json!("yes"), "fasteners[3].coated", "error-joining-yes");
    refused(|list| list["fasteners"][3]["price"] = json!(1), "fasteners[3].price", "error-joining-field");
    refused(|list| list["welding"][1]["to_mm"] = json!(1.0), "welding[1].to_mm", "error-joining-order");
    refused(|list| list["coats"][0]["on"] = json!("dream"), "coats[0].on", "error-joining-word");
    refused(|list| list["coats"][0]["volume_solids"] = json!(50), "coats[0].volume_solids", "error-joining-number");
    assert!(Stock::read("{").is_err_and(|error| error.place.contains("line 1")));
}

/// A file with several faults names the first of each row, all at once, so that it is mended in one go.
#[test]
fn every_row_with_a_fault_is_named() {
    let mut value = list();
    value["environment"] = json!("wet");
    value["fasteners"][1]["grip_mm"] = json!([4, 2]);
    value["fasteners"][3]["diameter_mm"] = json!(0.19);
    value["coats"][2]["volume_solids"] = json!(50);
    let faults = Stock::read_all(&value.to_string()).expect_err("it is wrong");
    let places: Vec<&str> = faults.iter().map(|fault| fault.place.as_str()).collect();
    let wanted = ["environment", "fasteners[1].grip_mm", "fasteners[3].diameter_mm", "coats[2].volume_solids"];
    assert_eq!(places, wanted);
    assert_eq!(Stock::read_all(Stock::general_text()).as_ref(), Ok(&**Stock::general()));
}

fn choice(kind: JointKind, stack: &[f64], film: f64, strip: f64) -> Result<String, Error> {
    choose(Stock::general(), kind, stack, film, strip).map(|one| one.id.clone())
}

/// The grip is the stack with its adhesive film; the thickest fastener that fits the strip is taken.
#[test]
fn the_stack_chooses_the_fastener() {
    let blind = JointKind::StructuralBlindRivet;
    assert_eq!(choice(blind, &[1.5, 2.0], 0.3, 30.0).expect("fits"), "blind-6.5-5");
    assert_eq!(choice(blind, &[1.5, 2.0], 0.3, 22.0).expect("fits"), "blind-4.8-3", "6.5 mm needs 26 mm of flange");
    assert_eq!(choice(blind, &[3.0, 3.0], 0.3, 30.0).expect("fits"), "blind-6.5-9", "6.0 mm and its film exceed 6 mm");
    assert_eq!(choice(blind, &[3.0, 3.0], 0.0, 30.0).expect("fits"), "blind-6.5-9", "the narrower grip of two");
    assert_eq!(choice(JointKind::SelfPiercingRivet, &[1.0, 1.2], 0.3, 30.0).expect("fits"), "spr-5.3-3.5");
    for error in [
        (blind, vec![8.0, 8.0], 30.0, "joint-stack-thick", "13 mm"),
        (blind, vec![0.5, 0.5], 30.0, "joint-stack-thin", "1.6 mm"),
        (blind, vec![4.0, 3.0], 19.0, "joint-flange-narrow", "26 mm"),
        (blind, vec![1.0, 1.0], 19.0, "joint-flange-narrow", "19.2 mm"),
        (blind, vec![2.0, 0.06], 30.0, "joint-inches", "1.5"),
        (JointKind::SpotWeld, vec![2.0, 2.0], 30.0, "joint-no-kind", "spot weld"),
    ] {
        let (kind, stack, strip, key, says) = error;
        let error = choice(kind, &stack, 0.3, strip).expect_err("it cannot be made");
        assert_eq!(error.key, key);
        let text = error.message(Language::English);
        assert!(text.contains(says) && !error.place.is_empty(), "{text}");
    }
}

/// Bead 8 × 2.5 mm with 15 % waste: 23 ml a metre; volumes grow with length, cartridges never fall.
#[test]
fn adhesive_volume() {
    let adhesive = Stock::general().adhesive("structural").expect("on the shelf");
    let one = bead(adhesive, 1000.0, 1);
    crate::near(one.volume_ml, 23.0, 1e-9);
    assert_eq!(one.cartridges, 1);
    crate::near(bead(adhesive, 1000.0, 2).volume_ml, 46.0, 1e-9);
    assert_eq!(bead(adhesive, 8696.0, 1).cartridges, 2, "200.008 ml need a second one");
    let (mut before, mut count) = (0.0, 0);
    for metre in 1..60 {
        let one = bead(adhesive, f64::from(metre) * 333.0, 1);
        assert!(one.volume_ml > before && one.cartridges >= count);
        (before, count) = (one.volume_ml, one.cartridges);
    }
}
