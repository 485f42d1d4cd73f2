//! The published JSON Schemas against an independent validator: the jsonschema package (PyPI), draft 2020-12. Every book,
//! rule book and job of ours is accepted; mutated ones are refused, by the schema or, where a schema cannot know, by the
//! program.

use checks::{Numbers, project, python, read};
use serde_json::{Value, json};

fn judge(schema: &str, documents: &[Value]) -> Vec<Option<String>> {
    let schema: Value = serde_json::from_str(&read(schema)).expect("the schema is JSON");
    let given = json!({"schema": schema, "documents": documents});
    serde_json::from_str(&python("tests/outside/validate.py", &given.to_string())).expect("a list")
}

fn document(path: &str) -> Value {
    serde_json::from_str(&read(path)).unwrap_or_else(|error| panic!("{path}: {error}"))
}

fn jobs() -> Vec<(String, Value)> {
    let mut out = Vec::new();
    for folder in ["public/demo", "tests/saved"] {
        let Ok(entries) = std::fs::read_dir(project().join(folder)) else { continue };
        for entry in entries {
            let name = entry.expect("readable").file_name().into_string().expect("a plain name");
            if name.ends_with(".json") {
                let path = format!("{folder}/{name}");
                let value = document(&path);
                out.push((path, value));
            }
        }
    }
    out.sort_by(|one, other| one.0.cmp(&other.0));
    assert!(out.len() >= 6, "six demo jobs at least");
    out
}

#[test]
fn our_documents_are_accepted() {
    let (names, documents): (Vec<String>, Vec<Value>) = jobs().into_iter().unzip();
    for (name, complaint) in names.iter().zip(judge("public/schema/job.schema.json", &documents)) {
        assert_eq!(complaint, None, "{name}");
    }
    let books = [document("model/data/book/generic-pickup.json")];
    assert_eq!(judge("public/schema/body-book.schema.json", &books), [None]);
    let rules = [document("model/data/rules/general.json")];
    assert_eq!(judge("public/schema/rule-book.schema.json", &rules), [None]);
    let rates = [document("model/data/rates/demo.json"), rates(&mut Numbers::new(1))];
    assert_eq!(judge("public/schema/rates.schema.json", &rates), [None, None]);
    let times = [document("model/data/times/general.json")];
    assert_eq!(judge("public/schema/time-book.schema.json", &times), [None]);
    let joining = [document("model/data/joining/general.json")];
    assert_eq!(judge("public/schema/joining.schema.json", &joining), [None]);
}

/// Changes one value somewhere in the document to something that cannot be right; returns where.
fn spoil(document: &mut Value, numbers: &mut Numbers) -> String {
    let count = size(document);
    let chosen = numbers.below(count);
    let mut at = 0;
    change(document, "$", &mut at, chosen, numbers).expect("the chosen place exists")
}

fn size(value: &Value) -> usize {
    1 + match value {
        Value::Object(map) => map.values().map(size).sum::<usize>(),
        Value::Array(list) => list.iter().map(size).sum(),
        _ => 0,
    }
}

fn change(value: &mut Value, path: &str, at: &mut usize, chosen: usize, numbers: &mut Numbers) -> Option<String> {
    if *at == chosen {
        *value = match value {
            Value::Object(map) if numbers.below(2) == 0 => {
                // Neither a field nor a name, as the keys of some objects are.
                map.insert("not a field".into(), json!(1));
                value.clone()
            }
            Value::String(_) => json!(numbers.below(1000)),
            Value::Number(_) => json!("many"),
            Value::Bool(_) => json!("perhaps"),
            _ => json!(false),
        };
        return Some(path.to_owned());
    }
    *at += 1;
    match value {
        Value::Object(map) => {
            for (key, inner) in map.iter_mut() {
                if let Some(found) = change(inner, &format!("{path}.{key}"), at, chosen, numbers) {
                    return Some(found);
                }
            }
        }
        Value::Array(list) => {
            for (n, inner) in list.iter_mut().enumerate() {
                if let Some(found) = change(inner, &format!("{path}[{n}]"), at, chosen, numbers) {
                    return Some(found);
                }
            }
        }
        _ => {}
    }
    None
}

#[test]
fn spoiled_jobs_are_refused_by_schema_and_program() {
    let mut documents = Vec::new();
    let mut places = Vec::new();
    for (name, job) in jobs() {
        for seed in 0..60 {
            let mut numbers = Numbers::new(seed);
            let mut spoiled = job.clone();
            let place = spoil(&mut spoiled, &mut numbers);
            places.push(format!("{name}, seed {seed}: {place}"));
            documents.push(spoiled);
        }
    }
    for ((place, document), complaint) in
        places.iter().zip(&documents).zip(judge("public/schema/job.schema.json", &documents))
    {
        assert!(complaint.is_some(), "the schema accepts {place}");
        let error = model::job::wire::read_file(&document.to_string()).err();
        assert!(error.is_some(), "the program accepts {place}");
    }
}

