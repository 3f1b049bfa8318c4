//! Every measure there is: what a pilot calls it, its unit, and how it is defined.
//!
//! The order is the order of every table. Along: positive is beyond the aim point in the landing
//! direction. Across: positive is right of it. Descent and sink: positive down.

/// What is fixed about a measure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MeasureInfo {
    /// The key in the document; ends in the unit.
    pub id: &'static str,
    /// What a pilot would call it, short enough for a table.
    pub label: &'static str,
    /// The unit as printed; empty for a ratio or a count.
    pub unit: &'static str,
    /// The most decimals worth printing.
    pub decimals: u8,
    /// The part of the attempt it belongs to.
    pub group: &'static str,
    /// One or two sentences: sign, start and end event.
    pub definition: &'static str,
}

/// Every measure, in the order of the tables.
pub const CATALOGUE: &[MeasureInfo] = &[
    MeasureInfo {
        id: "power_reduction_height_ft",
        label: "Height at power reduction",
        unit: "ft",
        decimals: 0,
        group: "Power reduction",
        definition: "Height above the aim point at the moment the power came off. Positive is above the aim.",
    },
    MeasureInfo {
        id: "settling_time_s",
        label: "Time to best glide",
        unit: "s",
        decimals: 1,
        group: "Power reduction",
        definition: "Time from the power reduction until CAS comes within 5 kt of best glide, as printed in the handbook or as briefed, and stays there for 5 s.",
    },
    MeasureInfo {
        id: "settling_height_lost_ft",
        label: "Lost to best glide",
        unit: "ft",
        decimals: 0,
        group: "Power reduction",
        definition: "Height lost from the power reduction until CAS comes within 5 kt of best glide and stays there for 5 s. Positive is height lost; a zoom climb makes it negative.",
    },
    MeasureInfo {
        id: "glide_cas_mean_kt",
        label: "Glide CAS, mean",
        unit: "kt",
        decimals: 1,
        group: "Glide",
        definition: "Mean calibrated airspeed over the steady glide: from best glide reached (15 s after the power reduction where it was reached too late or never) until on final or the first known flap event, whichever is first.",
    },
    MeasureInfo {
        id: "glide_cas_sd_kt",
        label: "Glide CAS, spread",
        unit: "kt",
        decimals: 1,
        group: "Glide",
        definition: "Standard deviation of calibrated airspeed over the steady glide.",
    },
    MeasureInfo {
        id: "glide_cas_min_kt",
        label: "Glide CAS, least",
        unit: "kt",
        decimals: 1,
        group: "Glide",
        definition: "Least calibrated airspeed in the steady glide.",
    },
    MeasureInfo {
        id: "glide_cas_max_kt",
        label: "Glide CAS, greatest",
        unit: "kt",
        decimals: 1,
        group: "Glide",
        definition: "Greatest calibrated airspeed in the steady glide.",
    },
    MeasureInfo {
        id: "glide_cas_within_share",
        label: "Glide within tolerance",
        unit: "",
        decimals: 2,
        group: "Glide",
        definition: "Share of the steady glide, by time, with CAS inside the standard's tolerance of best glide: 0 is never, 1 is always.",
    },
    MeasureInfo {
        id: "descent_rate_fpm",
        label: "Descent rate",
        unit: "ft/min",
        decimals: 0,
        group: "Glide",
        definition: "Mean rate at which height above the aim point was lost over the steady glide, positive down.",
    },
    MeasureInfo {
        id: "air_sink_rate_fpm",
        label: "Sink through the air",
        unit: "ft/min",
        decimals: 0,
        group: "Glide",
        definition: "Mean sink through the air over the steady glide, corrected for height traded against speed, positive down.",
    },
    MeasureInfo {
        id: "glide_ratio_air",
        label: "Glide ratio, air",
        unit: "",
        decimals: 1,
        group: "Glide",
        definition: "Distance flown through the air for each unit of height lost over the steady glide, corrected for height traded against speed.",
    },
    MeasureInfo {
        id: "glide_ratio_ground",
        label: "Glide ratio, ground",
        unit: "",
        decimals: 1,
        group: "Glide",
        definition: "Distance flown over the ground, along the path, for each unit of height lost over the steady glide.",
    },
    MeasureInfo {
        id: "orbits",
        label: "Orbits",
        unit: "",
        decimals: 1,
        group: "Turns",
        definition: "Full turns flown between best glide reached and the downwind leg, counted as turn angle divided by 360 degrees.",
    },
    MeasureInfo {
        id: "height_per_orbit_ft",
        label: "Height per orbit",
        unit: "ft",
        decimals: 0,
        group: "Turns",
        definition: "Height lost in each full turn, averaged over the orbits. Positive is height lost.",
    },
    MeasureInfo {
        id: "time_per_orbit_s",
        label: "Time per orbit",
        unit: "s",
        decimals: 0,
        group: "Turns",
        definition: "Time taken by each full turn, averaged over the orbits.",
    },
    MeasureInfo {
        id: "bank_max_deg",
        label: "Steepest bank",
        unit: "°",
        decimals: 0,
        group: "Turns",
        definition: "Greatest bank of the attempt, either way, as the smoothed estimate of a coordinated turn.",
    },
    MeasureInfo {
        id: "load_factor_max",
        label: "Greatest load factor",
        unit: "g",
        decimals: 2,
        group: "Turns",
        definition: "Greatest load factor of the attempt, as the smoothed estimate of a coordinated turn.",
    },
    MeasureInfo {
        id: "stall_margin_min",
        label: "Least stall margin",
        unit: "",
        decimals: 2,
        group: "Turns",
        definition: "Least ratio of CAS to the stall CAS at the load factor of the moment (stall CAS times the square root of load factor). 1 is the stall; larger is safer.",
    },
    MeasureInfo {
        id: "overhead_height_ft",
        label: "Height overhead",
        unit: "ft",
        decimals: 0,
        group: "Pattern",
        definition: "Height above the aim point at the last pass over it, within a quarter of a mile, before the abeam point.",
    },
    MeasureInfo {
        id: "abeam_height_ft",
        label: "Height abeam",
        unit: "ft",
        decimals: 0,
        group: "Pattern",
        definition: "Height above the aim point when last abeam it on the downwind leg.",
    },
    MeasureInfo {
        id: "abeam_height_error_ft",
        label: "Height abeam, from target",
        unit: "ft",
        decimals: 0,
        group: "Pattern",
        definition: "Height abeam the aim point less the target height. Positive is above the target.",
    },
    MeasureInfo {
        id: "abeam_distance_ft",
        label: "Distance abeam",
        unit: "ft",
        decimals: 0,
        group: "Pattern",
        definition: "Horizontal distance from the aim point when last abeam it on the downwind leg.",
    },
    MeasureInfo {
        id: "base_turn_height_ft",
        label: "Height at base turn",
        unit: "ft",
        decimals: 0,
        group: "Pattern",
        definition: "Height above the aim point when the track has turned 30 degrees from downwind towards base.",
    },
    MeasureInfo {
        id: "on_final_height_ft",
        label: "Height on final",
        unit: "ft",
        decimals: 0,
        group: "Pattern",
        definition: "Height above the aim point when the last turn ends, lined up with the landing direction.",
    },
    MeasureInfo {
        id: "on_final_distance_ft",
        label: "Distance on final",
        unit: "ft",
        decimals: 0,
        group: "Pattern",
        definition: "Distance short of the aim point, along the landing direction, when the last turn ends, lined up with it.",
    },
    MeasureInfo {
        id: "final_cas_mean_kt",
        label: "Final CAS, mean",
        unit: "kt",
        decimals: 1,
        group: "Pattern",
        definition: "Mean calibrated airspeed from on final until the flare, or the go-around.",
    },
    MeasureInfo {
        id: "final_cas_sd_kt",
        label: "Final CAS, spread",
        unit: "kt",
        decimals: 1,
        group: "Pattern",
        definition: "Standard deviation of calibrated airspeed from on final until the flare, or the go-around.",
    },
    MeasureInfo {
        id: "final_cas_within_share",
        label: "Final within tolerance",
        unit: "",
        decimals: 2,
        group: "Pattern",
        definition: "Share of the time from on final until the flare, or the go-around, with CAS inside the standard's tolerance of approach speed: 0 is never, 1 is always.",
    },
    MeasureInfo {
        id: "touchdown_along_ft",
        label: "Touchdown along",
        unit: "ft",
        decimals: 0,
        group: "Touchdown",
        definition: "Distance from the aim point to the touchdown along the landing direction. Positive is beyond the aim; negative is short of it.",
    },
    MeasureInfo {
        id: "touchdown_across_ft",
        label: "Touchdown across",
        unit: "ft",
        decimals: 0,
        group: "Touchdown",
        definition: "Distance from the aim point to the touchdown across the landing direction. Positive is right of it; negative is left.",
    },
    MeasureInfo {
        id: "touchdown_ground_speed_kt",
        label: "Ground speed at touchdown",
        unit: "kt",
        decimals: 1,
        group: "Touchdown",
        definition: "Speed over the ground at the touchdown.",
    },
    MeasureInfo {
        id: "touchdown_cas_kt",
        label: "CAS at touchdown",
        unit: "kt",
        decimals: 1,
        group: "Touchdown",
        definition: "Calibrated airspeed at the touchdown.",
    },
    MeasureInfo {
        id: "touchdown_sink_fpm",
        label: "Sink at touchdown",
        unit: "ft/min",
        decimals: 0,
        group: "Touchdown",
        definition: "Rate of descent just before the touchdown, positive down.",
    },
    MeasureInfo {
        id: "float_distance_ft",
        label: "Float",
        unit: "ft",
        decimals: 0,
        group: "Touchdown",
        definition: "Distance over the ground from the start of the flare to the touchdown.",
    },
    MeasureInfo {
        id: "projected_touchdown_along_ft",
        label: "Projected, last of the glide",
        unit: "ft",
        decimals: 0,
        group: "Touchdown",
        definition: "After a go-around: where the touchdown would have been along the landing direction, from the last of the glide. Positive is beyond the aim; negative is short of it.",
    },
    MeasureInfo {
        id: "projected_from_500ft_along_ft",
        label: "Projected, judged at 500 ft",
        unit: "ft",
        decimals: 0,
        group: "Touchdown",
        definition: "Where the touchdown would be along the landing direction, judged at 500 ft above the aim point, whatever was done after. Positive is beyond the aim; negative is short of it.",
    },
    MeasureInfo {
        id: "go_around_height_ft",
        label: "Lowest height, go-around",
        unit: "ft",
        decimals: 0,
        group: "Touchdown",
        definition: "Least height above the aim point before the go-around climbed away.",
    },
    MeasureInfo {
        id: "height_in_hand_at_power_reduction_ft",
        label: "In hand at power reduction",
        unit: "ft",
        decimals: 0,
        group: "Height in hand",
        definition: "Height at the power reduction, less the least height from which the aim point could still be reached from there at best glide in this wind. Negative is out of reach.",
    },
    MeasureInfo {
        id: "height_in_hand_at_abeam_ft",
        label: "In hand abeam",
        unit: "ft",
        decimals: 0,
        group: "Height in hand",
        definition: "Height abeam the aim point, less the least height from which it could still be reached from there at best glide in this wind. Negative is out of reach.",
    },
    MeasureInfo {
        id: "height_in_hand_min_ft",
        label: "Least in hand before final",
        unit: "ft",
        decimals: 0,
        group: "Height in hand",
        definition: "Least height in hand from best glide reached until on final. Negative is out of reach.",
    },
    MeasureInfo {
        id: "glide_time_s",
        label: "Time of the glide",
        unit: "s",
        decimals: 0,
        group: "Time",
        definition: "Time from the power reduction to the touchdown, or to the go-around.",
    },
];

