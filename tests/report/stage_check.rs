//! The stage-check form, and the debrief in words.

use stillprop::debrief::document::{Attempt, Checklist, ChecklistItem, Debrief, Event};
use stillprop::quantity::Measured;
use stillprop::report::{checklist_words, debrief_words, stage_check_svg};

use super::documents::{known, two_orbits_to_touchdown, utc};
use super::drawing::problems;
use super::variants;

/// The graded document with everything long, and every document with that grade.
fn with_grades() -> Vec<(String, Debrief)> {
    let grade = variants::graded().attempts.remove(0).grade;
    let mut all: Vec<(String, Debrief)> = variants::all()
        .into_iter()
        .map(|(name, mut debrief)| {
            for attempt in &mut debrief.attempts {
                attempt.grade.clone_from(&grade);
            }
            (name.to_owned(), debrief)
        })
        .collect();
    let mut long = variants::graded();
    if let Some(grade) = &mut long.attempts[0].grade {
        let (criteria, lines) = (grade.criteria.clone(), grade.by_hand.clone());
        grade.name = "A very long name of a standard ".repeat(9);
        for i in 0..6 {
            grade.criteria.extend(criteria.iter().cloned().map(|mut c| {
                c.name = format!("{i} {}", c.name.repeat(9));
                c.source = c.source.repeat(9);
                c
            }));
            grade.by_hand.extend(lines.iter().cloned().map(|mut l| {
                l.what = l.what.repeat(4);
                l
            }));
        }
    }
    all.push(("a long standard".to_owned(), long));
    all
}

#[test]
fn every_form_is_well_formed_and_free_of_overlaps() {
    let mut found = Vec::new();
    for (name, debrief) in with_grades() {
        for index in 0..debrief.attempts.len() {
            let form = stage_check_svg(&debrief, index).unwrap();
            found.extend(problems(&format!("{name}, {index}"), &form));
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn there_is_no_form_without_a_standard() {
    assert!(stage_check_svg(&two_orbits_to_touchdown(), 0).is_none());
    assert!(stage_check_svg(&variants::graded(), 7).is_none());
}

#[test]
fn what_was_missed_most_is_said_first_and_in_at_most_five_sentences() {
    let mut debrief = variants::graded();
    let attempt = &mut debrief.attempts[0];
    attempt
        .measures
        .insert("stall_margin_min".into(), known(1.28, 0.01));
    attempt
        .measures
        .insert("glide_ratio_air".into(), known(9.3, 0.4));
    let said = debrief_words::sentences(&debrief, &debrief.attempts[0]);
    assert!(said.len() <= 5, "{said:?}");
    // 110 ft beyond a zone of 200 ft, for sure; a share of 0.82 where 0.9 is wanted
    assert_eq!(
        said[0].replace('\u{a0}', " "),
        "Touchdown, 10:16:31: 310 ft beyond the aim (95 % 260 to 360 ft); School order 4 asks for 0 to 200 ft."
    );
    assert!(
        said.iter().any(|s| s.contains("times the stall speed")),
        "{said:?}"
    );
    assert!(
        said.iter().any(|s| s.contains("too close to call")),
        "{said:?}"
    );
}

#[test]
fn out_of_reach_is_said_with_time_and_height() {
    let mut debrief = two_orbits_to_touchdown();
    let event = Event {
        kind: "last_within_reach".into(),
        utc: Measured::Known {
            value: utc(300.0),
            low: utc(298.0),
            high: utc(302.0),
        },
        height_ft: known(821.0, 12.0),
        probability: 1.0,
        words: "last moment from which the aim point could be reached at best glide".into(),
    };
    debrief.attempts[0].events.push(event);
    let said = debrief_words::sentences(&debrief, &debrief.attempts[0]);
    assert!(
        said[0]
            .replace('\u{a0}', " ")
            .starts_with("10:15:00 at 820 ft: last moment"),
        "{said:?}"
    );
}

#[test]
fn a_flight_on_the_numbers_needs_no_words() {
    let mut debrief = two_orbits_to_touchdown();
    let measures = &mut debrief.attempts[0].measures;
    for (id, value, half) in [
        ("abeam_height_error_ft", 5.0, 14.0),
        ("settling_time_s", 8.0, 1.0),
        ("stall_margin_min", 1.5, 0.05),
        ("glide_ratio_air", 9.3, 0.4),
    ] {
        measures.insert(id.into(), known(value, half));
    }
    assert_eq!(
        debrief_words::sentences(&debrief, &debrief.attempts[0]),
        Vec::<String>::new()
    );
}

#[test]
fn a_checklist_in_one_sentence() {
    let mut debrief = two_orbits_to_touchdown();
    let item = |name: &str, utc: Option<String>| ChecklistItem {
        item: name.into(),
        utc,
    };
    let attempt = &mut debrief.attempts[0];
    attempt.checklist = Some(Checklist {
        items: vec![item("fuel", Some(utc(120.0))), item("mixture", None)],
        started_height_ft: known(2312.0, 10.0),
        completed_height_ft: Measured::unknown("an item of the checklist was not noted"),
        completed_before_abeam_s: Measured::unknown("an item of the checklist was not noted"),
    });
    let words = |a: &Attempt| checklist_words::sentence(a).unwrap().replace('\u{a0}', " ");
    assert_eq!(
        words(attempt),
        "Checklist started at 2310 ft; not noted: mixture."
    );
    attempt.checklist = Some(Checklist {
        items: vec![item("fuel", Some(utc(120.0)))],
        started_height_ft: known(2312.0, 10.0),
        completed_height_ft: known(1650.0, 10.0),
        completed_before_abeam_s: known(41.0, 1.0),
    });
    assert_eq!(
        words(attempt),
        "Checklist started at 2310 ft; completed at 1650 ft, 41 s before abeam."
    );
}
