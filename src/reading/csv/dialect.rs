//! How a delimited text is delimited.

use crate::reading::number;

/// Characters that part fields.
pub(super) const DELIMITERS: [u8; 4] = *b",;\t|";

/// Most fields of a row.
const MAX_FIELDS: usize = 512;

/// Parts a row into fields, quotes and blanks around them removed.
///
/// Rows are lines here: a quoted field does not run on into the next line. No
/// recorder writes such fields, and a stray quote must not swallow the rest of a file.
pub(super) fn split<'a>(line: &'a [u8], delimiter: u8, fields: &mut Vec<&'a [u8]>) {
    fields.clear();
    // Fields are a few characters long: a plain loop is faster here than a search for each.
    let mut start = 0;
    for (at, &byte) in line.iter().enumerate() {
        if byte == delimiter {
            fields.push(line[start..at].trim_ascii());
            start = at + 1;
            if fields.len() == MAX_FIELDS {
                return;
            }
        } else if byte == b'"' {
            fields.clear();
            split_quoted(line, delimiter, fields);
            return;
        }
    }
    fields.push(line[start..].trim_ascii());
}

/// The same for a row with quotes.
fn split_quoted<'a>(line: &'a [u8], delimiter: u8, fields: &mut Vec<&'a [u8]>) {
    let mut rest = line;
    while fields.len() < MAX_FIELDS {
        let trimmed = rest.trim_ascii_start();
        let end = match trimmed {
            [b'"', quoted @ ..] => {
                let open = rest.len() - quoted.len();
                // Behind the closing quote, or the end of the line where there is none.
                rest[open..]
                    .iter()
                    .position(|b| *b == b'"')
                    .map_or(rest.len(), |i| open + i + 1)
            }
            _ => 0,
        };
        let comma = rest[end..]
            .iter()
            .position(|b| *b == delimiter)
            .map(|i| end + i);
        fields.push(unquote(&rest[..comma.unwrap_or(rest.len())]));
        match comma {
            Some(at) => rest = &rest[at + 1..],
            None => return,
        }
    }
}

fn unquote(field: &[u8]) -> &[u8] {
    let field = field.trim_ascii();
    let field = field.strip_prefix(b"\"").unwrap_or(field);
    field.strip_suffix(b"\"").unwrap_or(field).trim_ascii()
}

/// A line that is a remark of the recorder, and the text in it.
pub(super) fn comment(line: &[u8]) -> Option<&[u8]> {
    let line = line.trim_ascii();
    for mark in [&b"#"[..], b"%", b"//"] {
        if let Some(text) = line.strip_prefix(mark) {
            return Some(text);
        }
    }
    None
}

/// Do these fields look like data rather than names: are most of them numbers, times or blank?
pub(super) fn looks_like_data(fields: &[&[u8]]) -> bool {
    let filled = fields.iter().filter(|f| !f.is_empty());
    let (numbers, total) = filled.fold((0, 0), |(n, t), f| {
        let is_number =
            number::parse_grouped(f, true).is_some() || crate::reading::clock::parse(f).is_some();
        (n + usize::from(is_number), t + 1)
    });
    total > 0 && numbers * 2 >= total
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn fields(line: &str, delimiter: u8) -> Vec<&str> {
        let mut out = Vec::new();
        split(line.as_bytes(), delimiter, &mut out);
        out.into_iter()
            .map(|f| std::str::from_utf8(f).unwrap())
            .collect()
    }

    #[test]
    fn quotes_and_blanks_come_off() {
        assert_eq!(fields("a, b ,\"c, d\" ,", b','), ["a", "b", "c, d", ""]);
        assert_eq!(fields("\"51,5\";\"-2,79\"", b';'), ["51,5", "-2,79"]);
        assert_eq!(fields("", b','), [""]);
    }

    #[test]
    fn a_stray_quote_costs_one_row_at_most() {
        assert_eq!(fields("1,\"2,3", b','), ["1", "2,3"]);
        assert_eq!(fields("1,2\",3", b','), ["1", "2", "3"]);
    }

    proptest! {
        /// The independent reader of the `csv` crate, on rows without line ends or doubled quotes.
        #[test]
        fn agrees_with_the_csv_crate(cells in prop::collection::vec("[a-z0-9.,;-]{0,8}", 1..8)) {
            let row = cells.iter().map(|c| format!("\"{c}\"")).collect::<Vec<_>>().join(",");
            let mut reader = ::csv::ReaderBuilder::new().has_headers(false).from_reader(row.as_bytes());
            let record = reader.byte_records().next().unwrap().unwrap();
            let want: Vec<&[u8]> = record.iter().collect();
            let mut got = Vec::new();
            split(row.as_bytes(), b',', &mut got);
            prop_assert_eq!(got, want);
        }
    }
}
