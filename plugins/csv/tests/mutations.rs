//! No bytes make a reading panic: files are bent in a seeded way, and read.

mod common;

use common::{archive, load_parts};
use restrand_kit::Budget;

/// A small generator of numbers (xorshift), so that each run bends the same bytes.
struct Numbers(u64);

impl Numbers {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    fn below(&mut self, end: usize) -> usize {
        usize::try_from(self.next() % end as u64).unwrap_or(0)
    }

    /// Flips, overwrites, doubles or cuts some bytes, and puts in what means something to CSV.
    fn bend(&mut self, bytes: &mut Vec<u8>) {
        const MARKS: &[u8] = b"\",;\t|\r\n\0=. \xff\xc3";
        for _ in 0..=self.below(4) {
            if bytes.is_empty() {
                return;
            }
            let at = self.below(bytes.len());
            match self.below(9) {
                0 => bytes.truncate(at),
                1 => bytes[at] = 0,
                2 => {
                    let end = (at + 1 + self.below(16)).min(bytes.len());
                    let piece = bytes[at..end].to_vec();
                    bytes.splice(at..at, piece);
                }
                3..=6 => bytes.insert(at, MARKS[self.below(MARKS.len())]),
                _ => bytes[at] ^= 1 << self.below(8),
            }
        }
    }
}

const ROW: &str = "T1;19;\"12,5\";\"a \"\"quoted\"\"\nremark\";4'-6 1/2\";1.234\r\n";

fn data() -> String {
    "Mark;Strand count;Length [m];Vibration note;Remarks;Steel mass [kg]\r\n".to_owned()
        + &ROW.repeat(20)
}

#[test]
fn bent_texts_are_read_or_refused() {
    let text = data();
    let wide: Vec<u8> = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
    let mut numbers = Numbers(0x9e37_79b9_7f4a_7c15);
    for good in [text.into_bytes(), wide] {
        for _ in 0..1_500 {
            let mut bytes = good.clone();
            numbers.bend(&mut bytes);
            let _ = load_parts(&[("Tendons.csv", bytes)], Budget::default());
        }
    }
}

#[test]
fn bent_archives_are_read_or_refused() {
    let data = data();
    let good = archive(&[("Tendons.csv", data.as_bytes()), ("Points.csv", b"Tendon,Station [m]")]);
    let mut numbers = Numbers(0x2545_f491_4f6c_dd1d);
    for _ in 0..1_000 {
        let mut bytes = good.clone();
        numbers.bend(&mut bytes);
        let _ = load_parts(&[("x.zip", bytes)], Budget::default());
    }
}