#[test]
fn spoiled_books_are_refused_by_schema_and_program() {
    let book = document("model/data/book/generic-pickup.json");
    let mut documents = Vec::new();
    let mut places = Vec::new();
    for seed in 0..40 {
        let mut numbers = Numbers::new(seed);
        let mut spoiled = book.clone();
        // The whole book is large; a few parts are enough.
        let parts = spoiled["parts"].as_array_mut().expect("parts");
        let keep = numbers.below(parts.len() - 3);
        *parts = parts[keep..keep + 3].to_vec();
        places.push(format!("seed {seed}: {}", spoil(&mut spoiled, &mut numbers)));
        documents.push(spoiled);
    }
    let verdicts = judge("public/schema/body-book.schema.json", &documents);
    for ((place, document), complaint) in places.iter().zip(&documents).zip(verdicts) {
        assert!(complaint.is_some(), "the schema accepts {place}");
        assert!(
            model::catalogue::read::Description::read(&document.to_string()).is_err(),
            "the program accepts {place}"
        );
    }
}

/// A shop's change of some times, as the program writes it.
fn time_changes(numbers: &mut Numbers) -> Value {
    let general = model::times::TimeBook::general();
    let mut book = (**general).clone();
    let names: Vec<String> = book.works.keys().cloned().collect();
    for _ in 0..8 {
        let work = book.works.get_mut(&names[numbers.below(names.len())]).expect("a work of the book");
        work.set_up.seconds = u32::try_from(numbers.below(10_000)).expect("small");
        for (_, each) in &mut work.per {
            each.spread = (numbers.within(0.0, 1.0) * 100.0).round() / 100.0;
        }
    }
    book.pace.hands = 3;
    let text = book.changes(general).expect("something differs");
    assert!(general.with(&text).expect("its own changes") == book, "{text}");
    serde_json::from_str(&text).expect("JSON")
}

#[test]
fn spoiled_time_books_are_refused_by_schema_and_program() {
    let mut documents = Vec::new();
    let mut places = Vec::new();
    let book = document("model/data/times/general.json");
    for seed in 0..120 {
        let mut numbers = Numbers::new(seed);
        let changes = seed % 2 == 1;
        let mut spoiled = if changes { time_changes(&mut numbers) } else { book.clone() };
        if changes {
            assert_eq!(judge("public/schema/time-book.schema.json", &[spoiled.clone()]), [None], "seed {seed}");
        }
        places.push(format!("seed {seed}: {}", spoil(&mut spoiled, &mut numbers)));
        documents.push(spoiled);
    }
    let verdicts = judge("public/schema/time-book.schema.json", &documents);
    for ((place, document), complaint) in places.iter().zip(&documents).zip(verdicts) {
        assert!(complaint.is_some(), "the schema accepts {place}");
        let text = document.to_string();
        let error = match document["format"].as_str() {
            Some("cutline-time-changes") => model::times::TimeBook::general().with(&text).err(),
            _ => model::times::TimeBook::read(&text).err(),
        };
        assert!(error.is_some(), "the program accepts {place}");
    }
}

/// Rates as the program writes them.
fn rates(numbers: &mut Numbers) -> Value {
    let mut rates = (**model::rates::Rates::demo()).clone();
    for price in &mut rates.labour {
        *price = model::money::Decimal::new(i64::try_from(numbers.below(1_000_000)).expect("small"), 2);
    }
    std::sync::Arc::make_mut(&mut rates.materials[0]).name = "The shop's own adhesive".into();
    let text = rates.to_text();
    assert_eq!(model::rates::Rates::read(&text).as_ref(), Ok(&rates), "{text}");
    serde_json::from_str(&text).expect("JSON")
}

