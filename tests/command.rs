//! The command line as a program: what it writes, that it names the field at fault, and that it never half-succeeds.

use checks::{project, read};
use serde_json::{Value, json};
use std::process::{Command, Output};

fn cutline(arguments: &[&str]) -> Output {
    // The program stands beside the test programs, in the same profile.
    let mut program = std::env::current_exe().expect("the test's own path");
    program.pop();
    program.pop();
    let program = program.join("cutline");
    assert!(program.exists(), "build it first: cargo build -p model --bin cutline");
    Command::new(program).args(arguments).current_dir(project()).output().expect("the program starts")
}

fn text(output: &Output) -> String {
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    assert!(output.stderr.is_empty(), "nothing on standard error when all is well");
    String::from_utf8(output.stdout.clone()).expect("text")
}

fn complaint(output: &Output) -> String {
    assert!(!output.status.success(), "it should have failed");
    assert!(output.stdout.is_empty(), "nothing on standard output when it fails");
    String::from_utf8(output.stderr.clone()).expect("text")
}

const DEMOS: [&str; 6] = ["parking-scrape", "hail", "front-corner", "side-hit", "rear-hit", "kinked-frame"];

#[test]
fn plans_every_demo_job_in_the_promised_form() {
    for demo in DEMOS {
        let plan: Value =
            serde_json::from_str(&text(&cutline(&["plan", &format!("public/demo/{demo}.json")]))).expect("JSON");
        let findings = plan["findings"].as_array().expect("findings");
        assert!(!findings.is_empty(), "{demo}");
        for finding in findings {
            let part = finding["part"].as_str().expect("a part");
            let recommended = finding["recommended"].as_str().expect("an action");
            let options = finding["options"].as_array().expect("options");
            let actions: Vec<&str> =
                options.iter().map(|option| option["action"].as_str().expect("an action")).collect();
            assert_eq!(actions, ["leave", "refinish", "repair", "section", "replace", "refer"], "{demo} {part}");
            for option in options {
                let trace = option["trace"].as_array().expect("a trace");
                let permitted = option["permitted"].as_bool().expect("yes or no");
                let count = |effect: &str| trace.iter().filter(|entry| entry["effect"] == effect).count();
                assert_eq!(
                    permitted,
                    count("permits") > 0 && count("forbids") == 0,
                    "{demo} {part}: the trace explains"
                );
                for entry in trace {
                    for field in ["rule", "effect", "reason", "basis"] {
                        assert!(entry[field].as_str().is_some_and(|text| !text.is_empty()), "{demo} {part} {field}");
                    }
                }
                if option["action"] == recommended {
                    assert!(permitted, "{demo} {part}: what is recommended is permitted");
                }
            }
        }
        let operations = plan["operations"].as_array().expect("operations");
        let ids: Vec<&str> = operations.iter().map(|operation| operation["id"].as_str().expect("an id")).collect();
        for (at, operation) in operations.iter().enumerate() {
            for field in ["stage", "name"] {
                assert!(operation[field].as_str().is_some_and(|text| !text.is_empty()), "{demo} {field}");
            }
            assert!(operation["cautions"].is_array());
            for before in operation["after"].as_array().expect("after") {
                let before = before.as_str().expect("an id");
                assert!(ids[..at].contains(&before), "{demo}: {} waits for {before}, which comes later", ids[at]);
            }
        }
    }
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    let once = text(&cutline(&["plan", "public/demo/side-hit.json"]));
    assert_eq!(once, text(&cutline(&["plan", "public/demo/side-hit.json"])));
}

#[test]
fn draws_the_cut_map_of_a_part() {
    let svg = text(&cutline(&["draw", "public/demo/side-hit.json", "--cuts", "floor-pan"]));
    for wanted in ["data-goes=\"true\"", "data-goes=\"false\"", "data-use=\"chosen\"", "data-damage", "data-no-cut"] {
        assert!(svg.contains(wanted), "{wanted}");
    }
    assert!(complaint(&cutline(&["draw", "public/demo/side-hit.json", "--cuts", "hood"])).contains("hood"));
}

