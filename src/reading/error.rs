//! What stops a file from being read, in words that say what to do about it.

use thiserror::Error;

use super::place::Place;

/// A file that cannot be read, and the place in it.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{}: {problem}\nhelp: {}", self.place(), self.help())]
pub struct ReadError {
    /// Name of the file, for messages.
    pub file_name: String,
    /// Line, from 1; 0 where no line can be named.
    pub line: u32,
    /// Column (character of the line), from 1; 0 where no column can be named.
    pub column: u32,
    /// What is wrong.
    pub problem: ReadProblem,
}

impl ReadError {
    /// `file`, `file:line` or `file:line:column`.
    pub fn place(&self) -> String {
        match (self.line, self.column) {
            (0, _) => self.file_name.clone(),
            (line, 0) => format!("{}:{line}", self.file_name),
            (line, column) => format!("{}:{line}:{column}", self.file_name),
        }
    }

    /// What to do about it, one line.
    pub fn help(&self) -> String {
        self.problem.help()
    }
}

/// What is wrong and where, before the file has a name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Located {
    /// Where, as far as it can be said.
    pub(crate) place: Place,
    /// What is wrong.
    pub(crate) problem: ReadProblem,
}

impl From<ReadProblem> for Located {
    /// A problem of the file as a whole.
    fn from(problem: ReadProblem) -> Self {
        problem.at(Place::default())
    }
}

/// What is wrong with a file.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum ReadProblem {
    /// Nothing in it, or blanks only.
    #[error("the file is empty")]
    Empty,
    /// Another kind of file, whatever its name.
    #[error("expected a recording (GPX, IGC or delimited text), found {found}")]
    WrongFormat {
        /// What the content is.
        found: String,
        /// How to get a recording from it.
        help: &'static str,
    },
    /// gzip that gives nothing.
    #[error("the packed (gzip) file is damaged: nothing could be unpacked")]
    CannotUnpack,
    /// gzip that unpacks to more than a recording can be.
    #[error("the packed (gzip) file unpacks to more than {limit_mib} MiB, more than any recording")]
    UnpacksTooLarge {
        /// The limit, MiB.
        limit_mib: u64,
    },
    /// Track points, but none says when.
    #[error("{points} positions, none with a time; without times nothing can be measured")]
    NoTimes {
        /// Positions found.
        points: u32,
    },
    /// A planned route.
    #[error("{points} route points, none with a time; a planned route cannot be measured")]
    RouteOnly {
        /// Route points found.
        points: u32,
    },
    /// Waypoints only.
    #[error("{points} {} and no track; single places cannot be measured", if *points == 1 { "waypoint" } else { "waypoints" })]
    WaypointsOnly {
        /// Waypoints found.
        points: u32,
    },
    /// A well-formed file without a single fix.
    #[error("no fixes: {found}")]
    NoFixes {
        /// What is there instead.
        found: String,
    },
    /// Fixes, but every one was refused.
    #[error("no usable fix: {dropped} refused, most for: {chief_reason}")]
    AllRefused {
        /// Fixes refused.
        dropped: u32,
        /// The commonest reason.
        chief_reason: String,
    },
    /// Delimited text whose columns are not understood.
    #[error("no {missing} column; found {found}")]
    MissingColumn {
        /// What is missing: `latitude`, `longitude` or `time`.
        missing: &'static str,
        /// The headers found, in backticks.
        found: String,
    },
    /// Delimited text without a header line.
    #[error("expected a line of column names, found `{found}`")]
    NoHeader {
        /// The first line.
        found: String,
    },
    /// A mapped column that the file does not have.
    #[error(
        "the column map names `{wanted}` for {channel}, which is not in the file; found {found}"
    )]
    MappedColumnMissing {
        /// The channel.
        channel: &'static str,
        /// The name in the map.
        wanted: String,
        /// The headers found, in backticks.
        found: String,
    },
}

impl ReadProblem {
    /// The same, with its place.
    pub(crate) fn at(self, place: Place) -> Located {
        Located {
            place,
            problem: self,
        }
    }

    /// What to do about it, one line.
    pub fn help(&self) -> String {
        match self {
            Self::Empty => "copy the file from the recorder again; an empty file is often a card taken out while it was written".to_owned(),
            Self::WrongFormat { help, .. } => (*help).to_owned(),
            Self::CannotUnpack => "copy the file again, or unpack it first".to_owned(),
            Self::UnpacksTooLarge { .. } => "unpack it and give the one flight that is wanted".to_owned(),
            Self::NoTimes { .. } => "export the track with its time stamps; many programs drop them when a track is simplified".to_owned(),
            Self::RouteOnly { .. } => "export the recorded track (`<trk>`), not the route (`<rte>`)".to_owned(),
            Self::WaypointsOnly { .. } => "export the recorded track (`<trk>`), not the waypoints (`<wpt>`)".to_owned(),
            Self::NoFixes { .. } => "check that the recorder had position reception and that the flight is in this file".to_owned(),
            Self::AllRefused { chief_reason, .. } if chief_reason.starts_with("latitude outside") => {
                "look at the line named: latitude and longitude may be exchanged, or in another unit than degrees".to_owned()
            }
            Self::AllRefused { .. } => "look at the line named; the same flight exported again, or in another of GPX, IGC and CSV, may do".to_owned(),
            Self::MissingColumn { missing, .. } => {
                format!("name the column so that it is known (`latitude`, `longitude`, `time`), or give a column map with `[columns]` and `{missing} = \"your column\"`")
            }
            Self::NoHeader { .. } => {
                "put a line of column names first (`time,latitude,longitude,altitude_m`), or give a column map with numbers: `latitude = 2`".to_owned()
            }
            Self::MappedColumnMissing { .. } => "correct the name in the column map; upper and lower case are the same there".to_owned(),
        }
    }
}

/// What is wrong with a column map.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{message}\nhelp: {help}")]
pub struct ColumnMapError {
    /// What is wrong, with what was expected and what was found.
    pub message: String,
    /// What to do about it.
    pub help: String,
}
