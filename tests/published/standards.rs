//! Every published tolerance, with values on its limits and just beyond.
//!
//! Figures: FAA-S-ACS-6C Area IX Task B and Area IV Task B; FAA-S-ACS-7B (November 2023) Area IX
//! Task B, Area IV Task M and Area V Task B; TP 12475 Ex. 22; TP 13984 item 11; AMC1 FCL.125; AMC1
//! FCL.235; Part 61 Manual of Standards Schedule 8; CAA New Zealand instructor flight test
//! (gyroplane). Those of FAA-S-ACS-25, TP 13723, TP 13462, Part-FCL Appendix 4 and the approach
//! speed of FAA-S-ACS-6C are from memory, and the files say so.

use stillprop::grading::{
    About, Basis, CriterionGrade, Evidence, Recorder, References, Verdict, embedded, find, grade,
    inside,
};

const BEST_GLIDE_KCAS: f64 = 68.0;
const APPROACH_KCAS: f64 = 63.0;

/// The first criterion on `measure`, where every draw has `value`.
fn judged(id: &str, measure: &str, value: f64) -> CriterionGrade {
    let references = References {
        best_glide_kcas: Some(BEST_GLIDE_KCAS),
        approach_kcas: Some(APPROACH_KCAS),
    };
    let recorder = Recorder {
        rate_hz: 1.0,
        airspeed: false,
        pressure_altitude: false,
        qnh_known: true,
    };
    let grade = grade(find(id).unwrap(), &references, &recorder, |m| Evidence {
        values: vec![if m == measure { value } else { f64::NAN }; 20],
        reason: "not flown".into(),
    });
    let found = grade.criteria.into_iter().find(|c| c.measure == measure);
    found.unwrap_or_else(|| panic!("{id} has no criterion on {measure}"))
}

const M: f64 = 1.0 / 0.3048;
const MPH: f64 = 1609.344 / 1852.0;

/// Standard, measure, greatest and least value that is inside, a step beyond.
const PUBLISHED: [(&str, &str, f64, f64, f64); 6] = [
    ("US-private-landing", "touchdown_along_ft", 0.0, 400.0, 0.1),
    // in metres: 0.00 and 60.96 are inside, -0.01 and 60.97 are not
    (
        "US-commercial-PO180",
        "touchdown_along_ft",
        0.0,
        60.96 * M,
        0.01 * M,
    ),
    (
        "US-commercial-steep-spiral",
        "orbits",
        3.0,
        f64::INFINITY,
        0.1,
    ),
    (
        "US-commercial-steep-spiral",
        "bank_max_deg",
        f64::NEG_INFINITY,
        60.0,
        0.1,
    ),
    ("US-instructor", "touchdown_along_ft", 0.0, 200.0, 0.1),
    (
        "AU-MOS",
        "touchdown_along_ft",
        -60.0 * M,
        60.0 * M,
        0.01 * M,
    ),
];
/// Likewise, in a second list to keep the lines apart.
const MORE: [(&str, &str, f64, f64, f64); 1] = [(
    "NZ-gyroplane",
    "power_reduction_height_ft",
    1000.0,
    f64::INFINITY,
    1.0,
)];

/// Standard, and the slowest and fastest speed that is held on final, kt, for an approach speed of 63 kt.
const HELD_ON_FINAL: [(&str, f64, f64); 5] = [
    ("US-private-landing", 58.0, 73.0),
    ("EU-LAPL", 58.0, 78.0),
    ("EU-PPL", 58.0, 78.0),
    ("EU-CPL", 58.0, 68.0),
    ("AU-MOS", 63.0, 68.0),
];

/// The same in the glide, for a best glide speed of 68 kt.
const HELD: [(&str, f64, f64); 13] = [
    ("US-private-emergency", 58.0, 78.0),
    ("US-commercial-emergency", 58.0, 78.0),
    ("US-commercial-steep-spiral", 58.0, 78.0),
    ("US-instructor", 58.0, 78.0),
    ("Canada-rec", 63.0, 78.0),
    ("Canada-ultralight", 68.0, 68.0 + 10.0 * MPH),
    ("Canada-private", 63.0, 78.0),
    ("Canada-commercial", 63.0, 78.0),
    ("EU-LAPL", 53.0, 83.0),
    ("EU-PPL", 53.0, 83.0),
    ("EU-CPL", 58.0, 78.0),
    ("AU-MOS", 63.0, 78.0),
    ("NZ-gyroplane", 63.0, 73.0),
];

