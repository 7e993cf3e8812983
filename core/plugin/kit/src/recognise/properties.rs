//! What properties of tendons state, by what people call them: they are read as the columns of a table would be.

use restrand_model::quantity::{Dimension, Unit, of_field};
use restrand_model::reading::{Grid, Sureness};
use restrand_model::reflect::FieldInfo;
use restrand_model::value::Value;

use super::grid::{Look, Sheet};
use super::header::HeaderText;
use super::mapping::Mapping;
use super::vocabulary;
use crate::frame::{Frame, Stopped};
use crate::sheet::Cell;
use crate::sheet::cell::{Measure, value};

/// Properties that stand together, as those of a property set; what one of them states can depend on the others.
#[derive(Debug)]
pub struct NamedProperty<'p> {
    /// What it is called.
    pub name: &'p str,
    /// A unit of what its values measure, and how many of it one of the unit is in which they are; nothing for bare
    /// numbers and what is no number.
    pub measured: Option<(&'static Unit, f64)>,
    /// Some of its values, for each tendon in turn.
    pub values: Vec<Option<Cell<'p>>>,
}

/// A field that a property surely states.
#[derive(Debug, Clone, PartialEq)]
pub struct NamedField {
    /// The record and the field, as `stressing.jacking_force_kn`.
    pub field: String,
    /// The unit of its bare numbers, which its name states.
    pub unit: Option<&'static Unit>,
}

/// The fields of tendons and of their ducts that these properties state, for each of them: only what names, units and values surely say.
#[must_use]
pub fn fields_of_properties(properties: &[NamedProperty<'_>]) -> Vec<Option<NamedField>> {
    let mut fields = vec![None; properties.len()];
    let mut sheet = Sheet::new("", "", Grid::Cells);
    let rows = properties.iter().map(|property| property.values.len()).max().unwrap_or_default();
    sheet.push(0, 0, &Cell::Text("Tendon".into()), Look::default());
    for (column, property) in (1..).zip(properties) {
        if let Some((header, _)) = headed(property) {
            sheet.push(0, column, &Cell::Text(header.into()), Look::default());
        }
    }
    for (row, position) in (1..).zip(0..rows) {
        sheet.push(row, 0, &Cell::Text(format!("T{row}").into()), Look::default());
        for (column, property) in (1..).zip(properties) {
            let Some((_, times)) = headed(property) else { continue };
            let value = match property.values.get(position).and_then(Option::as_ref) {
                Some(Cell::Number(number)) => Cell::Number(number * times),
                Some(other) => other.clone(),
                None => continue,
            };
            sheet.push(row, column, &value, Look::default());
        }
    }
    let mut understood = Vec::new();
    let mut take = |frame: Frame| -> Result<(), Stopped> {
        if let Frame::Understood(report) = frame {
            understood.extend(report.tables);
        }
        Ok(())
    };
    if super::read(vec![sheet], &Mapping::default(), &mut 0, &mut take).is_err() {
        return fields;
    }
    for column in understood.into_iter().flat_map(|table| table.columns) {
        let position = usize::try_from(column.index).ok().and_then(|column| column.checked_sub(1));
        let Some((position, property)) =
            position.and_then(|position| Some((position, properties.get(position)?)))
        else {
            continue;
        };
        if column.sureness != Sureness::Sure {
            continue;
        }
        let [field] = column.fields.as_slice() else { continue };
        let Some(info) = info_of(field) else { continue };
        let field = match field.strip_prefix("tendon.") {
            Some(path) if path.contains('.') => path,
            Some(_) => field.as_str(),
            None if field.starts_with("duct.") => field.as_str(),
            None => continue,
        };
        fields[position] = named(property, field, info);
    }
    fields
}

/// The header of a property, with its unit, and what its numbers are to be multiplied with to be in that; nothing where
/// the name states another unit than that in which the values are.
fn headed(property: &NamedProperty<'_>) -> Option<(String, f64)> {
    /// What multiplying leaves of one.
    const NOISE: f64 = 1.0e-9;
    let Some((unit, ratio)) = property.measured else {
        return Some((property.name.to_owned(), 1.0));
    };
    let stated = HeaderText::read(&[property.name]).units;
    match stated.as_slice() {
        [] => Some((format!("{} [{}]", property.name, unit.symbol), ratio)),
        [stated] => {
            let own = Unit::find(stated, unit.dimension)?;
            let is_same = (own.convert(1.0, unit) / ratio - 1.0).abs() < NOISE;
            is_same.then(|| (property.name.to_owned(), 1.0))
        }
        _ => None,
    }
}

/// The field of this name, as columns are told.
fn info_of(name: &str) -> Option<&'static FieldInfo> {
    let mut fields = ["Tendons", "Ducts"].into_iter().flat_map(vocabulary::fields_of);
    fields.find(|(target, _)| target.name() == name).map(|(_, info)| info)
}