#[test]
fn draws_every_view() {
    for view in ["left", "right", "front", "rear", "top", "underside"] {
        let svg = text(&cutline(&["draw", "public/demo/front-corner.json", "--view", view]));
        // An outside reader of XML and SVG paths must accept the file.
        let document = roxmltree::Document::parse(&svg).unwrap_or_else(|error| panic!("{view}: {error}"));
        assert_eq!(document.root_element().tag_name().name(), "svg");
        let mut parts = 0;
        for node in document.descendants().filter(|node| node.tag_name().name() == "path") {
            let path = node.attribute("d").expect("a path has its data");
            for segment in svgtypes::PathParser::from(path) {
                segment.unwrap_or_else(|error| panic!("{view}: {error}"));
            }
            parts += 1;
        }
        assert!(parts > 10, "{view}: {parts} paths");
    }
    let svg = text(&cutline(&["draw", "public/demo/front-corner.json", "--view", "left", "--layer", "structure"]));
    assert!(svg.contains("data-part=\"apron-tube-left\"") && svg.contains("data-action=\"section\""));
    assert!(!svg.contains("data-part=\"fender-left\""), "the skin is off");
}

#[test]
fn checks_books_and_rules() {
    assert!(text(&cutline(&["check-book", "model/data/book/generic-pickup.json"])).contains("no fault"));
    assert!(text(&cutline(&["check-rules", "model/data/rules/general.json"])).contains("no fault"));
}

#[test]
fn checks_rates_and_prices_and_plans_with_them() {
    assert!(text(&cutline(&["check-rates", "model/data/rates/demo.json"])).contains("no fault"));
    assert!(text(&cutline(&["check-prices", "model/data/prices/demo.csv"])).contains("150 prices in USD"));
    let write = |name: &str, content: &str| {
        let file = std::env::temp_dir().join(format!("cutline-check-{}-{name}", std::process::id()));
        std::fs::write(&file, content).expect("a temporary file");
        file.to_str().expect("text").to_owned()
    };
    let bad = write("bad.csv", "service_part,price,delivery_days\nfender,\"1,50\",3\nfendor,1,soon\n");
    let told = complaint(&cutline(&["plan", "public/demo/front-corner.json", "--prices", &bad]));
    let places: Vec<&str> =
        told.lines().filter_map(|line| Some(line.split_once(".csv: ")?.1.split_once(": ")?.0)).collect();
    let [price, part, days] = ["2, column 2 (price)", "3, column 1 (service_part)", "3, column 3 (delivery_days)"];
    assert_eq!(places, [price, part, days].map(|place| format!("line {place}")), "{told}");
    let yen = read("model/data/rates/demo.json").replace("\"USD\"", "\"JPY\"");
    let yen = write("yen.json", &yen);
    assert!(
        complaint(&cutline(&["check-prices", "model/data/prices/demo.csv", "--rates", &yen]))
            .contains("JPY has no decimals")
    );
    let plan = text(&cutline(&["plan", "public/demo/front-corner.json", "--rates", &yen]));
    assert!(serde_json::from_str::<Value>(&plan).is_ok());
    for file in [bad, yen] {
        std::fs::remove_file(file).expect("the temporary file");
    }
}

#[test]
fn checks_backups_and_names_what_is_missing() {
    use model::backup::{Made, Making};
    let job = model::job::wire::read_file(&read("public/demo/hail.json")).expect("good");
    let session = job.open(model::job::DeviceId::from("tablet")).expect("opens");
    let mut making = Making::new(Made { by: "Cutline".into(), at_ms: 0 });
    let mut body = Vec::new();
    for change in session.log().changes() {
        body.extend(making.change(change).expect("a change"));
    }
    body.extend(making.shop("rates", "{}").expect("a name"));
    let (mut whole, end) = making.finish().expect("a manifest");
    whole.extend(body);
    whole.extend(end);
    let file = std::env::temp_dir().join(format!("cutline-check-{}.tar", std::process::id()));
    let name = file.to_str().expect("text");
    std::fs::write(&file, &whole).expect("a temporary file");
    assert_eq!(text(&cutline(&["check-backup", name])), "1 job with 1 edit and 0 pictures, all whole.\n");
    std::fs::write(&file, &whole[..whole.len() - 2000]).expect("a temporary file");
    let told = complaint(&cutline(&["check-backup", name]));
    assert!(told.contains("Not whole") && told.contains("cut short") && told.contains("Missing: rates"), "{told}");
    std::fs::write(&file, "no archive").expect("a temporary file");
    assert!(complaint(&cutline(&["check-backup", name])).contains("no backup that Cutline made"));
    std::fs::remove_file(&file).expect("the temporary file");
}

