//! Stage 8: debriefs kept in one SQLite file, and asked for again.
//!
//! One row for each recording, by the hash of its bytes; its attempts, their figures with intervals,
//! verdicts and energy balances. A recording debriefed again takes the place of what was kept of it.
//! People and aircraft are the codes of the briefing; nothing here knows a name.
//!
//! Several programs may use the file at once: it is in write-ahead mode, each recording is one
//! transaction, and whoever finds it busy waits. A program that is killed loses the recording it was at,
//! and nothing else.

mod ask;
mod check;
#[cfg(feature = "parquet")]
mod columnar;
mod columns;
mod error;
mod export;
mod forget;
mod keep;
mod open;
mod schema;

pub use ask::{AttemptRow, GlideRow, RecordingRow, Who};
pub use check::Finding;
pub use error::LogbookError;
pub use export::{LINE_SCHEMA, PARQUET_BUILT, Shape, line_schema_json};
pub use forget::Forgotten;
pub use keep::Kept;
pub use open::{Access, Logbook};
pub use schema::VERSION;
