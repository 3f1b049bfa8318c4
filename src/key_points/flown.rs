//! One draw of an attempt, in even steps, with everything the measures need at each instant.

use crate::air::WindProfile;
use crate::air::drag::load_factor;
use crate::atmosphere::SpeedScale;
use crate::flight_path::{Motion, Path};
use crate::units::G0_MPS2;

/// Time between instants, s.
pub const STEP_S: f64 = 0.5;

/// One instant of a draw.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Instant {
    /// Motion over the ground.
    pub motion: Motion,
    /// Distance beyond the aim along the landing direction, m (NaN without a landing direction).
    pub along_m: f64,
    /// Distance right of the aim, m.
    pub across_m: f64,
    /// True airspeed, m/s, gusts included.
    pub tas_mps: f64,
    /// Calibrated airspeed, m/s, gusts included.
    pub cas_mps: f64,
    /// Calibrated airspeed without drawn gusts, m/s: as recorded, where it was, which has the real ones.
    pub calm_cas_mps: f64,
    /// Horizontal speed through the air, m/s.
    pub level_air_mps: f64,
    /// Bank of a coordinated turn, degrees, right positive.
    pub bank_deg: f64,
    /// Load factor of that turn.
    pub load_factor: f64,
    /// Track over the ground, degrees true, unwrapped from instant to instant.
    pub track_deg: f64,
    /// Heading through the air, degrees true, unwrapped from instant to instant.
    pub heading_deg: f64,
}

/// One draw of an attempt.
#[derive(Debug, Clone, PartialEq)]
pub struct Flown {
    /// Every [`STEP_S`].
    pub instants: Vec<Instant>,
    /// Wind of this draw.
    pub wind: WindProfile,
    /// Landing direction, degrees true.
    pub landing_true_deg: Option<f64>,
    path: Path,
}

/// What a draw needs beyond its path and wind.
#[derive(Debug, Clone, Copy)]
pub struct DrawnAir<'a> {
    /// Calibrated from true airspeed, at the temperature of this draw.
    pub scale: &'a SpeedScale,
    /// Gust along the flight at each step, m/s.
    pub gust_mps: &'a [f64],
    /// Recorded true airspeed less its drawn error, at each step (NaN where there is none), m/s.
    pub recorded_tas_mps: &'a [f64],
    /// Recorded indicated airspeed less its drawn position error, likewise: calibrated, m/s.
    pub recorded_cas_mps: &'a [f64],
}

/// Distance along and across the landing direction of a place east and north of the aim.
pub fn along_across(east_m: f64, north_m: f64, landing_true_deg: f64) -> (f64, f64) {
    let (sin, cos) = landing_true_deg.to_radians().sin_cos();
    (east_m * sin + north_m * cos, east_m * cos - north_m * sin)
}

/// A direction from instant to instant, without jumps.
#[derive(Debug, Default)]
struct Unwrapped {
    /// The last direction between −180° and 180°, and unwrapped.
    last_deg: Option<(f64, f64)>,
}

impl Unwrapped {
    /// The next direction, given in radians between −π and π, unwrapped, degrees.
    fn next_deg(&mut self, direction_rad: f64) -> f64 {
        let now_deg = direction_rad.to_degrees();
        let unwrapped_deg = self.last_deg.map_or(now_deg, |(before_deg, at_deg)| {
            let turned_deg = now_deg - before_deg;
            at_deg
                + if turned_deg >= 180.0 {
                    turned_deg - 360.0
                } else if turned_deg < -180.0 {
                    turned_deg + 360.0
                } else {
                    turned_deg
                }
        });
        self.last_deg = Some((now_deg, unwrapped_deg));
        unwrapped_deg
    }
}

/// Least share of gravity that the wings are taken to carry upwards: below, the path says nothing of the bank.
const LEAST_UP: f64 = 0.3;

