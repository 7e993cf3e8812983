//! Cells, and the values they hold for a field.

use std::borrow::Cow;

use restrand_model::near::nearest;
use restrand_model::quantity::{self, Misread, Unit};
use restrand_model::reflect::{ChoiceInfo, Date, FieldInfo, Shape};
use restrand_model::value::Value;

use super::{list, unread};

/// What a cell holds.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell<'a> {
    /// A number.
    Number(f64),
    /// A text.
    Text(Cow<'a, str>),
    /// True or false.
    Flag(bool),
    /// A date.
    Date(Date),
    /// A day with a time of day, which is a share of it.
    Moment(Date, f64),
    /// A point in time that is no date of the calendar, or a duration, as the file has it.
    Time(f64),
    /// An error, as `#REF!`.
    Error(Cow<'a, str>),
    /// A formula that no program has calculated yet.
    Uncalculated(Cow<'a, str>),
}

impl Cell<'_> {
    /// The cell with texts of its own.
    #[must_use]
    pub fn into_owned(self) -> Cell<'static> {
        match self {
            Self::Number(number) => Cell::Number(number),
            Self::Text(text) => Cell::Text(text.into_owned().into()),
            Self::Flag(flag) => Cell::Flag(flag),
            Self::Date(date) => Cell::Date(date),
            Self::Moment(date, share) => Cell::Moment(date, share),
            Self::Time(time) => Cell::Time(time),
            Self::Error(code) => Cell::Error(code.into_owned().into()),
            Self::Uncalculated(formula) => Cell::Uncalculated(formula.into_owned().into()),
        }
    }

    /// Whether the cell says nothing: no text, or one of the marks people put for nothing.
    #[must_use]
    pub fn is_blank(&self) -> bool {
        match self {
            Self::Text(text) => {
                let text = text.trim();
                matches!(text, "" | "-" | "–" | "—") || text.eq_ignore_ascii_case("n/a")
            }
            _ => false,
        }
    }

    /// The cell as a person would read it.
    #[must_use]
    pub fn shown(&self) -> String {
        match self {
            Self::Number(number) | Self::Time(number) if !is_exact(*number) => {
                quantity::shortest(*number)
            }
            Self::Number(_) | Self::Time(_) => self.name(),
            Self::Text(text) | Self::Error(text) => text.trim().to_owned(),
            Self::Flag(flag) => if *flag { "TRUE" } else { "FALSE" }.to_owned(),
            Self::Date(date) => date.to_string(),
            Self::Moment(date, share) => format!("{date} {}", clock(*share)),
            Self::Uncalculated(formula) => format!("={formula}"),
        }
    }

    /// The cell as a name: two numbers that differ in the file differ as names, however long they are.
    #[must_use]
    pub fn name(&self) -> String {
        match self {
            // Zero has no sign among names.
            Self::Number(number) | Self::Time(number) => (number + 0.0).to_string(),
            other => other.shown(),
        }
    }
}

/// Whether it is a whole number that a float holds to its last digit.
fn is_exact(number: f64) -> bool {
    /// 2^53, up to which a float holds every whole number.
    const WHOLE: f64 = 9_007_199_254_740_992.0;
    number.fract() == 0.0 && number.abs() < WHOLE
}

/// The time of day after this share of the day has gone by: `12:30`, with seconds where there are some.
fn clock(share: f64) -> String {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "from zero up to the last second of the day"
    )]
    let seconds = (share * 86_400.0).round().clamp(0.0, 86_399.0) as u32;
    let (hour, minute, second) = (seconds / 3600, seconds / 60 % 60, seconds % 60);
    match second {
        0 => format!("{hour:02}:{minute:02}"),
        _ => format!("{hour:02}:{minute:02}:{second:02}"),
    }
}

/// What the header of a column says of its numbers.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Measure {
    /// The unit in the header.
    pub(crate) stated: Option<&'static Unit>,
    /// The unit of the field's name.
    pub(crate) unit: Option<&'static Unit>,
    /// Whether they are hundredths.
    pub(crate) per_cent: bool,
}

/// Why a cell holds no value for its field, and what to do about it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Unfit {
    pub(crate) why: String,
    pub(crate) help: String,
    /// What it may mean, where it can mean several things.
    pub(crate) readings: Vec<String>,
}

impl Unfit {
    fn new(why: impl Into<String>, help: impl Into<String>) -> Self {
        Self { why: why.into(), help: help.into(), readings: Vec::new() }
    }
}

