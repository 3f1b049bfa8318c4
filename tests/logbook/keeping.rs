//! What is kept comes back; what is forgotten does not.

use std::fs;
use std::process::Command;

use serde_json::Value;
use stillprop::logbook::{Access, Kept, Logbook, Shape, Who};
use stillprop::quantity::Measured;

use super::{debrief, filled, folder, keep};

#[test]
fn what_is_kept_comes_back() {
    let path = folder("back").join("l.sqlite");
    let kept = debrief(5, "P-07", "Trainer 3");
    keep(&mut Logbook::open(&path, Access::Write).unwrap(), &kept);

    let logbook = Logbook::open(&path, Access::Read).unwrap();
    let rows = logbook.recordings().unwrap();
    assert_eq!(rows.len(), 1);
    assert_eq!(rows[0].sha256, kept.recording.sha256);
    assert_eq!(rows[0].pilot.as_deref(), Some("P-07"));
    assert_eq!(rows[0].instructor.as_deref(), Some("I-02"));
    assert_eq!(rows[0].attempts, 2);

    let attempts = logbook.attempts(Who::Pilot("P-07")).unwrap();
    assert_eq!(attempts.len(), 2);
    for (row, attempt) in attempts.iter().zip(&kept.attempts) {
        for (id, measured) in &attempt.measures {
            let found = row.figures.get(id.as_str()).copied();
            let expected = measured.value().zip(measured.interval());
            assert_eq!(
                found,
                expected.map(|(v, (low, high))| [v, low, high]),
                "{id}"
            );
        }
        assert!(!row.figures.is_empty());
    }
    assert!(logbook.attempts(Who::Pilot("P-08")).unwrap().is_empty());
    let glides = logbook.glides().unwrap();
    assert_eq!(glides.len(), 2);
    assert_eq!(
        glides[0].terms_ft,
        [1600.0, 15_000.0, 15_000.0, 900.0, 15_000.0, 60.0]
    );
}

#[test]
fn a_recording_debriefed_again_takes_its_own_place() {
    let path = folder("place").join("l.sqlite");
    let mut logbook = filled(&path, 2);
    let mut again = debrief(0, "P-07", "Trainer 3");
    again.attempts.truncate(1);
    let kept = Kept {
        debrief: &again,
        method: 2,
        inputs_sha256: "other",
    };
    logbook.keep(&kept).unwrap();
    assert_eq!(logbook.recordings().unwrap().len(), 4);
    assert_eq!(logbook.attempts(Who::All).unwrap().len(), 7);
    let sha = &again.recording.sha256;
    assert_eq!(logbook.attempts_kept(sha, 2, "other").unwrap(), Some(1));
    assert_eq!(logbook.attempts_kept(sha, 1, "inputs").unwrap(), None);
    assert!(
        logbook
            .check(2)
            .unwrap()
            .iter()
            .all(|finding| !finding.damaged)
    );
    let older = logbook.check(2).unwrap();
    assert!(
        older[0]
            .what
            .starts_with("3 recordings were debriefed with methods of version 1"),
        "{older:?}"
    );
}

/// Every byte of every file beside the logbook.
fn all_bytes(folder: &std::path::Path) -> Vec<u8> {
    let mut out = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        out.extend(fs::read(entry.unwrap().path()).unwrap());
    }
    out
}

fn holds(bytes: &[u8], what: &str) -> bool {
    bytes
        .windows(what.len())
        .any(|window| window == what.as_bytes())
}

#[test]
fn forgetting_leaves_nothing_in_the_bytes() {
    let folder = folder("forget");
    let mut logbook = filled(&folder.join("l.sqlite"), 40);
    let file_of_p07 = debrief(0, "P-07", "Trainer 3").recording.file;
    let hash_of_p07 = debrief(20, "P-07", "Trainer 3").recording.sha256;
    let before = all_bytes(&folder);
    assert!(holds(&before, "P-07") && holds(&before, &file_of_p07) && holds(&before, &hash_of_p07));

    let gone = logbook.forget("P-07").unwrap().unwrap();
    assert_eq!((gone.recordings, gone.instructed), (40, 0));
    // while it is open, and its write-ahead file is there
    let after = all_bytes(&folder);
    assert!(!holds(&after, "P-07"));
    assert!(!holds(&after, &file_of_p07) && !holds(&after, &hash_of_p07));
    assert!(holds(&after, "P-11") && holds(&after, "flight-1.igc"));
    assert_eq!(logbook.recordings().unwrap().len(), 40);
    assert_eq!(logbook.forget("P-07").unwrap(), None);

    let gone = logbook.forget("I-02").unwrap().unwrap();
    assert_eq!((gone.recordings, gone.instructed), (0, 40));
    assert!(!holds(&all_bytes(&folder), "I-02"));
    assert!(
        logbook
            .recordings()
            .unwrap()
            .iter()
            .all(|r| r.instructor.is_none())
    );
    assert!(logbook.check(1).unwrap().is_empty());
}

