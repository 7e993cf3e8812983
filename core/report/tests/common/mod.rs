//! Schedules in memory, read and written again, for the tests of reports.
#![allow(dead_code, unreachable_pub, reason = "each test takes what it needs")]
#![allow(clippy::unwrap_used, reason = "helpers of tests")]

use std::io::{self, Write};

use restrand_check::rulebook::built_in_force;
use restrand_intake::Reading;
use restrand_kit::{Budget, Bytes, Content, Output, Part, Parts, Plugin, WriteOptions};
use restrand_report::Sources;
use restrand_rules::Rulebook;
use restrand_workbook::Workbook;

/// An input that is looked at again.
pub struct Again<'a>(pub &'a Bytes);

impl Sources for Again<'_> {
    fn window(&self, _: &str, start: u64, length: usize) -> Option<Vec<u8>> {
        let mut bytes = vec![0; length];
        let count = self.0.read_at(start, &mut bytes).ok()?;
        bytes.truncate(count);
        Some(bytes)
    }
}

#[derive(Default)]
struct Written(Vec<u8>);

impl Output for Written {
    fn part(&mut self, _: &str) -> io::Result<&mut dyn Write> {
        Ok(&mut self.0)
    }
}

pub fn read(plugin: &dyn Plugin, bytes: &Bytes) -> Reading {
    let parts: [&dyn Part; 1] = [bytes];
    restrand_intake::read(plugin, Parts(&parts), Budget::default()).unwrap()
}

/// The same schedule in a workbook.
pub fn in_workbook(reading: &Reading) -> (Bytes, Reading) {
    let mut written = Written::default();
    let options = WriteOptions { ending: Some("xlsx"), ..WriteOptions::default() };
    let content = Content::new(&reading.schedule, &reading.provenance);
    Workbook.write(&content, options, &mut written).unwrap();
    let bytes = Bytes::new("beck.xlsx", written.0);
    let reading = read(&Workbook, &bytes);
    (bytes, reading)
}

pub fn base() -> Rulebook {
    built_in_force("base").unwrap()
}

/// Lets a schema take no member that it does not name.
pub fn close(schema: &mut serde_json::Value) {
    match schema {
        serde_json::Value::Object(members) => {
            if let Some(open) = members.get_mut("additionalProperties") {
                *open = serde_json::Value::Bool(false);
            }
            members.values_mut().for_each(close);
        }
        serde_json::Value::Array(items) => items.iter_mut().for_each(close),
        _ => {}
    }
}
