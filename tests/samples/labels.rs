//! No label overlaps another in the sheets, pages and forms of the samples and of reference flights: every class of
//! recorder, every rate.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use super::{SAMPLES, root, sample};
use crate::report::drawing::problems;

/// At the least so many reference flights, of those there are.
const LEAST: usize = 30;

#[test]
fn no_label_overlaps_another_in_samples_and_reference_flights() {
    let folder = root().join("tests/reference-flights");
    let mut flights: Vec<PathBuf> = fs::read_dir(&folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| {
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            path.extension().is_some_and(|e| e == "gz") && !name.contains(".motion.")
        })
        .collect();
    flights.sort();
    // every other one is of another recorder or of another rate
    let every = (flights.len() / LEAST).max(1);
    let mut chosen: Vec<PathBuf> = flights.into_iter().step_by(every).collect();
    // the fullest page: 54 minutes with four attempts, here with their four forms
    let fullest = folder.join("flight-05-a.gpx.gz");
    if !chosen.contains(&fullest) {
        chosen.push(fullest);
    }
    assert!(chosen.len() >= LEAST, "{} flights", chosen.len());
    let made = Path::new(env!("CARGO_TARGET_TMPDIR")).join("labels");
    let _ = fs::remove_dir_all(&made);
    for (more, flights) in [
        (&["--units", "us"][..], &chosen[..]),
        (&["--units", "metric", "--time", "+05:45"], &[]),
    ] {
        let output = Command::new(env!("CARGO_BIN_EXE_stillprop"))
            .envs(crate::cli::OWN_DATA)
            .arg("debrief")
            .args(SAMPLES.map(sample))
            .args(flights)
            .args([
                "--format",
                "svg,html,stage-check",
                "--standard",
                "US-private-emergency",
            ])
            .args(["--draws", "60", "--quiet", "--out"])
            .arg(made.join(more[1]))
            .args(more)
            .output()
            .unwrap();
        assert!(output.status.code() != Some(2), "{output:?}");
    }
    let mut found = Vec::new();
    let mut drawings = 0;
    for entry in ["us", "metric"]
        .iter()
        .flat_map(|units| fs::read_dir(made.join(units)).unwrap())
    {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let text = fs::read_to_string(&path).unwrap();
        let starts: Vec<usize> = text.match_indices("<svg").map(|(at, _)| at).collect();
        for start in starts {
            let end = text[start..].find("</svg>").unwrap() + "</svg>".len();
            let drawing = &text[start..start + end];
            found.extend(problems(&name, drawing));
            found.extend(cut(&name, drawing));
            drawings += 1;
        }
        if path.extension().is_some_and(|e| e == "html") {
            assert!(text.len() < 700_000, "{name}: {} bytes", text.len());
        }
    }
    assert!(drawings > 400, "{drawings} drawings");
    assert!(
        found.is_empty(),
        "{} in {drawings} drawings:\n{}",
        found.len(),
        found.join("\n")
    );
}

/// Texts that are cut in the parts of a drawing whose words are the program's own.
fn cut(name: &str, drawing: &str) -> Vec<String> {
    let parts = [
        "measures",
        "wind-arrows",
        "aim",
        "side",
        "speed",
        "last-mile",
    ];
    let svg = roxmltree::Document::parse(drawing).unwrap();
    let own = svg.descendants().filter(|n| {
        let part =
            |n: roxmltree::Node<'_, '_>| n.attribute("class").is_some_and(|c| parts.contains(&c));
        n.has_tag_name("text") && n.ancestors().any(part)
    });
    // a reason why something was not measured is shortened where room is short
    let words = own.filter_map(|n| n.text());
    let cut = words.filter(|text| text.ends_with('…') && !text.contains("not measured"));
    cut.map(|text| format!("{name}: cut: {text}")).collect()
}
