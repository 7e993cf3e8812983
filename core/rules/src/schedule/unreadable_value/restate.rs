//! The same value in the usual form: what is meant stays, how it is written changes.

use std::collections::HashMap;

use restrand_finding::{Class, Correction, Fact};
use restrand_model::quantity::{Unit, of_field, read};
use restrand_model::reading::{Column, Place, Problem, ProblemKind};
use restrand_model::reflect::{ChoiceInfo, Date, FieldInfo, GIVEN, Shape, View};
use restrand_model::route::Route;
use restrand_model::schema::{LONGEST_NAME, takes};
use restrand_model::value::Value;
use restrand_model::{Provenance, Record};

use super::RULE;
use crate::context::Context;
use crate::schedule::walk::walk;

pub(super) fn offer(context: &Context<'_>, offered: &mut Vec<Correction>) {
    if let Some(texts) = context.texts {
        cells(context, texts, offered);
    }
    members(context, offered);
}

/// A value that is read, in a cell whose text is not the usual one.
fn cells(context: &Context<'_>, texts: &Provenance, offered: &mut Vec<Correction>) {
    walk(context.schedule, &mut |at| {
        let origin = at.record.origin();
        let Some(table) = texts.table(origin) else {
            return;
        };
        for column in table.columns.iter().filter(|column| !column.path.is_empty()) {
            let Some(given) = texts.text(origin, column.index) else {
                continue;
            };
            let path: Vec<String> = column.path.iter().map(|step| (*step).to_owned()).collect();
            let way = texts.way_in_file(origin, &path);
            let Some(route) = route_along(at.record, at.route(), &way) else {
                continue;
            };
            let (Some(field), view) = (route.declared(), route.view(context.schedule)) else {
                continue;
            };
            let (Some(why), Some(value)) = (unusual(given, field, column, view), view.to_value())
            else {
                continue;
            };
            offered.push(restated(route, value, given, why));
        }
    });
}

/// What is unusual about a text that was read as this value; nothing where the text says more than the value,
/// as a fraction of an inch or a unit of its own does.
fn unusual(
    given: &str,
    field: &FieldInfo,
    column: &Column,
    view: View<'_>,
) -> Option<&'static str> {
    let trimmed = given.trim();
    match (field.shape, view) {
        (Shape::Number | Shape::Count, View::Number(value)) => {
            is_plain_number(trimmed, field, column, value).then_some(A_NUMBER)
        }
        (Shape::Flag, View::Flag(flag)) => {
            let usual = if flag { ["yes", "true"] } else { ["no", "false"] };
            let is_usual = usual.iter().any(|word| word.eq_ignore_ascii_case(given));
            (!is_usual).then_some(ANOTHER_WORD)
        }
        (Shape::Choice(words), View::Text(word)) => {
            let spaced = word.replace('_', " ");
            let meant = ChoiceInfo::find(words, trimmed).is_some_and(|meant| meant.name == word);
            (meant && given != word && given != spaced).then_some(A_WORD)
        }
        (Shape::Text | Shape::Link(_), View::Text(text)) => {
            (given != text && trimmed == text).then_some(SPACES)
        }
        (Shape::Date, View::Date(date)) => {
            (trimmed == date.to_string() && given != trimmed).then_some(SPACES)
        }
        _ => None,
    }
}

const A_NUMBER: &str =
    "\"{given}\" is a number that is stored as a text: as a number it can be sorted and summed";
const A_WORD: &str = "\"{given}\" is another spelling of a word of the list";
const ANOTHER_WORD: &str = "\"{given}\" is another word for yes or no";
const SPACES: &str = "\"{given}\" has spaces around it, which other programs take as part of it";
const A_TEXT: &str = "{given} is stored as a number, and a text is needed";

/// Digits, with a unit only where it is the column's own, that are the value as it was read.
fn is_plain_number(text: &str, field: &FieldInfo, column: &Column, value: f64) -> bool {
    let unit = of_field(field.name).1;
    let digits = |letter: char| {
        letter.is_ascii_digit() || matches!(letter, '+' | '-' | '−' | '.' | ',' | ' ' | '\u{a0}')
    };
    let symbol = text.trim_start_matches(digits).trim();
    let own = match unit {
        None => symbol.is_empty(),
        Some(unit) => match column.unit {
            Some(stated) if stated.is_feet_and_inches() => false,
            Some(stated) => {
                symbol.is_empty()
                    || Unit::find(symbol, unit.dimension)
                        .is_some_and(|given| std::ptr::eq(given, stated))
            }
            None => false,
        },
    };
    let is_digits = text.starts_with(digits) && !text.is_empty();
    own && is_digits
        && read(text, column.unit, unit).is_ok_and(|read| read.to_bits() == value.to_bits())
}

