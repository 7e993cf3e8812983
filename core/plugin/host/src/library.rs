//! A library in this process, called through its struct.
#![expect(unsafe_code, reason = "libraries are opened and their functions called here")]

use std::ffi::c_void;
use std::io;
use std::mem::offset_of;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::sync::Mutex;

use restrand_abi as abi;
use restrand_kit::Part;

use crate::call::{Call, Caller, Ended, Flow, Taker, sealed};
use crate::{Foreign, HostError};

/// A plugin that runs in this process: its crash is the host's.
pub type InProcess = Foreign<Library>;

impl InProcess {
    /// Opens the library at this path, and lets the plugin describe itself.
    ///
    /// # Errors
    /// It is no plugin of this ABI, or it cannot describe itself.
    pub fn open(path: &Path) -> Result<Self, HostError> {
        let library = Library::open(path)?;
        Self::new(library, path.to_owned())
    }
}

/// An opened library.
#[derive(Debug, Clone, Copy)]
pub struct Library {
    table: abi::RestrandPlugin,
}

impl Library {
    /// Opens the library at this path and looks at its struct.
    ///
    /// The library stays open for good: what it left behind in threads and at exit would else run unloaded code.
    ///
    /// # Errors
    /// It is no plugin of this ABI.
    pub fn open(path: &Path) -> Result<Self, HostError> {
        // With a whole path the system's search path has no say.
        let whole = path.canonicalize().map_err(|error| match error.kind() {
            io::ErrorKind::NotFound => HostError::NoSuchFile(path.to_owned()),
            _ => HostError::NotALibrary { path: path.to_owned(), said: error.to_string() },
        })?;
        // SAFETY: what a library does when it is opened is its own; callers know that it is code.
        let library = unsafe { open(&whole) }.map_err(|error| HostError::NotALibrary {
            path: path.to_owned(),
            said: error.to_string(),
        })?;
        let library: &'static libloading::Library = Box::leak(Box::new(library));
        // SAFETY: the symbol's name holds its type, and a plugin keeps to that.
        let entry = unsafe { library.get::<abi::RestrandEntry>(abi::SYMBOL) }
            .map_err(|_| HostError::SymbolMissing)?;
        // SAFETY: as above.
        let table = unsafe { entry() };
        // SAFETY: the ABI says that it leads to a struct that stays; size and version are looked at first.
        unsafe { look_over(table) }.map(|table| Self { table })
    }
}

/// # Safety
/// As for [`libloading::Library::new`].
#[cfg(unix)]
unsafe fn open(path: &Path) -> Result<libloading::Library, libloading::Error> {
    use libloading::os::unix::{Library, RTLD_LOCAL, RTLD_NOW};
    // A function that is missing shows now, and not in the midst of a reading.
    // SAFETY: the caller's promise.
    unsafe { Library::open(Some(path), RTLD_NOW | RTLD_LOCAL) }.map(Into::into)
}

/// # Safety
/// As for [`libloading::Library::new`].
#[cfg(not(unix))]
unsafe fn open(path: &Path) -> Result<libloading::Library, libloading::Error> {
    // SAFETY: the caller's promise.
    unsafe { libloading::Library::new(path) }
}

/// Looks at version and size, and only then at the rest.
///
/// # Safety
/// `table` is null or leads to a struct of at least the size that it says.
unsafe fn look_over(table: *const abi::RestrandPlugin) -> Result<abi::RestrandPlugin, HostError> {
    if table.is_null() || !table.is_aligned() {
        return Err(HostError::NoStruct);
    }
    // SAFETY: the first three members never change their place.
    let (major, size) = unsafe { ((*table).abi_major, (*table).struct_size) };
    if major != abi::RESTRAND_ABI_MAJOR {
        return Err(HostError::UnknownMajor { found: major });
    }
    let needed = size_of::<abi::RestrandPlugin>();
    if size < needed {
        return Err(HostError::ShortStruct { found: size, needed });
    }
    const { assert!(offset_of!(abi::RestrandPlugin, struct_size) == 8, "the head never changes") };
    // SAFETY: it is as large as this release knows it.
    let table = unsafe { *table };
    let null = [
        ("describe", table.describe.is_none()),
        ("probe", table.probe.is_none()),
        ("load", table.load.is_none()),
        ("write", table.write.is_none()),
        ("patch", table.patch.is_none()),
    ];
    match null.into_iter().find(|(_, is_null)| *is_null) {
        Some((name, _)) => Err(HostError::NullFunction(name)),
        None => Ok(table),
    }
}

