//! Runs a plugin and builds the schedule beside it.

use restrand_kit::recognise::Mapping;
use restrand_kit::{Budget, LoadError, Parts, Plugin};

use crate::Reading;
use crate::build::Builder;

/// Reads parts into a schedule.
///
/// # Errors
/// The parts as a whole cannot be read.
pub fn read(plugin: &dyn Plugin, parts: Parts<'_>, budget: Budget) -> Result<Reading, LoadError> {
    read_mapped(plugin, parts, budget, &Mapping::default())
}

/// Reads parts into a schedule, with what the user says of sheets that are not in the schedule's own layout.
///
/// # Errors
/// The parts as a whole cannot be read.
#[cfg(not(feature = "threads"))]
pub fn read_mapped(
    plugin: &dyn Plugin,
    parts: Parts<'_>,
    budget: Budget,
    mapping: &Mapping,
) -> Result<Reading, LoadError> {
    let mut builder = Builder::new();
    let loaded = plugin.load_mapped(parts, budget, mapping, &mut builder);
    builder.finish(loaded)
}

/// Reads parts into a schedule, with what the user says of sheets that are not in the schedule's own layout: the
/// plugin reads in a thread of its own, records are checked in this one.
///
/// # Errors
/// The parts as a whole cannot be read.
#[cfg(feature = "threads")]
pub fn read_mapped(
    plugin: &dyn Plugin,
    parts: Parts<'_>,
    budget: Budget,
    mapping: &Mapping,
) -> Result<Reading, LoadError> {
    use std::sync::mpsc;

    use restrand_kit::{Frame, Frames, Stopped};

    /// Frames that travel together: enough that waiting costs nothing beside the reading.
    const BATCH: usize = 256;
    /// Batches that may wait, which bounds the memory between the two threads.
    const WAITING: usize = 8;

    /// Gathers frames and sends them on by the batch.
    struct Sender {
        batch: Vec<Frame>,
        channel: mpsc::SyncSender<Vec<Frame>>,
    }

    impl Sender {
        fn flush(&mut self) -> Result<(), Stopped> {
            let batch = std::mem::replace(&mut self.batch, Vec::with_capacity(BATCH));
            self.channel.send(batch).map_err(|_| Stopped)
        }
    }

    impl Frames for Sender {
        fn take(&mut self, frame: Frame) -> Result<(), Stopped> {
            self.batch.push(frame);
            if self.batch.len() >= BATCH { self.flush() } else { Ok(()) }
        }
    }

    std::thread::scope(|scope| {
        let (channel, batches) = mpsc::sync_channel(WAITING);
        let reading = scope.spawn(move || {
            let mut sender = Sender { batch: Vec::with_capacity(BATCH), channel };
            let result = plugin.load_mapped(parts, budget, mapping, &mut sender);
            // The builder has gone only if it panicked, which the join below brings to light.
            let _ = sender.flush();
            result
        });
        let mut builder = Builder::new();
        'taking: for batch in &batches {
            for frame in batch {
                if builder.take(frame).is_err() {
                    break 'taking;
                }
            }
        }
        // A plugin that waits for room learns here that nobody takes more.
        drop(batches);
        match reading.join() {
            Ok(loaded) => builder.finish(loaded),
            Err(panic) => std::panic::resume_unwind(panic),
        }
    })
}
