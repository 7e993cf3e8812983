//! The command line.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};
use restrand_finding::Severity;
use restrand_model::System;
use restrand_model::reflect::{Choice, Date};
use restrand_model::schedule::Stage;

const EXIT_CODES: &str = "\
Exit codes:
  0  nothing at or above the threshold of --fail-on
  1  findings at or above it; also records or cells that could not be read among others
  2  wrong usage or configuration, or a file that cannot be read as a whole
  3  the program or a plugin failed
  4  a file was read, but has no tendon in it
Of several files the worst decides: 3, 2, 4, 1, 0.";

const CONVERT_CODES: &str = "\
Exit codes:
  0  written; what was not carried over is told on standard error
  1  written, but some of the input could not be read; or --strict, and nothing is written
  2  wrong usage, a file that cannot be read as a whole, or an output that cannot be written
  3  the program or a plugin failed
  4  a file was read, but has no tendon in it";

const CORRECT_EXIT_CODES: &str = "\
Exit codes, of what is found of the corrected schedule:
  0  nothing at or above the threshold of --fail-on
  1  findings at or above it
  2  wrong usage or configuration, or a file that cannot be read as a whole
  3  the program or a plugin failed
  4  a file was read, but has no tendon in it";

const PLAN_EXIT_CODES: &str = "\
Exit codes:
  0  written, and nothing stands against a plan; what is missing is listed in it
  1  written, but something stands against a plan: it is said first, with what frees it
  2  wrong usage or configuration, or a file that cannot be read as a whole
  3  the program or a plugin failed
  4  the file was read, but has no tendon in it";

/// Checks schedules of replaceable post-tensioning tendons.
///
/// Findings show what the stated data do and do not support; they do not replace the judgement of the
/// engineer in charge.
#[derive(Debug, Parser)]
#[command(name = "restrand", version, after_help = EXIT_CODES, disable_help_subcommand = true)]
pub(crate) struct Arguments {
    /// When to use colour; NO_COLOR in the environment means never
    #[arg(long, global = true, value_enum, default_value_t = Color::Auto, value_name = "WHEN")]
    pub(crate) color: Color,
    #[command(subcommand)]
    pub(crate) command: Command,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Check schedules and show the findings
    #[command(after_help = EXIT_CODES)]
    Check(Check),
    /// Write a schedule in another format, and say what was not carried over
    #[command(after_help = CONVERT_CODES)]
    Convert(Convert),
    /// Write a workbook to be filled: drop-downs, notes, units, one worked tendon
    Template(Template),
    /// Write a corrected schedule as a new file, with every change and why
    #[command(after_help = CORRECT_EXIT_CODES)]
    Correct(Correct),
    /// Write the replacement plan of tendons: a draft for the engineer in charge
    #[command(after_help = PLAN_EXIT_CODES)]
    Plan(Plan),
    /// Explain a rule: what, why, method, source, examples, limits in force
    Explain(Explain),
    /// List the rules
    Rules(Rules),
    /// Begin a mapping file, which says what the sheets of a file are
    #[command(subcommand)]
    Mapping(Mapping),
    /// Show a rulebook, or begin one
    #[command(subcommand)]
    Rulebook(Rulebook),
    /// List the formats that are read and written
    Formats(Formats),
    /// Test plugins
    #[command(subcommand)]
    Plugin(Plugin),
    /// Print a JSON Schema
    Schema(Schema),
}

/// Options of `check`.
#[derive(Debug, Args)]
pub(crate) struct Check {
    /// Schedules to check: files, or folders of CSV files; - reads one from standard input
    #[arg(required = true, value_name = "FILE")]
    pub(crate) files: Vec<PathBuf>,
    /// How to show the findings
    #[arg(long, value_enum, default_value_t = FindingsFormat::Text)]
    pub(crate) format: FindingsFormat,
    /// Write to a file instead of standard output
    #[arg(long, short, value_name = "FILE")]
    pub(crate) output: Option<PathBuf>,
    /// The least severity that makes the exit code 1
    #[arg(long, value_enum, default_value_t = Threshold::Error, value_name = "SEVERITY")]
    pub(crate) fail_on: Threshold,
    /// A built-in rulebook by name, or a rulebook file; without it the schedule's design code decides
    #[arg(long, value_name = "NAME|PATH")]
    pub(crate) rulebook: Option<PathBuf>,
    /// Show all findings, however many
    #[arg(long)]
    pub(crate) all: bool,
    /// Read the files as this format, whatever they look like
    #[arg(long, value_name = "FORMAT")]
    pub(crate) from: Option<String>,
    /// Show first how sheets that are not in the schedule's own layout were read: what was taken for what, and why
    #[arg(long)]
    pub(crate) reading: bool,
    /// What the sheets are, as a mapping file says it; without it restrand.toml beside the file, if there is one
    #[arg(long, value_name = "FILE")]
    pub(crate) mapping: Option<PathBuf>,
    /// The date that counts as today, as 2031-05-07; without it today in UTC
    #[arg(long, value_name = "DATE", value_parser = date)]
    pub(crate) as_of: Option<Date>,
    /// Units to show first; without it those of the schedule
    #[arg(long, value_enum)]
    pub(crate) units: Option<Units>,
    #[command(flatten)]
    pub(crate) plugins: Plugins,
}

