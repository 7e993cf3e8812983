//! Plans for people at a terminal, or on paper.

use std::io::{self, Write};

use restrand_model::route::Names;
use restrand_model::schedule::Schedule;
use restrand_plan::{Plan, Step, Table, Told};

use super::{DRAFT, IN_HAND, NOTHING, Plans, elsewhere, field, numbers, routes, shown, title};
use crate::plain::{padded, plain, width, wrapped};
use crate::terminal::Look;

/// Writes the plans of one input.
///
/// # Errors
/// The writer fails.
pub fn plans(out: &mut dyn Write, plans: &Plans<'_>, look: Look) -> io::Result<()> {
    let Some(reading) = plans.checked.reading else { return Ok(()) };
    let names = Names::of(&reading.schedule);
    for (index, plan) in plans.plans.iter().enumerate() {
        if index > 0 {
            writeln!(out, "\n{}\n", "═".repeat(look.width.min(WIDEST)))?;
        }
        Page { out, plans, look, names: &names }.plan(plan, &reading.schedule)?;
    }
    Ok(())
}

/// Widest a line of a plan becomes.
const WIDEST: usize = 110;

struct Page<'p, 'a> {
    out: &'p mut dyn Write,
    plans: &'p Plans<'a>,
    look: Look,
    names: &'p Names,
}

impl Page<'_, '_> {
    fn plan(&mut self, plan: &Plan, schedule: &Schedule) -> io::Result<()> {
        self.head(plan, schedule)?;
        if let Some(why) = plan.not_for {
            self.entry("Note", why)?;
        }
        if plan.steps.is_empty() {
            return self.close(plan);
        }
        if plan.is_stopped() {
            self.against(plan)?;
        }
        for line in &plan.about {
            let text = self.plans.line(line);
            self.wrapped(0, &text)?;
        }
        writeln!(self.out)?;
        if !plan.is_stopped() {
            self.wrapped(0, NOTHING)?;
            writeln!(self.out)?;
        }
        self.confirm(plan)?;
        self.hazards(plan)?;
        self.in_hand(plan)?;
        for (number, step) in plan.steps.iter().enumerate() {
            self.step(number + 1, step)?;
        }
        self.missing(plan)?;
        self.close(plan)
    }

    fn head(&mut self, plan: &Plan, schedule: &Schedule) -> io::Result<()> {
        writeln!(self.out, "Replacement plan of tendon {}", plain(&plan.tendon))?;
        let project = schedule.project.as_deref();
        let said = [
            project.and_then(|project| project.bridge.as_deref()).map(str::to_owned),
            project.and_then(|project| project.structure_number.as_deref()).map(str::to_owned),
            project
                .and_then(|project| project.revision.as_deref())
                .map(|revision| format!("revision {revision}")),
            project.and_then(|project| project.stage).map(|stage| format!("stage {stage}")),
        ];
        let said: Vec<_> = said.into_iter().flatten().collect();
        if !said.is_empty() {
            self.wrapped(0, &plain(&said.join(" · ")))?;
        }
        let rulebook = self.plans.checked.rulebook.map(|in_force| in_force.shown());
        let rulebook = rulebook.map(|shown| format!(" · rulebook {shown}")).unwrap_or_default();
        self.wrapped(
            0,
            &plain(&format!(
                "from {} · as of {}{rulebook}",
                self.plans.checked.file, self.plans.checked.as_of
            )),
        )?;
        writeln!(self.out)?;
        self.wrapped(0, DRAFT)?;
        writeln!(self.out)
    }

    /// What stands against the plan, before all else, each with the smallest change that frees it.
    fn against(&mut self, plan: &Plan) -> io::Result<()> {
        writeln!(self.out, "What stands against this plan\n")?;
        if let Some(stop) = &plan.stop {
            let text = self.plans.line(stop);
            self.entry("Stop", &text)?;
        }
        for blocked in &plan.blocked {
            let constraint = self.plans.line(&blocked.constraint);
            self.entry("Binds", &format!("{}: {constraint}", blocked.step.title()))?;
            let remedy = self.plans.line(&blocked.remedy);
            self.entry("Remedy", &remedy)?;
        }
        for told in plan.errors() {
            self.told("Error", told)?;
        }
        writeln!(self.out)
    }

    /// What the check warns of.
    fn confirm(&mut self, plan: &Plan) -> io::Result<()> {
        if plan.warnings().next().is_some() {
            writeln!(self.out, "To be confirmed before the plan is used\n")?;
            for told in plan.warnings() {
                self.told("Warning", told)?;
            }
            writeln!(self.out)?;
        }
        Ok(())
    }

    fn told(&mut self, name: &str, told: &Told) -> io::Result<()> {
        let message = self.plans.line(&told.message);
        self.entry(name, &format!("{}: {message}", told.rule))?;
        let help = self.plans.line(&told.help);
        if help.is_empty() { Ok(()) } else { self.entry("Remedy", &help) }
    }

    /// What must be there before anything is released.
    fn in_hand(&mut self, plan: &Plan) -> io::Result<()> {
        if plan.in_hand.is_empty() {
            return Ok(());
        }
        writeln!(self.out, "{IN_HAND}\n")?;
        for line in &plan.in_hand {
            let text = self.plans.line(line);
            self.entry("In hand", &text)?;
        }
        writeln!(self.out)
    }

