//! Touchdown and go-around.

use super::{DrawnAttempt, DrawnEnd, Values};
use crate::key_points::flown::along_across;
use crate::units::{fpm, ft, kt};

pub(super) fn measure(drawn: &DrawnAttempt, values: &mut Values) {
    let flown = &drawn.flown;
    match drawn.end {
        DrawnEnd::Touchdown {
            at_s,
            flare_s,
            sink_mps,
            ground_speed_mps,
            cas_mps,
        } => {
            let m = flown.at(at_s);
            values.insert("touchdown_ground_speed_kt", kt(ground_speed_mps));
            values.insert("touchdown_cas_kt", kt(cas_mps));
            values.insert("touchdown_sink_fpm", fpm(sink_mps));
            let flare = flown.at(flare_s);
            let float_m = (m.east_m - flare.east_m).hypot(m.north_m - flare.north_m);
            values.insert("float_distance_ft", ft(float_m));
            if let Some(landing) = flown.landing_true_deg {
                let (along, across) = along_across(m.east_m, m.north_m, landing);
                values.insert("touchdown_along_ft", ft(along));
                values.insert("touchdown_across_ft", ft(across));
            }
        }
        DrawnEnd::GoAround { at_s } => {
            let least = flown
                .between(at_s - 2.0, at_s + 14.0)
                .iter()
                .map(|i| i.motion.height_m)
                .fold(f64::INFINITY, f64::min);
            values.insert("go_around_height_ft", ft(least));
        }
        DrawnEnd::Recording => {}
    }
}