/// Writes a changed demo job to a file of its own and returns the complaint of `plan`.
fn spoiled(name: &str, change: impl Fn(&mut Value)) -> String {
    let mut job: Value = serde_json::from_str(&read("public/demo/front-corner.json")).expect("JSON");
    change(&mut job);
    let file = std::env::temp_dir().join(format!("cutline-check-{}-{name}.json", std::process::id()));
    std::fs::write(&file, job.to_string()).expect("a temporary file");
    let complaint = complaint(&cutline(&["plan", file.to_str().expect("text")]));
    std::fs::remove_file(&file).expect("the temporary file");
    complaint
}

#[test]
fn errors_name_the_field() {
    type Change = Box<dyn Fn(&mut Value)>;
    let cases: Vec<(&str, &str, Change)> = vec![
        ("kind", "marks.m01.kind", Box::new(|job| job["job"]["marks"]["m01"]["kind"] = json!("ding"))),
        ("depth", "marks.m01.depth_mm", Box::new(|job| job["job"]["marks"]["m01"]["depth_mm"] = json!(-4))),
        ("part", "marks.m01.part", Box::new(|job| job["job"]["marks"]["m01"]["part"] = json!("bonnet"))),
        ("cab", "vehicle.cab", Box::new(|job| job["job"]["vehicle"]["cab"] = json!("six-door"))),
        ("field", "colour_code", Box::new(|job| job["job"]["colour_code"] = json!(1))),
        (
            "shape",
            "marks.m01.shape",
            Box::new(|job| job["job"]["marks"]["m01"]["shape"] = json!({"ellipse":{"at":[99999,0],"radii":[1,1]}})),
        ),
        (
            "off",
            "marks.m01.shape",
            Box::new(|job| job["job"]["marks"]["m01"]["shape"] = json!({"ellipse":{"at":[4000,1900],"radii":[20,20]}})),
        ),
        ("newer", "version", Box::new(|job| job["version"] = json!(99))),
        ("format", "format", Box::new(|job| job["format"] = json!("something"))),
    ];
    for (name, place, change) in cases {
        let text = spoiled(name, change);
        assert!(text.contains(place), "{name}: wanted {place}: {text}");
    }
}

#[test]
fn wrong_calls_are_explained() {
    assert!(complaint(&cutline(&[])).contains("Usage"));
    assert!(complaint(&cutline(&["plan", "no-such-file.json"])).contains("no-such-file.json"));
    assert!(complaint(&cutline(&["draw", "public/demo/hail.json", "--view", "inside"])).contains("inside"));
    assert!(complaint(&cutline(&["plan", "public/demo/hail.json", "--faster"])).contains("--faster"));
    assert!(complaint(&cutline(&["check-book", "public/demo/hail.json"])).contains("field"));
}

#[test]
fn generates_plausible_jobs_from_a_seed() {
    let folder = std::env::temp_dir();
    for (seed, parts) in [(1, 1), (2, 7), (3, 20), (4, 60)] {
        let (seed, count) = (seed.to_string(), parts.to_string());
        let call = ["generate", "--seed", &seed, "--parts", &count];
        let job = text(&cutline(&call));
        assert_eq!(job, text(&cutline(&call)), "the same seed gives the same bytes");
        let file = folder.join(format!("cutline-generated-{}-{seed}.json", std::process::id()));
        std::fs::write(&file, &job).expect("a temporary file");
        let plan: Value =
            serde_json::from_str(&text(&cutline(&["plan", file.to_str().expect("text")]))).expect("a plan");
        std::fs::remove_file(&file).expect("the temporary file");
        assert_eq!(plan["findings"].as_array().expect("findings").len(), parts, "every part is damaged");
    }
    assert_ne!(
        text(&cutline(&["generate", "--seed", "1", "--parts", "5"])),
        text(&cutline(&["generate", "--seed", "2", "--parts", "5"]))
    );
    for (call, said) in [
        (&["generate", "--seed", "x", "--parts", "5"][..], "--seed"),
        (&["generate", "--seed", "1"][..], "--parts"),
        (&["generate", "--seed", "1", "--parts", "0"][..], "--parts"),
        (&["generate", "--seed", "1", "--parts", "5000"][..], "5000"),
    ] {
        assert!(complaint(&cutline(call)).contains(said), "{call:?}");
    }
}

