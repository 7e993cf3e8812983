//! Sheets that are not in the schedule's own layout, as a user meets them: how they were read, what is asked, and
//! the mapping file that answers.

#![expect(clippy::unwrap_used, reason = "helpers of tests are tests")]

use std::path::Path;
use std::process::{Command, Output, Stdio};

const LIST: &str = "Tendon list\n\nTendon No.,No. of strands,Length,Duct O.D. (mm),Colour\n\
                    T1,19,39.2,125,red\nT2,15,41.5,110,blue\n";

fn run(arguments: &[&str], paths: &[&Path]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_restrand"));
    command.env_clear().stdin(Stdio::null()).args(arguments).args(paths);
    command.output().unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

#[test]
fn the_reading_is_shown_and_a_mapping_answers_what_is_asked() {
    let folder = tempfile::tempdir().unwrap();
    let list = folder.path().join("list.csv");
    std::fs::write(&list, LIST).unwrap();

    let checked = run(&["check", "--reading"], &[&list]);
    let shown = text(&checked.stdout);
    for line in [
        "Tendon No. -> tendon.mark (sure",
        "Length -> a question: tendon.length_m (no unit is stated for it; it may be in m or in ft)",
        "Colour -> kept as it is",
        "Duct O.D. (mm) -> duct.outer_mm [mm] (sure",
    ] {
        assert!(shown.contains(line), "{line}\n{shown}");
    }
    // Programs read one document, and people the reading beside it.
    let json = run(&["check", "--reading", "--format", "json"], &[&list]);
    assert!(text(&json.stdout).starts_with('{'));
    assert!(text(&json.stderr).contains("tendon.mark"));

    let begun = run(&["mapping", "new"], &[&list]);
    assert_eq!(begun.status.code(), Some(0), "{}", text(&begun.stderr));
    let starter = text(&begun.stdout);
    assert!(starter.contains("# QUESTION: no unit is stated for it"), "{starter}");
    let beside = folder.path().join("restrand.toml");
    let answered = format!(
        "{starter}\n[[table.column]]\nheader = \"Length\"\nfield = \"tendon.length_m\"\nunit = \"m\"\n"
    );
    std::fs::write(&beside, &answered).unwrap();
    let output = folder.path().join("list.json");
    let converted = run(&["convert", "--reading"], &[&list, &output]);
    let told = text(&converted.stderr);
    assert!(told.contains("Length -> tendon.length_m [m] (as mapped"), "{told}");
    let document = std::fs::read_to_string(&output).unwrap();
    assert!(
        document.contains("\"length_m\": 39.2") || document.contains("\"length_m\":39.2"),
        "{document}"
    );

    std::fs::write(&beside, answered.replace("length_m", "width_m")).unwrap();
    let refused = run(&["check"], &[&list]);
    assert_eq!(refused.status.code(), Some(2));
    assert!(text(&refused.stderr).contains("no field is called \"tendon.width_m\""));
    std::fs::write(&beside, "mapping = 1\ntabel = 3\n").unwrap();
    let refused = run(&["check"], &[&list]);
    assert!(text(&refused.stderr).contains("line 2"), "{}", text(&refused.stderr));
    let constants = "mapping = 1\n[[table]]\n[table.constants]\n\"project.stage\" = \"as_built\"\n";
    std::fs::write(&beside, format!("{constants}\"project.phase\" = 2\n")).unwrap();
    let refused = run(&["check"], &[&list]);
    let said = text(&refused.stderr);
    assert!(said.contains("line 5: no field is called \"project.phase\""), "{said}");
    std::fs::write(&beside, constants).unwrap();
    run(&["convert"], &[&list, &output]);
    let document = std::fs::read_to_string(&output).unwrap();
    assert!(document.contains("as_built"), "{document}");
}

#[test]
fn corrections_and_plans_are_made_of_what_the_mapping_says() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    let (list, mapping, output) = (at("list.csv"), at("mine.toml"), at("out.json"));
    std::fs::write(&list, LIST).unwrap();
    let answer = "mapping = 1\n[[table]]\nconstants = { \"tendon.filler\" = \"wax\" }\n\
                  [[table.column]]\nheader = \"Length\"\nunit = \"m\"\n";
    std::fs::write(&mapping, answer).unwrap();
    let corrected = run(
        &["correct", "--as-of", "2031-05-07", "--mapping"],
        &[&mapping, &list, Path::new("-o"), &output],
    );
    assert!(output.exists(), "{}", text(&corrected.stderr));
    let document = std::fs::read_to_string(&output).unwrap();
    assert!(document.contains("39.2") && document.contains("wax"), "{document}");
    let plan = |more: &[&Path]| {
        let planned = run(
            &["plan", "--as-of", "2031-05-07", "--format", "json"],
            &[&[list.as_path()], more].concat(),
        );
        text(&planned.stdout)
    };
    // A plan lists the fields that it lacks.
    let lacking = "\"field\": \"tendon.filler\"";
    let (without, with) = (plan(&[]), plan(&[Path::new("--mapping"), &mapping]));
    assert!(without.contains(lacking) && !with.contains(lacking), "{with}");

    // As beside the file, without being named.
    std::fs::copy(&mapping, at("restrand.toml")).unwrap();
    assert_eq!(plan(&[]), with);
    let again = at("again.json");
    run(&["correct", "--as-of", "2031-05-07"], &[&list, Path::new("-o"), &again]);
    assert_eq!(std::fs::read_to_string(&again).unwrap(), document);

    // Neither is it written over, nor taken where nothing reads it.
    for command in ["correct", "plan", "check"] {
        let refused = run(&[command, "--mapping"], &[&mapping, &list, Path::new("-o"), &mapping]);
        assert_eq!(refused.status.code(), Some(2), "{command}");
        assert!(text(&refused.stderr).contains("would replace the mapping file"), "{command}");
    }
    let more: &[(&str, &[&Path])] = &[
        ("correct", &[Path::new("--dry-run")]),
        ("plan", &[]),
        ("check", &[]),
        ("convert", &[&at("converted.json")]),
    ];
    for (command, more) in more {
        let paths = [&[mapping.as_path(), &output], *more].concat();
        let refused = run(&[command, "--mapping"], &paths);
        assert_eq!(refused.status.code(), Some(2), "{command}: {}", text(&refused.stderr));
        assert!(text(&refused.stderr).contains("takes no mapping file"), "{command}");
    }
    assert_eq!(std::fs::read_to_string(&mapping).unwrap(), answer);
}

