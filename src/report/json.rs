//! The document as JSON, the same bytes for the same flight.

use std::io;

use schemars::JsonSchema;
use serde::Serialize;
use serde_json::ser::{Formatter, PrettyFormatter, Serializer};

use super::rounding;
use crate::debrief::document::Debrief;

/// The document, rounded to what can matter and indented; lists of plain values on one line.
pub fn document_json(debrief: &Debrief) -> String {
    let mut bytes = Vec::new();
    let mut serializer = Serializer::with_formatter(&mut bytes, Layout::default());
    let written = rounding::rounded(debrief).serialize(&mut serializer);
    debug_assert!(
        written.is_ok(),
        "a document has string keys only and is written to memory"
    );
    bytes.push(b'\n');
    String::from_utf8(bytes).unwrap_or_default()
}

/// The JSON schema of the document, made from its types.
pub fn schema_json() -> String {
    schema_json_of::<Debrief>()
}

/// The JSON schema of another document: fleet, progress or comparison.
pub fn schema_json_of<Document: JsonSchema>() -> String {
    let schema = schemars::schema_for!(Document);
    let mut text = serde_json::to_string_pretty(&schema).unwrap_or_default();
    text.push('\n');
    text
}

/// Indented, but a list breaks lines only before objects.
#[derive(Default)]
struct Layout {
    depth: usize,
    /// For each open list: whether it holds objects.
    lists: Vec<bool>,
    pretty: PrettyFormatter<'static>,
    in_value_of_list: bool,
}

impl Layout {
    fn indent<W: ?Sized + io::Write>(&self, writer: &mut W) -> io::Result<()> {
        writer.write_all(b"\n")?;
        (0..self.depth).try_for_each(|_| writer.write_all(b"  "))
    }
}

impl Formatter for Layout {
    fn begin_array<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.lists.push(false);
        self.depth += 1;
        self.in_value_of_list = false;
        writer.write_all(b"[")
    }

    fn end_array<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.depth -= 1;
        if self.lists.pop() == Some(true) {
            self.indent(writer)?;
        }
        writer.write_all(b"]")
    }

    fn begin_array_value<W: ?Sized + io::Write>(
        &mut self,
        writer: &mut W,
        first: bool,
    ) -> io::Result<()> {
        self.in_value_of_list = true;
        if first {
            Ok(())
        } else {
            writer.write_all(b", ")
        }
    }

    fn end_array_value<W: ?Sized + io::Write>(&mut self, _writer: &mut W) -> io::Result<()> {
        self.in_value_of_list = false;
        Ok(())
    }

    fn begin_object<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        if self.in_value_of_list {
            if let Some(list) = self.lists.last_mut() {
                *list = true;
            }
            self.indent(writer)?;
            self.in_value_of_list = false;
        }
        self.depth += 1;
        writer.write_all(b"{")
    }

    fn end_object<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.depth -= 1;
        self.indent(writer)?;
        writer.write_all(b"}")
    }

    fn begin_object_key<W: ?Sized + io::Write>(
        &mut self,
        writer: &mut W,
        first: bool,
    ) -> io::Result<()> {
        if !first {
            writer.write_all(b",")?;
        }
        self.indent(writer)
    }

    fn begin_object_value<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.in_value_of_list = false;
        self.pretty.begin_object_value(writer)
    }
}
