//! The threads in which rules run.

use crate::rulebook::read_ahead;

/// Lets the thread that calls take part in the work: one thread less has memory of its own.
///
/// It is to be called before the first check, and changes nothing later. The thread that waits for work reads the
/// rulebook on which the others rest.
pub fn take_part() {
    // Threads that run already go on without this one.
    let begun = rayon::ThreadPoolBuilder::new().use_current_thread().build_global();
    if begun.is_ok() && rayon::current_num_threads() > 1 {
        rayon::spawn(read_ahead);
    }
}
