//! Replacement plans as a page: each with its steps, then with its drawings, and then the drawings that they share.

use std::io::{self, Write};

use restrand_model::route::Names;
use restrand_plan::{Cell, Plan, Step, Table, Told};

use super::figures::figure;
use super::markup::{escaped, table, terms};
use super::stamp::{Stamp, Stamped};
use super::{begin, contents, coverage, end};
use crate::draw::{Drawing, Passage};
use crate::plan::{IN_HAND, NOTHING, Plans, elsewhere, field, numbers, routes, shown, title};

/// Writes plans of one input; `drawings` are those of each plan in turn, `openings` those that plans share.
///
/// # Errors
/// The writer fails.
pub fn plans(
    out: &mut dyn Write,
    plans: &Plans<'_>,
    drawings: &[Vec<Drawing>],
    openings: &[Passage],
    stamp: &Stamp<'_>,
) -> io::Result<()> {
    let tendons: Vec<_> = plans.plans.iter().map(|plan| plan.tendon.as_str()).collect();
    let name = match tendons.as_slice() {
        [one] => format!("Replacement plan of tendon {one}"),
        [one, two] => format!("Replacement plans of tendons {one} and {two}"),
        [first, .., last] => {
            format!("Replacement plans of {} tendons, {first} to {last}", tendons.len())
        }
        [] => "Replacement plans".to_owned(),
    };
    let stamped = Stamped::of(name, &tendons, plans.checked, stamp);
    begin(out, &stamped, plans.checked)?;
    let ids: Vec<_> = (1..=tendons.len()).map(|number| format!("p{number}")).collect();
    let mut sections: Vec<(&str, String)> = ids
        .iter()
        .zip(&tendons)
        .map(|(id, tendon)| (id.as_str(), format!("Tendon {tendon}")))
        .collect();
    if !openings.is_empty() {
        sections.push(("openings", OPENINGS.to_owned()));
    }
    sections.push(("covered", "What was checked".to_owned()));
    sections.push(("rulebook", "Rulebook in force".to_owned()));
    let sections: Vec<_> = sections.iter().map(|(id, title)| (*id, title.as_str())).collect();
    contents(out, &sections)?;
    if let Some(reading) = plans.checked.reading {
        let names = Names::of(&reading.schedule);
        for (index, plan) in plans.plans.iter().enumerate() {
            let drawings = drawings.get(index).map_or(&[][..], Vec::as_slice);
            let own = Own { position: index, id: &ids[index], drawings, openings };
            one(out, plan, &own, plans, &names)?;
        }
    }
    shared(out, openings)?;
    coverage::covered(out, plans.checked)?;
    coverage::rulebook(out, plans.checked)?;
    end(out)
}

/// The title of the section with the drawings that plans share.
const OPENINGS: &str = "Openings on the ways";

/// A plan's place on the page, and its drawings.
struct Own<'o> {
    position: usize,
    id: &'o str,
    drawings: &'o [Drawing],
    openings: &'o [Passage],
}

/// Openings with what passes them, each once for all plans.
fn shared(out: &mut dyn Write, openings: &[Passage]) -> io::Result<()> {
    if openings.is_empty() {
        return Ok(());
    }
    writeln!(
        out,
        "<section aria-labelledby=\"openings\">\n<h2 id=\"openings\">{OPENINGS}</h2>\n\
         <p>Each opening is drawn once with each thing that passes it; the drawing says for which tendons it holds.</p>\n<ul>"
    )?;
    for Passage { drawing, .. } in openings {
        let (name, title) = (escaped(&drawing.name), escaped(&drawing.title));
        writeln!(out, "<li><a href=\"#{name}\">{title}</a></li>")?;
    }
    writeln!(out, "</ul>")?;
    for passage in openings {
        writeln!(out, "{}", figure(&passage.drawing))?;
    }
    writeln!(out, "</section>")
}

