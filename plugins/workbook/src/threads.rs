//! Work that goes side by side where the target has threads, and one after the other where it has none.

use std::any::Any;
use std::collections::VecDeque;
use std::panic::AssertUnwindSafe;
use std::sync::mpsc::{self, Receiver, SyncSender};
use std::sync::{Mutex, MutexGuard, PoisonError};

use restrand_kit::{LoadError, Part};

/// Whether the taker wants more.
pub(crate) type More = bool;

/// Fills the baskets of a job.
pub(crate) trait Filler<J, B> {
    /// Hands on one basket after the other, and takes them back emptied; it ends where no more is wanted.
    fn fill(&mut self, job: &J, hand_on: &mut dyn FnMut(&mut B) -> More) -> Result<(), LoadError>;
}

/// Takes the baskets of jobs, job by job.
pub(crate) trait Taker<J, B> {
    /// A job comes; says whether anything of it is wanted.
    fn begin(&mut self, job: &J) -> Result<More, LoadError>;
    /// A basket of the job comes.
    fn take(&mut self, basket: &mut B) -> Result<More, LoadError>;
    /// The job has ended, by itself or as no more was wanted.
    fn end(&mut self, job: &J, filled: Result<(), LoadError>) -> Result<(), LoadError>;
}

/// Bytes of a workbook from which on threads pay: each has a heap of its own, whose pages the system clears.
#[cfg(feature = "threads")]
const WORTH_THREADS: u64 = 100_000;

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

/// How many fillers there are, if threads pay.
pub(crate) fn lanes(pays: bool) -> usize {
    /// Each has its own copy of what is shared, and one taker keeps up with no more.
    const MOST: usize = 4;
    if !pays {
        return 1;
    }
    std::thread::available_parallelism().map_or(1, |cores| cores.get().min(MOST))
}

/// How far fillers are ahead of the taker.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Lead {
    /// Not at all: all work is done in one thread.
    None,
    /// As far as the memory between the threads is bounded.
    Bounded,
    /// Likewise, but a whole job may be in memory. The last one, often the longest, is begun beside the first one, so
    /// that no filler is alone with it in the end.
    Free,
}

/// Takes jobs in their order, while the fillers are ahead with those that follow.
///
/// An error of the taker comes before one of the filler, as it is the earlier one.
pub(crate) fn in_order<J: Sync, B: Default + Send, F: Filler<J, B> + Send>(
    lead: Lead,
    fillers: &mut [F],
    jobs: &[J],
    taker: &mut dyn Taker<J, B>,
) -> Result<(), LoadError> {
    if lead != Lead::None {
        return ahead(lead, fillers, jobs, taker);
    }
    let Some(filler) = fillers.first_mut() else { return Ok(()) };
    for job in jobs {
        if !taker.begin(job)? {
            continue;
        }
        let mut taken = Ok(true);
        let filled = filler.fill(job, &mut |basket| {
            taken = taker.take(basket);
            matches!(taken, Ok(true))
        });
        taker.end(job, taken.and(filled))?;
    }
    Ok(())
}

/// What comes from a filler.
enum Filled<B> {
    Basket(B),
    Error(LoadError),
    /// It panicked, with this.
    Panic(Box<dyn Any + Send>),
}

