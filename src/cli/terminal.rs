//! Standard output and standard error.

use std::cell::Cell;
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
    /// A line that counts stands on the terminal, and has to go before anything else is written.
    counting: Cell<bool>,
}

/// Width of the bar that counts, characters.
const BAR: usize = 24;

impl Terminal {
    pub(super) fn new(quiet: bool) -> Self {
        Terminal {
            quiet,
            ..Terminal::default()
        }
    }

    /// Prints a result.
    pub(super) fn print(&mut self, text: &(impl AsRef<[u8]> + ?Sized)) -> Exit {
        if self.reader_gone {
            return Exit::Done;
        }
        self.clear();
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

    /// Says something on standard error.
    pub(super) fn tell(&self, diagnostic: &Diagnostic) {
        if self.quiet && diagnostic.level != Level::Error {
            return;
        }
        self.clear();
        // Nothing can be said about a standard error that cannot be written.
        let _ = writeln!(io::stderr().lock(), "{diagnostic}");
    }

    /// Says how far a batch is: a line that the next one replaces where somebody looks at it, now and then a
    /// line elsewhere.
    pub(super) fn count(&self, done: usize, of: usize) {
        let dumb = std::env::var_os("TERM").is_some_and(|term| term == "dumb");
        let mut out = io::stderr().lock();
        if self.quiet {
        } else if out.is_terminal() && !dumb {
            let _ = write!(out, "\r{}", bar(done, of)).and_then(|()| out.flush());
            self.counting.set(true);
        } else if done > 0 && done.is_multiple_of(COUNT_EVERY) {
            let _ = writeln!(out, "{done} of {of}");
        }
    }

    /// Takes the line that counts away.
    pub(super) fn clear(&self) {
        if self.counting.replace(false) {
            // to the start of the line, and nothing to its end (ECMA-48, EL)
            let _ = write!(io::stderr().lock(), "\r\u{1b}[K");
        }
    }
}

/// `[#######-----------------] 12 of 40 recordings`.
fn bar(done: usize, of: usize) -> String {
    let full = (BAR * done.min(of)).checked_div(of).unwrap_or(BAR);
    let (full, empty) = ("#".repeat(full), "-".repeat(BAR - full));
    format!("[{full}{empty}] {done} of {of} recordings")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_bar_counts() {
        assert_eq!(
            bar(12, 40),
            "[#######-----------------] 12 of 40 recordings"
        );
        assert_eq!(
            bar(40, 40),
            "[########################] 40 of 40 recordings"
        );
        assert_eq!(bar(0, 0), "[########################] 0 of 0 recordings");
    }
}
