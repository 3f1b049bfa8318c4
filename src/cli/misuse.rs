//! Command lines that are nearly right: what was meant.

use std::ffi::OsString;
use std::path::Path;

use clap::error::{ContextKind, ContextValue, ErrorKind};

use super::diagnostic::Diagnostic;

/// Endings of files that hold recordings.
const RECORDINGS: [&str; 5] = ["gpx", "igc", "csv", "txt", "gz"];

/// `--aim 51.0, -2.0`, which the shell takes apart, put together again.
pub(super) fn with_aim_in_one(args: impl IntoIterator<Item = OsString>) -> Vec<OsString> {
    let mut out: Vec<OsString> = Vec::new();
    let mut args = args.into_iter().peekable();
    while let Some(arg) = args.next() {
        let after_aim = out.last().is_some_and(|before| before == "--aim");
        out.push(arg);
        let Some(latitude) = out.last().filter(|_| after_aim).and_then(|a| a.to_str()) else {
            continue;
        };
        let half = latitude.trim_end_matches(',');
        let rest = args.peek().and_then(|next| next.to_str());
        if is_number(half)
            && let Some(longitude) = rest.map(|r| r.trim_start_matches(','))
            && is_number(longitude)
        {
            let whole = format!("{half},{longitude}");
            out.pop();
            out.push(whole.into());
            args.next();
        }
    }
    out
}

fn is_number(text: &str) -> bool {
    text.parse::<f64>().is_ok()
}

/// What to say in place of clap's words, where a recording stands in the place of the command.
pub(super) fn recording_for_command(error: &clap::Error) -> Option<Diagnostic> {
    if error.kind() != ErrorKind::InvalidSubcommand {
        return None;
    }
    let Some(ContextValue::String(word)) = error.get(ContextKind::InvalidSubcommand) else {
        return None;
    };
    let path = Path::new(word);
    let extension = path.extension().and_then(|e| e.to_str()).unwrap_or("");
    let named_so = RECORDINGS.iter().any(|r| extension.eq_ignore_ascii_case(r));
    (named_so || path.is_file()).then(|| {
        Diagnostic::error(format!("`{word}` is a file, not a command"))
            .with_help(format!("to debrief it: `stillprop debrief {word}`"))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn joined(args: &[&str]) -> Vec<OsString> {
        with_aim_in_one(args.iter().map(OsString::from))
    }

    #[test]
    fn an_aim_with_a_space_is_one_word() {
        let whole: Vec<OsString> = ["--aim", "51.0,-2.0", "a.gpx"].map(OsString::from).into();
        for args in [
            &["--aim", "51.0,-2.0", "a.gpx"][..],
            &["--aim", "51.0,", "-2.0", "a.gpx"],
            &["--aim", "51.0", ",-2.0", "a.gpx"],
            &["--aim", "51.0", "-2.0", "a.gpx"],
        ] {
            assert_eq!(joined(args), whole, "{args:?}");
        }
    }

    #[test]
    fn nothing_else_is_touched() {
        for args in [
            &["--aim", "51.0", "a.gpx"][..],
            &["--elevation", "310", "7"],
            &["--aim"],
            &["debrief", "51.0", "-2.0"],
        ] {
            let same: Vec<OsString> = args.iter().map(OsString::from).collect();
            assert_eq!(joined(args), same, "{args:?}");
        }
    }
}
