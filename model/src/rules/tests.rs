//! Tests of reading, checking and comparing rules.

use super::condition::{Bound, Condition, FIELDS, Facts, Field, NUMBERS, Number, Test};
use super::imply::{implies, never};
use super::{RuleBook, general, read, work};
use crate::catalogue::{Body, generic};
use crate::terms::{Bed, Cab, Family, Metal};
use serde_json::{Value, json};

fn book(rules: Value) -> Value {
    json!({"format": "cutline-rules", "version": 1, "id": "own", "edition": "7", "title": "Own", "rules": rules})
}

fn rule(id: &str, when: Value, then: Value) -> Value {
    let basis = json!({"kind": "shop-policy", "source": "Shop handbook"});
    json!({"id": id, "when": when, "then": then, "text": "It is { $depth } mm deep; { $depth-limit } mm is enough.", "basis": basis})
}

fn read_value(value: &Value) -> crate::Result<RuleBook> {
    read::read(&value.to_string())
}

#[test]
fn broken_books_are_refused_by_place() {
    let good = rule("one", json!({"metal": ["steel"]}), json!([{"permit": "repair"}]));
    let with = |change: &dyn Fn(&mut Value)| {
        let mut value = book(json!([good.clone()]));
        change(&mut value);
        value
    };
    assert!(read_value(&with(&|_| {})).is_ok());
    type Change = Box<dyn Fn(&mut Value)>;
    let cases: Vec<(Change, &str, &str)> = vec![
        (Box::new(|v| v["format"] = json!("other")), "format", "error-format"),
        (Box::new(|v| v["version"] = json!(2)), "version", "error-newer"),
        (Box::new(|v| v["version"] = json!("1")), "version", "error-rules-version"),
        (Box::new(|v| v["speed"] = json!(1)), "speed", "error-rule-field"),
        (Box::new(|v| v["rules"] = json!({})), "rules", "error-rule-list"),
        (Box::new(|v| v["rules"][0]["id"] = json!("One!")), "rules[0].id", "error-rule-name"),
        (Box::new(|v| v["rules"][0]["when"]["metal"] = json!(["tin"])), "rules[0].when.metal[0]", "error-word"),
        (Box::new(|v| v["rules"][0]["when"]["metal"] = json!("steel")), "rules[0].when.metal", "error-rule-list"),
        (Box::new(|v| v["rules"][0]["when"]["colour"] = json!(["red"])), "rules[0].when.colour", "error-rule-field"),
        (Box::new(|v| v["rules"][0]["when"]["sharp"] = json!("yes")), "rules[0].when.sharp", "error-rule-yes-no"),
        (
            Box::new(|v| v["rules"][0]["when"]["depth_mm"] = json!({"over": "a"})),
            "rules[0].when.depth_mm.over",
            "error-rule-number",
        ),
        (Box::new(|v| v["rules"][0]["when"]["depth_mm"] = json!({})), "rules[0].when.depth_mm", "error-rule-bound"),
        (
            Box::new(|v| v["rules"][0]["when"]["depth_mm"] = json!({"below": 3})),
            "rules[0].when.depth_mm.below",
            "error-rule-field",
        ),
        (
            Box::new(|v| v["rules"][0]["when"]["depth_mm"] = json!({"over": 5, "up_to": 5})),
            "rules[0].when",
            "error-rule-unreachable",
        ),
        (
            Box::new(|v| v["rules"][0]["when"]["material"] = json!(["magnesium"])),
            "rules[0].when",
            "error-rule-unreachable",
        ),
        (Box::new(|v| v["rules"][0]["then"] = json!([])), "rules[0].then", "error-rule-silent"),
        (Box::new(|v| v["rules"][0]["then"] = json!([{"permit": "mend"}])), "rules[0].then[0].permit", "error-word"),
        (
            Box::new(|v| v["rules"][0]["then"] = json!([{"forbid": "refer"}])),
            "rules[0].then[0].forbid",
            "error-rule-refer",
        ),
        (
            Box::new(|v| v["rules"][0]["then"] = json!([{"permit": "leave", "forbid": "repair"}])),
            "rules[0].then[0]",
            "error-rule-verdict",
        ),
        (
            Box::new(|v| v["rules"][0]["then"] = json!([{"require": "magic", "with": ["repair"]}])),
            "rules[0].then[0].require",
            "error-rule-work",
        ),
        (
            Box::new(|v| v["rules"][0]["then"] = json!([{"require": "isolate"}])),
            "rules[0].then[0].with",
            "error-rule-with",
        ),
        (
            Box::new(|v| v["rules"][0]["then"] = json!([{"permit_route": "welded", "with": ["leave"]}])),
            "rules[0].then[0].with[0]",
            "error-word",
        ),
        (
            Box::new(|v| v["rules"][0]["basis"] = json!({"kind": "published-source"})),
            "rules[0].basis.source",
            "error-rule-source",
        ),
        (
            Box::new(|v| v["rules"][0]["basis"] = json!({"kind": "common-practice", "source": "x"})),
            "rules[0].basis.source",
            "error-rule-source-common",
        ),
        (Box::new(|v| v["rules"][0]["cautions"] = json!(["sun"])), "rules[0].cautions[0]", "error-word"),
        (
            Box::new(|v| {
                v["rules"][0].as_object_mut().unwrap().remove("text");
            }),
            "rules[0].reason",
            "error-rule-reason",
        ),
        (
            Box::new(|v| {
                v["rules"][0].as_object_mut().unwrap().remove("when");
            }),
            "rules[0].when",
            "error-rule-missing",
        ),
        (
            Box::new(|v| {
                let again = v["rules"][0].clone();
                v["rules"].as_array_mut().unwrap().push(again);
            }),
            "rules[1].id",
            "error-rule-twice",
        ),
    ];
    for (change, place, key) in cases {
        let value = with(&*change);
        let error = read_value(&value).expect_err(place);
        assert_eq!((error.place.as_str(), error.key), (place, key), "{value}");
        assert!(crate::words::find(crate::words::Language::English, key).is_some(), "{key} has words");
    }
    assert_eq!(read::read("{").expect_err("no JSON").key, "error-json");
    let mut deep = json!({"sharp": true});
    for _ in 0..40 {
        deep = json!({"any_of": [deep]});
    }
    let error = read_value(&book(json!([rule("one", deep, json!([{"permit": "repair"}]))]))).expect_err("too deep");
    assert_eq!(error.key, "error-rule-deep");
}

