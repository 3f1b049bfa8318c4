//! Rules about the source itself: who may import whom, and what may be written where.

use std::fs;
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};

/// Modules of no stage, and what each may import.
const GROUND: &[(&str, &[&str])] = &[
    ("atmosphere", &["units"]),
    ("findings", &[]),
    ("geodesy", &["units"]),
    ("geoid", &["units"]),
    ("geomagnetism", &["geodesy"]),
    ("linear_algebra", &["random"]),
    ("quantity", &[]),
    ("random", &[]),
    ("units", &[]),
];

/// Stages in pipeline order, and which stages each may import; all may import the ground.
const STAGES: &[(&str, &[&str])] = &[
    ("briefing", &[]),
    ("airfields", &["briefing::spelling"]),
    ("reading", &[]),
    ("cleaning", &["reading"]),
    ("flight_path", &["briefing", "reading", "cleaning"]),
    ("air", &["flight_path"]),
    ("attempts", &["flight_path", "air"]),
    ("key_points", &["flight_path", "air", "attempts"]),
    ("reach", &["flight_path", "air", "key_points"]),
    (
        "measures",
        &["flight_path", "air", "attempts", "key_points", "reach"],
    ),
    (
        "grading",
        &[
            "briefing::spelling",
            "measures::catalogue",
            "measures::usable",
        ],
    ),
    (
        "debrief",
        &[
            "briefing",
            "airfields",
            "reading",
            "cleaning",
            "flight_path",
            "air",
            "attempts",
            "key_points",
            "reach",
            "measures",
            "grading",
        ],
    ),
    ("logbook", &["debrief::document", "measures::catalogue"]),
    ("fleet", &["debrief::assemble", "logbook"]),
    // yardsticks are those of the standards and of the debrief's own remarks
    (
        "progress",
        &[
            "debrief::assemble",
            "grading",
            "logbook",
            "measures::catalogue",
            "measures::dangers",
            "measures::limits",
            "measures::usable",
            "reach::setting",
        ],
    ),
    (
        "compare",
        &[
            "debrief::assemble",
            "debrief::document",
            "measures::catalogue",
            "measures::usable",
        ],
    ),
    // Draws the document and computes nothing: of the stages before, only the parts named below. What stands behind a
    // measure (`explained`) is text of the catalogue, which the page prints behind each row; no figure comes of it.
    (
        "report",
        &[
            "debrief::document",
            "measures::catalogue",
            "measures::explained",
            "measures::limits",
            "measures::usable",
            "fleet::document",
            "progress::document",
            "compare",
        ],
    ),
    (
        "cli",
        &[
            "briefing",
            "airfields",
            "reading",
            "debrief",
            "measures::catalogue",
            "grading",
            "measures::explained",
            "logbook",
            "fleet",
            "progress",
            "compare",
            "report",
        ],
    ),
];

#[test]
fn modules_import_only_what_the_table_allows() {
    let mut offences = Vec::new();
    for (module, allowed, ground) in modules() {
        for source in sources_of(module) {
            for (number, line) in code_lines(&source) {
                for path in crate_paths(&line) {
                    let own = within(&path, module);
                    let of_ground = ground && GROUND.iter().any(|(name, _)| within(&path, name));
                    let listed = allowed.iter().any(|name| within(&path, name));
                    if !(own || of_ground || listed) {
                        offences.push(format!(
                            "{}:{number}: `{module}` must not use `crate::{path}`",
                            source.display()
                        ));
                    }
                }
            }
        }
    }
    assert!(offences.is_empty(), "\n{}", offences.join("\n"));
}

#[test]
fn no_stage_may_import_a_later_one() {
    for (position, (module, allowed)) in STAGES.iter().enumerate() {
        for name in *allowed {
            let of = STAGES
                .iter()
                .position(|(stage, _)| within(name, stage))
                .unwrap();
            assert!(
                of < position,
                "the table lets `{module}` import `{name}`, which comes later"
            );
        }
    }
}

