//! Of which tendons notes speak by their words: a value is of all only where each word of its sentence is understood.

mod recognised;

use recognised::{Read, plain};
use restrand_model::Value;
use restrand_model::reading::ProblemKind;

/// A schedule of three tendons with these notes below it.
fn with(notes: &[&str]) -> Read {
    let mut rows: Vec<Vec<&str>> = vec![
        vec!["Tendon", "Strands", "Length (m)"],
        vec!["T1", "19", "50"],
        vec!["T2", "19", "51"],
        vec!["T3", "19", "52"],
        vec![],
    ];
    rows.extend(notes.iter().map(|note| vec![*note]));
    plain(&rows.iter().map(Vec::as_slice).collect::<Vec<_>>())
}

/// What fills the three tendons.
fn fillers(read: &Read) -> [String; 3] {
    let tendons = read.of("Tendons");
    [0, 1, 2].map(|at| {
        let filler = tendons[at].fields.get("filler").and_then(Value::as_text);
        filler.unwrap_or_default().to_owned()
    })
}

fn numbers(read: &Read, field: &str) -> [Option<f64>; 3] {
    [0, 1, 2].map(|at| read.number("Tendons", at, &["stressing", field]))
}

#[test]
fn an_exception_in_a_sentence_of_its_own_is_taken_out_of_the_rule() {
    let (wax, grout, grease) = ("wax", "cement_grout", "grease");
    for (notes, expected) in [
        (&["Ducts: cement grout. T2: wax"][..], [grout, wax, grout]),
        (&["Ducts: cement grout", "T2: wax"], [grout, wax, grout]),
        (&["All ducts filled with cement grout. T2 wax."], [grout, wax, grout]),
        (&["All ducts cement grout; T2 and T3: wax"], [grout, wax, wax]),
        (&["Filler: wax; T3 grease"], [wax, wax, grease]),
        (&["Filler: wax. Tendon T3 has grease."], [wax, wax, grease]),
        (&["T1 to T3: wax"], [wax, wax, wax]),
        (&["Spannglied T1: Zementmörtel; alle übrigen Spannglieder: Wachs"], [grout, wax, wax]),
        (&["Tous les câbles : cire. Câble T1 : coulis de ciment."], [grout, wax, wax]),
        (&["T2: cement grout (existing)"], ["", grout, ""]),
        (&["T1 u. T2: Wachsverfüllung"], [wax, wax, ""]),
        (&["All tendons except T2: wax"], [wax, "", wax]),
        // Clauses of one sentence, each with its tendons.
        (&["Filler: wax (T3: grease)"], [wax, wax, grease]),
        (&["T1, T2: wax, T3: grease"], [wax, wax, grease]),
        (&["Cement grout to tendons T1-T2, all others wax"], [grout, grout, wax]),
    ] {
        let read = with(notes);
        assert_eq!(fillers(&read), expected.map(str::to_owned), "{notes:?}: {:#?}", read.problems);
    }
    let read = with(&["mu = 0.12; T2: 0.15"]);
    assert_eq!(numbers(&read, "mu"), [Some(0.12), Some(0.15), Some(0.12)]);
    let read = with(&["Draw-in 6 mm. T2: 8 mm."]);
    assert_eq!(numbers(&read, "set_mm"), [Some(6.0), Some(8.0), Some(6.0)]);
}

#[test]
fn an_exception_that_cannot_be_told_leaves_the_rule_open() {
    for notes in [
        &["Filler: wax", "T2: filler to be decided"][..],
        &["Filler: wax. T2: see drawing 17"],
        &["Ducts filled with wax. T2 was cement grout."],
        &["All ducts filled with wax", "Tendon T3 at pier 2: cement grout"],
        &["All ducts: wax. Deck slab tendons: cement grout."],
        &["T2 and T4: wax"],
        &["T1: wax, cement grout"],
        &["T1: wax in free length, cement grout in the diaphragms"],
        &["Ducts filled with wax, T2 at pier 2 with cement grout"],
        &["Filler: wax, later cement grout"],
    ] {
        let read = with(notes);
        assert_eq!(fillers(&read), [""; 3].map(str::to_owned), "{notes:?}");
        let is_said = read.problems.iter().any(|one| one.kind == ProblemKind::Unknown);
        assert!(is_said || !read.questions.is_empty(), "{notes:?}");
    }
    for notes in [&["mu = 0.12; T2 at deviators 0.15"][..], &["Draw-in 6 mm. At pier 3: 8 mm."]] {
        let read = with(notes);
        assert_eq!(numbers(&read, "mu"), [None; 3], "{notes:?}");
        assert_eq!(numbers(&read, "set_mm"), [None; 3], "{notes:?}");
    }
    // What says nothing of the filler leaves the rule.
    for note in ["T1 stressed on 12 May", "T2 replaced in 2019"] {
        let read = with(&["All ducts filled with wax", note]);
        assert_eq!(fillers(&read), ["wax"; 3].map(str::to_owned), "{note}");
    }
}

