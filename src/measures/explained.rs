//! What stands behind each measure: formula, what its interval includes and leaves out, source.
//!
//! Printed by `stillprop explain`; ids are those of [`super::catalogue`]. `h` is the height above the
//! aim point, `t` an instant; "drawn" is one of the possible ones.

/// What stands behind a measure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Explanation {
    /// The measure.
    pub id: &'static str,
    /// How one draw gives one value.
    pub formula: &'static str,
    /// What makes the interval as wide as it is.
    pub includes: &'static str,
    /// What may be wrong beyond the interval.
    pub leaves_out: &'static str,
    /// Where definition and figures come from.
    pub source: &'static str,
}

/// The explanation of the measure called `id`.
pub fn find(id: &str) -> Option<&'static Explanation> {
    EXPLANATIONS.iter().find(|e| e.id == id)
}

/// Every explanation, in the order of the catalogue.
pub const EXPLANATIONS: &[Explanation] = &[
    Explanation {
        id: "power_reduction_height_ft",
        formula: "h(t0): height of the drawn path above the aim at the drawn instant t0 of the power reduction",
        includes: "receiver and pressure-sensor errors, the datum of heights (QNH, geoid, ground); the doubt of the instant, and the lag of power behind the throttle",
        leaves_out: "what the engine still gave at idle; the pressure altimeter the pilot flew by",
        source: "own definition; throttle lag is common practice",
    },
    Explanation {
        id: "settling_time_s",
        formula: "t1 − t0: t1 is the first instant from which CAS is within 5 kt of best glide for 5 s, gusts and all; t0 is the power reduction",
        includes: "the doubt of both instants, and of wind against airspeed",
        leaves_out: "an error of the best glide speed in the briefing, which is the speed to hold of the briefing or the handbook's as printed, not brought to the weight flown; a speed crossed on the way and not kept for 5 s counts as not held; where best glide was never held there is no figure, and progress counts it as not met",
        source: "own definition; 5 kt and 5 s are common practice",
    },
    Explanation {
        id: "settling_height_lost_ft",
        formula: "h(t0) − h(t1), t0 the power reduction, t1 best glide reached",
        includes: "the doubt of both instants and of the change of height between them; constant errors of height cancel",
        leaves_out: "height won or lost to speed is not separated: the glide ratio through the air does that",
        source: "own definition",
    },
    Explanation {
        id: "glide_cas_mean_kt",
        formula: "mean over the steady glide of CAS = c(TAS), TAS the length of (ground velocity − wind at that height) + gust, or the recorded airspeed less its drawn bias; c by the standard atmosphere at the drawn temperature",
        includes: "the doubt of wind against airspeed, gusts, the doubt of temperature; the recorder's airspeed bias where airspeed was recorded",
        leaves_out: "the choice of the window: it is the same for every possible path; position error of the aeroplane's own airspeed system",
        source: "wind and airspeed fitted together to the ground velocity and the energy balance; ICAO Doc 7488 (standard atmosphere)",
    },
    Explanation {
        id: "glide_cas_sd_kt",
        formula: "square root of the mean of (CAS − mean CAS)² over the steady glide",
        includes: "the doubt of wind against airspeed, gusts, the doubt of temperature; the recorder's airspeed bias where airspeed was recorded; that the motion of a stretch may be calmer or busier than the recording's on the whole",
        leaves_out: "how fast the speed wandered; the choice of the window: it is the same for every possible path",
        source: "own definition; population standard deviation",
    },
    Explanation {
        id: "glide_cas_min_kt",
        formula: "least of the two-second means of CAS in the steady glide",
        includes: "the doubt of wind against airspeed, gusts, the doubt of temperature; the recorder's airspeed bias where airspeed was recorded",
        leaves_out: "gusts shorter than two seconds, which no pilot holds against; the choice of the window: it is the same for every possible path",
        source: "own definition; two seconds are common practice",
    },
    Explanation {
        id: "glide_cas_max_kt",
        formula: "greatest of the two-second means of CAS in the steady glide",
        includes: "the doubt of wind against airspeed, gusts, the doubt of temperature; the recorder's airspeed bias where airspeed was recorded",
        leaves_out: "gusts shorter than two seconds, which no pilot holds against; the choice of the window: it is the same for every possible path",
        source: "own definition; two seconds are common practice",
    },
    Explanation {
        id: "glide_cas_within_share",
        formula: "seconds with CAS from best glide − a to best glide + b, over all seconds of the steady glide; a and b the tolerance of the standard, 10 kt and 10 kt where none is named",
        includes: "the doubt of wind against airspeed, gusts, the doubt of temperature; the recorder's airspeed bias where airspeed was recorded; that the motion of a stretch may be calmer or busier than the recording's on the whole",
        leaves_out: "an error of the best glide speed in the briefing; the choice of the window: it is the same for every possible path",
        source: "tolerance: FAA-S-ACS-6C and 7B, Area IX Task B",
    },
    Explanation {
        id: "descent_rate_fpm",
        formula: "(h(a) − h(b)) / (b − a), a and b the ends of the steady glide",
        includes: "receiver and pressure-sensor errors, the datum of heights (QNH, geoid, ground), as far as they change within the glide; constant ones cancel",
        leaves_out: "vertical air: this is the descent over the ground, not through the air; the choice of the window: it is the same for every possible path",
        source: "own definition",
    },
    Explanation {
        id: "air_sink_rate_fpm",
        formula: "descent rate − (V(b)² − V(a)²) / (2 g (b − a)) + w, V true airspeed at the ends a and b of the steady glide, w the drawn mean vertical motion of the air (up positive)",
        includes: "vertical air as far as the other glides of the recording do not tell it, mostly the widest part; a handbook ratio typed into the briefing moves it by less than a tenth of its own error; the change of airspeed; receiver noise and slow wander",
        leaves_out: "the steady glide's own slips and turns: they are in the figure as flown",
        source: "energy height h + V²/2g (mechanics)",
    },
    Explanation {
        id: "glide_ratio_air",
        formula: "mean horizontal airspeed / air sink rate, over the steady glide",
        includes: "all of the air sink rate, above all vertical air, and the doubt of wind against airspeed, gusts, the doubt of temperature; the recorder's airspeed bias where airspeed was recorded",
        leaves_out: "the still propeller of a real failure: at idle it may help or brake; the choice of the window: it is the same for every possible path",
        source: "definition of the glide ratio: FAA-H-8083-3, chapter on gliding",
    },
    Explanation {
        id: "glide_ratio_ground",
        formula: "mean ground speed along the path / descent rate, over the steady glide",
        includes: "errors of position and height that change within the glide",
        leaves_out: "wind and vertical air are in the figure, not taken out; turns count along their path, not straight",
        source: "definition of the glide ratio: FAA-H-8083-3, chapter on gliding",
    },
    Explanation {
        id: "orbits",
        formula: "sum over the turns before the downwind leg of whole numbers of 360° in (heading change + 30°), heading through the air",
        includes: "the doubt of wind in the heading, and possible paths that disagree where a turn is near the limit",
        leaves_out: "turns of less than 330°; a turn broken by more than 6 s of level wings is two",
        source: "own definition; the 30° of slack are common practice",
    },
    Explanation {
        id: "height_per_orbit_ft",
        formula: "sum of height lost in the turns with an orbit / (sum of their heading change / 360°)",
        includes: "errors of height that change within a turn; the doubt of its heading change",
        leaves_out: "wind and vertical air are in the figure as flown",
        source: "own definition",
    },
    Explanation {
        id: "time_per_orbit_s",
        formula: "sum of the time in the turns with an orbit / (sum of their heading change / 360°)",
        includes: "the doubt of where a turn begins and ends, and of its heading change",
        leaves_out: "a level stretch of up to 6 s inside the turn counts as turning",
        source: "own definition",
    },
    Explanation {
        id: "bank_max_deg",
        formula: "greatest three-second mean of the bank whose tangent is a / (g + u), plus one drawn error; a is the acceleration across the way through the air, u that upwards, g gravity",
        includes: "path noise, wind, and slip or gusts in roll (1.7°, common practice)",
        leaves_out: "bank of less than three seconds; a crossed-control slip shows as less bank than flown",
        source: "balance of forces in a coordinated level turn (mechanics)",
    },
    Explanation {
        id: "load_factor_max",
        formula: "1 / cos b, b the bank of a level turn as tight as the tightest flown: tan b = a / g, a the acceleration across the way through the air, three-second mean",
        includes: "all of the steepest bank; it belongs to a level turn: in a descent that steepens the wings carry less, and the bank flown is greater than b",
        leaves_out: "pull-ups and gusts: only turning is in it",
        source: "load factor of a coordinated level turn: FAA-H-8083-25, aerodynamics of flight",
    },
    Explanation {
        id: "stall_margin_min",
        formula: "least two-second mean of CAS / (stall CAS × √n), n = √(1 + (a / g)²), a the acceleration across the way through the air",
        includes: "the doubt of wind against airspeed, gusts, the doubt of temperature; the recorder's airspeed bias where airspeed was recorded; path noise in the turn",
        leaves_out: "an error of the stall speed in the briefing, its change with weight and flap; gusts shorter than two seconds",
        source: "stall speed grows with the square root of load factor: FAA-H-8083-3, chapter on turns",
    },
    Explanation {
        id: "overhead_height_ft",
        formula: "h at the instant nearest to the aim (parabola through three instants), within 1310 ft (400 m) of it, 1200 ft or more above it, before the abeam point",
        includes: "receiver and pressure-sensor errors, the datum of heights (QNH, geoid, ground); the doubt of the instant",
        leaves_out: "passes lower than 1200 ft, which belong to the pattern",
        source: "360° power-off approach: FAA-H-8083-3A p. 8-24; 400 m (1310 ft) is common practice",
    },
    Explanation {
        id: "abeam_height_ft",
        formula: "h at the last instant at which the aim is abeam (along = 0) while flying against the landing direction (within 80°), 390 ft (120 m) or more to the side",
        includes: "receiver and pressure-sensor errors, the datum of heights (QNH, geoid, ground); half a degree of a landing direction in whole degrees",
        leaves_out: "an abeam point more than 30 s before the power reduction",
        source: "180° power-off approach: FAA-H-8083-3A p. 8-23",
    },
    Explanation {
        id: "abeam_height_error_ft",
        formula: "abeam height − target height of the briefing",
        includes: "all of the abeam height",
        leaves_out: "any doubt of the target itself",
        source: "the target is the school's; 1,000 ft is advice of FAA-H-8083-3A p. 8-23",
    },
    Explanation {
        id: "abeam_distance_ft",
        formula: "distance across the landing line at the abeam point: east cos d − north sin d, d the landing direction",
        includes: "receiver noise and slow wander of position; half a degree of the landing direction",
        leaves_out: "an error of the aim's coordinates in the briefing",
        source: "own definition",
    },
    Explanation {
        id: "base_turn_height_ft",
        formula: "h at the first instant after the abeam point at which the track is 30° off the downwind direction",
        includes: "receiver and pressure-sensor errors, the datum of heights (QNH, geoid, ground); the doubt of the instant",
        leaves_out: "drift: the track over the ground is taken, not the heading",
        source: "own definition; 30° is common practice",
    },
    Explanation {
        id: "on_final_height_ft",
        formula: "h at the last instant at which the track comes within 15° of the landing direction and stays",
        includes: "receiver and pressure-sensor errors, the datum of heights (QNH, geoid, ground); the doubt of the instant",
        leaves_out: "S-turns of more than 15° on final start final anew",
        source: "own definition; 15° is common practice",
    },
    Explanation {
        id: "on_final_distance_ft",
        formula: "distance short of the aim along the landing line at on final: −(east sin d + north cos d), d the landing direction",
        includes: "receiver noise and slow wander of position; the doubt of the instant, multiplied by ground speed",
        leaves_out: "an error of the aim's coordinates in the briefing",
        source: "own definition",
    },
    Explanation {
        id: "final_cas_mean_kt",
        formula: "mean CAS from on final until the flare or the go-around",
        includes: "the doubt of wind against airspeed, gusts, the doubt of temperature; the recorder's airspeed bias where airspeed was recorded; the doubt of where final begins and ends",
        leaves_out: "slips on final: the airspeed system reads wrong in them, the track does not",
        source: "own definition; CAS by ICAO Doc 7488",
    },
    Explanation {
        id: "final_cas_sd_kt",
        formula: "square root of the mean of (CAS − mean)² from on final until the flare or the go-around",
        includes: "the doubt of wind against airspeed, gusts, the doubt of temperature; the recorder's airspeed bias where airspeed was recorded; that the motion of a stretch may be calmer or busier than the recording's on the whole; the doubt of where final begins and ends",
        leaves_out: "a planned slowing-down on final counts as spread",
        source: "own definition; population standard deviation",
    },
    Explanation {
        id: "final_cas_within_share",
        formula: "seconds with CAS from approach speed − a to approach speed + b, over all seconds from on final until the flare or the go-around, where these are 5 or more; a and b the tolerance of the standard, 5 kt and 10 kt where none is named",
        includes: "the doubt of wind against airspeed, gusts, the doubt of temperature; the recorder's airspeed bias where airspeed was recorded; that the motion of a stretch may be calmer or busier than the recording's on the whole; the doubt of where final begins and ends",
        leaves_out: "an error of the approach speed in the briefing; slips on final; a gust allowance on the approach speed; final begins where the aeroplane is lined up, so that best glide held on until the field is assured counts as outside; of a straight-in all of the glide is final",
        source: "tolerance where no standard is named: FAA-S-ACS-6C, Area IV Task B (from memory, not looked up)",
    },
    Explanation {
        id: "touchdown_along_ft",
        formula: "distance beyond the aim along the landing line at the drawn instant of touchdown: east sin d + north cos d, d the landing direction",
        includes: "the posterior of the instant (height, descent rate and deceleration together, hold-off and bounce included) times ground speed; receiver error of position; half a degree of the landing direction",
        leaves_out: "an error of the aim's coordinates in the briefing; where the antenna sits in the aeroplane",
        source: "used as in FAA-S-ACS-7B, Area IV Task M (0 to 200 ft beyond)",
    },
    Explanation {
        id: "touchdown_across_ft",
        formula: "distance right of the landing line at the drawn instant of touchdown: east cos d − north sin d of the aim, d the landing direction",
        includes: "receiver error of position, mostly slow wander of metres; half a degree of the landing direction",
        leaves_out: "which wheel touched; an error of the aim's coordinates in the briefing",
        source: "own definition",
    },
    Explanation {
        id: "touchdown_ground_speed_kt",
        formula: "ground speed of the touchdown model at contact",
        includes: "the posterior of the instant times deceleration; noise and lag of the recorded speed",
        leaves_out: "the loss of speed in the impact itself",
        source: "own definition",
    },
    Explanation {
        id: "touchdown_cas_kt",
        formula: "mean CAS over the two seconds around the touchdown",
        includes: "the doubt of wind against airspeed, gusts, the doubt of temperature; the recorder's airspeed bias where airspeed was recorded; wind near the ground, where no turn shows it; the doubt of the instant",
        leaves_out: "wind shadows of trees and buildings",
        source: "own definition; CAS by ICAO Doc 7488",
    },
    Explanation {
        id: "touchdown_sink_fpm",
        formula: "descent rate of the touchdown model at contact",
        includes: "noise and lag of heights and vertical speed, and the posterior of the instant: wide with most recorders",
        leaves_out: "the slope of the ground",
        source: "own definition",
    },
    Explanation {
        id: "float_distance_ft",
        formula: "distance over the ground from the drawn start of the flare to the drawn touchdown",
        includes: "the doubt of both instants",
        leaves_out: "height of the flare: a high round-out and a long hold-off look alike in it",
        source: "own definition",
    },
    Explanation {
        id: "projected_touchdown_along_ft",
        formula: "distance beyond the aim of the end of a glide flown on from one second before the power came back: turns and straights to the aim's line, own sink and speed, the wind below, round-out and float",
        includes: "drag as shown so far, wind below, speed kept, flap and slip that may still come, round-out and float: each drawn",
        leaves_out: "what the pilot would have decided: only what pilots usually do",
        source: "own model; allowances are common practice",
    },
    Explanation {
        id: "projected_from_500ft_along_ft",
        formula: "distance beyond the aim of the end of a glide flown on from the instant at which h first falls through 500 ft; none where the descent there is over 2.5 times that of best glide, a dive",
        includes: "drag as shown until then, wind below, speed kept, flap and slip that may still come, round-out and float: each drawn",
        leaves_out: "the path after 500 ft, which is not followed; but the wind and the motion at 500 ft are those of the whole recording, what comes later included",
        source: "own model; 500 ft is common practice",
    },
    Explanation {
        id: "go_around_height_ft",
        formula: "least h from 2 s before the drawn go-around to 14 s after it",
        includes: "receiver and pressure-sensor errors, the datum of heights (QNH, geoid, ground)",
        leaves_out: "wheels and obstacles: the height is that of the recorder",
        source: "own definition",
    },
    Explanation {
        id: "height_in_hand_at_power_reduction_ft",
        formula: "h(t0) + worth of excess speed − least height from there to the aim: cheapest turns and straights through the air at best glide, sink by load factor, drift by the wind below",
        includes: "receiver and pressure-sensor errors, the datum of heights (QNH, geoid, ground); wind at each height; drag as shown in this glide",
        leaves_out: "wind that changes later, and vertical air to come",
        source: "shortest paths of bounded curvature: Dubins, American Journal of Mathematics 79 (1957); sink grows with load factor to the power 3/2",
    },
    Explanation {
        id: "height_in_hand_at_abeam_ft",
        formula: "the same difference at the abeam point: h + worth of excess speed − least height from there to the aim",
        includes: "receiver and pressure-sensor errors, the datum of heights (QNH, geoid, ground); wind below; drag as shown in this glide",
        leaves_out: "an abeam point before the power reduction: not measured",
        source: "as that of “In hand at power reduction”",
    },
    Explanation {
        id: "height_in_hand_min_ft",
        formula: "least of h + worth of excess speed − least height to the aim, from best glide reached until on final",
        includes: "all of the height in hand; the doubt of where the stretch begins and ends",
        leaves_out: "final itself, where less than nothing in hand is what flap is for",
        source: "as that of “In hand at power reduction”",
    },
    Explanation {
        id: "glide_time_s",
        formula: "t2 − t0: t2 the drawn touchdown or go-around, t0 the drawn power reduction",
        includes: "the doubt of both instants, lags of throttle and engine included",
        leaves_out: "whole seconds cut off by the recorder: both ends shift alike",
        source: "own definition",
    },
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measures::catalogue::CATALOGUE;

    #[test]
    fn every_measure_has_one_and_the_order_is_the_same() {
        let explained: Vec<&str> = EXPLANATIONS.iter().map(|e| e.id).collect();
        let measures: Vec<&str> = CATALOGUE.iter().map(|m| m.id).collect();
        assert_eq!(explained, measures);
    }

    #[test]
    fn all_four_parts_say_something_and_no_formula_is_a_copy() {
        for (i, e) in EXPLANATIONS.iter().enumerate() {
            for part in [e.formula, e.includes, e.leaves_out] {
                assert!(part.split(' ').count() >= 3, "{}: `{part}`", e.id);
            }
            assert!(e.source.len() > 8, "{}", e.id);
            assert!(
                EXPLANATIONS[i + 1..].iter().all(|o| o.formula != e.formula),
                "{}",
                e.id
            );
        }
    }

    #[test]
    fn what_is_pointed_at_is_there() {
        let mut pointed = 0;
        for e in EXPLANATIONS {
            if let Some(other) = e.source.strip_prefix("as that of ") {
                let label = other.trim_matches(['\u{201c}', '\u{201d}']);
                assert!(CATALOGUE.iter().any(|m| m.label == label), "{}", e.id);
                pointed += 1;
            }
        }
        assert_eq!(pointed, 2);
    }

    #[test]
    fn it_is_written_for_people_and_not_in_code() {
        for e in EXPLANATIONS {
            for part in [e.formula, e.includes, e.leaves_out, e.source] {
                let code = part.contains(['_', '^', '|'])
                    || ["deg ", "sqrt", "<=", " - ", "(memory)"]
                        .iter()
                        .any(|c| part.contains(c));
                assert!(!code, "{}: {part}", e.id);
            }
        }
    }
}
