//! A value of a schedule as one of the model: the type that stands there, in the unit that holds there.

use std::borrow::Cow;

use restrand_kit::recognise::unit_of_name;
use restrand_model::quantity::{Unit, of_field};
use restrand_model::reflect::{FieldInfo, Shape};
use restrand_model::value::Value as Stated;

use super::Hindrance;
use crate::read::mapping::Target;
use crate::read::units::{Units, in_field, tidy, unit_at};
use crate::read::{Found, Model};
use crate::terms::Kind;
use crate::terms::measures::{Measure, type_of};
use crate::terms::sets::property_of;
use crate::{Entity, Value};

/// In what numbers are stated.
#[derive(Clone, Copy)]
pub(super) struct Scale<'a> {
    pub(super) model: &'a dyn Model,
    /// The project's; coherent units of the SI without any.
    pub(super) units: Option<&'a Units>,
    /// The number of the unit that is stated beside them.
    pub(super) own: Option<u64>,
}

impl Scale<'_> {
    fn factor(&self, measure: &Measure) -> Result<f64, Hindrance> {
        match self.own.map(|own| self.model.find(own)) {
            Some(Found::At(at)) => Ok(unit_at(self.model, at, 0)?.1),
            _ => match self.units {
                None => Ok(1.0),
                Some(units) => units.factor(measure).ok_or_else(|| {
                    format!("the project states no unit of the kind {}", measure.unit)
                }),
            },
        }
    }
}

/// What the mapping file says of a property.
#[derive(Clone, Copy)]
pub(super) struct Meaning<'a> {
    times: f64,
    words: &'a [(String, Stated)],
    /// The unit of its bare numbers.
    unit: Option<&'static Unit>,
}

impl Default for Meaning<'_> {
    fn default() -> Self {
        Self { times: 1.0, words: &[], unit: None }
    }
}

impl<'a> Meaning<'a> {
    /// What is said of a property of this name that states a field.
    pub(super) fn of(target: &'a Target, name: &str, field: &FieldInfo) -> Self {
        Self { times: target.times, words: &target.words, unit: target.unit_of(name, field) }
    }

    /// What the name of a property says of it.
    pub(super) fn of_name(name: &str, field: &FieldInfo) -> Self {
        let needed = of_field(field.name).1;
        let unit = needed.and_then(|needed| unit_of_name(name, needed.dimension));
        Self { unit, ..Self::default() }
    }

