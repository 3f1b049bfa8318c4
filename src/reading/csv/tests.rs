//! Whole tables, as recorders write them.
