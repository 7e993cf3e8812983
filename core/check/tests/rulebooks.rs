//! Rulebooks: what may stand in one, what may not, and what is in force.

use std::collections::BTreeMap;

use restrand_check::rulebook::{
    BookError, Books, BuiltIn, Source, built_in_force, in_force, schema, starter,
};
use restrand_finding::{Evidence, Severity};
use restrand_model::schedule::{Filler, Role};
use restrand_rules::{Allowed, Rulebook};

const HEAD: &str = "rulebook = 1\nname = \"owner\"\nextends = \"base\"\n";

fn take(text: &str) -> Result<Rulebook, BookError> {
    in_force(Source { name: "owner.toml".to_owned(), text: text.to_owned() }, &BuiltIn)
}

fn over_base(entries: &str) -> Result<Rulebook, BookError> {
    take(&format!("{HEAD}{entries}"))
}

/// The line of the file, from one, at which an error is told, and what it says.
fn error(entries: &str) -> (usize, String) {
    let text = format!("{HEAD}{entries}");
    let error = take(&text).expect_err(entries);
    let start = error.span.expect("an error of an entry has its place").start;
    (
        text[..start].lines().count().max(1) + usize::from(text[..start].ends_with('\n')),
        error.message,
    )
}

fn limit(name: &str, value: &str) -> String {
    format!("[limits.{name}]\nvalue = {value}\nevidence = \"owner\"\ncitation = \"our standard\"\n")
}

#[test]
fn a_text_states_its_own_unit_and_a_number_is_in_that_of_the_name() {
    for (value, expected) in [("4.5", 4.5), ("\"4.5 mm\"", 4.5), ("\"0.2 in\"", 5.08), ("5", 5.0)] {
        let book = over_base(&limit("withdrawal_gap_mm", value)).unwrap();
        let limit = &book.limits["withdrawal_gap_mm"];
        assert!((limit.value - expected).abs() < 1e-12, "{value}: {}", limit.value);
        assert_eq!((limit.book.as_str(), limit.citation.evidence), ("owner", Evidence::Owner));
        assert_eq!(book.chain, ["owner", "base"]);
    }
}

#[test]
fn what_no_rulebook_can_say_is_told_at_its_line() {
    // The entries begin on line 4; an error points at the key, or at the value that is wrong.
    let waiver = |rule: &str, place: &str, reason: &str, until: &str| {
        format!(
            "[[waivers]]\nrule = \"{rule}\"\nplace = \"{place}\"\nreason = \"{reason}\"\nby = \"the owner\"\n\
             until = {until}\n"
        )
    };
    let fillers = |lists: &str| {
        format!("[fillers]\nevidence = \"owner\"\ncitation = \"our standard\"\n{lists}\n")
    };
    for (entries, line, said) in [
        (limit("withdrawal_gap", "3"), 4, "did you mean \"withdrawal_gap_mm\"?"),
        (limit("withdrawal_gap_mm", "\"3\""), 5, "the text states no unit; write it as \"3 mm\""),
        (limit("withdrawal_gap_mm", "\"3 kN\""), 5, "is that of a force, but a length is needed"),
        (limit("area_ratio_push", "\"2 mm\""), 5, "but a bare number is needed"),
        (limit("withdrawal_gap_mm", "true"), 5, "it is not a number"),
        (limit("withdrawal_gap_mm", "-1"), 5, "is outside what such a limit can be"),
        (limit("withdrawal_gap_mm", "inf"), 5, "is outside what such a limit can be"),
        (limit("withdrawal_gap_mm", "nan"), 5, "is outside what such a limit can be"),
        (limit("withdrawal_gap_mm", "\"3 leagues\""), 5, "is not known"),
        (limit("withdrawal_gap_mm", "\"900 m\""), 5, "check the value and its unit"),
        (limit("withdrawal_gap_mm", "3").replace("owner", "owners"), 6, "did you mean \"owner\"?"),
        (limit("withdrawal_gap_mm", "3").replace("owner", "stated"), 6, "no evidence is called"),
        (limit("withdrawal_gap_mm", "3").replace("our standard", " "), 6, "needs a citation"),
        (
            "[severities]\n\"space/stubs\" = \"note\"\n".to_owned(),
            5,
            "did you mean \"space/stub\"?",
        ),
        ("[severities]\n\"space/stub\" = \"fatal\"\n".to_owned(), 5, "no severity is called"),
        (waiver("space/stubs", "tendons[T1]", "tried", "2031-05-07"), 5, "did you mean"),
        (waiver("space/stub", "tendons[T1]", " ", "2031-05-07"), 7, "the reason is empty"),
        (waiver("space/stub", "", "tried", "2031-05-07"), 6, "the place is empty"),
        (waiver("space/stub", "tendons[T1]", "tried", "\"soon\""), 9, "not a day of the calendar"),
        (waiver("space/stub", "tendons[T1]", "tried", "2031-02-30"), 9, ""),
        (fillers("allowed = [\"waxes\"]"), 7, "did you mean \"wax\"?"),
        (fillers("allowed = [\"wax\"]\nforbidden = [\"wax\"]"), 8, "both allowed and forbidden"),
        (
            "[[required]]\nstage = \"tenders\"\nrecord = \"bay\"\nfields = []\n".to_owned(),
            5,
            "stage",
        ),
        ("[[required]]\nstage = \"tender\"\nrecord = \"bays\"\nfields = []\n".to_owned(), 6, "bay"),
        (
            "[[required]]\nstage = \"tender\"\nrecord = \"bay\"\nfields = [\"width\"]\n".to_owned(),
            7,
            "did you mean \"width_mm\"?",
        ),
        (required_part("tendon", "[\"cap\"]"), 5, "anchorage, form"),
        (required_part("anchorage", "[\"caps\"]"), 6, "did you mean \"cap\"?"),
        (required_part("anchorage", "[]"), 6, "names no role"),
        ("[limit.withdrawal_gap_mm]\nvalue = 3\n".to_owned(), 4, "unknown field `limit`"),
        ("[limits.withdrawal_gap_mm]\nvalue = 3\n".to_owned(), 4, "missing field"),
        ("[limits\n".to_owned(), 4, ""),
    ] {
        let (at, message) = error(&entries);
        assert!(message.contains(said), "{entries}: {message}");
        assert_eq!(at, line, "{entries}: {message}");
    }
}

