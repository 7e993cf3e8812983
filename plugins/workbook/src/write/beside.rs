//! Sheets that are made side by side where the target has threads, and one after the other where it has none.

/// Makes something of each item; gives what came of each, in the order of the items.
#[cfg(feature = "threads")]
pub(super) fn each<I: Sync, O: Send>(items: &[I], make: &(dyn Fn(&I) -> O + Sync)) -> Vec<O> {
    use std::sync::atomic::{AtomicUsize, Ordering};
    use std::thread;

    /// Each has a heap of its own, and more than these wait for the one that packs.
    const MOST: usize = 4;
    let cores = thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let lanes = cores.min(MOST).min(items.len());
    let next = AtomicUsize::new(0);
    let work = || {
        let mut made = Vec::new();
        loop {
            let at = next.fetch_add(1, Ordering::Relaxed);
            let Some(item) = items.get(at) else { return made };
            made.push((at, make(item)));
        }
    };
    let mut made = thread::scope(|scope| {
        let others: Vec<_> = (1..lanes).map(|_| scope.spawn(work)).collect();
        let mut made = work();
        for other in others {
            match other.join() {
                Ok(more) => made.extend(more),
                Err(panicked) => std::panic::resume_unwind(panicked),
            }
        }
        made
    });
    made.sort_by_key(|(at, _)| *at);
    made.into_iter().map(|(_, made)| made).collect()
}

/// Makes something of each item, in their order.
#[cfg(not(feature = "threads"))]
pub(super) fn each<I, O>(items: &[I], make: &dyn Fn(&I) -> O) -> Vec<O> {
    items.iter().map(make).collect()
}

#[cfg(test)]
mod tests {
    use super::each;

    #[test]
    fn what_is_made_comes_in_the_order_of_the_items() {
        let items: Vec<u32> = (0..1_000).collect();
        let made = each(&items, &|item| item * 2);
        assert!(made.iter().zip(&items).all(|(made, item)| *made == item * 2));
        assert_eq!(made.len(), 1_000);
        assert!(each(&[] as &[u32], &|item| *item).is_empty());
    }
}
