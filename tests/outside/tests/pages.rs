//! Pages as a general checker of HTML reads them.

use restrand_check::rulebook;
use restrand_model::System;
use restrand_model::reflect::Date;
use restrand_report::draw::Drawings;
use restrand_report::html::{self, Stamp};
use restrand_report::plan::Plans;
use restrand_report::{Checked, InForce, NoSources};
use restrand_rules::Context;
use restrand_test_outside::{read, root, verdict};

/// The page of findings, and that of the plans of two tendons.
fn pages(name: &str, system: System) -> [String; 2] {
    let reading = read(&root().join("fixtures/demo").join(name));
    let book = rulebook::built_in_force("lrfd-2020").expect("the book comes with the program");
    let as_of = Date::new(2026, 11, 25).expect("the calendar has it");
    let report = restrand_check::check(&reading, &book, as_of);
    let checked = Checked {
        file: name,
        format: Some("workbook"),
        report: &report,
        reading: Some(&reading),
        sources: &NoSources,
        rulebook: Some(InForce { book: &book, why: "as the test says" }),
        system,
        as_of: "2026-11-25",
    };
    let stamp = Stamp { version: "0", as_of, is_dated: true, parts: &[] };
    let context =
        Context::new(&reading.schedule, &reading.problems, &reading.questions, &book, as_of);
    let drawings = Drawings::of(&context, system);
    let tendons: Vec<_> = context.tendons().take(2).collect();
    let plans: Vec<_> = tendons.iter().map(|at| restrand_plan::plan(&context, at)).collect();
    let drawn: Vec<_> =
        tendons.iter().zip(&plans).map(|(at, plan)| drawings.of_tendon(at, plan)).collect();
    let (mut found, mut planned) = (Vec::new(), Vec::new());
    html::check(&mut found, &checked, &stamp).expect("memory takes it");
    let plans = Plans { checked: &checked, plans: &plans };
    html::plans(&mut planned, &plans, &drawn, &stamp).expect("memory takes it");
    [found, planned].map(|page| String::from_utf8(page).expect("a page is UTF-8"))
}

#[test]
fn the_pages_of_the_demo_are_valid_html() {
    let folder = tempfile::tempdir().expect("a folder for scratch files");
    for (name, system) in [("quillmere-us.xlsx", System::Us), ("quillmere-faulty.xlsx", System::Si)]
    {
        for (kind, page) in ["check", "plan"].into_iter().zip(pages(name, system)) {
            assert!(kind == "check" || page.contains("<figure>"), "{name}");
            let path = folder.path().join(format!("{name}-{kind}.html"));
            std::fs::write(path, page).expect("the file can be written");
        }
    }
    verdict("valid_html.py", &[folder.path()]).unwrap_or_else(|why| panic!("{why}"));
}

#[test]
fn a_page_that_is_not_valid_is_told() {
    let [whole, _] = pages("quillmere-us.xlsx", System::Us);
    for (right, wrong, says) in [
        ("</main>", "", "main"),
        ("<caption>", "<captain>", "captain"),
        ("id=\"covered\"", "id=\"rules\"", "ID"),
    ] {
        let folder = tempfile::tempdir().expect("a folder for scratch files");
        let spoiled = whole.replacen(right, wrong, 1);
        assert_ne!(spoiled, whole, "{right}");
        std::fs::write(folder.path().join("one.html"), spoiled).expect("the file can be written");
        let why = verdict("valid_html.py", &[folder.path()]).expect_err(wrong);
        assert!(why.contains(says), "{wrong}: {why}");
    }
}
