//! The shortcut gives the schema's own answers.

use proptest::prelude::*;
use proptest::sample::select;
use restrand_model::reflect::{EXTRA, GIVEN};
use restrand_model::schedule::{Schedule, VERSION};
use restrand_model::schema::{LONGEST_NAME, LONGEST_TEXT, fits, limits, records};
use restrand_model::value::{Name, Value};

use super::*;

/// Whether the schema takes the members, asked without the shortcut.
fn schema_takes(info: &'static RecordInfo, fields: &Fields) -> bool {
    Validators::default().of(info).expect("it compiles").is_valid(Seen::Fields(fields))
}

fn text(text: impl Into<Box<str>>) -> Value {
    Value::Text(text.into())
}

/// Values at and beside every bound that a field of any kind has.
fn values(field: &'static FieldInfo) -> Vec<Value> {
    let bounds = limits(field);
    let mut numbers = vec![0.0, -0.0, 1.0, 0.5, -1.0, 1.0e6, 1_000_001.0, f64::from(VERSION)];
    for bound in [bounds.least, bounds.greatest] {
        numbers.extend([bound, bound.next_down(), bound.next_up()]);
    }
    let mut values: Vec<Value> = numbers.into_iter().map(Value::Number).collect();
    for length in [0, 1, LONGEST_NAME, LONGEST_NAME + 1, LONGEST_TEXT, LONGEST_TEXT + 1] {
        values.push(text("x".repeat(length)));
        // Letters of two bytes each.
        values.push(text("é".repeat(length)));
    }
    let dates = [
        "2031-05-07",
        "2031-02-29",
        "2032-02-29",
        "2031-13-01",
        "2031-5-7",
        "2031-05-07T00:00:00Z",
    ];
    values.extend(dates.map(text));
    values.extend([Value::Flag(true), Value::Fields(Fields::new())]);
    if let Shape::Choice(words) | Shape::Choices(words) = field.shape {
        values.extend(words.iter().map(|word| text(word.name)));
        values.push(text(words[0].name.to_uppercase()));
    }
    if let Some(example) = field.example() {
        values.push(text(example));
    }
    values
}

/// Values of a field, some of them in lists, and records where it holds records.
fn value(field: &'static FieldInfo, depth: u32) -> BoxedStrategy<Value> {
    let one = select(values(field));
    let list = prop::collection::vec(select(values(field)), 0..3).prop_map(Value::List);
    match field.shape {
        Shape::Record(info) if depth > 0 => {
            prop_oneof![4 => members(info(), depth - 1).prop_map(Value::Fields), 1 => one].boxed()
        }
        Shape::Records(info) if depth > 0 => {
            let records =
                prop::collection::vec(members(info(), depth - 1).prop_map(Value::Fields), 0..3);
            prop_oneof![4 => records.prop_map(Value::List), 1 => list].boxed()
        }
        _ => prop_oneof![3 => one, 1 => list].boxed(),
    }
}

/// Members of a record: a few of its fields, and now and then what is none.
fn members(info: &'static RecordInfo, depth: u32) -> BoxedStrategy<Fields> {
    let field = (0..info.fields.len()).prop_flat_map(move |index| {
        let field = &info.fields[index];
        value(field, depth).prop_map(move |value| (Name::Known(field.name), value))
    });
    let beside = select(vec![EXTRA, GIVEN, "unheard_of"]).prop_flat_map(|name| {
        let texts = [
            Value::Number(1.0),
            text(""),
            text("é".repeat(LONGEST_TEXT)),
            text("x".repeat(LONGEST_TEXT + 1)),
        ];
        let held = select(texts.to_vec()).prop_map(|value| {
            let mut fields = Fields::new();
            fields.push(Name::from("of_a_field"), value);
            Value::Fields(fields)
        });
        prop_oneof![3 => held, 1 => Just(Value::Flag(false))]
            .prop_map(move |value| (Name::from(name), value))
    });
    prop::collection::vec(prop_oneof![9 => field, 1 => beside], 0..4)
        .prop_map(|members| {
            let mut fields = Fields::new();
            for (name, value) in members {
                fields.push(name, value);
            }
            fields
        })
        .boxed()
}

#[test]
fn a_record_fits_just_where_its_schema_takes_it() {
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let (mut fit, mut unfit) = (0, 0);
    for info in records() {
        for field in info.fields {
            for value in values(field) {
                for value in [value.clone(), Value::List(vec![value])] {
                    let mut fields = Fields::new();
                    fields.push(Name::Known(field.name), value);
                    let takes = schema_takes(info, &fields);
                    assert_eq!(fits(info, &fields), takes, "{}.{fields:?}", info.name);
                    *(if takes { &mut fit } else { &mut unfit }) += 1;
                }
            }
        }
        let strategy = members(info, 2);
        for _ in 0..100 {
            let fields = strategy.new_tree(&mut runner).expect("it grows").current();
            let takes = schema_takes(info, &fields);
            assert_eq!(fits(info, &fields), takes, "{}.{fields:?}", info.name);
            *(if takes { &mut fit } else { &mut unfit }) += 1;
        }
    }
    assert!(fit > 3_000 && unfit > 10_000, "{fit} fit, {unfit} do not");
}

#[test]
fn the_version_of_the_schedule_is_asked_alike() {
    for version in [VERSION, VERSION + 1] {
        let mut fields = Fields::new();
        fields.push(Name::Known("restrand"), Value::Number(f64::from(version)));
        assert_eq!(fits(Schedule::INFO, &fields), version == VERSION);
        assert_eq!(schema_takes(Schedule::INFO, &fields), version == VERSION);
    }
}