/// The value of a cell for a field.
pub(crate) fn value(cell: &Cell<'_>, field: &FieldInfo, measure: Measure) -> Result<Value, Unfit> {
    match cell {
        Cell::Error(code) => {
            return Err(Unfit::new(
                format!("the cell holds the error {}", code.trim()),
                "mend the formula, or type the value",
            ));
        }
        Cell::Uncalculated(_) => {
            return Err(Unfit::new(
                "the cell holds a formula that was never calculated",
                "open the workbook in a spreadsheet program and save it, so that the formula's result is \
                 stored, or type the value",
            ));
        }
        Cell::Text(text) if unread::marked(text).is_some() => return Err(unread::unfit()),
        _ => {}
    }
    match field.shape {
        Shape::Number => number(cell, measure),
        Shape::Count => count(cell),
        Shape::Flag => flag(cell),
        Shape::Text | Shape::Link(_) => text(cell).map(Value::Text),
        Shape::Date => date(cell),
        Shape::Choice(words) => choice(cell, words),
        Shape::Counts => list(cell, count),
        Shape::Texts | Shape::Links(_) => list(cell, |item| text(item).map(Value::Text)),
        Shape::Choices(words) => list(cell, |item| choice(item, words)),
        Shape::Record(_) | Shape::Records(_) => {
            Err(Unfit::new("a cell cannot hold a record", "use the record's own sheet"))
        }
    }
}

/// Whether a text in a cell says this value of a field, under a header that states this unit.
pub(crate) fn reads_as(
    text: &str,
    field: &FieldInfo,
    stated: Option<&'static Unit>,
    read: &Value,
) -> bool {
    let unit = unit_of(field);
    says(text, field, Measure { stated, unit, per_cent: false }, read)
}

/// Whether a text says this value of a field, under some header that the field can have.
///
/// ```
/// use restrand_kit::sheet::spells;
/// use restrand_model::Value;
/// use restrand_model::schedule::RemovalSpace;
/// let field = RemovalSpace::INFO.field("behind_mm").unwrap();
/// assert!(spells("4'-6 1/2\"", field, &Value::Number(1384.3)));
/// assert!(spells("1/2", field, &Value::Number(12.7)));
/// assert!(!spells("4'-6\"", field, &Value::Number(1384.3)));
/// ```
#[must_use]
pub fn spells(text: &str, field: &FieldInfo, read: &Value) -> bool {
    let unit = unit_of(field);
    let is = |stated, per_cent| says(text, field, Measure { stated, unit, per_cent }, read);
    match unit {
        Some(unit) => is(None, false) || Unit::all_of(unit.dimension).any(|u| is(Some(u), false)),
        None => is(None, false) || is(None, matches!(field.shape, Shape::Number)),
    }
}

fn says(text: &str, field: &FieldInfo, measure: Measure, read: &Value) -> bool {
    let cell = Cell::Text(Cow::Borrowed(text));
    !cell.is_blank() && value(&cell, field, measure).is_ok_and(|value| value == *read)
}

fn unit_of(field: &FieldInfo) -> Option<&'static Unit> {
    field.unit().filter(|_| matches!(field.shape, Shape::Number))
}

fn number(cell: &Cell<'_>, measure: Measure) -> Result<Value, Unfit> {
    let Measure { stated, unit, per_cent } = measure;
    let finite = |value: f64| {
        if value.is_finite() {
            Ok(Value::Number(value))
        } else {
            Err(Unfit::new("it is not a finite number", "type the value again"))
        }
    };
    match cell {
        Cell::Number(number) => match (unit, stated) {
            (Some(_), Some(stated)) if stated.is_feet_and_inches() && *number != 0.0 => {
                Err(misfit(&Misread::FeetOrInches, unit))
            }
            (Some(unit), Some(stated)) => finite(stated.convert(*number, unit)),
            (Some(_), None) => Err(misfit(&Misread::NoUnit, unit)),
            (None, _) if per_cent => finite(*number / 100.0),
            (None, _) => finite(*number),
        },
        Cell::Text(written) => {
            let number =
                quantity::read(written, stated, unit).map_err(|misread| misfit(&misread, unit))?;
            // A cell that says "%" itself was read so.
            let is_bare = !written.trim_end().ends_with('%');
            Ok(Value::Number(if per_cent && is_bare { number / 100.0 } else { number }))
        }
        other => Err(Unfit::new(format!("it is {}", kind(other)), "type a number")),
    }
}

fn misfit(misread: &Misread, unit: Option<&Unit>) -> Unfit {
    let help = match (misread, unit) {
        (Misread::NoUnit, _) => {
            "write the unit in brackets at the end of the header, as [mm] or [in]".to_owned()
        }
        (Misread::FeetOrInches | Misread::NotInches, _) => {
            "type it as 4'-6 1/2\", or with its unit, as 4.5 ft or 54.5 in".to_owned()
        }
        (Misread::Readings(_), _) => "write it so that it has one meaning".to_owned(),
        (Misread::Ambiguous { .. }, _) => {
            "write the number without a thousands mark, with a point as decimal mark, and inches with \
             their own mark"
                .to_owned()
        }
        (_, Some(unit)) => format!("type a number, or a number with a unit, as 12 {}", unit.symbol),
        (_, None) => "type a number".to_owned(),
    };
    let readings = match misread {
        Misread::Readings(readings) => readings.clone(),
        _ => Vec::new(),
    };
    Unfit { readings, ..Unfit::new(misread.to_string(), help) }
}

