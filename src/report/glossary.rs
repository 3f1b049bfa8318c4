//! The words of the reports that are not every pilot's, each in a sentence.

/// A word and what it means here. The README has the same.
pub const WORDS: [(&str, &str); 14] = [
    (
        "95 % interval",
        "It is meant to hold the true value 19 times in 20. A wide one is not a bad landing but a recorder that cannot tell.",
    ),
    (
        "Can\u{2019}t tell",
        "Measured, but the interval is too wide to use.",
    ),
    (
        "Power reduction",
        "The moment the power came off for the practice; times are counted from it.",
    ),
    (
        "Best glide reached",
        "From where CAS comes within 5 kt of best glide as the handbook prints it (or as briefed) and stays there for 5 s; it may be lost again after. In words only where it took longer than 15 s.",
    ),
    (
        "Steady glide",
        "From best glide reached until on final, or until flap if that comes first; the figures of the glide are taken from it. Where best glide was never reached, or too late, it begins 15 s after the power reduction.",
    ),
    (
        "Glide within tolerance",
        "Share of the steady glide with CAS within the tolerance of the standard, or within 10 kt of best glide where none is named: what a published tolerance is judged by. Best glide is reached at 5 kt, whatever the tolerance.",
    ),
    (
        "CAS",
        "Calibrated airspeed: estimated from the way over the ground and the wind, unless the recorder has an airspeed column.",
    ),
    (
        "Sink through the air",
        "Descent rate with the height traded for speed taken out: what the aeroplane itself costs in height.",
    ),
    (
        "Abeam",
        "Where the aim passes the wing on the downwind leg.",
    ),
    (
        "On final",
        "Where the last turn ends, lined up with the landing direction.",
    ),
    (
        "Height in hand",
        "Height now, less the least from which the aim can still be reached from here at best glide, with this wind and the turns that remain. Below zero is out of reach.",
    ),
    (
        "Projected, last of the glide",
        "After a go-around: where the touchdown would have been, from the last of the glide.",
    ),
    (
        "Projected, judged at 500 ft",
        "Where the touchdown would be, judged at 500 ft above the aim, whatever was done after.",
    ),
    (
        "Stall margin",
        "CAS over the stalling CAS at the bank of the moment; 1 is the stall.",
    ),
];
