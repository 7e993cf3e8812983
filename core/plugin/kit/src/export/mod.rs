//! A plugin as a library: the C struct of [`restrand_abi`] over the trait.
//!
//! Panics end at this boundary: they are caught and become a status with the text of the panic.
#![expect(unsafe_code, reason = "pointers of the host are read here, and nowhere else in the kit")]

mod sink;
mod source;

use std::any::Any;
use std::panic::{AssertUnwindSafe, catch_unwind};

use restrand_abi as abi;
pub use restrand_abi::RestrandPlugin;

use crate::plugin::{Budget, Confidence, Failure, LoadError, Plugin, WriteError};
use crate::wire::{Carried, Counts, WireDescription, WireFailure, write_error, write_loss};
use sink::{Files, Lines};
use source::{Parts, bytes};

/// A plugin that a library exports; [`export_plugin!`](crate::export_plugin) makes one.
pub trait Exported: 'static {
    /// The plugin.
    fn plugin() -> &'static dyn Plugin;
}

/// The struct to which the library's symbol leads.
#[must_use]
pub const fn table<E: Exported>() -> RestrandPlugin {
    RestrandPlugin {
        abi_major: abi::RESTRAND_ABI_MAJOR,
        abi_minor: abi::RESTRAND_ABI_MINOR,
        struct_size: size_of::<RestrandPlugin>(),
        describe: Some(describe::<E>),
        probe: Some(probe::<E>),
        load: Some(load::<E>),
        write: Some(write::<E>),
        patch: Some(patch::<E>),
    }
}

/// Exports a plugin from a library of the type `cdylib`: all that such a library says.
///
/// Takes an expression that is a constant, as `export_plugin!(restrand_json::Json);`.
#[macro_export]
macro_rules! export_plugin {
    ($plugin:expr) => {
        struct Plugin;

        impl $crate::export::Exported for Plugin {
            fn plugin() -> &'static dyn $crate::Plugin {
                &$plugin
            }
        }

        /// The plugin, as restrand finds it.
        #[unsafe(no_mangle)]
        pub extern "C" fn restrand_plugin_v1() -> *const $crate::export::RestrandPlugin {
            static TABLE: $crate::export::RestrandPlugin = $crate::export::table::<Plugin>();
            &TABLE
        }
    };
}

/// Why a call ends otherwise than well.
struct Trouble {
    status: abi::RestrandStatus,
    failure: Option<Box<WireFailure>>,
}

impl Trouble {
    const fn silent(status: abi::RestrandStatus) -> Self {
        Self { status, failure: None }
    }

    fn said(status: abi::RestrandStatus, why: String) -> Self {
        let failure = WireFailure { place: None, why, help: String::new() };
        Self { status, failure: Some(Box::new(failure)) }
    }
}

impl From<crate::Stopped> for Trouble {
    fn from(_: crate::Stopped) -> Self {
        Self::silent(abi::RESTRAND_STOPPED)
    }
}

impl From<Failure> for Trouble {
    fn from(Failure { why, help, .. }: Failure) -> Self {
        let failure = WireFailure { place: None, why, help };
        Self { status: abi::RESTRAND_FAILED, failure: Some(Box::new(failure)) }
    }
}

impl From<LoadError> for Trouble {
    fn from(error: LoadError) -> Self {
        match error {
            LoadError::Unreadable { place, why, help } => Self {
                status: abi::RESTRAND_UNREADABLE,
                failure: Some(Box::new(WireFailure { place: Some(place), why, help })),
            },
            LoadError::Medium(error) => Self::said(abi::RESTRAND_MEDIUM, error.to_string()),
            LoadError::Stopped => Self::silent(abi::RESTRAND_STOPPED),
            LoadError::Plugin(failure) => failure.into(),
        }
    }
}

impl From<WriteError> for Trouble {
    fn from(error: WriteError) -> Self {
        match error {
            WriteError::Unsupported(why) => Self::said(abi::RESTRAND_UNSUPPORTED, why),
            WriteError::Medium(error) => Self::said(abi::RESTRAND_MEDIUM, error.to_string()),
            WriteError::Plugin(failure) => failure.into(),
        }
    }
}

/// Runs a call; what goes wrong, and a panic, become a status and an `error` line.
///
/// # Safety
/// `lines` is null or as [`restrand_abi`] says, until this returns.
unsafe fn guarded(
    lines: *const abi::RestrandLines,
    call: impl FnOnce(&mut Lines) -> Result<(), Trouble>,
) -> abi::RestrandStatus {
    // SAFETY: the caller's promise.
    let Some(mut lines) = (unsafe { Lines::new(lines) }) else {
        return abi::RESTRAND_BAD_CALL;
    };
    let result = catch_unwind(AssertUnwindSafe(|| {
        call(&mut lines)?;
        lines.flush()?;
        Ok(())
    }));
    let trouble = match result {
        Ok(Ok(())) => return abi::RESTRAND_OK,
        Ok(Err(trouble)) => trouble,
        Err(panic) => {
            let said = format!("it panicked: {}", said(panic.as_ref()));
            // Dropping what a panic carries can panic again.
            std::mem::forget(panic);
            Trouble::said(abi::RESTRAND_FAILED, said)
        }
    };
    if let Some(failure) = &trouble.failure {
        write_error(failure, lines.buffer());
        // If nobody takes lines any more, the status alone has to do.
        let _ = lines.flush();
    }
    trouble.status
}

