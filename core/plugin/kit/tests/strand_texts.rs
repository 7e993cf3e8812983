//! What a column of strands says in a few signs: `St 1660/1860 150 mm²`, `T15.7 - 1860`.

mod recognised;

use recognised::{Read, plain, sheet, taken};
use restrand_kit::recognise::Mapping;

fn text<'r>(read: &'r Read, list: &str, at: usize, field: &str) -> Option<&'r str> {
    read.of(list).get(at)?.fields.get(field)?.as_text()
}

#[test]
fn a_text_of_a_column_of_strands_says_what_the_strand_is() {
    for (said, diameter, area, strength) in [
        ("St 1660/1860 150 mm²", None, Some(150.0), Some(1860.0)),
        ("Y1860S7 15,7 mm", Some(15.7), None, Some(1860.0)),
        ("T15.7 - 1860", Some(15.7), None, Some(1860.0)),
        ("T15S - 1860", None, None, Some(1860.0)),
        ("15.7 mm / 1860", Some(15.7), None, Some(1860.0)),
        // What is not understood is a name.
        ("PT-A", None, None, None),
    ] {
        let read = plain(&[
            &["Tendon", "No. of strands", "Strand type", "Length (m)"],
            &["T1", "19", said, "40.1"],
            &["T2", "12", said, "40.2"],
        ]);
        let values: Vec<Option<f64>> = ["diameter_mm", "area_mm2", "fpu_mpa"]
            .map(|field| {
                (!read.of("Strands").is_empty()).then(|| read.number("Strands", 0, &[field]))?
            })
            .to_vec();
        assert_eq!(values, [diameter, area, strength], "{said}");
        assert!(read.of("Strands").len() <= 1, "{said}");
        for at in 0..2 {
            assert!(text(&read, "Tendons", at, "strand").is_some(), "{said}");
        }
        if strength.is_some() {
            assert_eq!(text(&read, "Strands", 0, "id"), text(&read, "Tendons", 0, "strand"));
        }
    }
}

#[test]
fn a_strand_that_a_table_lists_is_what_that_says() {
    let read = taken(
        vec![
            sheet(
                "Tendons",
                &[
                    &["Tendon", "No. of strands", "Strand type", "Length (m)"],
                    &["T1", "19", "T15S - 1860", "40.1"],
                    &["T2", "12", "T15S - 1860", "40.2"],
                ],
            ),
            sheet(
                "Strands",
                &[
                    &["Strand type", "Diameter (mm)", "Area (mm²)", "fpk (MPa)"],
                    &["T15S - 1860", "15.7", "150", "1770"],
                ],
            ),
        ],
        &Mapping::default(),
    );
    assert_eq!(read.of("Strands").len(), 1);
    assert_eq!(read.number("Strands", 0, &["fpu_mpa"]), Some(1770.0));
}