/// The field, if it is of what the property measures.
fn named(
    property: &NamedProperty<'_>,
    field: &str,
    info: &'static FieldInfo,
) -> Option<NamedField> {
    let needed = of_field(field).1;
    let unit = match (property.measured, needed) {
        (Some((unit, _)), Some(needed)) if unit.dimension == needed.dimension => None,
        (None, Some(needed)) => match unit_of_name(property.name, needed.dimension) {
            Some(unit) => Some(unit),
            // Each of its texts may state a unit.
            None => {
                let mut values = property.values.iter().flatten();
                let states = |cell: &Cell<'_>| match cell {
                    Cell::Text(text) => stated_in_text(text, info, None).is_some(),
                    _ => false,
                };
                return values
                    .all(states)
                    .then(|| NamedField { field: field.to_owned(), unit: None });
            }
        },
        (None, None) if HeaderText::read(&[property.name]).units.is_empty() => None,
        _ => return None,
    };
    Some(NamedField { field: field.to_owned(), unit })
}

/// The one unit of a dimension that a name states, as the kilonewtons of `Jacking force [kN]`.
///
/// ```
/// use restrand_kit::recognise::unit_of_name;
/// use restrand_model::quantity::Dimension;
/// assert_eq!(unit_of_name("Jacking force [kN]", Dimension::Force).unwrap().symbol, "kN");
/// assert!(unit_of_name("Jacking force", Dimension::Force).is_none());
/// assert!(unit_of_name("Jacking force [kN]", Dimension::Length).is_none());
/// ```
#[must_use]
pub fn unit_of_name(name: &str, dimension: Dimension) -> Option<&'static Unit> {
    match HeaderText::read(&[name]).units.as_slice() {
        [unit] => Unit::find(unit, dimension),
        _ => None,
    }
}

/// What a text states of a field, as a cell would; a bare number is in this unit.
///
/// ```
/// use restrand_kit::recognise::stated_in_text;
/// use restrand_model::schedule::{Stressing, Tendon};
/// use restrand_model::value::Value;
/// let count = Tendon::INFO.field("strand_count").unwrap();
/// assert_eq!(stated_in_text("19", count, None), Some(Value::Number(19.0)));
/// let force = Stressing::INFO.field("jacking_force_kn").unwrap();
/// assert_eq!(stated_in_text("3.8 MN", force, None), Some(Value::Number(3800.0)));
/// assert_eq!(stated_in_text("3800", force, None), None);
/// ```
#[must_use]
pub fn stated_in_text(text: &str, field: &FieldInfo, unit: Option<&'static Unit>) -> Option<Value> {
    let measure = Measure { stated: unit, unit: of_field(field.name).1, per_cent: false };
    value(&Cell::Text(text.into()), field, measure).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn numbers(name: &'static str, value: f64) -> NamedProperty<'static> {
        NamedProperty { name, measured: None, values: vec![Some(Cell::Number(value)); 2] }
    }

    fn found(property: NamedProperty<'_>) -> Option<(String, Option<&'static str>)> {
        let [field] = <[_; 1]>::try_from(fields_of_properties(&[property])).unwrap();
        field.map(|named| (named.field, named.unit.map(|unit| unit.symbol)))
    }

    #[test]
    fn names_units_and_values_must_say_the_same() {
        let kn = Unit::find("kN", Dimension::Force).unwrap();
        let measured =
            |name, ratio| NamedProperty { measured: Some((kn, ratio)), ..numbers(name, 3.8e6) };
        let field = |field: &str, unit| Some((field.to_owned(), unit));
        assert_eq!(found(numbers("No. of strands", 19.0)), field("tendon.strand_count", None));
        let jacking = "stressing.jacking_force_kn";
        assert_eq!(found(numbers("Jacking force [kN]", 3800.0)), field(jacking, Some("kN")));
        assert_eq!(found(measured("Jacking force", 1e-3)), field(jacking, None));
        assert_eq!(found(measured("Spannkraft", 1e-3)), field(jacking, None));
        // Newtons, as the model has it, are no kilonewtons, as the name has it.
        assert_eq!(found(measured("Jacking force [kN]", 1e-3)), None);
        // A bare number is of no unit.
        assert_eq!(found(numbers("Jacking force", 3800.0)), None);
        // A force is no share.
        assert_eq!(found(measured("Friction coefficient", 1e-3)), None);
        assert_eq!(found(numbers("Colour", 3.0)), None);
        assert_eq!(found(numbers("Duct OD [mm]", 110.0)), field("duct.outer_mm", Some("mm")));
        // What another record states is not said of a tendon.
        assert_eq!(found(numbers("Lift-off force [kN]", 3400.0)), None);
    }

    #[test]
    fn of_two_that_state_one_field_neither_does() {
        let both = [numbers("No. of strands", 19.0), numbers("Number of strands", 12.0)];
        assert_eq!(fields_of_properties(&both), [None, None]);
    }
}