    /// What can hurt people, before anything is done.
    fn hazards(&mut self, plan: &Plan) -> io::Result<()> {
        if plan.hazards.is_empty() {
            return Ok(());
        }
        writeln!(self.out, "What can hurt people, and in which steps\n")?;
        for hazard in &plan.hazards {
            let line = self.plans.line(&hazard.line);
            let text = format!("{line} ({})", numbers(plan, hazard));
            self.entry(hazard.kind.title(), &text)?;
        }
        writeln!(self.out)
    }

    fn step(&mut self, number: usize, step: &Step) -> io::Result<()> {
        writeln!(self.out, "{number}. {}\n", step.id.title())?;
        for line in &step.stops {
            let text = self.plans.line(line);
            self.entry("Stop", &text)?;
        }
        for line in &step.lines {
            let text = self.plans.line(line);
            self.wrapped(3, &text)?;
        }
        for table in &step.tables {
            self.table(table)?;
        }
        for (named, blocks) in gaps(step) {
            self.entry("Not stated", &plain(&format!("{named}: {}", blocks.join("; "))))?;
        }
        for tool in &step.tools {
            let text = self.plans.line(tool);
            self.entry("Tools", &text)?;
        }
        for hold in &step.holds {
            let text = self.plans.line(hold);
            self.entry("Hold", &text)?;
        }
        for caution in &step.cautions {
            let text = self.plans.line(caution);
            self.entry("Beware", &text)?;
        }
        let routes = routes(step, self.names, self.plans);
        if !routes.is_empty() {
            self.entry("Rests on", &plain(&routes.join(", ")))?;
        }
        writeln!(self.out)
    }

    fn table(&mut self, table: &Table) -> io::Result<()> {
        let system = self.plans.checked.system;
        writeln!(self.out, "\n   {}", plain(&table.title))?;
        let heads: Vec<_> = table.columns.iter().map(|column| title(column, system)).collect();
        let rows: Vec<Vec<String>> = table
            .rows
            .iter()
            .map(|row| {
                row.iter()
                    .zip(&table.columns)
                    .map(|(cell, column)| plain(&shown(cell, column, system)))
                    .collect()
            })
            .collect();
        let widths: Vec<usize> = heads
            .iter()
            .enumerate()
            .map(|(index, head)| {
                rows.iter().map(|row| width(&row[index])).chain([width(head)]).max().unwrap_or(0)
            })
            .collect();
        let line = |cells: &[String]| {
            let cells: Vec<_> =
                cells.iter().zip(&widths).map(|(cell, width)| padded(cell, *width)).collect();
            format!("     {}", cells.join("  ")).trim_end().to_owned()
        };
        writeln!(self.out, "{}", line(&heads))?;
        let rule: Vec<String> = widths.iter().map(|width| "─".repeat(*width)).collect();
        writeln!(self.out, "{}", line(&rule))?;
        for row in &rows {
            writeln!(self.out, "{}", line(row))?;
        }
        writeln!(self.out)
    }

    fn missing(&mut self, plan: &Plan) -> io::Result<()> {
        if plan.holes.is_empty() {
            return Ok(());
        }
        writeln!(self.out, "What is missing, and what it leaves open\n")?;
        for hole in &plan.holes {
            let at = hole.at.as_deref().map(|at| format!(" of {at}")).unwrap_or_default();
            let mut blocks: Vec<String> = Vec::new();
            for (step, what) in &hole.blocks {
                blocks.push(format!("{}: {what}", step.title()));
            }
            self.entry(
                "Not stated",
                &plain(&format!("{}{at}. {}", field(hole.field), blocks.join("; "))),
            )?;
        }
        writeln!(self.out)
    }

    fn close(&mut self, plan: &Plan) -> io::Result<()> {
        if let Some(text) = elsewhere(plan, self.plans, self.names) {
            self.wrapped(0, &plain(&text))?;
        }
        self.wrapped(0, DRAFT)
    }

    fn wrapped(&mut self, indent: usize, text: &str) -> io::Result<()> {
        let room = self.look.width.min(WIDEST).saturating_sub(indent).max(20);
        for line in wrapped(text, room) {
            writeln!(self.out, "{}{line}", " ".repeat(indent))?;
        }
        Ok(())
    }

    fn entry(&mut self, name: &str, text: &str) -> io::Result<()> {
        const NAMES: usize = 16;
        let room = self.look.width.min(WIDEST).saturating_sub(NAMES + 4).max(20);
        for (index, line) in wrapped(text, room).into_iter().enumerate() {
            let name = if index == 0 { format!("{name}:") } else { String::new() };
            writeln!(self.out, "   {name:<NAMES$} {line}")?;
        }
        Ok(())
    }
}

/// What a step lacks: each field once, with all that it leaves open.
fn gaps(step: &Step) -> Vec<(String, Vec<&str>)> {
    let mut gaps: Vec<(String, Vec<&str>)> = Vec::new();
    for hole in &step.holes {
        let at = hole.at.as_deref().map(|at| format!(" of {at}")).unwrap_or_default();
        let named = format!("{}{at}", field(hole.field));
        match gaps.iter_mut().find(|(known, _)| *known == named) {
            Some((_, blocks)) => blocks.push(hole.blocks),
            None => gaps.push((named, vec![hole.blocks])),
        }
    }
    gaps
}