fn said(panic: &(dyn Any + Send)) -> String {
    match (panic.downcast_ref::<&str>(), panic.downcast_ref::<String>()) {
        (Some(text), _) => (*text).to_owned(),
        (_, Some(text)) => text.clone(),
        _ => "it did not say why".to_owned(),
    }
}

unsafe extern "C" fn describe<E: Exported>(
    lines: *const abi::RestrandLines,
) -> abi::RestrandStatus {
    // SAFETY: the host keeps to the ABI.
    unsafe {
        guarded(lines, |lines| {
            let plugin = E::plugin();
            WireDescription::write(&plugin.describe(), plugin.takes_layout(), lines.buffer());
            Ok(())
        })
    }
}

unsafe extern "C" fn probe<E: Exported>(
    parts: *const abi::RestrandPart,
    part_count: usize,
    confidence: *mut u32,
    lines: *const abi::RestrandLines,
) -> abi::RestrandStatus {
    // SAFETY: the host keeps to the ABI.
    unsafe {
        guarded(lines, |_| {
            let parts = Parts::new(parts, part_count)?;
            let found = match E::plugin().probe(crate::Parts(&parts.all())) {
                Confidence::No => abi::RESTRAND_CONFIDENCE_NO,
                Confidence::Perhaps => abi::RESTRAND_CONFIDENCE_PERHAPS,
                Confidence::Sure => abi::RESTRAND_CONFIDENCE_SURE,
            };
            let confidence = confidence.as_mut().ok_or(BAD_CALL)?;
            *confidence = found;
            Ok(())
        })
    }
}

unsafe extern "C" fn load<E: Exported>(
    parts: *const abi::RestrandPart,
    part_count: usize,
    budget: *const abi::RestrandBudget,
    lines: *const abi::RestrandLines,
) -> abi::RestrandStatus {
    // SAFETY: the host keeps to the ABI.
    unsafe {
        guarded(lines, |lines| {
            let parts = Parts::new(parts, part_count)?;
            let budget = budget.as_ref().ok_or(BAD_CALL)?;
            let budget = Budget { unpacked_bytes: budget.unpacked_bytes, depth: budget.depth };
            let mut frames = sink::FrameLines::new(lines);
            let loaded = E::plugin().load(crate::Parts(&parts.all()), budget, &mut frames);
            // Frames before an error are of use: what was read so far can be told.
            let counts = frames.counts();
            loaded?;
            counts.write_end(lines.buffer());
            Ok(())
        })
    }
}

unsafe extern "C" fn write<E: Exported>(
    content: abi::RestrandBytes,
    output: *const abi::RestrandOutput,
    lines: *const abi::RestrandLines,
) -> abi::RestrandStatus {
    // SAFETY: the host keeps to the ABI.
    unsafe {
        guarded(lines, |lines| {
            let carried = carried(content)?;
            let mut files = Files::new(output)?;
            let losses = E::plugin().write(&carried.content(), carried.options(), &mut files)?;
            report(&losses, lines)
        })
    }
}

unsafe extern "C" fn patch<E: Exported>(
    parts: *const abi::RestrandPart,
    part_count: usize,
    content: abi::RestrandBytes,
    output: *const abi::RestrandOutput,
    lines: *const abi::RestrandLines,
) -> abi::RestrandStatus {
    // SAFETY: the host keeps to the ABI.
    unsafe {
        guarded(lines, |lines| {
            let parts = Parts::new(parts, part_count)?;
            let carried = carried(content)?;
            let mut files = Files::new(output)?;
            let losses = E::plugin().patch(
                crate::Parts(&parts.all()),
                &carried.content(),
                carried.options(),
                &mut files,
            )?;
            report(&losses, lines)
        })
    }
}

const BAD_CALL: Trouble = Trouble::silent(abi::RESTRAND_BAD_CALL);

/// # Safety
/// The bytes are as [`restrand_abi`] says.
unsafe fn carried(content: abi::RestrandBytes) -> Result<Carried, Trouble> {
    // SAFETY: the caller's promise.
    let lines = unsafe { bytes(content) }.ok_or(BAD_CALL)?;
    Carried::read(lines).map_err(|error| Trouble::said(abi::RESTRAND_BAD_CALL, error.to_string()))
}

fn report(losses: &[crate::Loss], lines: &mut Lines) -> Result<(), Trouble> {
    let mut counts = Counts::default();
    for loss in losses {
        write_loss(loss, &mut counts, lines.buffer());
        lines.flush_if_full()?;
    }
    counts.write_end(lines.buffer());
    Ok(())
}
