//! What is said on standard error: errors, warnings, progress.

use std::fmt;

use crate::briefing::BriefingError;

/// How bad it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Level {
    /// Something asked for is not done.
    Error,
    /// Done, but the reader should know this first.
    Warning,
    /// What was done.
    Progress,
}

/// One message: place, what was expected and found, and what to do about it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Diagnostic {
    pub(super) level: Level,
    /// Starts with the file or flag concerned; may hold the line of the file and a `help:` of its own.
    pub(super) text: String,
    pub(super) help: Option<String>,
}

impl Diagnostic {
    pub(super) fn error(text: impl Into<String>) -> Self {
        Diagnostic {
            level: Level::Error,
            text: text.into(),
            help: None,
        }
    }

    pub(super) fn warning(text: impl Into<String>) -> Self {
        Diagnostic {
            level: Level::Warning,
            text: text.into(),
            help: None,
        }
    }

    pub(super) fn progress(text: impl Into<String>) -> Self {
        Diagnostic {
            level: Level::Progress,
            text: text.into(),
            help: None,
        }
    }

    pub(super) fn with_help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }
}

impl fmt::Display for Diagnostic {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self.level {
            Level::Error => "error: ",
            Level::Warning => "warning: ",
            Level::Progress => "",
        })?;
        f.write_str(&without_control(&self.text))?;
        if let Some(help) = &self.help {
            write!(f, "\nhelp: {}", without_control(help))?;
        }
        Ok(())
    }
}

/// Text from a file must not steer the terminal: control characters other than line feed and tab go.
fn without_control(text: &str) -> String {
    text.chars()
        .map(|c| {
            if c.is_control() && c != '\n' && c != '\t' {
                '\u{fffd}'
            } else {
                c
            }
        })
        .collect()
}

/// Each problem of a briefing as an error of its own.
pub(super) fn briefing_errors(error: &BriefingError) -> Vec<Diagnostic> {
    error
        .problems
        .iter()
        .map(|problem| Diagnostic::error(problem.to_string()))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn help_stands_on_a_line_of_its_own() {
        let text = Diagnostic::error("a.gpx: no such file")
            .with_help("look again")
            .to_string();
        assert_eq!(text, "error: a.gpx: no such file\nhelp: look again");
    }

    #[test]
    fn text_of_a_file_cannot_colour_the_terminal() {
        let text = Diagnostic::warning("found `\u{1b}[31m`").to_string();
        assert_eq!(text, "warning: found `\u{fffd}[31m`");
    }
}