#[test]
fn exports_hold_every_attempt() {
    let logbook = filled(&folder("export").join("l.sqlite"), 3);
    let mut csv = Vec::new();
    assert_eq!(logbook.export(Shape::Csv, &mut csv).unwrap(), 12);
    let mut table = csv::Reader::from_reader(&csv[..]);
    let names = table.headers().unwrap().clone();
    let column = names
        .iter()
        .position(|name| name == "abeam_height_ft")
        .unwrap();
    let rows: Vec<csv::StringRecord> = table.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), 12);

    let mut lines = Vec::new();
    assert_eq!(logbook.export(Shape::JsonLines, &mut lines).unwrap(), 12);
    let text = String::from_utf8(lines).unwrap();
    for (row, line) in rows.iter().zip(text.lines()) {
        let line: Value = serde_json::from_str(line).unwrap();
        let number = row[column].parse::<f64>().ok();
        assert_eq!(line["abeam_height_ft"].as_f64(), number);
        assert_eq!(
            line["pilot"],
            row[names.iter().position(|n| n == "pilot").unwrap()]
        );
    }
}

#[cfg(feature = "parquet")]
#[test]
fn parquet_holds_what_csv_holds() {
    use parquet::file::reader::{FileReader, SerializedFileReader};
    use parquet::record::Field;

    let path = folder("parquet").join("l.sqlite");
    let mut logbook = filled(&path, 2);
    let mut odd = debrief(90, "P-12", "Trainer \u{9}\"ö,\"");
    odd.reference.pilot = None;
    keep(&mut logbook, &odd);
    let (mut table, mut columns) = (Vec::new(), Vec::new());
    assert_eq!(logbook.export(Shape::Csv, &mut table).unwrap(), 10);
    assert_eq!(logbook.export(Shape::Parquet, &mut columns).unwrap(), 10);
    let mut table = csv::Reader::from_reader(&table[..]);
    let names = table.headers().unwrap().clone();
    let expected: Vec<csv::StringRecord> = table.records().map(Result::unwrap).collect();
    let whole = path.with_extension("parquet");
    fs::write(&whole, columns).unwrap();
    let file = SerializedFileReader::new(fs::File::open(&whole).unwrap()).unwrap();
    assert_eq!(file.metadata().file_metadata().num_rows(), 10);
    let mut compared = 0;
    for (row, expected) in file.get_row_iter(None).unwrap().zip(&expected) {
        let row = row.unwrap();
        assert_eq!(row.len(), names.len());
        for ((name, field), (column, text)) in row.get_column_iter().zip(names.iter().zip(expected))
        {
            assert_eq!(name, column);
            match field {
                Field::Null => assert_eq!(text, "", "{name}"),
                Field::Str(found) => assert_eq!(found, text, "{name}"),
                Field::Long(found) => assert_eq!(found.to_string(), text, "{name}"),
                Field::Double(found) => assert_eq!(found.to_string(), text, "{name}"),
                Field::TimestampMillis(found) => {
                    let expected: jiff::Timestamp = text.parse().unwrap();
                    assert_eq!(*found, expected.as_millisecond(), "{name}");
                }
                other => panic!("{name}: {other:?}"),
            }
            compared += 1;
        }
    }
    assert_eq!(compared, 10 * names.len());
}

#[cfg(feature = "parquet")]
#[test]
fn parquet_of_nothing_is_a_table_without_rows() {
    use parquet::file::reader::{FileReader, SerializedFileReader};
    let path = folder("parquet-none").join("l.sqlite");
    let logbook = Logbook::open(&path, Access::Write).unwrap();
    let whole = path.with_extension("parquet");
    let mut columns = fs::File::create(&whole).unwrap();
    assert_eq!(logbook.export(Shape::Parquet, &mut columns).unwrap(), 0);
    let file = SerializedFileReader::new(fs::File::open(&whole).unwrap()).unwrap();
    let about = file.metadata().file_metadata();
    assert_eq!(about.num_rows(), 0);
    assert!(about.schema_descr().num_columns() > 100);
}

