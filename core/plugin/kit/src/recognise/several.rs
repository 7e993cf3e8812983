//! A tendon of which several tables of a file speak is one: one lists it, another has its ends or its deviators.

use std::collections::HashMap;

use restrand_model::value::Value;

use super::table::join;
use crate::frame::RecordFrame;

/// The tendons, those of one mark that stand in different tables and say nothing different made one.
///
/// What contradicts stays a tendon of its own, so that it is told. `same_rows` says whether two tables are of the same
/// rows of the file.
pub(super) fn joined(
    tendons: Vec<RecordFrame>,
    same_rows: impl Fn(u32, u32) -> bool,
) -> Vec<RecordFrame> {
    let mut at: HashMap<String, usize> = HashMap::new();
    let mut joined: Vec<RecordFrame> = Vec::with_capacity(tendons.len());
    for mut tendon in tendons {
        let mark = tendon.fields.get("mark").and_then(Value::as_text).map(str::to_owned);
        let known = mark.as_ref().and_then(|mark| at.get(mark)).copied();
        if let Some(first) = known.map(|known| &mut joined[known])
            && !same_rows(first.table, tendon.table)
        {
            // It stands where most is said of it.
            let is_fuller = tendon.fields.len() > first.fields.len();
            let (base, other) = if is_fuller { (&tendon, &*first) } else { (&*first, &tendon) };
            let mut fields = base.fields.clone();
            let mut otherwise = Vec::new();
            join(&mut fields, other.fields.clone(), "tendon", &mut otherwise);
            if otherwise.is_empty() {
                if is_fuller {
                    std::mem::swap(first, &mut tendon);
                }
                first.fields = fields;
                continue;
            }
        } else if let (Some(mark), None) = (mark, known) {
            at.insert(mark, joined.len());
        }
        joined.push(tendon);
    }
    joined
}
