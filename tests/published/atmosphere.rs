//! Standard atmosphere, altimeter, airspeeds.

use stillprop::atmosphere::{
    AirColumn, cas_from_impact_pressure_mps, cas_mps, density_altitude_m, density_kgpm3,
    geopotential_m, pressure_altitude_m, pressure_hpa_at_pressure_altitude_m,
    standard_temperature_k, tas_mps,
};

use super::{M_PER_FT, MPS_PER_KT, expect};

const ISO_2533: &str = "computed from ISO 2533:1975 (U.S. Standard Atmosphere 1976)";

/// Height m, then temperature K, pressure Pa and density kg/m³ for that height
/// as geopotential, then the same for it as geometric height.
const METRES: [[f64; 7]; 5] = [
    [
        0.0, 288.150, 101325.0, 1.225000, 288.150, 101325.0, 1.225000,
    ],
    [
        1000.0, 281.650, 89874.6, 1.111643, 281.6510, 89876.3, 1.111660,
    ],
    [
        2000.0, 275.150, 79495.2, 1.006490, 275.1541, 79501.4, 1.006554,
    ],
    [
        3000.0, 268.650, 70108.5, 0.909122, 268.6592, 70121.1, 0.909254,
    ],
    [
        5000.0, 255.650, 54019.9, 0.736116, 255.6755, 54048.3, 0.736429,
    ],
];

/// Geopotential height ft, temperature K, pressure Pa, density kg/m³, density ratio, true over equivalent airspeed.
const FEET: [[f64; 6]; 6] = [
    [1000.0, 286.1688, 97716.6, 1.189554, 0.971064, 1.014790],
    [2000.0, 284.1876, 94212.9, 1.154897, 0.942773, 1.029903],
    [3000.0, 282.2064, 90811.7, 1.121019, 0.915117, 1.045350],
    [5000.0, 278.2440, 84307.3, 1.055546, 0.861670, 1.077282],
    [8000.0, 272.3004, 75262.4, 0.962870, 0.786016, 1.127935],
    [10000.0, 268.3380, 69681.6, 0.904637, 0.738479, 1.163673],
];

#[test]
fn standard_atmosphere_by_metres() {
    for [height_m, t, p, rho, t_geometric, p_geometric, rho_geometric] in METRES {
        for (altitude_m, t, p, rho) in [
            (height_m, t, p, rho),
            (
                geopotential_m(height_m),
                t_geometric,
                p_geometric,
                rho_geometric,
            ),
        ] {
            let row = format!("{altitude_m} m");
            let temperature_k = standard_temperature_k(altitude_m);
            let pressure_hpa = pressure_hpa_at_pressure_altitude_m(altitude_m);
            expect(temperature_k, t, 1e-4, &row, ISO_2533);
            expect(pressure_hpa * 100.0, p, 0.06, &row, ISO_2533);
            expect(
                density_kgpm3(pressure_hpa, temperature_k),
                rho,
                1e-6,
                &row,
                ISO_2533,
            );
            expect(
                pressure_altitude_m(p / 100.0),
                altitude_m,
                0.01,
                &row,
                ISO_2533,
            );
        }
    }
}

#[test]
fn geometric_and_geopotential_metres_are_told_apart() {
    let difference_hpa = pressure_hpa_at_pressure_altitude_m(geopotential_m(5000.0))
        - pressure_hpa_at_pressure_altitude_m(5000.0);
    expect(difference_hpa * 100.0, 28.4, 0.2, "5000 m", ISO_2533);
}

#[test]
fn standard_atmosphere_by_feet() {
    let sea_level = AirColumn::standard(0.0);
    let scale = sea_level.speed_scale();
    for [feet, t, p, rho, ratio, true_over_equivalent] in FEET {
        let row = format!("{feet} ft");
        let altitude_m = feet * M_PER_FT;
        expect(standard_temperature_k(altitude_m), t, 1e-4, &row, ISO_2533);
        expect(
            pressure_hpa_at_pressure_altitude_m(altitude_m) * 100.0,
            p,
            0.06,
            &row,
            ISO_2533,
        );
        // The column above a field at sea level on a standard day is the same air.
        expect(
            sea_level.pressure_hpa(altitude_m) * 100.0,
            p,
            0.06,
            &row,
            ISO_2533,
        );
        expect(
            sea_level.density_kgpm3(altitude_m),
            rho,
            1e-6,
            &row,
            ISO_2533,
        );
        expect(
            sea_level.density_kgpm3(altitude_m) / 1.225,
            ratio,
            1e-6,
            &row,
            ISO_2533,
        );
        expect(
            scale.sqrt_density_ratio(altitude_m).recip(),
            true_over_equivalent,
            5e-6,
            &row,
            ISO_2533,
        );
    }
}

