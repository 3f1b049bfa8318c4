//! The program's ground against figures published or computed by others.
//!
//! Each row names where it is from. The constants are copied from there, never
//! from `src`. "From memory" says that the document itself was not at hand;
//! "computed" that the row follows from the formulas of the document named, and
//! was confirmed with an independent implementation.

mod atmosphere;
mod cold_temperature;
mod geodesy;
mod geoid;
mod glide;
mod metar;
mod reach;
mod standards;
mod statistics;

/// Metres in a foot: International Yard and Pound Agreement, 1959.
const M_PER_FT: f64 = 0.3048;
/// Metres per second in a knot: one nautical mile of 1852 m an hour.
const MPS_PER_KT: f64 = 1852.0 / 3600.0;

/// Fails, with the row and its source, when a figure is not the published one.
#[track_caller]
fn expect(found: f64, published: f64, tolerance: f64, row: &str, source: &str) {
    assert!(
        (found - published).abs() <= tolerance,
        "{row}: found {found}, published {published} ± {tolerance} ({source})"
    );
}