/// What the callbacks of one call share.
struct Shared<'a> {
    taker: Mutex<Taken<'a>>,
}

struct Taken<'a> {
    taker: &'a mut dyn Taker,
    trouble: Option<HostError>,
    medium: Option<io::Error>,
}

/// A part, and what went wrong while it was read.
struct Source<'a> {
    part: &'a dyn Part,
    error: Mutex<Option<io::Error>>,
}

const fn lent(bytes: &[u8]) -> abi::RestrandBytes {
    abi::RestrandBytes { start: bytes.as_ptr(), length: bytes.len() }
}

const NOTHING: abi::RestrandBytes = abi::RestrandBytes { start: std::ptr::null(), length: 0 };

/// The bytes that the plugin lends, if what it says of them can be true.
///
/// # Safety
/// Where the pointer is not null, as many bytes can be read there for `'a`.
unsafe fn bytes<'a>(lent: abi::RestrandBytes, what: &'static str) -> Result<&'a [u8], HostError> {
    if lent.length == 0 {
        return Ok(&[]);
    }
    if lent.start.is_null() || lent.length > abi::RESTRAND_LONGEST_BATCH {
        return Err(HostError::LyingLength { what, length: lent.length });
    }
    // SAFETY: the caller's promise.
    Ok(unsafe { std::slice::from_raw_parts(lent.start, lent.length) })
}

