//! Sheets in two tongues of which one is known: groups of headers, abbreviations, notes and general data.

mod recognised;

use recognised::{plain, sheet, taken};
use restrand_kit::recognise::{Mapping, Merged};
use restrand_model::Value;

#[test]
fn headers_in_two_tongues_are_grouped_by_such() {
    let mut one = sheet(
        "S",
        &[
            &[
                "Cavo / Tendon",
                "N° trefoli / No. of strands",
                "Guaina / Duct",
                "",
                "Testata A / Anchorage A",
                "",
                "Tesatura / Stressing",
            ],
            &[
                "",
                "",
                "Ø est. / OD",
                "sp. / wall",
                "Progr. / Chainage",
                "Tipo / Type",
                "Allungamento A / Elongation A",
            ],
            &["", "", "(mm)", "(mm)", "(m)", "", "(mm)"],
            &["C1", "19", "140", "8.3", "120.5", "attiva / live", "270"],
            &["C2", "19", "140", "8.3", "120.5", "attiva / live", "268"],
        ],
    );
    one.merged.push(Merged { first: (0, 2), last: (0, 3) });
    one.merged.push(Merged { first: (0, 4), last: (0, 5) });
    let read = taken(vec![one], &Mapping::default());
    assert_eq!(read.marks(), ["C1", "C2"]);
    assert_eq!(read.number("Ducts", 0, &["outer_mm"]), Some(140.0));
    assert_eq!(read.number("Ducts", 0, &["wall_mm"]), Some(8.3));
    assert_eq!(read.number("Points", 0, &["station_m"]), Some(120.5));
    assert_eq!(read.of("Ends")[0].fields.get("kind").and_then(Value::as_text), Some("stressing"));
    assert_eq!(read.number("Tendons", 1, &["stressing", "elongation_a_mm"]), Some(268.0));
    assert!(read.questions.is_empty(), "{:?}", read.questions);
}

#[test]
fn further_tongues_stand_alone() {
    for rows in [
        &[
            &[
                "Tendón",
                "Lado",
                "Nº de cordones",
                "Diámetro exterior vaina (mm)",
                "Fuerza de tesado (kN)",
                "Inyección",
            ][..],
            &["T1", "Izquierda", "19", "140", "3900", "Lechada de cemento"],
        ],
        &[
            &[
                "Cavo",
                "Lato",
                "N° trefoli",
                "Diametro esterno guaina (mm)",
                "Forza di tesatura (kN)",
                "Iniezione",
            ][..],
            &["T1", "sinistra", "19", "140", "3900", "boiacca cementizia"],
        ],
        &[
            &[
                "Cabo",
                "Lado",
                "Nº de cordoalhas",
                "Diâmetro externo bainha (mm)",
                "Força de protensão (kN)",
                "Injeção",
            ][..],
            &["T1", "esquerdo", "19", "140", "3900", "calda de cimento"],
        ],
        &[
            &[
                "Kabel",
                "Zijde",
                "Aantal strengen",
                "Uitwendige diameter omhullingsbuis (mm)",
                "Spankracht (kN)",
                "Vulmiddel",
            ][..],
            &["T1", "links", "19", "140", "3900", "cementmortel"],
        ],
    ] {
        let read = plain(rows);
        let tendon = &read.of("Tendons")[0].fields;
        assert_eq!(tendon.get("side").and_then(Value::as_text), Some("left"), "{rows:?}");
        assert_eq!(tendon.get("filler").and_then(Value::as_text), Some("cement_grout"), "{rows:?}");
        assert_eq!(read.number("Tendons", 0, &["strand_count"]), Some(19.0), "{rows:?}");
        assert_eq!(read.number("Ducts", 0, &["outer_mm"]), Some(140.0), "{rows:?}");
        let force = read.number("Tendons", 0, &["stressing", "jacking_force_kn"]);
        assert_eq!(force, Some(3900.0), "{rows:?}");
    }
}

#[test]
fn forces_at_the_jack_go_before_those_at_the_stressed_end() {
    let read = plain(&[
        &[
            "Cavo",
            "N° trefoli",
            "Spessore anima (mm)",
            "Forza al martinetto (kN)",
            "Forza alla testata attiva (kN)",
        ],
        &["T1", "19", "450", "3900", "3600"],
        &["T2", "19", "450", "3900", "3600"],
    ]);
    assert_eq!(read.number("Tendons", 0, &["stressing", "jacking_force_kn"]), Some(3900.0));
    assert_eq!(read.number("Tendons", 1, &["stressing", "jacking_force_kn"]), Some(3900.0));
}

