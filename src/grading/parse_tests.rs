use super::*;
use crate::grading::library::{embedded, find};

fn problems(text: &str) -> Vec<String> {
    parse(text, "s.toml", embedded())
        .unwrap_err()
        .problems
        .iter()
        .map(ToString::to_string)
        .collect()
}

#[test]
fn a_school_changes_one_line_of_a_published_standard() {
    let text = r#"
id = "school-po180"
derives_from = "us-commercial-po180"
[[criterion]]
id = "CA.IV.M.S8"
measure = "touchdown_along_ft"
low = -50
high = 100
source = "School order 4, item 7"
[[criterion]]
id = "abeam"
measure = "abeam_height_ft"
low = 900
source = "School order 4, item 3"
"#;
    let school = parse(text, "s.toml", embedded()).unwrap();
    let published = find("US-commercial-PO180").unwrap();
    assert_eq!(school.criteria.len(), published.criteria.len() + 1);
    assert_eq!(school.criteria[0].low, Some(-50.0));
    assert_eq!(school.criteria[0].basis, Basis::School);
    assert_eq!(school.by_hand, published.by_hand);
    assert_eq!(school.authority, "derived from US-commercial-PO180");
}

#[test]
fn a_criterion_can_be_left_out() {
    let text = "id = \"x\"\nderives_from = \"AU-MOS\"\ndrop = [\"final approach speed\"]\n";
    let school = parse(text, "s.toml", embedded()).unwrap();
    assert_eq!(
        school.criteria.len() + 1,
        find("AU-MOS").unwrap().criteria.len()
    );
    let found =
        problems("id = \"x\"\nderives_from = \"AU-MOS\"\ndrop = [\"final aproach speed\"]\n");
    assert_eq!(found.len(), 1);
    assert!(found[0].starts_with("s.toml:3: "), "{found:?}");
    assert!(
        found[0].ends_with("did you mean `final approach speed`?"),
        "{found:?}"
    );
}

#[test]
fn what_is_wrong_is_told_with_line_and_nearest_id() {
    let text = r#"id = "x"
[[criterion]]
id = "a"
measure = "touchdown_alng_ft"
low = 0
source = "S 1"
[[criterion]]
id = "b"
measure = "abeam_height_ft"
low = 1100
high = 900
source = "S 2"
[[criterion]]
id = "c"
measure = "abeam_height_ft"
low = 900
[[criterion]]
id = "d"
measure = "abeam_height_ft"
lo = 900
source = "S 4"
"#;
    let found = problems(text);
    assert_eq!(
        found,
        [
            "s.toml:4: no measure is called `touchdown_alng_ft`\nhelp: did you mean `touchdown_along_ft`?",
            "s.toml:11: reversed bounds: `low` 1100 is above `high` 900",
            "s.toml:13: a criterion without a source\nhelp: add `source = \"document, item\"` to it, or `document` at the top of the file and `element` to it",
            "s.toml:17: a criterion without `low` and `high`",
            "s.toml:20: unknown key `lo` in criterion\nhelp: did you mean `low`?",
        ]
    );
}

#[test]
fn an_unknown_parent_names_the_nearest() {
    let found = problems("id = \"x\"\nderives_from = \"EU-PPX\"\n");
    assert!(
        found
            .iter()
            .any(|p| p.starts_with("s.toml:2: ") && p.ends_with("did you mean `EU-PPL`?")),
        "{found:?}"
    );
}

#[test]
fn damaged_files_are_errors_not_panics() {
    for text in [
        "",
        "id = ",
        "id = 4",
        "criterion = 3\nid = \"x\"",
        "[[criterion]]\n",
        "id = \"x\"\nmet_from_share = 0.1\n[[by_hand]]\nwhat = \"look-out\"\n",
        "id=\"x\"\ncriterion=[3]",
        "id=\"x\"\n[[criterion]]\nid=\"a\"\nmeasure=\"orbits\"\nlow=nan\nsource=\"s\"\n",
    ] {
        assert!(!problems(text).is_empty(), "{text}");
    }
}

#[test]
fn published_units_are_brought_to_those_of_the_measure() {
    let metres = find("AU-MOS")
        .unwrap()
        .criteria
        .iter()
        .find(|c| c.measure == "touchdown_along_ft")
        .unwrap();
    // 60 m is 196.85 ft
    assert!((metres.high.unwrap() - 196.8504).abs() < 1e-4);
    // 10 mph is 8.690 kt
    let mph = &find("Canada-ultralight").unwrap().criteria[0];
    assert!((mph.high.unwrap() - 8.68976).abs() < 1e-5);
}
