//! Stressing against independent brute force, and the laws that it must obey.

mod grid;
mod laws;
mod relaxation;
mod tendons;
