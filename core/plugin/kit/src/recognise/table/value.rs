//! The value of a cell for its field.

use std::borrow::Cow;

use restrand_model::quantity::{self, of_field};
use restrand_model::reflect::{FieldInfo, Shape};
use restrand_model::value::Value;

use super::super::dates;
use super::super::ends;
use super::super::grid::GridCell;
use super::super::plan::{ColumnPlan, Side, is_distance};
use super::super::scope::Scope;
use super::super::sign::Sign;
use super::super::unit::{ColumnUnit, is_plausible};
use super::super::vocabulary::{Word, is_of_a_list, word};
use super::TableReader;
use super::ends::RowSide;
use super::spans;
use crate::sheet::Cell;
use crate::sheet::cell::{self, Measure, Unfit};
use crate::sheet::marks::{Decision, two_ways};

impl TableReader<'_> {
    /// The value of a cell for a field.
    pub(super) fn value(
        &self,
        plan: &ColumnPlan,
        field: &'static FieldInfo,
        cell: &GridCell,
    ) -> Result<Value, Unfit> {
        if let Some(value) = plan.word(&cell.cell) {
            return Ok(value.clone());
        }
        if field.name == "spans"
            && let Some(spans) = spans::several(&cell.cell, &self.span_names)
        {
            return Ok(spans);
        }
        let own = of_field(field.name).1.filter(|_| matches!(field.shape, Shape::Number));
        let measure = plan.measure(own);
        let unfit = |why: &str, readings: &[String]| Unfit {
            why: why.to_owned(),
            help: "say it in the file, or in a mapping file".to_owned(),
            readings: readings.to_vec(),
        };
        // What the header says of its codes goes before what they are elsewhere.
        let text = match (plan.meaning(&cell.cell), &cell.cell) {
            (None, Cell::Text(text)) => Some(&**text),
            (meaning, _) => meaning,
        };
        if let (Shape::Choice(list), Some(text)) = (field.shape, text) {
            if field.name == "from"
                && ends::read(text) == Some(Scope::Stressing)
                && self.plans_name_ends()
            {
                return Ok(Value::Text(self.row_names.name(Scope::Stressing).into()));
            }
            if field.name == "from" && ends::read(text) == Some(Scope::Stressing) {
                let readings = ["end a", "end b", "both ends"].map(str::to_owned);
                return Err(unfit("it does not say which end is the stressed one", &readings));
            }
            let own = word(field, list, text);
            let found = match self.sheet.explained(text) {
                // What a legend says goes before what the trade means by it.
                Some(meaning) => match (word(field, list, meaning), own) {
                    (Word::Unknown, Word::Is(own)) if says_so(meaning, own) => Word::Is(own),
                    (Word::Unknown, Word::Is(_) | Word::Unclear(_)) if !is_of_a_list(meaning) => {
                        let why = format!(
                            "a legend says of it \"{meaning}\", which is no word of the list"
                        );
                        return Err(unfit(&why, &[]));
                    }
                    (Word::Unknown, own) => own,
                    (meant, _) => meant,
                },
                None => own,
            };
            // `End` alone names one only beside `Start`.
            let is_of_ends = matches!(field.name, "from" | "end");
            return match found {
                Word::Unknown
                    if is_of_ends && self.end_named(plan, &cell.cell) == Some(Scope::B) =>
                {
                    Ok(Value::Text("b".into()))
                }
                Word::Is(word) => Ok(Value::Text(word.into())),
                Word::Unclear(words) => {
                    let readings: Vec<String> =
                        words.iter().map(|word| word.replace('_', " ")).collect();
                    Err(unfit("the word is used for several", &readings))
                }
                Word::Unknown => cell::value(&cell.cell, field, measure),
            };
        }
        if let (Shape::Date, Cell::Text(text)) = (field.shape, &cell.cell) {
            let readings = dates::readings(text);
            if !readings.is_empty() {
                return Err(unfit("its day and its month can be told by nothing", &readings));
            }
            if let Some(date) = dates::date(text) {
                return Ok(Value::Text(date.to_string().as_str().into()));
            }
        }
        let Some(own) = own else {
            let per_cent = measure.per_cent && !cell.look.per_cent;
            return cell::value(&cell.cell, field, Measure { per_cent, ..measure });
        };
        let mut sign = if plan.side == Side::Stated(Sign::Right) { -1.0 } else { 1.0 };
        let mut is_sided = false;
        // A distance has no sign of its own: the side of the tendon tells it.
        let beside = field.name == "lateral_m"
            && matches!(plan.side, Side::Unstated | Side::Distance)
            && is_distance(&plan.header)
            && self.row_side != RowSide::NoColumn;
        let settled = match &cell.cell {
            Cell::Text(text) => {
                let mut text: Cow<'_, str> = Cow::Borrowed(text.trim());
                if field.name == "lateral_m"
                    && let Some((rest, side)) = quantity::sided(&text)
                {
                    if beside && self.row_side.sign().is_some_and(|row| row != side) {
                        return Err(unfit("it names another side than its row does", &[]));
                    }
                    (sign, is_sided) = (side, true);
                    text = Cow::Owned(rest.to_owned());
                }
                if let Some(base) = plan.station
                    && let Some(metres) = quantity::station(&text, measure.stated, Some(base))
                {
                    return metres
                        .map(Value::Number)
                        .map_err(|misread| unfit(&misread.to_string(), &[]));
                }
                match plan.marks.decide(&text, self.marks) {
                    Decision::Settled(cell) => {
                        // What the columns say cannot be, and the other number can.
                        if let Some((mark, readings)) = two_ways(&text)
                            && let Some(other) = only_plausible(plan, field, own, &readings)
                            && number(&cell).is_some_and(|number| number != other)
                        {
                            return Err(unfit(
                                &format!(
                                    "the {mark} in it parts thousands or decimals otherwise than in the rest"
                                ),
                                &readings,
                            ));
                        }
                        cell
                    }
                    Decision::AsItStands => Cell::Text(text.into_owned().into()),
                    Decision::Open { mark, readings } => {
                        match only_plausible(plan, field, own, &readings) {
                            Some(number) => Cell::Number(number),
                            None => {
                                return Err(unfit(
                                    &format!("the {mark} in it can part thousands or decimals"),
                                    &readings,
                                ));
                            }
                        }
                    }
                }
            }
            other => other.clone(),
        };
        if beside && !is_sided {
            match self.row_side.sign() {
                _ if matches!(settled, Cell::Number(number) if number < 0.0) => {
                    return Err(unfit("a distance beside a column of sides has a sign", &[]));
                }
                Some(side) => (sign, is_sided) = (side, true),
                None if matches!(settled, Cell::Number(0.0)) => {}
                None => return Err(unfit("its row names neither side of the line", &[])),
            }
        }
        if plan.side == Side::Distance
            && !is_sided
            && !matches!(settled, Cell::Number(number) if number == 0.0)
        {
            let readings = ["to the left", "to the right"].map(str::to_owned);
            return Err(unfit(
                "a distance does not say on which side of the line it lies",
                &readings,
            ));
        }
        if let Side::Other(which, said) = &plan.side
            && !is_sided
            && !matches!(settled, Cell::Number(number) if number == 0.0)
        {
            let readings = ["positive to the left".to_owned(), "positive to the right".to_owned()];
            let which = match which {
                Sign::Outward => "that the outer side is positive, which",
                _ => "what is positive by something that",
            };
            return Err(unfit(&format!("\"{said}\" says {which} is left or right"), &readings));
        }
        if let (ColumnUnit::Gradient(run), Cell::Number(rise)) = (&plan.unit, &settled) {
            // What is shown in hundredths is a share already.
            let run = if cell.look.per_cent { 1.0 } else { *run };
            return Ok(Value::Number((rise / run).atan()));
        }
        if let (ColumnUnit::Asked { why, readings }, Some(number)) = (&plan.unit, number(&settled))
            && number != 0.0
        {
            return Err(unfit(why, readings));
        }
        match cell::value(&settled, field, plan.measure(Some(own)))? {
            Value::Number(number) => Ok(Value::Number(number * sign)),
            value => Ok(value),
        }
    }

    /// Whether headers speak of the end that is jacked.
    pub(super) fn plans_name_ends(&self) -> bool {
        self.found.assignment.columns.iter().any(|one| one.header.scope == Some(Scope::Stressing))
    }
}