#[test]
fn a_statement_with_words_that_are_not_understood_is_asked_about() {
    for (note, words) in [
        ("External tendons at pier 3 filled with wax", "external pier"),
        ("Deck slab tendons filled with wax", "deck slab"),
        ("Transverse tendons: cement grout", "transverse"),
        ("Internal tendons filled with cement grout", "internal"),
        ("Stay cables filled with wax", "stay"),
        ("Existing tendons: cement grout", "existing"),
        ("Filler: wax (trumpets)", "trumpets"),
        ("Ducts with 12 strands filled with wax", "12 strands"),
        ("Querspannglieder mit Zementmörtel verpresst", "querspannglieder"),
        ("Spannglieder im Bereich Pfeiler 3 mit Wachs verfüllt", "bereich pfeiler"),
        ("Câbles extradossés injectés à la cire", "extradossés"),
        ("Before 2015 ducts were filled with cement grout", "2015"),
        ("mu = 0.25 at deviators", "deviators"),
        ("mu = 0.12 in deviators, 0.18 in ducts", "deviators 0.18"),
        ("Reibungsbeiwert mu = 0,12 im Steg", "steg"),
        ("Draw-in 6 mm at abutment A", "abutment"),
        ("T1, T2: wedge draw-in 6 mm at pier", "pier"),
        ("Transverse ducts: HDPE 63 x 3.8 mm", "transverse"),
        ("Stay cable strand 15.7 mm, 150 mm2", "stay"),
    ] {
        let read = with(&[note]);
        assert_eq!(fillers(&read), [""; 3].map(str::to_owned), "{note}");
        assert_eq!(numbers(&read, "mu"), [None; 3], "{note}");
        assert_eq!(numbers(&read, "set_mm"), [None; 3], "{note}");
        assert!(read.of("Strands").is_empty() && read.of("Ducts").is_empty(), "{note}");
        let [question] = read.questions.as_slice() else {
            unreachable!("{note}: {:#?} {:#?}", read.questions, read.problems)
        };
        let quoted = format!("\"{words}\"");
        assert!(question.why.contains(&quoted), "{note}: {}", question.why);
        assert!(question.readings[1].contains(&quoted), "{:?}", question.readings);
        assert_eq!(question.given, note);
    }
}

#[test]
fn what_a_heading_says_holds_for_the_notes_below_it() {
    let read = with(&["Transverse tendons:", "Filler: cement grout", "mu = 0.2"]);
    assert_eq!(fillers(&read), [""; 3].map(str::to_owned));
    assert_eq!(numbers(&read, "mu"), [None; 3]);
    assert_eq!(read.questions.len(), 2, "{:#?}", read.questions);
    let read = with(&["Deck slab tendons: cement grout; draw-in 5 mm"]);
    assert_eq!(numbers(&read, "set_mm"), [None; 3]);
    let read = plain(&[
        &["Tendon", "Strands", "Length (m)"],
        &["T1", "19", "50"],
        &["T2", "19", "51"],
        &[],
        &["Stay cables"],
        &["Filler", "wax"],
        &[],
        &["mu", "0.14"],
    ]);
    assert!(read.of("Tendons")[0].fields.get("filler").is_none());
    assert_eq!(read.number("Tendons", 0, &["stressing", "mu"]), Some(0.14));
}

