//! What is wrong with a briefing, where, and what to do.

use std::fmt;

use super::metar::MetarError;

/// Everything that is wrong with a briefing: at least one problem, in file order.
#[derive(Debug, Clone, PartialEq)]
pub struct BriefingError {
    /// The problems, in file order.
    pub problems: Vec<Problem>,
}

/// One thing that is wrong, and where.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// Where it was found.
    pub place: Place,
    /// What is wrong.
    pub complaint: Complaint,
    /// What to do or what was likely meant.
    pub help: Option<String>,
}

/// Where a problem was found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Place {
    /// In a file.
    File {
        /// Name of the file.
        file_name: String,
        /// Line, from 1.
        line: usize,
        /// Column in characters, from 1.
        column: usize,
        /// Characters concerned, at least 1.
        width: usize,
        /// The line as it stands.
        text: String,
    },
    /// In something else: a command line flag, or a key of a briefing not read from a file.
    Named(String),
}

/// What can be wrong with a briefing.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Complaint {
    /// The file is not TOML.
    #[error("not readable as TOML: {message}")]
    Syntax {
        /// What the reader says.
        message: String,
    },
    /// A key or table the briefing does not have.
    #[error("unknown {what} `{key}` {place}")]
    Unknown {
        /// `key` or `table`.
        what: &'static str,
        /// As written.
        key: String,
        /// Where it stands, in words.
        place: String,
    },
    /// A number where text belongs, or the like.
    #[error("expected `{key}` as {expected}, found {found}")]
    WrongType {
        /// Key or table.
        key: String,
        /// What belongs there.
        expected: String,
        /// What is there.
        found: String,
    },
    /// A number no light aeroplane, airfield or weather has.
    #[error("expected `{key}` from {low} to {high} {unit}, found `{found}`")]
    OutOfRange {
        /// Key, or command line flag.
        key: String,
        /// Least.
        low: f64,
        /// Greatest.
        high: f64,
        /// Unit.
        unit: &'static str,
        /// As written.
        found: String,
    },
    /// Text longer than any such text is.
    #[error("expected `{key}` of at most {most} characters, found {found}")]
    TooLong {
        /// Key.
        key: String,
        /// Most characters.
        most: usize,
        /// Characters found.
        found: usize,
    },
    /// One of two keys that only mean something together.
    #[error("`{found}` without `{missing}`")]
    Incomplete {
        /// The key that is there.
        found: String,
        /// The key that is not.
        missing: String,
    },
    /// Two values that cannot both be right, or one that is surely a slip.
    #[error("{0}")]
    Contradiction(String),
    /// A time that is none.
    #[error("expected `{key}` as a time such as 2026-05-03T10:21:40Z, found {found}")]
    Time {
        /// Key.
        key: String,
        /// As written.
        found: String,
    },
    /// A METAR that cannot be read.
    #[error("METAR: {0}")]
    Metar(#[from] MetarError),
}

impl Problem {
    /// A problem outside any file.
    pub(super) fn named(place: &str, complaint: Complaint, help: Option<String>) -> Self {
        Problem {
            place: Place::Named(place.to_owned()),
            complaint,
            help,
        }
    }
}

impl From<Problem> for BriefingError {
    fn from(problem: Problem) -> Self {
        BriefingError {
            problems: vec![problem],
        }
    }
}

impl std::error::Error for BriefingError {}

impl fmt::Display for BriefingError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, problem) in self.problems.iter().enumerate() {
            if i > 0 {
                writeln!(f)?;
            }
            write!(f, "{problem}")?;
        }
        Ok(())
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.place {
            Place::Named(place) => write!(f, "{place}: {}", self.complaint)?,
            Place::File {
                file_name,
                line,
                column,
                width,
                text,
            } => {
                write!(f, "{file_name}:{line}:{column}: {}", self.complaint)?;
                let number = line.to_string();
                let margin = " ".repeat(number.len());
                // A tab stays a tab, so that the carets stand below what they mean.
                let indent: String = text
                    .chars()
                    .take(column.saturating_sub(1))
                    .map(|c| if c == '\t' { '\t' } else { ' ' })
                    .collect();
                write!(
                    f,
                    "\n{margin} |\n{number} | {text}\n{margin} | {indent}{}",
                    "^".repeat(*width)
                )?;
            }
        }
        if let Some(help) = &self.help {
            write!(f, "\nhelp: {help}")?;
        }
        Ok(())
    }
}
