//! Standard output and standard error.

use std::io::{self, ErrorKind, Write};

use super::diagnostic::{Diagnostic, Level};
use super::exit::Exit;
use super::files::plain;

/// Where results and messages go.
#[derive(Debug, Default)]
pub(super) struct Terminal {
    /// Errors only on standard error, nothing on standard output but what was asked for with `--out -`.
    pub(super) quiet: bool,
    /// Whoever read standard output has gone (`| head`): nothing more is printed, and that is no error.
    reader_gone: bool,
}

impl Terminal {
    pub(super) fn new(quiet: bool) -> Self {
        Terminal {
            quiet,
            reader_gone: false,
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

    /// Says something on standard error.
    pub(super) fn tell(&self, diagnostic: &Diagnostic) {
        if self.quiet && diagnostic.level != Level::Error {
            return;
        }
        // Nothing can be said about a standard error that cannot be written.
        let _ = writeln!(io::stderr().lock(), "{diagnostic}");
    }
}
