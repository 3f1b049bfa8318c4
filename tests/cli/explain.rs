//! `stillprop explain` and `stillprop schema`.

use stillprop::measures::catalogue::CATALOGUE;

use super::program::Folder;

#[test]
fn every_measure_is_explained() {
    let folder = Folder::new("explain");
    let list = folder.run(&["explain"]);
    assert_eq!((list.status, list.stderr.as_str()), (0, ""));
    assert_eq!(list.stdout.lines().count(), CATALOGUE.len());
    for info in CATALOGUE {
        let said = folder.run(&["explain", info.id]);
        assert_eq!((said.status, said.stderr.as_str()), (0, ""));
        assert!(said.stdout.starts_with(info.id), "{}", said.stdout);
        for part in [
            "\nDefinition\n  ",
            "\nFormula, for one possible path\n  ",
            "\nThe interval includes\n  ",
            "\nIt leaves out\n  ",
            "\nSource\n  ",
        ] {
            assert!(said.stdout.contains(part), "{part}: {}", said.stdout);
        }
        assert!(
            said.stdout.lines().all(|line| line.chars().count() <= 80),
            "{}",
            said.stdout
        );
    }
}

#[test]
fn an_unknown_measure_brings_the_nearest_one() {
    Folder::new("explain-near").run(&["explain", "touchdown_alng_ft"]).failed(
        2,
        "error: no measure is called `touchdown_alng_ft`\nhelp: did you mean `touchdown_along_ft`?",
    );
}

#[test]
fn the_schema_is_json_and_names_the_parts_of_the_document() {
    let said = Folder::new("schema").run(&["schema"]);
    assert_eq!((said.status, said.stderr.as_str()), (0, ""));
    let schema: serde_json::Value = serde_json::from_str(&said.stdout).unwrap();
    for part in [
        "schema",
        "recording",
        "height_reference",
        "warnings",
        "attempts",
    ] {
        assert!(schema["properties"][part].is_object(), "{part}");
    }
}
