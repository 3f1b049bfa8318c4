//! How the program ends.

use std::process::ExitCode;

/// The exit status. The greatest trouble met decides: [`Exit::Failed`] before [`Exit::NoRecording`], and
/// that before [`Exit::NoAttempt`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Exit {
    /// 0: everything asked for was done.
    Done,
    /// 1: some input could not be read, or some output not written; the rest was done.
    Failed,
    /// 2: the command line asks for something that cannot be meant; nothing was done.
    WrongUsage,
    /// 3: everything was read and written, but a recording holds no attempt.
    NoAttempt,
    /// 4: a folder was named that holds no recording; the rest was done.
    NoRecording,
}

impl Exit {
    /// The number the shell sees.
    ///
    /// # Example
    /// ```
    /// use stillprop::cli::Exit;
    /// assert_eq!(Exit::NoAttempt.status(), 3);
    /// ```
    pub fn status(self) -> u8 {
        match self {
            Exit::Done => 0,
            Exit::Failed => 1,
            Exit::WrongUsage => 2,
            Exit::NoAttempt => 3,
            Exit::NoRecording => 4,
        }
    }

    /// The status of two pieces of work done one after the other.
    pub(super) fn and(self, other: Exit) -> Exit {
        [
            Exit::WrongUsage,
            Exit::Failed,
            Exit::NoRecording,
            Exit::NoAttempt,
        ]
        .into_iter()
        .find(|&trouble| self == trouble || other == trouble)
        .unwrap_or(Exit::Done)
    }
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        ExitCode::from(exit.status())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_greater_trouble_decides() {
        assert_eq!(Exit::Done.and(Exit::Done), Exit::Done);
        assert_eq!(Exit::Done.and(Exit::NoAttempt), Exit::NoAttempt);
        assert_eq!(Exit::Failed.and(Exit::NoAttempt), Exit::Failed);
        assert_eq!(Exit::NoAttempt.and(Exit::Failed), Exit::Failed);
        assert_eq!(Exit::NoRecording.and(Exit::NoAttempt), Exit::NoRecording);
        assert_eq!(Exit::NoRecording.and(Exit::Failed), Exit::Failed);
    }
}
