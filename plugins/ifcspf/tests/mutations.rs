//! Models that were changed at random: whatever comes out, nothing panics and every place is in the file.

#![allow(clippy::unwrap_used, reason = "a failure is a failure of the test")]

mod common;

use common::{HEAD, TENDON, file, load};
use restrand_kit::{At, LoadError};
use restrand_model::reading::{Place, Span};

/// The xorshift generator of Marsaglia, so that each run makes the same files.
struct Dice(u64);

impl Dice {
    fn throw(&mut self, below: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 % below.max(1) as u64).unwrap()
    }
}

const PIECES: [&[u8]; 22] = [
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

fn mutate(bytes: &mut Vec<u8>, dice: &mut Dice) {
    let at = dice.throw(bytes.len());
    let end = (at + dice.throw(12)).min(bytes.len());
    match dice.throw(6) {
        0 => bytes.truncate(at.max(bytes.len() / 2)),
        1 => drop(bytes.drain(at..end)),
        2 => drop(bytes.splice(at..at, PIECES[dice.throw(PIECES.len())].iter().copied())),
        3 => {
            let copy = bytes[at..end].to_vec();
            let to = dice.throw(bytes.len());
            drop(bytes.splice(to..to, copy));
        }
        // One reference or number becomes another.
        4 => {
            let digit = bytes.iter().skip(at).position(u8::is_ascii_digit);
            if let Some(digit) = digit {
                bytes[at + digit] = b'0' + u8::try_from(dice.throw(10)).unwrap();
            }
        }
        _ if !bytes.is_empty() => bytes[at] = u8::try_from(dice.throw(256)).unwrap(),
        _ => {}
    }
}

#[test]
fn no_change_makes_a_panic() {
    let twenty = include_bytes!("../../../fixtures/models/twenty-tendons/model.ifc");
    let small = file("IFC4X3_ADD2", &format!("{HEAD}{TENDON}"));
    let edges = include_bytes!("edges.ifc");
    let mut dice = Dice(0x5EED_1FC0_57E9);
    let mut read_whole = 0;
    for (original, times) in [(small.as_bytes(), 3000), (edges, 2000), (twenty, 150)] {
        for _ in 0..times {
            let mut bytes = original.to_vec();
            for _ in 0..=dice.throw(6) {
                mutate(&mut bytes, &mut dice);
            }
            let length = bytes.len() as u64;
            let check = |span: Span| {
                assert!(span.start <= span.end && span.end <= length, "{span:?} of {length}");
            };
            match load(&bytes) {
                Ok(read) => {
                    read_whole += 1;
                    for record in &read.records {
                        if let At::Span(span) = record.at {
                            check(span);
                        }
                    }
                    for problem in &read.problems {
                        if let Place::Text { span, .. } = problem.place {
                            check(span);
                        }
                    }
                }
                Err(LoadError::Unreadable { place: Place::Text { span, .. }, .. }) => check(span),
                Err(LoadError::Unreadable { .. }) => {}
                Err(other) => panic!("{other:?}"),
            }
        }
    }
    assert!(read_whole > 3000, "the changes must leave something to read: {read_whole}");
}