#[test]
fn a_mapping_that_nothing_takes_is_wrong_usage() {
    let folder = tempfile::tempdir().unwrap();
    let mapping = folder.path().join("mine.toml");
    std::fs::write(&mapping, "mapping = 1\n").unwrap();
    let demo =
        Path::new(env!("CARGO_MANIFEST_DIR")).ancestors().nth(2).unwrap().join("fixtures/demo");
    let refused = run(&["check", "--mapping"], &[&mapping, &demo.join("quillmere.json")]);
    assert_eq!(refused.status.code(), Some(2));
    assert!(text(&refused.stderr).contains("takes no mapping file"));
    // A workbook in the schedule's own layout reads as it always does.
    let own = run(&["check", "--reading", "--mapping"], &[&mapping, &demo.join("quillmere.xlsx")]);
    assert_eq!(own.status.code(), Some(0), "{}", text(&own.stdout));
    assert!(text(&own.stdout).contains("read in the schedule's own layout"));
    let nothing = run(&["mapping", "new"], &[&demo.join("quillmere.xlsx")]);
    assert_eq!(nothing.status.code(), Some(2));
}

#[test]
fn a_folder_of_tables_has_a_mapping_of_its_own() {
    let folder = tempfile::tempdir().unwrap();
    let tables = folder.path().join("tables");
    std::fs::create_dir(&tables).unwrap();
    std::fs::write(tables.join("list.csv"), LIST).unwrap();
    let mapping = "mapping = 1\n[[table]]\n[[table.column]]\nheader = \"Length\"\nunit = \"m\"\n";
    std::fs::write(tables.join("restrand.toml"), mapping).unwrap();
    let shown = text(&run(&["check", "--reading"], &[&tables]).stdout);
    assert!(shown.contains("Length -> tendon.length_m [m]"), "{shown}");
    assert!(!shown.contains("restrand.toml"), "a mapping file is no table\n{shown}");
}

#[test]
fn findings_of_a_sheet_of_ones_own_stand_at_their_own_cells() {
    let folder = tempfile::tempdir().unwrap();
    let list = folder.path().join("ends.csv");
    std::fs::write(
        &list,
        "Bridge;Long Ford\n\nTendon;No. of strands;Anchorage A;Anchorage B\nT1;19;K-13;S-20\nT2;19;K-13;S-20\n",
    )
    .unwrap();
    let shown = text(&run(&["check"], &[&list]).stdout);
    let at = |name: &str| {
        let from = shown.find(&format!("no anchorage \"{name}\"")).expect(name);
        &shown[from..]
    };
    assert!(at("K-13").contains("line 4, column 3, Anchorage A"), "{shown}");
    assert!(at("S-20").contains("line 4, column 4, Anchorage B"), "{shown}");
    assert!(at("S-20").contains("ends.csv:5, Anchorage B: names it too"), "{shown}");
}

