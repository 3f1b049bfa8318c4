//! Bytes → text: byte order marks, UTF-16, and bytes that are not UTF-8; and lines.

use std::borrow::Cow;

/// The text of a file, whatever of the usual encodings it is in.
///
/// Parts that are valid UTF-8 are read as that; single bytes that are not are read
/// as Latin-1 (names of pilots and fields, in practice; numbers are ASCII in both).
pub(crate) fn decode(bytes: &[u8]) -> Cow<'_, str> {
    match bytes {
        [0xFE, 0xFF, rest @ ..] => Cow::Owned(utf16(rest, u16::from_be_bytes)),
        [0xFF, 0xFE, rest @ ..] => Cow::Owned(utf16(rest, u16::from_le_bytes)),
        [
            0,
            b'<' | b'A'..=b'Z' | b'a'..=b'z' | b'"' | b'#',
            0,
            b' '..=b'~',
            ..,
        ] => Cow::Owned(utf16(bytes, u16::from_be_bytes)),
        [
            b'<' | b'A'..=b'Z' | b'a'..=b'z' | b'"' | b'#',
            0,
            b' '..=b'~',
            0,
            ..,
        ] => Cow::Owned(utf16(bytes, u16::from_le_bytes)),
        [0xEF, 0xBB, 0xBF, rest @ ..] => utf8_or_latin1(rest),
        _ => utf8_or_latin1(bytes),
    }
}

fn utf8_or_latin1(bytes: &[u8]) -> Cow<'_, str> {
    if let Ok(text) = std::str::from_utf8(bytes) {
        return Cow::Borrowed(text);
    }
    let mut text = String::with_capacity(bytes.len() + 64);
    for chunk in bytes.utf8_chunks() {
        text.push_str(chunk.valid());
        text.extend(chunk.invalid().iter().copied().map(char::from));
    }
    Cow::Owned(text)
}

fn utf16(bytes: &[u8], unit: fn([u8; 2]) -> u16) -> String {
    let units = bytes.chunks_exact(2).map(|pair| unit([pair[0], pair[1]]));
    char::decode_utf16(units)
        .map(|c| c.unwrap_or(char::REPLACEMENT_CHARACTER))
        .collect()
}

/// The lines of a text with their numbers from 1, ends (LF, CR LF, or CR alone) removed.
pub(crate) fn lines(text: &str) -> Lines<'_> {
    let end = if memchr::memchr(b'\n', text.as_bytes()).is_some() {
        b'\n'
    } else {
        b'\r'
    };
    Lines {
        rest: Some(text.as_bytes()),
        end,
        number: 0,
    }
}

/// See [`lines`].
#[derive(Debug, Clone)]
pub(crate) struct Lines<'a> {
    rest: Option<&'a [u8]>,
    end: u8,
    number: u32,
}

impl<'a> Iterator for Lines<'a> {
    type Item = (u32, &'a [u8]);

    #[inline]
    fn next(&mut self) -> Option<Self::Item> {
        let rest = self.rest?;
        let line = if let Some(at) = memchr::memchr(self.end, rest) {
            self.rest = Some(&rest[at + 1..]);
            &rest[..at]
        } else {
            self.rest = None;
            rest
        };
        self.number = self.number.saturating_add(1);
        Some((self.number, line.strip_suffix(b"\r").unwrap_or(line)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_the_usual_encodings() {
        let want = "<gpx creator=\"Müller\">";
        let utf16le: Vec<u8> = want.encode_utf16().flat_map(u16::to_le_bytes).collect();
        let utf16be: Vec<u8> = want.encode_utf16().flat_map(u16::to_be_bytes).collect();
        let latin1: Vec<u8> = want.chars().map(|c| c as u32 as u8).collect();
        assert_eq!(decode(want.as_bytes()), want);
        assert_eq!(decode(&[b"\xEF\xBB\xBF", want.as_bytes()].concat()), want);
        assert_eq!(decode(&[b"\xFF\xFE", utf16le.as_slice()].concat()), want);
        assert_eq!(decode(&[b"\xFE\xFF", utf16be.as_slice()].concat()), want);
        assert_eq!(decode(&utf16le), want);
        assert_eq!(decode(&utf16be), want);
        assert_eq!(decode(&latin1), want);
    }

    #[test]
    fn one_bad_byte_costs_one_character() {
        assert_eq!(decode(b"a\xC3\xBCb\xFFc"), "aübÿc");
    }

    #[test]
    fn lines_end_in_three_ways() {
        for text in ["a\nb", "a\r\nb", "a\rb"] {
            let got: Vec<_> = lines(text).collect();
            assert_eq!(
                got,
                [(1, b"a".as_slice()), (2, b"b".as_slice())],
                "{text:?}"
            );
        }
    }
}