/// Further formats.
#[derive(Debug, Default, Args)]
pub(crate) struct Plugins {
    /// A library with a further format; each file it reads is read in a process of its own
    #[arg(long = "plugin", value_name = "PATH")]
    pub(crate) paths: Vec<PathBuf>,
    #[command(flatten)]
    pub(crate) limits: PluginLimits,
}

/// What a plugin may take.
#[derive(Debug, Default, Args)]
pub(crate) struct PluginLimits {
    /// Seconds that a plugin may take for one file; without it two minutes
    #[arg(long = "plugin-time-limit", value_name = "SECONDS",
        value_parser = clap::value_parser!(u32).range(1..))]
    pub(crate) seconds: Option<u32>,
}

/// Options of `formats`.
#[derive(Debug, Args)]
pub(crate) struct Formats {
    #[command(flatten)]
    pub(crate) plugins: Plugins,
}

/// What to do with plugins.
#[derive(Debug, Subcommand)]
pub(crate) enum Plugin {
    /// Test whether a plugin keeps what a plugin must; exit code 1 if it does not
    Test(PluginTest),
    /// Serve a plugin to the process that started this one
    #[command(hide = true)]
    Serve {
        /// The library
        path: PathBuf,
    },
}

/// Options of `plugin test`.
#[derive(Debug, Args)]
pub(crate) struct PluginTest {
    /// The library
    #[arg(value_name = "PATH")]
    pub(crate) path: PathBuf,
    /// A file of the plugin's format, where it does not write what it reads
    #[arg(long = "sample", value_name = "FILE")]
    pub(crate) samples: Vec<PathBuf>,
    #[command(flatten)]
    pub(crate) limits: PluginLimits,
}

/// Options of `convert`.
#[derive(Debug, Args)]
pub(crate) struct Convert {
    /// The schedule to read; - reads it from standard input
    #[arg(value_name = "IN")]
    pub(crate) input: PathBuf,
    /// The file or folder to write, whose ending tells the format; - writes to standard output
    #[arg(value_name = "OUT")]
    pub(crate) output: PathBuf,
    /// Read the input as this format, whatever it looks like
    #[arg(long, value_name = "FORMAT")]
    pub(crate) from: Option<String>,
    /// Write this format, whatever the output is called
    #[arg(long, value_name = "FORMAT")]
    pub(crate) to: Option<String>,
    /// Units of the output, where the format leaves a choice; without it those of the schedule
    #[arg(long, value_enum)]
    pub(crate) units: Option<Units>,
    /// Write nothing if anything could not be read or carried over
    #[arg(long)]
    pub(crate) strict: bool,
    /// Say on standard error how sheets that are not in the schedule's own layout were read
    #[arg(long)]
    pub(crate) reading: bool,
    /// What the sheets are, as a mapping file says it; without it restrand.toml beside the file, if there is one
    #[arg(long, value_name = "FILE")]
    pub(crate) mapping: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) plugins: Plugins,
}

/// Options of `template`.
#[derive(Debug, Args)]
pub(crate) struct Template {
    /// The workbook to write; - writes to standard output
    #[arg(value_name = "OUT.xlsx")]
    pub(crate) output: PathBuf,
    /// Units of the headers
    #[arg(long, value_enum, default_value_t = Units::Si)]
    pub(crate) units: Units,
}

