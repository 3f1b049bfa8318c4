//! All integration tests, linked once.

mod published;
