//! The kind of file, by what is in it: names are not to be trusted.

use super::Format;
use super::error::{Located, ReadProblem};
use super::place::Place;
use super::text::lines;

/// How far into a file its kind must show, bytes.
const WINDOW: usize = 16 << 10;

/// First bytes of files that are no recordings, what they are, and what to do.
const MAGIC: [(&[u8], &str, &str); 11] = [
    (
        b"PK\x03\x04",
        "a ZIP archive (KMZ and spreadsheets are such too)",
        "unpack it and give the recording inside; a spreadsheet must be saved as CSV",
    ),
    (
        b"%PDF",
        "a PDF document",
        "give the recording itself, not a report made from it",
    ),
    (
        b"SQLite format 3",
        "a SQLite database",
        "export the flight from the program that wrote it, as GPX or CSV",
    ),
    (
        b"\x89PNG",
        "a picture (PNG)",
        "give the recording itself, not a picture of it",
    ),
    (
        b"\xFF\xD8\xFF",
        "a picture (JPEG)",
        "give the recording itself, not a picture of it",
    ),
    (
        b"7z\xBC\xAF",
        "a 7-Zip archive",
        "unpack it and give the recording inside",
    ),
    (
        b"\xFD7zXZ",
        "an xz archive",
        "unpack it and give the recording inside",
    ),
    (
        b"BZh",
        "a bzip2 archive",
        "unpack it and give the recording inside",
    ),
    (
        b"\x28\xB5\x2F\xFD",
        "a Zstandard archive",
        "unpack it and give the recording inside",
    ),
    (
        b"Rar!",
        "a RAR archive",
        "unpack it and give the recording inside",
    ),
    (
        b"\xD0\xCF\x11\xE0",
        "an old office document",
        "save the table as CSV",
    ),
];

const EXPORT: &str = "export the flight as GPX, IGC or CSV";

const BRIEFING: &str = "name the recording instead: `flight.briefing.toml` beside `flight.igc` is found by itself, any other is given with `--briefing`";

fn wrong(found: impl Into<String>, help: &'static str) -> ReadProblem {
    ReadProblem::WrongFormat {
        found: found.into(),
        help,
    }
}

/// Kinds that show in the bytes, before anything is made of them as text.
pub(crate) fn refuse_binary(bytes: &[u8]) -> Result<(), ReadProblem> {
    if let Some((_, found, help)) = MAGIC.iter().find(|(magic, _, _)| bytes.starts_with(magic)) {
        return Err(wrong(*found, help));
    }
    if bytes.get(8..12) == Some(b".FIT") {
        return Err(wrong("a FIT file (binary)", EXPORT));
    }
    Ok(())
}

/// The format of a text.
pub(crate) fn format(text: &str) -> Result<Format, Located> {
    let start = text.trim_start_matches(|c: char| c.is_whitespace() || c == '\0');
    if start.is_empty() {
        return Err(ReadProblem::Empty.into());
    }
    let skipped = text.len() - start.len();
    let at_byte =
        |(at, problem): (usize, ReadProblem)| problem.at(Place::in_text(text, skipped + at));
    let mut end = start.len().min(WINDOW);
    while !start.is_char_boundary(end) {
        end -= 1;
    }
    let window = &start[..end];
    if is_binary(window) {
        return Err(wrong("a binary file", EXPORT).into());
    }
    if window.starts_with('<') {
        return xml(window).map_err(at_byte);
    }
    if lines(window).any(|(_, line)| is_igc_line(line.trim_ascii_start())) {
        return Ok(Format::Igc);
    }
    if window.contains("<gpx") {
        return Ok(Format::Gpx); // junk before the document
    }
    if lines(window).any(|(_, line)| is_briefing_line(line)) {
        return Err(wrong("a briefing", BRIEFING).into());
    }
    if window.starts_with('{') || window.starts_with('[') {
        let problem = wrong(
            "a JSON document",
            "GeoJSON and its like have no agreed place for times: export as GPX or CSV",
        );
        return Err(at_byte((0, problem)));
    }
    if window.starts_with("$GP") || window.starts_with("$GN") {
        let problem = wrong("NMEA 0183 sentences", "convert them to GPX first");
        return Err(at_byte((0, problem)));
    }
    Ok(Format::Csv)
}

/// More than a few control characters that no text has.
fn is_binary(window: &str) -> bool {
    let odd = window
        .bytes()
        .filter(|b| *b < 0x20 && !matches!(b, b'\t' | b'\n' | b'\r' | 0x0C | 0x1A))
        .count();
    odd * 20 > window.len()
}

