//! Where in a text something stands.

/// A place in a text: line and column, from 1, columns counted in characters; 0 where none can be named.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Place {
    /// Line, from 1; 0 where no line can be named.
    pub(crate) line: u32,
    /// Character of the line, from 1; 0 where none can be named.
    pub(crate) column: u32,
}

impl Place {
    /// A whole line.
    pub(crate) fn line(line: u32) -> Self {
        Self { line, column: 0 }
    }

    /// The first character of a line; no place where there is no such line (0).
    pub(crate) fn line_start(line: u32) -> Self {
        Self {
            line,
            column: line.min(1),
        }
    }

    /// A byte of a line of which number and content are known.
    pub(crate) fn in_line(line: u32, content: &[u8], at: usize) -> Self {
        let before = &content[..at.min(content.len())];
        Self {
            line,
            column: characters(before).saturating_add(1),
        }
    }

    /// A part of a line, given as a slice of it; the whole line if it is none.
    pub(crate) fn of_part(line: u32, content: &[u8], part: &[u8]) -> Self {
        offset_within(content, part)
            .map_or_else(|| Self::line(line), |at| Self::in_line(line, content, at))
    }

    /// A byte of a text whose lines end in LF.
    pub(crate) fn in_text(text: &str, at: usize) -> Self {
        let before = &text.as_bytes()[..at.min(text.len())];
        let line_start = memchr::memrchr(b'\n', before).map_or(0, |end| end + 1);
        let line = memchr::memchr_iter(b'\n', before).count() as u32;
        Self::in_line(line.saturating_add(1), &before[line_start..], before.len())
    }
}

/// The offset of a slice in the slice it was taken from; `None` if it is not from there.
pub(crate) fn offset_within(whole: &[u8], part: &[u8]) -> Option<usize> {
    let at = part.as_ptr().addr().checked_sub(whole.as_ptr().addr())?;
    (at + part.len() <= whole.len()).then_some(at)
}

/// Characters of UTF-8: all bytes but those that continue one.
fn characters(bytes: &[u8]) -> u32 {
    bytes.iter().filter(|b| (**b & 0xC0) != 0x80).count() as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_characters_from_one() {
        let text = "é,b\r\nxyz\n";
        for (at, line, column) in [(0, 1, 1), (2, 1, 2), (3, 1, 3), (6, 2, 1), (8, 2, 3)] {
            assert_eq!(
                Place::in_text(text, at),
                Place { line, column },
                "byte {at}"
            );
        }
        assert_eq!(Place::in_text(text, 99), Place { line: 3, column: 1 });
    }

    #[test]
    fn a_part_of_a_line_is_found_by_where_it_is() {
        let line = "ä;b;b".as_bytes();
        assert_eq!(Place::of_part(7, line, &line[5..]).column, 5);
        assert_eq!(Place::of_part(7, line, &line[3..4]).column, 3);
        assert_eq!(Place::of_part(7, line, b"elsewhere").column, 0);
    }
}