#[test]
fn a_speed_is_held_within_the_published_tolerance_and_not_judged_by_its_mean() {
    for (stretch, about, speed_kt, rows) in [
        ("glide", About::BestGlide, BEST_GLIDE_KCAS, &HELD[..]),
        ("final", About::Approach, APPROACH_KCAS, &HELD_ON_FINAL[..]),
    ] {
        let (measure, mean) = (
            format!("{stretch}_cas_within_share"),
            format!("{stretch}_cas_mean_kt"),
        );
        for &(id, low, high) in rows {
            let share = |value| judged(id, &measure, value);
            let held = share(1.0);
            let [from, to] = held.within_kt.expect("a tolerance");
            assert!(
                (from - low).abs() < 1e-9 && (to - high).abs() < 1e-9,
                "{id}"
            );
            // on the limit it is held, a tenth of a knot beyond it is not
            let speed = |kt| inside(kt, Some(from), Some(to));
            assert!(speed(low) && speed(high), "{id}");
            assert!(!speed(low - 0.1) && !speed(high + 0.1), "{id}");
            assert_eq!(held.verdict, Verdict::Met, "{id}");
            // half of the time outside is not met, wherever the mean is
            assert_eq!(share(0.5).verdict, Verdict::NotMet, "{id}");
            let standard = find(id).unwrap();
            let means = standard.criteria.iter().filter(|c| c.measure == mean);
            assert_eq!(means.count(), 0, "{id}");
            assert_eq!(
                standard.speed_band_kt(about).map(|b| b.map(f64::round)),
                Some([(speed_kt - low).round(), (high - speed_kt).round()]),
                "{id}"
            );
        }
        let asked = embedded().iter().flat_map(|s| &s.criteria);
        let asked = asked.filter(|c| c.measure == measure).count();
        assert_eq!(asked, rows.len(), "{stretch}");
    }
}

#[test]
fn a_value_on_a_limit_is_inside_and_one_just_beyond_is_not() {
    for (id, measure, low, high, step) in PUBLISHED.into_iter().chain(MORE) {
        for (value, expected) in [
            (low, Verdict::Met),
            (high, Verdict::Met),
            (low - step, Verdict::NotMet),
            (high + step, Verdict::NotMet),
        ] {
            if value.is_finite() {
                let verdict = judged(id, measure, value).verdict;
                assert_eq!(verdict, expected, "{id}, {measure} of {value}");
            }
        }
    }
}

#[test]
fn every_criterion_of_every_standard_is_in_the_table() {
    for standard in embedded() {
        for criterion in &standard.criteria {
            let listed = PUBLISHED.iter().chain(&MORE);
            let rows = match criterion.about {
                Some(About::Approach) => &HELD_ON_FINAL[..],
                _ => &HELD[..],
            };
            let held = rows.iter().any(|row| row.0 == standard.id);
            let own = matches!(criterion.basis, Basis::CommonPractice | Basis::Program)
                || (criterion.within_kt.is_some() && held);
            assert!(
                own || listed
                    .into_iter()
                    .any(|row| row.0 == standard.id && row.1 == criterion.measure),
                "{}: {}",
                standard.id,
                criterion.id
            );
        }
    }
}

#[test]
fn the_power_off_180_grades_the_touchdown_and_nothing_else() {
    let standard = find("US-commercial-PO180").unwrap();
    let measures: Vec<&str> = standard
        .criteria
        .iter()
        .map(|c| c.measure.as_str())
        .collect();
    assert_eq!(measures, ["touchdown_along_ft"]);
}

#[test]
fn a_touchdown_on_the_limit_with_five_metres_of_doubt_is_too_close_to_call() {
    let references = References::default();
    let recorder = Recorder {
        rate_hz: 1.0,
        airspeed: false,
        pressure_altitude: false,
        qnh_known: true,
    };
    // 60.9 m, 95 % within 5 m of it
    let values: Vec<f64> = (0..200)
        .map(|i| (60.9 + 5.0 * (f64::from(i) / 99.5 - 1.0)) * M)
        .collect();
    let grade = grade(
        find("US-commercial-PO180").unwrap(),
        &references,
        &recorder,
        |_| Evidence {
            values: values.clone(),
            reason: String::new(),
        },
    );
    assert_eq!(grade.criteria[0].verdict, Verdict::TooCloseToCall);
}

#[test]
fn figures_from_memory_are_marked() {
    for id in [
        "US-instructor",
        "Canada-private",
        "Canada-commercial",
        "EU-CPL",
    ] {
        let criteria = &find(id).unwrap().criteria;
        assert!(
            criteria
                .iter()
                .all(|c| matches!(c.basis, Basis::Memory | Basis::Program)),
            "{id}"
        );
    }
}

#[test]
fn a_share_of_the_glide_is_never_asked_in_the_name_of_an_authority() {
    let mut shares = 0;
    for standard in embedded() {
        for criterion in &standard.criteria {
            let share = criterion.measure.ends_with("_share");
            shares += usize::from(share);
            // the tolerance is the document's; every report says that the share is not
            assert_eq!(
                share,
                criterion.within_kt.is_some(),
                "{}: {}",
                standard.id,
                criterion.id
            );
        }
    }
    assert!(shares > 0);
    for measure in ["glide_cas_within_share", "final_cas_within_share"] {
        let held = judged("EU-PPL", measure, 1.0);
        let said = stillprop::report::verdicts::source(&held);
        assert!(
            said.contains("the share of the time this program"),
            "{said}"
        );
    }
}

#[test]
fn the_standard_for_gyroplanes_says_so() {
    let standard = find("NZ-gyroplane").unwrap();
    assert!(standard.name.to_lowercase().contains("gyroplane"));
    assert!(find("NZ").is_none());
}
