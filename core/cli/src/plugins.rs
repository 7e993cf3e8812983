//! The formats: those that come with the program, and those of plugins that the user named; and which of them
//! a file is.
//!
//! Plugins come from the command line and from the folder that the user's configuration names, never from the
//! folder in which somebody happens to stand.

use std::env::consts::DLL_EXTENSION;
use std::ffi::OsString;
use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;

use restrand_host::{HostError, Isolated, Limits, Server};
use restrand_kit::{Confidence, Description, LoadError, Parts, Plugin};
use restrand_model::reading::Place;

use crate::arguments::{PluginLimits, Plugins};
use crate::fault::Fault;
use crate::{End, configuration};

/// The formats that come with the program, in the order in which they are asked.
static BUILT_IN: &[&dyn Plugin] = &[
    &restrand_workbook::Workbook,
    &restrand_json::Json,
    &restrand_csv::Csv,
    &restrand_ifcspf::IfcSpf,
    &restrand_ifcxml::IfcXml,
];

/// A format.
enum Format {
    BuiltIn(&'static dyn Plugin),
    Foreign(Isolated),
}

impl Format {
    fn plugin(&self) -> &dyn Plugin {
        match self {
            Self::BuiltIn(plugin) => *plugin,
            Self::Foreign(plugin) => plugin,
        }
    }

    fn ask(&self, parts: Parts<'_>) -> Result<Confidence, LoadError> {
        match self {
            Self::BuiltIn(plugin) => Ok(plugin.probe(parts)),
            Self::Foreign(plugin) => plugin.ask(parts),
        }
    }

    fn origin(&self) -> String {
        match self {
            Self::BuiltIn(_) => "built in".to_owned(),
            Self::Foreign(plugin) => plugin.path().display().to_string(),
        }
    }
}

/// Every format there is in this run.
pub(crate) struct Registry(Vec<Format>);

impl Registry {
    /// The formats that come with the program.
    pub(crate) fn built_in() -> Self {
        Self(BUILT_IN.iter().map(|plugin| Format::BuiltIn(*plugin)).collect())
    }

    /// The formats that come with the program, then those of plugins.
    pub(crate) fn new(options: &Plugins) -> Result<Self, Fault> {
        let mut registry = Self::built_in();
        let mut paths = configured()?;
        paths.extend(options.paths.iter().cloned());
        for path in paths {
            let plugin = open(&path, &options.limits)?;
            let id = plugin.describe().id;
            if let Some(other) = registry.0.iter().find(|other| other.plugin().describe().id == id)
            {
                return Err(Fault::Usage(format!(
                    "two formats are called \"{id}\": {} and {}; name one of them only",
                    other.origin(),
                    path.display()
                )));
            }
            registry.0.push(Format::Foreign(plugin));
        }
        Ok(registry)
    }

    /// What each format is and where it came from.
    pub(crate) fn descriptions(&self) -> Vec<(Description, String)> {
        self.0.iter().map(|format| (format.plugin().describe(), format.origin())).collect()
    }

    /// The format of this name.
    pub(crate) fn named(&self, id: &str) -> Result<&dyn Plugin, Fault> {
        let plugins = || self.0.iter().map(Format::plugin);
        plugins().find(|plugin| plugin.describe().id == id).ok_or_else(|| {
            let ids: Vec<_> = plugins().map(|plugin| plugin.describe().id).collect();
            Fault::Usage(format!("no format is called \"{id}\"; there are {}", ids.join(", ")))
        })
    }

    /// The format that the parts are: the one that is sure, or else one whose ending fits.
    pub(crate) fn of(&self, parts: Parts<'_>) -> Result<&dyn Plugin, LoadError> {
        let mut perhaps = None;
        for format in &self.0 {
            match format.ask(parts)? {
                Confidence::Sure => return Ok(format.plugin()),
                Confidence::Perhaps => perhaps = perhaps.or(Some(format.plugin())),
                Confidence::No => {}
            }
        }
        perhaps.ok_or_else(|| LoadError::Unreadable {
            place: Place::Part { part: parts.main().map_or("", |part| part.name()).to_owned() },
            why: "it is of no format that is read".to_owned(),
            help: self.help(),
        })
    }

