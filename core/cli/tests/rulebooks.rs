//! Rulebooks as a user has them: files that extend one another, waivers, what is shown of them.

#![expect(clippy::unwrap_used, reason = "helpers of tests are tests")]

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

/// Two tendons whose ducts are narrow, by a limit whose source was read.
const NARROW: &str = r#"{"restrand": 1, "project": {"bridge": "Testing Beck", "stage": "tender"}, "spans": [{"id": "S1"}],
 "strands": [{"id": "S", "area_mm2": 140}], "ducts": [{"id": "D", "inner_mm": 60, "outer_mm": 70}],
 "places": [{"id": "P", "kind": "pier", "station_m": 0}, {"id": "Q", "kind": "pier", "station_m": 30}],
 "tendons": [
  {"mark": "T1", "spans": ["S1"], "replaceable": true, "status": "in_use", "strand": "S", "strand_count": 19, "duct": "D",
   "filler": "wax", "installation": "push", "points": [{"station_m": 0, "lateral_m": 0, "elevation_m": 0},
   {"station_m": 30, "lateral_m": 0, "elevation_m": 0}],
   "ends": {"a": {"place": "P", "face": "up"}, "b": {"place": "Q", "face": "down"}}},
  {"mark": "T2", "spans": ["S1"], "replaceable": true, "status": "in_use", "strand": "S", "strand_count": 18, "duct": "D",
   "filler": "wax", "installation": "push", "points": [{"station_m": 0, "lateral_m": 1, "elevation_m": 0},
   {"station_m": 30, "lateral_m": 1, "elevation_m": 0}],
   "ends": {"a": {"place": "P", "face": "up"}, "b": {"place": "Q", "face": "down"}}}]}"#;

fn restrand(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_restrand"))
        .env_clear()
        .stdin(Stdio::null())
        .args(arguments)
        .output()
        .unwrap()
}