#[test]
fn plans_say_what_the_best_of_each_aim_comes_to_and_solve_writes_the_same_program() {
    for demo in DEMOS {
        let file = format!("public/demo/{demo}.json");
        let plan: Value = serde_json::from_str(&text(&cutline(&["plan", &file]))).expect("JSON");
        let mut files = Vec::new();
        let mut wanted = Vec::new();
        for aim in ["money", "hours", "days"] {
            let best = &plan["best"][aim];
            let objective = best["objective"].as_f64().expect("a plain number");
            assert!(objective >= 0.0);
            assert_eq!(
                best["picks"].as_array().expect("picks").len(),
                plan["findings"].as_array().expect("a list").len()
            );
            let solved: Value =
                serde_json::from_str(&text(&cutline(&["solve", "--objective", aim, &file]))).expect("JSON");
            assert_eq!(&solved, best, "{demo} {aim}");
            files.push(text(&cutline(&["solve", "--mps", "--objective", aim, &file])));
            assert_eq!(files.last(), Some(&text(&cutline(&["solve", &file, "--objective", aim, "--mps"]))));
            wanted.push(objective);
        }
        let input = serde_json::to_string(&files).expect("text");
        let answers: Vec<Value> =
            serde_json::from_str(&checks::python("tests/outside/highs.py", &input)).expect("JSON");
        for (answer, objective) in answers.iter().zip(&wanted) {
            let theirs = answer["objective"].as_f64().expect("a number");
            assert!((theirs - objective).abs() < 1e-6 * objective.max(1.0), "{demo}: {objective} here, {theirs} there");
        }
        for finding in plan["findings"].as_array().expect("findings") {
            assert_eq!(finding["chosen"], finding["pick"]["action"]);
            for other in finding["alternatives"].as_array().expect("alternatives") {
                let option = finding["options"].as_array().expect("options").iter();
                let option = option.into_iter().find(|option| option["action"] == other["action"]).expect("an option");
                assert_eq!(option["permitted"], true, "{demo}: only what is permitted is weighed");
                assert!(other["change"]["money"].is_number() && other["change"]["hours"].is_number());
            }
        }
        let seconds = |hours: &Value| hours["seconds"].as_u64().expect("seconds");
        let mut sum = 0;
        for operation in plan["operations"].as_array().expect("operations") {
            let hours = &operation["hours"];
            // What is counted with another part is taken off.
            let terms = hours["terms"].as_array().expect("terms").iter();
            let terms =
                terms.fold(0, |sum, one| if one["less"] == true { sum - seconds(one) } else { sum + seconds(one) });
            assert_eq!(terms, seconds(hours), "every hour opens to its terms");
            sum += terms;
        }
        let hours = plan["best"]["money"]["comes_to"]["hours"].as_f64().expect("hours");
        assert_eq!(Some(sum), format!("{:.0}", hours * 3_600.0).parse().ok(), "{demo}");
        for one in plan["differences"].as_array().expect("differences") {
            assert!(one["text"].as_str().is_some_and(|text| text.len() > 20));
        }
    }
    assert!(complaint(&cutline(&["solve", "--objective", "beauty", "public/demo/hail.json"])).contains("beauty"));
    assert!(complaint(&cutline(&["solve", "--mps"])).contains("Usage"));
}

