//! Stressing against independent brute force, and the laws that it must obey.

#![allow(clippy::unwrap_used)]

mod grid;
mod laws;
mod relaxation;
mod tendons;