/// Each filler has a thread of its own, and takes the next job that waits.
fn ahead<J: Sync, B: Default + Send, F: Filler<J, B> + Send>(
    lead: Lead,
    fillers: &mut [F],
    jobs: &[J],
    taker: &mut dyn Taker<J, B>,
) -> Result<(), LoadError> {
    /// Baskets of a job that may wait, and jobs that may be begun: both bound the memory between the threads. A
    /// workbook may have many small sheets, behind which nobody is to wait.
    const BASKETS: usize = 8;
    const JOBS: usize = 32;
    // A filler that waits for room in the last job must have another one beside it, or the taker would wait for ever.
    let is_free = lead == Lead::Free && fillers.len() > 1 && jobs.len() <= JOBS;
    // Enough for most; where a job has more, its filler waits as it would.
    let baskets = if is_free { 4 * BASKETS } else { BASKETS };

    let (give, to_do) = mpsc::channel::<(&J, SyncSender<Filled<B>>)>();
    let to_do = &Mutex::new(to_do);
    // Emptied baskets are filled again, so that their memory is.
    let emptied = &Mutex::new(Vec::<B>::new());
    std::thread::scope(move |scope| {
        for filler in fillers {
            scope.spawn(move || {
                loop {
                    let next = locked(to_do).recv();
                    let Ok((job, full)) = next else { return };
                    let mut hand_on = |basket: &mut B| {
                        let next = locked(emptied).pop().unwrap_or_default();
                        full.send(Filled::Basket(std::mem::replace(basket, next))).is_ok()
                    };
                    let fill = AssertUnwindSafe(|| filler.fill(job, &mut hand_on));
                    // Whoever wants no more of a job does not want its error.
                    let _ = match std::panic::catch_unwind(fill) {
                        Ok(Ok(())) => Ok(()),
                        Ok(Err(error)) => full.send(Filled::Error(error)),
                        Err(panic) => full.send(Filled::Panic(panic)),
                    };
                }
            });
        }
        let mut begun = VecDeque::new();
        let mut waiting = jobs.iter();
        let mut begin = |job| {
            let (full, to_take) = mpsc::sync_channel(baskets);
            // The other end lives as long as this scope.
            let _ = give.send((job, full));
            (job, to_take)
        };
        let mut last = None;
        if is_free && let Some(job) = waiting.next() {
            begun.push_back(begin(job));
            last = waiting.next_back().map(&mut begin);
        }
        loop {
            while begun.len() < JOBS
                && let Some(job) = waiting.next()
            {
                begun.push_back(begin(job));
            }
            begun.extend(last.take());
            // What is dropped on return tells fillers that wait, for room or for work, that there is none.
            let Some((job, to_take)) = begun.pop_front() else { return Ok(()) };
            take_job(job, to_take, taker, |basket| locked(emptied).push(basket))?;
        }
    })
}

/// Takes the baskets of one job.
fn take_job<J, B>(
    job: &J,
    to_take: Receiver<Filled<B>>,
    taker: &mut dyn Taker<J, B>,
    mut emptied: impl FnMut(B),
) -> Result<(), LoadError> {
    if !taker.begin(job)? {
        return Ok(());
    }
    let mut end = Ok(());
    for filled in to_take {
        let taken = match filled {
            Filled::Basket(mut basket) => taker.take(&mut basket).map(|more| (more, basket)),
            Filled::Error(error) => Err(error),
            Filled::Panic(panic) => std::panic::resume_unwind(panic),
        };
        match taken {
            Ok((true, basket)) => emptied(basket),
            Ok((false, _)) => break,
            Err(error) => {
                end = Err(error);
                break;
            }
        }
    }
    taker.end(job, end)
}

