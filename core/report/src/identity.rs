//! What a report or a drawing follows from: the input, the rulebook in force and the program, told by hashes.

use std::io;

use restrand_kit::Part;
use restrand_model::System;
use sha2::{Digest, Sha256};

use crate::checked::InForce;
use crate::rulebook;

/// Digits of a hash where there is no room for all of them: enough to tell the inputs of one bridge apart.
const SHORT_DIGITS: usize = 8;

/// What a report and its drawings follow from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Identity {
    version: String,
    /// The input's parts by name, with the hash of each.
    inputs: Vec<(String, String)>,
    /// The books from the one in force to the one that extends none, and the hash of what they say together.
    rulebook: Option<(String, String)>,
}

impl Identity {
    /// Reads what an input is made of; `version` is that of the program.
    ///
    /// # Errors
    /// A part of the input cannot be read again.
    pub fn of(
        version: &str,
        parts: &[Box<dyn Part>],
        rulebook: Option<InForce<'_>>,
    ) -> io::Result<Self> {
        let inputs = parts.iter().map(|part| Ok((part.name().to_owned(), hash_of(part.as_ref())?)));
        let inputs = inputs.collect::<io::Result<Vec<_>>>()?;
        let rulebook = match rulebook {
            Some(in_force) => Some((in_force.shown(), book_hash(in_force)?)),
            None => None,
        };
        Ok(Self { version: version.to_owned(), inputs, rulebook })
    }

    /// The version of the program.
    pub(crate) fn version(&self) -> &str {
        &self.version
    }

    /// The input's parts by name, each with its whole hash.
    pub(crate) fn inputs(&self) -> &[(String, String)] {
        &self.inputs
    }

    /// The whole hash of the rulebook in force.
    pub(crate) fn rulebook(&self) -> Option<&str> {
        self.rulebook.as_ref().map(|(_, hash)| hash.as_str())
    }

    /// One line of it for the foot of a sheet.
    pub(crate) fn short(&self) -> String {
        let input = match self.inputs.as_slice() {
            [] => "not known".to_owned(),
            [(_, hash)] => short(hash).to_owned(),
            many => {
                let hashes: Vec<_> = many.iter().map(|(_, hash)| hash.as_str()).collect();
                short(&hex(&Sha256::digest(hashes.join("\n")))).to_owned()
            }
        };
        let rulebook = match &self.rulebook {
            Some((names, hash)) => format!("{names}, {}", short(hash)),
            None => "none".to_owned(),
        };
        format!("input {input} · rulebook {rulebook} · restrand {}", self.version)
    }
}

fn short(hash: &str) -> &str {
    hash.get(..SHORT_DIGITS).unwrap_or(hash)
}

/// The hash of a rulebook is that of its print in SI: every value with its origin.
fn book_hash(in_force: InForce<'_>) -> io::Result<String> {
    let mut print = Vec::new();
    rulebook::show(&mut print, in_force.book, System::Si)?;
    Ok(hex(&Sha256::digest(&print)))
}

fn hash_of(part: &dyn Part) -> io::Result<String> {
    const CHUNK: usize = 1 << 16;
    let mut hash = Sha256::new();
    let mut buffer = vec![0; CHUNK];
    let mut offset = 0;
    loop {
        let count = part.read_at(offset, &mut buffer)?;
        if count == 0 {
            return Ok(hex(&hash.finalize()));
        }
        hash.update(&buffer[..count]);
        offset += count as u64;
    }
}

/// Bytes as digits.
pub(crate) fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}
