//! The invented document in all the ways it can go.

use stillprop::debrief::document::{
    Basis, CriterionGrade, Debrief, Ending, Grade, HandLine, KeyPoint, NotAnAttempt, Reference,
    Series, Verdict,
};
use stillprop::quantity::Measured;

use super::documents::{attempt, debrief, key_point, known, two_orbits_to_touchdown, utc, wind};

/// Every document there is, with a name for messages.
pub(super) fn all() -> Vec<(&'static str, Debrief)> {
    vec![
        ("two orbits to a touchdown", two_orbits_to_touchdown()),
        ("go-around", go_around()),
        ("everything unknown", everything_unknown()),
        ("very long names", very_long_names()),
        ("no attempts", no_attempts()),
        ("four attempts", four_attempts()),
        ("extreme values", extreme_values()),
        ("graded", graded()),
        ("an aim far away", aim_far_away()),
        ("height in hand told", super::in_hand::told()),
    ]
}

pub(super) fn go_around() -> Debrief {
    let mut attempt = attempt(1);
    attempt.ending = Ending::GoAround;
    attempt.key_points.truncate(5);
    let mut last = key_point(&attempt.series, "go_around", 240);
    attempt.key_points.push(KeyPoint {
        kind: "on_final".to_owned(),
        utc: Measured::unknown("the last turn was not completed"),
        ..last.clone()
    });
    last.height_ft = known(420.0, 12.0);
    attempt.key_points.push(last);
    for (id, measure) in &mut attempt.measures {
        if id.starts_with("touchdown_") || id == "float_distance_ft" {
            *measure = Measured::unknown("the attempt ended in a go-around");
        }
    }
    attempt
        .measures
        .insert("go_around_height_ft".to_owned(), known(420.0, 12.0));
    attempt.measures.insert(
        "projected_touchdown_along_ft".to_owned(),
        known(-240.0, 400.0),
    );
    debrief(vec![attempt])
}

pub(super) fn everything_unknown() -> Debrief {
    let mut attempt = attempt(1);
    attempt.ending = Ending::EndOfRecording;
    for point in &mut attempt.key_points {
        point.utc = Measured::unknown("the recording has a gap here");
        point.height_ft = Measured::unknown("no altitude in this recording");
        point.cas_kt = Measured::unknown("no wind could be worked out");
    }
    for wind in &mut attempt.wind {
        wind.from_deg_true = Measured::unknown("not turned through");
        wind.speed_kt = Measured::unknown("not turned through");
    }
    for measure in attempt.measures.values_mut() {
        *measure = Measured::unknown("there is nothing in this recording that it could rest on");
    }
    attempt.steady_glide = None;
    attempt.series = Series::default();
    let mut debrief = debrief(vec![attempt]);
    debrief.reference = Reference {
        aim_source: "none".to_owned(),
        speed_band_kt: [5.0, 5.0],
        approach_band_kt: None,
        ..Reference::default()
    };
    debrief.height_reference.clear();
    debrief
}

pub(super) fn very_long_names() -> Debrief {
    let long =
        "Æthelflæd-Wolfeschlegelsteinhausenbergerdorff <script>alert(1)</script> & \"Sons\" ";
    let mut debrief = four_attempts();
    debrief.reference.pilot = Some(long.repeat(3));
    debrief.reference.instructor = Some(long.repeat(2));
    debrief.reference.aim_name = Some("田".repeat(90));
    debrief.reference.registration = Some(format!("{long}\u{202e}\u{7}"));
    debrief.recording.file = format!("{}.igc", "W".repeat(200));
    debrief.program = "stillprop ".repeat(20);
    debrief.warnings = (0..30)
        .map(|i| format!("warning {i}: {}", long.repeat(2)))
        .collect();
    debrief.cautions = vec![long.repeat(12)];
    for attempt in &mut debrief.attempts {
        attempt.remarks = vec![long.repeat(8); 4];
        for (i, measure) in attempt.measures.values_mut().enumerate() {
            if i % 2 == 0 {
                *measure = Measured::unknown(format!("{i} {}", long.repeat(2)));
            }
        }
        for wind in &mut attempt.wind {
            wind.from_deg_true = Measured::unknown(long.repeat(2));
        }
        attempt.key_points[3].utc = Measured::unknown(long.repeat(2));
    }
    debrief.not_attempts[0].reason = long.repeat(9);
    debrief
}

pub(super) fn no_attempts() -> Debrief {
    let mut debrief = debrief(Vec::new());
    for i in 0..40 {
        debrief.not_attempts.push(NotAnAttempt {
            utc: utc(10.0 * f64::from(i)),
            height_ft: 300.0 + 10.0 * f64::from(i),
            confidence: f64::from(i) / 100.0,
            reason: "power was back before the aeroplane had gone down 300 ft".to_owned(),
        });
    }
    debrief
}

