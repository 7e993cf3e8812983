//! Models that were changed at random: whatever comes out, nothing panics and every place is in the file.

#![allow(clippy::unwrap_used, reason = "a failure is a failure of the test")]

mod common;
#[path = "../../ifc/tests/shared/mutations.rs"]
mod mutations;

use common::{HEAD, TENDON, file};

/// What stands between the words of the format.
const PIECES: &[&[u8]] = &[
    b"(",
    b")",
    b"'",
    b"''",
    b";",
    b",",
    b"$",
    b"*",
    b"#",
    b"#14",
    b"=",
    b".",
    b"/*",
    b"*/",
    b"\n",
    b"\0",
    b"1E999",
    b"-",
    b"\\X2\\D8",
    b"\xff",
    b"\"0F\"",
    b"IFCTENDON(",
];

#[test]
fn no_change_makes_a_panic() {
    let twenty = include_bytes!("../../../fixtures/models/twenty-tendons/model.ifc");
    let small = file("IFC4X3_ADD2", &format!("{HEAD}{TENDON}"));
    let edges = include_bytes!("edges.ifc");
    let originals = [(small.as_bytes(), 3000), (edges.as_slice(), 2000), (twenty.as_slice(), 150)];
    let read_whole = mutations::read_whole(&originals, PIECES, 0x5EED_1FC0_57E9);
    assert!(read_whole > 3000, "the changes must leave something to read: {read_whole}");
}