#[test]
fn contradictions_name_both_rules() {
    let permit = |when| rule("may", when, json!([{"permit": "repair"}]));
    let forbid = |when| rule("may-not", when, json!([{"forbid": "repair"}]));
    for (narrow, wide) in [
        (json!({"material": ["high-strength-steel"]}), json!({"metal": ["steel"]})),
        (json!({"depth_mm": {"over": 20, "up_to": 30}}), json!({"depth_mm": {"over": 10}})),
        (json!({"kind_only": ["dent"], "sharp": true}), json!({"kind": ["dent", "crease"]})),
        (json!({"any_of": [{"kind": ["kink"]}, {"kind": ["buckle"]}]}), json!({"kind": ["kink", "buckle", "tear"]})),
        (json!({"sharp": true}), json!({"not": {"sharp": false, "kind": ["dent"]}})),
    ] {
        let error =
            read_value(&book(json!([permit(narrow.clone()), forbid(wide.clone())]))).expect_err("contradiction");
        assert_eq!(error.key, "error-rule-contradiction");
        let text = error.to_string();
        assert!(text.contains("\"may\"") && text.contains("\"may-not\""), "{text}");
        // The other way round is a general permission with an exception, as it should be.
        assert!(read_value(&book(json!([permit(wide), forbid(narrow)]))).is_ok());
    }
    let routes = book(json!([
        rule("may", json!({"sharp": true}), json!([{"permit_route": "welded"}])),
        rule("may-not", json!({}), json!([{"forbid_route": "welded"}])),
    ]));
    assert_eq!(read_value(&routes).expect_err("contradiction").key, "error-rule-contradiction");
}

#[test]
fn an_own_book_overrides_by_id() {
    let mut own = book(json!([rule("own-tube", json!({"form": ["tube"]}), json!([{"permit": "repair"}]))]));
    own["overrides"] = json!(["general-tube-no-repair"]);
    let both = general().overlay(read_value(&own).expect("a good book")).expect("it fits");
    assert_eq!(both.id, "own");
    assert!(both.edition.contains("general 1") && both.edition.starts_with('7'));
    assert!(both.rule(&"general-tube-no-repair".into()).is_none());
    assert!(both.rule(&"own-tube".into()).is_some());
    assert_eq!(both.rules.len(), general().rules.len());
    own["overrides"] = json!(["general-nothing"]);
    let error = general().overlay(read_value(&own).expect("a good book")).expect_err("unknown");
    assert_eq!((error.place.as_str(), error.key), ("overrides[0]", "error-rule-override"));
    let again = book(json!([rule("general-refer-always", json!({}), json!([{"permit": "refer"}]))]));
    let error = general().overlay(read_value(&again).expect("a good book")).expect_err("twice");
    assert_eq!(error.key, "error-rule-twice");
}

