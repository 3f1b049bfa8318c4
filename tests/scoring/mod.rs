//! Scoring figures against known truth, held against what can be worked out by hand.

mod reference;
mod statistics;
