//! The schema check of one record, over the record's own members, without a copy.

mod members;
#[cfg(test)]
mod tests;

use std::collections::HashSet;
use std::sync::{LazyLock, Mutex, OnceLock, PoisonError};

use jsonschema::error::{TypeKind, ValidationErrorKind};
use jsonschema::{
    Draft, JsonType, Registry, RegistryBuilder, Resource, ValidationError, Validator,
};
use restrand_model::quantity::{of_field, shortest};
use restrand_model::reflect::{FieldInfo, RecordInfo, Shape};
use restrand_model::schema;
use restrand_model::value::Fields;
use serde_json::{Value as Tree, json};

use self::members::{Members, Seen};

/// What is made of the schema of a record type.
type Compiled = Result<Validator<Members>, String>;

/// The validators that were made: each is made when it is first needed, serves all inputs, and stays to the end of the run.
static MADE: Mutex<Vec<(&'static RecordInfo, &'static OnceLock<Compiled>)>> =
    Mutex::new(Vec::new());

/// The validators of the record types of one input.
#[derive(Default)]
pub(crate) struct Validators {
    known: Vec<(&'static RecordInfo, &'static Validator<Members>)>,
}

/// A value that the schema does not take.
#[derive(Debug, PartialEq)]
pub(crate) struct Refusal {
    /// The members and positions from the record to the value; the members' own names for [`Fault::Unknown`].
    pub(crate) path: Vec<String>,
    /// What is wrong.
    pub(crate) fault: Fault,
    /// The value as text.
    pub(crate) given: String,
    /// The value, where it is a number.
    pub(crate) number: Option<f64>,
}

/// What is wrong with a value.
#[derive(Debug, PartialEq)]
pub(crate) enum Fault {
    /// No field has the member's name.
    Unknown,
    /// The field takes no such value.
    Unfit {
        /// What is wrong, as a clause.
        why: String,
        /// What to do about it.
        help: String,
    },
}

impl Validators {
    fn of(&mut self, info: &'static RecordInfo) -> Result<&'static Validator<Members>, String> {
        if let Some((_, known)) = self.known.iter().find(|(of, _)| std::ptr::eq(*of, info)) {
            return Ok(known);
        }
        let validator = made(info).as_ref().map_err(String::clone)?;
        self.known.push((info, validator));
        Ok(validator)
    }

    /// What the schema of the record's type does not take, in the order in which it was met.
    ///
    /// A record that fits is not asked more of: [`schema::fits`] gives the schema's own answer.
    pub(crate) fn refusals(
        &mut self,
        info: &'static RecordInfo,
        fields: &Fields,
    ) -> Result<Vec<Refusal>, String> {
        if schema::fits(info, fields) {
            return Ok(Vec::new());
        }
        let node = Seen::Fields(fields);
        let validator = self.of(info)?;
        let mut refusals: Vec<Refusal> = Vec::new();
        let mut refused = HashSet::new();
        for error in validator.iter_errors(node) {
            add(&error, info, &mut refusals, &mut refused);
        }
        Ok(refusals)
    }
}

/// The validator of a record type; whoever needs one that is being made waits for that one alone.
fn made(info: &'static RecordInfo) -> &'static Compiled {
    let mut made = MADE.lock().unwrap_or_else(PoisonError::into_inner);
    let cell = match made.iter().find(|(of, _)| std::ptr::eq(*of, info)) {
        Some((_, cell)) => *cell,
        None => {
            let cell: &'static OnceLock<_> = Box::leak(Box::default());
            made.push((info, cell));
            cell
        }
    };
    drop(made);
    cell.get_or_init(|| compile(info))
}

/// The name under which the record types are known to one another.
const DEFINITIONS: &str = "urn:restrand:records";

/// The schemas of all record types, brought in order once. That they are valid schemas is tested, and not asked
/// again for each type at every start.
static KNOWN: LazyLock<Result<Registry<'static>, String>> = LazyLock::new(|| {
    Registry::new()
        .draft(Draft::Draft202012)
        .add(DEFINITIONS, Resource::from_contents(schema::definitions_alone()))
        .and_then(RegistryBuilder::prepare)
        .map_err(|error| format!("the schemas of records cannot be read: {error}"))
});

fn compile(info: &'static RecordInfo) -> Compiled {
    jsonschema::options_for::<Members>()
        .with_draft(Draft::Draft202012)
        .should_validate_formats(true)
        .with_registry(KNOWN.as_ref().map_err(String::clone)?)
        .build(&json!({ "$ref": format!("{DEFINITIONS}#/$defs/{}", info.name) }))
        .map_err(|error| format!("the schema of {} does not compile: {error}", info.name))
}