#[test]
fn the_library_declares_its_modules_in_pipeline_order() {
    let library = fs::read_to_string(root().join("src/lib.rs")).unwrap();
    let declared: Vec<&str> = library
        .lines()
        .filter_map(|line| line.strip_prefix("pub mod ")?.strip_suffix(';'))
        .collect();
    let table: Vec<&str> = GROUND.iter().chain(STAGES).map(|(name, _)| *name).collect();
    assert_eq!(
        declared, table,
        "the tables of this file and src/lib.rs differ"
    );
}

#[test]
fn conversion_factors_live_with_the_units() {
    // In parts, or this file would hold what it looks for.
    let factors = [
        ["0.", "3048"].concat(),
        ["18", "52"].concat(),
        ["0.5", "144"].concat(),
    ];
    let mut offences = Vec::new();
    for source in files_below(&root().join("src")) {
        if source.ends_with("src/units.rs") {
            continue;
        }
        for (number, line) in code_lines(&source) {
            if numbers(&line).any(|number| factors.iter().any(|factor| is_factor(number, factor))) {
                offences.push(format!("{}:{number}: {}", source.display(), line.trim()));
            }
        }
    }
    assert!(
        offences.is_empty(),
        "conversion factors belong to src/units.rs:\n{}",
        offences.join("\n")
    );
}

