//! Channels held against the positions and against each other: dead sensors, zero
//! altitudes, wrong units.

use super::Fix;
use super::channel::{CHANNELS, Channel, GROUND_SPEED, IAS, TAS, TRACK};
use super::collect::Collector;

/// Metres per degree of latitude, near enough for a check of units.
const M_PER_DEG: f64 = 111_195.0;

/// Fewest comparisons that decide about a unit.
const FEWEST_SAMPLES: usize = 20;

/// About how many comparisons are made: enough for a middle value.
const MOST_SAMPLES: usize = 600;

/// All checks that need the whole recording.
pub(crate) fn check(collector: &mut Collector) {
    if collector.zero_altitude {
        remove_zero_altitudes(
            collector,
            |f| &mut f.gnss_altitude_m,
            "GNSS altitude of exactly 0 far from the altitudes around it, left out",
        );
        remove_zero_altitudes(
            collector,
            |f| &mut f.pressure_altitude_m,
            "pressure altitude of exactly 0 far from the altitudes around it, left out",
        );
    }
    remove_dead_channels(collector);
    if collector.alive & (GROUND_SPEED | TRACK | TAS | IAS) == 0 {
        return;
    }
    let legs = legs(&collector.fixes);
    if collector.is_alive(GROUND_SPEED) {
        check_ground_speed(collector, &legs);
    }
    if collector.is_alive(TRACK) {
        check_track_direction(collector, &legs);
    }
    if collector.is_alive(TAS) {
        check_airspeed(
            collector,
            &legs,
            |f| &mut f.tas_mps,
            "true airspeed is in another unit than stated or usual, by the ground speeds; it was converted",
        );
    }
    if collector.is_alive(IAS) {
        check_airspeed(
            collector,
            &legs,
            |f| &mut f.ias_mps,
            "indicated airspeed is in another unit than stated or usual, by the ground speeds; it was converted",
        );
    }
}

/// Channels that were zero from the first fix to the last are sensors not fitted.
fn remove_dead_channels(collector: &mut Collector) {
    let dead = collector.seen & !collector.alive;
    if dead == 0 {
        return;
    }
    for (bit, channel) in CHANNELS.iter().enumerate() {
        if dead & (1 << bit) != 0 {
            for fix in &mut collector.fixes {
                *(channel.of)(fix) = None;
            }
            collector.notes.remark(
                0,
                &format!("{} is 0 throughout: taken as not recorded", channel.name),
            );
        }
    }
}

/// Runs of altitude 0 are a receiver that lost its height, unless the altitudes beside them are near 0 too.
fn remove_zero_altitudes(collector: &mut Collector, of: Channel, what: &str) {
    // What an aeroplane may climb or sink between two fixes, beside a margin for noise.
    const FAR_M: f64 = 30.0;
    const FAR_MPS: f64 = 15.0;
    let fixes = &mut collector.fixes;
    let is_far = |from: &mut Fix, to: &mut Fix| {
        let span_s = (to.utc_s - from.utc_s).abs();
        let change_m = f64::from(of(to).unwrap_or(0.0) - of(from).unwrap_or(0.0)).abs();
        change_m > FAR_M + FAR_MPS * span_s.min(60.0)
    };
    let mut at = 0;
    let mut before: Option<Fix> = None;
    while at < fixes.len() {
        let mut here = fixes[at];
        match *of(&mut here) {
            Some(0.0) => {
                let mut end = at;
                let mut after = None;
                while end < fixes.len() {
                    let mut next = fixes[end];
                    if of(&mut next).is_some_and(|a| a != 0.0) {
                        after = Some(next);
                        break;
                    }
                    end += 1;
                }
                let far_before = before.map(|mut b| is_far(&mut b, &mut here));
                let far_after = after.map(|mut a| is_far(&mut fixes[end - 1].clone(), &mut a));
                let ends: Vec<bool> = [far_before, far_after].into_iter().flatten().collect();
                if !ends.is_empty() && ends.iter().all(|far| *far) {
                    for fix in &mut fixes[at..end] {
                        if of(fix).take().is_some() {
                            collector.notes.remark(fix.line, what);
                        }
                    }
                }
                at = end;
            }
            Some(_) => {
                before = Some(here);
                at += 1;
            }
            None => at += 1,
        }
    }
}

/// A step between two fixes a few seconds apart, for comparison with what the recorder says of its motion.
struct Leg {
    first: usize,
    last: usize,
    north_m: f64,
    east_m: f64,
    speed_mps: f64,
}

