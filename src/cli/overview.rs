//! Reports on many attempts: written into a folder, or one of them printed.

use super::diagnostic::Diagnostic;
use super::exit::Exit;
use super::files;
use super::overview_args::{OverviewFormat, ReportsArgs};
use super::terminal::Terminal;
use crate::report::Manner;

/// The wording asked for; a zone that is none is wrong usage, and told before anything is read.
pub(super) fn manner(args: &ReportsArgs, terminal: &mut Terminal) -> Result<Manner, Exit> {
    super::plan::manner(&args.wording).map_err(|problem| {
        terminal.tell(&problem);
        Exit::WrongUsage
    })
}

/// Writes the reports that `rendered` makes, named after `stem`, and prints `table`.
pub(super) fn write(
    (args, stem): (&ReportsArgs, &str),
    table: &str,
    rendered: impl Fn(OverviewFormat) -> String,
    terminal: &mut Terminal,
) -> Exit {
    let (out, mut formats) = (args.out.as_path(), args.format.clone());
    formats.sort_unstable();
    formats.dedup();
    if out.as_os_str() == "-" {
        let [format] = formats[..] else {
            terminal.tell(
                &Diagnostic::error("`--out -` prints one report, so it needs one `--format`")
                    .with_help("for the document alone: `--format json --out -`"),
            );
            return Exit::WrongUsage;
        };
        return terminal.print(rendered(format).as_bytes());
    }
    if formats.is_empty() {
        formats = OverviewFormat::USUAL.to_vec();
    }
    if let Err(problem) = files::check_folder(out) {
        terminal.tell(&problem);
        return Exit::Failed;
    }
    let mut written = Vec::new();
    for format in formats {
        let name = format!("{stem}.{}", format.extension());
        match files::write_whole(out, &name, rendered(format).as_bytes()) {
            Ok(path) => written.push(path.display().to_string()),
            Err(problem) => {
                terminal.tell(&problem);
                return Exit::Failed;
            }
        }
    }
    terminal.tell(&Diagnostic::progress(format!(
        "wrote {}",
        written.join(", ")
    )));
    terminal.print_result(table)
}