/// The kind of an XML document, by its first element; what else it is, with the byte that says so.
fn xml(window: &str) -> Result<Format, (usize, ReadProblem)> {
    for (at, _) in window.match_indices('<') {
        let rest = &window[at + 1..];
        if rest.starts_with(['?', '!', '/']) {
            if rest
                .get(..8)
                .is_some_and(|s| s.eq_ignore_ascii_case("!doctype"))
                && rest[8..]
                    .trim_start()
                    .get(..4)
                    .is_some_and(|s| s.eq_ignore_ascii_case("html"))
            {
                break;
            }
            continue;
        }
        let name = rest
            .split(|c: char| c.is_whitespace() || matches!(c, '>' | '/'))
            .next()
            .unwrap_or("");
        let problem = match name
            .rsplit(':')
            .next()
            .unwrap_or("")
            .to_ascii_lowercase()
            .as_str()
        {
            "gpx" | "trk" | "trkseg" | "trkpt" => return Ok(Format::Gpx),
            "kml" => wrong(
                "a KML document",
                "export the same flight as GPX; KML seldom keeps times",
            ),
            "trainingcenterdatabase" => wrong("a TCX document", EXPORT),
            "html" | "head" | "body" => html(),
            other => wrong(
                format!(
                    "an XML document with `<{}>`",
                    other.chars().take(40).collect::<String>()
                ),
                EXPORT,
            ),
        };
        return Err((at, problem));
    }
    if let Some(at) = window.to_ascii_lowercase().find("<!doctype html") {
        return Err((at, html()));
    }
    if window.contains("gpx") {
        Ok(Format::Gpx)
    } else {
        Err((
            0,
            wrong("an XML document without a `<gpx>` element", EXPORT),
        ))
    }
}

fn html() -> ReadProblem {
    wrong(
        "a web page (HTML)",
        "the download gave a page, perhaps a log-in, instead of the file: download the recording itself",
    )
}

/// A line that only an IGC file has: a date header, a B record, or an A record of the usual form.
fn is_igc_line(line: &[u8]) -> bool {
    match line {
        [b'H', _, b'D', b'T', b'E', ..] => true,
        [b'B', rest @ ..] => {
            rest.len() >= 23
                && rest[..6].iter().all(u8::is_ascii_digit)
                && matches!(rest[13], b'N' | b'S')
        }
        [b'H', b'F', b'P' | b'G' | b'R' | b'F', _, _, rest @ ..] => rest.contains(&b':'),
        _ => false,
    }
}

/// The heading of a table that only a briefing has.
fn is_briefing_line(line: &[u8]) -> bool {
    const TABLES: [&[u8]; 6] = [
        b"[aim]",
        b"[air]",
        b"[aircraft]",
        b"[targets]",
        b"[people]",
        b"[[event]]",
    ];
    TABLES.contains(&line.trim_ascii())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tells_the_three_formats_by_content() {
        for (text, want) in [
            (
                "<?xml version=\"1.0\"?>\n<!-- x -->\n<gpx version=\"1.1\">",
                Format::Gpx,
            ),
            ("\n  <ns0:gpx>", Format::Gpx),
            ("AXXXABC\r\nHFDTE160819\r\n", Format::Igc),
            ("B1045334945333N01132444EA0135701501", Format::Igc),
            ("utc,lat_deg,lon_deg\n", Format::Csv),
            ("# a comment\nBearing,Lat\n", Format::Csv),
        ] {
            assert_eq!(format(text), Ok(want), "{text}");
        }
    }

    #[test]
    fn says_what_else_it_is() {
        let found = |bytes: &[u8]| {
            refuse_binary(bytes)
                .map_err(Located::from)
                .and_then(|()| format(&super::super::text::decode(bytes)))
                .unwrap_err()
                .problem
                .to_string()
        };
        for (bytes, words) in [
            (&b"PK\x03\x04rest"[..], "ZIP"),
            (b"%PDF-1.7", "PDF"),
            (b"\x0E\x10\x00\x00\x00\x00\x00\x00.FIT\x00\x00", "FIT"),
            (b"<!DOCTYPE html><html>", "web page"),
            (b"<html lang=\"en\">", "web page"),
            (b"<kml xmlns=\"x\">", "KML"),
            (b"{\"type\": \"FeatureCollection\"}", "JSON"),
            (b"$GPRMC,102140", "NMEA"),
            (b"\x01\x02\x03\x04\x05\x06\x07", "binary"),
            (b"", "empty"),
            (b" \r\n ", "empty"),
            (b"<svg/>", "<svg>"),
        ] {
            let message = found(bytes);
            assert!(message.contains(words), "{words}: {message}");
        }
    }
}