/// Bank of a turn without slip: what the wings give across the way over what they give upwards, which is less than
/// gravity where the nose falls out of the turn.
fn bank_deg(across_mps2: f64, climb_mps2: f64) -> f64 {
    let up_mps2 = (G0_MPS2 + climb_mps2).max(LEAST_UP * G0_MPS2);
    (across_mps2 / up_mps2).atan().to_degrees()
}

impl Flown {
    /// The draw between `from_s` and `to_s`.
    pub fn new(
        path: Path,
        (from_s, to_s): (f64, f64),
        wind: WindProfile,
        landing_true_deg: Option<f64>,
        air: &DrawnAir<'_>,
    ) -> Self {
        let motions = path.samples(from_s, to_s, STEP_S);
        let mut instants: Vec<Instant> = Vec::with_capacity(motions.size_hint().0);
        let landing = landing_true_deg.map(|d| d.to_radians().sin_cos());
        let (mut track, mut heading) = (Unwrapped::default(), Unwrapped::default());
        for (i, m) in motions.enumerate() {
            let place = WindProfile::place(wind.knots_mps.len(), m.height_m);
            let w = wind.at_place(&place);
            let through = [m.east_mps - w[0], m.north_mps - w[1]];
            let level = (through[0] * through[0] + through[1] * through[1])
                .sqrt()
                .max(0.5);
            // what the wings give: the acceleration over the ground, across the way through the air
            let across = (through[1] * m.east_mps2 - through[0] * m.north_mps2) / level;
            let calm_tas = (level * level + m.climb_mps * m.climb_mps).sqrt();
            let finite = |all: &[f64]| all.get(i).copied().filter(|v| v.is_finite());
            let recorded_tas = finite(air.recorded_tas_mps);
            let tas_mps = recorded_tas
                .unwrap_or_else(|| calm_tas + air.gust_mps.get(i).copied().unwrap_or(0.0));
            let recorded_cas = finite(air.recorded_cas_mps)
                .or_else(|| recorded_tas.map(|tas| air.scale.cas_mps(tas, m.height_m)));
            let (along_m, across_m) = landing.map_or((f64::NAN, f64::NAN), |(sin, cos)| {
                (
                    m.east_m * sin + m.north_m * cos,
                    m.east_m * cos - m.north_m * sin,
                )
            });
            instants.push(Instant {
                motion: m,
                along_m,
                across_m,
                tas_mps,
                cas_mps: recorded_cas.unwrap_or_else(|| air.scale.cas_mps(tas_mps, m.height_m)),
                calm_cas_mps: recorded_cas
                    .unwrap_or_else(|| air.scale.cas_mps(calm_tas, m.height_m)),
                level_air_mps: level,
                bank_deg: bank_deg(across, m.climb_mps2),
                load_factor: load_factor(across),
                track_deg: track.next_deg(m.east_mps.atan2(m.north_mps)),
                heading_deg: heading.next_deg(through[0].atan2(through[1])),
            });
        }
        Flown {
            instants,
            wind,
            landing_true_deg,
            path,
        }
    }

    /// Motion at any time within the draw.
    pub fn at(&self, t_s: f64) -> Motion {
        self.path.at(t_s)
    }

    /// Index of the instant nearest to `t_s`.
    pub fn index(&self, t_s: f64) -> usize {
        let first = self.instants.first().map_or(0.0, |i| i.motion.t_s);
        (((t_s - first) / STEP_S).round().max(0.0) as usize)
            .min(self.instants.len().saturating_sub(1))
    }

    /// The instants from `from_s` to `to_s`.
    pub fn between(&self, from_s: f64, to_s: f64) -> &[Instant] {
        if self.instants.is_empty() || to_s < from_s {
            return &[];
        }
        &self.instants[self.index(from_s)..=self.index(to_s)]
    }

