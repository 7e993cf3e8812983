//! The developers' tool: `cargo dev …`.
#![allow(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a tool for developers at a terminal"
)]

use std::error::Error;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::{Parser, Subcommand, ValueEnum};
use restrand_dev::{bench, generate};

/// Generates what the repository keeps generated, and makes and reads files for benches.
#[derive(Parser)]
#[command(name = "cargo dev")]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Write the demo bridge's editions, the list of its planted faults, the worked example, and the schema
    Generate {
        /// Only say which files are not as they would be written
        #[arg(long)]
        check: bool,
    },
    /// Write a file for benches
    BenchFile {
        /// What it holds
        kind: BenchKind,
        /// The file to write
        out: PathBuf,
    },
    /// Read a file as barely as can be, and say how long it took: all cells of a workbook, all events of XML, or a STEP
    /// file as ifcopenshell opens it
    BareRead {
        /// The .xlsx, .ifcxml or .ifc file
        file: PathBuf,
    },
    /// Read a model to records, drop them, and say how long it took
    Load {
        /// The .ifcxml or .ifc file
        file: PathBuf,
    },
    /// Stress and seat tendons of six deviators each, and say how long it took
    Stressing {
        /// How many
        #[arg(default_value_t = 100_000)]
        tendons: u32,
    },
    /// Read a workbook to typed, schema-checked records, and say how long it took
    TypedRead {
        /// The workbook
        file: PathBuf,
    },
}

#[derive(Clone, Copy, ValueEnum)]
enum BenchKind {
    /// 60 tendons with all that hangs on them
    Small,
    /// 2,000 tendons with all that hangs on them
    Children,
    /// One sheet of 100,000 tendons and 40 columns, nothing else
    Flat,
    /// A model of 800 tendons with all that hangs on them, as .ifc or .ifcxml by its ending
    Model,
}

fn main() -> ExitCode {
    restrand_memory::keep_freed();
    restrand_memory::use_large_pages(true);
    match run(Arguments::parse().command) {
        Ok(code) => code,
        Err(error) => {
            eprintln!("error: {error}");
            ExitCode::FAILURE
        }
    }
}

fn run(command: Command) -> Result<ExitCode, Box<dyn Error>> {
    match command {
        Command::Generate { check: false } => {
            for (path, bytes) in generate::write()? {
                println!("{bytes:>9} {path}");
            }
        }
        Command::Generate { check: true } => {
            let stale = generate::out_of_date()?;
            for path in &stale {
                eprintln!("{path} is out of date: run `cargo dev generate`");
            }
            if !stale.is_empty() {
                return Ok(ExitCode::FAILURE);
            }
        }
        Command::BenchFile { kind, out } => bench_file(kind, &out)?,
        Command::BareRead { file } => say(&bench::bare_read(&file)?),
        Command::Load { file } => say(&bench::load(&file)?),
        Command::Stressing { tendons } => {
            let done = bench::stressing_time(tendons)?;
            println!(
                "{tendons} tendons in {:.1} ms; elongations and anchor stresses add up to {:.6e}",
                done.time.as_secs_f64() * 1000.0,
                done.sum
            );
        }
        Command::TypedRead { file } => {
            let read = bench::typed_read(&file)?;
            println!(
                "{} records in {:.1} ms",
                read.counts.records,
                read.time.as_secs_f64() * 1000.0
            );
        }
    }
    Ok(ExitCode::SUCCESS)
}

fn bench_file(kind: BenchKind, out: &Path) -> Result<(), bench::BenchError> {
    match kind {
        BenchKind::Small => bench::with_children(bench::SMALL, out),
        BenchKind::Children => bench::with_children(bench::CHILDREN, out),
        BenchKind::Flat => bench::flat(out),
        BenchKind::Model => bench::model(bench::MODEL, out),
    }
}

fn say(read: &bench::BareRead) {
    let bench::BareRead { count, what, time, peak_bytes } = read;
    let peak = peak_bytes.map(|bytes| format!(", at most {} MiB", bytes >> 20)).unwrap_or_default();
    println!("{count} {what} in {:.1} ms{peak}", time.as_secs_f64() * 1000.0);
}
