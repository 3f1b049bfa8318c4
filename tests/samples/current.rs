//! `reports/` holds exactly what the program writes for `sample-tracks/` now.
//! So does `schema/`. `UPDATE_REPORTS=1 cargo test samples` writes both anew; look at the drawings before committing.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::Command;

use stillprop::compare::{self, Comparison};
use stillprop::debrief::document::SCHEMA;
use stillprop::fleet::{self, document::FleetReport};
use stillprop::logbook::{LINE_SCHEMA, line_schema_json};
use stillprop::progress::{self, ProgressReport, document::Overview};
use stillprop::report::{schema_json, schema_json_of};

use super::{SAMPLES, root, sample, update};

#[test]
fn the_reports_in_the_repository_are_current() {
    let made = Path::new(env!("CARGO_TARGET_TMPDIR")).join("sample-reports");
    let _ = fs::remove_dir_all(&made);
    let output = Command::new(env!("CARGO_BIN_EXE_stillprop"))
        .envs(crate::cli::OWN_DATA)
        .arg("debrief")
        .args(SAMPLES.map(sample))
        .arg("--out")
        .arg(&made)
        .output()
        .unwrap();
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );

    let kept = root().join("reports");
    let (made_names, kept_names) = (names(&made), names(&kept));
    if update() {
        for name in kept_names.difference(&made_names) {
            fs::remove_file(kept.join(name)).unwrap();
        }
        fs::create_dir_all(&kept).unwrap();
        for name in &made_names {
            fs::copy(made.join(name), kept.join(name)).unwrap();
        }
        return;
    }
    assert_eq!(
        made_names, kept_names,
        "run `UPDATE_REPORTS=1 cargo test samples`"
    );
    for name in &made_names {
        let (new, old) = (
            fs::read_to_string(made.join(name)).unwrap(),
            fs::read_to_string(kept.join(name)).unwrap(),
        );
        if let Some((i, (new, old))) = new
            .lines()
            .zip(old.lines())
            .enumerate()
            .find(|(_, (new, old))| new != old)
        {
            panic!(
                "reports/{name} is not current, first in line {}:\n  kept {}\n  made {}\nrun `UPDATE_REPORTS=1 cargo test samples` and look at what changed",
                i + 1,
                start_of(old),
                start_of(new)
            );
        }
        assert_eq!(new.len(), old.len(), "reports/{name} is not current");
    }
}

#[test]
fn the_schemas_in_the_repository_are_current() {
    for (name, made) in [
        (SCHEMA, schema_json()),
        (fleet::document::SCHEMA, schema_json_of::<FleetReport>()),
        (
            progress::document::SCHEMA,
            schema_json_of::<ProgressReport>(),
        ),
        (
            progress::document::OVERVIEW_SCHEMA,
            schema_json_of::<Overview>(),
        ),
        (compare::SCHEMA, schema_json_of::<Comparison>()),
        (LINE_SCHEMA, line_schema_json()),
    ] {
        let kept = root().join("schema").join(format!("{name}.json"));
        if update() {
            fs::write(&kept, &made).unwrap();
        }
        assert!(
            fs::read_to_string(&kept).unwrap_or_default() == made,
            "{}: run `UPDATE_REPORTS=1 cargo test samples`",
            kept.display()
        );
    }
}

/// Reports in `folder`; pictures are made by a browser, not by the program.
fn names(folder: &Path) -> BTreeSet<String> {
    let Ok(entries) = fs::read_dir(folder) else {
        return BTreeSet::new();
    };
    entries
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| {
            ["json", "html", "svg"]
                .iter()
                .any(|e| Path::new(name).extension().is_some_and(|x| x == *e))
        })
        .collect()
}

fn start_of(line: &str) -> String {
    line.chars().take(160).collect()
}