/// Adds what an error refuses; `refused` has the paths of the values that were.
fn add(
    error: &ValidationError<'_>,
    info: &'static RecordInfo,
    refusals: &mut Vec<Refusal>,
    refused: &mut HashSet<Vec<String>>,
) {
    let path: Vec<String> =
        error.instance_path().iter().map(|segment| segment.to_string()).collect();
    if let ValidationErrorKind::AdditionalProperties { unexpected } = error.kind() {
        for name in unexpected {
            let mut path = path.clone();
            path.push(name.clone());
            let given = error.instance().get(name).map(plain).unwrap_or_default();
            refusals.push(Refusal { path, fault: Fault::Unknown, given, number: None });
        }
        return;
    }
    // One value is refused once: of several reasons the first says enough.
    if !refused.insert(path.clone()) {
        return;
    }
    let field = field_at(info, &path);
    let (why, help) = words(error.kind(), error.instance(), field);
    refusals.push(Refusal {
        path,
        fault: Fault::Unfit { why, help },
        given: plain(error.instance()),
        number: error.instance().as_f64(),
    });
}

/// The field that a path leads to, or whose list it leads into.
fn field_at(info: &'static RecordInfo, path: &[String]) -> Option<&'static FieldInfo> {
    let mut info = info;
    let mut field = None;
    for step in path {
        if step.parse::<usize>().is_ok() {
            continue;
        }
        let found = info.field(step)?;
        field = Some(found);
        if let Shape::Record(inner) | Shape::Records(inner) = found.shape {
            info = inner();
        }
    }
    field
}

fn plain(value: &Tree) -> String {
    match value {
        Tree::String(text) => text.clone(),
        other => other.to_string(),
    }
}

fn words(
    kind: &ValidationErrorKind,
    value: &Tree,
    field: Option<&'static FieldInfo>,
) -> (String, String) {
    let unit = field
        .filter(|field| matches!(field.shape, Shape::Number))
        .and_then(|field| of_field(field.name).1)
        .map(|unit| format!(" {}", unit.symbol))
        .unwrap_or_default();
    let number = |value: &Tree| value.as_f64().map_or_else(|| value.to_string(), shortest);
    match kind {
        ValidationErrorKind::Type { kind } => {
            let needed = match kind {
                TypeKind::Single(single) => type_name(*single),
                TypeKind::Multiple(_) => "another kind of value",
            };
            let help = match field {
                Some(field) => format!("state {needed}, as {}", example(field)),
                None => format!("state {needed}"),
            };
            (format!("it is {}, but {needed} is needed", value_type(value)), help)
        }
        ValidationErrorKind::ExclusiveMinimum { limit } => (
            format!(
                "it is {}{unit}, but must be greater than {}{unit}",
                number(value),
                number(limit)
            ),
            "check the sign and the unit".to_owned(),
        ),
        ValidationErrorKind::Minimum { limit } => (
            format!(
                "it is {}{unit}, but must not be less than {}{unit}",
                number(value),
                number(limit)
            ),
            "check the sign and the unit".to_owned(),
        ),
        ValidationErrorKind::Maximum { limit } => (
            format!(
                "it is {}{unit}, beyond {}{unit}, more than any bridge has",
                number(value),
                number(limit)
            ),
            "check the number and the unit".to_owned(),
        ),
        ValidationErrorKind::Enum { options } => {
            let words: Vec<_> =
                options.as_array().into_iter().flatten().filter_map(Tree::as_str).collect();
            (
                "it is not one of the words of the list".to_owned(),
                format!("state one of: {}", words.join(", ")),
            )
        }
        ValidationErrorKind::Format { .. } | ValidationErrorKind::Pattern { .. } => (
            "it is not a date of the calendar".to_owned(),
            "write the date year-month-day, as 2031-05-07".to_owned(),
        ),
        ValidationErrorKind::MaxLength { limit } => (
            format!("it is longer than {limit} characters"),
            "shorten the text, or keep it in a document of its own".to_owned(),
        ),
        ValidationErrorKind::MinLength { .. } => {
            ("it is empty".to_owned(), "leave the value out, or state it".to_owned())
        }
        other => (
            format!("it breaks the schema's \"{}\"", other.keyword()),
            "see the schema of the schedule".to_owned(),
        ),
    }
}

fn example(field: &FieldInfo) -> String {
    field.example().unwrap_or_else(|| format!("the description of {} says", field.name))
}

const fn type_name(kind: JsonType) -> &'static str {
    match kind {
        JsonType::Null => "nothing",
        JsonType::Boolean => "true or false",
        JsonType::Integer => "a whole number",
        JsonType::Number => "a number",
        JsonType::String => "a text",
        JsonType::Array => "a list",
        JsonType::Object => "a record",
    }
}

const fn value_type(value: &Tree) -> &'static str {
    match value {
        Tree::Null => "nothing",
        Tree::Bool(_) => "true or false",
        Tree::Number(_) => "a number",
        Tree::String(_) => "a text",
        Tree::Array(_) => "a list",
        Tree::Object(_) => "a record",
    }
}
