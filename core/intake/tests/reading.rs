//! A small part is read in one thread and a large one in two: both come to the same.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Mutex;
use std::thread::{self, ThreadId};

use restrand_intake::read;
use restrand_kit::{
    At, Budget, Bytes, Confidence, Content, Description, Frame, Frames, LoadError, Loss, Output,
    Part, Parts, Plugin, RecordFrame, WriteError, WriteOptions,
};
use restrand_model::reading::Table;
use restrand_model::value::{Fields, Name, Value};

/// Gives so many tendons, and notes in which thread.
struct Tendons {
    count: u32,
    end: End,
    thread: Mutex<Option<ThreadId>>,
}

#[derive(Clone, Copy)]
enum End {
    Whole,
    CutShort,
    Panic,
}

impl Tendons {
    fn new(count: u32, end: End) -> Self {
        Self { count, end, thread: Mutex::default() }
    }
}

impl Plugin for Tendons {
    fn describe(&self) -> Description {
        Description { id: "tendons", summary: "tendons", reads: &["tendons"], writes: &[] }
    }

    fn probe(&self, _: Parts<'_>) -> Confidence {
        Confidence::Perhaps
    }

    fn load(&self, _: Parts<'_>, _: Budget, frames: &mut dyn Frames) -> Result<(), LoadError> {
        *self.thread.lock().expect("nothing panics with it") = Some(thread::current().id());
        let table = Table {
            part: "a.xlsx".into(),
            sheet: Some("Tendons".into()),
            list: "Tendons".into(),
            ..Table::default()
        };
        frames.take(Frame::Table(table))?;
        for row in 0..self.count {
            let fields: Fields = [
                (Name::Known("mark"), Value::from(&*format!("T{row}"))),
                // No field of a tendon takes it.
                (Name::Known("strand_count"), Value::from("many")),
            ]
            .into_iter()
            .collect();
            frames.take(Frame::Record(RecordFrame {
                table: 0,
                at: At::Row(row),
                links: Vec::new(),
                fields,
                texts: Vec::new(),
                apart: Vec::new(),
            }))?;
        }
        match self.end {
            End::Whole => Ok(()),
            End::CutShort => Err(std::io::Error::from(std::io::ErrorKind::UnexpectedEof).into()),
            End::Panic => panic!("no bore"),
        }
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

/// What is read of a small part and of a large one.
fn both<T>(count: u32, end: End, of: impl Fn(&Tendons, Parts<'_>) -> T) -> [T; 2] {
    [(1_000, false), (1_000_000, true)].map(|(length, is_beside)| {
        let part = Bytes::new("a.xlsx", vec![b' '; length]);
        let parts: [&dyn Part; 1] = [&part];
        let plugin = Tendons::new(count, end);
        let read = of(&plugin, Parts(&parts));
        let thread = plugin.thread.lock().expect("nothing panics with it").expect("it was asked");
        assert_eq!(thread != thread::current().id(), is_beside, "{length} bytes");
        read
    })
}

#[test]
fn a_large_part_reads_as_a_small_one() {
    for count in [0, 1, 255, 256, 257, 3_000] {
        let [small, large] = both(count, End::Whole, |plugin, parts| {
            read(plugin, parts, Budget::default()).expect("it is whole")
        });
        assert_eq!(small.schedule.tendons.len(), count as usize);
        assert_eq!(small.schedule.tendons, large.schedule.tendons);
        assert_eq!(small.problems, large.problems);
        assert_eq!(small.problems.len(), count as usize);
    }
}

#[test]
fn an_error_a_panic_and_too_many_problems_end_both_alike() {
    for result in both(300, End::CutShort, |plugin, parts| read(plugin, parts, Budget::default())) {
        assert!(matches!(result, Err(LoadError::Medium(_))));
    }
    for panicked in both(300, End::Panic, |plugin, parts| {
        catch_unwind(AssertUnwindSafe(|| read(plugin, parts, Budget::default()))).err()
    }) {
        let panicked = panicked.expect("it panics");
        assert_eq!(panicked.downcast_ref::<&str>(), Some(&"no bore"));
    }
    for result in both(150_000, End::Whole, |plugin, parts| read(plugin, parts, Budget::default()))
    {
        let Err(LoadError::Unreadable { why, .. }) = result else { panic!("it is refused") };
        assert!(why.contains("more than 100,000"), "{why}");
    }
}