/// Takes so many bytes and no more.
struct Small(usize);

impl std::io::Write for Small {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        if bytes.len() > self.0 {
            return Err(std::io::Error::from_raw_os_error(28));
        }
        self.0 -= bytes.len();
        Ok(bytes.len())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

#[test]
fn an_export_without_room_says_so_in_every_shape() {
    let logbook = filled(&folder("export-full").join("l.sqlite"), 20);
    let mut shapes = vec![Shape::Csv, Shape::JsonLines];
    if stillprop::logbook::PARQUET_BUILT {
        shapes.push(Shape::Parquet);
    }
    for shape in shapes {
        let error = logbook.export(shape, &mut Small(2000)).unwrap_err();
        assert!(
            error.to_string().to_lowercase().contains("no space left"),
            "{shape:?}: {error}"
        );
    }
}

#[test]
fn a_measure_new_in_the_catalogue_gets_its_columns() {
    let path = folder("columns").join("l.sqlite");
    drop(filled(&path, 1));
    {
        let file = rusqlite::Connection::open(&path).unwrap();
        for end in ["", "__low", "__high"] {
            file.execute_batch(&format!("ALTER TABLE figure DROP COLUMN orbits{end}"))
                .unwrap();
        }
    }
    // looked at as it is, brought up when it is written
    let read = Logbook::open(&path, Access::Read).unwrap();
    assert!(
        read.attempts(Who::All)
            .unwrap()
            .iter()
            .all(|row| !row.figures.contains_key("orbits"))
    );
    drop(read);
    let mut written = Logbook::open(&path, Access::Write).unwrap();
    keep(&mut written, &debrief(9, "P-07", "Trainer 3"));
    assert_eq!(written.attempts(Who::All).unwrap().len(), 6);
}

#[test]
fn what_was_not_achieved_is_kept_and_a_file_of_the_first_form_is_read() {
    let path = folder("not-achieved").join("l.sqlite");
    let mut never = debrief(1, "P-07", "Trainer 3");
    let reason = "airspeed never stayed within 5 kt of best glide for 5 s";
    never.attempts[0]
        .measures
        .insert("settling_time_s".into(), Measured::unknown(reason));
    let mut logbook = Logbook::open(&path, Access::Write).unwrap();
    keep(&mut logbook, &never);
    let rows = logbook.attempts(Who::Pilot("P-07")).unwrap();
    assert_eq!(rows[0].not_achieved, ["settling_time_s"]);
    assert!(rows[1..].iter().all(|row| row.not_achieved.is_empty()));
    drop(logbook);
    {
        let file = rusqlite::Connection::open(&path).unwrap();
        file.execute_batch("ALTER TABLE attempt DROP COLUMN not_achieved; PRAGMA user_version = 1")
            .unwrap();
    }
    // as it is, it does not say; brought up, it says it of what is kept from now on
    let read = Logbook::open(&path, Access::Read).unwrap();
    assert!(read.attempts(Who::All).unwrap()[0].not_achieved.is_empty());
    drop(read);
    let mut written = Logbook::open(&path, Access::Write).unwrap();
    keep(&mut written, &never);
    assert_eq!(
        written.attempts(Who::All).unwrap()[0].not_achieved,
        ["settling_time_s"]
    );
}

#[test]
fn two_recorders_of_one_flight_are_told() {
    let path = folder("twice").join("l.sqlite");
    let mut logbook = filled(&path, 1);
    let mut other = debrief(0, "P-07", "Trainer 3");
    other.recording.sha256 = "f".repeat(64);
    other.recording.file = "tablet.gpx".into();
    keep(&mut logbook, &other);
    let findings = logbook.check(1).unwrap();
    assert_eq!(findings.len(), 1, "{findings:?}");
    assert!(
        findings[0].what.contains("`tablet.gpx`") && !findings[0].damaged,
        "{findings:?}"
    );
}

#[test]
fn the_common_shell_opens_the_file() {
    let path = folder("shell").join("l.sqlite");
    drop(filled(&path, 2));
    let sql = "SELECT count(*), count(abeam_height_ft) FROM figure; PRAGMA integrity_check;";
    // where the shell is not installed there is nothing to open the file with
    let Ok(output) = Command::new("sqlite3").arg(&path).arg(sql).output() else {
        return;
    };
    let said = String::from_utf8(output.stdout).unwrap();
    assert!(output.status.success());
    assert!(
        said.starts_with("8|") && said.trim_end().ends_with("ok"),
        "{said}"
    );
}