/// Legs of a few seconds each, spread over the recording, fast enough to compare.
fn legs(fixes: &[Fix]) -> Vec<Leg> {
    const SHORTEST_S: f64 = 1.9;
    const LONGEST_S: f64 = 12.0;
    const SLOWEST_MPS: f64 = 8.0;
    let stride = (fixes.len() / MOST_SAMPLES).max(1);
    let leg = |first: usize| {
        let a = fixes[first];
        let ahead = fixes[first + 1..]
            .iter()
            .take(250)
            .position(|b| b.utc_s - a.utc_s >= SHORTEST_S)?;
        let last = first + 1 + ahead;
        let b = fixes[last];
        let span_s = b.utc_s - a.utc_s;
        let north_m = (b.latitude_deg - a.latitude_deg) * M_PER_DEG;
        let east_m = crate::units::wrap_180_deg(b.longitude_deg - a.longitude_deg)
            * M_PER_DEG
            * a.latitude_deg.to_radians().cos();
        let speed_mps = north_m.hypot(east_m) / span_s;
        (span_s <= LONGEST_S && speed_mps > SLOWEST_MPS && a.segment == b.segment).then_some(Leg {
            first,
            last,
            north_m,
            east_m,
            speed_mps,
        })
    };
    (0..fixes.len()).step_by(stride).filter_map(leg).collect()
}

/// The middle value; `None` of fewer than [`FEWEST_SAMPLES`].
fn median(mut values: Vec<f64>) -> Option<f64> {
    if values.len() < FEWEST_SAMPLES {
        return None;
    }
    let middle = values.len() / 2;
    let (_, value, _) = values.select_nth_unstable_by(middle, f64::total_cmp);
    Some(*value)
}

/// The middle ratio of a speed channel to the speed between positions.
fn speed_ratio(fixes: &[Fix], legs: &[Leg], of: Channel) -> Option<f64> {
    let value = |i: usize| {
        let mut fix = fixes[i];
        of(&mut fix).map(f64::from)
    };
    median(
        legs.iter()
            .filter_map(|leg| Some(0.5 * (value(leg.first)? + value(leg.last)?) / leg.speed_mps))
            .collect(),
    )
}

/// Metres per second in one of each unit in which speeds are written.
const SPEED_UNITS: [f64; 4] = [
    1.0,
    crate::units::MPS_PER_KMH,
    crate::units::MPS_PER_KT,
    crate::units::MPS_PER_MPH,
];

/// The factor that brings a speed channel with this ratio to m/s, from among the units of speed.
fn rescue(ratio: f64, within: f64) -> Option<f64> {
    SPEED_UNITS
        .iter()
        .flat_map(|a| SPEED_UNITS.iter().map(move |b| a / b))
        .map(|factor| (factor, (ratio * factor).ln().abs()))
        .filter(|(_, off)| *off < within)
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(factor, _)| factor)
}

/// Ground speed must be that of the positions; if it is so in another unit, it is turned into m/s.
fn check_ground_speed(collector: &mut Collector, legs: &[Leg]) {
    let of: Channel = |f| &mut f.ground_speed_mps;
    let Some(ratio) = speed_ratio(&collector.fixes, legs, of) else {
        return;
    };
    if ratio.ln().abs() < 0.13 {
        return;
    }
    if let Some(factor) = rescue(ratio, 0.05) {
        for speed in collector
            .fixes
            .iter_mut()
            .filter_map(|f| f.ground_speed_mps.as_mut())
        {
            *speed *= factor as f32;
        }
        collector.notes.remark(0, "ground speed is in another unit than stated or usual, by the positions; it was converted");
    } else {
        for fix in &mut collector.fixes {
            fix.ground_speed_mps = None;
        }
        collector.notes.remark(
            0,
            "ground speed does not agree with the positions; left out",
        );
    }
}

/// Track direction must be that of the positions; a steady difference is magnetic variation.
fn check_track_direction(collector: &mut Collector, legs: &[Leg]) {
    // Smaller angles cannot be told from the lag of a receiver.
    const STEADY_DEG: f64 = 3.0;
    const SCATTER_DEG: f64 = 15.0;
    // In a turn a lagging direction is off by what was turned meanwhile.
    const STRAIGHT_DEG: f64 = 4.0;
    let fixes = &collector.fixes;
    let all: Vec<(f64, f64)> = legs
        .iter()
        .filter_map(|leg| {
            let (a, b) = (
                f64::from(fixes[leg.first].track_deg_true?),
                f64::from(fixes[leg.last].track_deg_true?),
            );
            let track_deg = leg.east_m.atan2(leg.north_m).to_degrees();
            let turned = crate::units::wrap_180_deg(b - a);
            Some((
                turned,
                crate::units::wrap_180_deg(a + 0.5 * turned - track_deg),
            ))
        })
        .collect();
    let straight: Vec<f64> = all
        .iter()
        .filter(|(turned, _)| turned.abs() < STRAIGHT_DEG)
        .map(|(_, off)| *off)
        .collect();
    let off = if straight.len() < FEWEST_SAMPLES {
        all.iter().map(|(_, off)| *off).collect()
    } else {
        straight
    };
    let Some(middle) = median(off.clone()) else {
        return;
    };
    let Some(scatter) = median(
        off.iter()
            .map(|d| crate::units::wrap_180_deg(d - middle).abs())
            .collect(),
    ) else {
        return;
    };
    if scatter > SCATTER_DEG || middle.abs() > 45.0 {
        for fix in &mut collector.fixes {
            fix.track_deg_true = None;
        }
        collector.notes.remark(
            0,
            "track direction does not agree with the positions; left out",
        );
    } else if middle.abs() > STEADY_DEG && scatter < 0.5 * middle.abs() {
        for track in collector
            .fixes
            .iter_mut()
            .filter_map(|f| f.track_deg_true.as_mut())
        {
            *track = crate::units::wrap_360_deg(f64::from(*track) - middle) as f32;
        }
        collector.notes.remark(0, "track direction differs from that of the positions by a steady angle, as magnetic does; it was turned to true");
    }
}