/// A value of a document that was refused for its type or its spelling, and whose meaning is plain.
fn members(context: &Context<'_>, offered: &mut Vec<Correction>) {
    let mut lost: HashMap<(u32, u32), Vec<&Problem>> = HashMap::new();
    for problem in context.problems {
        if problem.kind == ProblemKind::ValueLost
            && is_member(&problem.place)
            && let Some(record) = problem.record.get()
        {
            lost.entry(record).or_default().push(problem);
        }
    }
    if lost.is_empty() {
        return;
    }
    walk(context.schedule, &mut |at| {
        let Some(of_record) = at.record.origin().get().and_then(|origin| lost.get(&origin)) else {
            return;
        };
        // An item that was left out moves those behind it, so that positions in its list say nothing.
        let left_out: Vec<String> = of_record
            .iter()
            .filter_map(|problem| problem.path())
            .filter_map(|path| {
                let (list, item) = path.rsplit_once('.')?;
                item.parse::<usize>().ok().map(|_| format!("{list}."))
            })
            .collect();
        for problem in of_record {
            let (Some(path), Some(given)) = (problem.path(), problem.given.as_deref()) else {
                continue;
            };
            if left_out.iter().any(|list| path.starts_with(list.as_str())) {
                continue;
            }
            let steps: Vec<String> = path.split('.').map(str::to_owned).collect();
            let Some(route) = route_along(at.record, at.route(), &steps) else {
                continue;
            };
            let Some(field) = route.declared() else {
                continue;
            };
            if route.view(context.schedule).is_absent()
                && let Some((value, why)) = meant(given, field)
            {
                offered.push(restated(route, value, given, why));
            }
        }
    });
}

/// Whether the text stands where the value does; what stands among the texts of another file has not its unit.
fn is_member(place: &Place) -> bool {
    matches!(place, Place::Text { path, .. } if path.iter().all(|step| step != GIVEN))
}

/// The value that a text means beyond doubt for a field.
fn meant(given: &str, field: &FieldInfo) -> Option<(Value, &'static str)> {
    let trimmed = given.trim();
    match field.shape {
        Shape::Number => {
            let unit = of_field(field.name).1;
            let number = read(trimmed, unit, unit).ok()?;
            takes(field, number).then_some((Value::Number(number), A_NUMBER))
        }
        Shape::Count => {
            let is_digits = !trimmed.is_empty() && trimmed.bytes().all(|b| b.is_ascii_digit());
            let number: f64 = trimmed.parse().ok().filter(|_| is_digits)?;
            takes(field, number).then_some((Value::Number(number), A_NUMBER))
        }
        Shape::Flag => match trimmed.to_ascii_lowercase().as_str() {
            "yes" | "true" => Some((Value::Flag(true), ANOTHER_WORD)),
            "no" | "false" => Some((Value::Flag(false), ANOTHER_WORD)),
            _ => None,
        },
        Shape::Choice(words) => {
            let word = ChoiceInfo::find(words, trimmed)?;
            Some((Value::Text(word.name.into()), A_WORD))
        }
        Shape::Date => {
            let date: Date = trimmed.parse().ok()?;
            Some((Value::Text(date.to_string().into()), SPACES))
        }
        // A mark that was stored as a number: the digits are its name.
        Shape::Text | Shape::Link(_) => {
            let is_number = given.parse::<f64>().is_ok_and(f64::is_finite);
            let fits = is_number && given.len() <= LONGEST_NAME;
            fits.then(|| (Value::Text(given.into()), A_TEXT))
        }
        _ => None,
    }
}

fn restated(route: Route, value: Value, given: &str, why: &'static str) -> Correction {
    Correction::new(RULE.id, Class::Restate, route, Some(value), why)
        .fact(Fact::text("given", given))
}

/// The route from a record along field names and positions; nothing where they are not the record's.
fn route_along(record: &dyn Record, mut route: Route, path: &[String]) -> Option<Route> {
    let mut info = record.info();
    for step in path {
        if let Ok(item) = step.parse::<usize>() {
            route = route.item(item);
            continue;
        }
        let field = info.field(step)?;
        route = route.field(field.name);
        if let Shape::Record(inner) | Shape::Records(inner) = field.shape {
            info = inner();
        }
    }
    Some(route)
}

#[cfg(test)]
mod tests {
    use restrand_model::quantity::Dimension;
    use restrand_model::schedule::{Duct, Form, Tendon};

    use super::*;

    fn column(unit: Option<&'static Unit>) -> Column {
        Column { index: 0, header: "".into(), path: Vec::new(), unit, link: false }
    }

    fn is_restated(given: &str, unit: &str, value: f64) -> bool {
        let field = Duct::INFO.field("wall_mm").unwrap();
        let unit = Unit::find(unit, Dimension::Length);
        unusual(given, field, &column(unit), View::Number(value)).is_some()
    }

