//! The host's parts as the trait sees them.

use std::ffi::c_void;
use std::io;

use restrand_abi as abi;

use super::{BAD_CALL, Trouble};
use crate::part::Part;

/// The bytes that the host lends; nothing if it says what cannot be.
///
/// # Safety
/// Where the pointer is not null, as many bytes can be read there for `'a`, and nobody changes them.
pub(super) unsafe fn bytes<'a>(lent: abi::RestrandBytes) -> Option<&'a [u8]> {
    if lent.length == 0 {
        return Some(&[]);
    }
    if lent.start.is_null() || isize::try_from(lent.length).is_err() {
        return None;
    }
    // SAFETY: the caller's promise, and the length is one that a slice can have.
    Some(unsafe { std::slice::from_raw_parts(lent.start, lent.length) })
}

/// The parts of one call.
pub(super) struct Parts<'a>(Vec<HostPart<'a>>);

impl<'a> Parts<'a> {
    /// # Safety
    /// `parts` is null or leads to as many parts as `count` says, each as [`restrand_abi`] says, for `'a`.
    pub(super) unsafe fn new(
        parts: *const abi::RestrandPart,
        count: usize,
    ) -> Result<Self, Trouble> {
        if count == 0 {
            return Ok(Self(Vec::new()));
        }
        if parts.is_null()
            || isize::try_from(count.saturating_mul(size_of::<abi::RestrandPart>())).is_err()
        {
            return Err(BAD_CALL);
        }
        // SAFETY: the caller's promise.
        let parts = unsafe { std::slice::from_raw_parts(parts, count) };
        let part = |part: &abi::RestrandPart| {
            // SAFETY: the caller's promise.
            let (name, slice) = unsafe { (bytes(part.name)?, bytes(part.slice)?) };
            let is_whole = !part.slice.start.is_null() && slice.len() as u64 == part.length;
            Some(HostPart {
                name: std::str::from_utf8(name).ok()?,
                length: part.length,
                slice: is_whole.then_some(slice),
                context: part.context,
                read_at: part.read_at?,
            })
        };
        parts.iter().map(part).collect::<Option<_>>().map(Self).ok_or(BAD_CALL)
    }

    /// The parts, as the trait takes them.
    pub(super) fn all(&self) -> Vec<&dyn Part> {
        self.0.iter().map(|part| part as &dyn Part).collect()
    }
}

type ReadAt =
    unsafe extern "C" fn(*mut c_void, u64, *mut u8, usize, *mut usize) -> abi::RestrandStatus;

struct HostPart<'a> {
    name: &'a str,
    length: u64,
    slice: Option<&'a [u8]>,
    context: *mut c_void,
    read_at: ReadAt,
}

// SAFETY: the ABI lets `read_at` be called from any thread, also from several at once.
unsafe impl Send for HostPart<'_> {}
// SAFETY: as above.
unsafe impl Sync for HostPart<'_> {}

impl Part for HostPart<'_> {
    fn name(&self) -> &str {
        self.name
    }

    fn len(&self) -> u64 {
        self.length
    }

    fn read_at(&self, offset: u64, buffer: &mut [u8]) -> io::Result<usize> {
        let mut count = 0;
        // SAFETY: the buffer has the capacity that is said, and the context is the host's own.
        let status = unsafe {
            (self.read_at)(self.context, offset, buffer.as_mut_ptr(), buffer.len(), &raw mut count)
        };
        if status == abi::RESTRAND_OK && count <= buffer.len() {
            return Ok(count);
        }
        Err(io::Error::other("the host could not read the part"))
    }

    fn slice(&self) -> Option<&[u8]> {
        self.slice
    }
}
