//! Models that are changed at random, for the tests of the crates that read models.

use restrand_kit::{At, LoadError};
use restrand_model::reading::{Place, Span};

use crate::common::load;

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

fn mutate(bytes: &mut Vec<u8>, pieces: &[&[u8]], dice: &mut Dice) {
    let at = dice.throw(bytes.len());
    let end = (at + dice.throw(12)).min(bytes.len());
    match dice.throw(6) {
        0 => bytes.truncate(at.max(bytes.len() / 2)),
        1 => drop(bytes.drain(at..end)),
        2 => drop(bytes.splice(at..at, pieces[dice.throw(pieces.len())].iter().copied())),
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

/// Reads each original that many times with changes, and holds every place to the file; gives how many were read.
pub(crate) fn read_whole(originals: &[(&[u8], usize)], pieces: &[&[u8]], seed: u64) -> usize {
    let mut dice = Dice(seed);
    let mut read_whole = 0;
    for (original, times) in originals {
        for _ in 0..*times {
            let mut bytes = original.to_vec();
            for _ in 0..=dice.throw(6) {
                mutate(&mut bytes, pieces, &mut dice);
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
    read_whole
}