fn required_part(record: &str, any_of: &str) -> String {
    format!(
        "[[required_parts]]\nrecord = \"{record}\"\nany_of = {any_of}\nevidence = \"owner\"\n\
         citation = \"our standard\"\n"
    )
}

#[test]
fn a_version_or_a_base_that_is_not_known_is_told() {
    for (text, said) in [
        ("rulebook = 2\nname = \"owner\"\n", "version 2"),
        ("rulebook = 1\nname = \"owner\"\nextends = \"bass\"\n", "no rulebook is called \"bass\""),
        ("rulebook = 1\nname = \"owner\"\n", "is set nowhere; extend \"base\""),
    ] {
        assert!(take(text).unwrap_err().message.contains(said), "{text}");
    }
}

/// Books by name.
struct Shelf(BTreeMap<&'static str, &'static str>);

impl Books for Shelf {
    fn find(&self, called: &str, _: &Source) -> Result<Source, String> {
        let text = self.0.get(called).ok_or_else(|| format!("there is no {called}"))?;
        Ok(Source { name: called.to_owned(), text: (*text).to_owned() })
    }
}

#[test]
fn books_that_extend_one_another_in_a_circle_are_told() {
    let shelf = Shelf(BTreeMap::from([
        ("one", "rulebook = 1\nname = \"one\"\nextends = \"two\"\n"),
        ("two", "rulebook = 1\nname = \"two\"\nextends = \"three\"\n"),
        ("three", "rulebook = 1\nname = \"three\"\nextends = \"two\"\n"),
        ("self", "rulebook = 1\nname = \"self\"\nextends = \"self\"\n"),
    ]));
    for (name, told_in) in [("one", "three"), ("self", "self")] {
        let source =
            shelf.find(name, &Source { name: String::new(), text: String::new() }).unwrap();
        let error = in_force(source, &shelf).unwrap_err();
        assert!(error.message.contains("in a circle"), "{}", error.message);
        assert_eq!(error.book, told_in);
        assert!(error.span.is_some());
    }
}

