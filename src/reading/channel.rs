//! The optional channels of a fix: their names, their ranges, and their bits in a set.

use super::Fix;

/// One optional channel of a fix.
pub(crate) type Channel = fn(&mut Fix) -> &mut Option<f32>;

/// A channel with the words a note uses for it and the range in which a value can be true.
pub(crate) struct ChannelRule {
    /// What a note calls it.
    pub(crate) name: &'static str,
    /// Where it is in the fix.
    pub(crate) of: Channel,
    /// Least value believed, in the unit of the field.
    pub(crate) least: f32,
    /// Greatest value believed, in the unit of the field.
    pub(crate) most: f32,
}

/// Every channel, in the order of the bits of a set of channels.
pub(crate) const CHANNELS: [ChannelRule; 13] = [
    ChannelRule {
        name: "GNSS altitude",
        of: |f| &mut f.gnss_altitude_m,
        least: -1000.0,
        most: 60_000.0,
    },
    ChannelRule {
        name: "pressure altitude",
        of: |f| &mut f.pressure_altitude_m,
        least: -2000.0,
        most: 60_000.0,
    },
    ChannelRule {
        name: "ground speed",
        of: |f| &mut f.ground_speed_mps,
        least: 0.0,
        most: 1000.0,
    },
    ChannelRule {
        name: "track direction",
        of: |f| &mut f.track_deg_true,
        least: 0.0,
        most: 360.0,
    },
    ChannelRule {
        name: "vertical speed",
        of: |f| &mut f.vertical_speed_mps,
        least: -300.0,
        most: 300.0,
    },
    ChannelRule {
        name: "true airspeed",
        of: |f| &mut f.tas_mps,
        least: 0.0,
        most: 1000.0,
    },
    ChannelRule {
        name: "indicated airspeed",
        of: |f| &mut f.ias_mps,
        least: 0.0,
        most: 1000.0,
    },
    ChannelRule {
        name: "engine speed",
        of: |f| &mut f.engine_rpm,
        least: 0.0,
        most: 100_000.0,
    },
    ChannelRule {
        name: "engine noise",
        of: |f| &mut f.engine_noise,
        least: 0.0,
        most: 999.0,
    },
    ChannelRule {
        name: "flap",
        of: |f| &mut f.flap_deg,
        least: -90.0,
        most: 90.0,
    },
    ChannelRule {
        name: "outside air temperature",
        of: |f| &mut f.oat_c,
        least: -100.0,
        most: 70.0,
    },
    ChannelRule {
        name: "bank",
        of: |f| &mut f.bank_deg,
        least: -180.0,
        most: 180.0,
    },
    ChannelRule {
        name: "horizontal accuracy",
        of: |f| &mut f.accuracy_m,
        least: 0.0,
        most: 1e6,
    },
];

/// One bound of all channels.
const fn bounds(most: bool) -> [f32; CHANNELS.len()] {
    let mut bounds = [0.0; CHANNELS.len()];
    let mut at = 0;
    while at < bounds.len() {
        bounds[at] = if most {
            CHANNELS[at].most
        } else {
            CHANNELS[at].least
        };
        at += 1;
    }
    bounds
}

/// Least values believed, in the order of [`CHANNELS`].
const LEAST: [f32; CHANNELS.len()] = bounds(false);

/// Greatest values believed, in the order of [`CHANNELS`].
const MOST: [f32; CHANNELS.len()] = bounds(true);

/// The bits of both altitudes in a set of channels.
pub(crate) const ALTITUDES: u16 = 0b11;

/// The bit of ground speed in a set of channels.
pub(crate) const GROUND_SPEED: u16 = 1 << 2;

/// The bit of track direction in a set of channels.
pub(crate) const TRACK: u16 = 1 << 3;

/// The bit of true airspeed in a set of channels.
pub(crate) const TAS: u16 = 1 << 5;

/// The bit of indicated airspeed in a set of channels.
pub(crate) const IAS: u16 = 1 << 6;

/// The bit of engine noise in a set of channels.
pub(crate) const ENGINE_NOISE: u16 = 1 << 8;

/// Sets of channels of one fix, one bit each as in [`CHANNELS`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Stock {
    /// Those it has.
    pub(crate) present: u16,
    /// Those with a value that can be true.
    pub(crate) inside: u16,
    /// Those that are exactly zero.
    pub(crate) zero: u16,
}

impl Fix {
    /// Takes out the values that no sensor can have meant; whether there were any.
    pub(crate) fn leave_out_impossible(&mut self) -> bool {
        let Stock {
            present, inside, ..
        } = stock(self);
        let impossible = present & !inside;
        for (bit, channel) in CHANNELS.iter().enumerate() {
            if impossible & (1 << bit) != 0 {
                *(channel.of)(self) = None;
            }
        }
        impossible != 0
    }
}

/// Goes through the channels of a fix.
#[inline]
pub(crate) fn stock(fix: &Fix) -> Stock {
    let mut stock = Stock::default();
    // No loop and few branches: this runs for every channel of every fix.
    let mut take = |bit: usize, value: Option<f32>| {
        if let Some(value) = value {
            let is_inside = value >= LEAST[bit] && value <= MOST[bit];
            stock.present |= 1 << bit;
            stock.inside |= u16::from(is_inside) << bit;
            stock.zero |= u16::from(value == 0.0) << bit;
        }
    };
    take(0, fix.gnss_altitude_m);
    take(1, fix.pressure_altitude_m);
    take(2, fix.ground_speed_mps);
    take(3, fix.track_deg_true);
    take(4, fix.vertical_speed_mps);
    take(5, fix.tas_mps);
    take(6, fix.ias_mps);
    take(7, fix.engine_rpm);
    take(8, fix.engine_noise);
    take(9, fix.flap_deg);
    take(10, fix.oat_c);
    take(11, fix.bank_deg);
    take(12, fix.accuracy_m);
    stock
}