#[test]
fn what_says_nothing_of_which_tendons_is_taken_of_all() {
    for (note, filler) in [
        ("All tendons shall be filled with wax u.n.o.", "wax"),
        ("All ducts filled with wax unless noted otherwise", "wax"),
        ("Filler: microcrystalline wax to spec. section 462, injected hot after stressing.", "wax"),
        (
            "Corrosion protection: ducts fully injected with petroleum wax at 90 °C per specification PT-03 rev B",
            "wax",
        ),
        (
            "Ducts are grouted with common cement grout in accordance with EN 446 and EN 447",
            "cement_grout",
        ),
        ("Ducts filled with cement grout, w/c ratio max. 0.42", "cement_grout"),
        ("Alle Spannglieder werden mit Wachs verpresst (siehe Zulassung Z-13.1-87)", "wax"),
        ("Hüllrohre werden nach dem Vorspannen mit Zementmörtel verpresst.", "cement_grout"),
        ("Injection des gaines : cire pétrolière souple", "wax"),
        ("Les gaines sont injectées au coulis de ciment après mise en tension", "cement_grout"),
    ] {
        let read = with(&[note]);
        assert_eq!(fillers(&read), [filler; 3].map(str::to_owned), "{note}: {:#?}", read.questions);
    }
    for (note, mu) in [
        ("Reibungsbeiwert µ = 0,12 (nach EN 1992-1-1)", 0.12),
        ("Coefficient de frottement µ = 0,18", 0.18),
        ("Friction: mu = 0.20 /rad, k = 0.001 /m (assumed values)", 0.2),
    ] {
        assert_eq!(numbers(&with(&[note]), "mu"), [Some(mu); 3], "{note}");
    }
    for (note, set_mm) in [
        ("Wedge draw-in 6 mm (1/4 in) at each stressing anchorage.", 6.0),
        ("Keilschlupf 6 mm je Spannanker", 6.0),
        ("Rentrée d'ancrage : 5 mm", 5.0),
        ("Set: 6 mm", 6.0),
    ] {
        assert_eq!(numbers(&with(&[note]), "set_mm"), [Some(set_mm); 3], "{note}");
    }
}

#[test]
fn draw_in_that_a_note_states_of_an_end_is_of_that_end() {
    for note in
        ["Wedge draw-in 6 mm at end A, 4 mm at end B", "Keilschlupf: Ende A 6 mm, Ende B 4 mm"]
    {
        let read = with(&[note]);
        assert_eq!(numbers(&read, "set_mm"), [None; 3], "{note}");
        let ends = read.of("Ends");
        let sets: Vec<_> = (0..ends.len()).map(|at| read.number("Ends", at, &["set_mm"])).collect();
        assert_eq!(sets, [Some(6.0), Some(4.0)].repeat(3), "{note}");
    }
    let read = with(&["T1, T2: wedge draw-in 6 mm at end A"]);
    let set = |at| read.number("Ends", at, &["set_mm"]);
    let sets: Vec<_> = (0..read.of("Ends").len()).filter_map(set).collect();
    assert_eq!(sets, [6.0, 6.0]);
}

#[test]
fn what_titles_and_columns_say_binds_a_word_of_a_note() {
    // Of a sheet of external tendons, a note on these is one on all.
    let read = plain(&[
        &["Schedule of external tendons"],
        &[],
        &["Tendon", "Strands"],
        &["T1", "19"],
        &["T2", "19"],
        &["T3", "19"],
        &[],
        &["External tendons: wax filled"],
        &["Friction coefficient at deviators mu = 0.10"],
    ]);
    assert_eq!(fillers(&read), ["wax"; 3].map(str::to_owned));
    assert_eq!(numbers(&read, "mu"), [Some(0.1); 3]);
    for (header, cells, note, expected) in [
        (
            "Family",
            ["Cantilever", "Cantilever", "Continuity"],
            "Cantilever tendons: wax",
            ["wax", "wax", ""],
        ),
        ("Web", ["East", "West", "West"], "Tendons of the east web: wax", ["wax", "", ""]),
        ("Span", ["1", "2", "2"], "Tendons in span 2: wax", ["", "wax", "wax"]),
        (
            "Situation",
            ["internal", "internal", "external"],
            "Internal tendons: cement grout. External tendons: wax.",
            ["cement_grout", "cement_grout", "wax"],
        ),
        // Nothing tells that the deck's tendons are those of a web.
        ("Web", ["East", "West", "West"], "East deck tendons: wax", ["", "", ""]),
    ] {
        let read = plain(&[
            &["Tendon", "Strands", header],
            &["T1", "19", cells[0]],
            &["T2", "19", cells[1]],
            &["T3", "19", cells[2]],
            &[],
            &[note],
        ]);
        assert_eq!(fillers(&read), expected.map(str::to_owned), "{note}: {:#?}", read.problems);
    }
}
