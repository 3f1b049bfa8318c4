//! Small matrices: plain arrays for the filters, one flat buffer for the fits.
//!
//! The filters use matrices of 3 to 12 rows known at compile time, some
//! hundred thousand times a recording: plain arrays, on the stack, unrolled by
//! the compiler. The fits (wind and airspeed) solve one symmetric system of up
//! to some sixty unknowns at a time: [`Dense`].

mod dense;
mod fixed;

pub use dense::{Dense, dot_slices};
pub use fixed::*;

#[cfg(test)]
mod tests;