#[test]
fn calibrated_airspeed_of_an_impact_pressure() {
    // The last digits of both rest on rounded constants: 518.967 with exact ones.
    const SOURCE: &str = "worked examples of a published airspeed calculator, seen";
    const HPA_PER_INHG: f64 = 33.86389;
    const HPA_PER_PSI: f64 = 68.947573;
    const MPS_PER_MPH: f64 = 0.44704;
    let knots = cas_from_impact_pressure_mps(15.0 * HPA_PER_INHG) / MPS_PER_KT;
    expect(knots, 518.966, 0.002, "15 inHg", SOURCE);
    let mph = cas_from_impact_pressure_mps(0.2 * HPA_PER_PSI) / MPS_PER_MPH;
    expect(mph, 105.8828, 0.0002, "0.2 psi", SOURCE);
}

#[test]
fn true_from_calibrated_airspeed() {
    const SOURCE: &str = "computed from Saint-Venant's equation and ISO 2533:1975";
    // CAS kt, pressure altitude ft, temperature °C (none: standard), TAS kt.
    for (cas_kt, feet, temperature_c, tas_kt) in [
        (68.0, 3000.0, None, 71.073),
        (68.0, 5000.0, None, 73.236),
        (68.0, 8000.0, None, 76.665),
        (65.0, 2000.0, None, 66.938),
        (100.0, 10000.0, None, 116.218),
        (68.0, 3000.0, Some(25.0), 73.053),
        (68.0, 5000.0, Some(30.0), 76.443),
    ] {
        let row = format!("{cas_kt} kt at {feet} ft, {temperature_c:?} °C");
        let pressure_hpa = pressure_hpa_at_pressure_altitude_m(feet * M_PER_FT);
        let temperature_k = temperature_c
            .map_or(standard_temperature_k(feet * M_PER_FT), |celsius: f64| {
                celsius + 273.15
            });
        let tas = tas_mps(cas_kt * MPS_PER_KT, pressure_hpa, temperature_k) / MPS_PER_KT;
        expect(tas, tas_kt, 6e-4, &row, SOURCE);
        let cas = cas_mps(tas_kt * MPS_PER_KT, pressure_hpa, temperature_k) / MPS_PER_KT;
        expect(cas, cas_kt, 6e-4, &row, SOURCE);
        // The same air as a column, without powers: a field at that pressure altitude.
        let field = AirColumn {
            qnh_hpa: 1013.25,
            elevation_m: feet * M_PER_FT,
            temperature_at_elevation_k: temperature_k,
        };
        let quick = field.speed_scale().tas_mps(cas_kt * MPS_PER_KT, 0.0) / MPS_PER_KT;
        expect(quick, tas_kt, 2e-3, &row, SOURCE);
    }
}

#[test]
fn density_altitude_of_dry_air() {
    const SOURCE: &str = "computed from ISO 2533:1975";
    for (feet, celsius, density_altitude_ft) in [
        (5000.0, 30.0, 7800.7),
        (3000.0, 25.0, 4827.6),
        (1000.0, 30.0, 2943.3),
        (0.0, 35.0, 2275.3),
        (4000.0, -10.0, 1895.1),
    ] {
        let pressure_hpa = pressure_hpa_at_pressure_altitude_m(feet * M_PER_FT);
        let found = density_altitude_m(pressure_hpa, celsius + 273.15) / M_PER_FT;
        expect(
            found,
            density_altitude_ft,
            0.1,
            &format!("{feet} ft, {celsius} °C"),
            SOURCE,
        );
    }
}

#[test]
fn altitude_on_a_qnh() {
    const SOURCE: &str = "computed from ICAO Doc 7488: 44330.77 m [1 − (p/1013.25)^0.190263]";
    for (qnh_hpa, add_m) in [(1023.12, 81.84), (1003.0, -85.68), (1030.0, 138.51)] {
        let row = format!("QNH {qnh_hpa}");
        expect(-pressure_altitude_m(qnh_hpa), add_m, 0.006, &row, SOURCE);
        // On a day of standard temperature it is also the height above a field at sea level.
        let standard_there = standard_temperature_k(-add_m);
        let air = AirColumn {
            qnh_hpa,
            elevation_m: 0.0,
            temperature_at_elevation_k: standard_there,
        };
        expect(
            air.height_above_elevation_m(1000.0),
            1000.0 + add_m,
            0.006,
            &row,
            SOURCE,
        );
    }
}