#[test]
fn the_built_in_book_says_where_it_comes_from_and_uses_every_work() {
    for one in &general().rules {
        assert!(!one.basis.words().is_empty());
        assert_eq!(one.basis.kind, crate::terms::BasisKind::CommonPractice, "{}: we hold no other source", one.id);
    }
    let required = |key: &str| {
        general()
            .rules
            .iter()
            .flat_map(|rule| &rule.then)
            .any(|verdict| matches!(verdict, super::Verdict::Require { work, .. } if *work == key))
    };
    for key in work::WORKS {
        assert!(required(key), "no rule requires {key}");
    }
    assert!(work::WORKS.is_sorted());
}

#[test]
fn the_published_schema_lists_the_same_words() {
    let schema: Value =
        serde_json::from_str(include_str!("../../../public/schema/rule-book.schema.json")).expect("the schema is JSON");
    let fields = schema["$defs"]["condition"]["properties"].as_object().expect("fields");
    for (field, name) in FIELDS {
        if field.yes_no() {
            assert_eq!(fields[name]["type"], "boolean", "{name}");
        } else {
            assert_eq!(fields[name]["items"]["enum"], json!(field.words()), "{name}");
        }
    }
    for (_, name, _) in NUMBERS {
        assert_eq!(fields[name]["$ref"], "#/$defs/bound", "{name}");
    }
    assert_eq!(fields.len(), FIELDS.len() + NUMBERS.len() + super::condition::NAMES.len() + 3);
    let works = schema["$defs"]["verdict"]["oneOf"].as_array().expect("forms").iter();
    let works: Vec<&Value> = works.filter_map(|form| form["properties"]["require"].get("enum")).collect();
    assert_eq!(works, [&json!(work::WORKS)]);
}

/// A plain generator of numbers (xorshift), so that a failure repeats.
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, end: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 % (end as u64)).expect("small")
    }

    fn mask(&mut self, words: usize) -> u32 {
        let mut mask = 0;
        while mask == 0 {
            for bit in 0..words {
                mask |= u32::from(self.below(3) == 0) << bit;
            }
        }
        mask
    }

    fn condition(&mut self, depth: usize) -> Condition {
        let few = [Field::Material, Field::Metal, Field::Kind, Field::Sharp, Field::Form, Field::Joined];
        let tests = (0..1 + self.below(3))
            .map(|_| match self.below(if depth == 0 { 4 } else { 6 }) {
                0 | 1 => {
                    let field = few[self.below(few.len())];
                    Test::Any(field, self.mask(field.words().len()))
                }
                2 => Test::OnlyKinds(self.mask(Field::Kind.words().len())),
                3 => {
                    let ends = [f64::NEG_INFINITY, 2.0, 5.0, 9.0, f64::INFINITY];
                    let over = self.below(4);
                    let number = [Number::Depth, Number::Share][self.below(2)];
                    Test::Within(number, Bound { over: ends[over], up_to: ends[over + self.below(5 - over)] })
                }
                4 => Test::AnyOf((0..1 + self.below(2)).map(|_| self.condition(depth - 1)).collect()),
                _ => Test::Not(self.condition(depth - 1)),
            })
            .collect();
        Condition { tests }
    }

    fn facts<'a>(&mut self, facts: &mut Facts<'a>) {
        for (field, _) in FIELDS {
            let words = field.words().len();
            facts.masks[field as usize] = if field.single() { 1 << self.below(words) } else { self.mask(words) };
        }
        // The metal follows from the material.
        let family = facts.masks[Field::Material as usize].trailing_zeros() as usize;
        let metal = Metal::ALL.iter().position(|metal| *metal == Family::ALL[family].metal()).expect("known");
        facts.masks[Field::Metal as usize] = 1 << metal;
        for number in [Number::Depth, Number::Share] {
            facts.numbers[number as usize] = [0.0, 2.0, 3.0, 5.0, 7.0, 9.0, 20.0][self.below(7)];
        }
    }
}

#[test]
fn implication_and_impossibility_are_never_claimed_wrongly() {
    let part = &generic(Body { cab: Cab::FourDoor, bed: Bed::Short }).parts[0];
    let mut numbers = Numbers(0x9e37_79b9_7f4a_7c15);
    let (mut implied, mut impossible) = (0, 0);
    for _ in 0..6_000 {
        let one = numbers.condition(2);
        // A wider one now and then, so that implications occur.
        let mut other = if numbers.below(2) == 0 { numbers.condition(2) } else { one.clone() };
        if other == one && other.tests.len() > 1 {
            other.tests.pop();
        }
        let (claims, cannot) = (implies(&one, &other), never(&one));
        implied += usize::from(claims && one != other);
        impossible += usize::from(cannot);
        let mut facts = Facts::of_part(part, false);
        for _ in 0..60 {
            numbers.facts(&mut facts);
            if one.holds(&facts) {
                assert!(!cannot, "{one:?} holds after all");
                assert!(!claims || other.holds(&facts), "{one:?} does not imply {other:?}");
            }
        }
    }
    assert!(implied > 300 && impossible > 300, "{implied} {impossible}");
}
