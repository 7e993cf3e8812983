//! The program `restrand`: arguments, files, the terminal, exit codes.
//!
//! What is found and how it is worded is decided below; here is only what touches the machine.

mod arguments;
mod check;
mod configuration;
mod convert;
mod correct;
mod done;
mod fault;
mod gathered;
mod input;
mod lookup;
mod mapping;
mod model;
mod output;
mod parts;
mod plan;
mod plugin_test;
mod plugins;
mod rulebook;
mod scratch;
mod spare;
mod template;
mod today;

use std::io::ErrorKind;
use std::process::ExitCode;

use clap::Parser;

use arguments::{Arguments, Command, Plugin};
use fault::Fault;
use output::Streams;

/// How a run ended; the worst input decides.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum End {
    /// Nothing at or above the threshold.
    Clean,
    /// Findings at or above it.
    Findings,
    /// Read, but there is no tendon in it.
    NoTendon,
    /// A file that cannot be read as a whole; or wrong usage, or configuration.
    Unreadable,
    /// The program or a plugin failed.
    Failed,
}

impl End {
    const fn code(self) -> u8 {
        match self {
            Self::Clean => 0,
            Self::Findings => 1,
            Self::Unreadable => 2,
            Self::Failed => 3,
            Self::NoTendon => 4,
        }
    }
}

fn main() -> ExitCode {
    restrand_memory::keep_freed();
    restrand_check::take_part();
    fault::quiet_panics();
    // Prints help and version to stdout with code 0, and wrong usage to stderr with code 2.
    let arguments = Arguments::parse();
    let streams = Streams::new(arguments.color);
    let result = match arguments.command {
        Command::Check(options) => check::run(&options, &streams),
        Command::Convert(options) => convert::run(&options, &streams),
        Command::Template(options) => template::run(&options, &streams),
        Command::Correct(options) => correct::run(&options, &streams),
        Command::Plan(options) => plan::run(&options, &streams),
        Command::Explain(options) => lookup::explain(&options, &streams),
        Command::Rules(options) => lookup::rules(&options, &streams),
        Command::Mapping(arguments::Mapping::New(options)) => mapping::new(&options, &streams),
        Command::Rulebook(options) => lookup::rulebook(&options, &streams),
        Command::Formats(options) => lookup::formats(&options, &streams),
        Command::Plugin(Plugin::Test(options)) => plugin_test::run(&options),
        Command::Plugin(Plugin::Serve { path }) => plugins::serve(&path),
        Command::Schema(options) => lookup::schema(&options, &streams),
    };
    let end = match result {
        Ok(end) => end,
        Err(fault) => {
            streams.complain(&fault);
            match fault {
                Fault::Usage(_) | Fault::Rulebook { .. } => End::Unreadable,
                // A name that cannot be written to is the user's to mend.
                Fault::Output { error, .. }
                    if matches!(
                        error.kind(),
                        ErrorKind::NotFound
                            | ErrorKind::NotADirectory
                            | ErrorKind::PermissionDenied
                            | ErrorKind::ReadOnlyFilesystem
                    ) =>
                {
                    End::Unreadable
                }
                Fault::Plugin { .. } | Fault::Output { .. } => End::Failed,
            }
        }
    };
    ExitCode::from(end.code())
}

#[cfg(test)]
mod tests {
    use super::End;

    #[test]
    fn the_worst_end_decides() {
        let mut ends = [End::Failed, End::Clean, End::NoTendon, End::Unreadable, End::Findings];
        ends.sort();
        assert_eq!(ends.map(End::code), [0, 1, 4, 2, 3]);
    }
}
