//! Which entity with which predefined type is which part of a schedule.

use super::Kind;

/// An entity with the words that say what it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Home {
    /// The entity.
    pub kind: Kind,
    /// Its predefined type, in upper case.
    pub predefined: &'static str,
    /// Its object type, where the predefined type leaves open what it is.
    pub object: Option<&'static str>,
}

const fn home(kind: Kind, predefined: &'static str) -> Home {
    Home { kind, predefined, object: None }
}

/// What the words of IFC do not tell is told by the schedule's own word, as object type.
const fn user(kind: Kind, object: &'static str) -> Home {
    Home { kind, predefined: "USERDEFINED", object: Some(object) }
}

/// The word for what an author defines, and for what nobody defines.
pub const USERDEFINED: &str = "USERDEFINED";
/// The word for what is left open.
pub const NOTDEFINED: &str = "NOTDEFINED";

/// The kinds of places, by the words of the schedule.
pub static PLACES: &[(&str, Home)] = &[
    ("abutment", home(Kind::BridgePart, "ABUTMENT")),
    ("pier", home(Kind::BridgePart, "PIER")),
    ("expansion_joint", user(Kind::Beam, "expansion_joint")),
    ("intermediate_diaphragm", home(Kind::Beam, "DIAPHRAGM")),
    ("deviator", home(Kind::ProjectionElement, "DEVIATOR")),
    ("blister", home(Kind::ProjectionElement, "BLISTER")),
];

/// The kinds of ends, by the words of the schedule; the first of a predefined type is the one that is read.
pub static ENDS: &[(&str, &str)] =
    &[("stressing", "TENSIONING_END"), ("dead", "FIXED_END"), ("embedded", "FIXED_END")];

/// The predefined type of the conduit that is a duct over the free length.
pub const DUCT: &str = "DUCT";
/// The predefined type of the conduit that is a form at a deviator.
pub const FORM: &str = "DIABOLO";

/// The object types of bodies that need room at an end: what a tendon and a jack need, and what sticks out.
pub const REMOVAL_SPACE: &str = "REMOVAL_SPACE";
/// The stub.
pub const STUB: &str = "STUB";
/// The jack.
pub const JACK: &str = "JACK";

/// The roles of parts, by the words of the schedule.
///
/// A conduit of one predefined type can be several roles, so every part that is written says its role as object
/// type too.
pub static ROLES: &[(&str, Home)] = &[
    ("cap", user(Kind::DiscreteAccessory, "cap")),
    ("wedges", user(Kind::DiscreteAccessory, "wedges")),
    ("wedge_plate", user(Kind::DiscreteAccessory, "wedge_plate")),
    ("shim_plate", user(Kind::DiscreteAccessory, "shim_plate")),
    ("bearing_plate", user(Kind::Plate, "bearing_plate")),
    ("outer_trumpet", home(Kind::TendonConduit, "TRUMPET")),
    ("inner_trumpet", home(Kind::TendonConduit, "TRUMPET")),
    ("anchorage_form", user(Kind::TendonConduit, "anchorage_form")),
    ("guide_pipe", home(Kind::TendonConduit, "DUCT")),
    ("anchorage_pipe", home(Kind::TendonConduit, "DUCT")),
    ("duct_joint", home(Kind::TendonConduit, "COUPLER")),
    ("shrink_sleeve", user(Kind::TendonConduit, "shrink_sleeve")),
    ("duct", home(Kind::TendonConduit, "DUCT")),
    ("deviator_form", home(Kind::TendonConduit, "DIABOLO")),
    ("deviator_pipe", home(Kind::TendonConduit, "DUCT")),
    ("liner", user(Kind::TendonConduit, "liner")),
    ("tube", home(Kind::TendonConduit, "GROUTING_DUCT")),
    ("seal", user(Kind::DiscreteAccessory, "seal")),
    ("tendon_coupler", home(Kind::TendonAnchor, "COUPLER")),
];

/// The kind of place that an element is, if its words tell it.
///
/// ```
/// use restrand_ifc::terms::{Kind, kinds::place_of};
/// assert_eq!(place_of(Kind::Beam, "DIAPHRAGM", ""), Some("intermediate_diaphragm"));
/// assert_eq!(place_of(Kind::Beam, "USERDEFINED", "Deviator"), Some("deviator"));
/// assert_eq!(place_of(Kind::Beam, "EDGEBEAM", ""), None);
/// ```
#[must_use]
pub fn place_of(kind: Kind, predefined: &str, object: &str) -> Option<&'static str> {
    let by_predefined = PLACES.iter().find(|(_, home)| {
        home.object.is_none()
            && home.kind == kind
            && home.predefined.eq_ignore_ascii_case(predefined)
    });
    if let Some((word, _)) = by_predefined {
        return Some(word);
    }
    // Of an element or assembly of any kind the author's own word counts.
    let named = PLACES.iter().find(|(word, _)| same_word(word, object)).map(|(word, _)| *word);
    named.or_else(|| same_word("diaphragm", object).then_some("intermediate_diaphragm"))
}

/// The role of a part, if its words tell it.
#[must_use]
pub fn role_of(kind: Kind, predefined: &str, object: &str) -> Option<&'static str> {
    if let Some((word, _)) = ROLES.iter().find(|(word, _)| same_word(word, object)) {
        return Some(word);
    }
    let mut fitting = ROLES.iter().filter(|(_, home)| {
        home.object.is_none()
            && home.kind == kind
            && home.predefined.eq_ignore_ascii_case(predefined)
    });
    match (fitting.next(), fitting.next()) {
        (Some((word, _)), None) => Some(word),
        _ => None,
    }
}

/// Whether two words are the same but for case, spaces and underscores.
fn same_word(word: &str, other: &str) -> bool {
    let plain = |text: &str| -> Vec<u8> {
        text.bytes()
            .filter(u8::is_ascii_alphanumeric)
            .map(|letter| letter.to_ascii_lowercase())
            .collect()
    };
    plain(word) == plain(other)
}

#[cfg(test)]
mod tests {
    use super::*;
    use restrand_model::reflect::{FieldInfo, Shape};
    use restrand_model::schedule::{End, Part, Place};

    fn words(field: &FieldInfo) -> Vec<&'static str> {
        match field.shape {
            Shape::Choice(words) => words.iter().map(|word| word.name).collect(),
            _ => panic!("{} is no choice", field.name),
        }
    }

    #[test]
    fn sets_stand_at_entities_that_are_known() {
        for home in crate::terms::sets::HOMES {
            for name in home.at {
                assert!(Kind::of_name(name.as_bytes()).is_some(), "{name}");
            }
        }
    }

    #[test]
    fn every_word_of_the_schedule_has_a_home() {
        let places = words(Place::INFO.field("kind").unwrap());
        assert_eq!(places, PLACES.iter().map(|(word, _)| *word).collect::<Vec<_>>());
        let ends = words(End::INFO.field("kind").unwrap());
        assert_eq!(ends, ENDS.iter().map(|(word, _)| *word).collect::<Vec<_>>());
        let roles = words(Part::INFO.field("role").unwrap());
        assert_eq!(roles, ROLES.iter().map(|(word, _)| *word).collect::<Vec<_>>());
    }

    #[test]
    fn what_is_written_is_read_as_the_same() {
        for (word, home) in PLACES {
            let object = home.object.unwrap_or("");
            assert_eq!(place_of(home.kind, home.predefined, object), Some(*word));
        }
        for (word, home) in ROLES {
            assert_eq!(role_of(home.kind, home.predefined, word), Some(*word));
        }
    }
}
