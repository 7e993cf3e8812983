//! Work that goes side by side where the target has threads, and one after the other where it has none.

use restrand_kit::LoadError;

/// Whether the taker wants more.
pub(crate) type More = bool;

/// Fills baskets and takes them, one after the other.
#[cfg(not(feature = "threads"))]
pub(crate) fn hand_over<B: Default + Send>(
    fill: impl FnOnce(&mut dyn FnMut(&mut B) -> More) -> Result<(), LoadError>,
    mut take: impl FnMut(&mut B) -> Result<More, LoadError>,
) -> Result<(), LoadError> {
    let mut taken = Ok(true);
    let filled = fill(&mut |basket| {
        taken = take(basket);
        matches!(taken, Ok(true))
    });
    taken?;
    filled
}

/// Fills baskets in a thread of its own, and takes them in this one.
///
/// An error of the taker comes before one of the filler, as it is the earlier one.
#[cfg(feature = "threads")]
pub(crate) fn hand_over<B: Default + Send>(
    fill: impl FnOnce(&mut dyn FnMut(&mut B) -> More) -> Result<(), LoadError> + Send,
    mut take: impl FnMut(&mut B) -> Result<More, LoadError>,
) -> Result<(), LoadError> {
    use std::sync::mpsc;

    /// Baskets that may wait, which bounds the memory between the two threads.
    const WAITING: usize = 4;

    std::thread::scope(|scope| {
        let (full, to_take) = mpsc::sync_channel::<B>(WAITING);
        // Emptied baskets go back, so that their memory stays with the thread that made it.
        let (emptied, to_fill) = mpsc::channel::<B>();
        let filling = scope.spawn(move || {
            fill(&mut |basket| {
                let next = to_fill.try_recv().unwrap_or_default();
                full.send(std::mem::replace(basket, next)).is_ok()
            })
        });
        let mut taken = Ok(true);
        for mut basket in to_take.iter() {
            taken = take(&mut basket);
            if !matches!(taken, Ok(true)) {
                break;
            }
            // The filler may have come to its end.
            let _ = emptied.send(basket);
        }
        // A filler that waits for room learns here that nobody takes more.
        drop(to_take);
        let filled = match filling.join() {
            Ok(filled) => filled,
            Err(panic) => std::panic::resume_unwind(panic),
        };
        taken?;
        filled
    })
}

/// Does two things one after the other.
#[cfg(not(feature = "threads"))]
pub(crate) fn side_by_side<A, B>(here: impl FnOnce() -> A, aside: impl FnOnce() -> B) -> (A, B) {
    (here(), aside())
}

/// Does two things at once, the second in a thread of its own.
#[cfg(feature = "threads")]
pub(crate) fn side_by_side<A, B: Send>(
    here: impl FnOnce() -> A,
    aside: impl FnOnce() -> B + Send,
) -> (A, B) {
    std::thread::scope(|scope| {
        let aside = scope.spawn(aside);
        let here = here();
        match aside.join() {
            Ok(aside) => (here, aside),
            Err(panic) => std::panic::resume_unwind(panic),
        }
    })
}
