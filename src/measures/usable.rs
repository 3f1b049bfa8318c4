//! How wide an interval may be before its middle says nothing to a pilot.
//!
//! Half-widths, common practice: about the tolerance of the published standards for what has one (airspeed
//! ±10 kt, a touchdown within 400 ft or so), about half of what tells a good one from a bad one for the rest.

/// A height, ft.
pub const HEIGHT_FT: f64 = 200.0;
/// A speed, kt.
pub const SPEED_KT: f64 = 10.0;
/// A height in hand, ft.
pub const IN_HAND_FT: f64 = 300.0;
/// Rates, ratios, and what belongs to one orbit: share of the value.
const SHARE: f64 = 0.25;

/// Whether the value of measure `id` can be used, with this interval.
pub fn can_tell(id: &str, value: f64, low: f64, high: f64) -> bool {
    let half_width = (high - low) / 2.0;
    half_width <= widest(id, value)
}

/// How much an attempt counts whose value of measure `id` has this interval, against one that is known exactly: ½ where
/// the value can just be used, less and less beyond.
pub fn weight(id: &str, value: f64, low: f64, high: f64) -> f64 {
    let half_width = (high - low) / 2.0;
    let widest = widest(id, value);
    if half_width <= 0.0 {
        return 1.0;
    }
    1.0 / (1.0 + (half_width / widest).powi(2))
}

fn widest(id: &str, value: f64) -> f64 {
    let share = SHARE * value.abs();
    match id {
        "glide_cas_within_share" | "final_cas_within_share" => 0.35,
        "orbits" => 0.5,
        "bank_max_deg" => 12.0,
        "load_factor_max" => 0.3,
        "stall_margin_min" => 0.15,
        "settling_time_s" => 15.0,
        "glide_time_s" => 20.0,
        "time_per_orbit_s" | "height_per_orbit_ft" => share,
        // a hard landing begins at about 360 ft/min, a good one is below 120
        "touchdown_sink_fpm" => 240.0,
        "touchdown_along_ft" | "abeam_distance_ft" | "on_final_distance_ft" => 500.0,
        "touchdown_across_ft" => 150.0,
        _ if id.starts_with("projected_") => 1000.0,
        _ if id.starts_with("height_in_hand_") => IN_HAND_FT,
        _ if id.starts_with("float_") => 300.0,
        _ if id.starts_with("glide_ratio_") || id.ends_with("_fpm") => share,
        _ if id.ends_with("_sd_kt") => 4.0,
        _ if id.ends_with("_kt") => SPEED_KT,
        _ if id.ends_with("_ft") => HEIGHT_FT,
        _ => f64::INFINITY,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_can_just_be_used_counts_half() {
        assert!((weight("touchdown_along_ft", 300.0, -200.0, 800.0) - 0.5).abs() < 1e-12);
        // three times as wide: a tenth
        assert!((weight("touchdown_sink_fpm", 720.0, 0.0, 1440.0) - 0.1).abs() < 1e-12);
        assert!((weight("touchdown_sink_fpm", 0.0, 0.0, 0.0) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn the_widest_of_each_kind() {
        for (id, value, half) in [
            ("projected_from_500ft_along_ft", 700.0, 1000.0),
            ("height_in_hand_abeam_ft", -700.0, 300.0),
            ("float_distance_ft", 700.0, 300.0),
            // a quarter of the value
            ("glide_ratio_air", 8.0, 2.0),
            ("descent_rate_fpm", -800.0, 200.0),
            ("glide_cas_sd_kt", 7.0, 4.0),
            ("glide_cas_mean_kt", 70.0, 10.0),
            ("abeam_height_ft", 1000.0, 200.0),
        ] {
            let with = |half: f64| can_tell(id, value, value - half, value + half);
            assert!(with(half) && !with(1.01 * half), "{id}");
        }
        // of what is no measure nothing is known to be too wide
        assert!(can_tell("a_word", 1.0, -1e9, 1e9));
    }

    use crate::measures::catalogue::CATALOGUE;

    #[test]
    fn every_measure_has_a_widest_interval() {
        for info in CATALOGUE {
            assert!(widest(info.id, 1.0).is_finite(), "{}", info.id);
        }
    }
}
