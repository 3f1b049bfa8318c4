//! Standard output and standard error.

use std::io::{self, ErrorKind, IsTerminal, Write};

use super::diagnostic::{Diagnostic, Level};
use super::exit::Exit;
use super::files::plain;

/// Recordings between two lines of a counter that is not on a screen.
const COUNT_EVERY: usize = 100;

/// Where results and messages go.
#[derive(Debug, Default)]
pub(super) struct Terminal {
    /// Errors only on standard error, nothing on standard output but what was asked for with `--out -`.
    pub(super) quiet: bool,
    /// Whoever read standard output has gone (`| head`): nothing more is printed, and that is no error.
    reader_gone: bool,
    /// A counter stands in the last line of a screen.
    counting: bool,
}

impl Terminal {
    pub(super) fn new(quiet: bool) -> Self {
        Terminal {
            quiet,
            reader_gone: false,
            counting: false,
        }
    }

    /// Prints a result.
    pub(super) fn print(&mut self, text: impl AsRef<[u8]>) -> Exit {
        if self.reader_gone {
            return Exit::Done;
        }
        let mut out = io::stdout().lock();
        match out.write_all(text.as_ref()).and_then(|()| out.flush()) {
            Ok(()) => Exit::Done,
            Err(error) if error.kind() == ErrorKind::BrokenPipe => {
                self.reader_gone = true;
                Exit::Done
            }
            Err(error) => {
                self.tell(&Diagnostic::error(format!(
                    "standard output: {}",
                    plain(&error)
                )));
                Exit::Failed
            }
        }
    }

    /// Prints a result, but not in a quiet run.
    pub(super) fn print_result(&mut self, text: &str) -> Exit {
        if self.quiet {
            Exit::Done
        } else {
            self.print(text)
        }
    }

    /// How far a long run has come: one line that counts on a screen, now and then a line elsewhere.
    pub(super) fn count(&mut self, done: usize, of: usize) {
        let mut out = io::stderr().lock();
        if self.quiet {
        } else if out.is_terminal() {
            let _ = write!(out, "\r{done} of {of}");
            self.counting = true;
        } else if done.is_multiple_of(COUNT_EVERY) {
            let _ = writeln!(out, "{done} of {of}");
        }
    }

    /// Ends the line that counts.
    pub(super) fn end_count(&mut self) {
        if std::mem::take(&mut self.counting) {
            let _ = writeln!(io::stderr().lock());
        }
    }

    /// Says something on standard error.
    pub(super) fn tell(&self, diagnostic: &Diagnostic) {
        if self.quiet && diagnostic.level != Level::Error {
            return;
        }
        // Nothing can be said about a standard error that cannot be written.
        let _ = writeln!(io::stderr().lock(), "{diagnostic}");
    }
}