/// Options of `correct`.
#[derive(Debug, Args)]
pub(crate) struct Correct {
    /// The schedule to correct, which stays as it is; - reads it from standard input
    #[arg(required = true, value_name = "FILE")]
    pub(crate) files: Vec<PathBuf>,
    /// The corrected schedule; its ending says the format, and - writes it to standard output
    #[arg(long, short, value_name = "FILE")]
    pub(crate) output: Option<PathBuf>,
    /// Show the changes and write nothing
    #[arg(long)]
    pub(crate) dry_run: bool,
    /// Write what this rule proposes; may be given several times
    #[arg(long, value_name = "RULE")]
    pub(crate) accept: Vec<String>,
    /// Also change values that are the results of formulas
    #[arg(long)]
    pub(crate) formulas: bool,
    /// How to show the changes
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(crate) format: Format,
    /// The least severity of what is left that makes the exit code 1
    #[arg(long, value_enum, default_value_t = Threshold::Error, value_name = "SEVERITY")]
    pub(crate) fail_on: Threshold,
    /// A built-in rulebook by name, or a rulebook file; without it the schedule's design code decides
    #[arg(long, value_name = "NAME|PATH")]
    pub(crate) rulebook: Option<PathBuf>,
    /// Show all changes, however many
    #[arg(long)]
    pub(crate) all: bool,
    /// Read the file as this format, whatever it looks like
    #[arg(long, value_name = "FORMAT")]
    pub(crate) from: Option<String>,
    /// What the sheets are, as a mapping file says it; without it restrand.toml beside the file, if there is one
    #[arg(long, value_name = "FILE")]
    pub(crate) mapping: Option<PathBuf>,
    /// The date that counts as today, as 2031-05-07; without it today in UTC
    #[arg(long, value_name = "DATE", value_parser = date)]
    pub(crate) as_of: Option<Date>,
    /// Units to show and to write first; without it those of the schedule
    #[arg(long, value_enum)]
    pub(crate) units: Option<Units>,
    #[command(flatten)]
    pub(crate) plugins: Plugins,
}

/// Options of `plan`.
#[derive(Debug, Args)]
pub(crate) struct Plan {
    /// The schedule: a file, or a folder of CSV files; - reads it from standard input
    #[arg(value_name = "FILE")]
    pub(crate) file: PathBuf,
    /// The tendon by its mark; may be given several times. Without it all tendons
    #[arg(long = "tendon", value_name = "MARK")]
    pub(crate) tendons: Vec<String>,
    /// Also the tendon that mirrors each one named
    #[arg(long, requires = "tendons")]
    pub(crate) pair: bool,
    /// How to show the plans
    #[arg(long, value_enum, default_value_t = PlanFormat::Text)]
    pub(crate) format: PlanFormat,
    /// Write to a file instead of standard output
    #[arg(long, short, value_name = "FILE")]
    pub(crate) output: Option<PathBuf>,
    /// Also write the drawings, as SVG files, into this folder, which is made if it is not there
    #[arg(long, value_name = "FOLDER")]
    pub(crate) drawings: Option<PathBuf>,
    /// A built-in rulebook by name, or a rulebook file; without it the schedule's design code decides
    #[arg(long, value_name = "NAME|PATH")]
    pub(crate) rulebook: Option<PathBuf>,
    /// Read the file as this format, whatever it looks like
    #[arg(long, value_name = "FORMAT")]
    pub(crate) from: Option<String>,
    /// What the sheets are, as a mapping file says it; without it restrand.toml beside the file, if there is one
    #[arg(long, value_name = "FILE")]
    pub(crate) mapping: Option<PathBuf>,
    /// The date that counts as today, as 2031-05-07; without it today in UTC
    #[arg(long, value_name = "DATE", value_parser = date)]
    pub(crate) as_of: Option<Date>,
    /// Units to show first; without it those of the schedule
    #[arg(long, value_enum)]
    pub(crate) units: Option<Units>,
    #[command(flatten)]
    pub(crate) plugins: Plugins,
}

fn date(text: &str) -> Result<Date, String> {
    text.parse().map_err(|_| "it is not a date of the calendar; write it as 2031-05-07".to_owned())
}

fn stage(text: &str) -> Result<Stage, String> {
    Stage::of_word(text).ok_or_else(|| {
        let words: Vec<_> = Stage::WORDS.iter().map(|word| word.name).collect();
        format!("it is no stage; stages are {}", words.join(", "))
    })
}

/// Options of `explain`.
#[derive(Debug, Args)]
pub(crate) struct Explain {
    /// The rule, as space/stub
    pub(crate) rule: String,
    /// The rulebook whose limits are shown, by name or path
    #[arg(long, value_name = "NAME|PATH")]
    pub(crate) rulebook: Option<PathBuf>,
    /// Units to show first
    #[arg(long, value_enum, default_value_t = Units::Si)]
    pub(crate) units: Units,
}

/// Options of `rules`.
#[derive(Debug, Args)]
pub(crate) struct Rules {
    /// The rulebook by which severities are told, by name or path
    #[arg(long, value_name = "NAME|PATH")]
    pub(crate) rulebook: Option<PathBuf>,
}

/// What to do with mapping files.
#[derive(Debug, Subcommand)]
pub(crate) enum Mapping {
    /// Write a mapping file to begin with: what was recognised, and the questions as comments
    New(NewMapping),
}

