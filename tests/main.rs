//! Behaviour of the whole, one binary.

mod report;
