//! Builds the libraries that are tested.

use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::top;

/// The library that a package makes, as this workspace's cargo builds it.
pub fn package(names: &[&str]) -> Result<Vec<PathBuf>, String> {
    let mut command = Command::new(env!("CARGO"));
    command.current_dir(top()).args(["build", "--quiet", "--offline", "--message-format=json"]);
    if !cfg!(debug_assertions) {
        command.arg("--release");
    }
    for name in names {
        command.args(["--package", name]);
    }
    let output = command.output().map_err(|error| format!("cargo: {error}"))?;
    if !output.status.success() {
        return Err(String::from_utf8_lossy(&output.stderr).into_owned());
    }
    let messages: Vec<serde_json::Value> = output
        .stdout
        .split(|byte| *byte == b'\n')
        .filter_map(|line| serde_json::from_slice(line).ok())
        .collect();
    names.iter().map(|name| library(&messages, name)).collect()
}

fn library(messages: &[serde_json::Value], package: &str) -> Result<PathBuf, String> {
    messages
        .iter()
        .filter(|message| {
            let manifest = message["manifest_path"].as_str().unwrap_or_default();
            let text = std::fs::read_to_string(manifest).unwrap_or_default();
            text.contains(&format!("name = \"{package}\"\n"))
        })
        .flat_map(|message| message["filenames"].as_array().into_iter().flatten())
        .filter_map(|path| path.as_str().map(PathBuf::from))
        .find(|path| {
            path.extension()
                .is_some_and(|ending| ending.to_str() == Some(std::env::consts::DLL_EXTENSION))
        })
        .ok_or_else(|| format!("{package} made no library"))
}

/// The folder of the C header.
fn include() -> OsString {
    top().join("core/plugin/abi/include").into_os_string()
}

/// The worked example in C, built as its README says.
pub fn tally(folder: &Path) -> Result<PathBuf, String> {
    let library = folder.join("tally.so");
    let mut command = Command::new("make");
    command.arg("--silent").arg("-C").arg(top().join("plugins/examples/tally"));
    command.arg(format!("OUT={}", library.display()));
    run(command)?;
    Ok(library)
}

/// The plugin in C that has this fault, as `ABORT`.
pub fn fault(folder: &Path, fault: &str) -> Result<PathBuf, String> {
    let library = folder.join(format!("{fault}.so"));
    let mut command = Command::new("cc");
    command.args(["-std=gnu11", "-O0", "-Wall", "-fPIC", "-shared", "-I"]).arg(include());
    command.arg(format!("-DFAULT_{fault}")).arg("-o").arg(&library);
    command.arg(top().join("tests/conformance/plugins/faults/faults.c"));
    run(command)?;
    Ok(library)
}

fn run(mut command: Command) -> Result<(), String> {
    let output = command.output().map_err(|error| format!("{command:?}: {error}"))?;
    if output.status.success() {
        return Ok(());
    }
    Err(format!("{command:?}: {}", String::from_utf8_lossy(&output.stderr)))
}