/// `joints` writes every joint by every permitted route, one part alone on request, the map and the template true to size,
/// the materials as CSV; another joining list changes joints and the wait of the plan alike.
#[test]
fn joints_go_back_together_from_the_command_line() {
    let file = "public/demo/side-hit.json";
    let all: Value = serde_json::from_str(&text(&cutline(&["joints", file]))).expect("JSON");
    let joints = all["joints"].as_array().expect("joints");
    assert!(joints.iter().any(|joint| joint["picked"] == true) && joints.iter().any(|joint| joint["picked"] == false));
    let ids: std::collections::BTreeSet<&str> =
        joints.iter().map(|joint| joint["id"].as_str().expect("an id")).collect();
    assert_eq!(ids.len(), joints.len(), "each id once");
    let one: Value = serde_json::from_str(&text(&cutline(&["joints", file, "--part", "rocker-left"]))).expect("JSON");
    let own = |list: &Value| {
        let own = list["joints"].as_array().expect("joints").iter().filter(|joint| joint["part"] == "rocker-left");
        own.cloned().collect::<Vec<_>>()
    };
    assert_eq!(own(&one), own(&all));
    assert_eq!(one["joints"].as_array().expect("joints").len(), own(&all).len(), "no other part");

    let svg = text(&cutline(&["joints", file, "--svg", "--part", "rocker-left"]));
    let marks: usize = own(&all)
        .iter()
        .filter(|joint| joint["picked"] == true)
        .map(|joint| joint["fasteners"].as_array().expect("a list").len())
        .sum();
    assert_eq!(svg.matches("data-fastener=").count(), marks);
    let csv = text(&cutline(&["joints", file, "--csv"]));
    assert_eq!(csv.lines().count(), all["materials"].as_array().expect("materials").len() + 1);
    for (paper, width, height) in [("a4", "190.0mm", "276.0mm"), ("letter", "195.9mm", "258.4mm")] {
        let html = text(&cutline(&["joints", file, "--template", paper, "--part", "rocker-left"]));
        assert!(
            html.contains(&format!("width=\"{width}\"")) || html.contains(&format!("height=\"{width}\"")),
            "{paper}"
        );
        assert!(html.contains(height) || html.contains("wide"), "{paper}");
        assert!(html.matches("data-scale=\"100\"").count() >= 4, "a bar on each page");
    }

    // Another list, in which the structural adhesive may be let go of later.
    let mut list: Value = serde_json::from_str(&read("model/data/joining/general.json")).expect("JSON");
    list["adhesives"][0]["fixture_minutes"] = json!(600);
    let own_list = std::env::temp_dir().join(format!("cutline-joining-{}.json", std::process::id()));
    std::fs::write(&own_list, list.to_string()).expect("a file");
    let path = own_list.to_str().expect("a plain path");
    let other: Value = serde_json::from_str(&text(&cutline(&["joints", file, "--joining", path]))).expect("JSON");
    let bonded = |list: &Value| {
        let all = list["joints"].as_array().expect("joints");
        all.iter().filter_map(|joint| joint["adhesive"]["fixture_minutes"].as_f64()).fold(0.0, f64::max)
    };
    assert!((bonded(&all) - 240.0).abs() < 1e-9 && (bonded(&other) - 600.0).abs() < 1e-9);
    let wait = |words: &[&str]| {
        let plan: Value = serde_json::from_str(&text(&cutline(words))).expect("JSON");
        plan["money"]["days"]["waits_s"]["adhesive-cure"].as_u64()
    };
    assert_eq!(wait(&["plan", file]), Some(240 * 60));
    assert_eq!(wait(&["plan", file, "--joining", path]), Some(600 * 60));

    // A slip of units is named at its place.
    list["fasteners"][0]["diameter_mm"] = json!(0.209);
    std::fs::write(&own_list, list.to_string()).expect("a file");
    let said = complaint(&cutline(&["joints", file, "--joining", path]));
    assert!(said.contains("fasteners[0].diameter_mm") && said.contains("inches"), "{said}");
    std::fs::remove_file(&own_list).expect("the file goes");
    assert!(complaint(&cutline(&["joints", file, "--part", "wing-left"])).contains("wing-left"));
    assert!(complaint(&cutline(&["joints", file, "--template", "a3"])).contains("a3"));
    assert!(complaint(&cutline(&["joints", file, "--joining"])).contains("--joining"));
}

/// A whole number of hundredths: money in minor units, hours as they are charged.
fn hundredths(value: &Value) -> i64 {
    let text = value.as_str().expect("a number as text");
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    let digits = format!("{}{part:0<2}", whole.trim_start_matches('-'));
    let number: i64 = digits.parse().expect("at most two decimals");
    if text.starts_with('-') { -number } else { number }
}

/// Half to even, for the tax of a category.
fn halved_to_even(number: i64, by: i64) -> i64 {
    let (whole, rest) = (number / by, number % by);
    whole + i64::from(2 * rest > by || (2 * rest == by && whole % 2 == 1))
}

