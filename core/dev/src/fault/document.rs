//! The faulty edition as a JSON document.

use restrand_model::reflect::{RecordInfo, Shape};
use restrand_model::schedule::Schedule;
use restrand_model::value::{Fields, Value};

use super::{Fault, FaultError, Plant, Way};
use crate::output::written;

pub(super) fn planted(schedule: &Schedule, faults: &[Fault]) -> Result<Vec<u8>, FaultError> {
    let clean = written(&restrand_json::Json, schedule)?;
    let mut document: Fields = match serde_json::from_slice(&clean)? {
        Value::Fields(fields) => fields,
        _ => Fields::new(),
    };
    for fault in faults {
        plant(&mut document, fault).ok_or(FaultError::Nowhere(fault.number))?;
    }
    let mut bytes = serde_json::to_vec_pretty(&Value::Fields(document))?;
    bytes.push(b'\n');
    Ok(bytes)
}

fn plant(document: &mut Fields, fault: &Fault) -> Option<()> {
    match fault.plant {
        Plant::Edit(_) => {}
        Plant::Text(text) => {
            let (Way::To(field), owner) = fault.way.split_last()? else { return None };
            *member(record(document, owner)?, field)? = Value::from(text);
        }
        Plant::Column { header, value } => {
            record(document, fault.way)?.push(header.into(), Value::from(value));
        }
        Plant::Twice => {
            let copy = record(document, fault.way)?.clone();
            let [Way::In(list, _)] = fault.way else { return None };
            let Value::List(items) = member(document, list)? else { return None };
            let index = items.iter().position(|item| item.as_fields() == Some(&copy))?;
            items.insert(index + 1, Value::Fields(copy));
        }
    }
    Some(())
}

fn member<'a>(fields: &'a mut Fields, name: &str) -> Option<&'a mut Value> {
    fields.iter_mut().find(|(member, _)| member.as_str() == name).map(|(_, value)| value)
}

/// The record at the end of a way.
fn record<'a>(mut fields: &'a mut Fields, way: &[Way]) -> Option<&'a mut Fields> {
    let mut info: &'static RecordInfo = Schedule::INFO;
    for step in way {
        let (Way::In(name, _) | Way::To(name)) = *step;
        info = match info.field(name)?.shape {
            Shape::Record(inner) | Shape::Records(inner) => inner(),
            _ => return None,
        };
        let value = member(fields, name)?;
        fields = match (step, value) {
            (Way::To(_), Value::Fields(inner)) => inner,
            (Way::In(_, key), Value::List(items)) => {
                let named = info.key?;
                items.iter_mut().find_map(|item| match item {
                    Value::Fields(inner)
                        if inner.get(named).and_then(Value::as_text) == Some(*key) =>
                    {
                        Some(inner)
                    }
                    _ => None,
                })?
            }
            _ => return None,
        };
    }
    Some(fields)
}
