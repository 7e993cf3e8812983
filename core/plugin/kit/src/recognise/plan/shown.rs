//! A column as the reading report shows it.

use restrand_model::reading::{Sureness, UnderstoodColumn};

use super::super::grid::standing;
use super::super::scope::Scope;
use super::super::unit::ColumnUnit;
use super::super::vocabulary::Description;
use super::{ColumnPlan, Of, Take};

impl ColumnPlan {
    /// The column as the reading report shows it.
    pub(in crate::recognise) fn understood(&self) -> UnderstoodColumn {
        let fields = match (&self.take, self.target) {
            (Take::Keep | Take::Ignore, _) | (_, None) => self.readings.clone(),
            (Take::Value { of, .. }, Some(target)) => {
                let name = target.name();
                let (record, field) = name.split_once('.').unwrap_or((&name, ""));
                match of {
                    Of::End(scope) | Of::Point(scope) | Of::Deviator(scope) => {
                        let end = match scope {
                            Scope::A => "a",
                            Scope::B => "b",
                            Scope::Stressing => "(stressing)",
                            Scope::Dead => "(dead)",
                            Scope::Between(number) => {
                                return self.understood_as(vec![format!(
                                    "{record} (deviator {number}).{field}"
                                )]);
                            }
                        };
                        vec![format!("{record} {end}.{field}")]
                    }
                    Of::BothEnds => {
                        vec![format!("{record} a.{field}"), format!("{record} b.{field}")]
                    }
                    _ if self.by_end => {
                        vec![name.clone(), format!("tendon.{}", self.other_end.join("."))]
                    }
                    _ => vec![name],
                }
            }
            (Take::Described(Description::Strands), _) => {
                vec!["tendon.strand_count".to_owned(), "strand.diameter_mm".to_owned()]
            }
            (Take::Described(Description::Pipe), _) => {
                self.gave.iter().map(|field| format!("duct.{field}")).collect()
            }
            (_, Some(target)) => vec![target.name()],
        };
        self.understood_as(fields)
    }

    fn understood_as(&self, fields: Vec<String>) -> UnderstoodColumn {
        let (unit, mut why) = match &self.unit {
            ColumnUnit::Stated(unit, why) if why != "its header says so" => {
                (Some(unit.symbol.to_owned()), format!("{}; {}: {why}", self.why, unit.symbol))
            }
            ColumnUnit::Stated(unit, _) => (Some(unit.symbol.to_owned()), self.why.clone()),
            ColumnUnit::Impossible(why) => (None, why.clone()),
            _ => (None, self.why.clone()),
        };
        if let Some(question) = &self.question {
            why = question.why.clone();
        }
        UnderstoodColumn {
            index: standing(self.index),
            header: self.header.clone(),
            fields,
            unit,
            sureness: if self.question.is_some() && self.sureness < Sureness::Mapped {
                Sureness::Asked
            } else {
                self.sureness
            },
            why,
        }
    }
}
