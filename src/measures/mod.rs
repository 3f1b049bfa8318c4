//! Stage 6: one path of one attempt → the figures about it.

pub mod catalogue;