    #[test]
    fn a_number_stored_as_a_text_is_restated_and_a_fraction_is_kept_as_typed() {
        assert!(is_restated("7.4", "mm", 7.4));
        assert!(is_restated(" 7.4 mm ", "mm", 7.4));
        assert!(is_restated("2", "in", 50.8));
        assert!(!is_restated("7 1/2 in", "in", 190.5));
        assert!(!is_restated("2 in", "mm", 50.8));
        assert!(!is_restated("4'-6 1/2\"", "ft-in", 1384.3));
        assert!(!is_restated("7.4", "mm", 7.5));
    }

    #[test]
    fn a_word_in_another_spelling_is_restated_to_the_lists() {
        let field = Form::INFO.field("kind").unwrap();
        let told = |given| unusual(given, field, &column(None), View::Text("bent_pipe")).is_some();
        assert!(told("Bent-Pipe"));
        assert!(told(" bent  pipe"));
        assert!(!told("bent pipe"));
        assert!(!told("bent_pipe"));
        assert!(!told("pipe"));
    }

    #[test]
    fn words_for_yes_and_no_and_spaces_round_a_value_are_restated() {
        let flag = |given, flag| {
            let field = Tendon::INFO.field("replaceable").unwrap();
            unusual(given, field, &column(None), View::Flag(flag))
        };
        assert_eq!(flag("y", true), Some(ANOTHER_WORD));
        assert_eq!(flag("no", true), Some(ANOTHER_WORD));
        assert_eq!((flag("Yes", true), flag("TRUE", true)), (None, None));
        assert_eq!((flag("no", false), flag("False", false)), (None, None));
        assert_eq!(flag("yes", false), Some(ANOTHER_WORD));
        let text = |given| {
            let field = Tendon::INFO.field("mark").unwrap();
            unusual(given, field, &column(None), View::Text("T 1"))
        };
        assert_eq!(text(" T 1 "), Some(SPACES));
        assert_eq!((text("T 1"), text("T  1")), (None, None));
        let date = |given| {
            let field = restrand_model::schedule::Part::INFO.field("gauged_on").unwrap();
            unusual(given, field, &column(None), View::Date(Date::new(2031, 5, 7).unwrap()))
        };
        assert_eq!(date(" 2031-05-07"), Some(SPACES));
        assert_eq!((date("2031-05-07"), date("7 May 2031")), (None, None));
        // A number that is not the value, and one without digits.
        assert!(!is_restated("mm", "mm", 7.4) && !is_restated("", "mm", 0.0));
    }

    #[test]
    fn what_is_meant_beyond_doubt_is_taken() {
        let flag = |given| meant(given, Tendon::INFO.field("replaceable").unwrap());
        assert_eq!(flag(" Yes "), Some((Value::Flag(true), ANOTHER_WORD)));
        assert_eq!(flag("true"), Some((Value::Flag(true), ANOTHER_WORD)));
        assert_eq!(flag("NO"), Some((Value::Flag(false), ANOTHER_WORD)));
        assert_eq!(flag("false"), Some((Value::Flag(false), ANOTHER_WORD)));
        assert_eq!(flag("perhaps"), None);
        let word = |given| meant(given, Form::INFO.field("kind").unwrap());
        assert_eq!(word("Bent pipe"), Some((Value::Text("bent_pipe".into()), A_WORD)));
        assert_eq!(word("pipe"), None);
        let date =
            |given| meant(given, restrand_model::schedule::Part::INFO.field("gauged_on").unwrap());
        assert_eq!(date(" 2031-05-07 "), Some((Value::Text("2031-05-07".into()), SPACES)));
        assert_eq!(date("soon"), None);
        // A name is as long as names may be.
        let text = |given: &str| meant(given, Tendon::INFO.field("mark").unwrap()).is_some();
        assert!(text(&"1".repeat(LONGEST_NAME)) && !text(&"1".repeat(LONGEST_NAME + 1)));
        assert!(!text("inf") && !text("T1"));
        let count = |given| meant(given, Tendon::INFO.field("strand_count").unwrap());
        assert!(count("").is_none() && count("1e1").is_none());
    }

    #[test]
    fn nothing_is_guessed_of_what_could_mean_two_things() {
        let number = |given| meant(given, Duct::INFO.field("wall_mm").unwrap());
        assert_eq!(number("7.4").unwrap().0, Value::Number(7.4));
        assert_eq!(number("2 in").unwrap().0, Value::Number(50.8));
        for given in ["about 7", "-7.4", "1,234", "", "true", "[7.4]", "1e300"] {
            assert!(number(given).is_none(), "{given}");
        }
        let count = |given| meant(given, Tendon::INFO.field("strand_count").unwrap());
        assert_eq!(count(" 19 ").unwrap().0, Value::Number(19.0));
        for given in ["19.5", "-1", "nineteen", "9999999"] {
            assert!(count(given).is_none(), "{given}");
        }
        let text = |given| meant(given, Tendon::INFO.field("mark").unwrap());
        assert_eq!(text("12").unwrap().0, Value::Text("12".into()));
        assert!(text("{\"a\":1}").is_none());
    }
}
