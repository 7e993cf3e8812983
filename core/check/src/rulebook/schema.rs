//! The JSON Schema of rulebook files, for editors that know TOML by schema.

use restrand_model::quantity::of_field;
use restrand_model::reflect::Choice;
use restrand_model::schedule::{Filler, Role, Stage};
use restrand_rules::{CATALOGUE, limit_keys};
use serde_json::{Map, Value, json};

use super::entry::EVIDENCE;
use super::resolve::VERSION;
use super::{limit, required_part, role, severity};

/// The schema.
#[must_use]
pub fn schema() -> Value {
    let words = |words: &[restrand_model::reflect::ChoiceInfo]| -> Vec<&'static str> {
        words.iter().map(|word| word.name).collect()
    };
    let rules: Vec<_> = CATALOGUE.iter().map(|rule| rule.id).collect();
    let roles: Map<_, _> = Role::WORDS
        .iter()
        .map(|word| (word.name.to_owned(), json!({ "$ref": "#/$defs/permanence" })))
        .collect();
    let severities: Map<_, _> = rules
        .iter()
        .map(|rule| ((*rule).to_owned(), json!({ "$ref": "#/$defs/severity" })))
        .collect();
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "restrand rulebook",
        "description": "Limits, requirements and waivers, each with what it rests on.",
        "type": "object",
        "properties": {
            "rulebook": { "description": "The version of the form.", "const": VERSION },
            "name": { "description": "The name of the book.", "type": "string" },
            "title": { "description": "What the book is.", "type": "string" },
            "extends": {
                "description": "The book that this one is laid over: the name of a built-in book, or the path \
                                of a file, from this file on.",
                "type": "string",
            },
            "codes": {
                "description": "Design codes for which the book holds.",
                "type": "array",
                "items": {
                    "type": "object",
                    "properties": {
                        "code": { "description": "The code.", "type": "string" },
                        "edition": { "description": "Its edition.", "type": "string" },
                    },
                    "required": ["code", "edition"],
                    "additionalProperties": false,
                },
            },
            "limits": {
                "description": "Limits by name; the ending of the name says the unit of a bare number.",
                "type": "object",
                "properties": limits(),
                "additionalProperties": false,
            },
            "roles": {
                "description": "Which permanence is expected of which part.",
                "type": "object",
                "properties": {
                    "evidence": { "$ref": "#/$defs/evidence" },
                    "citation": { "$ref": "#/$defs/citation" },
                    "expected": {
                        "description": "The permanence by role.",
                        "type": "object",
                        "properties": roles,
                        "additionalProperties": false,
                    },
                },
                "required": ["evidence", "citation", "expected"],
                "additionalProperties": false,
            },
            "fillers": {
                "description": "Which fillers may be used; what is in neither list is left to the engineer.",
                "type": "object",
                "properties": {
                    "evidence": { "$ref": "#/$defs/evidence" },
                    "citation": { "$ref": "#/$defs/citation" },
                    "allowed": fillers("Those that may.", &words(Filler::WORDS)),
                    "forbidden": fillers("Those that may not.", &words(Filler::WORDS)),
                },
                "required": ["evidence", "citation"],
                "additionalProperties": false,
            },
            "required": {
                "description": "What records must state, from a stage on.",
                "type": "array",
                "items": {
                    "type": "object",
                    "properties": {
                        "stage": { "description": "From which stage on.", "enum": words(Stage::WORDS) },
                        "record": { "description": "The record type, as tendon.", "type": "string" },
                        "fields": {
                            "description": "Its fields, by names joined with points.",
                            "type": "array",
                            "items": { "type": "string" },
                        },
                        "when": conditions("Fields and the words for which alone it holds."),
                        "unless": conditions("Fields and the words for which it does not hold."),
                    },
                    "required": ["stage", "record", "fields"],
                    "additionalProperties": false,
                },
            },
            "required_parts": {
                "description": "Parts that a composed anchorage or form cannot do without.",
                "type": "array",
                "items": {
                    "type": "object",
                    "properties": {
                        "record": { "description": "Whose parts.", "enum": required_part::RECORDS },
                        "any_of": {
                            "description": "The roles of which any one is enough.",
                            "type": "array",
                            "items": { "enum": words(Role::WORDS) },
                            "minItems": 1,
                        },
                        "evidence": { "$ref": "#/$defs/evidence" },
                        "citation": { "$ref": "#/$defs/citation" },
                    },
                    "required": ["record", "any_of", "evidence", "citation"],
                    "additionalProperties": false,
                },
            },
            "severities": {
                "description": "The severity of rules' findings.",
                "type": "object",
                "properties": severities,
                "additionalProperties": false,
            },
            "waivers": {
                "description": "Findings that somebody answers for.",
                "type": "array",
                "items": {
                    "type": "object",
                    "properties": {
                        "rule": { "description": "The rule.", "enum": rules },
                        "place": {
                            "description": "The route of the record or value, as tendons[T1].ends.a; what lies \
                                            inside is waived with it.",
                            "type": "string",
                            "minLength": 1,
                        },
                        "reason": { "description": "Why it may stay.", "type": "string", "minLength": 1 },
                        "by": { "description": "Who answers for it.", "type": "string", "minLength": 1 },
                        "until": {
                            "description": "The last day on which it holds, as 2031-05-07.",
                            "type": "string",
                            "format": "date",
                        },
                    },
                    "required": ["rule", "place", "reason", "by", "until"],
                    "additionalProperties": false,
                },
            },
        },
        "required": ["rulebook", "name"],
        "additionalProperties": false,
        "$defs": {
            "evidence": { "description": "How a value is known.", "enum": EVIDENCE },
            "citation": { "description": "The source and the clause.", "type": "string", "minLength": 1 },
            "permanence": {
                "description": "Whether a part leaves with the tendon.",
                "enum": role::WORDS.iter().map(|(word, _)| *word).collect::<Vec<_>>(),
            },
            "severity": {
                "description": "How bad a finding is.",
                "enum": severity::ALL.map(|severity| severity.word()),
            },
        },
    })
}

fn limits() -> Map<String, Value> {
    limit_keys()
        .iter()
        .map(|key| {
            let sense = limit::sense(key.name);
            let unit = of_field(key.name).1.map_or("a bare number", |unit| unit.symbol);
            let entry = json!({
                "description": format!("{}; unit: {unit}.", key.meaning),
                "type": "object",
                "properties": {
                    "value": {
                        "description": "A number in the unit of the name, or a text with its own unit.",
                        "anyOf": [
                            { "type": "number", "minimum": sense.start(), "maximum": sense.end() },
                            { "type": "string" },
                        ],
                    },
                    "evidence": { "$ref": "#/$defs/evidence" },
                    "citation": { "$ref": "#/$defs/citation" },
                },
                "required": ["value", "evidence", "citation"],
                "additionalProperties": false,
            });
            (key.name.to_owned(), entry)
        })
        .collect()
}

fn fillers(description: &str, words: &[&str]) -> Value {
    json!({ "description": description, "type": "array", "items": { "enum": words } })
}

fn conditions(description: &str) -> Value {
    json!({
        "description": description,
        "type": "object",
        "additionalProperties": { "type": "array", "items": { "type": "string" } },
    })
}
