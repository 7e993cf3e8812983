//! The schema check of one record, over the record's own members, without a copy.

use std::borrow::Cow;
use std::collections::{HashMap, HashSet};

use jsonschema::error::{TypeKind, ValidationErrorKind};
use jsonschema::json::{Array, Json, JsonNumber, Node, NodeIdentity, Object};
use jsonschema::{JsonType, ValidationError, Validator};
use restrand_model::quantity::{of_field, shortest};
use restrand_model::reflect::{FieldInfo, RecordInfo, Shape};
use restrand_model::schema;
use restrand_model::value::{Fields, Name, Value};
use serde_json::Value as Tree;

/// The members of a record as the validator sees them.
struct Members;

impl Json for Members {
    type Node<'a> = Seen<'a>;
    type PreparedKey = Box<str>;
    type StringBuffer = Box<str>;

    // Members are searched one by one, so a pass over them is cheaper than looking each field up.
    const KEYS_PER_LOOKUP: usize = 64;
    const ACYCLIC: bool = true;

    fn prepare_key(key: &str) -> Box<str> {
        key.into()
    }

    fn with_string_node<T>(
        buffer: &mut Box<str>,
        string: &str,
        f: impl FnOnce(Seen<'_>) -> T,
    ) -> T {
        *buffer = string.into();
        f(Seen::Text(buffer))
    }
}

/// A value, or a record's members.
#[derive(Clone, Copy)]
enum Seen<'a> {
    Value(&'a Value),
    Fields(&'a Fields),
    Text(&'a str),
}

struct Number(f64);

impl JsonNumber for Number {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "whole and within the exact range of a float"
    )]
    fn as_u64(&self) -> Option<u64> {
        (self.is_integer() && self.0 >= 0.0 && self.0 <= EXACT).then_some(self.0 as u64)
    }

    #[expect(
        clippy::cast_possible_truncation,
        reason = "whole and within the exact range of a float"
    )]
    fn as_i64(&self) -> Option<i64> {
        (self.is_integer() && self.0.abs() <= EXACT).then_some(self.0 as i64)
    }

    fn as_f64(&self) -> Option<f64> {
        Some(self.0)
    }

    fn as_str(&self) -> Cow<'_, str> {
        Cow::Owned(self.0.to_string())
    }

    fn to_number(&self) -> Cow<'_, serde_json::Number> {
        // A value is finite by its making; zero stands in for what cannot be.
        Cow::Owned(serde_json::Number::from_f64(self.0).unwrap_or_else(|| 0.into()))
    }

    fn is_integer(&self) -> bool {
        self.0.fract() == 0.0
    }
}

/// 2^53, up to which a float holds every whole number.
const EXACT: f64 = 9_007_199_254_740_992.0;

impl<'a> Seen<'a> {
    fn of(value: &'a Value) -> Self {
        match value {
            Value::Fields(fields) => Self::Fields(fields),
            value => Self::Value(value),
        }
    }

    fn address(&self) -> usize {
        match self {
            Self::Value(value) => std::ptr::from_ref(*value) as usize,
            Self::Fields(fields) => std::ptr::from_ref(*fields) as usize,
            Self::Text(text) => text.as_ptr() as usize,
        }
    }
}

impl<'a> Node<'a, Members> for Seen<'a> {
    type Object = &'a Fields;
    type Array = &'a [Value];
    type Number = Number;

    fn as_object(&self) -> Option<&'a Fields> {
        match self {
            Self::Fields(fields) => Some(fields),
            _ => None,
        }
    }

    fn as_array(&self) -> Option<&'a [Value]> {
        match self {
            Self::Value(Value::List(items)) => Some(items),
            _ => None,
        }
    }

    fn as_string(&self) -> Option<Cow<'a, str>> {
        match self {
            Self::Value(Value::Text(text)) => Some(Cow::Borrowed(text)),
            Self::Text(text) => Some(Cow::Borrowed(text)),
            _ => None,
        }
    }

    fn as_number(&self) -> Option<Number> {
        match self {
            Self::Value(Value::Number(number)) => Some(Number(*number)),
            _ => None,
        }
    }

    fn as_boolean(&self) -> Option<bool> {
        match self {
            Self::Value(Value::Flag(flag)) => Some(*flag),
            _ => None,
        }
    }

    fn is_null(&self) -> bool {
        false
    }

    fn json_type(&self) -> JsonType {
        match self {
            Self::Fields(_) | Self::Value(Value::Fields(_)) => JsonType::Object,
            Self::Text(_) | Self::Value(Value::Text(_)) => JsonType::String,
            Self::Value(Value::Flag(_)) => JsonType::Boolean,
            Self::Value(Value::Number(_)) => JsonType::Number,
            Self::Value(Value::List(_)) => JsonType::Array,
        }
    }

    fn to_value(&self) -> Cow<'a, Tree> {
        Cow::Owned(match self {
            Self::Text(text) => Tree::String((*text).to_owned()),
            Self::Fields(fields) => tree(fields),
            Self::Value(value) => tree(value),
        })
    }

    fn identity(&self) -> Option<NodeIdentity> {
        Some(NodeIdentity::new(self.address()))
    }
}

fn tree(value: &(impl serde::Serialize + ?Sized)) -> Tree {
    serde_json::to_value(value).unwrap_or(Tree::Null)
}

impl<'a> Object<'a, Members> for &'a Fields {
    type Node = Seen<'a>;
    type MemberName = &'a str;
    type MembersIter = Walk<'a>;

    fn len(&self) -> usize {
        Fields::len(self)
    }

    fn get(&self, key: &Box<str>) -> Option<Seen<'a>> {
        Fields::get(self, key).map(Seen::of)
    }

    fn members(&self) -> Walk<'a> {
        Walk(self.iter())
    }
}

struct Walk<'a>(std::slice::Iter<'a, (Name, Value)>);

impl<'a> Iterator for Walk<'a> {
    type Item = (&'a str, Seen<'a>);

    fn next(&mut self) -> Option<Self::Item> {
        self.0.next().map(|(name, value)| (name.as_str(), Seen::of(value)))
    }
}

impl<'a> Array<'a, Members> for &'a [Value] {
    type Node = Seen<'a>;
    type ElementsIter = std::iter::Map<std::slice::Iter<'a, Value>, fn(&'a Value) -> Seen<'a>>;

    fn len(&self) -> usize {
        <[Value]>::len(self)
    }

    fn elements(&self) -> Self::ElementsIter {
        self.iter().map(Seen::of)
    }
}

/// The validators of record types, each made when it is first needed.
#[derive(Default)]
pub(crate) struct Validators {
    made: HashMap<&'static str, Validator<Members>>,
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
    /// What the schema of the record's type does not take, in the order in which it was met.
    pub(crate) fn refusals(
        &mut self,
        info: &'static RecordInfo,
        fields: &Fields,
    ) -> Result<Vec<Refusal>, String> {
        if !self.made.contains_key(info.name) {
            let validator = jsonschema::options_for::<Members>()
                .with_draft(jsonschema::Draft::Draft202012)
                .should_validate_formats(true)
                .build(&schema::record(info))
                .map_err(|error| {
                    format!("the schema of {} does not compile: {error}", info.name)
                })?;
            self.made.insert(info.name, validator);
        }
        let validator = &self.made[info.name];
        let node = Seen::Fields(fields);
        if validator.is_valid(node) {
            return Ok(Vec::new());
        }
        let mut refusals: Vec<Refusal> = Vec::new();
        let mut refused = HashSet::new();
        for error in validator.iter_errors(node) {
            add(&error, info, &mut refusals, &mut refused);
        }
        Ok(refusals)
    }
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
