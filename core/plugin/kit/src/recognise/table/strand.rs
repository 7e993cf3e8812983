//! Strands that rows name by their size, as `15.2 mm (0.6")` and `15,7 mm / 150 mm²`.

use std::collections::BTreeMap;

use restrand_model::quantity::{self, Dimension, Unit};
use restrand_model::value::{Fields, Value};

use super::super::header::StrandSize;
use super::super::vocabulary::Target;
use super::{Making, Slot};
use crate::sheet::Cell;
use crate::sheet::read::put;

/// The size that is all that a name of strand says.
pub(super) fn strand_size(target: Option<Target>, cell: &Cell<'_>) -> Option<StrandSize> {
    /// Sizes by which strand is called, without a unit.
    const NAMES: [f64; 7] = [12.5, 12.7, 12.9, 15.2, 15.24, 15.3, 15.7];
    target.filter(|target| target.name() == "tendon.strand")?;
    let size = match cell {
        Cell::Number(number) => quantity::shortest(*number),
        Cell::Text(text) => parts(text).into_iter().next()?,
        _ => return None,
    };
    let bare = size.parse().ok();
    if let Some(diameter_mm) = bare.filter(|bare| NAMES.contains(bare)) {
        return Some(StrandSize { diameter_mm, is_inch: false });
    }
    // A bare number may be a name.
    let is_measured = size.ends_with(['"', '″', '”']) || size.to_lowercase().contains("mm");
    let read = quantity::strands(&format!("1x{size}")).filter(|_| is_measured)?;
    Some(StrandSize { diameter_mm: read.diameter_mm?, is_inch: read.is_inch })
}

/// The size in a name of strand, and what stands behind it; decimal commas are points.
///
/// A comma or a bar between digits parts nothing: `15,7 mm`, `1/2"`.
fn parts(text: &str) -> Vec<String> {
    let letters: Vec<char> = text.trim().chars().collect();
    let is_digit =
        |at: Option<usize>| at.and_then(|at| letters.get(at)).is_some_and(char::is_ascii_digit);
    let mut parts = vec![String::new()];
    for (at, letter) in letters.iter().enumerate() {
        let is_within = is_digit(at.checked_sub(1)) && is_digit(Some(at + 1));
        match letter {
            ',' if is_within => parts.last_mut().into_iter().for_each(|part| part.push('.')),
            '(' | ';' | ',' => parts.push(String::new()),
            '/' if !is_within => parts.push(String::new()),
            letter => parts.last_mut().into_iter().for_each(|part| part.push(*letter)),
        }
    }
    parts.iter().map(|part| part.trim_matches([' ', ')']).to_owned()).collect()
}

/// Puts the strength and the area that stand behind the size in a name of strand: `15.7 mm, 150 mm², 1860 MPa`.
pub(super) fn put_behind(strand: &mut Fields, cell: &Cell<'_>) {
    /// What is known of strand behind its size, in which units, and between which values; what lies outside is another
    /// stress, or the area of another thing.
    ///
    /// Common practice, no source.
    const KNOWN: [(&[&str], &str, Dimension, std::ops::RangeInclusive<f64>); 2] = [
        (&["fpu_mpa"], "MPa", Dimension::Stress, 1500.0..=2500.0),
        (&["area_mm2"], "mm²", Dimension::Area, 30.0..=250.0),
    ];
    let Cell::Text(text) = cell else { return };
    for part in parts(text).iter().skip(1) {
        for (path, symbol, dimension, range) in KNOWN {
            let Some(unit) = Unit::find(symbol, dimension) else { continue };
            let read = quantity::read(part, None, Some(unit)).ok();
            if let Some(value) = read.filter(|read| range.contains(read))
                && strand.get(path[0]).is_none()
            {
                put(strand, path, Value::Number(value));
            }
        }
    }
}

/// Lets the row's tendon name a strand that is listed in the file, unless it names one itself.
pub(super) fn name_strand(making: &mut BTreeMap<(Slot, &'static str), Making>, listed: &str) {
    let own = making.entry((Slot::Row, "")).or_default();
    if own.fields.get("strand").is_none() {
        put(&mut own.fields, &["strand"], Value::Text(listed.into()));
    }
}

/// Puts the size that a header names, where the row does not state its own.
pub(super) fn put_size(strand: &mut Fields, size: StrandSize) {
    let StrandSize { diameter_mm, is_inch } = size;
    if strand.get("diameter_mm").is_some() {
        return;
    }
    let (name, series) = if is_inch {
        (format!("{}\"", quantity::shortest(diameter_mm / 25.4)), "inch")
    } else {
        (quantity::shortest(diameter_mm), "metric")
    };
    if strand.get("id").is_none() {
        put(strand, &["id"], Value::Text(name.as_str().into()));
    }
    put(strand, &["diameter_mm"], Value::Number(diameter_mm));
    put(strand, &["series"], Value::Text(series.into()));
}
