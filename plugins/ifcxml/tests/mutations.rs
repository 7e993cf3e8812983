//! Models that were changed at random: whatever comes out, nothing panics and every place is in the file.

#![allow(clippy::unwrap_used, reason = "a failure is a failure of the test")]

mod common;
#[path = "../../ifc/tests/shared/mutations.rs"]
mod mutations;

use common::{HEAD, TENDON, file};

/// What stands between the words of the format.
const PIECES: &[&[u8]] = &[
    b"<",
    b">",
    b"/>",
    b"</",
    b"\"",
    b"=",
    b"&",
    b"&amp;",
    b"&#0;",
    b"<!--",
    b"-->",
    b"<![CDATA[",
    b"]]>",
    b"<?x?>",
    b" ref=\"t1\"",
    b" id=\"t1\"",
    b" xsi:nil=\"true\"",
    b"\0",
    b"\xff",
    b"1e999",
    b"<IfcTendon>",
    b"</IfcTendon>",
];

#[test]
fn no_change_makes_a_panic() {
    let sample = include_bytes!("../../../fixtures/models/two-tendons/model.ifcxml");
    let small = file(&format!("{HEAD}{TENDON}"));
    let originals = [(small.as_bytes(), 4000), (sample.as_slice(), 1500)];
    let read_whole = mutations::read_whole(&originals, PIECES, 0x5EED_1FC0_0A31);
    assert!(read_whole > 2000, "the changes must leave something to read: {read_whole}");
}