#[test]
fn spoiled_rates_are_refused_by_schema_and_program() {
    let mut documents = Vec::new();
    let mut places = Vec::new();
    for seed in 0..200 {
        let mut numbers = Numbers::new(seed);
        let mut spoiled = rates(&mut numbers);
        places.push(format!("seed {seed}: {}", spoil(&mut spoiled, &mut numbers)));
        documents.push(spoiled);
    }
    // What is right in form and wrong in size or spelling.
    for (place, wrong) in [
        ("/storage_per_day", "100000000.01"),
        ("/storage_per_day", "1,50"),
        ("/storage_per_day", "-1"),
        ("/storage_per_day", "1.23456"),
        ("/storage_per_day", ""),
        ("/storage_per_day", "1."),
        ("/tax/parts", "100.001"),
        ("/tax/parts", "1e1"),
        ("/worth_threshold", "0.9"),
        ("/worth_threshold", "200.1"),
        ("/materials/0/amount", "0.0"),
        ("/materials/0/amount", "1000.1"),
        ("/materials/0/works/0", "join"),
        ("/materials/0/id", "Adhesive"),
        ("/materials/0/per", "metre"),
        ("/rounding", "nearest"),
        ("/currency", "usd"),
        ("/id", " "),
    ] {
        let mut spoiled = document("model/data/rates/demo.json");
        *spoiled.pointer_mut(place).expect(place) = json!(wrong);
        places.push(format!("{place} = {wrong}"));
        documents.push(spoiled);
    }
    let verdicts = judge("public/schema/rates.schema.json", &documents);
    for ((place, document), complaint) in places.iter().zip(&documents).zip(verdicts) {
        assert!(complaint.is_some(), "the schema accepts {place}");
        assert!(model::rates::Rates::read(&document.to_string()).is_err(), "the program accepts {place}");
    }
}

#[test]
fn sizes_at_their_limits_are_accepted_by_schema_and_program() {
    for (place, right) in [
        ("/storage_per_day", "100000000.0000"),
        ("/storage_per_day", "0"),
        ("/tax/parts", "100.000"),
        ("/worth_threshold", "200"),
        ("/worth_threshold", "1.0"),
        ("/materials/0/amount", "1000"),
        ("/materials/0/amount", "0.0001"),
    ] {
        let mut document = document("model/data/rates/demo.json");
        *document.pointer_mut(place).expect(place) = json!(right);
        assert_eq!(judge("public/schema/rates.schema.json", &[document.clone()]), [None], "{place} = {right}");
        model::rates::Rates::read(&document.to_string()).unwrap_or_else(|error| panic!("{place} = {right}: {error}"));
    }
}

#[test]
fn spoiled_joining_lists_are_refused_by_schema_and_program() {
    let list = document("model/data/joining/general.json");
    let mut documents = Vec::new();
    let mut places = Vec::new();
    for seed in 0..120 {
        let mut numbers = Numbers::new(seed);
        let mut spoiled = list.clone();
        places.push(format!("seed {seed}: {}", spoil(&mut spoiled, &mut numbers)));
        documents.push(spoiled);
    }
    let verdicts = judge("public/schema/joining.schema.json", &documents);
    for ((place, document), complaint) in places.iter().zip(&documents).zip(verdicts) {
        assert!(complaint.is_some(), "the schema accepts {place}");
        assert!(model::joints::Stock::read(&document.to_string()).is_err(), "the program accepts {place}");
    }
}

/// What `cutline joints` writes keeps to its published schema for every demo; spoiled it does not.
#[test]
fn joint_plans_keep_to_their_schema() {
    use model::joints::{Stock, Wanted, joint_plans, json, made_with, materials, unjoinable};
    let mut documents = Vec::new();
    for (name, _) in jobs().iter().filter(|(name, _)| name.starts_with("public/demo/")) {
        let job = model::job::wire::read_file(&read(name)).expect("a demo job").job;
        let book = model::catalogue::generic(model::catalogue::Body { cab: job.vehicle.cab, bed: job.vehicle.bed });
        let plan = model::plan::plan(book, model::rules::general(), &job, &model::plan::Shop::default());
        let picked: Vec<_> = plan.decisions.iter().map(AsRef::as_ref).zip(&plan.picks).collect();
        let stock = Stock::general();
        let joints = joint_plans(book, &picked, stock, model::times::TimeBook::general(), Wanted::Permitted);
        let coats = materials::refinish(stock, &plan.operations);
        let lines = materials::materials(stock, &joints, &coats);
        let with = made_with(book, &picked, &joints);
        let blends = model::operations::neighbours(book, &plan.operations, job.vehicle.colour_family);
        documents.push(json::to_json(stock, &joints, &with, &unjoinable(book, &picked), &coats, &blends, &lines));
    }
    let heaviest = documents.iter().max_by_key(|one| one["joints"].as_array().map_or(0, Vec::len)).cloned();
    let good = documents.len();
    let mut places = Vec::new();
    for seed in 0..60 {
        let mut numbers = Numbers::new(seed);
        let mut spoiled = heaviest.clone().expect("a demo with joints");
        places.push(spoil(&mut spoiled, &mut numbers));
        documents.push(spoiled);
    }
    let verdicts = judge("public/schema/joints.schema.json", &documents);
    for complaint in &verdicts[..good] {
        assert_eq!(*complaint, None);
    }
    for (place, complaint) in places.iter().zip(&verdicts[good..]) {
        assert!(complaint.is_some(), "the schema accepts {place}");
    }
}