    /// The format that writes files of this name, and the ending it stands for there; `to` names the format, if the
    /// user did.
    pub(crate) fn writer(
        &self,
        to: Option<&str>,
        ending: Option<&str>,
    ) -> Result<(&dyn Plugin, Option<&'static str>), Fault> {
        let known = |plugin: &dyn Plugin| {
            let ending = ending?;
            plugin
                .describe()
                .writes
                .iter()
                .copied()
                .find(|known| known.eq_ignore_ascii_case(ending))
        };
        if let Some(to) = to {
            let plugin = self.named(to)?;
            return match plugin.describe().writes {
                [] => Err(Fault::Usage(format!("the format {to} is read only"))),
                writes => match (known(plugin), ending) {
                    // A file that is called after another format is taken for what it is not.
                    (None, Some(ending)) if self.is_ending(ending) => {
                        let own: Vec<_> = writes.iter().map(|own| format!(".{own}")).collect();
                        Err(Fault::Usage(format!(
                            "the format {to} is not written as .{ending}; name a file that ends in {}",
                            own.join(" or ")
                        )))
                    }
                    (known, _) => Ok((plugin, known)),
                },
            };
        }
        let plugins = || self.0.iter().map(Format::plugin);
        match plugins().find_map(|plugin| Some((plugin, known(plugin)?))) {
            Some((plugin, ending)) => Ok((plugin, Some(ending))),
            None => {
                let formats: Vec<_> = plugins()
                    .map(|plugin| plugin.describe())
                    .filter(|format| !format.writes.is_empty())
                    .map(|format| {
                        let endings: Vec<_> =
                            format.writes.iter().map(|ending| format!(".{ending}")).collect();
                        format!("{} ({})", format.id, endings.join(" "))
                    })
                    .collect();
                Err(Fault::Usage(format!(
                    "the name of the output does not tell its format; formats that are written: {}; name one \
                     with --to",
                    formats.join(", ")
                )))
            }
        }
    }

    /// Whether files of some format end so.
    fn is_ending(&self, ending: &str) -> bool {
        self.0.iter().map(|format| format.plugin().describe()).any(|format| {
            let mut endings = format.reads.iter().chain(format.writes);
            endings.any(|known| known.eq_ignore_ascii_case(ending))
        })
    }

    /// What files are read.
    fn help(&self) -> String {
        let formats: Vec<_> = self
            .0
            .iter()
            .map(|format| {
                let format = format.plugin().describe();
                let endings: Vec<_> =
                    format.reads.iter().map(|ending| format!(".{ending}")).collect();
                format!("{} ({})", format.id, endings.join(" "))
            })
            .collect();
        format!(
            "Formats that are read: {}; save the schedule as one of them, or name its format with --from",
            formats.join(", ")
        )
    }
}

/// The libraries in the folder that the configuration names, in order of their names.
fn configured() -> Result<Vec<PathBuf>, Fault> {
    let Some(folder) = configuration::read()?.plugins else {
        return Ok(Vec::new());
    };
    let fault = |error| {
        Fault::Usage(format!(
            "the folder of plugins {} cannot be read: {error}; the configuration names it",
            folder.display()
        ))
    };
    let mut found = Vec::new();
    for entry in fs::read_dir(&folder).map_err(fault)? {
        let path = entry.map_err(fault)?.path();
        if path.extension().is_some_and(|ending| ending == DLL_EXTENSION) {
            found.push(path);
        }
    }
    found.sort();
    Ok(found)
}

/// The plugin of a library.
pub(crate) fn open(path: &Path, limits: &PluginLimits) -> Result<Isolated, Fault> {
    let program = std::env::current_exe().map_err(|error| Fault::Plugin {
        why: format!("the program does not know where it is: {error}"),
        help: "start it by its whole path".to_owned(),
    })?;
    let server = Server { program, arguments: ["plugin", "serve"].map(OsString::from).to_vec() };
    let mut most = Limits::default();
    if let Some(seconds) = limits.seconds {
        most.time = Duration::from_secs(seconds.into());
    }
    Isolated::open(path, server, most).map_err(|error| match error {
        HostError::NoSuchFile(_) => Fault::Usage(format!("--plugin: {error}; {}", error.help())),
        error => Fault::Plugin {
            why: format!("the plugin {} cannot be used: {error}", path.display()),
            help: error.help(),
        },
    })
}

/// Serves a plugin to the process that started this one.
pub(crate) fn serve(path: &Path) -> Result<End, Fault> {
    restrand_host::serve(path).map(|()| End::Clean).map_err(|error| Fault::Plugin {
        why: format!("the plugin cannot be served: {error}"),
        help: "this is for restrand itself to call".to_owned(),
    })
}