#[test]
fn findings_of_a_sheet_that_is_written_sideways_stand_at_their_own_cells() {
    let folder = tempfile::tempdir().unwrap();
    let list = folder.path().join("sideways.csv");
    let rows = "Tendon;T1;T2\nNo. of strands;19;19\nStrand;Y-157;Y-157\nDuct;PE125;PE140\n";
    std::fs::write(&list, format!("External tendons\n\n{rows}")).unwrap();
    let shown = text(&run(&["check"], &[&list]).stdout);
    let from = shown.find("no duct \"PE140\"").expect("the duct is not listed");
    let excerpt = &shown[from..];
    assert!(excerpt.contains("3 │ Tendon  T2"), "{shown}");
    assert!(excerpt.contains("6 │ Duct    PE140"), "{shown}");
    assert!(excerpt.contains("line 6, column 3, Duct"), "{shown}");
    // What no row states is told at the column, by the row that names it.
    let from = shown.find("T1 does not state").expect("much is missing");
    assert!(shown[from..].contains("line 3, column 2: no row for Spans"), "{shown}");
}

#[test]
fn what_a_mapping_says_that_fits_nothing_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let list = folder.path().join("list.csv");
    std::fs::write(&list, LIST).unwrap();
    let mapping = folder.path().join("map.toml");
    let mapped = "mapping = 1\n[[table]]\nsheet = \"list\"\n[[table.column]]\nheader = \"Lenght\"\nfield = \"tendon.length_m\"\n\
                  [[table]]\nsheet = \"Nowhere\"\n";
    std::fs::write(&mapping, mapped).unwrap();
    let shown = text(&run(&["check", "--mapping"], &[&mapping, &list]).stdout);
    let shown = shown.replace("\n  │ ", " ");
    assert!(shown.contains("the header \"Lenght\""), "{shown}");
    assert!(shown.contains("the sheet \"Nowhere\""), "{shown}");
    std::fs::write(&mapping, mapped.replace("Lenght", "length").replace("Nowhere", "list"))
        .unwrap();
    let shown = text(&run(&["check", "--mapping"], &[&mapping, &list]).stdout);
    assert!(!shown.contains("the mapping file speaks of"), "{shown}");
}

#[test]
fn a_mapping_to_begin_with_offers_the_units_that_are_asked_for() {
    let folder = tempfile::tempdir().unwrap();
    let list = folder.path().join("list.csv");
    std::fs::write(&list, LIST).unwrap();
    let starter = text(&run(&["mapping", "new"], &[&list]).stdout);
    assert!(starter.contains("# unit = \"m\"\n# unit = \"ft\"\n"), "{starter}");
    assert!(!starter.contains("# unit = \"mm\""), "{starter}");
}

#[test]
fn a_tendon_of_which_two_sheets_speak_is_one() {
    let folder = tempfile::tempdir().unwrap();
    let put = |name: &str, text: &str| std::fs::write(folder.path().join(name), text).unwrap();
    put("list.csv", "Tendon No.,No. of strands,Filler\nT1L,19,wax\nT1R,19,wax\n");
    put(
        "anchoring.csv",
        "Tendon No.,End,Anchorage,Tail (mm)\nT1L,A,K-13,800\nT1L,B,S-20,200\nT1R,A,K-13,800\nT1R,B,S-20,200\n",
    );
    let shown = text(&run(&["check"], &[folder.path()]).stdout);
    assert!(shown.contains("2 tendons checked"), "{shown}");
    assert!(!shown.contains("stands more than once"), "{shown}");
    // What contradicts is told, and not joined.
    put("anchoring.csv", "Tendon No.,End,No. of strands\nT1L,A,12\nT1L,B,12\nT1R,A,19\nT1R,B,19\n");
    let shown = text(&run(&["check"], &[folder.path()]).stdout);
    assert!(shown.contains("T1L stands more than once"), "{shown}");
    assert!(!shown.contains("T1R stands more than once"), "{shown}");
}

#[test]
fn columns_of_deviators_are_points_at_deviators_whatever_their_table() {
    let folder = tempfile::tempdir().unwrap();
    let list = folder.path().join("deviators.csv");
    let read = |text: &str| {
        std::fs::write(&list, text).unwrap();
        let output = folder.path().join("out.json");
        run(&["convert"], &[&list, &output]);
        let document = std::fs::read_to_string(&output).unwrap();
        let document: serde_json::Value = serde_json::from_str(&document).unwrap();
        let points = document["tendons"][0]["points"].as_array().cloned().unwrap_or_default();
        points.iter().filter_map(|point| point["station_m"].as_f64()).collect::<Vec<_>>()
    };
    let rows = "T1,512.5,21.5,524.5,21.6\nT2,512.5,21.5,524.5,21.6\n";
    let heads = "Tendon,D1 ch. (m),D1 level (m),D2 ch. (m),D2 level (m)\n";
    assert_eq!(read(&format!("{heads}{rows}")), [512.5, 524.5]);
    let bare = "Tendon,D1 ch. (m),D2 ch. (m)\nT1,512.5,524.5\nT2,512.5,524.5\n";
    assert_eq!(read(bare), [512.5, 524.5]);
    let groups = ",DEVIATOR D1,,DEVIATOR D2,\nTendon,Ch. (m),Level (m),Ch. (m),Level (m)\n";
    assert_eq!(read(&format!("{groups}{rows}")), [512.5, 524.5]);
}
