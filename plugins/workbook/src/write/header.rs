//! What a header says besides its words: the meaning of the column, its unit, an example.

use restrand_model::quantity::{Unit, feet_and_inches, of_field, shortest};
use restrand_model::reflect::{FieldInfo, Shape};
use restrand_model::sheet::{Column, Header};
use rust_xlsxwriter::Note;

/// Letters in a line of a note, and the size of its box in pixels.
const LETTERS: usize = 46;
const WIDTH: u32 = 320;
const LINE: u32 = 18;

/// What a column means.
pub(crate) struct Meaning(String);

impl Meaning {
    /// The meaning of a column of the layout under this header.
    pub(crate) fn of(column: &Column, header: &str) -> Self {
        let Column::Value { field, unit, .. } = column else {
            return Self(format!("Names the record to which the row belongs: {header}."));
        };
        let field = field.0;
        let stated = unit.and_then(|unit| Unit::find(Header::read(header).unit?, unit.dimension));
        let mut text = field.description();
        match field.shape {
            Shape::Choice(words) | Shape::Choices(words) => {
                let names: Vec<_> = words.iter().map(|word| word.name).collect();
                text.push_str("\nOne of: ");
                text.push_str(&names.join(", "));
                text.push('.');
            }
            Shape::Flag => text.push_str("\nYes or no."),
            Shape::Date => text.push_str("\nA date, as 2031-05-07."),
            _ => {}
        }
        if matches!(field.shape, Shape::Choices(_) | Shape::Texts | Shape::Links(_) | Shape::Counts)
        {
            text.push_str("\nSeveral are parted by semicolons.");
        }
        if let Some(stated) = stated {
            text.push_str("\nUnit: ");
            text.push_str(stated.symbol);
            text.push_str(", or with its own unit in the cell.");
        }
        if let Some(example) = example(field, stated) {
            text.push_str("\nExample: ");
            text.push_str(&example);
        }
        Self(text)
    }

    /// A meaning in these words.
    pub(crate) fn saying(text: String) -> Self {
        Self(text)
    }

    /// The note that shows it.
    pub(crate) fn note(&self) -> Note {
        note(&self.0)
    }
}

/// A note whose box is as large as its text.
pub(super) fn note(text: &str) -> Note {
    let lines = u32::try_from(lines(text, LETTERS)).unwrap_or(1);
    Note::new(text)
        .set_author("restrand")
        .add_author_prefix(false)
        .set_width(WIDTH)
        .set_height((lines + 1) * LINE)
}

/// How many lines of so many letters a text takes.
pub(crate) fn lines(text: &str, letters: usize) -> usize {
    text.lines().map(|line| line.chars().count().div_ceil(letters).max(1)).sum()
}

/// The example of the declaration in the unit of the header.
fn example(field: &FieldInfo, stated: Option<&'static Unit>) -> Option<String> {
    /// Significant digits of an example in another unit.
    const DIGITS: usize = 3;
    let example = field.example()?;
    let (Some(own), Some(stated)) = (of_field(field.name).1, stated) else {
        return Some(example);
    };
    if std::ptr::eq(own, stated) {
        return Some(example);
    }
    let value: f64 = example.parse().ok()?;
    if stated.is_feet_and_inches() {
        let millimetres = Unit::find("mm", own.dimension)?;
        return Some(feet_and_inches(own.convert(value, millimetres), 16));
    }
    let shown = own.convert(value, stated);
    let shown = format!("{shown:.DIGITS$e}").parse().unwrap_or(shown);
    Some(shortest(shown))
}