    /// What a property is to say, so that a field is read as this value; `before` is what it says.
    pub(super) fn value(
        &self,
        field: &'static FieldInfo,
        after: &Stated,
        before: Option<&Value<'_>>,
        scale: &Scale<'_>,
    ) -> Result<Value<'static>, Hindrance> {
        let stated = match before {
            Some(Value::Typed(name, _)) => Some(name.to_ascii_uppercase()),
            _ => None,
        };
        // A number, or a flag, that stood as a text stands as one no more.
        let is_text =
            |name: &String| matches!(name.as_str(), "IFCLABEL" | "IFCTEXT" | "IFCIDENTIFIER");
        let stated = match after {
            Stated::Text(_) => stated,
            _ => stated.filter(|name| !is_text(name) || !self.words.is_empty()),
        };
        let fallback = type_of(field).ok_or("a record is not the value of one property")?;
        if !self.words.is_empty() {
            let word = self.words.iter().find(|(_, meant)| meant == after);
            let (word, _) = word.ok_or("the mapping file has no word for it")?;
            return Ok(typed(stated, "IfcLabel", Value::Text(word.clone().into())));
        }
        match (field.shape, after) {
            (Shape::Count | Shape::Counts, Stated::Number(number)) => {
                let number = number / self.times;
                let is_real = stated.as_deref() == Some("IFCREAL");
                #[expect(clippy::cast_possible_truncation, reason = "a whole number")]
                let written = if number.fract() == 0.0 && number.abs() < 1e15 && !is_real {
                    Value::Lexical((number as i64).to_string().into())
                } else {
                    Value::Number(number)
                };
                let is_whole = matches!(written, Value::Lexical(_));
                let stated = stated.filter(|_| is_whole || is_real);
                Ok(typed(stated, if is_whole { fallback } else { "IfcReal" }, written))
            }
            (Shape::Number, Stated::Number(number)) => {
                self.number(field, *number, stated, fallback, scale)
            }
            (Shape::Flag, Stated::Flag(flag)) => {
                let word = Cow::Borrowed(if *flag { "T" } else { "F" });
                Ok(typed(stated, fallback, Value::Word(word)))
            }
            (_, Stated::Text(text)) => {
                /// Letters that a label holds.
                const LABEL: usize = 255;
                let is_long = text.chars().count() > LABEL;
                let stated = stated.filter(|name| !is_long || name == "IFCTEXT");
                let fallback = if is_long { "IfcText" } else { fallback };
                Ok(typed(stated, fallback, Value::Text(text.to_string().into())))
            }
            _ => Err("a value of this kind is not stated by one property".to_owned()),
        }
    }

    fn number(
        &self,
        field: &'static FieldInfo,
        after: f64,
        stated: Option<String>,
        fallback: &'static str,
        scale: &Scale<'_>,
    ) -> Result<Value<'static>, Hindrance> {
        let needed: Option<(&Unit, &Measure)> = of_field(field.name)
            .1
            .and_then(|unit| Some((unit, Measure::of_dimension(unit.dimension)?)));
        let Some((unit, first)) = needed else {
            let number = shortest(after / self.times, |number| number * self.times == after);
            return Ok(typed(stated, fallback, Value::Number(number)));
        };
        let known = stated.as_deref().map(Measure::of_type);
        if let (Some(None), Some(own)) = (known, self.unit) {
            let read = |number: f64| tidy(own.convert(number, unit)) * self.times;
            let number =
                shortest(unit.convert(after / self.times, own), |number| read(number) == after);
            return Ok(typed(stated, fallback, Value::Number(number)));
        }
        let measure = known.flatten().unwrap_or(first);
        let factor = scale.factor(measure)?;
        let read = |number: f64| in_field(number, factor, measure, unit) * self.times;
        let number = shortest(after / read(1.0), |number| read(number) == after);
        // A measure that IFC keeps above zero holds no other number.
        let is_above = |name: &str| name.contains("POSITIVE") || name.contains("NONNEGATIVE");
        let stated = stated.filter(|name| number > 0.0 || !is_above(name));
        Ok(typed(stated, fallback, Value::Number(number)))
    }
}

/// The number with the fewest digits that is read as what is meant, or else the nearest one.
fn shortest(number: f64, is_meant: impl Fn(f64) -> bool) -> f64 {
    /// Digits that tell any two numbers of 64 bits apart.
    const MOST: usize = 17;
    let with = |digits: usize| format!("{number:.*e}", digits - 1).parse().unwrap_or(number);
    (1..=MOST)
        .map(with)
        .chain([number.next_up(), number.next_down()])
        .find(|number| is_meant(*number))
        .unwrap_or(number)
}

fn typed(stated: Option<String>, fallback: &'static str, value: Value<'static>) -> Value<'static> {
    let name = stated.map_or(Cow::Borrowed(fallback), Cow::Owned);
    Value::Typed(name, Box::new(value))
}

/// A property that states a field, with the number of a unit of its own.
pub(super) fn property(
    field: &'static FieldInfo,
    after: &Stated,
    unit: Option<u64>,
    scale: &Scale<'_>,
) -> Result<Entity<'static>, Hindrance> {
    let meaning = Meaning::default();
    let name = Value::Text(property_of(field).into());
    Ok(match after {
        Stated::List(items) => {
            let items: Result<Vec<_>, _> =
                items.iter().map(|item| meaning.value(field, item, None, scale)).collect();
            Entity::of(Kind::PropertyList, [("Name", name), ("ListValues", Value::List(items?))])
        }
        after => {
            let value = meaning.value(field, after, None, scale)?;
            let unit = unit.map_or(Value::Absent, Value::Reference);
            Entity::of(
                Kind::PropertySingle,
                [("Name", name), ("NominalValue", value), ("Unit", unit)],
            )
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_is_as_short_as_what_is_read_from_it_allows() {
        // 7.4 m in millimetres, and in feet of 0.3048 m.
        assert_eq!(shortest(7_400.000_000_000_001, |number| number * 0.001 == 7.4), 7400.0);
        let feet = shortest(7.4 / 0.3048, |number| (number * 0.3048 - 7.4).abs() < 1e-12);
        assert!(feet.to_string().len() <= 15, "{feet}");
        assert_eq!(shortest(0.1 + 0.2, |_| false), 0.1 + 0.2);
    }
}
