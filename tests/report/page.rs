//! Pages.

use jiff::tz::TimeZone;
use stillprop::quantity::Measured;
use stillprop::report::wording::{Units, Wording};
use stillprop::report::{page_html, page_html_in};

use super::drawing::problems;
use super::variants;

/// The parts of `text` between `from` and `to`.
fn between<'a>(text: &'a str, from: &str, to: &str) -> Vec<&'a str> {
    text.match_indices(from)
        .filter_map(|(at, _)| {
            let rest = &text[at..];
            rest.find(to).map(|end| &rest[..end + to.len()])
        })
        .collect()
}

#[test]
fn every_drawing_of_a_page_is_well_formed_named_and_free_of_overlaps() {
    let mut found = Vec::new();
    for (name, debrief) in variants::all() {
        for svg in between(&page_html(&debrief), "<svg", "</svg>") {
            found.extend(problems(name, svg));
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn behind_each_row_is_all_there_is_to_know_of_its_measure() {
    let page = page_html(&variants::four_attempts());
    let asked: std::collections::BTreeSet<&str> = page
        .split("href=\"#about-")
        .skip(1)
        .filter_map(|rest| rest.split('"').next())
        .collect();
    assert!(asked.len() > 20, "{asked:?}");
    for id in asked {
        let block = page.split(&format!("id=\"about-{id}\"")).nth(1).unwrap();
        let block = block.split("</dl>").next().unwrap();
        let all = stillprop::measures::explained::find(id).unwrap();
        let info = stillprop::measures::catalogue::find(id).unwrap();
        let definition = info.definition.split(": 0 is never").next().unwrap();
        for part in [
            definition,
            all.formula,
            all.includes,
            all.leaves_out,
            all.source,
        ] {
            let escaped = part
                .replace('&', "&amp;")
                .replace('<', "&lt;")
                .replace('>', "&gt;");
            let escaped = escaped.replace('"', "&quot;");
            assert!(block.contains(&escaped), "{id}: {part}");
        }
    }
}

#[test]
fn a_page_asks_for_nothing_outside_itself() {
    for (name, debrief) in variants::all() {
        let page = page_html(&debrief);
        let links = page.replace("http://www.w3.org/2000/svg", "");
        for scheme in ["http:", "https:", "//cdn", "@import", "src=", "<link"] {
            assert!(!links.contains(scheme), "{name}: {scheme}");
        }
        assert!(page.contains("Content-Security-Policy") && page.contains("default-src 'none'"));
    }
}

#[test]
fn names_are_text_wherever_they_stand() {
    let page = page_html(&variants::very_long_names());
    assert!(!page.contains("<script>alert"));
    assert!(page.contains("&lt;script&gt;alert"));
    assert!(!page.contains('\u{202e}') && !page.contains('\u{7}'));
    assert_eq!(
        page.matches("<script").count(),
        2,
        "the data and the cursor"
    );
    let data = between(&page, "<script type=\"application/json\"", "</script>");
    let json = data[0]
        .split_once('>')
        .unwrap()
        .1
        .trim_end_matches("</script>");
    assert!(!json.contains('<'));
    let data: serde_json::Value = serde_json::from_str(json).unwrap();
    assert_eq!(data.as_array().unwrap().len(), 4);
}

#[test]
fn ids_are_unique_in_a_page() {
    let page = page_html(&variants::four_attempts());
    let mut ids: Vec<&str> = between(&page, " id=\"", "\" ")
        .into_iter()
        .chain(between(&page, " id=\"", "\">"))
        .map(|text| &text[5..5 + text[5..].find('"').unwrap()])
        .collect();
    ids.sort_unstable();
    ids.dedup();
    for id in ids {
        assert_eq!(page.matches(&format!(" id=\"{id}\"")).count(), 1, "{id}");
    }
}

#[test]
fn attempts_stand_side_by_side() {
    let page = page_html(&variants::four_attempts());
    assert!(page.contains("Side by side"));
    assert_eq!(page.matches("class=\"attempt\"").count(), 4);
    assert!(
        !page_html(&super::documents::two_orbits_to_touchdown()).contains("id=\"side-by-side\"")
    );
}

#[test]
fn a_page_of_an_hour_of_practice_is_smaller_than_700_kb() {
    // the invented attempt lasts five and a half minutes; with the climbs between them, six fill an hour
    let mut debrief = variants::four_attempts();
    let more: Vec<_> = debrief.attempts.iter().take(2).cloned().collect();
    debrief.attempts.extend(more);
    for (attempt, number) in debrief.attempts.iter_mut().zip(1..) {
        attempt.number = number;
    }
    let bytes = page_html(&debrief).len();
    assert!(bytes < 700_000, "{bytes} bytes");
}

#[test]
fn nor_is_that_of_nine_circuits() {
    // each of some seven minutes, the attempt of the sample a bit more than one of them
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/reports/three-attempts-circuits.json"
    );
    let sample = std::fs::read_to_string(path).unwrap();
    let mut debrief: stillprop::debrief::Debrief = serde_json::from_str(&sample).unwrap();
    let three = debrief.attempts.clone();
    debrief.attempts = three.iter().cycle().take(9).cloned().collect();
    for (attempt, number) in debrief.attempts.iter_mut().zip(1..) {
        attempt.number = number;
    }
    let bytes = page_html(&debrief).len();
    assert!(bytes < 700_000, "{bytes} bytes");
}

#[test]
fn the_same_document_gives_the_same_page() {
    let debrief = variants::four_attempts();
    assert_eq!(page_html(&debrief), page_html(&debrief.clone()));
}

#[test]
fn a_drawing_tells_the_figures_of_the_tables_to_those_who_hear_it() {
    let page = page_html(&super::documents::two_orbits_to_touchdown()).replace('\u{a0}', " ");
    let cell = |label: &str| {
        let row = page.split(&format!("{label}</summary>")).nth(1).unwrap();
        let cell = row.split("<td class=\"value\">").nth(1).unwrap();
        cell.split("</td>").next().unwrap().to_owned()
    };
    for (drawing, label, unit) in [
        ("speed", "Glide CAS, mean", "kt"),
        ("descent", "Descent rate", "ft/min"),
        ("aim", "Touchdown along", "ft"),
        ("side", "Least in hand before final", "ft"),
    ] {
        let id = format!("<desc id=\"a1-{drawing}-{drawing}-desc\">");
        let told = between(&page, &id, "</desc>")[0];
        let wanted = format!("{label}: {} {unit} (", cell(label));
        assert!(told.contains(&wanted), "{drawing}: {wanted} not in {told}");
    }
    let plan = between(&page, "<desc id=\"a1-plan-plan-desc\">", "</desc>")[0];
    assert!(plan.contains("1 power reduction at"), "{plan}");
}

#[test]
fn a_quantity_in_a_reason_is_converted_once() {
    let mut debrief = super::documents::two_orbits_to_touchdown();
    let why = "it dived through 500 ft above the aim";
    let measure = "projected_from_500ft_along_ft".to_owned();
    debrief.attempts[0]
        .measures
        .insert(measure, Measured::unknown(why));
    let wording = Wording::new(Units::Metric, &TimeZone::UTC, "2026-05-03T10:00:00Z");
    let page = page_html_in(&debrief, wording).replace('\u{a0}', " ");
    assert!(page.contains("it dived through 152 m (500 ft) above the aim"));
    assert!(!page.contains("(152 m"), "converted again");
}
