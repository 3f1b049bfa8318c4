//! Placeholder.

pub mod touchdown;
