//! The user's configuration, in the folder that the system has for such files.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use etcetera::BaseStrategy;
use serde::Deserialize;

use crate::fault::Fault;

/// What a user may configure.
#[derive(Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Configuration {
    /// The folder whose libraries are used as plugins; beside the file, if it is not a whole path.
    pub(crate) plugins: Option<PathBuf>,
}

/// The configuration; nothing is configured where there is no file.
pub(crate) fn read() -> Result<Configuration, Fault> {
    // Without a home there is no configuration either.
    let Ok(folders) = etcetera::choose_base_strategy() else {
        return Ok(Configuration::default());
    };
    let path = folders.config_dir().join("restrand").join("config.toml");
    match fs::read_to_string(&path) {
        Ok(text) => of_text(&path, &text),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(Configuration::default()),
        Err(error) => Err(Fault::Usage(format!(
            "the configuration {} cannot be read: {error}",
            path.display()
        ))),
    }
}

fn of_text(path: &Path, text: &str) -> Result<Configuration, Fault> {
    let mut configuration: Configuration = toml::from_str(text).map_err(|error| {
        let line = error.span().map_or(0, |span| text[..span.start].matches('\n').count()) + 1;
        Fault::Usage(format!(
            "the configuration {}, line {line}, cannot be used: {}",
            path.display(),
            error.message()
        ))
    })?;
    if let (Some(folder), Some(beside)) = (&mut configuration.plugins, path.parent()) {
        *folder = beside.join(&*folder);
    }
    Ok(configuration)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(text: &str) -> String {
        match of_text(Path::new("/home/config.toml"), text) {
            Err(Fault::Usage(why)) => why,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn a_folder_is_beside_the_file_unless_it_is_a_whole_path() {
        let folder = |text| of_text(Path::new("/home/config.toml"), text).unwrap().plugins;
        assert_eq!(folder(""), None);
        assert_eq!(folder("plugins = \"mine\""), Some(PathBuf::from("/home/mine")));
        assert_eq!(folder("plugins = \"/opt/all\""), Some(PathBuf::from("/opt/all")));
    }

    #[test]
    fn what_cannot_be_used_is_told_at_its_line() {
        assert!(said("# mine\nplugins = 7\n").contains("line 2"));
        assert!(said("\n\nplugin = \"x\"\n").contains("line 3"));
        assert!(said("plugins = \"x\n").contains("line 1"));
    }
}
