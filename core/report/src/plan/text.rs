//! Plans for people at a terminal, or on paper.

use std::io::{self, Write};

use restrand_model::route::Names;
use restrand_model::schedule::Schedule;
use restrand_plan::{Plan, Step, Table};

use super::{DRAFT, Plans, field, numbers, routes, shown, title};
use crate::plain::{counted, padded, plain, width, wrapped};
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
            return self.close();
        }
        for line in &plan.about {
            let text = self.plans.line(line);
            self.wrapped(0, &text)?;
        }
        writeln!(self.out)?;
        self.against(plan)?;
        self.hazards(plan)?;
        for (number, step) in plan.steps.iter().enumerate() {
            self.step(number + 1, step)?;
        }
        self.missing(plan)?;
        self.close()
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

    /// What stands against the plan, first of all.
    fn against(&mut self, plan: &Plan) -> io::Result<()> {
        let errors = self.plans.errors_of(plan);
        if plan.blocked.is_empty() && errors.is_empty() {
            return Ok(());
        }
        writeln!(self.out, "What stands against this plan\n")?;
        for blocked in &plan.blocked {
            let constraint = self.plans.line(&blocked.constraint);
            self.entry("Binds", &format!("{}: {constraint}", blocked.step.title()))?;
            let remedy = self.plans.line(&blocked.remedy);
            self.entry("Remedy", &remedy)?;
        }
        for (rule, message) in errors {
            self.entry("Error", &plain(&format!("{rule}: {message}")))?;
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
        for line in &step.lines {
            let text = self.plans.line(line);
            self.wrapped(3, &text)?;
        }
        for table in &step.tables {
            self.table(table)?;
        }
        for hole in &step.holes {
            let at = hole.at.as_deref().map(|at| format!(" of {at}")).unwrap_or_default();
            let text = format!("{}{at}: {}", field(hole.field), hole.blocks);
            self.entry("Not stated", &plain(&text))?;
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

    fn close(&mut self) -> io::Result<()> {
        let errors = self.plans.checked.report.count(restrand_finding::Severity::Error);
        if errors > 0 {
            self.wrapped(
                0,
                &format!("The check of the whole schedule found {}.", counted(errors, "error")),
            )?;
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
