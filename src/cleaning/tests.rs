//! Defects put into a flown track, and taken out again.
