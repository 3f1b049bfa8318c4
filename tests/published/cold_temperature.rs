//! The altimeter on a cold day: a check of the temperature scale of heights from pressure.

use stillprop::atmosphere::AirColumn;

use super::{M_PER_FT, expect};

/// Heights above the altimeter source, ft.
const HEIGHTS_FT: [f64; 14] = [
    200.0, 300.0, 400.0, 500.0, 600.0, 700.0, 800.0, 900.0, 1000.0, 1500.0, 2000.0, 3000.0, 4000.0,
    5000.0,
];

/// Temperature at the field, °C, and feet to add to each of the heights.
///
/// Source: ICAO cold temperature error table, as in FAA Aeronautical
/// Information Manual chapter 7 section 3, seen in two copies.
#[rustfmt::skip]
const TABLE: [(f64, [f64; 14]); 7] = [
    ( 10.0, [10.0, 10.0,  10.0,  10.0,  20.0,  20.0,  20.0,  20.0,  20.0,  30.0,  40.0,  60.0,   80.0,   90.0]),
    (  0.0, [20.0, 20.0,  30.0,  30.0,  40.0,  40.0,  50.0,  50.0,  60.0,  90.0, 120.0, 170.0,  230.0,  280.0]),
    (-10.0, [20.0, 30.0,  40.0,  50.0,  60.0,  70.0,  80.0,  90.0, 100.0, 150.0, 200.0, 290.0,  390.0,  490.0]),
    (-20.0, [30.0, 50.0,  60.0,  70.0,  90.0, 100.0, 120.0, 130.0, 140.0, 210.0, 280.0, 420.0,  570.0,  710.0]),
    (-30.0, [40.0, 60.0,  80.0, 100.0, 120.0, 140.0, 150.0, 170.0, 190.0, 280.0, 380.0, 570.0,  760.0,  950.0]),
    (-40.0, [50.0, 80.0, 100.0, 120.0, 150.0, 170.0, 190.0, 220.0, 240.0, 360.0, 480.0, 720.0,  970.0, 1210.0]),
    (-50.0, [60.0, 90.0, 120.0, 150.0, 180.0, 210.0, 240.0, 270.0, 300.0, 450.0, 590.0, 890.0, 1190.0, 1500.0]),
];

/// The correction of ICAO Doc 8168 (PANS-OPS) volume I, altimeter corrections, from memory.
fn pans_ops_ft(height_ft: f64, temperature_c: f64) -> f64 {
    height_ft * (15.0 - temperature_c) / (273.0 + temperature_c - 0.5 * 0.00198 * height_ft)
}

#[test]
fn the_published_formula_makes_the_published_table() {
    for (temperature_c, row) in TABLE {
        for (height_ft, added_ft) in HEIGHTS_FT.into_iter().zip(row) {
            let rounded_ft = (pans_ops_ft(height_ft, temperature_c) / 10.0).ceil() * 10.0;
            assert_eq!(rounded_ft, added_ft, "{temperature_c} °C, {height_ft} ft");
        }
    }
}

/// Our column needs the same corrections, less what the published formula adds for safety.
///
/// The formula divides by the mean temperature of the layer and leaves out that
/// the layer of the standard atmosphere it is compared with is thicker and so
/// colder on average. Without that shortcut the correction is H (15 − t)/T: the
/// published one is larger by 0.00198 H/2 over the absolute temperature, 0.1 %
/// of itself at 200 ft and 2.3 % at 5000 ft and −50 °C. It never falls below.
#[test]
fn our_column_needs_the_same_corrections() {
    for (temperature_c, row) in TABLE {
        let air = AirColumn::new(1013.25, 0.0, temperature_c);
        for (height_ft, added_ft) in HEIGHTS_FT.into_iter().zip(row) {
            let shown_ft = air.pressure_altitude_m_at(height_ft * M_PER_FT) / M_PER_FT;
            let correction_ft = shown_ft - height_ft;
            let published_ft = pans_ops_ft(height_ft, temperature_c);
            let cell = format!("{temperature_c} °C, {height_ft} ft");
            expect(
                correction_ft,
                published_ft,
                0.024 * published_ft + 0.2,
                &cell,
                "PANS-OPS formula, from memory",
            );
            assert!(
                correction_ft <= added_ft + 0.2,
                "{cell}: {correction_ft} {added_ft}"
            );
        }
    }
}
