//! Several spans in one cell.

mod recognised;

use recognised::{Read, plain};

fn spans(read: &Read, at: usize) -> String {
    read.of("Tendons")[at].fields.get("spans").map(ToString::to_string).unwrap_or_default()
}

#[test]
fn several_spans_in_a_cell_are_those_that_other_rows_name() {
    for both in ["1-2", "1 & 2", "1 + 2", "1/2", "1 to 2"] {
        let read = plain(&[
            &["Tendon", "Span", "No. of strands", "Length (m)"],
            &["T1", "1", "19", "40.1"],
            &["T2", "2", "19", "40.1"],
            &["T3", both, "19", "80.3"],
        ]);
        let several = plain(&[
            &["Tendon", "Span", "No. of strands", "Length (m)"],
            &["T1", "1", "19", "40.1"],
            &["T2", "2", "19", "40.1"],
            &["T3", "1; 2", "19", "80.3"],
        ]);
        assert_eq!(spans(&read, 2), spans(&several, 2), "{both}");
        assert_eq!(spans(&read, 0), spans(&several, 0));
    }
    // A name that nothing takes apart is one.
    let read = plain(&[
        &["Tendon", "Span", "No. of strands", "Length (m)"],
        &["T1", "A-B", "19", "40.1"],
        &["T2", "B-C", "19", "40.1"],
        &["T3", "C-D", "19", "80.3"],
    ]);
    assert_eq!(spans(&read, 0).matches("A-B").count(), 1);
}
