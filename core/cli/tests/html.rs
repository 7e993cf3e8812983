//! Reports as pages, as the program writes them.

use std::path::{Path, PathBuf};
use std::process::Command;

fn demo(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/demo").join(name)
}

fn page(arguments: &[&str], file: &Path) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_restrand"))
        .args(arguments)
        .args(["--format", "html"])
        .arg(file)
        .output()
        .expect("the program runs");
    assert!(
        matches!(output.status.code(), Some(0 | 1)),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    String::from_utf8(output.stdout).expect("a page is UTF-8")
}

#[test]
fn a_page_of_findings_has_all_of_them_with_limits_drawings_and_stamp() {
    let file = demo("quillmere-faulty.xlsx");
    let page = page(&["check", "--as-of", "2031-05-07"], &file);
    for wanted in [
        "id=\"f1\"",
        "data-rule=\"space/stub\"",
        "<thead>",
        "Draft for the engineer in charge",
        "<dt>Revision</dt>",
        "<dd>2031-05-07</dd>",
        "SHA-256",
        "role=\"img\"",
        "derived",
        "id=\"rulebook\"",
    ] {
        assert!(page.contains(wanted), "{wanted}");
    }
    let from = page.find("data-rule=\"space/stub\"").expect("the stub is found");
    let article = &page[from..from + page[from..].find("</article>").expect("it ends")];
    assert!(article.contains("Remedies"), "{article}");
    let (_, drawing) =
        article.split_once("<a href=\"#t").expect("it leads to a drawing of a tendon");
    let (name, _) = drawing.split_once('"').expect("the name ends");
    assert!(
        page.contains(&format!("<svg xmlns=\"http://www.w3.org/2000/svg\" id=\"t{name}\"")),
        "{name}"
    );
}

#[test]
fn the_page_of_a_stopped_plan_opens_with_the_stop_and_names_errors_elsewhere() {
    let page = page(
        &["plan", "--tendon", "T22L", "--as-of", "2026-11-25"],
        &demo("quillmere-faulty.xlsx"),
    );
    let at = |words: &str| page.find(words).unwrap_or_else(|| panic!("{words}"));
    let (stop, binds) =
        (at("<strong>Stop:</strong> Nothing is begun"), at("66.8 mm [2.63 in] more height"));
    assert!(stop < binds && binds < at("The tendon: external"));
    let elsewhere = at("Not in what this plan rests on:");
    assert!(at("16. Record") < elsewhere);
    assert!(
        page[elsewhere..].contains("space/stub at tendons[T12R].ends.a.removal_space.behind_mm")
    );
}

#[test]
fn pages_are_the_same_every_time_and_tell_no_day_unasked() {
    let file = demo("quillmere.xlsx");
    let arguments = ["plan", "--tendon", "T11L"];
    let one = page(&arguments, &file);
    assert_eq!(one, page(&arguments, &file));
    assert!(one.contains("the day of the run, which is not written"));
    assert!(one.contains("<svg "));
    assert!(
        page(&["plan", "--tendon", "T11L", "--units", "us"], &file)
            .contains("US customary, with SI")
    );
}

#[test]
fn no_text_of_a_file_becomes_markup_style_or_script() {
    const EVIL: &str = "\"}</style></script></title><img src=x onerror='alert(1)'><!--";
    let folder = tempfile::tempdir().expect("a folder for scratch files");
    let json = folder.path().join("schedule.json");
    let status = Command::new(env!("CARGO_BIN_EXE_restrand"))
        .arg("convert")
        .args([&demo("quillmere-faulty.xlsx"), &json])
        .output()
        .expect("the program runs");
    let mut text = std::fs::read_to_string(&json)
        .unwrap_or_else(|_| panic!("{}", String::from_utf8_lossy(&status.stderr)));
    let evil = serde_json::to_string(EVIL).expect("a text");
    for name in ["Quillmere Viaduct", "T12R", "QV-PT-101", "A", "K-13", "O-P3"] {
        text = text.replace(&format!("\"{name}\""), &evil);
    }
    std::fs::write(&json, text).expect("the file can be written");
    for arguments in [&["check"][..], &["plan", "--tendon", EVIL]] {
        let page = page(arguments, &json);
        assert!(page.contains("&lt;img src=x"), "the text is shown");
        for bare in ["<img", "<!--"] {
            assert!(!page.contains(bare), "{bare}");
        }
        let tags = page.split('<').skip(1).filter_map(|rest| rest.split_once('>'));
        for (tag, _) in tags {
            assert!(!tag.contains("onerror="), "{tag}");
        }
        for element in ["script", "style", "title"] {
            let opened = page.matches(&format!("<{element}>")).count()
                + page.matches(&format!("<{element} ")).count();
            assert_eq!(opened, page.matches(&format!("</{element}>")).count(), "{element}");
        }
        assert_eq!(page.matches("</script>").count(), 1);
    }
}

#[test]
fn a_page_is_of_one_input() {
    let file = demo("quillmere.xlsx");
    let output = Command::new(env!("CARGO_BIN_EXE_restrand"))
        .args(["check", "--format", "html"])
        .args([&file, &file])
        .output()
        .expect("the program runs");
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("of one input"));
}
