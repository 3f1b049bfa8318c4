//! Stage 7: everything about one recording, as a document.

pub mod document;