#[test]
fn a_book_over_another_keeps_what_it_does_not_change() {
    let base = built_in_force("base").unwrap();
    let book = over_base(
        "[limits.withdrawal_gap_mm]\nvalue = 5\nevidence = \"owner\"\ncitation = \"our standard\"\n\
         [roles]\nevidence = \"owner\"\ncitation = \"our standard\"\nexpected = { liner = \"replaceable\" }\n\
         [fillers]\nevidence = \"owner\"\ncitation = \"our standard\"\nallowed = [\"wax\"]\n\
         forbidden = [\"cement_grout\"]\n[severities]\n\"space/stub\" = \"warning\"\n",
    )
    .unwrap();
    for (name, limit) in &base.limits {
        if name != "withdrawal_gap_mm" {
            assert_eq!(book.limits.get(name), Some(limit));
        }
    }
    assert_eq!(book.role(Role::Liner).unwrap().allowed, Allowed::Replaceable);
    assert_eq!(book.role(Role::Cap), base.role(Role::Cap));
    assert_eq!(book.filler(Filler::Wax).map(|row| row.allowed), Some(true));
    assert_eq!(book.filler(Filler::CementGrout).map(|row| row.allowed), Some(false));
    assert_eq!(book.filler(Filler::Grease), None);
    assert_eq!(book.severities.get("space/stub"), Some(&Severity::Warning));
    assert_eq!(book.required, base.required);
}

#[test]
fn a_restated_value_keeps_the_firmer_source() {
    let text = |evidence: &str| {
        limit("area_ratio_push", "2.0").replace("\"owner\"", &format!("\"{evidence}\""))
    };
    let of = |book: &Rulebook| book.limits["area_ratio_push"].citation.evidence;
    assert_eq!(of(&over_base(&text("memory")).unwrap()), Evidence::Read);
    assert_eq!(of(&over_base(&text("owner")).unwrap()), Evidence::Owner);
    // A changed value has its own source, however weak.
    let changed = text("memory").replace("2.0", "2.25");
    assert_eq!(of(&over_base(&changed).unwrap()), Evidence::Memory);
}

/// The starter is a rulebook, and with its comment marks taken out it says what is in force already.
#[test]
fn the_starter_changes_nothing_until_something_is_taken_in() {
    let base = built_in_force("base").unwrap();
    let text = starter(&base);
    let book = take(&text).unwrap();
    assert_eq!(book.limits, base.limits);
    let limits: String = text
        .lines()
        .filter_map(|line| line.strip_prefix("# "))
        .filter(|line| {
            ["[limits.", "value = ", "evidence = ", "citation = "]
                .iter()
                .any(|s| line.starts_with(s))
        })
        .map(|line| line.replace("citation = \"\"", "citation = \"our standard\"") + "\n")
        .collect();
    let limits = &limits
        [..limits.find("evidence = \"owner\"\ncitation = \"our standard\"\nevidence").unwrap()];
    let limits = format!("{limits}evidence = \"owner\"\ncitation = \"our standard\"\n");
    let all = over_base(&limits).unwrap();
    assert_eq!(all.limits.len(), base.limits.len());
    for (name, limit) in &all.limits {
        // A limit that was stated in another unit may differ in its last digit.
        let stated = base.limits[name].value;
        assert!((limit.value - stated).abs() <= stated * 1e-12, "{name}: {} {stated}", limit.value);
        assert_eq!(limit.book, "owner", "{name}");
    }
}

/// Books of the program and the starter are as the schema says, and a slip is not.
#[test]
fn the_schema_takes_every_built_in_book() {
    let validator = jsonschema::validator_for(&schema()).unwrap();
    let as_json = |text: &str| {
        let value: toml::Value = toml::from_str(text).unwrap();
        serde_json::to_value(value).unwrap()
    };
    for (name, text) in restrand_check::rulebook::BUILT_IN {
        let errors: Vec<_> =
            validator.iter_errors(&as_json(text)).map(|error| error.to_string()).collect();
        assert_eq!(errors, [""; 0], "{name}");
        built_in_force(name).unwrap();
    }
    let starter = starter(&built_in_force("base").unwrap());
    assert!(validator.is_valid(&as_json(&starter)));
    for slip in [limit("withdrawal_gap", "3"), limit("withdrawal_gap_mm", "-1")] {
        assert!(!validator.is_valid(&as_json(&format!("{HEAD}{slip}"))), "{slip}");
    }
}
