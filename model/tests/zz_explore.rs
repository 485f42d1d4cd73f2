mod support;
use model::terms::*;
use model::ids::*;
#[test]
fn x() {
    let book = support::book();
    let mut job = support::job(book);
    let kinds = [MarkKind::Dent, MarkKind::Buckle, MarkKind::Crease, MarkKind::Scratch];
    for (n, part) in book.parts.iter().enumerate().filter(|(n, _)| n % 4 == 0).take(40) {
        job.marks.insert(MarkId(format!("m{n}")), support::mark(book, part.id.as_str(), 80, kinds[n / 4 % 4], 30));
    }
    println!("{} marks", job.marks.len());
    for _ in 0..3 {
    let t = std::time::Instant::now();
    for _ in 0..100 { std::hint::black_box(support::planned(book, &job)); }
    let whole = t.elapsed() / 100;
    let t = std::time::Instant::now();
    for _ in 0..100 { std::hint::black_box(model::damage::findings(book, job.marks.iter())); }
    let measure = t.elapsed() / 100;
    let (f, _) = model::damage::findings(book, job.marks.iter());
    let c = model::decide::Circumstances { aluminium_welding: true, aluminium_bay: true, frame: Some(FrameState::WithinTolerance), ..Default::default() };
    let t = std::time::Instant::now();
    for _ in 0..100 { std::hint::black_box(model::decide::decide(book, model::rules::general(), f.clone(), &job.holds, &c)); }
    let decide = t.elapsed() / 100;
    let d = model::decide::decide(book, model::rules::general(), f.clone(), &job.holds, &c);
    let t = std::time::Instant::now();
    for _ in 0..100 { std::hint::black_box(model::operations::operations(book, &d, &c)); }
    let ops = t.elapsed() / 100;
    let t = std::time::Instant::now();
    for _ in 0..100 { std::hint::black_box(model::plan::look_behind(book, &d, &job.inspections)); }
    let lb = t.elapsed() / 100;
    println!("whole {whole:?} measure {measure:?} decide {decide:?} operations {ops:?} ({}) look {lb:?}", model::operations::operations(book, &d, &c).len());
    }
}
