//! Locked, damaged, foreign, newer, read-only: each a clear error, and nothing lost.

use std::fs;
use std::path::Path;

use stillprop::logbook::{Access, Kept, Logbook, LogbookError, VERSION};

use super::{debrief, filled, folder};

#[test]
fn a_locked_logbook_is_said_and_stays_whole() {
    let path = folder("locked").join("l.sqlite");
    drop(filled(&path, 2));
    let other = rusqlite::Connection::open(&path).unwrap();
    other.execute_batch("BEGIN IMMEDIATE").unwrap();
    let mut logbook = Logbook::open_waiting(&path, Access::Write, 0).unwrap();
    let kept = debrief(99, "P-07", "Trainer 3");
    let kept = Kept {
        debrief: &kept,
        method: 1,
        inputs_sha256: "",
    };
    let error = logbook.keep(&kept).unwrap_err();
    assert!(matches!(error, LogbookError::Locked { .. }), "{error:?}");
    assert!(
        error
            .to_string()
            .ends_with("another program has been writing to the logbook for 0 s"),
        "{error}"
    );
    // to read needs no turn
    assert_eq!(
        Logbook::open_waiting(&path, Access::Read, 0)
            .unwrap()
            .recordings()
            .unwrap()
            .len(),
        4
    );
    other.execute_batch("ROLLBACK").unwrap();
    logbook.keep(&kept).unwrap();
    assert_eq!(logbook.recordings().unwrap().len(), 5);
}

#[test]
fn another_file_is_refused_and_left_alone() {
    let folder = folder("foreign");
    let text = folder.join("notes.txt");
    fs::write(
        &text,
        "not a logbook, but long enough to be looked at as one. ".repeat(20),
    )
    .unwrap();
    let before = fs::read(&text).unwrap();
    let other = folder.join("other.sqlite");
    rusqlite::Connection::open(&other)
        .unwrap()
        .execute_batch("CREATE TABLE t (x); INSERT INTO t VALUES (1)")
        .unwrap();
    for path in [&text, &other, &folder] {
        for access in [Access::Read, Access::Write] {
            let error = Logbook::open(path, access).unwrap_err();
            assert!(
                matches!(error, LogbookError::Foreign { .. }),
                "{path:?} {access:?}: {error:?}"
            );
        }
    }
    assert_eq!(fs::read(&text).unwrap(), before);
}

#[test]
fn a_newer_logbook_is_refused_and_left_alone() {
    let path = folder("newer").join("l.sqlite");
    drop(filled(&path, 1));
    let newer = VERSION + 1;
    rusqlite::Connection::open(&path)
        .unwrap()
        .pragma_update(None, "user_version", newer)
        .unwrap();
    for access in [Access::Read, Access::Write] {
        let error = Logbook::open(&path, access).unwrap_err();
        let LogbookError::Newer { found, known, .. } = error else {
            panic!("{error:?}")
        };
        assert_eq!((found, known), (newer, VERSION));
    }
    let file = rusqlite::Connection::open(&path).unwrap();
    let now: i64 = file
        .pragma_query_value(None, "user_version", |row| row.get(0))
        .unwrap();
    assert_eq!(now, newer);
}

#[test]
fn a_damaged_logbook_is_an_error_and_no_panic() {
    let whole = folder("damaged").join("whole.sqlite");
    drop(filled(&whole, 30));
    let bytes = fs::read(&whole).unwrap();
    assert!(bytes.len() > 40_000, "{}", bytes.len());
    let mut told = 0;
    // every twentieth page overwritten, and the file cut
    for page in (0..bytes.len() / 4096).step_by(3) {
        let mut spoilt = bytes.clone();
        spoilt[4096 * page + 16..4096 * (page + 1)].fill(0xA5);
        told += usize::from(is_told(
            &whole.with_file_name(format!("page-{page}.sqlite")),
            &spoilt,
        ));
    }
    told += usize::from(is_told(
        &whole.with_file_name("cut.sqlite"),
        &bytes[..bytes.len() / 2],
    ));
    assert!(told > 5, "{told}");
}

/// Whether the damage is found by opening, asking or checking.
fn is_told(path: &Path, bytes: &[u8]) -> bool {
    fs::write(path, bytes).unwrap();
    let asked = Logbook::open(path, Access::Read).and_then(|logbook| {
        logbook.recordings()?;
        logbook.glides()?;
        logbook.check(1)
    });
    match asked {
        Ok(findings) => findings.iter().any(|finding| finding.damaged),
        Err(error) => {
            assert!(
                matches!(
                    error,
                    LogbookError::Corrupt { .. }
                        | LogbookError::Foreign { .. }
                        | LogbookError::Other { .. }
                ),
                "{error:?}"
            );
            assert!(!error.help().is_empty());
            true
        }
    }
}

#[test]
fn a_logbook_that_is_not_there_is_not_made_by_looking() {
    let path = folder("missing").join("l.sqlite");
    let error = Logbook::open(&path, Access::Read).unwrap_err();
    assert!(matches!(error, LogbookError::Missing { .. }), "{error:?}");
    assert!(!path.exists());
}
