//! What is wrong with a standard file, where, and what to do.

use std::fmt;

/// Everything that is wrong with a standard file, in file order.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{}", problems.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))]
pub struct StandardError {
    /// At least one.
    pub problems: Vec<StandardProblem>,
}

/// One thing that is wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StandardProblem {
    /// Name of the file.
    pub file_name: String,
    /// Line, from 1.
    pub line: usize,
    /// What was expected, and what was found.
    pub what: String,
    /// What to do, or what was likely meant.
    pub help: Option<String>,
}

impl fmt::Display for StandardProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}: {}", self.file_name, self.line, self.what)?;
        match &self.help {
            Some(help) => write!(f, "\nhelp: {help}"),
            None => Ok(()),
        }
    }
}
