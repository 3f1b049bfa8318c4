//! What a column holds, by its name.

use super::quantity::Quantity;
use super::unit::{Named, Unit};
use crate::reading::AltitudeDatum;

/// What a column name says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Guess {
    pub(super) quantity: Quantity,
    /// The higher of two columns for the same quantity is taken.
    pub(super) rank: u8,
    pub(super) unit: Option<Unit>,
    /// Of an altitude.
    pub(super) datum: AltitudeDatum,
    /// Of a time: the name says UTC.
    pub(super) is_utc: bool,
    /// Of a time: the name says local.
    pub(super) is_local: bool,
}

/// Names that are about something else than the aeroplane now.
const ELSEWHERE: [&str; 43] = [
    "target",
    "selected",
    "sel",
    "bug",
    "desired",
    "dtk",
    "wind",
    "wnd",
    "max",
    "maximum",
    "avg",
    "average",
    "mean",
    "limit",
    "total",
    "waypoint",
    "wpt",
    "wp",
    "dest",
    "destination",
    "atv",
    "next",
    "nav",
    "oil",
    "cht",
    "egt",
    "battery",
    "cabin",
    "fuel",
    "tank",
    "home",
    "takeoff",
    "cross",
    "xtk",
    "cdi",
    "error",
    "rate",
    "sigma",
    "variance",
    "status",
    "mode",
    "brg",
    "hal",
];

/// What a column holds, if its name is understood.
pub(super) fn guess(name: &str) -> Option<Guess> {
    let named = match name.trim().to_ascii_lowercase().as_str() {
        // Taken apart these would be north per second, and worse.
        "n/s" => Named::parse("ns"),
        "e/w" => Named::parse("ew"),
        _ => Named::parse(name),
    };
    let is_rate_of_climb = named.has(&["climb", "vertical", "descent"]) && named.has(&["rate"]);
    if named.has(&ELSEWHERE) && !is_rate_of_climb {
        return None;
    }
    let (quantity, rank) = if named.has(&["accuracy", "acc", "hacc", "epe", "eph", "hfom"]) {
        accuracy(&named)?
    } else {
        time(&named)
            .or_else(|| place(&named))
            .or_else(|| altitude(&named))
            .or_else(|| speed(&named))
            .or_else(|| aircraft(&named))?
    };
    if named.unit.is_some_and(|unit| !quantity.takes(unit)) {
        return None;
    }
    let datum = if named.has(&[
        "msl",
        "amsl",
        "asl",
        "hmsl",
        "orthometric",
        "egm96",
        "egm2008",
    ]) {
        AltitudeDatum::MeanSeaLevel
    } else if named.has(&["wgs", "wgs84", "ellipsoid", "ellipsoidal", "hae", "ell"]) {
        AltitudeDatum::Ellipsoid
    } else {
        AltitudeDatum::Unstated
    };
    Some(Guess {
        quantity,
        rank,
        unit: named.unit,
        datum,
        is_utc: named.has(&["utc", "gmt", "zulu", "z", "epoch", "unix"]),
        is_local: named.has(&["local", "lcl", "loc"]),
    })
}

type Found = Option<(Quantity, u8)>;

fn time(named: &Named) -> Found {
    if named.has(&[
        "tz",
        "timezone",
        "zone",
        "utcoffset",
        "utcofst",
        "gmtoffset",
        "tzoffset",
    ]) || (named.has(&["ofst", "offset"]) && named.has(&["utc", "time", "gmt"]))
    {
        return Some((Quantity::UtcOffset, 5));
    }
    let words = &named.words;
    let local = named.has(&["local", "lcl", "loc"]);
    let is_time = named.has(&[
        "time",
        "timestamp",
        "datetime",
        "utc",
        "epoch",
        "unix",
        "unixtime",
        "zulu",
        "gmt",
        "timeutc",
        "utctime",
        "clock",
        "elapsed",
    ]) || words.as_slice() == ["t"]
        || words.as_slice() == ["seconds"];
    if named.has(&["date"]) && !named.has(&["time", "datetime", "timestamp"]) {
        return Some((Quantity::Date, if local { 3 } else { 5 }));
    }
    if !is_time || named.has(&["fix"]) {
        return None;
    }
    let rank = if named.has(&["elapsed", "since", "relative", "uptime", "flight", "engine"])
        || words.as_slice() == ["t"]
    {
        2
    } else if local {
        4
    } else if named.has(&["utc", "epoch", "unix", "gmt", "zulu"]) {
        6
    } else {
        5
    };
    Some((Quantity::Time, rank))
}

fn accuracy(named: &Named) -> Found {
    let other = named.has(&[
        "vertical", "vert", "v", "alt", "altitude", "speed", "course", "bearing", "track",
        "heading", "time", "vacc",
    ]);
    (!other).then_some((
        Quantity::Accuracy,
        if named.has(&["horizontal", "h", "hacc"]) {
            6
        } else {
            5
        },
    ))
}