pub(super) fn four_attempts() -> Debrief {
    let second = go_around().attempts.remove(0);
    let third = everything_unknown().attempts.remove(0);
    let mut attempts = vec![attempt(1), second, third, attempt(4)];
    for (i, attempt) in attempts.iter_mut().enumerate() {
        attempt.number = i as u32 + 1;
    }
    debrief(attempts)
}

/// Finite numbers of absurd size, numbers that are not numbers, series of unequal length.
pub(super) fn extreme_values() -> Debrief {
    let mut debrief = two_orbits_to_touchdown();
    let attempt = &mut debrief.attempts[0];
    for (i, measure) in attempt.measures.values_mut().enumerate() {
        *measure = match i % 5 {
            0 => known(-1.0e9, 1.0e8),
            1 => known(1.0e-9, 0.0),
            2 => known(f64::NAN, f64::INFINITY),
            3 => known(123_456.0, 99_999.0),
            _ => known(0.0, 0.0),
        };
    }
    let series = &mut attempt.series;
    series.height_ft[30] = f64::NAN;
    series.height_ft[40] = 60_000.0;
    series.cas_kt[50] = f64::INFINITY;
    series.cas_kt[60] = -400.0;
    series.descent_rate_fpm[70] = 1.0e7;
    series.east_ft[80] = f64::NAN;
    series.north_ft[90] = 1.0e6;
    series.height_in_hand_ft.truncate(50);
    series.cas_low_kt.truncate(10);
    attempt.wind[2] = wind(-500.0, 720.0, 400.0);
    attempt.wind[3] = wind(f64::NAN, f64::NAN, f64::NAN);
    attempt.key_points[2].height_ft = known(-1.0e7, 1.0e6);
    debrief.reference.landing_true_deg = Some(-3600.5);
    debrief.reference.best_glide_kcas = Some(f64::NAN);
    debrief.reference.abeam_target_ft = Some(1.0e6);
    debrief.recording.rate_hz = 0.0;
    "never".clone_into(&mut debrief.recording.start_utc);
    debrief
}

pub(super) fn graded() -> Debrief {
    let criterion = |measure: &str, low, high, verdict, share_inside| CriterionGrade {
        id: measure.to_owned(),
        name: format!("Criterion on {measure}"),
        measure: measure.to_owned(),
        low,
        high,
        within_kt: None,
        share_inside,
        verdict,
        source: "School order 4, item 7".to_owned(),
        basis: Basis::Memory,
        remark: match verdict {
            Verdict::TooCloseToCall => Some("recorded airspeed would settle it".to_owned()),
            Verdict::NotMeasured => Some("never lined up with the landing direction".to_owned()),
            _ => None,
        },
    };
    let (met, not, close, none) = (
        Verdict::Met,
        Verdict::NotMet,
        Verdict::TooCloseToCall,
        Verdict::NotMeasured,
    );
    let mut debrief = two_orbits_to_touchdown();
    debrief.attempts[0].grade = Some(Grade {
        standard: "School order 4".to_owned(),
        name: "The school's own stage check".to_owned(),
        authority: "Larkfield school".to_owned(),
        note: Some("Heights are above the aim.".to_owned()),
        met_from_share: 0.9,
        not_met_to_share: 0.1,
        another_manoeuvre: None,
        criteria: vec![
            criterion(
                "touchdown_along_ft",
                Some(0.0),
                Some(200.0),
                not,
                Some(0.01),
            ),
            criterion("glide_cas_mean_kt", Some(66.0), Some(76.5), met, Some(0.99)),
            criterion("abeam_height_ft", Some(950.0), None, close, Some(0.4)),
            criterion("glide_cas_within_share", Some(0.9), None, not, Some(0.0)),
            criterion("on_final_height_ft", None, Some(700.0), none, None),
        ],
        by_hand: (0..9)
            .map(|i| HandLine {
                what: format!("Line {i} that no track can show: look-out, radio, checklist"),
                source: if i % 2 == 0 {
                    String::new()
                } else {
                    "item 9".to_owned()
                },
            })
            .collect(),
    });
    debrief
}

pub(super) fn aim_far_away() -> Debrief {
    let mut debrief = two_orbits_to_touchdown();
    let attempt = &mut debrief.attempts[0];
    for east in &mut attempt.series.east_ft {
        *east += 3.0e6;
    }
    for point in &mut attempt.key_points {
        point.east_ft += 3.0e6;
    }
    debrief
}
