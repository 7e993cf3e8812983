//! What a rulebook requires by stage, as far as one element can be asked for it.

use restrand_model::reflect::{Choice, FieldInfo, RecordInfo, Shape};
use restrand_model::schedule::Stage;
use restrand_rules::{Required, Rulebook};

use super::facet::{
    Home, Property, Requirement, Specification, Values, field_of, home_of, info_of, known_by,
};

/// Adds a specification for each requirement that can be said, and a line for each that cannot.
pub(crate) fn say(
    book: &Rulebook,
    stage: Stage,
    specifications: &mut Vec<Specification>,
    unsaid: &mut Vec<String>,
) {
    for required in book.required.iter().filter(|required| required.stage <= stage) {
        let Some(info) = info_of(&required.record) else {
            unsaid.push(format!("required of {}: no such record", required.record));
            continue;
        };
        let Some(home) = home_of(info.name) else {
            unsaid.push(format!(
                "required of {} from {} on: {}: no element of a model stands for it alone",
                info.name,
                required.stage.word(),
                required.fields.join(", ")
            ));
            continue;
        };
        let requirements = requirements(info, required, unsaid);
        match (conditions(info, required, unsaid), requirements.is_empty()) {
            (Some(when), false) => {
                let identifier = format!("required-{}", specifications.len() + 1);
                specifications.push(specification(
                    info,
                    required,
                    home,
                    when,
                    requirements,
                    identifier,
                ));
            }
            (None, false) => unsaid.push(format!(
                "required of {} from {} on: {}: IDS cannot say when it holds",
                info.name,
                required.stage.word(),
                required.fields.join(", ")
            )),
            (_, true) => {}
        }
    }
}

fn specification(
    info: &'static RecordInfo,
    required: &Required,
    home: Home,
    when: Vec<Property>,
    requirements: Vec<Requirement>,
    identifier: String,
) -> Specification {
    let stage = required.stage.word().replace('_', " ");
    let asked: Vec<&str> = requirements
        .iter()
        .map(|requirement| match requirement {
            Requirement::Name => "name",
            Requirement::Property { property, .. } => property.name,
        })
        .collect();
    Specification {
        name: format!("{} from {stage} on: {}", spaced(info.name), spaced(&asked.join(", "))),
        identifier,
        description: format!("Rules schedule/missing-field and space/missing, stage {stage}"),
        // There is no schedule without a tendon, and no tendon without an end.
        at_least_one: when.is_empty() && matches!(info.name, "tendon" | "end"),
        home,
        when,
        requirements,
    }
}

fn requirements(
    info: &'static RecordInfo,
    required: &Required,
    unsaid: &mut Vec<String>,
) -> Vec<Requirement> {
    let mut found = Vec::new();
    for path in &required.fields {
        let is_name = info.field(path).is_some_and(|field| matches!(field.shape, Shape::Text));
        if info.key == Some(path) && is_name {
            found.push(Requirement::Name);
            continue;
        }
        if known_by(info.name).is_some_and(|(_, names)| names == [path]) {
            unsaid.push(format!(
                "required of {} from {} on: {path}: what states it tells the {} from other elements",
                info.name,
                required.stage.word(),
                info.name
            ));
            continue;
        }
        let property =
            field_of(info.name, path).and_then(|(info, field)| Property::of(info, field));
        match property {
            Some(property) => found.push(Requirement::Property { property, is_required: true }),
            None => unsaid.push(format!(
                "required of {} from {} on: {path}: it is a list or an element of its own, which IDS does not count",
                info.name,
                required.stage.word()
            )),
        }
    }
    found
}

/// What an element states for the requirement to hold; none if IDS has no words for it.
///
/// A value that is absent cannot be a condition in IDS: for such elements the requirement is left out, and said.
fn conditions(
    info: &'static RecordInfo,
    required: &Required,
    unsaid: &mut Vec<String>,
) -> Option<Vec<Property>> {
    let mut when = Vec::new();
    let mut absent = Vec::new();
    for (path, words) in &required.when {
        let (info, field) = field_of(info.name, path)?;
        if words.iter().any(|word| word == ABSENT) {
            absent.push(path);
        }
        when.push(property(info, field, words.iter().filter(|word| *word != ABSENT))?);
    }
    for (path, words) in &required.unless {
        let (info, field) = field_of(info.name, path)?;
        let all: Vec<String> = match field.shape {
            Shape::Choice(choices) => choices.iter().map(|word| word.name.to_owned()).collect(),
            Shape::Flag => vec!["yes".to_owned(), "no".to_owned()],
            // Of a text nobody can list the words that are left.
            _ => return None,
        };
        if !words.iter().any(|word| word == ABSENT) {
            absent.push(path);
        }
        when.push(property(info, field, all.iter().filter(|word| !words.contains(word)))?);
    }
    // Nobody draws a stub out of an embedded end.
    if info.name == "removal_space"
        && let Some((end, kind)) = field_of("end", "kind")
    {
        let words = ["stressing".to_owned(), "dead".to_owned()];
        when.push(property(end, kind, words.iter())?);
        unsaid.push(format!(
            "required of removal_space from {} on: that ends of tendons which need not be replaceable are free of it",
            required.stage.word()
        ));
    }
    for path in absent {
        unsaid.push(format!(
            "required of {} from {} on: {}: where {path} is absent",
            info.name,
            required.stage.word(),
            required.fields.join(", ")
        ));
    }
    Some(when)
}

/// The word of a rulebook for a value that is not stated.
const ABSENT: &str = "absent";

/// The property of a field with these words only; none where no word is left.
fn property<'w>(
    info: &'static RecordInfo,
    field: &'static FieldInfo,
    words: impl Iterator<Item = &'w String>,
) -> Option<Property> {
    let is_flag = matches!(field.shape, Shape::Flag);
    let words: Vec<String> = words
        .map(|word| match word.as_str() {
            "yes" if is_flag => "true".to_owned(),
            "no" if is_flag => "false".to_owned(),
            word => word.to_owned(),
        })
        .collect();
    if words.is_empty() {
        return None;
    }
    Some(Property::of(info, field)?.with(Values::Words(words)))
}

fn spaced(name: &str) -> String {
    name.replace('_', " ")
}
