//! Recordings and files that nobody would make on purpose: whatever comes, the program says what it
//! found, and no figure is nonsense.

mod mutated;
mod odd_flights;
mod odd_fixes;
mod sound;