/// Options of `mapping new`.
#[derive(Debug, Args)]
pub(crate) struct NewMapping {
    /// The file whose sheets are to be mapped; - reads it from standard input
    #[arg(value_name = "FILE")]
    pub(crate) file: PathBuf,
    /// Write to a file instead of standard output
    #[arg(long, short, value_name = "FILE")]
    pub(crate) output: Option<PathBuf>,
    /// Read the file as this format, whatever it looks like
    #[arg(long, value_name = "FORMAT")]
    pub(crate) from: Option<String>,
    #[command(flatten)]
    pub(crate) plugins: Plugins,
}

/// What to do with rulebooks.
#[derive(Debug, Subcommand)]
pub(crate) enum Rulebook {
    /// Show a rulebook as it is in force: every value with its origin
    Show(ShowRulebook),
    /// Write a rulebook to begin with: everything that can be set, as comments
    New(NewRulebook),
    /// Write what IDS 1.0 can say of a rulebook, for checkers of models; the rest is told on standard error
    Ids(IdsOfRulebook),
}

/// Options of `rulebook show`.
#[derive(Debug, Args)]
pub(crate) struct ShowRulebook {
    /// A built-in rulebook by name, or a rulebook file
    #[arg(default_value = "base", value_name = "NAME|PATH")]
    pub(crate) rulebook: PathBuf,
    /// Units to show first
    #[arg(long, value_enum, default_value_t = Units::Si)]
    pub(crate) units: Units,
}

/// Options of `rulebook new`.
#[derive(Debug, Args)]
pub(crate) struct NewRulebook {
    /// The built-in rulebook that it extends
    #[arg(long, default_value = "base", value_name = "NAME")]
    pub(crate) extends: PathBuf,
    /// Write to a file instead of standard output
    #[arg(long, short, value_name = "FILE")]
    pub(crate) output: Option<PathBuf>,
}

/// Options of `rulebook ids`.
#[derive(Debug, Args)]
pub(crate) struct IdsOfRulebook {
    /// A built-in rulebook by name, or a rulebook file
    #[arg(long, default_value = "base", value_name = "NAME|PATH")]
    pub(crate) rulebook: PathBuf,
    /// The stage of the schedule; what earlier stages require is required too
    #[arg(long, default_value = "shop_drawing", value_name = "STAGE", value_parser = stage)]
    pub(crate) stage: Stage,
    /// Write to a file instead of standard output
    #[arg(long, short, value_name = "FILE")]
    pub(crate) output: Option<PathBuf>,
}

/// Options of `schema`.
#[derive(Debug, Args)]
pub(crate) struct Schema {
    /// Of which document
    #[arg(value_enum)]
    pub(crate) name: SchemaName,
}

/// How findings are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum FindingsFormat {
    /// For people
    Text,
    /// For programs
    Json,
    /// For a screen and paper, with drawings: one file, of one input
    Html,
    /// SARIF 2.1.0, for hosts of code and their viewers
    Sarif,
    /// JUnit's XML, for build servers: a case for each rule
    Junit,
    /// A BCF 3.0 archive: a topic for each finding, for viewers of models
    Bcf,
}

/// How plans are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum PlanFormat {
    /// For people
    Text,
    /// For programs
    Json,
    /// For a screen and paper, with the drawings: one file
    Html,
}

/// How changes are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Format {
    /// For people
    Text,
    /// For programs
    Json,
}

/// When colour is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Color {
    /// On a terminal
    Auto,
    /// Always
    Always,
    /// Never
    Never,
}

/// The least severity that counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Threshold {
    /// Errors only
    Error,
    /// Warnings and errors
    Warning,
    /// Any finding
    Note,
}

impl From<Threshold> for Severity {
    fn from(threshold: Threshold) -> Self {
        match threshold {
            Threshold::Error => Self::Error,
            Threshold::Warning => Self::Warning,
            Threshold::Note => Self::Note,
        }
    }
}

/// Units that are shown first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Units {
    /// Millimetres, metres, kilonewtons, megapascals
    Si,
    /// Inches, feet, kips, ksi
    Us,
}

impl From<Units> for System {
    fn from(units: Units) -> Self {
        match units {
            Units::Si => Self::Si,
            Units::Us => Self::Us,
        }
    }
}

/// Documents that have a schema.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum SchemaName {
    /// The tendon schedule
    Schedule,
    /// The findings that check --format json writes
    Findings,
    /// The corrections that correct --format json writes
    Corrections,
    /// The replacement plans that plan --format json writes
    Plan,
    /// Rulebook files, as far as JSON Schema can say what TOML holds
    Rulebook,
}

#[cfg(test)]
mod tests {
    use super::Arguments;
    use clap::CommandFactory;

    #[test]
    fn the_command_line_is_consistent() {
        Arguments::command().debug_assert();
    }
}
