//! Texts that state several fields: strands and ducts in a few signs.

use std::collections::{BTreeMap, HashSet};

use restrand_model::quantity;
use restrand_model::value::{Fields, Value};

use super::super::grid::GridCell;
use super::super::plan::ColumnPlan;
use super::super::vocabulary::Description;
use super::super::words::words;
use super::row::keep;
use super::strand::name_strand;
use super::{Making, Slot, TableReader};
use crate::sheet::Cell;
use crate::sheet::read::put;

impl TableReader<'_> {
    /// Takes a description of several values apart.
    pub(super) fn described(
        &mut self,
        description: Description,
        plan: &mut ColumnPlan,
        cell: &GridCell,
        making: &mut BTreeMap<(Slot, &'static str), Making>,
        further: &mut Fields,
        names: &mut HashSet<String>,
    ) {
        let text = cell.cell.shown();
        let given: Box<str> = text.as_str().into();
        let mm = quantity::Unit::find("mm", quantity::Dimension::Length);
        match description {
            Description::Strands => match quantity::strands(&text) {
                Some(read) => {
                    let own = making.entry((Slot::Row, "")).or_default();
                    put(&mut own.fields, &["strand_count"], Value::Number(f64::from(read.count)));
                    own.texts.push((plan.index, given));
                    if let Some(listed) =
                        read.diameter_mm.and_then(|diameter| self.known.strand_of(diameter))
                    {
                        name_strand(making, listed);
                        return;
                    }
                    let strand = making.entry((Slot::Strand, "")).or_default();
                    put(&mut strand.fields, &["id"], Value::Text(read.kind.as_str().into()));
                    if let Some(diameter) = read.diameter_mm {
                        put(&mut strand.fields, &["diameter_mm"], Value::Number(diameter));
                        let series = if read.is_inch { "inch" } else { "metric" };
                        put(&mut strand.fields, &["series"], Value::Text(series.into()));
                    }
                }
                None => {
                    if let Cell::Number(count) = cell.cell
                        && count.fract() == 0.0
                        && count > 0.0
                    {
                        let own = making.entry((Slot::Row, "")).or_default();
                        put(&mut own.fields, &["strand_count"], Value::Number(count));
                    } else {
                        keep(further, names, &plan.header, &cell.cell);
                    }
                }
            },
            Description::Pipe => match quantity::pipe(&text, mm) {
                Some(read) => {
                    let duct = making.entry((Slot::Duct, "")).or_default();
                    put(&mut duct.fields, &["id"], Value::Text(text.as_str().into()));
                    let upper = text.to_uppercase();
                    // What the duct is made of may stand above all of them.
                    let header = words(&plan.header);
                    let is_pe = |word: &String| matches!(word.as_str(), "hdpe" | "pe");
                    if upper.starts_with("HDPE")
                        || upper.starts_with("PE")
                        || header.iter().any(is_pe) && !upper.contains("STEEL")
                    {
                        put(&mut duct.fields, &["material"], Value::Text("polyethylene".into()));
                    } else if upper.starts_with("STEEL") {
                        put(&mut duct.fields, &["material"], Value::Text("steel".into()));
                    }
                    let mut number = |name: &'static [&'static str], value: Option<f64>| {
                        if let Some(value) = value {
                            plan.gave.extend(name);
                            put(&mut duct.fields, name, Value::Number(value));
                        }
                    };
                    number(&["outer_mm"], read.outer_mm);
                    number(&["wall_mm"], read.wall_mm);
                    number(&["dimension_ratio"], read.dimension_ratio);
                    let mut word = |name: &'static [&'static str], text: Option<String>| {
                        if let Some(text) = text {
                            plan.gave.extend(name);
                            put(&mut duct.fields, name, Value::Text(text.as_str().into()));
                        }
                    };
                    word(&["nominal_size"], read.nominal);
                    word(&["pipe_schedule"], read.schedule);
                }
                None => {
                    // Another name of a duct is a name.
                    let own = making.entry((Slot::Row, "")).or_default();
                    put(&mut own.fields, &["duct"], Value::Text(text.as_str().into()));
                }
            },
        }
    }
}
