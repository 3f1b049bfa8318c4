//! What `fleet`, `progress` and `compare` draw: no label over another, in the units and the time asked for.

use std::fs;

use super::program::{Folder, sample};
use crate::report::drawing::problems;

/// The samples that a small logbook is made of.
const FLIGHTS: [&str; 4] = [
    "two-orbits-avionics.csv",
    "one-orbit-landed-long.igc",
    "three-attempts-circuits.csv",
    "low-slow-landed-short.gpx",
];

/// A folder with a logbook, and with all reports on it in `us` and in `metric`.
fn drawn(test: &str) -> Folder {
    let folder = Folder::new(test);
    let flights: Vec<String> = FLIGHTS
        .iter()
        .map(|name| sample(name).to_string_lossy().into_owned())
        .collect();
    let kept = [
        "--logbook",
        "l.logbook",
        "--format",
        "json",
        "--draws",
        "60",
        "--quiet",
    ];
    let flights: Vec<&str> = flights.iter().map(String::as_str).collect();
    let said = folder.run(&[&["debrief"], &flights[..], &kept].concat());
    assert_eq!(said.status, 0, "{}", said.stderr);
    let book = ["--logbook", "l.logbook"];
    let commands: [Vec<&str>; 4] = [
        [&["fleet", "--draws", "200"][..], &book].concat(),
        [&["progress"][..], &book].concat(),
        [&["progress", "P-03"][..], &book].concat(),
        vec![
            "compare",
            "reports/three-attempts-circuits.json",
            "reports/two-orbits-avionics.json",
        ],
    ];
    for (out, units, time) in [("us", "us", "utc"), ("metric", "metric", "+09:00")] {
        for command in &commands {
            let more = [
                "--out",
                out,
                "--units",
                units,
                "--time",
                time,
                "--format",
                "svg,html,json,csv",
            ];
            let said = folder.run(&[&command[..], &more].concat());
            assert_eq!(said.status, 0, "{command:?}: {}", said.stderr);
            let file = format!("{out}/{}.txt", command[0]);
            fs::write(folder.path().join(file), said.stdout).unwrap();
        }
    }
    folder
}

/// The words of a page or a drawing: what stands outside of its marks.
fn words(text: &str) -> String {
    let body = text.split_once("</style>").map_or(text, |(_, body)| body);
    let mut words = String::new();
    let mut inside = false;
    for c in body.chars() {
        match c {
            '<' => inside = true,
            '>' => {
                inside = false;
                words.push(' ');
            }
            '\u{a0}' | '\u{202f}' if !inside => words.push(' '),
            c if !inside => words.push(c),
            _ => {}
        }
    }
    words
}

#[test]
fn reports_on_many_attempts_are_free_of_overlaps_and_in_the_units_and_time_asked_for() {
    let folder = drawn("overview-looks");
    let mut found = Vec::new();
    let mut drawings = 0;
    for units in ["us", "metric"] {
        for name in folder.names(units) {
            let text = fs::read_to_string(folder.path().join(units).join(&name)).unwrap();
            for (start, _) in text.match_indices("<svg") {
                let end = text[start..].find("</svg>").unwrap() + "</svg>".len();
                found.extend(problems(&name, &text[start..start + end]));
                drawings += 1;
            }
        }
    }
    // an airframe of one month has no history drawn
    assert!(drawings > 40, "{drawings} drawings");
    assert!(found.is_empty(), "{}", found.join("\n"));

    let of = |units: &str, name: &str| {
        words(&fs::read_to_string(folder.path().join(units).join(name)).unwrap())
    };
    for name in [
        "fleet.html",
        "fleet.svg",
        "progress-P-03.svg",
        "compare.svg",
        "compare.html",
    ] {
        let (us, metric) = (of("us", name), of("metric", name));
        assert!(us.contains("kt") || us.contains(", ft"), "{name}: {us}");
        for unit in [" kt", " ft/min", ", ft", " NM "] {
            assert!(!metric.contains(unit), "{name} still has{unit}: {metric}");
        }
        assert!(
            metric.contains("km/h") || metric.contains(", m "),
            "{name}: {metric}"
        );
    }
    // nothing is named best or worst of three attempts, and the sheet of all has a finding
    assert!(
        of("us", "progress-P-03.svg").contains("Too few attempts to tell what is met most often")
    );
    assert!(!of("us", "progress-P-03.svg").contains("Met most often: "));
    assert!(of("us", "progress.svg").contains("pilots: too few attempts each to tell"));
    // the sheet of the fleet has what its page has
    for name in ["fleet.svg", "fleet.html"] {
        let words = of("us", name);
        let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
        let words = words.replace("Hand- book", "Handbook");
        for column in [
            "Type",
            "Glide ratio",
            "By its own glides alone",
            "Handbook",
            "Chance of 5 %",
            "Sink, ft/min",
            "Against the others, %",
            "Finding",
        ] {
            assert!(words.contains(column), "{name} without {column}: {words}");
        }
        assert!(words.contains("Abeam, ft") || words.contains("Abeam needed, ft"));
    }
    // the attempts of 6 June begin at 14:17 UTC, 23:17 in the ninth zone east
    assert!(of("us", "compare.svg").contains("2026-06-06 14:17:"));
    let metric = of("metric", "compare.svg");
    assert!(
        metric.contains("2026-06-06 23:17:") && metric.contains("UTC+09:00"),
        "{metric}"
    );
    // tables for programs do not change
    for name in [
        "fleet.csv",
        "fleet.json",
        "progress-P-03.csv",
        "progress-P-03.json",
        "compare.csv",
        "compare.json",
    ] {
        let read = |units: &str| fs::read(folder.path().join(units).join(name)).unwrap();
        assert!(
            read("us") == read("metric"),
            "{name} differs with the units"
        );
    }
    let table =
        |units: &str, name: &str| fs::read_to_string(folder.path().join(units).join(name)).unwrap();
    assert!(table("us", "fleet.txt").contains("sink, ft/min"));
    assert!(table("metric", "fleet.txt").contains("sink, m/s"));
    assert!(table("metric", "compare.txt").contains("km/h"));
}

#[test]
fn a_zone_that_is_none_is_told_before_the_logbook_is_looked_for() {
    let folder = Folder::new("overview-zone");
    for command in ["fleet", "progress"] {
        let said = folder.run(&[
            command,
            "--logbook",
            "none.logbook",
            "--time",
            "Nowhere/Land",
        ]);
        assert_eq!(said.status, 2, "{}", said.stderr);
        assert!(
            said.stderr.contains("`--time Nowhere/Land`"),
            "{}",
            said.stderr
        );
        assert!(!said.stderr.contains("none.logbook"), "{}", said.stderr);
    }
}
