//! Notes: what was dropped or repaired, counted, with the line it was first seen on.

use super::Note;
use super::place::Place;

/// Most different notes kept about one file; what comes after is counted under one heading.
const MAX_DISTINCT: usize = 64;

/// What stands for notes beyond [`MAX_DISTINCT`].
const OTHERS: &str = "other damage of many kinds";

/// The notes of one file while it is read: the same remark is counted, not repeated.
#[derive(Debug, Default)]
pub(crate) struct Notes {
    list: Vec<Note>,
}

impl Notes {
    /// Counts a fix dropped on `line` for the reason `what`.
    pub(crate) fn dropped(&mut self, line: u32, what: &str) {
        self.count(what, 1, || Place::line(line));
    }

    /// The same where the column is known; it is only looked for the first time.
    pub(crate) fn dropped_at(&mut self, what: &str, place: impl FnOnce() -> Place) {
        self.count(what, 1, place);
    }

    /// Counts something worth telling on `line` (0 where no line can be named) that cost no fix.
    pub(crate) fn remark(&mut self, line: u32, what: &str) {
        self.count(what, 0, || Place::line(line));
    }

    /// Adds a note that was counted elsewhere.
    pub(crate) fn add(&mut self, note: Note) {
        if note.count > 0 {
            self.list.push(note);
        }
    }

    /// Fixes dropped so far.
    pub(crate) fn dropped_fixes(&self) -> u32 {
        self.list
            .iter()
            .map(|n| n.dropped_fixes)
            .fold(0, u32::saturating_add)
    }

    /// The note that dropped most fixes, if any did.
    pub(crate) fn chief(&self) -> Option<&Note> {
        self.list
            .iter()
            .filter(|n| n.dropped_fixes > 0)
            .max_by_key(|n| n.dropped_fixes)
    }

    /// The notes, in order of appearance.
    pub(crate) fn into_list(self) -> Vec<Note> {
        self.list
    }

    fn count(&mut self, what: &str, dropped: u32, place: impl FnOnce() -> Place) {
        let what = match self.list.iter().position(|n| n.what == what) {
            None if self.list.len() >= MAX_DISTINCT => OTHERS,
            _ => what,
        };
        if let Some(note) = self.list.iter_mut().find(|n| n.what == what) {
            note.count = note.count.saturating_add(1);
            note.dropped_fixes = note.dropped_fixes.saturating_add(dropped);
        } else {
            let Place { line, column } = place();
            self.list.push(Note {
                first_line: line,
                first_column: column,
                count: 1,
                dropped_fixes: dropped,
                what: what.to_owned(),
            });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_the_same_remark_once_with_its_first_line() {
        let mut notes = Notes::default();
        notes.dropped(7, "latitude out of range");
        notes.dropped(9, "latitude out of range");
        notes.remark(3, "time without a zone, read as UTC");
        assert_eq!(notes.dropped_fixes(), 2);
        assert_eq!(notes.chief().map(|n| n.first_line), Some(7));
        let list = notes.into_list();
        assert_eq!(list.len(), 2);
        assert_eq!((list[0].count, list[0].first_line), (2, 7));
        assert_eq!(list[1].dropped_fixes, 0);
    }

    #[test]
    fn stays_short_whatever_the_file_holds() {
        let mut notes = Notes::default();
        for i in 0..1000 {
            notes.remark(i, &format!("reason {i}"));
        }
        let list = notes.into_list();
        assert_eq!(list.len(), MAX_DISTINCT + 1);
        assert_eq!(list[MAX_DISTINCT].count as usize, 1000 - MAX_DISTINCT);
    }
}
