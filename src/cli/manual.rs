//! The manual page: the program, then each command below a heading of its own.

use std::fmt::Write as _;

use clap::{Command, CommandFactory};
use clap_mangen::Man;

use super::args::Args;
use super::diagnostic::Diagnostic;
use super::exit::Exit;
use super::files;
use super::terminal::Terminal;

/// Prints the page.
pub(super) fn print() -> Exit {
    let mut terminal = Terminal::new(false);
    match page() {
        Ok(text) => terminal.print(&text),
        Err(error) => {
            let problem = format!("the manual page: {}", files::plain(&error));
            terminal.tell(&Diagnostic::error(problem));
            Exit::Failed
        }
    }
}

fn page() -> std::io::Result<Vec<u8>> {
    let mut command = Args::command();
    command.build();
    let mut text = Vec::new();
    Man::new(command.clone()).render(&mut text)?;
    let mut page = of_program(&String::from_utf8_lossy(&text));
    for sub in own_commands(&command) {
        of_command(&mut page, sub)?;
    }
    Ok(page.into_bytes())
}

fn own_commands(command: &Command) -> impl Iterator<Item = &Command> {
    command.get_subcommands().filter(|c| c.get_name() != "help")
}

/// The page of the program: there are no pages of the commands to be pointed at, and what is said last are examples.
fn of_program(text: &str) -> String {
    text.lines()
        .map(|line| match line {
            ".SH EXTRA" => ".SH EXAMPLES".to_owned(),
            ".SH SUBCOMMANDS" => ".SH COMMANDS".to_owned(),
            "Examples:" => String::new(),
            "Exit status:" => ".SH \"EXIT STATUS\"".to_owned(),
            _ => line.strip_suffix("(1)").map_or_else(
                || line.to_owned(),
                |named| named.replace("stillprop\\-", "stillprop "),
            ),
        })
        .flat_map(|line| [line, "\n".to_owned()])
        .collect()
}

/// A heading for the command, and below it a smaller one for each part; then its own commands.
fn of_command(page: &mut String, command: &Command) -> std::io::Result<()> {
    let named = command.get_bin_name().unwrap_or_else(|| command.get_name());
    let man = Man::new(command.clone());
    let mut text = Vec::new();
    man.render_description_section(&mut text)?;
    man.render_options_section(&mut text)?;
    man.render_extra_section(&mut text)?;
    let _ = writeln!(page, ".SH \"{}\"", named.to_uppercase());
    for line in String::from_utf8_lossy(&text).lines() {
        match line.strip_prefix(".SH ") {
            Some("DESCRIPTION") => {}
            Some("EXTRA") => page.push_str(".SS Examples\n"),
            Some(part) => {
                let part = part.trim_matches('"');
                let (first, rest) = part.split_at(part.len().min(1));
                let _ = writeln!(page, ".SS \"{first}{}\"", rest.to_lowercase());
            }
            None => {
                page.push_str(line);
                page.push('\n');
            }
        }
    }
    for sub in own_commands(command) {
        of_command(page, sub)?;
    }
    Ok(())
}
