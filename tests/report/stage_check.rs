//! The stage-check form, and the debrief in words.

use stillprop::debrief::another_manoeuvre;
use stillprop::debrief::document::{
    Attempt, Basis, Checklist, ChecklistItem, CriterionGrade, Debrief, Event, Verdict,
};
use stillprop::quantity::Measured;
use stillprop::report::{Wording, checklist_words, debrief_words, stage_check_svg, summary_table};

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
    let said = debrief_words::sentences(&debrief, &debrief.attempts[0], Wording::default());
    assert!(said.len() <= 5, "{said:?}");
    // 110 ft beyond a zone of 200 ft, for sure; a share of 0.82 where 0.9 is wanted
    assert_eq!(
        said[0].replace('\u{a0}', " "),
        "Touchdown, 4:51: 310 ft beyond the aim (95 % 260 to 360 ft); School order 4 asks for 0 to 200 ft."
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
    let said = debrief_words::sentences(&debrief, &debrief.attempts[0], Wording::default());
    assert!(
        said[0]
            .replace('\u{a0}', " ")
            .starts_with("3:20 at 820 ft: last moment"),
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
        debrief_words::sentences(&debrief, &debrief.attempts[0], Wording::default()),
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
    let words = |a: &Attempt| {
        checklist_words::sentence(a, Wording::default())
            .unwrap()
            .replace('\u{a0}', " ")
    };
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

/// All words of a form, in their order.
fn words_of(form: &str) -> String {
    let svg = roxmltree::Document::parse(form).unwrap();
    let texts = svg.descendants().filter(|n| n.has_tag_name("text"));
    let words: Vec<String> = texts
        .map(|n| {
            n.descendants()
                .filter_map(|d| d.is_text().then(|| d.text())?)
                .collect::<Vec<_>>()
                .join(" ")
        })
        .collect();
    let joined = words.join(" ").replace('\u{a0}', " ");
    joined.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn criterion<'a>(debrief: &'a mut Debrief, measure: &str) -> &'a mut CriterionGrade {
    let grade = debrief.attempts[0].grade.as_mut().unwrap();
    let mut criteria = grade.criteria.iter_mut();
    criteria.find(|c| c.measure == measure).unwrap()
}

#[test]
fn every_danger_and_remark_is_on_the_form_before_anything_else_in_words() {
    let mut debrief = variants::graded();
    let attempt = &mut debrief.attempts[0];
    attempt.in_hand = super::in_hand::told().attempts.remove(0).in_hand;
    let danger = attempt.in_hand.dangers[0].clone();
    for i in 1..5 {
        let mut more = danger.clone();
        more.words =
            format!("turning slow and low number {i}, at 1.15 times the stall speed in that turn");
        attempt.in_hand.dangers.push(more);
    }
    attempt
        .remarks
        .push("dived from 900 to 600 ft in 6 s".into());
    let words = words_of(&stage_check_svg(&debrief, 0).unwrap());
    let at = |part: &str| {
        words
            .find(part)
            .unwrap_or_else(|| panic!("{part}: {words}"))
    };
    assert!(at("Stretching the glide, from 4:12 for 9 s (probability 88 %)") > at("In words"));
    assert!(at("Turning slow and low number 4") < at("Dived from 900 to 600 ft in 6 s"));
    assert!(at("Dived from 900") < at("Touchdown, 4:51: 310 ft beyond"));
}

#[test]
fn a_share_of_the_glide_is_the_programs_measure_and_not_the_authoritys() {
    let mut debrief = variants::graded();
    criterion(&mut debrief, "glide_cas_within_share").basis = Basis::Program;
    let form = words_of(&stage_check_svg(&debrief, 0).unwrap());
    assert!(
        form.contains("glide_cas_within_share: by this program\u{2019}s measure"),
        "{form}"
    );
    let said = debrief_words::sentences(&debrief, &debrief.attempts[0], Wording::default());
    let share = said
        .iter()
        .find(|s| s.contains("within the tolerance"))
        .unwrap();
    assert!(
        share.replace('\u{a0}', " ").ends_with(
            "; 90 % of the glide within is this program\u{2019}s measure; the document gives no share."
        ),
        "{share}"
    );
    assert!(!share.contains("School order"), "{share}");
}

/// The power-off 180, with the power off so many seconds before abeam, each instant within 2 s.
fn power_off_180(before_abeam_s: f64) -> Debrief {
    let instant = |second: f64| Measured::Known {
        value: utc(second),
        low: utc(second - 2.0),
        high: utc(second + 2.0),
    };
    let mut debrief = variants::graded();
    criterion(&mut debrief, "touchdown_along_ft").id = "CA.IV.M.S8".into();
    for point in &mut debrief.attempts[0].key_points {
        match point.kind.as_str() {
            "power_reduction" => point.utc = instant(100.0),
            "abeam" => point.utc = instant(100.0 + before_abeam_s),
            _ => {}
        }
    }
    judged(debrief, "US-commercial-PO180")
}

/// The document after it is asked whether its first attempt is the manoeuvre of the standard.
fn judged(mut debrief: Debrief, standard: &str) -> Debrief {
    let standard = stillprop::grading::find(standard).unwrap();
    let attempt = &debrief.attempts[0];
    let another = another_manoeuvre(attempt, attempt.grade.as_ref().unwrap(), standard);
    debrief.attempts[0]
        .grade
        .as_mut()
        .unwrap()
        .another_manoeuvre = another;
    debrief
}

#[test]
fn power_off_long_before_abeam_is_no_power_off_180() {
    let debrief = power_off_180(250.0);
    let line = "This attempt is no power-off 180: power came off 4:10 before abeam.";
    let said = debrief_words::sentences(&debrief, &debrief.attempts[0], Wording::default());
    assert_eq!(said[0], line);
    let form = words_of(&stage_check_svg(&debrief, 0).unwrap());
    assert_eq!(form.matches(line).count(), 1, "{form}");
    let terminal = summary_table(&debrief);
    assert!(
        terminal.contains("This attempt is no power-off 180"),
        "{terminal}"
    );
    // 62 s, known to 4 s at the worst: not sure to be more than a minute
    for seconds in [0.0, 58.0, 62.0] {
        let debrief = power_off_180(seconds);
        let said = debrief_words::sentences(&debrief, &debrief.attempts[0], Wording::default());
        assert!(!said[0].contains("no power-off 180"), "{seconds}: {said:?}");
    }
}

#[test]
fn fewer_orbits_than_the_task_asks_are_another_manoeuvre() {
    let mut debrief = variants::graded();
    let asked = criterion(&mut debrief, "touchdown_along_ft");
    asked.measure = "orbits".into();
    asked.id = "CA.V.B.S2, turns".into();
    (asked.low, asked.high) = (Some(3.0), None);
    let mut debrief = judged(debrief, "US-commercial-steep-spiral");
    let said = debrief_words::sentences(&debrief, &debrief.attempts[0], Wording::default());
    assert!(
        said[0].starts_with("This attempt is not the manoeuvre of the task: 1.9 orbits"),
        "{said:?}"
    );
    assert!(said[0].ends_with("the task asks for 3."), "{said:?}");
    criterion(&mut debrief, "orbits").verdict = Verdict::TooCloseToCall;
    let debrief = judged(debrief, "US-commercial-steep-spiral");
    let said = debrief_words::sentences(&debrief, &debrief.attempts[0], Wording::default());
    assert!(!said[0].contains("not the manoeuvre"), "{said:?}");
}

#[test]
fn long_names_and_sources_are_broken_into_lines_and_not_cut() {
    let mut debrief = variants::graded();
    let long = "words that go on for longer than one line of the form has room for, ".repeat(3);
    let grade = debrief.attempts[0].grade.as_mut().unwrap();
    grade.name = format!("{long} name");
    grade.criteria[0].name = format!("{long} criterion");
    grade.criteria[0].source = format!("{long} source");
    grade.by_hand.truncate(3);
    grade.by_hand[0].what = format!("{long} hand");
    let form = stage_check_svg(&debrief, 0).unwrap();
    assert_eq!(problems("long names", &form), Vec::<String>::new());
    let form = words_of(&form);
    assert!(!form.contains('…'), "{form}");
    for end in ["name", "criterion", "source", "hand"] {
        assert!(form.contains(&format!("room for, {end}")), "{end}: {form}");
    }
}

#[test]
fn limits_are_no_finer_than_they_are_published() {
    let mut debrief = variants::graded();
    let speed = criterion(&mut debrief, "glide_cas_mean_kt");
    (speed.low, speed.high) = (Some(59.1), Some(89.1));
    let touchdown = criterion(&mut debrief, "touchdown_along_ft");
    (touchdown.low, touchdown.high) = (Some(-60.0 / 0.3048), Some(60.0 / 0.3048));
    let form = words_of(&stage_check_svg(&debrief, 0).unwrap());
    assert!(form.contains("59 to 89 kt"), "{form}");
    assert!(form.contains("±60 m (±197 ft)"), "{form}");
}

#[test]
fn the_terminal_says_verdicts_in_full() {
    let mut debrief = variants::graded();
    criterion(&mut debrief, "glide_cas_mean_kt").verdict = Verdict::TooCloseToCall;
    let table = summary_table(&debrief);
    assert!(
        table
            .lines()
            .filter(|l| l.ends_with("too close to call"))
            .count()
            >= 2,
        "{table}"
    );
    assert!(table.lines().all(|l| l.chars().count() <= 80), "{table}");
}

#[test]
fn a_verdict_stands_beside_no_figure_that_contradicts_it() {
    let with = |low: f64, high: f64, verdict: Verdict| {
        let mut debrief = variants::graded();
        let attempt = &mut debrief.attempts[0];
        let value = 0.5 * (low + high);
        let share = Measured::Known { value, low, high };
        attempt
            .measures
            .insert("glide_cas_within_share".into(), share);
        criterion(&mut debrief, "glide_cas_within_share").verdict = verdict;
        let form = words_of(&stage_check_svg(&debrief, 0).unwrap());
        let table = summary_table(&debrief).replace('\u{a0}', " ");
        let row = |text: &str| -> String {
            let mut lines = table.lines();
            lines.find(|l| l.contains(text)).unwrap().to_owned()
        };
        let said = debrief_words::sentences(&debrief, &debrief.attempts[0], Wording::default());
        let said = said.join(" ").replace('\u{a0}', " ");
        (form, row("Glide within tolerance"), said)
    };
    // anything from 0 to 100 %: neither
    let (form, row, said) = with(0.0, 1.0, Verdict::TooCloseToCall);
    assert!(
        form.contains("can’t tell 0 to 100 % too close to call"),
        "{form}"
    );
    assert!(row.contains("can’t tell"), "{row}");
    let words = "glide within tolerance cannot be told closer than 0 to 100 % (95 %)";
    assert!(said.contains(words), "{said}");
    // 0 to 80 % where 90 % are wanted: how long cannot be told, that it was not long enough can
    let (form, row, said) = with(0.0, 0.8, Verdict::NotMet);
    assert!(form.contains("outside 0 to 80 % not met"), "{form}");
    assert!(row.contains("outside") && row.ends_with("not met"), "{row}");
    assert!(
        said.contains("cannot be told closer than 0 to 80 %"),
        "{said}"
    );
    // known closely enough, it is a figure like any other
    let (form, row, _) = with(0.5, 0.7, Verdict::NotMet);
    assert!(form.contains("60 % 50 to 70 not met"), "{form}");
    assert!(row.contains("60 %"), "{row}");
}
