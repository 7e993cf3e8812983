//! Work that goes side by side where the target has threads, and one after the other where it has none.

use restrand_kit::{LoadError, Part};

/// Whether the taker wants more.
pub(crate) type More = bool;

/// Bytes of a workbook from which on threads pay: each has a heap of its own, whose pages the system clears.
#[cfg(feature = "threads")]
const WORTH_THREADS: u64 = 1_000_000;

/// Whether the work on a part goes side by side.
#[cfg(feature = "threads")]
pub(crate) fn pay(part: &dyn Part) -> bool {
    part.len() >= WORTH_THREADS
}

/// Whether the work on a part goes side by side: this target has no threads.
#[cfg(not(feature = "threads"))]
pub(crate) fn pay(_: &dyn Part) -> bool {
    false
}

/// Fills baskets and takes them: side by side, the filling in a thread of its own, or one after the other.
///
/// An error of the taker comes before one of the filler, as it is the earlier one.
pub(crate) fn hand_over<B: Default + Send>(
    beside: bool,
    fill: impl FnOnce(&mut dyn FnMut(&mut B) -> More) -> Result<(), LoadError> + Send,
    mut take: impl FnMut(&mut B) -> Result<More, LoadError>,
) -> Result<(), LoadError> {
    if beside {
        return hand_over_beside(fill, take);
    }
    let mut taken = Ok(true);
    let filled = fill(&mut |basket| {
        taken = take(basket);
        matches!(taken, Ok(true))
    });
    taken?;
    filled
}

fn hand_over_beside<B: Default + Send>(
    fill: impl FnOnce(&mut dyn FnMut(&mut B) -> More) -> Result<(), LoadError> + Send,
    mut take: impl FnMut(&mut B) -> Result<More, LoadError>,
) -> Result<(), LoadError> {
    use std::sync::mpsc;

    /// Baskets that may wait, which bounds the memory between the two threads.
    const WAITING: usize = 4;

    std::thread::scope(|scope| {
        let (full, to_take) = mpsc::sync_channel::<B>(WAITING);
        // Emptied baskets go back, so that their memory stays with the thread that took it.
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

/// Does two things: at once, the second in a thread of its own, or one after the other.
pub(crate) fn side_by_side<A, B: Send>(
    beside: bool,
    here: impl FnOnce() -> A,
    aside: impl FnOnce() -> B + Send,
) -> (A, B) {
    if !beside {
        return (here(), aside());
    }
    std::thread::scope(|scope| {
        let aside = scope.spawn(aside);
        let here = here();
        match aside.join() {
            Ok(aside) => (here, aside),
            Err(panic) => std::panic::resume_unwind(panic),
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Hands over the numbers below `end` by tens, and takes baskets until one holds `last`.
    fn taken(beside: bool, end: u32, last: u32) -> (Vec<u32>, Result<(), LoadError>) {
        let mut all = Vec::new();
        let result = hand_over(
            beside,
            |hand_on| {
                let mut basket: Vec<u32> = Vec::new();
                for number in 0..end {
                    basket.push(number);
                    if basket.len() == 10 && !hand_on(&mut basket) {
                        return Ok(());
                    }
                }
                hand_on(&mut basket);
                Err(LoadError::Stopped)
            },
            |basket| {
                all.append(basket);
                Ok(!all.contains(&last))
            },
        );
        (all, result)
    }

    #[test]
    fn both_ways_hand_over_everything_in_order_and_the_fillers_error() {
        for beside in [false, true] {
            let (all, result) = taken(beside, 1005, u32::MAX);
            assert!(all.into_iter().eq(0..1005), "{beside}");
            assert!(matches!(result, Err(LoadError::Stopped)), "{beside}");
        }
    }

    #[test]
    fn both_ways_end_where_the_taker_wants_no_more() {
        for beside in [false, true] {
            let (all, result) = taken(beside, 1005, 25);
            assert!(all.into_iter().eq(0..30), "{beside}");
            assert!(result.is_ok(), "{beside}");
        }
    }

    #[test]
    fn both_ways_the_takers_error_comes_first() {
        for beside in [false, true] {
            let result = hand_over(
                beside,
                |hand_on| {
                    hand_on(&mut vec![1]);
                    Ok(())
                },
                |_: &mut Vec<u32>| Err(LoadError::Stopped),
            );
            assert!(matches!(result, Err(LoadError::Stopped)), "{beside}");
            assert_eq!(side_by_side(beside, || 1, || 2), (1, 2));
        }
    }
}