/// The measure called `id`, if there is one.
pub fn find(id: &str) -> Option<&'static MeasureInfo> {
    CATALOGUE.iter().find(|measure| measure.id == id)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_and_labels_occur_once() {
        for (index, measure) in CATALOGUE.iter().enumerate() {
            for other in &CATALOGUE[index + 1..] {
                assert_ne!(measure.id, other.id);
                assert_ne!(measure.label, other.label);
            }
        }
    }

    #[test]
    fn a_group_is_one_block_of_the_table() {
        let mut seen: Vec<&str> = Vec::new();
        for measure in CATALOGUE {
            if seen.last() != Some(&measure.group) {
                assert!(!seen.contains(&measure.group), "{} is split", measure.group);
                seen.push(measure.group);
            }
        }
    }

    #[test]
    fn the_unit_is_the_one_in_the_id() {
        for measure in CATALOGUE {
            let unit = match measure.id.rsplit('_').next() {
                Some("ft") => "ft",
                Some("s") => "s",
                Some("kt") => "kt",
                Some("fpm") => "ft/min",
                Some("deg") => "°",
                _ => continue,
            };
            assert_eq!(measure.unit, unit, "{}", measure.id);
        }
    }

    #[test]
    fn finds_by_id_only() {
        assert_eq!(find("abeam_height_ft").map(|m| m.group), Some("Pattern"));
        assert_eq!(find("Height abeam"), None);
    }
}
