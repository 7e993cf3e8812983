//! GlobalIds that follow from names: the same record of the same bridge has the same in every file.
//!
//! An id is a UUID of version 5 (RFC 9562) in the 22 letters in which IFC writes the 128 bits.

use std::collections::HashMap;

use uuid::Uuid;

/// The namespace of restrand's names, an arbitrary number that must never change.
const NAMESPACE: Uuid = Uuid::from_u128(0x6f0c_34a2_1f5b_4c8e_9d27_5b1e_8a40_c3f7);

/// The letters of IFC's base 64.
const LETTERS: &[u8; 64] = b"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz_$";

/// Gives out the ids of one model.
#[derive(Debug)]
pub(super) struct Guids {
    bridge: Uuid,
    /// How often a name was asked for.
    given: HashMap<String, u32>,
}

impl Guids {
    /// The ids of a bridge, which is known by its number or else by its name.
    pub(super) fn new(bridge: &str) -> Self {
        let bridge = Uuid::new_v5(&NAMESPACE, bridge.as_bytes());
        Self { bridge, given: HashMap::new() }
    }

    /// The id of a name; one that is asked for again, as of two tendons of one mark, is another's.
    pub(super) fn of(&mut self, name: &str) -> String {
        let times = self.given.entry(name.to_owned()).and_modify(|times| *times += 1).or_insert(1);
        let id = match times {
            1 => Uuid::new_v5(&self.bridge, name.as_bytes()),
            times => Uuid::new_v5(&self.bridge, format!("{name}\n{times}").as_bytes()),
        };
        letters(id.as_u128())
    }
}

/// 128 bits as 22 letters: two bits in the first, six in each other.
fn letters(bits: u128) -> String {
    let letter = |place: u32| char::from(LETTERS[(bits >> (6 * place) & 63) as usize]);
    (0..22).rev().map(letter).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_are_written_as_ifc_writes_them() {
        assert_eq!(letters(0), "0000000000000000000000");
        assert_eq!(letters(u128::MAX), "3$$$$$$$$$$$$$$$$$$$$$");
        // As ifcopenshell 0.9.0 writes the same 128 bits (`ifcopenshell.guid.compress`).
        assert_eq!(letters(0x4fa1_0ab8_1a74_4f5b_9c3d_0f2e_6d5c_4b3a), "1FeGgu6dHFMvmz3ovjN4iw");
    }

    #[test]
    fn a_name_has_one_id_and_two_records_of_one_name_have_two() {
        let (mut one, mut other) = (Guids::new("QV-017"), Guids::new("QV-017"));
        let first = one.of("tendons/T1");
        assert_eq!(first, other.of("tendons/T1"));
        assert_ne!(first, one.of("tendons/T1"));
        assert_ne!(first, Guids::new("QV-018").of("tendons/T1"));
    }
}
