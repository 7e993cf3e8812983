//! Pages as a general checker of HTML reads them.

use restrand_model::System;
use restrand_test_outside::{pages, verdict};

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
