//! What crosses the boundary between restrand and a format plugin that is a library of its own.
//!
//! Integers, pointers, lengths and callbacks, nothing else; `include/restrand_plugin.h` is made of this file.
//! Texts are UTF-8 with their length, never ended by a zero.
//! All that a call hands over, in either direction, belongs to who made it and is lent for that call only, so
//! that nobody frees what another allocated.
//!
//! What the lines of JSON say that cross here is for the kit to say, not for this crate.
#![no_std]

use core::ffi::c_void;

/// The number that changes when a plugin made for it no longer fits.
pub const RESTRAND_ABI_MAJOR: u32 = 1;
/// The number that changes when something is added at the end of a struct.
pub const RESTRAND_ABI_MINOR: u32 = 0;

/// How a call ended; a number that is not one of `RESTRAND_OK` and the following counts as a failure.
pub type RestrandStatus = i32;

/// All went well.
pub const RESTRAND_OK: RestrandStatus = 0;
/// The taker of lines wants no more; the plugin ends its call and passes this on.
pub const RESTRAND_STOPPED: RestrandStatus = 1;
/// The parts as a whole cannot be read; an `error` line says where, why and what to do.
pub const RESTRAND_UNREADABLE: RestrandStatus = 2;
/// The plugin cannot do this; an `error` line says why.
pub const RESTRAND_UNSUPPORTED: RestrandStatus = 3;
/// Reading or writing a part failed on the host's side; the plugin ends its call and passes this on.
pub const RESTRAND_MEDIUM: RestrandStatus = 4;
/// The plugin itself failed; an `error` line says what it knows.
pub const RESTRAND_FAILED: RestrandStatus = 5;
/// The host called with what cannot be: a null pointer, or content that is not as agreed.
pub const RESTRAND_BAD_CALL: RestrandStatus = 6;

/// The parts are not of the plugin's format.
pub const RESTRAND_CONFIDENCE_NO: u32 = 0;
/// Nothing speaks against it, as the name's ending fits.
pub const RESTRAND_CONFIDENCE_PERHAPS: u32 = 1;
/// The content shows it.
pub const RESTRAND_CONFIDENCE_SURE: u32 = 2;

/// Bytes that may be handed over at once, be they lines or of a written part: 64 MiB.
pub const RESTRAND_LONGEST_BATCH: usize = 67_108_864;

/// Bytes lent for the time of a call; null only where the length is zero.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct RestrandBytes {
    /// The first byte.
    pub start: *const u8,
    /// How many there are.
    pub length: usize,
}

/// A named part of the input, to be read from any position.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct RestrandPart {
    /// The name, as a file name, in UTF-8.
    pub name: RestrandBytes,
    /// The length in bytes.
    pub length: u64,
    /// All bytes, if they are in memory already; else null and zero.
    pub slice: RestrandBytes,
    /// The first argument of `read_at`.
    pub context: *mut c_void,
    /// Reads up to `capacity` bytes from `offset` on and says in `count` how many; none only at the end.
    ///
    /// May be called from any thread until the plugin's call returns, also from several at once.
    /// Returns `RESTRAND_OK` or `RESTRAND_MEDIUM`.
    pub read_at: Option<
        unsafe extern "C" fn(
            context: *mut c_void,
            offset: u64,
            buffer: *mut u8,
            capacity: usize,
            count: *mut usize,
        ) -> RestrandStatus,
    >,
}

/// What a reading may cost.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct RestrandBudget {
    /// Bytes that compressed content may have unpacked.
    pub unpacked_bytes: u64,
    /// Levels of nesting.
    pub depth: u32,
}

/// Takes lines of JSON.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct RestrandLines {
    /// The first argument of `take`.
    pub context: *mut c_void,
    /// Takes whole lines, each ended by a line feed, up to `RESTRAND_LONGEST_BATCH` bytes at once.
    ///
    /// To be called by the thread in which the plugin itself was called.
    /// Returns `RESTRAND_OK`, or `RESTRAND_STOPPED` if no more is wanted.
    pub take:
        Option<unsafe extern "C" fn(context: *mut c_void, lines: RestrandBytes) -> RestrandStatus>,
}

/// Takes written parts.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct RestrandOutput {
    /// The first argument of `write`.
    pub context: *mut c_void,
    /// Adds bytes at the end of the part of this name; no bytes make an empty part.
    ///
    /// To be called by the thread in which the plugin itself was called. Returns `RESTRAND_OK` or `RESTRAND_MEDIUM`.
    pub write: Option<
        unsafe extern "C" fn(
            context: *mut c_void,
            name: RestrandBytes,
            bytes: RestrandBytes,
        ) -> RestrandStatus,
    >,
}

/// A plugin: what the library's one symbol leads to.
///
/// The first three members never change their place.
/// Any of the functions may be called from any thread, also from several at once, and in any order.
/// No function lets an exception or a panic pass, opens a file, reads the environment or prints.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct RestrandPlugin {
    /// `RESTRAND_ABI_MAJOR` as the plugin was made.
    pub abi_major: u32,
    /// `RESTRAND_ABI_MINOR` as the plugin was made.
    pub abi_minor: u32,
    /// The size of this struct in bytes as the plugin was made.
    pub struct_size: usize,
    /// Gives one `description` line.
    pub describe: Option<unsafe extern "C" fn(lines: *const RestrandLines) -> RestrandStatus>,
    /// Looks at the parts, at as little of them as tells the format; sets one of `RESTRAND_CONFIDENCE_*`.
    pub probe: Option<
        unsafe extern "C" fn(
            parts: *const RestrandPart,
            part_count: usize,
            confidence: *mut u32,
            lines: *const RestrandLines,
        ) -> RestrandStatus,
    >,
    /// Reads the parts into `table`, `record` and `problem` lines, with an `end` line after the last.
    pub load: Option<
        unsafe extern "C" fn(
            parts: *const RestrandPart,
            part_count: usize,
            budget: *const RestrandBudget,
            lines: *const RestrandLines,
        ) -> RestrandStatus,
    >,
    /// Writes a content, and gives a `loss` line for each value it could not carry and an `end` line.
    pub write: Option<
        unsafe extern "C" fn(
            content: RestrandBytes,
            output: *const RestrandOutput,
            lines: *const RestrandLines,
        ) -> RestrandStatus,
    >,
    /// Writes the parts again with the changes of a content in them, and leaves everything else of them as it
    /// is; gives lines as `write` does.
    pub patch: Option<
        unsafe extern "C" fn(
            parts: *const RestrandPart,
            part_count: usize,
            content: RestrandBytes,
            output: *const RestrandOutput,
            lines: *const RestrandLines,
        ) -> RestrandStatus,
    >,
}

/// The function behind the symbol; what it returns is never freed and never changes.
pub type RestrandEntry = unsafe extern "C" fn() -> *const RestrandPlugin;

/// The name of the one symbol that a plugin exports.
pub const SYMBOL: &core::ffi::CStr = c"restrand_plugin_v1";
