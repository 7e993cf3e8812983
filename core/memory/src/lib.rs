//! The memory allocator of the programs.
//!
//! A program that calls [`keep_freed`] has it.

#![expect(
    unsafe_code,
    reason = "the allocator and the system take options through interfaces of C"
)]

use libmimalloc_sys::{mi_option_set, mi_option_t};

/// Rows are read in one thread and checked in another; the system's allocator is slow at freeing in one what
/// the other took.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

/// Milliseconds after which freed pages go back to the system, by the allocator's header `mimalloc.h`.
const PURGE_DELAY: mi_option_t = 15;
/// A delay that never ends.
const NEVER: std::ffi::c_long = -1;

/// Keeps freed pages until the program ends.
///
/// A run lasts for moments and takes most of them again, and each page that comes back from the system has to be
/// cleared anew.
pub fn keep_freed() {
    // SAFETY: the function stores one number in a table of the allocator; the number of the option is one of the
    // header's, and is checked there.
    unsafe { mi_option_set(PURGE_DELAY, NEVER) }
}

/// Turns large pages off before the first memory is taken: the program's start would be given one, and wait until
/// it is cleared. The system calls what stands in this list before `main`.
#[cfg(target_os = "linux")]
#[used]
#[unsafe(link_section = ".init_array.00098")]
static AT_START: extern "C" fn() = {
    extern "C" fn small_pages() {
        use_large_pages(false);
    }
    small_pages
};

/// Says whether the system may give memory in large pages, where it knows them.
///
/// They pay where much memory is taken: a small run touches a few bytes in each, and all of it has to be cleared.
/// A program starts without them.
pub fn use_large_pages(wanted: bool) {
    #[cfg(target_os = "linux")]
    {
        let (none, disabled) = (0 as libc::c_ulong, libc::c_ulong::from(!wanted));
        // SAFETY: the option takes a flag and three zeros, and touches no memory. A system that does not know it
        // says so and changes nothing.
        unsafe { libc::prctl(libc::PR_SET_THP_DISABLE, disabled, none, none, none) };
    }
    #[cfg(not(target_os = "linux"))]
    let _ = wanted;
}
