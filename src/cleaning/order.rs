//! Time runs forward: fixes out of order, clocks set back, the same instant twice.

use super::plane::distance_m;
use crate::reading::{Fix, Notes};

/// Fixes written out of turn by no more than this are put in their place, s.
const DISORDER_S: f64 = 10.0;

/// Most stamps in a row that can be wrong by themselves.
const STRAY: usize = 3;

/// Stamps a stray one is off by, at least, s.
const STRAY_S: f64 = 10.0;

/// Stamps nearer than this are the same, s.
const SAME_S: f64 = 1e-4;

/// Sorts by time, after taking out stray stamps and the shorter part of a recording whose clock was set back.
pub(super) fn put_in_order(fixes: &mut Vec<Fix>, notes: &mut Notes) {
    if is_ordered(fixes) {
        return;
    }
    drop_stray_stamps(fixes, notes);
    if is_ordered(fixes) {
        return;
    }
    drop_conflicting_parts(fixes, notes);
    if !is_ordered(fixes) {
        let late = fixes
            .windows(2)
            .filter(|w| w[1].utc_s < w[0].utc_s)
            .map(|w| w[1].line)
            .collect::<Vec<_>>();
        for line in late {
            notes.remark(line, "fixes out of order, put in order of time");
        }
        // Stable: fixes of the same stamp stay in the order of the file.
        fixes.sort_by(|a, b| a.utc_s.total_cmp(&b.utc_s));
    }
}

fn is_ordered(fixes: &[Fix]) -> bool {
    fixes.windows(2).all(|w| w[0].utc_s <= w[1].utc_s)
}

/// Up to [`STRAY`] stamps that lie outside those before and behind, which agree with each other.
fn drop_stray_stamps(fixes: &mut Vec<Fix>, notes: &mut Notes) {
    // Agreeing stamps are no further apart than this.
    const CLOSE_S: f64 = 120.0;
    let mut keep = vec![true; fixes.len()];
    let mut before = 0;
    let mut at = 1;
    while at < fixes.len() {
        let before_s = fixes[before].utc_s;
        let step_s = fixes[at].utc_s - before_s;
        if (0.0..=STRAY_S).contains(&step_s) {
            before = at;
            at += 1;
            continue;
        }
        let back = (1..=STRAY).find(|n| {
            fixes.get(at + n).is_some_and(|behind| {
                let gap_s = behind.utc_s - before_s;
                let outside = fixes[at..at + n]
                    .iter()
                    .all(|f| f.utc_s < before_s - STRAY_S || f.utc_s > behind.utc_s + STRAY_S);
                (0.0..=CLOSE_S).contains(&gap_s) && outside
            })
        });
        if let Some(n) = back {
            keep[at..at + n].fill(false);
            at += n;
        }
        before = at;
        at += 1;
    }
    let mut flags = keep.into_iter();
    fixes.retain(|fix| {
        let stays = flags.next().unwrap_or(true);
        if !stays {
            notes.dropped(
                fix.line,
                "a time stamp that does not fit those before and behind",
            );
        }
        stays
    });
}

/// A stretch of the file in which time runs forward but for small disorder.
#[derive(Debug, Clone, Copy)]
struct Part {
    start: usize,
    end: usize,
    from_s: f64,
    to_s: f64,
}

impl Part {
    fn len(self) -> usize {
        self.end - self.start
    }

    fn overlap_s(self, other: Self) -> f64 {
        self.to_s.min(other.to_s) - self.from_s.max(other.from_s)
    }
}

/// Parts of the file that cover the same time cannot both be right, unless one repeats the other.
fn drop_conflicting_parts(fixes: &mut Vec<Fix>, notes: &mut Notes) {
    let mut parts = parts(fixes);
    if parts.len() < 2 {
        return;
    }
    parts.sort_by_key(|p| std::cmp::Reverse(p.len()));
    let mut kept: Vec<Part> = Vec::new();
    let mut drop = vec![None; fixes.len()];
    for part in parts {
        let conflict = kept.iter().find(|k| k.overlap_s(part) > 0.0);
        match conflict {
            None => kept.push(part),
            Some(held) if repeats(fixes, *held, part) => {
                drop[part.start..part.end].fill(Some(REPEATED));
            }
            Some(_) => drop[part.start..part.end].fill(Some(SET_BACK)),
        }
    }
    let mut flags = drop.into_iter();
    fixes.retain(|fix| {
        let reason = flags.next().flatten();
        if let Some(reason) = reason {
            notes.dropped(fix.line, reason);
        }
        reason.is_none()
    });
}

const REPEATED: &str = "a part of the recording that is in the file twice";
const SET_BACK: &str =
    "time steps back: the clock was set, or two recordings are mixed; the longer part was kept";

fn parts(fixes: &[Fix]) -> Vec<Part> {
    let mut parts: Vec<Part> = Vec::new();
    for (i, fix) in fixes.iter().enumerate() {
        match parts.last_mut() {
            Some(part) if fix.utc_s >= part.to_s - DISORDER_S => {
                part.end = i + 1;
                part.from_s = part.from_s.min(fix.utc_s);
                part.to_s = part.to_s.max(fix.utc_s);
            }
            _ => parts.push(Part {
                start: i,
                end: i + 1,
                from_s: fix.utc_s,
                to_s: fix.utc_s,
            }),
        }
    }
    parts
}

/// Does the shorter part hold the same fixes as the longer one, where they cover the same time?
fn repeats(fixes: &[Fix], longer: Part, shorter: Part) -> bool {
    let mut held: Vec<&Fix> = fixes[longer.start..longer.end].iter().collect();
    held.sort_by(|a, b| a.utc_s.total_cmp(&b.utc_s));
    let same = fixes[shorter.start..shorter.end]
        .iter()
        .filter(|fix| {
            let at = held.partition_point(|h| h.utc_s < fix.utc_s - SAME_S);
            held[at..]
                .iter()
                .take_while(|h| h.utc_s <= fix.utc_s + SAME_S)
                .any(|h| distance_m(h, fix) < 1.0)
        })
        .count();
    same * 10 >= shorter.len() * 9
}

/// What a note says of a second fix at an instant.
pub(super) const DUPLICATE: &str = "a second fix with the same time";

/// Keeps the first of fixes with the same stamp.
pub(super) fn drop_duplicates(fixes: &mut Vec<Fix>, notes: &mut Notes) {
    let mut last_s = f64::NEG_INFINITY;
    fixes.retain(|fix| {
        let is_new = fix.utc_s - last_s > SAME_S;
        if is_new {
            last_s = fix.utc_s;
        } else {
            notes.dropped(fix.line, DUPLICATE);
        }
        is_new
    });
}