/// Airspeed differs from ground speed by wind and height, not by a factor such as lies between units.
fn check_airspeed(collector: &mut Collector, legs: &[Leg], of: Channel, what: &str) {
    let Some(ratio) = speed_ratio(&collector.fixes, legs, of) else {
        return;
    };
    if ratio.ln().abs() < 0.36 {
        return;
    }
    let Some(factor) = rescue(ratio, 0.25) else {
        return;
    };
    for speed in collector.fixes.iter_mut().filter_map(|f| of(f).as_mut()) {
        *speed *= factor as f32;
    }
    collector.notes.remark(0, what);
}

#[cfg(test)]
mod tests {
    use super::super::note::Notes;
    use super::*;

    /// Eastward along 51 degrees north at 40 m/s, once a second.
    fn eastward(count: usize, change: impl Fn(usize, &mut Fix)) -> Collector {
        let mut collector = Collector::new(Notes::default(), count);
        for i in 0..count {
            let mut fix = Fix {
                utc_s: 1.8e9 + i as f64,
                line: i as u32 + 1,
                latitude_deg: 51.0,
                longitude_deg: -2.0 + 40.0 * i as f64 / (M_PER_DEG * 51.0_f64.to_radians().cos()),
                ..Fix::default()
            };
            change(i, &mut fix);
            collector.offer(&fix);
        }
        check(&mut collector);
        collector
    }

    #[test]
    fn a_speed_in_another_unit_is_converted_and_said() {
        let collector = eastward(60, |_, f| f.ground_speed_mps = Some(40.0 * 3.6));
        assert!((collector.fixes[30].ground_speed_mps.unwrap() - 40.0).abs() < 1e-3);
        assert_eq!(collector.notes.into_list().len(), 1);
    }

    #[test]
    fn a_speed_that_is_no_ground_speed_is_left_out() {
        let collector = eastward(60, |_, f| f.ground_speed_mps = Some(17.0));
        assert_eq!(collector.fixes[30].ground_speed_mps, None);
    }

    #[test]
    fn magnetic_track_is_turned_and_a_heading_of_something_else_left_out() {
        let turned = eastward(60, |_, f| f.track_deg_true = Some(83.0));
        assert!((turned.fixes[30].track_deg_true.unwrap() - 90.0).abs() < 0.1);
        let other = eastward(60, |i, f| {
            f.track_deg_true = Some((i as f32 * 37.0) % 360.0);
        });
        assert_eq!(other.fixes[30].track_deg_true, None);
    }

    #[test]
    fn altitude_zero_amid_height_is_no_altitude() {
        let collector = eastward(60, |i, f| {
            f.gnss_altitude_m = Some(if (20..23).contains(&i) { 0.0 } else { 400.0 });
        });
        assert_eq!(collector.fixes[21].gnss_altitude_m, None);
        assert_eq!(collector.fixes[23].gnss_altitude_m, Some(400.0));
        let notes = collector.notes.into_list();
        assert_eq!((notes[0].count, notes[0].first_line), (3, 21));
    }

    #[test]
    fn altitude_zero_at_the_shore_stays() {
        let collector = eastward(60, |i, f| {
            f.gnss_altitude_m = Some(if i < 30 { 60.0 - 2.0 * i as f32 } else { 0.0 });
        });
        assert_eq!(collector.fixes[40].gnss_altitude_m, Some(0.0));
    }

    #[test]
    fn channels_that_are_always_zero_are_not_there() {
        let collector = eastward(60, |_, f| {
            f.engine_noise = Some(0.0);
            f.pressure_altitude_m = Some(0.0);
            f.engine_rpm = Some(700.0);
        });
        assert_eq!(collector.fixes[5].engine_noise, None);
        assert_eq!(collector.fixes[5].pressure_altitude_m, None);
        assert_eq!(collector.fixes[5].engine_rpm, Some(700.0));
    }
}