fn stdout(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn stderr(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

struct Desk {
    folder: tempfile::TempDir,
}

impl Desk {
    fn new() -> Self {
        Self { folder: tempfile::tempdir().unwrap() }
    }

    fn put(&self, name: &str, text: &str) -> String {
        let path: PathBuf = self.folder.path().join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    }

    fn check(&self, book: &str, more: &[&str]) -> Output {
        let schedule = self.put("narrow.json", NARROW);
        let mut arguments = vec!["check", "--as-of", "2031-05-07", "--rulebook", book, &schedule];
        arguments.extend(more);
        restrand(&arguments)
    }
}

fn waiver(rule: &str, place: &str, until: &str) -> String {
    format!(
        "[[waivers]]\nrule = \"{rule}\"\nplace = \"{place}\"\nreason = \"the strands went in before\"\n\
         by = \"bridge office\"\nuntil = {until}\n"
    )
}

const HEAD: &str = "rulebook = 1\nname = \"owner\"\nextends = \"base\"\n";
const RULE: &str = "duct/area-ratio-low";

#[test]
fn a_waiver_takes_out_what_it_covers_until_its_last_day() {
    let desk = Desk::new();
    let plain = desk.check(&desk.put("plain.toml", HEAD), &[]);
    assert_eq!(stdout(&plain).matches("area-ratio-low").count(), 2, "{}", stdout(&plain));
    let book = |entries: &str| desk.put("owner.toml", &format!("{HEAD}{entries}"));

    let both =
        waiver(RULE, "tendons[T1]", "2031-05-07") + &waiver(RULE, "tendons[T2].duct", "2040-01-01");
    let output = desk.check(&book(&both), &[]);
    assert_eq!(output.status.code(), Some(0), "{}", stdout(&output));
    let text = stdout(&output).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("0 errors"), "{text}");
    assert!(
        text.contains(
            "duct/area-ratio-low at tendons[T1]: 1 finding waived until 2031-05-07 (bridge office; the strands \
             went in before)"
        ),
        "{text}"
    );

    let over = waiver(RULE, "tendons[T1]", "2031-05-06") + &waiver(RULE, "tendons[T", "2040-01-01");
    let output = desk.check(&book(&over), &["--format", "json"]);
    assert_eq!(output.status.code(), Some(1));
    let said: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let input = &said["inputs"][0];
    assert_eq!(input["counts"]["error"], 2);
    assert_eq!(input["waivers"][0]["state"], "expired");
    assert_eq!(input["waivers"][0]["findings"][0], "duct/area-ratio-low@tendons[T1].duct");
    // A place is a record or a value, not the beginning of a name.
    assert_eq!(input["waivers"][1]["state"], "unused");
}

#[test]
fn a_book_extends_the_one_that_lies_beside_it() {
    let desk = Desk::new();
    desk.put("office/owner.toml", HEAD);
    let limit = "[limits.area_ratio_push]\nvalue = 1.0\nevidence = \"owner\"\ncitation = \"our standard\"\n";
    let bridge = desk.put(
        "bridges/beck.toml",
        &format!("rulebook = 1\nname = \"beck\"\nextends = \"../office/owner.toml\"\n{limit}"),
    );
    let output = desk.check(&bridge, &[]);
    assert_eq!(output.status.code(), Some(0), "{}", stdout(&output));
    assert!(stdout(&output).contains("beck over owner over base"), "{}", stdout(&output));
}

#[test]
fn a_circle_of_files_is_told_at_its_line() {
    let desk = Desk::new();
    let one = desk.put("one.toml", "rulebook = 1\nname = \"one\"\nextends = \"sub/../two.toml\"\n");
    desk.put("sub/keep", "");
    desk.put("two.toml", "rulebook = 1\nname = \"two\"\nextends = \"one.toml\"\n");
    let output = desk.check(&one, &[]);
    assert_eq!(output.status.code(), Some(2));
    let said = stderr(&output);
    assert!(said.contains("in a circle"), "{said}");
    assert!(said.contains("two.toml:3:11"), "{said}");
}

#[test]
fn a_fault_in_an_extended_file_is_shown_in_that_file() {
    let desk = Desk::new();
    desk.put(
        "office.toml",
        &format!("{HEAD}[limits.grip]\nvalue = 3\nevidence = \"owner\"\ncitation = \"x\"\n"),
    );
    let beck = desk.put("beck.toml", "rulebook = 1\nname = \"beck\"\nextends = \"office.toml\"\n");
    let output = desk.check(&beck, &[]);
    assert_eq!(output.status.code(), Some(2));
    let said = stderr(&output);
    assert!(said.contains("office.toml:4:9"), "{said}");
    assert!(said.contains("did you mean \"grip_mm\"?"), "{said}");
}

#[test]
fn the_book_is_shown_with_the_origin_of_each_value() {
    let desk = Desk::new();
    let book = desk.put(
        "owner.toml",
        &format!(
            "{HEAD}[limits.withdrawal_gap_mm]\nvalue = \"0.2 in\"\nevidence = \"owner\"\n\
             citation = \"our standard\"\n[fillers]\nevidence = \"owner\"\ncitation = \"our standard\"\n\
             forbidden = [\"cement_grout\"]\n{}",
            waiver(RULE, "tendons[T1]", "2031-05-07")
        ),
    );
    let output = restrand(&["rulebook", "show", &book]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    let text = stdout(&output);
    for said in [
        "rulebook owner over base",
        "withdrawal_gap_mm: 5.08 mm [0.2 in]",
        "owner: our standard; set in owner",
        "area_ratio_push: 2",
        "set in base",
        "cement grout: forbidden",
        "duct/area-ratio-low at tendons[T1] until 2031-05-07",
        "tendon from tender on: ",
        "limits tagged memory or derived are unconfirmed defaults",
    ] {
        assert!(text.contains(said), "{said} in {text}");
    }
    assert!(
        stdout(&restrand(&["rulebook", "show", &book, "--units", "us"]))
            .contains("0.2 in [5.08 mm]")
    );
}

#[test]
fn a_rulebook_is_begun_and_never_written_over() {
    let desk = Desk::new();
    let path = desk.folder.path().join("ours.toml");
    let shown = path.to_str().unwrap();
    assert_eq!(restrand(&["rulebook", "new", "-o", shown]).status.code(), Some(0));
    let text = std::fs::read_to_string(&path).unwrap();
    assert_eq!(text, stdout(&restrand(&["rulebook", "new"])));
    assert_eq!(restrand(&["rulebook", "show", shown]).status.code(), Some(0));
    let again = restrand(&["rulebook", "new", "-o", shown]);
    assert_eq!(again.status.code(), Some(2));
    assert!(stderr(&again).contains("is there already"));
    assert!(Path::new(shown).exists());
}

#[test]
fn rules_are_listed_with_kinds_severities_and_sources() {
    let text = stdout(&restrand(&["rules"]));
    assert!(text.contains("physical (error)"), "{text}");
    assert!(text.contains("margin (error)"), "{text}");
    assert!(text.contains("margin (warning, for the limit is unconfirmed)"), "{text}");
    assert!(text.contains("(read)") && text.contains("(derived)"), "{text}");
}

#[test]
fn a_book_becomes_requirements_on_models_and_what_they_leave_out_is_told() {
    let desk = Desk::new();
    let path = desk.folder.path().join("base.ids");
    let written = restrand(&["rulebook", "ids", "--output", path.to_str().unwrap()]);
    assert_eq!(written.status.code(), Some(0), "{}", stderr(&written));
    let text = std::fs::read_to_string(&path).unwrap();
    assert!(text.contains("<simpleValue>Restrand_RemovalSpace</simpleValue>"), "{text}");
    // A limit in the unit of the schedule is one in metres for models.
    let set = text.split("limit-end-set_mm").nth(1).unwrap();
    assert!(set.contains("<xs:maxInclusive value=\"0.01\"/>"), "{set}");
    let unsaid = stderr(&written);
    assert!(unsaid.contains("parts/cannot-pass: "), "{unsaid}");
    assert!(!unsaid.contains("space/missing: "), "{unsaid}");
    let at_tender = restrand(&["rulebook", "ids", "--stage", "tender"]);
    assert!(!stdout(&at_tender).contains("<simpleValue>Restrand_RemovalSpace</simpleValue>"));
    let no_stage = restrand(&["rulebook", "ids", "--stage", "soon"]);
    assert_eq!(no_stage.status.code(), Some(2));
    assert!(stderr(&no_stage).contains("tender, shop_drawing, as_built, replaced"));
}
