//! A rulebook to begin with: all that can be set, commented out, with the values in force.

use std::fmt::Write as _;

use restrand_model::quantity::{of_field, shortest};
use restrand_rules::{CATALOGUE, Rulebook, limit_keys};

use super::entry::EVIDENCE;
use super::resolve::VERSION;

/// The text of a rulebook that extends the one in force and changes nothing yet.
///
/// Every limit stands in it as a comment, under the rules that compare with it.
#[must_use]
pub fn starter(in_force: &Rulebook) -> String {
    let mut text = format!(
        "# A rulebook of an owner: what differs from {base}.\n\
         # Take out the # before what you change, and say what the value rests on.\n\
         # The ending of a limit's name says the unit of a bare number; a text states its own, as \"0.12 in\".\n\
         # evidence: {words}. A margin against a limit that is from memory or derived is a warning that asks \
         to confirm.\n\n\
         rulebook = {VERSION}\n\
         name = \"our-rulebook\"\n\
         title = \"Limits of our own\"\n\
         extends = \"{base}\"\n",
        base = in_force.name,
        words = EVIDENCE.join(", "),
    );
    for &key in limit_keys() {
        let Some(limit) = in_force.limit(key) else {
            continue;
        };
        let rules: Vec<_> = CATALOGUE
            .iter()
            .filter(|rule| rule.limits.iter().any(|other| other.name == key.name))
            .map(|rule| rule.id)
            .collect();
        let unit = of_field(key.name).1.map_or(String::new(), |unit| format!(", {}", unit.symbol));
        put(
            &mut text,
            format_args!(
                "\n# {}{unit}: {}\n# now {} ({}: {})\n# [limits.{}]\n# value = {}\n\
                 # evidence = \"owner\"\n# citation = \"\"\n",
                key.meaning,
                rules.join(", "),
                shortest(limit.value),
                limit.citation.evidence,
                limit.citation.source.replace('\n', " "),
                key.name,
                shortest(limit.value),
            ),
        );
    }
    text.push_str(
        "\n# Which parts leave with the tendon: replaceable, permanent or either.\n# [roles]\n",
    );
    text.push_str("# evidence = \"owner\"\n# citation = \"\"\n# [roles.expected]\n");
    for (role, row) in &in_force.roles {
        let word = super::role::WORDS
            .iter()
            .find(|(_, allowed)| *allowed == row.allowed)
            .map_or("", |(word, _)| word);
        put(&mut text, format_args!("# {role} = \"{word}\"\n"));
    }
    text.push_str(
        "\n# Fillers that may be used, and that may not.\n# [fillers]\n# evidence = \"owner\"\n\
         # citation = \"\"\n# allowed = [\"wax\", \"grease\"]\n# forbidden = [\"cement_grout\"]\n\
         \n# What a record must state, from a stage on: tender, shop_drawing, as_built, replaced.\n\
         # [[required]]\n# stage = \"shop_drawing\"\n# record = \"bay\"\n# fields = [\"width_mm\", \"height_mm\"]\n\
         \n# A part that a composed anchorage or form cannot do without: any one of the roles is enough.\n\
         # [[required_parts]]\n# record = \"anchorage\"\n# any_of = [\"cap\"]\n# evidence = \"owner\"\n# citation = \"\"\n\
         \n# The severity of a rule's findings: error, warning, note.\n# [severities]\n\
         # \"duct/area-ratio-low\" = \"warning\"\n\
         \n# A finding that somebody answers for, until a day. The place is its route, as check --format json shows it.\n\
         # [[waivers]]\n# rule = \"duct/area-ratio-low\"\n# place = \"tendons[T1]\"\n# reason = \"\"\n\
         # by = \"\"\n# until = 2031-05-07\n",
    );
    text
}

fn put(text: &mut String, arguments: std::fmt::Arguments<'_>) {
    let written = text.write_fmt(arguments);
    debug_assert!(written.is_ok(), "writing to a string does not fail");
}
