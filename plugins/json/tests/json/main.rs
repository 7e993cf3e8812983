//! The JSON plugin, through the contract that the host uses.

#![expect(clippy::unwrap_used, reason = "helpers of tests are tests")]

mod lines;
mod mutations;
mod places;
mod probe;
mod reading;
mod refused;
mod round_trip;