unsafe extern "C" fn take(context: *mut c_void, lines: abi::RestrandBytes) -> abi::RestrandStatus {
    // SAFETY: the context is the one that was handed over, and the call is still on.
    let shared = unsafe { &*context.cast_const().cast::<Shared<'_>>() };
    let taken = catch_unwind(AssertUnwindSafe(|| {
        let Ok(mut taken) = shared.taker.lock() else {
            return Flow::Stop;
        };
        if taken.trouble.is_some() {
            return Flow::Stop;
        }
        // SAFETY: the plugin lends as many bytes as it says.
        match unsafe { bytes(lines, "lines") } {
            Ok(lines) => taken.taker.lines(lines),
            Err(error) => {
                taken.trouble = Some(error);
                Flow::Stop
            }
        }
    }));
    match taken {
        Ok(Flow::GoOn) => abi::RESTRAND_OK,
        Ok(Flow::Stop) | Err(_) => abi::RESTRAND_STOPPED,
    }
}

unsafe extern "C" fn write(
    context: *mut c_void,
    name: abi::RestrandBytes,
    content: abi::RestrandBytes,
) -> abi::RestrandStatus {
    // SAFETY: the context is the one that was handed over, and the call is still on.
    let shared = unsafe { &*context.cast_const().cast::<Shared<'_>>() };
    let written = catch_unwind(AssertUnwindSafe(|| {
        let mut taken = shared.taker.lock().ok()?;
        if taken.trouble.is_some() {
            return None;
        }
        // SAFETY: the plugin lends as many bytes as it says.
        let said = unsafe {
            bytes(name, "a name").and_then(|name| Ok((name, bytes(content, "written bytes")?)))
        };
        let said = said.and_then(|(name, content)| match std::str::from_utf8(name) {
            Ok(name) => Ok((name, content)),
            Err(_) => Err(HostError::Garbled("the name of a written part is not UTF-8".to_owned())),
        });
        match said {
            Ok((name, content)) => match taken.taker.write(name, content) {
                Ok(()) => Some(()),
                Err(error) => {
                    taken.medium = Some(error);
                    None
                }
            },
            Err(error) => {
                taken.trouble = Some(error);
                None
            }
        }
    }));
    match written {
        Ok(Some(())) => abi::RESTRAND_OK,
        Ok(None) | Err(_) => abi::RESTRAND_MEDIUM,
    }
}

unsafe extern "C" fn read_at(
    context: *mut c_void,
    offset: u64,
    buffer: *mut u8,
    capacity: usize,
    count: *mut usize,
) -> abi::RestrandStatus {
    // SAFETY: the context is the one that was handed over, and the call is still on.
    let source = unsafe { &*context.cast_const().cast::<Source<'_>>() };
    let keep = |error: io::Error| {
        if let Ok(mut kept) = source.error.lock() {
            *kept = Some(error);
        }
        abi::RESTRAND_MEDIUM
    };
    if buffer.is_null() || count.is_null() || isize::try_from(capacity).is_err() {
        return keep(io::Error::other("the plugin has no room for what it wants to read"));
    }
    // SAFETY: the plugin lends as many bytes as it says; they may never have been written to, so they are now.
    let buffer = unsafe {
        buffer.write_bytes(0, capacity);
        std::slice::from_raw_parts_mut(buffer, capacity)
    };
    match catch_unwind(AssertUnwindSafe(|| source.part.read_at(offset, buffer))) {
        Ok(Ok(read)) => {
            // SAFETY: it is not null, and the plugin lends it.
            unsafe { count.write(read) };
            abi::RESTRAND_OK
        }
        Ok(Err(error)) => keep(error),
        Err(_) => keep(io::Error::other("the part cannot be read")),
    }
}

impl Caller for Library {}

impl sealed::Caller for Library {
    #[expect(private_interfaces, reason = "no other crate can name or implement this trait")]
    fn call(&self, call: Call<'_>, taker: &mut dyn Taker) -> Result<Ended, HostError> {
        let taken = Taken { taker, trouble: None, medium: None };
        let shared = Shared { taker: Mutex::new(taken) };
        let context = (&raw const shared).cast_mut().cast::<c_void>();
        let lines = abi::RestrandLines { context, take: Some(take) };
        let output = abi::RestrandOutput { context, write: Some(write) };
        let sources: Vec<Source<'_>> = call
            .parts()
            .0
            .iter()
            .map(|part| Source { part: *part, error: Mutex::new(None) })
            .collect();
        let parts: Vec<abi::RestrandPart> = sources
            .iter()
            .map(|source| abi::RestrandPart {
                name: lent(source.part.name().as_bytes()),
                length: source.part.len(),
                slice: source.part.slice().map_or(NOTHING, lent),
                context: (&raw const *source).cast_mut().cast(),
                read_at: Some(read_at),
            })
            .collect();
        let (first, count) = (parts.as_ptr(), parts.len());
        let content = lent(call.content());
        let mut confidence = u32::MAX;
        let table = &self.table;
        // SAFETY: all that is lent lives until the calls return; the functions are the plugin's own.
        let status = unsafe {
            match (call, table) {
                (Call::Describe, abi::RestrandPlugin { describe: Some(describe), .. }) => {
                    describe(&raw const lines)
                }
                (Call::Probe(_), abi::RestrandPlugin { probe: Some(probe), .. }) => {
                    probe(first, count, &raw mut confidence, &raw const lines)
                }
                (Call::Load(_, budget), abi::RestrandPlugin { load: Some(load), .. }) => {
                    let budget = abi::RestrandBudget {
                        unpacked_bytes: budget.unpacked_bytes,
                        depth: budget.depth,
                    };
                    load(first, count, &raw const budget, &raw const lines)
                }
                (Call::Write(_), abi::RestrandPlugin { write: Some(write), .. }) => {
                    write(content, &raw const output, &raw const lines)
                }
                (Call::Patch(..), abi::RestrandPlugin { patch: Some(patch), .. }) => {
                    patch(first, count, content, &raw const output, &raw const lines)
                }
                _ => unreachable!("no function is null: that was looked at when it was opened"),
            }
        };
        let taken = shared.taker.into_inner().unwrap_or_else(|poisoned| poisoned.into_inner());
        if let Some(trouble) = taken.trouble {
            return Err(trouble);
        }
        let unread =
            sources.into_iter().find_map(|source| source.error.into_inner().ok().flatten());
        Ok(Ended { status, confidence, medium: unread.or(taken.medium) })
    }
}
