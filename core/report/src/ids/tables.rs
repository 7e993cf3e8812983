//! The tables of a rulebook: fillers that may be used, and the permanence that is expected of each role.

use restrand_model::reflect::Choice;
use restrand_model::schedule::{Filler, Permanence, Role};
use restrand_rules::{Allowed, Rulebook};

use super::facet::{Property, Requirement, Specification, Values, field_of, home_of};

/// Adds a specification for each table that says something.
pub(crate) fn say(book: &Rulebook, specifications: &mut Vec<Specification>) {
    specifications.extend(fillers(book));
    for (allowed, permanence) in [
        (Allowed::Replaceable, Permanence::Replaceable),
        (Allowed::Permanent, Permanence::Permanent),
    ] {
        specifications.extend(roles(book, allowed, permanence));
    }
}

fn property(record: &str, field: &str, words: Vec<String>) -> Option<Property> {
    let (info, field) = field_of(record, field)?;
    Some(Property::of(info, field)?.with(Values::Words(words)))
}

fn fillers(book: &Rulebook) -> Option<Specification> {
    let forbidden: Vec<_> =
        book.fillers.iter().filter(|(_, row)| !row.allowed).map(|(word, _)| *word).collect();
    let rest = Filler::WORDS.iter().map(|word| word.name).filter(|word| !forbidden.contains(word));
    if forbidden.is_empty() {
        return None;
    }
    let property = property("tendon", "filler", rest.map(str::to_owned).collect())?;
    Some(Specification {
        name: format!("tendon: filler is not {}", forbidden.join(" or ").replace('_', " ")),
        identifier: "fillers".to_owned(),
        description: "Rule filler/kind-not-allowed".to_owned(),
        at_least_one: false,
        home: home_of("tendon")?,
        when: Vec::new(),
        requirements: vec![Requirement::Property { property, is_required: false }],
    })
}

fn roles(book: &Rulebook, allowed: Allowed, permanence: Permanence) -> Option<Specification> {
    let roles: Vec<String> = Role::ALL
        .iter()
        .filter(|role| book.role(**role).is_some_and(|row| row.allowed == allowed))
        .map(|role| role.word().to_owned())
        .collect();
    if roles.is_empty() {
        return None;
    }
    let word = permanence.word();
    let property_of = |field, words| property("part", field, words);
    Some(Specification {
        name: format!("part: {} is {word}", roles.join(", ").replace('_', " ")),
        identifier: format!("roles-{word}"),
        description: "Rule parts/permanence-unexpected; where the rulebook only expects it, others may be right"
            .to_owned(),
        at_least_one: false,
        home: home_of("part")?,
        when: vec![property_of("role", roles)?],
        requirements: vec![Requirement::Property {
            property: property_of("permanence", vec![word.to_owned()])?,
            is_required: false,
        }],
    })
}
