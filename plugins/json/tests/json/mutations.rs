//! Texts that were changed at random: whatever comes out, nothing panics and every place is in the text.

use restrand_kit::{At, LoadError};
use restrand_model::reading::{Place, Span};

use crate::reading::{Reading, read};
use crate::round_trip::DOCUMENT;

/// The xorshift generator of Marsaglia, so that each run makes the same texts.
struct Dice(u64);

impl Dice {
    fn throw(&mut self, below: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % below.max(1) as u64) as usize
    }
}

const PIECES: [&[u8]; 20] = [
    b"{",
    b"}",
    b"[",
    b"]",
    b"\"",
    b"\\",
    b",",
    b":",
    b"\n",
    b"\r",
    b"\0",
    b"1e999",
    b"null",
    b"\\ud800",
    b"\xFF",
    b"\xEF\xBB\xBF",
    b"-",
    b"\"restrand\":",
    b"\"tendons\":",
    b"[{}]",
];

fn mutate(text: &mut Vec<u8>, dice: &mut Dice) {
    let at = dice.throw(text.len());
    let end = (at + dice.throw(9)).min(text.len());
    match dice.throw(5) {
        0 => text.truncate(at),
        1 => drop(text.drain(at..end)),
        2 => drop(text.splice(at..at, PIECES[dice.throw(PIECES.len())].iter().copied())),
        3 => {
            let copy = text[at..end].to_vec();
            let to = dice.throw(text.len());
            drop(text.splice(to..to, copy));
        }
        _ if !text.is_empty() => text[at] = dice.throw(256) as u8,
        _ => {}
    }
}

fn assert_places_are_inside(result: Result<Reading, LoadError>, length: u64) {
    let check = |span: Span| assert!(span.start <= span.end && span.end <= length, "{span:?}");
    match result {
        Ok(reading) => {
            for record in &reading.records {
                if let At::Span(span) = record.at {
                    check(span);
                }
            }
            for problem in &reading.problems {
                if let Place::Text { span, .. } = problem.place {
                    check(span);
                }
            }
        }
        Err(LoadError::Unreadable { place: Place::Text { span, .. }, .. }) => check(span),
        Err(other) => panic!("{other:?}"),
    }
}

#[test]
fn no_change_makes_a_panic() {
    let lines = "{\"restrand\":1}\n{\"project\":{\"bridge\":\"Ö\"}}\n{\"tendons\":{\"mark\":\"T1\",\
                 \"points\":[{\"station_m\":1.5},{}]}}\n{\"extra\":{\"a\":[null,true]}}\n";
    let mut dice = Dice(0x5EED_0F75_7A4D);
    let mut read_whole = 0;
    for (name, original) in [("s.json", DOCUMENT), ("s.ndjson", lines), ("-", lines)] {
        for _ in 0..1000 {
            let mut text = original.as_bytes().to_vec();
            for _ in 0..=dice.throw(4) {
                mutate(&mut text, &mut dice);
            }
            let result = read(name, &text);
            read_whole += usize::from(result.is_ok());
            assert_places_are_inside(result, text.len() as u64);
        }
    }
    assert!(read_whole > 500, "the changes must leave something to read: {read_whole}");
}
