//! Fields seen without their type.

use super::info::Shape;
use super::record::Record;
use crate::value::{Fields, Value};

/// A field's value, seen without its type.
#[derive(Clone, Copy)]
pub enum View<'a> {
    /// Nothing was stated.
    Absent,
    /// A number in the field's unit.
    Number(f64),
    /// Yes or no.
    Flag(bool),
    /// Text.
    Text(&'a str),
    /// A date, as a text is made of it.
    Date(super::scalar::Date),
    /// A record.
    Record(&'a dyn Record),
    /// Values in order.
    List(&'a dyn List),
}

impl View<'_> {
    /// Whether nothing was stated; an empty list states nothing.
    #[must_use]
    pub fn is_absent(&self) -> bool {
        match self {
            Self::Absent => true,
            Self::List(list) => list.is_empty(),
            _ => false,
        }
    }

    /// The value without borrowing, as a file would hold it.
    #[must_use]
    pub fn to_value(&self) -> Option<Value> {
        Some(match self {
            Self::Absent => return None,
            Self::Number(number) => Value::Number(*number),
            Self::Flag(flag) => Value::Flag(*flag),
            Self::Text(text) => Value::Text((*text).into()),
            Self::Date(date) => Value::Text(date.to_string().into()),
            Self::Record(record) => Value::Fields(record.to_fields()),
            Self::List(list) => {
                Value::List((0..list.len()).filter_map(|i| list.item(i).to_value()).collect())
            }
        })
    }
}

/// A list of values, seen without their type.
pub trait List {
    /// The number of items.
    fn len(&self) -> usize;
    /// Whether there is no item.
    fn is_empty(&self) -> bool {
        self.len() == 0
    }
    /// The item at this position, which must be below the length.
    fn item(&self, index: usize) -> View<'_>;
}

/// A value does not fit the field it was meant for.
#[derive(Debug, Clone, PartialEq)]
pub struct Misfit {
    /// The names and positions from the record to the field, joined by `/`.
    pub path: String,
    /// What the field needs.
    pub needed: &'static str,
}

impl Misfit {
    pub(crate) fn new(needed: &'static str) -> Self {
        Self { path: String::new(), needed }
    }

    pub(crate) fn under(mut self, step: &str) -> Self {
        self.path =
            if self.path.is_empty() { step.to_owned() } else { format!("{step}/{}", self.path) };
        self
    }
}

/// A field type that says what it holds.
pub trait Shaped {
    /// What the field holds.
    const SHAPE: Shape;
}

/// A field of a record, whatever its type.
pub trait Node: Send + Sync {
    /// The value.
    fn view(&self) -> View<'_>;

    /// States the value.
    ///
    /// # Errors
    /// The value is not of the field's type; the field is left as it was.
    fn set(&mut self, value: Value) -> Result<(), Misfit>;

    /// Takes the value back: nothing is stated any more.
    fn clear(&mut self);

    /// The record in the field, made empty if there is none; `None` if the field holds no record.
    fn record_mut(&mut self) -> Option<&mut dyn Record> {
        None
    }

    /// The record at this position of the list in the field.
    fn item_mut(&mut self, index: usize) -> Option<&mut dyn Record> {
        let _ = index;
        None
    }

    /// Adds a record at the end of the list in the field, or puts it into the field if that holds one record
    /// and is empty.
    ///
    /// # Errors
    /// Gives the record back if it is of another type, or if the place is taken.
    fn adopt(&mut self, record: Box<dyn Record>) -> Result<(), Box<dyn Record>> {
        Err(record)
    }
}

/// Fills a field that holds one record.
///
/// # Errors
/// The value, or one of its members, does not fit.
pub fn set_record<R: Record + Default>(
    field: &mut Option<Box<R>>,
    value: Value,
) -> Result<(), Misfit> {
    let Value::Fields(members) = value else {
        return Err(Misfit::new("a record"));
    };
    let mut record = Box::<R>::default();
    fill(record.as_mut(), members)?;
    *field = Some(record);
    Ok(())
}

/// Fills a field that holds records in order.
///
/// # Errors
/// The value, or one of its members, does not fit.
pub fn set_list<R: Record + Default>(field: &mut Vec<R>, value: Value) -> Result<(), Misfit> {
    let Value::List(items) = value else {
        return Err(Misfit::new("a list of records"));
    };
    let mut records = Vec::with_capacity(items.len());
    for (index, item) in items.into_iter().enumerate() {
        let Value::Fields(members) = item else {
            return Err(Misfit::new("a record").under(&index.to_string()));
        };
        let mut record = R::default();
        fill(&mut record, members).map_err(|misfit| misfit.under(&index.to_string()))?;
        records.push(record);
    }
    *field = records;
    Ok(())
}

/// States members of a record; members that are no fields go to its `extra` map.
///
/// # Errors
/// A member does not fit its field; the members before it have been stated.
pub fn fill(record: &mut dyn Record, members: Fields) -> Result<(), Misfit> {
    let info = record.info();
    let mut next = 0;
    for (name, value) in members {
        match info.index_from(next, name.as_str()) {
            Some(index) => {
                record.field_mut(index).set(value).map_err(|misfit| misfit.under(name.as_str()))?;
                next = index + 1;
            }
            None => match value {
                // The document's own open map: its members are the record's further values.
                Value::Fields(further) if name.as_str() == super::record::EXTRA => {
                    if record.extra().is_empty() {
                        *record.extra_mut() = further;
                        continue;
                    }
                    for (name, value) in further {
                        record.extra_mut().push(name, value);
                    }
                }
                value => record.extra_mut().push(name, value),
            },
        }
    }
    Ok(())
}
