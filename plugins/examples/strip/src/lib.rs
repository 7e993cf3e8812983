//! A worked example of a format plugin: a text file with a record on each line.
//!
//! The README beside this crate says what the format looks like.

mod read;
mod write;

use restrand_kit::{
    Budget, Confidence, Content, Description, Frames, LoadError, Loss, Output, Parts, WriteError,
    WriteOptions,
};

restrand_kit::export_plugin!(Strip);

/// The first line of every file.
const HEAD: &str = "strip 1";

/// The plugin for strips.
struct Strip;

impl restrand_kit::Plugin for Strip {
    fn describe(&self) -> Description {
        Description {
            id: "strip",
            summary: "example format: text with a record on each line",
            reads: &["strip"],
            writes: &["strip"],
        }
    }

    fn probe(&self, parts: Parts<'_>) -> Confidence {
        let Some(part) = parts.main() else {
            return Confidence::No;
        };
        let mut head = [0; HEAD.len()];
        match part.read_at(0, &mut head) {
            Ok(count) if head[..count] == *HEAD.as_bytes() => Confidence::Sure,
            _ => Confidence::No,
        }
    }

    fn load(
        &self,
        parts: Parts<'_>,
        budget: Budget,
        frames: &mut dyn Frames,
    ) -> Result<(), LoadError> {
        read::load(parts, budget, frames)
    }

    fn write(
        &self,
        content: &Content<'_>,
        options: WriteOptions<'_>,
        output: &mut dyn Output,
    ) -> Result<Vec<Loss>, WriteError> {
        match options.ending {
            None | Some("strip") => write::write(content.schedule, output),
            Some(ending) => {
                Err(WriteError::Unsupported(format!("a strip is not written as .{ending}")))
            }
        }
    }
}