fn kind(cell: &Cell<'_>) -> &'static str {
    match cell {
        Cell::Number(_) => "a number",
        Cell::Text(_) => "a text",
        Cell::Flag(_) => "true or false",
        Cell::Date(_) => "a date",
        Cell::Moment(..) => "a date with a time of day",
        Cell::Time(_) => "a time",
        Cell::Error(_) => "an error",
        Cell::Uncalculated(_) => "a formula",
    }
}

fn count(cell: &Cell<'_>) -> Result<Value, Unfit> {
    let number = match cell {
        Cell::Number(number) => *number,
        Cell::Text(written) => whole_number(written).unwrap_or(f64::NAN),
        other => return Err(Unfit::new(format!("it is {}", kind(other)), "type a whole number")),
    };
    if number.fract() == 0.0 && (0.0..=f64::from(u32::MAX)).contains(&number) {
        Ok(Value::Number(number))
    } else {
        Err(Unfit::new("it is not a whole number, zero or more", "type a whole number"))
    }
}

/// A count is written in digits; a division or a share of something is a calculation that nobody checked.
fn whole_number(written: &str) -> Option<f64> {
    let digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    let written = written.trim();
    let (whole, zeros) = written.split_once('.').unwrap_or((written, ""));
    let is_whole = !whole.is_empty() && digits(whole) && zeros.bytes().all(|byte| byte == b'0');
    if is_whole { whole.parse().ok() } else { None }
}

fn flag(cell: &Cell<'_>) -> Result<Value, Unfit> {
    let flag = match cell {
        Cell::Flag(flag) => Some(*flag),
        Cell::Number(number) if *number == 1.0 => Some(true),
        Cell::Number(number) if *number == 0.0 => Some(false),
        Cell::Text(written) => match written.trim().to_lowercase().as_str() {
            "true" | "x" | "✓" | "1" => Some(true),
            "false" | "0" => Some(false),
            said => yes_or_no(said),
        },
        _ => None,
    };
    flag.map(Value::Flag).ok_or_else(|| Unfit::new("it is neither yes nor no", "type yes or no"))
}

/// What a word in small letters says that answers a question, in one tongue or in two: `yes`, `ja`, `oui / yes`.
pub(crate) fn yes_or_no(said: &str) -> Option<bool> {
    let one = |said: &str| match said.trim() {
        "yes" | "y" | "ja" | "j" | "oui" | "o" => Some(true),
        "no" | "n" | "nein" | "non" => Some(false),
        _ => None,
    };
    match said.split_once('/') {
        Some((first, second)) => one(first).filter(|said| one(second) == Some(*said)),
        None => one(said),
    }
}

fn text(cell: &Cell<'_>) -> Result<Box<str>, Unfit> {
    match cell {
        Cell::Text(written) => Ok(written.trim().into()),
        // Marks and numbers of drawings are often stored as numbers.
        Cell::Number(_) | Cell::Flag(_) | Cell::Date(_) | Cell::Moment(..) => {
            Ok(cell.name().into())
        }
        other => Err(Unfit::new(format!("it is {}", kind(other)), "type a text")),
    }
}

fn date(cell: &Cell<'_>) -> Result<Value, Unfit> {
    let unfit = || {
        Unfit::new(
            "it is not a date of the form year-month-day",
            "type the date as 2031-05-07, or store the cell as a date",
        )
    };
    match cell {
        Cell::Date(date) | Cell::Moment(date, _) => Ok(Value::Text(date.to_string().into())),
        Cell::Text(written) => {
            let date: Date = written.trim().parse().map_err(|_| unfit())?;
            Ok(Value::Text(date.to_string().into()))
        }
        _ => Err(unfit()),
    }
}

fn choice(cell: &Cell<'_>, words: &'static [ChoiceInfo]) -> Result<Value, Unfit> {
    let written = match cell {
        Cell::Text(written) => Cow::Borrowed(written.trim()),
        Cell::Flag(flag) => Cow::Borrowed(if *flag { "yes" } else { "no" }),
        other => Cow::Owned(other.shown()),
    };
    // Most cells hold the word as it is, and looking for other spellings is slow.
    let exact = words.iter().find(|word| word.name == written);
    match exact.or_else(|| ChoiceInfo::find(words, &written)) {
        Some(word) => Ok(Value::Text(word.name.into())),
        None => Err(Unfit::new("it is not one of the words of the list", one_of(words, &written))),
    }
}

/// `type one of: …`, with the nearest word first if one is near.
fn one_of(words: &[ChoiceInfo], written: &str) -> String {
    let names: Vec<_> = words.iter().map(|word| word.name.replace('_', " ")).collect();
    match nearest(written, names.iter().map(String::as_str)) {
        Some(near) => format!("did you mean \"{near}\"? The list is: {}", names.join(", ")),
        None => format!("type one of: {}", names.join(", ")),
    }
}

fn list(cell: &Cell<'_>, item: impl Fn(&Cell<'_>) -> Result<Value, Unfit>) -> Result<Value, Unfit> {
    match cell {
        Cell::Text(written) => list::items(written)
            .into_iter()
            .map(|part| item(&Cell::Text(part)))
            .collect::<Result<Vec<_>, _>>()
            .map(Value::List),
        single => Ok(Value::List(vec![item(single)?])),
    }
}