/// A lock is held for moments in which nothing panics.
fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Hands on the numbers below its job, by tens; then it fails if it is told to.
    #[derive(Default)]
    struct Tens {
        fails_at: Option<u32>,
    }

    impl Filler<u32, Vec<u32>> for Tens {
        fn fill(
            &mut self,
            job: &u32,
            hand_on: &mut dyn FnMut(&mut Vec<u32>) -> More,
        ) -> Result<(), LoadError> {
            let mut basket = Vec::new();
            for number in 0..*job {
                basket.push(number);
                if basket.len() == 10 && !hand_on(&mut basket) {
                    return Ok(());
                }
            }
            hand_on(&mut basket);
            if self.fails_at == Some(*job) { Err(LoadError::Stopped) } else { Ok(()) }
        }
    }

    /// Keeps what comes; of a job it wants no more once the number `last` came.
    #[derive(Default)]
    struct Keeper {
        kept: Vec<(u32, Vec<u32>, bool)>,
        last: Option<u32>,
        unwanted: Option<u32>,
        bears_errors: bool,
    }

    impl Taker<u32, Vec<u32>> for Keeper {
        fn begin(&mut self, job: &u32) -> Result<More, LoadError> {
            if self.unwanted == Some(*job) {
                return Ok(false);
            }
            self.kept.push((*job, Vec::new(), true));
            Ok(true)
        }

        fn take(&mut self, basket: &mut Vec<u32>) -> Result<More, LoadError> {
            let (_, all, _) = self.kept.last_mut().expect("begun");
            all.append(basket);
            Ok(self.last.is_none_or(|last| !all.contains(&last)))
        }

        fn end(&mut self, job: &u32, filled: Result<(), LoadError>) -> Result<(), LoadError> {
            let (begun, _, is_whole) = self.kept.last_mut().expect("begun");
            assert_eq!(begun, job);
            *is_whole = filled.is_ok();
            if self.bears_errors { Ok(()) } else { filled }
        }
    }

    /// What a keeper has of these jobs, one after the other and then side by side in so many lanes.
    fn kept(
        jobs: &[u32],
        fails_at: Option<u32>,
        keeper: impl Fn() -> Keeper,
    ) -> [(Keeper, Result<(), LoadError>); 5] {
        [(Lead::None, 1), (Lead::Bounded, 1), (Lead::Bounded, 3), (Lead::Free, 1), (Lead::Free, 3)]
            .map(|(lead, lanes)| {
                let mut fillers: Vec<Tens> = (0..lanes).map(|_| Tens { fails_at }).collect();
                let mut keeper = keeper();
                let ended = in_order(lead, &mut fillers, jobs, &mut keeper);
                (keeper, ended)
            })
    }

    /// More jobs than are begun at once, of very different sizes.
    const JOBS: [u32; 9] = [25, 5_005, 0, 7, 20_000, 3, 1, 10, 12];

    #[test]
    fn every_way_hands_over_everything_in_order() {
        // The last one may be the longest, of more baskets than wait; or the only one; or there is none.
        for jobs in [&JOBS[..], &JOBS[..5], &JOBS[4..5], &[]] {
            for (keeper, ended) in kept(jobs, None, Keeper::default) {
                assert!(ended.is_ok());
                assert_eq!(keeper.kept.len(), jobs.len());
                for ((job, all, is_whole), expected) in keeper.kept.into_iter().zip(jobs) {
                    assert!(is_whole && job == *expected && all.into_iter().eq(0..*expected));
                }
            }
        }
    }

    #[test]
    fn every_way_leaves_a_job_where_no_more_of_it_is_wanted() {
        let keeper = || Keeper { last: Some(25), unwanted: Some(5_005), ..Keeper::default() };
        for (keeper, ended) in kept(&JOBS, None, keeper) {
            assert!(ended.is_ok());
            let told: Vec<_> = keeper.kept.iter().map(|(job, all, _)| (*job, all.len())).collect();
            assert_eq!(
                told,
                [(25, 25), (0, 0), (7, 7), (20_000, 30), (3, 3), (1, 1), (10, 10), (12, 12)]
            );
        }
    }

    #[test]
    fn every_way_ends_at_an_error_that_is_not_borne() {
        for (keeper, ended) in kept(&JOBS, Some(7), Keeper::default) {
            assert!(matches!(ended, Err(LoadError::Stopped)));
            let (job, all, is_whole) = keeper.kept.last().expect("begun");
            // What came before the error is taken.
            assert!(*job == 7 && all.len() == 7 && !is_whole && keeper.kept.len() == 4);
        }
    }

    #[test]
    fn every_way_goes_on_behind_an_error_that_is_borne() {
        let keeper = || Keeper { bears_errors: true, ..Keeper::default() };
        for (keeper, ended) in kept(&JOBS, Some(5_005), keeper) {
            assert!(ended.is_ok());
            let broken: Vec<_> = keeper
                .kept
                .iter()
                .filter(|(.., is_whole)| !is_whole)
                .map(|(job, ..)| *job)
                .collect();
            assert_eq!((broken, keeper.kept.len()), (vec![5_005], JOBS.len()));
        }
    }

    #[test]
    fn a_panic_of_a_filler_is_not_swallowed() {
        struct Panics;
        impl Filler<u32, Vec<u32>> for Panics {
            fn fill(
                &mut self,
                _: &u32,
                _: &mut dyn FnMut(&mut Vec<u32>) -> More,
            ) -> Result<(), LoadError> {
                panic!("no bore");
            }
        }
        for lead in [Lead::None, Lead::Bounded, Lead::Free] {
            let run = || in_order(lead, &mut [Panics], &[1, 2, 3, 4, 5, 6], &mut Keeper::default());
            let panic = std::panic::catch_unwind(run).expect_err("it panics");
            assert_eq!(panic.downcast_ref::<&str>(), Some(&"no bore"));
        }
    }
}
