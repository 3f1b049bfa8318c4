//! What the elements of a GPX document are to its reader.

/// What an element is to this reader.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Tag {
    Track,
    Segment,
    Point,
    RoutePoint,
    Waypoint,
    /// A lap, a total, an average: its figures are not of one moment.
    Summary,
    Field(Field),
    Other,
}

/// A value of a point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Field {
    Elevation,
    Time,
    Speed,
    Course,
    FixKind,
    Accuracy,
    VerticalSpeed,
    Name,
}

impl Field {
    /// May stand below `extensions` too, not only directly in the point.
    pub(super) fn in_extensions(self) -> bool {
        matches!(
            self,
            Self::Speed | Self::Course | Self::Accuracy | Self::VerticalSpeed
        )
    }
}

/// The meaning of a local name.
pub(super) fn tag(local_name: &str) -> Tag {
    match local_name {
        // Frequent, and not to be looked at twice.
        "extensions" | "TrackPointExtension" | "gpx" => Tag::Other,
        "trkpt" => Tag::Point,
        "ele" => Tag::Field(Field::Elevation),
        "time" => Tag::Field(Field::Time),
        "speed" | "Speed" => Tag::Field(Field::Speed),
        "course" | "Course" | "cog" | "bearing" => Tag::Field(Field::Course),
        "fix" => Tag::Field(Field::FixKind),
        "accuracy" | "hacc" | "hAcc" | "horizontalAccuracy" => Tag::Field(Field::Accuracy),
        "vspeed" | "verticalSpeed" | "vertical_speed" => Tag::Field(Field::VerticalSpeed),
        "name" => Tag::Field(Field::Name),
        "trk" => Tag::Track,
        "trkseg" => Tag::Segment,
        "rtept" => Tag::RoutePoint,
        "wpt" => Tag::Waypoint,
        other => {
            let lower = other
                .get(..other.len().min(64))
                .unwrap_or("")
                .to_ascii_lowercase();
            if ["lap", "summary", "average", "total", "max"]
                .iter()
                .any(|w| lower.contains(w))
            {
                Tag::Summary
            } else {
                Tag::Other
            }
        }
    }
}
