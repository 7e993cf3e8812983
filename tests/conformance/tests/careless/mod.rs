//! Plugins that break what the host would not let pass: linked in, the suite has to see it by itself.

use libtest_mimic::{Failed, Trial};
use restrand_conformance::{Outcome, Subject, find};
use restrand_kit::{
    At, Budget, Bytes, Confidence, Content, Description, Frame, Frames, LoadError, Loss, Output,
    Parts, Plugin, RecordFrame, WriteError, WriteOptions,
};
use restrand_model::reading::{Span, Table};
use restrand_model::value::Fields;

/// What a careless plugin does wrong.
#[derive(Clone, Copy)]
enum Careless {
    GoesOn,
    RecordFirst,
    BeyondTheEnd,
    RecordsOfNothing,
}

impl Plugin for Careless {
    fn describe(&self) -> Description {
        Description { id: "careless", summary: "careless", reads: &["careless"], writes: &[] }
    }

    fn probe(&self, _: Parts<'_>) -> Confidence {
        Confidence::Perhaps
    }

    fn load(&self, parts: Parts<'_>, _: Budget, frames: &mut dyn Frames) -> Result<(), LoadError> {
        let Some(part) = parts.main() else {
            return Ok(());
        };
        if part.is_empty() && !matches!(self, Self::RecordsOfNothing) {
            return Ok(());
        }
        let table = Frame::Table(Table {
            part: part.name().to_owned(),
            list: "tendons".to_owned(),
            ..Table::default()
        });
        let end = part.len() + u64::from(matches!(self, Self::BeyondTheEnd));
        let record = Frame::Record(RecordFrame {
            table: 0,
            at: At::Span(Span { start: 0, end }),
            links: Vec::new(),
            fields: Fields::new(),
            texts: Vec::new(),
            apart: Vec::new(),
        });
        let (first, second) =
            if matches!(self, Self::RecordFirst) { (record, table) } else { (table, record) };
        for frame in [first, second] {
            let taken = frames.take(frame);
            if !matches!(self, Self::GoesOn) {
                taken?;
            }
        }
        Ok(())
    }

    fn write(
        &self,
        _: &Content<'_>,
        _: WriteOptions<'_>,
        _: &mut dyn Output,
    ) -> Result<Vec<Loss>, WriteError> {
        Err(WriteError::Unsupported("it is only read".to_owned()))
    }
}

pub(super) fn trials(trials: &mut Vec<Trial>) {
    for (plugin, case) in [
        (Careless::GoesOn, "load/stop"),
        (Careless::RecordFirst, "load/order"),
        (Careless::BeyondTheEnd, "load/places"),
        (Careless::RecordsOfNothing, "load/nothing"),
    ] {
        trials.push(Trial::test(format!("careless/{case}"), move || seen(plugin, case)));
    }
}

fn seen(plugin: Careless, case: &str) -> Result<(), Failed> {
    let samples = [Bytes::new("a.careless", b"anything".to_vec())];
    let ask = |parts: Parts<'_>| Ok::<_, LoadError>(plugin.probe(parts));
    let subject = Subject { plugin: &plugin, ask: &ask, samples: &samples };
    match find(case).map(|case| case.run(&subject)) {
        Some(Outcome::Fail(_)) => Ok(()),
        other => Err(format!("it was to fail, but it is {other:?}").into()),
    }
}
