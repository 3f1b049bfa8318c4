//! Without an aim the runway used is told with the flag to accept it, and not taken.

use super::{debrief, folder};
use crate::cli::Folder;
use crate::cli::program::gpx;

#[test]
fn the_runway_landed_on_is_told_and_not_taken() {
    let folder = folder("landed");
    let (said, document) = debrief(&folder, "landed.igc", &[]);
    assert!(
        said.stderr.contains(
            "the recording landed on runway 36 of ZZAM: if that was the aim, add `--runway ZZAM/36` (`--runway ZZAM/36+500` for a mark 500 ft past the threshold); not applied on its own (an invented club"
        ),
        "{}",
        said.stderr
    );
    assert_eq!(document["reference"]["aim_source"], "touchdown");
    let (said, document) = debrief(&folder, "landed.igc", &["--runway", "ZZAM/36+500"]);
    assert_eq!(document["reference"]["aim_source"], "briefing");
    assert!(!said.stderr.contains("landed on runway"), "{}", said.stderr);
}

#[test]
fn a_go_around_tells_the_runway_it_was_lined_up_with() {
    let (said, document) = debrief(&folder("around"), "around.gpx", &[]);
    assert!(
        said.stderr.contains("the recording lined up with runway 30 of ZZRB and went around: if that was the aim, add `--runway ZZRB/30`"),
        "{}",
        said.stderr
    );
    assert_eq!(document["reference"]["aim_source"], "none");
}

#[test]
fn a_recording_of_no_runway_says_nothing_of_one() {
    let folder = Folder::new("aim-none")
        .with(
            "a.gpx",
            gpx((0..180).map(|s| (51.0 + 0.00028 * f64::from(s), 600.0, s))),
        )
        .with("club.txt", super::club());
    let (said, _) = debrief(&folder, "a.gpx", &[]);
    assert!(!said.stderr.contains("--runway"), "{}", said.stderr);
}
