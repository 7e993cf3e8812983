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
fn a_rule_and_its_exception_are_told_in_each_order() {
    let (wax, grout) = ("wax", "cement_grout");
    for notes in [
        &[
            "FILL DUCTS WITH FLEXIBLE FILLER (MICROCRYSTALLINE WAX), EXCEPT T2 AND T3: CEMENTITIOUS GROUT.",
        ][..],
        &["WAX EXCEPT T2, T3: GROUT"],
        &["Filler: wax, except T2 and T3 (grout)"],
        &["Except T2, T3, which are grouted: wax"],
        &["All but T2 and T3 (cement grout): wax"],
        &["All ducts: wax, except T2 and T3, which are filled with cement grout"],
        &[
            "All ducts filled with wax (spec. 462), except T2 to T3 (existing): cementitious grout (EN 447).",
        ],
        &["Filler: wax to spec. 462, except T2, T3: cement grout"],
        &["Wax, with the exception of T2, T3: cement grout"],
        &["Ducts grouted with wax, except T2, T3: cement grout"],
        &["All tendons except T2, T3: wax, T2, T3: cement grout"],
        &["T2, T3 cement grout; all others wax"],
        &["T2, T3: grout. All others: wax."],
        &["Cement grout for T2, T3, wax for the rest"],
        &["Cement grout (T2, T3), wax (others)"],
        &["Wax (T1), cement grout (T2, T3)"],
        &["Ducts filled with wax, T2 and T3 with cement grout"],
        &["Filler: wax; except T2, T3: cement grout"],
        &["Fill with wax. Except T2 and T3: cement grout."],
        &["All ducts: wax", "Except T2, T3: cement grout"],
        &["Alle außer T2, T3: Wachs; T2, T3: Zement"],
        &["Wachs, außer T2 und T3: Zementmörtel"],
        &["Cire, sauf T2, T3 : coulis"],
        &["Cire pour T1, coulis de ciment pour les autres"],
    ] {
        let read = with(notes);
        assert_eq!(fillers(&read), [wax, grout, grout].map(str::to_owned), "{notes:?}");
    }
    // Where the order does not tell which is meant, nothing is taken.
    for notes in [
        &["Except T2: wax"][..],
        &["Except T2, wax, cement grout"],
        &["Wax, T1, grout"],
        &["T1 wax, grout"],
        &["Wax T1, cement grout"],
        &["Wax, cement grout except T2"],
        &["All except T2: wax, T3: cement grout"],
        &["Filler: wax. Except T2."],
        &["All ducts: wax", "Except T2"],
        &["All ducts: wax", "All ducts except T2: cement grout"],
    ] {
        let read = with(notes);
        assert_eq!(fillers(&read), [""; 3].map(str::to_owned), "{notes:?}");
        assert!(read.problems.iter().any(|one| one.kind == ProblemKind::Unknown), "{notes:?}");
    }
}

#[test]
fn numbers_of_a_note_are_told_by_its_clauses() {
    for note in [
        "mu = 0.12 (T1-T2), mu = 0.18 (T3)",
        "mu = 0.12 except T3: 0.18",
        "mu = 0.12 (T3: 0.18)",
        "T3: mu = 0.18, all others mu = 0.12",
        "mu = 0.18 for T3, 0.12 for the rest",
        "T3: mu = 0.18; others: 0.12",
        "µ = 0,12, außer T3: 0,18",
    ] {
        assert_eq!(numbers(&with(&[note]), "mu"), [Some(0.12), Some(0.12), Some(0.18)], "{note}");
    }
    for note in [
        "Draw-in 6 mm, except T3: 8 mm",
        "Draw-in 6 mm (1/4 in) except T3: 8 mm (5/16 in)",
        "Wedge draw-in: 6 mm for T1, T2, 8 mm for T3",
    ] {
        assert_eq!(numbers(&with(&[note]), "set_mm"), [Some(6.0), Some(6.0), Some(8.0)], "{note}");
    }
    // A bare value in the cell below.
    let read = with(&["mu = 0.12", "T2: 0.14"]);
    assert_eq!(numbers(&read, "mu"), [Some(0.12), Some(0.14), Some(0.12)]);
    // Millimetres or eighths of an inch.
    assert_eq!(numbers(&with(&["Draw-in 6 mm", "T2: 8"]), "set_mm"), [None; 3]);
    // What it counts is no value.
    assert_eq!(numbers(&with(&["mu = 0.12", "T2: 4 strands cut"]), "mu"), [Some(0.12); 3]);
    for note in ["mu = 0.12, T3 at deviators 0.18", "mu 0.12 T1 0.14", "mu = 0.12-0.18, T2"] {
        assert_eq!(numbers(&with(&[note]), "mu"), [None; 3], "{note}");
    }
}

