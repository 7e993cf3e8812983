//! Numbers as they stand on drawings: in the reader's units, with the digits of the plan's tables.

use restrand_model::System;
use restrand_model::quantity::{Unit, of_field};

use crate::plan::is_coarser;

/// The system of units in which a drawing is read.
#[derive(Debug, Clone, Copy)]
pub(super) struct Numbers {
    pub(super) system: System,
}

impl Numbers {
    fn shown(self, name: &str, value: f64, digits: u8) -> (String, &'static str) {
        let Some(unit) = of_field(name).1 else {
            return (format!("{value:.*}", digits.into()), "");
        };
        let to = unit.for_reader(name, self.system);
        let digits = (usize::from(digits) + usize::from(is_coarser(to))).min(4);
        // The sum with zero keeps a minus sign off a zero.
        (format!("{:.digits$}", unit.convert(value, to) + 0.0), to.symbol)
    }

    /// A value without its unit, by a field name whose ending says the unit.
    pub(super) fn bare(self, name: &str, value: f64, digits: u8) -> String {
        self.shown(name, value, digits).0
    }

    /// A value with its unit.
    pub(super) fn with_unit(self, name: &str, value: f64, digits: u8) -> String {
        let (number, unit) = self.shown(name, value, digits);
        if unit.is_empty() { number } else { format!("{number} {unit}") }
    }

    /// A small length without its unit.
    pub(super) fn mm(self, mm: f64) -> String {
        // Inches take a further digit of their own.
        let digits = match self.system {
            System::Si => u8::from((mm - mm.round()).abs() > 0.05),
            System::Us => 1,
        };
        self.bare("value_mm", mm, digits)
    }

    /// A small length with its unit.
    pub(super) fn length(self, mm: f64) -> String {
        format!("{} {}", self.mm(mm), self.unit("value_mm"))
    }

    /// A computed small length with its unit, to a whole millimetre.
    pub(super) fn about(self, mm: f64) -> String {
        self.with_unit("value_mm", mm, 0)
    }

    /// A station, an elevation or a long length without its unit.
    pub(super) fn m(self, m: f64) -> String {
        self.bare("value_m", m, 2)
    }

    /// An angle with its unit, to a hundredth of a degree: nobody sets out a tendon nearer.
    pub(super) fn angle(self, rad: f64) -> String {
        format!("{}°", self.bare("value_rad", rad, 2))
    }

    /// The unit in which values of a field are shown.
    pub(super) fn unit(self, name: &str) -> &'static str {
        of_field(name).1.map_or("", |unit| unit.in_system(self.system).symbol)
    }

    /// The unit in which values of a field are shown, in words: `in` is a word of its own.
    pub(super) fn unit_words(self, name: &str) -> &'static str {
        match self.unit(name) {
            "in" => "inches",
            "ft" => "feet",
            unit => unit,
        }
    }

    /// The unit of a scale bar for small or long lengths: its length in mm, and its symbol.
    pub(super) fn bar(self, is_long: bool) -> (f64, &'static str) {
        let name = if is_long { "value_m" } else { "value_mm" };
        let (Some(unit), Some(mm)) = (of_field(name).1, of_field("value_mm").1) else {
            return (1.0, "mm");
        };
        let to: &Unit = unit.in_system(self.system);
        (to.convert(1.0, mm), to.symbol)
    }
}
