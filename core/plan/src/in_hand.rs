//! What must be at hand before anything is released: a tendon that is out and cannot be put back is missed.

use restrand_finding::{Fact, FactValue};
use restrand_model::reflect::Link;

use crate::energy;
use crate::plan::{Cell, Line, Step, StepId};
use crate::tendon::Known;

/// The list, from what the steps say.
pub(crate) fn of(known: &Known<'_, '_>, steps: &[Step]) -> Vec<Line> {
    let said = Said { steps };
    let mut list = Vec::new();
    if said.number(StepId::Restraints).is_some() {
        list.push(restraints(known));
    }
    list.extend(jacks(known, &said));
    list.push(parts(&said));
    list.push(duct(&said));
    list.push(strand(&said));
    list.extend(filler(known, &said));
    list.push(Line::from(
        "The tools of every step, hoists and trolleys among them, with what they hang from",
    ));
    list.push(Line::from("The room behind both ends and every opening on the ways, measured on site against the numbers of this plan"));
    list
}

struct Said<'s> {
    steps: &'s [Step],
}

impl Said<'_> {
    /// The number of a step.
    fn number(&self, id: StepId) -> Option<usize> {
        self.steps.iter().position(|step| step.id == id).map(|index| index + 1)
    }

    fn step(&self, id: StepId) -> Option<&Step> {
        self.steps.iter().find(|step| step.id == id)
    }

    /// A fact that a step says.
    fn fact(&self, id: StepId, name: &str) -> Option<&Fact> {
        let mut facts = self.step(id)?.lines.iter().flat_map(|line| &line.facts);
        facts.find(|fact| fact.name == name)
    }
}

fn restraints(known: &Known<'_, '_>) -> Line {
    match energy::design(known) {
        Ok(design) => Line::from("Restraints, clamps and covers, designed for {energy_kj}")
            .with(Fact::computed("energy_kj", design.kj, 0)),
        Err(_) => Line::from(
            "Restraints, clamps and covers; the energy for which they are designed is not known",
        ),
    }
}

/// The jack of each end that is stressed.
fn jacks(known: &Known<'_, '_>, said: &Said<'_>) -> Vec<Line> {
    let number = said.number(StepId::JackIn).unwrap_or_default().to_string();
    let Ok(pull) = &known.pull else {
        return vec![
            Line::from("The jack: which one, and for which end, is not known (step {number})")
                .with(Fact::text("number", number)),
        ];
    };
    let ends = pull.ends.iter().filter_map(|name| known.end(*name));
    let names: Vec<_> =
        ends.clone().filter_map(|end| end.end.jack.as_ref()).map(Link::key).collect();
    let twice = match names.as_slice() {
        [one, other] if one == other && known.is_pulled_at_once() => Some(
            Line::from("Two jacks such as {jack}, for both ends are pulled at once: the calibration that is stated holds for the one with which it was made, and the other has a certificate and readings of its own (step {number})")
                .with(Fact::text("jack", *one))
                .with(Fact::text("number", number.as_str())),
        ),
        _ => None,
    };
    ends.map(|end| {
        let line = |text: &str| {
            Line::from(text)
                .with(Fact::text("end", end.call()))
                .with(Fact::text("number", number.as_str()))
        };
        let Some(jack) = known.context.jack(end.end.jack.as_ref()) else {
            return line("The jack for {end}: which one is not stated (step {number})");
        };
        let name = jack.record.id.clone().unwrap_or_default();
        match jack.record.calibrated_on {
            Some(day) => line("Jack {jack} for {end} with its gauge and the certificate of its calibration, that of {day} or a later one, which still holds on the day of stressing (step {number})")
                .with(Fact::text("day", day.to_string())),
            None => line("Jack {jack} for {end} with its gauge and the certificate of its calibration, of which the day is not stated (step {number})"),
        }
        .with(Fact::text("jack", name))
    })
    .chain(twice)
    .collect()
}

/// The new parts, and how many of them are in doubt.
fn parts(said: &Said<'_>) -> Line {
    let number = said.number(StepId::NewParts).unwrap_or_default().to_string();
    let table = said.step(StepId::NewParts).and_then(|step| {
        step.tables
            .iter()
            .find(|table| table.columns.iter().any(|column| column.name == "comes_in"))
    });
    let Some(table) = table else {
        return Line::from(
            "New parts for anchorages and forms: which ones is not known (step {number})",
        )
        .with(Fact::text("number", number));
    };
    let doubt = table.columns.iter().position(|column| column.name == "in_doubt");
    let in_doubt = table
        .rows
        .iter()
        .filter(|row| doubt.is_some_and(|index| matches!(row[index], Cell::Text(_))))
        .count();
    let line = Line::from(match in_doubt {
        0 => {
            "New parts for anchorages and forms, all {parts} lines of the table of step {number}, each measured against its sizes there"
        }
        _ => {
            "New parts for anchorages and forms, all {parts} lines of the table of step {number}, each measured against its sizes there; whether {in_doubt} of them are needed is to be confirmed first"
        }
    });
    line.with(Fact::text("parts", table.rows.len().to_string()))
        .with(Fact::text("number", number))
        .with(Fact::text("in_doubt", in_doubt.to_string()))
}

fn duct(said: &Said<'_>) -> Line {
    match (said.fact(StepId::NewParts, "free_m"), said.fact(StepId::NewParts, "sticks")) {
        (Some(free), Some(sticks)) => {
            let stick = said.fact(StepId::NewParts, "stick_m");
            let line = Line::from(match stick {
                Some(_) => "Duct: {sticks} sticks of {stick_m}, for {free_m}",
                None => "Duct: {sticks} sticks, for {free_m}",
            });
            let line = line.with(free.clone()).with(sticks.clone());
            stick.map_or(line.clone(), |stick| line.with(stick.clone()))
        }
        (Some(free), None) => {
            Line::from("Duct: {free_m}; in which lengths is not known").with(free.clone())
        }
        (None, _) if said.fact(StepId::NewParts, "length_m").is_some() => {
            Line::from("Duct: each length of it, as the step of new parts has them")
        }
        (None, _) => Line::from("Duct: how much is not known"),
    }
}

fn strand(said: &Said<'_>) -> Line {
    match (said.fact(StepId::Strands, "strands"), said.fact(StepId::Strands, "strand_m")) {
        (Some(count), Some(length)) => {
            Line::from("Strand: {strands} of {strand_m} and what handling takes, and new wedges")
                .with(count.clone())
                .with(length.clone())
        }
        _ => Line::from("Strand and new wedges: how much is not known"),
    }
}

fn filler(known: &Known<'_, '_>, said: &Said<'_>) -> Option<Line> {
    use restrand_model::schedule::Filler;
    if known.tendon.filler == Some(Filler::None) {
        return None;
    }
    let is = |name| {
        said.fact(StepId::Filling, name).filter(|fact| matches!(fact.value, FactValue::Number(_)))
    };
    Some(match (is("bags"), is("gross_l").or_else(|| is("net_l"))) {
        (Some(bags), _) => {
            let line = Line::from(match is("bag_kg") {
                Some(_) => "Filler: {bags} bags of {bag_kg}, and a spare of mixer and pump",
                None => "Filler: {bags} bags, and a spare of mixer and pump",
            });
            let line = line.with(bags.clone());
            is("bag_kg").map_or(line.clone(), |bag| line.with(bag.clone()))
        }
        (None, Some(litres)) => Line {
            text: format!("Filler: {{{}}}, and a spare of pot or mixer and pump", litres.name),
            facts: vec![litres.clone()],
        },
        (None, None) => Line::from("Filler: how much is not known"),
    })
}
