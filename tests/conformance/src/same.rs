//! A plugin gives the same, linked in and as a library of its own.

use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use restrand_intake::Reading;
use restrand_kit::{
    Budget, Bytes, Content, Frame, Output, Part, Parts, Plugin, Stopped, WriteOptions,
};
use restrand_model::System;

use crate::top;

/// Files whose name ends so, below these folders, in order.
pub fn files(folders: &[&str], ending: &str) -> Result<Vec<PathBuf>, String> {
    let mut found = Vec::new();
    for folder in folders {
        walk(&top().join(folder), ending, &mut found)?;
    }
    found.sort();
    if found.is_empty() { Err(format!("there is no .{ending}")) } else { Ok(found) }
}

fn walk(folder: &Path, ending: &str, found: &mut Vec<PathBuf>) -> Result<(), String> {
    let entries = fs::read_dir(folder).map_err(|error| format!("{}: {error}", folder.display()))?;
    for entry in entries {
        let path = entry.map_err(|error| error.to_string())?.path();
        if path.is_dir() {
            walk(&path, ending, found)?;
        } else if path.extension().is_some_and(|other| other == ending) {
            found.push(path);
        }
    }
    Ok(())
}

#[derive(Default, PartialEq)]
struct Written(BTreeMap<String, Vec<u8>>);

impl Output for Written {
    fn part(&mut self, name: &str) -> io::Result<&mut dyn io::Write> {
        Ok(self.0.entry(name.to_owned()).or_default())
    }
}

/// A file as a part.
pub fn part(path: &Path) -> Result<Bytes, String> {
    let bytes = fs::read(path).map_err(|error| format!("{}: {error}", path.display()))?;
    let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    Ok(Bytes::new(name, bytes))
}

/// What a plugin reads, as another writes it under this ending: a part for each file.
pub fn rewritten(
    from: &dyn Plugin,
    part: &dyn Part,
    to: &dyn Plugin,
    ending: &str,
) -> Result<Vec<Bytes>, String> {
    let reading = restrand_intake::read(from, Parts(&[part]), Budget::default())
        .map_err(|error| format!("{}: {error}", part.name()))?;
    let content = Content::new(&reading.schedule, &reading.provenance);
    let options = WriteOptions { system: System::Si, ending: Some(ending) };
    let mut output = Written::default();
    to.write(&content, options, &mut output)
        .map_err(|error| format!("{}: {error}", part.name()))?;
    Ok(output.0.into_iter().map(|(name, bytes)| Bytes::new(name, bytes)).collect())
}

fn frames(plugin: &dyn Plugin, parts: Parts<'_>) -> (String, Vec<String>) {
    let mut frames = Vec::new();
    let mut take = |frame: Frame| -> Result<(), Stopped> {
        frames.push(format!("{frame:?}"));
        Ok(())
    };
    let result = plugin.load(parts, Budget::default(), &mut take);
    (format!("{result:?}"), frames)
}

/// Reads and writes the files of one schedule with both, and compares frames, bytes and losses.
pub fn both(linked: &dyn Plugin, library: &dyn Plugin, files: &[Bytes]) -> Result<(), String> {
    let parts: Vec<&dyn Part> = files.iter().map(|file| file as &dyn Part).collect();
    let parts = Parts(&parts);
    let shown = parts.0.iter().map(|part| part.name()).collect::<Vec<_>>().join(", ");
    if linked.probe(parts) != library.probe(parts) {
        return Err(format!("{shown}: they are not equally sure of it"));
    }
    let (one, other) = (frames(linked, parts), frames(library, parts));
    if one.0 != other.0 {
        return Err(format!("{shown}: one comes to {}, the other to {}", one.0, other.0));
    }
    if let Some(differing) = one.1.iter().zip(&other.1).find(|(one, other)| one != other) {
        return Err(format!("{shown}: {}\nis not\n{}", differing.0, differing.1));
    }
    if one.1.len() != other.1.len() {
        return Err(format!("{shown}: {} frames and {}", one.1.len(), other.1.len()));
    }
    if one.0 != "Ok(())" {
        // Both refuse it, so there is nothing to write.
        return Ok(());
    }
    let read = |plugin: &dyn Plugin| -> Result<Reading, String> {
        restrand_intake::read(plugin, parts, Budget::default())
            .map_err(|error| format!("{shown}: {error}"))
    };
    let reading = read(linked)?;
    let content = Content::new(&reading.schedule, &reading.provenance);
    for ending in linked.describe().writes {
        for system in [System::Si, System::Us] {
            let options = WriteOptions { system, ending: Some(ending) };
            let write = |plugin: &dyn Plugin| {
                let mut output = Written::default();
                let losses = plugin.write(&content, options, &mut output);
                (format!("{losses:?}"), output)
            };
            let (one, other) = (write(linked), write(library));
            if one.0 != other.0 || one.1 != other.1 {
                return Err(format!("{shown}: written as .{ending} they are not the same"));
            }
        }
    }
    Ok(())
}