#[test]
fn words_of_a_field_that_change_others_are_no_doubt_of_its_own_name() {
    let rows: &[&[&str]] = &[
        &["Kabel / Tendon", "Einde / End", "Kracht na blokkeren / Force after lock-off (kN)"],
        &["K1", "A", "3660"],
        &["", "B", "3540"],
        &["K2", "A", "3650"],
        &["", "B", "3530"],
    ];
    let read = plain(rows);
    assert!(read.questions.is_empty(), "{:?}", read.questions);
    assert_eq!(read.number("Tendons", 0, &["stressing", "seated_force_a_kn"]), Some(3660.0));
    assert_eq!(read.number("Tendons", 1, &["stressing", "seated_force_b_kn"]), Some(3530.0));
}

#[test]
fn notes_begin_with_the_name_in_another_tongue() {
    let set = |note: &str| {
        let read =
            plain(&[&["Tendon", "Strands", "Jacking force (kN)"], &["C1", "19", "3900"], &[note]]);
        read.number("Tendons", 0, &["stressing", "set_mm"])
    };
    assert_eq!(set("3) Rientro cunei / Wedge draw-in: 6 mm"), Some(6.0));
    // What is not behind a name that is known may be of some tendons.
    assert_eq!(set("Wedge draw-in / Rientro cunei campata: 6 mm"), None);
    assert_eq!(set("Campata 3 / Wedge draw-in: 6 mm"), None);
    // Words that are not known to name the field may say of what it is.
    for name in [
        "Transverse tendons",
        "Left web",
        "Deviators",
        "Top slab",
        "Existing",
        "Stage two",
        "Couplers",
        "West end",
        "Northbound",
        "Rientro cunei lato passivo",
        "Attrito",
    ] {
        assert_eq!(set(&format!("{name} / Wedge draw-in: 8 mm")), None, "{name}");
    }
    let mu = |note: &str| {
        let read =
            plain(&[&["Tendon", "Strands", "Jacking force (kN)"], &["C1", "19", "3900"], &[note]]);
        read.number("Tendons", 0, &["stressing", "mu"])
    };
    for (name, expected) in [
        ("Coefficiente di attrito", Some(0.25)),
        ("Wrijvingscoëfficiënt", Some(0.25)),
        ("Attrito nei deviatori", None),
        ("Transverse tendons", None),
    ] {
        assert_eq!(mu(&format!("{name} / Friction coefficient: 0.25")), expected, "{name}");
    }
    let read = plain(&[
        &["Tendon", "Strands", "Jacking force (kN)"],
        &["C1", "19", "3900"],
        &["1) Trefolo / Strand: Y1860S7 Ø 15.7 mm, A = 150 mm²"],
    ]);
    assert_eq!(read.number("Strands", 0, &["area_mm2"]), Some(150.0));
}

#[test]
fn general_data_is_called_in_two_tongues() {
    let rows: &[&[&str]] = &[
        &["Diameter streng / Strand diameter", "15.7", "mm"],
        &["Doorsnede streng / Strand area", "150", "mm²"],
        &["Treksterkte fpk / Tensile strength fpk", "1860", "N/mm²"],
        &["Wigzetting / Wedge draw-in", "6", "mm"],
        // Of another thing, by a word of the trade, or by any that is not known to name the field.
        &["Deviator / Strand mass", "1.1", "kg/m"],
        &["Sheathed / Strand mass", "1.3", "kg/m"],
        &["Bar / Breaking force", "1030", "kN"],
        &[],
        &["Tendon", "Strands", "Jacking force (kN)"],
        &["K1", "19", "3900"],
    ];
    let read = plain(rows);
    assert_eq!(read.number("Strands", 0, &["diameter_mm"]), Some(15.7));
    assert_eq!(read.number("Strands", 0, &["area_mm2"]), Some(150.0));
    assert_eq!(read.number("Strands", 0, &["fpu_mpa"]), Some(1860.0));
    assert_eq!(read.number("Strands", 0, &["mass_kg_per_m"]), None);
    assert_eq!(read.number("Strands", 0, &["breaking_force_kn"]), None);
    assert_eq!(read.number("Tendons", 0, &["stressing", "set_mm"]), Some(6.0));
}

#[test]
fn a_header_that_names_two_fields_of_one_end_is_asked() {
    let read = plain(&[
        &["Tendon", "No. of strands", "Anchorage A / Jack A"],
        &["T1", "19", "A19"],
        &["T2", "19", "A19"],
    ]);
    assert_eq!(read.questions.len(), 1, "{:?}", read.questions);
    assert!(read.of("Ends").iter().all(|end| end.fields.get("jack").is_none()));
}