/// Leads from a step to what is drawn for it.
fn lead(out: &mut dyn Write, own: &Own<'_>, step: &Step) -> io::Result<()> {
    let of_step = own.drawings.iter().filter(|drawing| drawing.step == Some(step.id));
    let is_of = |passage: &&Passage| passage.of.contains(&(own.position, step.id));
    let shared = own.openings.iter().filter(is_of).map(|passage| &passage.drawing);
    let links: Vec<_> = of_step
        .chain(shared)
        .map(|drawing| {
            format!("<a href=\"#{}\">{}</a>", escaped(&drawing.name), escaped(&drawing.title))
        })
        .collect();
    if links.is_empty() {
        return Ok(());
    }
    writeln!(out, "<p><strong>Drawings:</strong> {}.</p>", links.join("; "))
}

/// The sheets of a plan, one after the other, so that on paper no text stands alone between two of them.
fn sheets(out: &mut dyn Write, plan: &Plan, own: &Own<'_>) -> io::Result<()> {
    writeln!(out, "<h3>Drawings of tendon {}</h3>\n<ul>", escaped(&plan.tendon))?;
    for drawing in own.drawings {
        let (name, title) = (escaped(&drawing.name), escaped(&drawing.title));
        writeln!(out, "<li><a href=\"#{name}\">{title}</a></li>")?;
    }
    writeln!(out, "</ul>")?;
    for drawing in own.drawings {
        writeln!(out, "{}", figure(drawing))?;
    }
    Ok(())
}

fn one(
    out: &mut dyn Write,
    plan: &Plan,
    own: &Own<'_>,
    plans: &Plans<'_>,
    names: &Names,
) -> io::Result<()> {
    writeln!(
        out,
        "<section class=\"plan\" aria-labelledby=\"{0}\">\n<h2 id=\"{0}\">Tendon {1}</h2>",
        own.id,
        escaped(&plan.tendon)
    )?;
    if let Some(why) = plan.not_for {
        writeln!(out, "<p class=\"beware\">Note: {}.</p>", escaped(why))?;
    }
    if !plan.steps.is_empty() {
        if plan.is_stopped() {
            against(out, plan, plans)?;
        }
        for line in &plan.about {
            writeln!(out, "<p>{}</p>", escaped(&plans.line(line)))?;
        }
        if !plan.is_stopped() {
            writeln!(out, "<p>{NOTHING}</p>")?;
        }
        confirm(out, plan, plans)?;
        hazards(out, plan, plans)?;
        in_hand(out, plan, plans)?;
        for (index, step) in plan.steps.iter().enumerate() {
            self::step(out, index + 1, step, plans, names)?;
            lead(out, own, step)?;
        }
        missing(out, plan)?;
        if let Some(text) = elsewhere(plan, plans, names) {
            writeln!(out, "<p>{}</p>", escaped(&text))?;
        }
        sheets(out, plan, own)?;
    }
    writeln!(out, "</section>")
}

/// What stands against the plan, before all else, each with the smallest change that frees it.
fn against(out: &mut dyn Write, plan: &Plan, plans: &Plans<'_>) -> io::Result<()> {
    writeln!(out, "<div class=\"against\">\n<h3>What stands against this plan</h3>")?;
    if let Some(stop) = &plan.stop {
        let text = escaped(&plans.line(stop));
        writeln!(out, "<p class=\"beware\"><strong>Stop:</strong> {text}</p>")?;
    }
    for blocked in &plan.blocked {
        writeln!(
            out,
            "<div class=\"beware\">{}</div>",
            terms(&[
                ("Step", escaped(blocked.step.title())),
                ("Binds", escaped(&plans.line(&blocked.constraint))),
                ("Remedy", escaped(&plans.line(&blocked.remedy))),
            ])
        )?;
    }
    for error in plan.errors() {
        told(out, "Error", error, plans)?;
    }
    writeln!(out, "</div>")
}

/// What the check warns of.
fn confirm(out: &mut dyn Write, plan: &Plan, plans: &Plans<'_>) -> io::Result<()> {
    if plan.warnings().next().is_none() {
        return Ok(());
    }
    writeln!(out, "<h3>To be confirmed before the plan is used</h3>")?;
    plan.warnings().try_for_each(|warning| told(out, "Warning", warning, plans))
}

fn told(out: &mut dyn Write, name: &str, told: &Told, plans: &Plans<'_>) -> io::Result<()> {
    writeln!(
        out,
        "<p class=\"beware\"><strong>{name}</strong> <code>{}</code>: {}. {}</p>",
        escaped(told.rule),
        escaped(&plans.line(&told.message)),
        escaped(&plans.line(&told.help))
    )
}

