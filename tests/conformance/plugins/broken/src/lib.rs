//! A plugin that breaks stated cases of the conformance suite, to show that they can fail.
//!
//! It is sure of every file, reads the clock, panics at files that were cut short, aborts at other
//! damage, hangs at a part that cannot be read, writes the same whatever it is given, and patches at random.

use std::time::SystemTime;

use restrand_kit::{
    At, Budget, Confidence, Content, Description, Frame, Frames, LoadError, Loss, Output, Part,
    Parts, RecordFrame, WriteError, WriteOptions,
};
use restrand_model::reading::{Span, Table};
use restrand_model::value::{Fields, Name, Value};

restrand_kit::export_plugin!(Broken);

struct Broken;

const WHOLE: &[u8] = b"the only file of this format\n";

impl restrand_kit::Plugin for Broken {
    fn describe(&self) -> Description {
        Description {
            id: "broken",
            summary: "breaks what a plugin must keep",
            reads: &["broken"],
            writes: &["broken"],
        }
    }

    fn probe(&self, _: Parts<'_>) -> Confidence {
        Confidence::Sure
    }

    fn load(&self, parts: Parts<'_>, _: Budget, frames: &mut dyn Frames) -> Result<(), LoadError> {
        let Some(part) = parts.main() else {
            return Ok(());
        };
        let bytes = read(part);
        if bytes.is_empty() {
            return Ok(());
        }
        if bytes != WHOLE {
            assert!(!WHOLE.starts_with(&bytes), "the file ends too early");
            std::process::abort();
        }
        let table =
            Table { part: part.name().to_owned(), list: "tendons".to_owned(), ..Table::default() };
        frames.take(Frame::Table(table))?;
        for _ in 0..2 {
            let nanos = SystemTime::UNIX_EPOCH.elapsed().unwrap_or_default().as_nanos();
            let mut fields = Fields::new();
            fields.push(Name::from("mark"), Value::from(nanos.to_string().as_str()));
            let at = At::Span(Span { start: 0, end: part.len() });
            let (links, texts, apart) = (Vec::new(), Vec::new(), Vec::new());
            let record = RecordFrame { table: 0, at, links, fields, texts, apart };
            frames.take(Frame::Record(record))?;
        }
        Ok(())
    }

    fn write(
        &self,
        _: &Content<'_>,
        _: WriteOptions<'_>,
        output: &mut dyn Output,
    ) -> Result<Vec<Loss>, WriteError> {
        output.part("file.broken")?.write_all(WHOLE)?;
        Ok(Vec::new())
    }

    fn patch(
        &self,
        _: Parts<'_>,
        _: &Content<'_>,
        _: WriteOptions<'_>,
        output: &mut dyn Output,
    ) -> Result<Vec<Loss>, WriteError> {
        output.part("file.broken")?.write_all(b"something else\n")?;
        Ok(Vec::new())
    }
}

/// Reads a part, and tries for ever where it cannot be read.
fn read(part: &dyn Part) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut buffer = [0; 64];
    loop {
        match part.read_at(bytes.len() as u64, &mut buffer) {
            Ok(0) => return bytes,
            Ok(count) => bytes.extend_from_slice(&buffer[..count]),
            Err(_) => {}
        }
    }
}