#[test]
fn a_changed_rate_time_or_price_changes_the_total_by_exactly_the_arithmetic() {
    use model::{catalogue, job, money, plan, prices, rates, rules, times};
    let folder = std::env::temp_dir();
    let path = |name: &str| folder.join(format!("cutline-check-{}-{name}", std::process::id())).display().to_string();
    // Every part is held, so that no change moves a choice.
    let mut demo: Value = serde_json::from_str(&read("public/demo/front-corner.json")).expect("JSON");
    let free: Value = serde_json::from_str(&text(&cutline(&["plan", "public/demo/front-corner.json"]))).expect("JSON");
    for finding in free["findings"].as_array().expect("findings") {
        let part = finding["part"].as_str().expect("a part");
        let options = finding["options"].as_array().expect("options");
        let replace = options.iter().any(|option| option["action"] == "replace" && option["permitted"] == true);
        demo["job"]["holds"][part] = if replace { json!("replace") } else { finding["chosen"].clone() };
        if part == "apron-tube-left" {
            demo["version"] = json!(2);
            demo["job"]["options"][part] = json!({ "route": "riveted-bonded" });
        }
    }
    let (job_file, changed) = (path("held.json"), path("changed"));
    std::fs::write(&job_file, demo.to_string()).expect("a file");
    let held = job::wire::read_file(&demo.to_string()).expect("a job").job;
    let book = catalogue::generic(catalogue::Body { cab: held.vehicle.cab, bed: held.vehicle.bed });
    let by_program = |shop: &plan::Shop| plan::plan(book, rules::general(), &held, shop).estimate.total.minor;
    let by_command = |arguments: &[&str]| -> Value {
        let mut all = vec!["plan", job_file.as_str()];
        all.extend(arguments);
        let plan: Value = serde_json::from_str(&text(&cutline(&all))).expect("JSON");
        plan["money"]["money"].clone()
    };
    let before = by_command(&[]);
    let total = hundredths(&before["total"]);
    let base = plan::Shop { aluminium_welding: true, ..plan::Shop::default() };
    assert_eq!(by_program(&base), total);
    let lines = before["lines"].as_array().expect("lines");

    // An hour of structure work costs one unit more: as many units more as there are hours, and labour bears no tax.
    let mut rates: Value = serde_json::from_str(&read("model/data/rates/demo.json")).expect("JSON");
    rates["labour"]["structure"] = json!("87.00");
    std::fs::write(&changed, rates.to_string()).expect("a file");
    let structure = model::words::word(model::terms::Skill::Structure.key());
    let hours: i64 = lines
        .iter()
        .filter(|line| line["category"] == "labour" && line["price_each"] == "86")
        .filter(|line| line["what"].as_str().is_some_and(|what| what.starts_with(&structure)))
        .map(|line| hundredths(&line["quantity"]))
        .sum();
    assert!(hours > 500, "{hours}");
    assert_eq!(hundredths(&by_command(&["--rates", &changed])["total"]), total + hours);
    let own = rates::Rates::read(&rates.to_string()).expect("rates").into();
    assert_eq!(by_program(&plan::Shop { rates: own, ..base.clone() }), total + hours);

    // Setting up the release of a part takes an hour longer: so many hours of its skill more.
    let general = times::TimeBook::general();
    let seconds = general.works["release"].set_up.seconds + 3_600;
    let times = json!({ "format": "cutline-time-changes", "version": 1, "works": { "release": { "set_up": { "seconds": seconds } } } });
    std::fs::write(&changed, times.to_string()).expect("a file");
    let release = |line: &&Value| line["operation"].as_str().is_some_and(|id| id.starts_with("cut/release/"));
    let whole = |line: &&Value| line["category"] == "labour" && line["what"] == *structure;
    let releases = lines.iter().filter(whole).filter(release).count();
    assert!(releases > 1, "{releases}");
    let more = i64::try_from(releases).expect("few") * 8_600;
    assert_eq!(hundredths(&by_command(&["--times", &changed])["total"]), total + more);
    let own = general.with(&times.to_string()).expect("times").into();
    assert_eq!(by_program(&plan::Shop { times: own, ..base.clone() }), total + more);

    // A fender costs 100.10 more: that, and the tax on the sum of the parts, rounded once.
    let list = "service_part,price,delivery_days\nfender,446.10,3\n";
    std::fs::write(&changed, list).expect("a file");
    let parts = hundredths(&before["by_category"]["parts"]["net"]);
    let tax = |net: i64| halved_to_even(net * 75, 1_000);
    assert_eq!(tax(parts), hundredths(&before["by_category"]["parts"]["tax"]));
    let more = 10_010 + tax(parts + 10_010) - tax(parts);
    assert_eq!(hundredths(&by_command(&["--prices", &changed])["total"]), total + more);
    let currency = money::Currency::from_code("USD").expect("a currency");
    let own = prices::PriceList::read(list.as_bytes(), "list", "own", currency).expect("a list").into();
    assert_eq!(by_program(&plan::Shop { prices: own, ..base }), total + more);
    for file in [job_file, changed] {
        std::fs::remove_file(file).expect("the test's own file");
    }
}
