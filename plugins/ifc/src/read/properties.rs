//! Values of properties.

use restrand_model::reading::ProblemKind;
use restrand_model::reflect::{FieldInfo, Shape};
use restrand_model::value::Value as Stated;

use super::model::Found;
use super::set_reader::SetReader;
use super::units::{in_field, unit_at};
use crate::terms::Kind;
use crate::terms::measures::Measure;
use crate::terms::sets::Property;
use crate::value::{Entity, Value};

impl SetReader<'_> {
    /// The value of a field that a property states.
    pub(super) fn value(
        &mut self,
        at: usize,
        property: &Entity<'_>,
        known: &Property,
        depth: u32,
    ) -> Option<Stated> {
        let field = known.field;
        let stated = match field.shape {
            Shape::Record(inner) | Shape::Records(inner) => {
                return self.inner(at, property, field, inner(), depth);
            }
            Shape::Counts => list(property, |value| value.number().map(Stated::Number)),
            Shape::Texts | Shape::Choices(_) | Shape::Links(_) => {
                list(property, |value| value.text().map(Stated::from))
            }
            _ => {
                let value = scalar(property)?;
                match field.shape {
                    Shape::Number => return self.quantity(at, property, value, known),
                    Shape::Count => value.number().map(Stated::Number),
                    Shape::Flag => value.flag().map(Stated::Flag),
                    _ => value.text().map(Stated::from),
                }
            }
        };
        match stated {
            Some(stated) => Some(stated),
            None => self.unfit_text(at, field, scalar(property)),
        }
    }

    /// A text where something else is needed: whoever checks the record says so, and keeps it.
    fn unfit_text(
        &mut self,
        at: usize,
        field: &'static FieldInfo,
        value: Option<&Value<'_>>,
    ) -> Option<Stated> {
        if let Some(text) = value.and_then(Value::text) {
            return Some(Stated::from(text));
        }
        self.unfit(at, field, value);
        None
    }

    /// A number in the unit of its field.
    fn quantity(
        &mut self,
        at: usize,
        property: &Entity<'_>,
        value: &Value<'_>,
        known: &Property,
    ) -> Option<Stated> {
        let field = known.field;
        let Some(number) = value.number() else {
            return self.unfit_text(at, field, Some(value));
        };
        let Some((unit, usual)) = known.measured else { return Some(Stated::Number(number)) };
        let type_ = match value {
            Value::Typed(name, _) => &**name,
            _ => "",
        };
        let help = "state it as the measure that the quantity is";
        let is_usual = usual.name.eq_ignore_ascii_case(type_);
        let Some(measure) = Some(usual).filter(|_| is_usual).or_else(|| Measure::of_type(type_))
        else {
            let why = format!("it is a bare number ({type_}), which has no unit");
            let given = Some(number.to_string());
            self.entities.remark(at, ProblemKind::ValueLost, field.name, given, why, help);
            return None;
        };
        if measure.dimension != unit.dimension {
            let why = format!("it is {}, where {} is needed", measure.dimension, unit.dimension);
            let given = Some(number.to_string());
            self.entities.remark(at, ProblemKind::ValueLost, field.name, given, why, help);
            return None;
        }
        // A property's own unit holds instead of the project's.
        let factor = match property
            .get("Unit")
            .reference()
            .map(|unit| self.entities.model.find(unit))
        {
            Some(Found::At(own)) => match self.own_unit(own) {
                Ok(factor) => Some(factor),
                Err(why) => {
                    let help = "correct the unit of the property";
                    self.entities.remark(at, ProblemKind::ValueLost, field.name, None, why, help);
                    return None;
                }
            },
            _ => self.units.factor(measure),
        };
        match factor {
            Some(factor) => Some(Stated::Number(in_field(number, factor, measure, unit))),
            None => {
                self.entities.no_unit(at, field.name, number, measure);
                None
            }
        }
    }

    /// How many coherent SI units the unit at a position is, which many properties may state.
    fn own_unit(&mut self, at: usize) -> Result<f64, String> {
        let model = self.entities.model;
        let known = self.own_units.entry(at);
        known.or_insert_with(|| unit_at(model, at, 0).map(|(_, factor)| factor)).clone()
    }

    pub(super) fn unfit(
        &mut self,
        at: usize,
        field: &'static FieldInfo,
        value: Option<&Value<'_>>,
    ) {
        let needed = match field.shape {
            Shape::Number => "a number",
            Shape::Count | Shape::Counts => "a whole number",
            Shape::Flag => "true or false",
            Shape::Record(_) | Shape::Records(_) => "a complex property, with one for each record",
            _ => "a text",
        };
        let given = value.and_then(|value| {
            value
                .text()
                .or(value.word())
                .map(str::to_owned)
                .or(value.number().map(|n| n.to_string()))
        });
        let why = format!("it is not {needed}");
        let help = "correct the property in the program that made the model";
        self.entities.remark(at, ProblemKind::ValueLost, field.name, given, why, help)
    }
}

/// The one value that a property states.
pub(super) fn scalar<'e>(property: &'e Entity<'_>) -> Option<&'e Value<'e>> {
    let value = match property.kind {
        Kind::PropertySingle => property.get("NominalValue"),
        Kind::PropertyEnumerated => property.get("EnumerationValues").items().first()?,
        Kind::PropertyList => match property.get("ListValues").items() {
            [one] => one,
            _ => return None,
        },
        _ => return None,
    };
    (!value.is_absent()).then_some(value)
}

/// The values that a property lists.
pub(super) fn list(
    property: &Entity<'_>,
    of: impl Fn(&Value<'_>) -> Option<Stated>,
) -> Option<Stated> {
    let values = match property.kind {
        Kind::PropertySingle => std::slice::from_ref(property.get("NominalValue")),
        Kind::PropertyEnumerated => property.get("EnumerationValues").items(),
        Kind::PropertyList => property.get("ListValues").items(),
        _ => return None,
    };
    values.iter().map(of).collect::<Option<Vec<_>>>().map(Stated::List)
}

/// A value that no field takes, as it stands.
pub(super) fn plain(value: &Value<'_>) -> Option<Stated> {
    value
        .number()
        .map(Stated::Number)
        .or_else(|| value.flag().map(Stated::Flag))
        .or_else(|| value.text().map(Stated::from))
}