    /// Calibrated airspeed at `t_s`, m/s: mean over two seconds.
    pub fn cas_mps_at(&self, t_s: f64) -> f64 {
        let near = self.between(t_s - 1.0, t_s + 1.0);
        near.iter().map(|i| i.cas_mps).sum::<f64>() / near.len().max(1) as f64
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::atmosphere::AirColumn;

    /// By the balance of forces: 30° in a level turn; a nose that falls at half of gravity doubles what the wings
    /// give across against what they give upwards, tan 49.1° = 2 tan 30°; a pull-up is no bank.
    #[test]
    fn a_turn_is_banked_more_where_the_nose_falls_out_of_it() {
        let across = G0_MPS2 * 30f64.to_radians().tan();
        assert!((bank_deg(across, 0.0) - 30.0).abs() < 1e-9);
        assert!((bank_deg(across, -0.5 * G0_MPS2) - 49.107).abs() < 1e-3);
        assert!(bank_deg(-across, 0.2 * G0_MPS2) > -30.0);
        // what falls freely has no wings to tell from
        assert!((bank_deg(across, -2.0 * G0_MPS2) - 62.543).abs() < 1e-2);
    }

    /// Calibrated airspeeds of an instant with these recorded airspeeds, on a day of this temperature.
    fn with_recorded(tas_mps: f64, cas_mps: f64, temperature_c: f64) -> Instant {
        let at = |t_s: f64| Motion {
            t_s,
            north_m: 40.0 * t_s,
            north_mps: 40.0,
            height_m: 500.0,
            ..Motion::default()
        };
        let path = Path {
            points: vec![at(0.0), at(1.0)],
        };
        let air = DrawnAir {
            scale: &AirColumn::new(1013.25, 100.0, temperature_c).speed_scale(),
            gust_mps: &[1.0; 3],
            recorded_tas_mps: &[tas_mps; 3],
            recorded_cas_mps: &[cas_mps; 3],
        };
        Flown::new(path, (0.0, 1.0), WindProfile::default(), None, &air).instants[0]
    }

    #[test]
    fn indicated_airspeed_is_calibrated_at_any_temperature() {
        for temperature_c in [-20.0, 15.0, 40.0] {
            let instant = with_recorded(37.0, 35.0, temperature_c);
            assert_eq!((instant.cas_mps, instant.calm_cas_mps), (35.0, 35.0));
            assert_eq!(instant.tas_mps, 37.0);
        }
    }

    #[test]
    fn true_airspeed_alone_is_brought_to_calibrated_and_ground_speed_only_without_either() {
        let scale = AirColumn::new(1013.25, 100.0, 15.0).speed_scale();
        let instant = with_recorded(37.0, f64::NAN, 15.0);
        let cas_mps = scale.cas_mps(37.0, 500.0);
        assert_eq!((instant.cas_mps, instant.calm_cas_mps), (cas_mps, cas_mps));
        let instant = with_recorded(f64::NAN, f64::NAN, 15.0);
        assert_eq!(instant.calm_cas_mps, scale.cas_mps(40.0, 500.0));
        assert_eq!(instant.cas_mps, scale.cas_mps(41.0, 500.0));
    }

    #[test]
    fn a_direction_goes_on_over_north_and_south() {
        let mut direction = Unwrapped::default();
        let given = [170.0, -170.0, -100.0, 20.0, 179.0, -179.0, 179.0];
        let unwrapped = given.map(|d: f64| direction.next_deg(d.to_radians()));
        for (found, expected) in unwrapped
            .into_iter()
            .zip([170.0, 190.0, 260.0, 380.0, 539.0, 541.0, 539.0])
        {
            assert!((found - expected).abs() < 1e-9, "{found}");
        }
    }

    #[test]
    fn along_and_across_of_a_westerly_landing() {
        // landing 270: beyond is west, right is north
        let (along, across) = along_across(-100.0, 30.0, 270.0);
        assert!((along - 100.0).abs() < 1e-9 && (across - 30.0).abs() < 1e-9);
    }
}
