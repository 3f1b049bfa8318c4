//! Every command of the README runs and ends as it says.

use std::fs;
use std::path::Path;
use std::process::Command;

/// Commands of the `console` blocks of a document.
fn commands(text: &str) -> Vec<String> {
    let mut commands = Vec::new();
    let mut inside = false;
    for line in text.lines() {
        if line.starts_with("```") {
            inside = line.starts_with("```console");
        } else if let (true, Some(command)) = (inside, line.strip_prefix("$ ")) {
            commands.push(command.to_owned());
        }
    }
    commands
}

#[test]
fn every_command_of_the_readme_runs() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let readme = fs::read_to_string(root.join("README.md")).unwrap();
    let commands = commands(&readme);
    assert!(
        commands.len() >= 4,
        "the README shows {} commands",
        commands.len()
    );
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("readme");
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    let mut ran = 0;
    for command in &commands {
        // Built and tested by whoever runs this test.
        let ours = command
            .strip_prefix("cargo run --release -- ")
            .or(command.strip_prefix("stillprop "));
        let Some(arguments) = ours else {
            assert!(
                command.starts_with("cargo "),
                "`{command}` is neither cargo nor stillprop"
            );
            continue;
        };
        let arguments =
            arguments
                .split_whitespace()
                .map(|word| match word.strip_prefix("sample-tracks/") {
                    Some(name) => root.join("sample-tracks").join(name).into_os_string(),
                    None => word.into(),
                });
        let output = Command::new(env!("CARGO_BIN_EXE_stillprop"))
            .envs(crate::cli::OWN_DATA)
            .args(arguments)
            .current_dir(&folder)
            .output()
            .unwrap();
        assert!(
            output.status.success(),
            "`{command}`: {}",
            String::from_utf8_lossy(&output.stderr)
        );
        ran += 1;
    }
    assert!(ran >= 3, "the README shows {ran} commands of the program");
}

#[test]
fn every_file_the_readme_names_is_there() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    for document in ["README.md", "DEVELOPERS.md", "sample-tracks/README.md"] {
        let text = fs::read_to_string(root.join(document)).unwrap();
        let from = root.join(document);
        for link in text
            .split("](")
            .skip(1)
            .filter_map(|rest| rest.split(')').next())
        {
            let file = link.split('#').next().unwrap_or(link);
            if file.is_empty() || file.contains("://") {
                continue;
            }
            assert!(
                from.with_file_name("").join(file).exists(),
                "{document} names `{link}`, which is not there"
            );
        }
    }
}

#[test]
fn the_readme_has_every_key_of_the_briefing_and_every_word_of_the_reports() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let readme = fs::read_to_string(root.join("README.md")).unwrap();
    let rows: Vec<&str> = readme.lines().filter(|l| l.starts_with("| ")).collect();
    for limit in stillprop::briefing::limits::LIMITS {
        let key = format!("`{}`", limit.key);
        assert!(
            rows.iter().any(|row| row.contains(&key)),
            "no row about {key}"
        );
    }
    for (word, meaning) in stillprop::report::glossary::WORDS {
        let row = format!("| {word} | {meaning} |");
        assert!(rows.contains(&row.as_str()), "no row `{row}`");
    }
}