/// What must be there before anything is released.
fn in_hand(out: &mut dyn Write, plan: &Plan, plans: &Plans<'_>) -> io::Result<()> {
    if plan.in_hand.is_empty() {
        return Ok(());
    }
    writeln!(out, "<h3>{IN_HAND}</h3>\n<ul>")?;
    for line in &plan.in_hand {
        writeln!(out, "<li>{}</li>", escaped(&plans.line(line)))?;
    }
    writeln!(out, "</ul>")
}

/// What can hurt people, before anything is done.
fn hazards(out: &mut dyn Write, plan: &Plan, plans: &Plans<'_>) -> io::Result<()> {
    if plan.hazards.is_empty() {
        return Ok(());
    }
    writeln!(out, "<h3>What can hurt people</h3>")?;
    let rows: Vec<Vec<String>> = plan
        .hazards
        .iter()
        .map(|hazard| {
            vec![
                escaped(hazard.kind.title()),
                escaped(&plans.line(&hazard.line)),
                escaped(&numbers(plan, hazard)),
            ]
        })
        .collect();
    let heads = ["Hazard", "Where, and how much", "Met in"].map(str::to_owned);
    writeln!(out, "<div class=\"wide\">{}</div>", table("Hazards", &heads, &rows))
}

fn step(
    out: &mut dyn Write,
    number: usize,
    step: &Step,
    plans: &Plans<'_>,
    names: &Names,
) -> io::Result<()> {
    writeln!(out, "<h3>{number}. {}</h3>", escaped(step.id.title()))?;
    for line in &step.stops {
        let text = escaped(&plans.line(line));
        writeln!(out, "<p class=\"beware\"><strong>Stop:</strong> {text}</p>")?;
    }
    for line in &step.lines {
        writeln!(out, "<p>{}</p>", escaped(&plans.line(line)))?;
    }
    for table in &step.tables {
        writeln!(out, "<div class=\"wide\">{}</div>", table_of(table, plans))?;
    }
    for (class, word, lines) in [
        ("tools", "Tools", &step.tools),
        ("hold", "Hold", &step.holds),
        ("beware", "Beware", &step.cautions),
    ] {
        for line in lines {
            writeln!(
                out,
                "<p class=\"{class}\"><strong>{word}:</strong> {}</p>",
                escaped(&plans.line(line))
            )?;
        }
    }
    let routes = routes(step, names, plans);
    if !routes.is_empty() {
        writeln!(out, "<p>Rests on <code>{}</code></p>", escaped(&routes.join(", ")))?;
    }
    Ok(())
}

fn table_of(of: &Table, plans: &Plans<'_>) -> String {
    let system = plans.checked.system;
    let heads: Vec<_> = of.columns.iter().map(|column| title(column, system)).collect();
    let rows: Vec<Vec<String>> = of
        .rows
        .iter()
        .map(|row| {
            row.iter()
                .zip(&of.columns)
                .map(|(cell, column)| {
                    let text = escaped(&shown(cell, column, system));
                    match cell {
                        Cell::Number(_) => format!("<span class=\"number\">{text}</span>"),
                        Cell::Text(_) | Cell::Blank | Cell::Missing => text,
                    }
                })
                .collect()
        })
        .collect();
    table(&of.title, &heads, &rows)
}

fn missing(out: &mut dyn Write, plan: &Plan) -> io::Result<()> {
    if plan.holes.is_empty() {
        return Ok(());
    }
    writeln!(out, "<h3>What is missing, and what it leaves open</h3>")?;
    let rows: Vec<Vec<String>> = plan
        .holes
        .iter()
        .map(|hole| {
            let blocks: Vec<_> = hole
                .blocks
                .iter()
                .map(|(step, what)| escaped(&format!("{}: {what}", step.title())))
                .collect();
            vec![
                escaped(&field(hole.field)),
                escaped(hole.at.as_deref().unwrap_or_default()),
                blocks.join("<br>"),
            ]
        })
        .collect();
    let heads = ["Not stated", "Of", "Leaves open"].map(str::to_owned);
    writeln!(out, "<div class=\"wide\">{}</div>", table("Gaps in the schedule", &heads, &rows))
}