/// Whether a meaning says a word of a list among others, as `left hand web` does.
fn says_so(meaning: &str, word: &str) -> bool {
    let lower = meaning.to_lowercase();
    lower.split(|c: char| !c.is_alphanumeric()).any(|one| one == word)
}

/// The number that a cell holds, in figures or as a text of them.
fn number(cell: &Cell<'_>) -> Option<f64> {
    match cell {
        Cell::Number(number) => Some(*number),
        Cell::Text(text) => text.trim().parse().ok(),
        _ => None,
    }
}

/// The one reading of a number whose mark can part thousands or decimals that a bridge can have.
fn only_plausible(
    plan: &ColumnPlan,
    field: &FieldInfo,
    own: &'static quantity::Unit,
    readings: &[String],
) -> Option<f64> {
    let ColumnUnit::Stated(unit, _) = &plan.unit else { return None };
    let numbers: Vec<f64> = readings.iter().filter_map(|text| text.trim().parse().ok()).collect();
    let can_be = |number: &f64| is_plausible(field, unit.convert(*number, own));
    let known: Vec<bool> = numbers.iter().filter_map(can_be).collect();
    let [first, second] = *numbers.as_slice() else { return None };
    match *known.as_slice() {
        [true, false] => Some(first),
        [false, true] => Some(second),
        _ => None,
    }
}
