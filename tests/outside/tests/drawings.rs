//! Drawings as a general checker of SVG reads them.

use std::path::Path;

use restrand_check::rulebook;
use restrand_intake::Reading;
use restrand_model::System;
use restrand_model::reflect::Date;
use restrand_report::Identity;
use restrand_report::draw::{Drawings, Drawn};
use restrand_rules::Context;
use restrand_test_outside::{read, root, verdict};

/// The drawings of one of each pair of the demo's tendons.
fn drawn(reading: &Reading, system: System) -> Drawn {
    let book = rulebook::built_in_force("lrfd-2020").expect("the book comes with the program");
    let as_of = Date::new(2026, 11, 25).expect("the calendar has it");
    let context =
        Context::new(&reading.schedule, &reading.problems, &reading.questions, &book, as_of);
    let identity = Identity::of("0", &[], None).expect("nothing is read");
    let drawings = Drawings::of(&context, system, &identity);
    let tendons: Vec<_> = context.tendons().filter(|at| at.mark().ends_with('L')).collect();
    let plans: Vec<_> = tendons.iter().map(|at| restrand_plan::plan(&context, at)).collect();
    drawings.of_plans(&tendons, &plans)
}

fn checked(folder: &Path) -> Result<(), String> {
    verdict("valid_svg.py", &[folder])
}

#[test]
fn the_drawings_of_the_demo_are_valid_svg() {
    let folder = tempfile::tempdir().expect("a folder for scratch files");
    let mut written = 0;
    for (name, system) in [
        ("quillmere.xlsx", System::Si),
        ("quillmere-us.xlsx", System::Us),
        ("quillmere-faulty.xlsx", System::Si),
    ] {
        let reading = read(&root().join("fixtures/demo").join(name));
        for drawing in drawn(&reading, system).all() {
            let path = folder.path().join(format!("{name}-{}.svg", drawing.name));
            std::fs::write(path, drawing.file()).expect("the file can be written");
            written += 1;
        }
    }
    assert!(written > 300, "{written}");
    checked(folder.path()).unwrap_or_else(|why| panic!("{why}"));
}

#[test]
fn a_drawing_that_is_not_valid_is_told() {
    let reading = read(&root().join("fixtures/demo/quillmere.xlsx"));
    let drawn = drawn(&reading, System::Si);
    let whole = drawn.all().next().expect("the demo has tendons").file();
    for (right, wrong, says) in [
        ("<desc ", "<descr ", "descr"),
        ("</svg>", "", "end of file"),
        (" d=\"M", " d=\"Q", "path"),
        (" height=\"", " heigth=\"", "heigth"),
        ("<title id=", "<title id=\"one\" id=", "id"),
    ] {
        let folder = tempfile::tempdir().expect("a folder for scratch files");
        let spoiled = whole.replacen(right, wrong, 1);
        assert_ne!(spoiled, whole, "{right}");
        std::fs::write(folder.path().join("one.svg"), spoiled).expect("the file can be written");
        let why = checked(folder.path()).expect_err(wrong);
        assert!(why.contains(says), "{wrong}: {why}");
    }
}