#[test]
fn only_the_command_line_touches_the_world() {
    let worldly = [
        "println!",
        "eprintln!",
        "print!",
        "eprint!",
        "dbg!",
        "std::fs",
        "std::env",
        "std::process",
        "File::",
        "SystemTime",
        "Instant::now",
        "stdin()",
        "stdout()",
        "stderr()",
    ];
    let mut offences = Vec::new();
    for source in files_below(&root().join("src")) {
        if source.starts_with(root().join("src/cli")) || source.ends_with("src/main.rs") {
            continue;
        }
        for (number, line) in code_lines(&source) {
            // `Place::File` and the like are names of ours.
            let found = worldly.iter().find(|word| {
                line.match_indices(**word).any(|(at, _)| {
                    !line[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_' || c == ':')
                })
            });
            if let Some(word) = found {
                offences.push(format!("{}:{number}: `{word}`", source.display()));
            }
        }
    }
    assert!(
        offences.is_empty(),
        "only src/cli reads, prints and looks at the clock:\n{}",
        offences.join("\n")
    );
}

/// Words of brands, makers and workplaces that belong nowhere in the project: the first eight bytes
/// of SHA-256 of each in lower case, so that this list does not itself bring the words in.
const FORBIDDEN: &str = include_str!("forbidden-words.txt");

#[test]
fn no_brand_and_no_workplace_is_named() {
    let forbidden: Vec<&str> = FORBIDDEN
        .lines()
        .filter(|line| !line.starts_with('#'))
        .collect();
    let mut offences = Vec::new();
    for file in project_files() {
        let Ok(text) = fs::read_to_string(&file) else {
            continue;
        };
        for (i, line) in text.lines().enumerate() {
            let words = line
                .split(|c: char| !c.is_ascii_alphanumeric())
                .filter(|word| (4..=16).contains(&word.len()));
            for word in words.filter(|word| word.bytes().any(|b| b.is_ascii_alphabetic())) {
                let hash = Sha256::digest(word.to_ascii_lowercase());
                let start = hash[..8]
                    .iter()
                    .fold(String::new(), |hex, byte| format!("{hex}{byte:02x}"));
                if forbidden.contains(&start.as_str()) {
                    offences.push(format!("{}:{}: `{word}`", file.display(), i + 1));
                }
            }
            for place in [
                ["/ho", "me/"].concat(),
                ["/ro", "ot/"].concat(),
                ["/wo", "rk/"].concat(),
            ] {
                if line.contains(&place) {
                    offences.push(format!(
                        "{}:{}: a path of one machine",
                        file.display(),
                        i + 1
                    ));
                }
            }
        }
    }
    assert!(offences.is_empty(), "\n{}", offences.join("\n"));
}

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Every module with what it may import, and whether it may import the ground.
fn modules() -> impl Iterator<Item = (&'static str, &'static [&'static str], bool)> {
    let ground = GROUND
        .iter()
        .map(|(name, allowed)| (*name, *allowed, false));
    ground.chain(STAGES.iter().map(|(name, allowed)| (*name, *allowed, true)))
}

fn sources_of(module: &str) -> Vec<PathBuf> {
    let file = root().join(format!("src/{module}.rs"));
    let sources = if file.exists() {
        vec![file]
    } else {
        files_below(&root().join("src").join(module))
    };
    let of_rust: Vec<PathBuf> = sources
        .into_iter()
        .filter(|path| path.extension().is_some_and(|e| e == "rs"))
        .collect();
    assert!(!of_rust.is_empty(), "no module `{module}`");
    of_rust
}

fn files_below(folder: &Path) -> Vec<PathBuf> {
    let mut entries: Vec<PathBuf> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    entries.sort();
    entries
        .into_iter()
        .flat_map(|path| {
            if path.is_dir() {
                files_below(&path)
            } else {
                vec![path]
            }
        })
        .collect()
}

/// All text of the project but what is built and the list of packages.
fn project_files() -> Vec<PathBuf> {
    let mut files = Vec::new();
    let mut entries: Vec<PathBuf> = fs::read_dir(root())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    entries.sort();
    for path in entries {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        if matches!(name.as_str(), "target" | ".git" | "Cargo.lock" | "fuzz") {
            continue;
        }
        if path.is_dir() {
            files.extend(files_below(&path));
        } else {
            files.push(path);
        }
    }
    files
}

/// Lines with their numbers, without comment lines and tests; an import of several lines is one line.
fn code_lines(source: &Path) -> Vec<(usize, String)> {
    let text = fs::read_to_string(source).unwrap_or_default();
    let mut lines: Vec<(usize, String)> = Vec::new();
    let mut import_goes_on = false;
    if is_test(source) {
        return lines;
    }
    for (i, line) in text.lines().enumerate() {
        let code = line.trim_start();
        if line == "mod tests {" {
            break;
        }
        if code.starts_with("//") {
            continue;
        }
        match lines.last_mut() {
            Some((_, import)) if import_goes_on => import.push_str(code),
            _ => {
                import_goes_on = code.starts_with("use ") || code.starts_with("pub use ");
                lines.push((i + 1, line.to_owned()));
            }
        }
        import_goes_on &= !code.contains(';');
    }
    lines
}

/// Whether the module above declares this file for tests only: tests may know factors of their own.
fn is_test(source: &Path) -> bool {
    let stem = source.file_stem().unwrap_or_default().to_string_lossy();
    let above = fs::read_to_string(source.with_file_name("mod.rs")).unwrap_or_default();
    above.contains(&format!("#[cfg(test)]\nmod {stem};"))
}

/// What follows each `crate::`, as far as it is a path; `{a, b::c}` is taken apart.
fn crate_paths(line: &str) -> Vec<String> {
    line.match_indices("crate::")
        .flat_map(|(at, word)| {
            let after = &line[at + word.len()..];
            let simple: String = after
                .chars()
                .take_while(|c| c.is_alphanumeric() || *c == '_' || *c == ':')
                .collect();
            let group = after[simple.len()..]
                .strip_prefix('{')
                .and_then(|rest| rest.split('}').next());
            match group {
                Some(names) => names
                    .split(',')
                    .map(|name| format!("{simple}{}", name.trim()))
                    .filter(|path| !path.is_empty())
                    .collect(),
                None => vec![simple],
            }
        })
        .collect()
}

/// Whether `path` is `module` or inside it.
fn within(path: &str, module: &str) -> bool {
    path.strip_prefix(module)
        .is_some_and(|rest| rest.is_empty() || rest.starts_with("::"))
}

fn numbers(line: &str) -> impl Iterator<Item = &str> {
    line.split(|c: char| !c.is_ascii_digit() && c != '.')
        .filter(|word| word.bytes().any(|b| b.is_ascii_digit()))
}

/// `0.3048`, `0.30480`, `1852` and `1852.0`, but not `21852`.
fn is_factor(number: &str, factor: &str) -> bool {
    number.strip_prefix(factor).is_some_and(|rest| {
        rest.is_empty() || factor.contains('.') || rest.trim_matches('0') == "."
    })
}
