//! Why a measure is not measured, in words for a pilot.

use super::analyse::Analysis;
use super::attempt::{AttemptAnalysis, AttemptEnd, SEEN_BY_CLOSE_FIXES};
use super::document::BEST_GLIDE_NEVER_HELD;
use super::drawing::COARSE_STEP_S;
use crate::flight_path::setting::AimSource;
use crate::key_points::pattern::HELD_FOR_S;
use crate::measures::held_speed::final_s;
use crate::measures::reach::dives_where_judged;

/// The reason for measure `id` having no value in this attempt.
pub fn reason(id: &str, analysis: &Analysis, attempt: &AttemptAnalysis) -> String {
    let aim_known = analysis.setting.aim != AimSource::None;
    let direction_known = analysis.setting.landing_true_deg.is_some();
    let about_aim = |what: &str| -> Option<String> {
        if !aim_known {
            Some("no aim point: give one in the briefing or with --aim".into())
        } else if !direction_known && what != "overhead" {
            Some("no landing direction: give one in the briefing or with --landing".into())
        } else {
            None
        }
    };
    match id {
        "projected_touchdown_along_ft" => match attempt.end {
            AttemptEnd::GoAround => about_aim("projected").unwrap_or_else(|| NO_REACH.into()),
            AttemptEnd::Touchdown => "it landed, so there is nothing to project".into(),
            AttemptEnd::Recording => "the recording stops before a go-around".into(),
        },
        "projected_from_500ft_along_ft" => about_aim("projected").unwrap_or_else(|| {
            let diving = attempt.draws.iter().filter(|d| dives_where_judged(d));
            if 4 * diving.count() > attempt.draws.len() {
                "it dived through 500 ft above the aim: no glide to project from".into()
            } else {
                "the glide did not pass through 500 ft above the aim".into()
            }
        }),
        "height_in_hand_at_abeam_ft" => {
            about_aim("hand").unwrap_or_else(|| "no abeam point after the power reduction".into())
        }
        "height_in_hand_at_power_reduction_ft" | "height_in_hand_min_ft" => {
            about_aim("hand").unwrap_or_else(|| NO_REACH.into())
        }
        "settling_time_s" | "settling_height_lost_ft" => {
            if analysis.best_glide_from_briefing {
                BEST_GLIDE_NEVER_HELD.into()
            } else {
                "best glide speed not given in the briefing".into()
            }
        }
        _ if attempt.steady_s.is_some()
            && SEEN_BY_CLOSE_FIXES.contains(&id)
            && analysis.track.median_step_s >= COARSE_STEP_S =>
        {
            format!(
                "a fix every {:.0} s does not show what the airspeed does between them",
                analysis.track.median_step_s
            )
        }
        "glide_ratio_air" | "glide_ratio_ground"
            if attempt
                .values
                .iter()
                .any(|v| v.get(id) == Some(&f64::INFINITY)) =>
        {
            "in too many of the possible paths there is hardly any sink: the ratio has no upper end"
                .into()
        }
        "glide_cas_mean_kt"
        | "glide_cas_sd_kt"
        | "glide_cas_min_kt"
        | "glide_cas_max_kt"
        | "glide_cas_within_share"
        | "descent_rate_fpm"
        | "air_sink_rate_fpm"
        | "glide_ratio_air"
        | "glide_ratio_ground" => {
            format!(
                "no steady glide of {:.0} s or more between best glide held and final or flap",
                super::steady_glide::SHORTEST_S
            )
        }
        "height_per_orbit_ft" | "time_per_orbit_s" => "no orbit flown".into(),
        "stall_margin_min" => "stall speed not given in the briefing".into(),
        "overhead_height_ft" => about_aim("overhead")
            .unwrap_or_else(|| "did not pass overhead the aim above pattern height".into()),
        "abeam_height_error_ft" if analysis.setting.aim != AimSource::None && direction_known => {
            if attempt.draws.iter().any(|d| d.abeam_target_m.is_none()) {
                "no target height given in the briefing".into()
            } else {
                NO_ABEAM.into()
            }
        }
        "abeam_height_ft" | "abeam_height_error_ft" | "abeam_distance_ft" => {
            about_aim("abeam").unwrap_or_else(|| NO_ABEAM.into())
        }
        "base_turn_height_ft" => {
            about_aim("base").unwrap_or_else(|| "no base turn after an abeam point".into())
        }
        "final_cas_within_share" if direction_known && mostly_on_final(attempt) => {
            if attempt.draws.iter().any(|d| d.final_to_hold.is_none()) {
                "approach speed not given in the briefing".into()
            } else {
                format!("less than {HELD_FOR_S:.0} s on final before the flare or the go-around")
            }
        }
        "on_final_height_ft"
        | "on_final_distance_ft"
        | "final_cas_mean_kt"
        | "final_cas_sd_kt"
        | "final_cas_within_share" => about_aim("final")
            .unwrap_or_else(|| "never lined up with the landing direction for long enough".into()),
        "touchdown_along_ft"
        | "touchdown_across_ft"
        | "touchdown_ground_speed_kt"
        | "touchdown_cas_kt"
        | "touchdown_sink_fpm"
        | "float_distance_ft" => match attempt.end {
            AttemptEnd::Touchdown => about_aim("touchdown").unwrap_or_else(|| {
                "the moment of touchdown cannot be told from this recording".into()
            }),
            AttemptEnd::GoAround => "went around: no touchdown".into(),
            AttemptEnd::Recording => "the recording stops before a touchdown".into(),
        },
        "go_around_height_ft" => "it did not go around".into(),
        "glide_time_s" => "the recording stops before the glide ends".into(),
        _ => "cannot be told from this recording".into(),
    }
}

/// Whether more of the draws have a final than not.
fn mostly_on_final(attempt: &AttemptAnalysis) -> bool {
    let with = attempt.draws.iter().filter(|d| final_s(d).is_some());
    2 * with.count() > attempt.draws.len()
}

const NO_REACH: &str = "too strong a headwind for this aeroplane to reach the aim at glide speed";
const NO_ABEAM: &str =
    "no abeam point: the aim was not passed on a downwind (straight-in or from overhead)";