#[test]
fn an_aside_that_says_what_tendons_are_leaves_a_note_theirs() {
    for (note, filler) in [
        ("* Tendon B is filled with cement grout (trial tendon).", "cement_grout"),
        ("Tendon B: cement grout (existing)", "cement_grout"),
        ("Tendon B is filled with cement grout (trumpets).", ""),
        ("B: cement grout", ""),
    ] {
        let read = plain(&[
            &["Tendon", "Strands", "Length (m)"],
            &["A", "19", "50"],
            &["B", "19", "51"],
            &["C", "19", "52"],
            &[],
            &[note],
        ]);
        assert_eq!(fillers(&read), ["", filler, ""].map(str::to_owned), "{note}");
    }
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
        ("Coefficient de frottement / friction coefficient: f = 0,12 rd-1 ; phi = 0", 0.12),
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
fn friction_in_one_material_is_not_that_of_all() {
    let read = with(&["Friction coefficient in steel 0.25", "Friction coefficient in HDPE 0.12"]);
    assert_eq!(numbers(&read, "mu"), [Some(0.12); 3]);
    assert!(
        read.questions.iter().any(|one| format!("{one:?}").contains("steel")),
        "{:?}",
        read.questions
    );
    let read = with(&["Friction coefficient of steel pipes 0.25"]);
    assert_eq!(numbers(&read, "mu"), [None; 3]);
    assert!(
        read.questions.iter().any(|one| format!("{one:?}").contains("steel")),
        "{:?}",
        read.questions
    );
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
        &["Friction coefficient at deviators (steel pipe) mu = 0.10"],
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

#[test]
fn what_may_take_out_some_leaves_a_rule_open() {
    let fillers = |note: &str| {
        let read = plain(&[
            &["Tendon", "No. of strands", "Strand dia. (mm)", "Jacking force (kN)"],
            &["T1", "19", "15.7", "3900"],
            &["T2", "19", "15.7", "3900"],
            &["T3", "19", "15.7", "3900"],
            &[],
            &["Notes"],
            &[note],
        ]);
        let of = read.of("Tendons");
        of.iter().filter(|one| one.fields.get("filler").is_some()).count()
    };
    for note in [
        "Wax: tendons 1 and 3",
        "2 of 3 tendons are filled with wax",
        "Filler wax. Not for T2.",
        "Filled with wax after completion of stressing; cement grout before.",
    ] {
        assert_eq!(fillers(note), 0, "{note}");
    }
    for note in
        ["Filler: wax, injected at 90 °C.", "All ducts are filled with wax to spec. section 462."]
    {
        assert_eq!(fillers(note), 3, "{note}");
    }
}

#[test]
fn a_numbered_footnote_of_a_mark_is_of_that_tendon() {
    let read = plain(&[
        &["Tendon", "No. of strands", "Strand dia. (mm)", "Jacking force (kN)"],
        &["T1", "19", "15.7", "3900"],
        &["T2 2)", "19", "15.7", "3900"],
        &["T3", "19", "15.7", "3900"],
        &[],
        &["1) Draw-in 6 mm"],
        &["2) Draw-in 8 mm"],
    ]);
    // Nothing tells that the first is not of T2.
    assert_ne!(read.number("Tendons", 1, &["stressing", "set_mm"]), Some(6.0));
}
