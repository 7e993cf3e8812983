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

/// Bytes of the parts from which on a thread of its own pays for the plugin: plugins share out what takes long
/// themselves.
#[cfg(feature = "threads")]
const WORTH_A_THREAD: u64 = 1_000_000;

/// Reads parts into a schedule, with what the user says of sheets that are not in the schedule's own layout.
///
/// # Errors
/// The parts as a whole cannot be read.
pub fn read_mapped(
    plugin: &dyn Plugin,
    parts: Parts<'_>,
    budget: Budget,
    mapping: &Mapping,
) -> Result<Reading, LoadError> {
    let mut reading = read_in(plugin, parts, budget, mapping)?;
    if reading.schedule.tendons.is_empty() {
        reading.tendons_stated = plugin.tendons_stated();
    }
    Ok(reading)
}

/// Reads parts, in a thread of their own where that pays.
fn read_in(
    plugin: &dyn Plugin,
    parts: Parts<'_>,
    budget: Budget,
    mapping: &Mapping,
) -> Result<Reading, LoadError> {
    #[cfg(feature = "threads")]
    if parts.0.iter().map(|part| part.len()).fold(0, u64::saturating_add) >= WORTH_A_THREAD {
        return read_beside(plugin, parts, budget, mapping);
    }
    let mut builder = Builder::new();
    let loaded = plugin.load_mapped(parts, budget, mapping, &mut builder);
    builder.finish(loaded)
}

/// Reads parts while the plugin reads on in a thread of its own: records are checked in this one.
#[cfg(feature = "threads")]
fn read_beside(
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