fn place(named: &Named) -> Found {
    let side = named.has(&["hemisphere", "hemi", "ns", "ew", "ref", "dir", "side"]);
    let words: Vec<&str> = named.words.iter().map(String::as_str).collect();
    if named.has(&["lat", "latitude", "gpslat", "latdeg"]) {
        return Some(if side {
            (Quantity::LatitudeSide, 5)
        } else {
            (Quantity::Latitude, 5)
        });
    }
    if named.has(&["lon", "long", "lng", "longitude", "gpslon", "londeg"]) {
        return Some(if side {
            (Quantity::LongitudeSide, 5)
        } else {
            (Quantity::Longitude, 5)
        });
    }
    match words.as_slice() {
        ["n", "s"] | ["ns"] => Some((Quantity::LatitudeSide, 4)),
        ["e", "w"] | ["ew"] => Some((Quantity::LongitudeSide, 4)),
        _ => None,
    }
}

fn altitude(named: &Named) -> Found {
    if !named.has(&[
        "alt",
        "altitude",
        "height",
        "elevation",
        "elev",
        "ele",
        "hgt",
        "hmsl",
        "altmsl",
        "altgps",
        "palt",
        "gpsalt",
    ]) {
        return None;
    }
    // Heights above something else, and altimeters with a setting of their own.
    if named.has(&[
        "agl",
        "ground",
        "relative",
        "rel",
        "radar",
        "radio",
        "ra",
        "terrain",
        "undulation",
        "separation",
        "density",
        "decision",
        "b",
        "ind",
        "indicated",
        "qnh",
        "qfe",
        "gear",
    ]) {
        return None;
    }
    if named.has(&[
        "press", "pressure", "std", "qne", "pa", "1013", "isa", "palt",
    ]) {
        return Some((Quantity::PressureAltitude, 6));
    }
    if named.has(&["baro", "barometric"]) {
        return Some((Quantity::PressureAltitude, 4));
    }
    let rank = if named.has(&["msl", "amsl", "asl", "hmsl", "altmsl"]) {
        7
    } else if named.has(&[
        "gps",
        "gnss",
        "wgs",
        "wgs84",
        "ellipsoid",
        "ellipsoidal",
        "hae",
        "altgps",
        "gpsalt",
    ]) {
        6
    } else {
        5
    };
    Some((Quantity::GnssAltitude, rank))
}

fn speed(named: &Named) -> Found {
    let is_speed = named.has(&["speed", "spd", "velocity", "vel"]);
    if named.has(&[
        "vs",
        "vspd",
        "vspeed",
        "vvi",
        "vsi",
        "climb",
        "vario",
        "roc",
        "vz",
        "climbrate",
    ]) || (named.has(&["vertical", "vert", "v", "up"]) && (is_speed || named.has(&["rate"])))
    {
        return Some((
            Quantity::VerticalSpeed,
            if named.has(&["gps", "gnss", "g", "inertial"]) {
                6
            } else {
                5
            },
        ));
    }
    let is_air = named.has(&["airspeed", "air"]);
    if named.has(&["tas"]) || (is_air && named.has(&["true"])) {
        return Some((Quantity::Tas, 6));
    }
    if named.has(&["ias"]) || (is_air && named.has(&["indicated", "ind"])) {
        return Some((Quantity::Ias, 6));
    }
    if named.has(&["cas", "calibrated"]) {
        return Some((Quantity::Ias, 5));
    }
    if named.has(&["airspeed"]) || (is_air && is_speed) {
        return Some((Quantity::Ias, 4));
    }
    if named.has(&["gs", "sog", "gndspd", "groundspeed", "gspd", "gspeed"])
        || (is_speed && named.has(&["ground", "gnd", "gps", "gnss"]))
    {
        return Some((Quantity::GroundSpeed, 6));
    }
    let other = [
        "engine", "eng", "prop", "fan", "rotor", "x", "y", "z", "n", "e", "d", "north", "east",
        "down",
    ];
    (is_speed && !named.has(&other)).then_some((Quantity::GroundSpeed, 5))
}

fn aircraft(named: &Named) -> Found {
    if named.has(&["trk", "track", "cog", "course", "bearing"])
        || (named.has(&["heading"]) && named.has(&["gps", "gnss", "motion"]))
    {
        if named.has(&[
            "number", "no", "id", "name", "seg", "segment", "point", "index", "type", "angle",
        ]) {
            return None;
        }
        let rank = if named.has(&["true"]) {
            7
        } else if named.has(&["mag", "magnetic", "bearing"]) {
            4
        } else {
            6
        };
        return Some((Quantity::Track, rank));
    }
    if named.has(&["rpm", "rpm1"]) && !named.has(&["prop", "fan", "rotor", "np", "ng"]) {
        return Some((
            Quantity::EngineRpm,
            if named.has(&["e2", "2", "right"]) {
                4
            } else {
                5
            },
        ));
    }
    if named.has(&["enl", "noise"]) {
        return Some((Quantity::EngineNoise, 5));
    }
    if named.has(&["flap", "flaps"]) {
        return Some((Quantity::Flap, 5));
    }
    let is_temperature = named.has(&["temp", "temperature"]);
    if named.has(&["oat"])
        || (is_temperature && named.has(&["outside", "ambient", "air", "outdoor"]))
    {
        return Some((Quantity::Oat, 6));
    }
    if named.has(&["sat"]) && named.unit.is_some() {
        return Some((Quantity::Oat, 5));
    }
    named.has(&["roll", "bank"]).then_some((Quantity::Bank, 5))
}

#[cfg(test)]
#[path = "guess_tests.rs"]
mod tests;
