//! What the reader of briefings takes and refuses.

use super::super::error::Place;
use super::super::limits;
use super::*;
use proptest::prelude::*;

const COMPLETE: &str = r#"
[aim]
name = "Larkfield strip, 09"
latitude_deg = 51.0
longitude_deg = -2.0
elevation_ft = 310
landing_true_deg = 92.0
[air]
metar = "ZZZZ 031020Z 12009KT 9999 FEW035 14/08 Q1018"
qnh_hpa = 1018.0
temperature_c = 14.0
wind_from_deg_true = 120.0
wind_kt = 9.0
[aircraft]
registration = "Trainer 3"
type = "trainer, 160 hp"
best_glide_kcas = 71.0
reference_weight_lb = 2400.0
weight_lb = 2180.0
glide_ratio = 9.4
full_flap_glide_ratio = 5.0
approach_kcas = 63.0
stall_clean_kcas = 52.0
stall_landing_kcas = 47.0
[targets]
abeam_height_ft = 1000.0
bank_limit_deg = 30.0
glide_kcas = 68.0
[people]
pilot = "P-07"
instructor = "I-02"
[[event]]
utc = "2026-05-03T10:21:40Z"
what = "flap 10"
[[event]]
utc = 2026-05-03T10:22:10.5+00:00
what = "flap 20"
[[field]]
name = "Long meadow"
latitude_deg = 51.02
longitude_deg = -2.03
elevation_ft = 290.0
landing_true_deg = 250.0
"#;

/// Keys of `[aim]` that stand in place of others.
const ANOTHER_WAY: [&str; 4] = [
    "airfield",
    "runway",
    "past_threshold_ft",
    "landing_magnetic_deg",
];

fn error_of(text: &str) -> String {
    parse(text, "f.toml").unwrap_err().to_string()
}

/// First line and help of the first problem.
fn gist(text: &str) -> (String, Option<String>) {
    let error = parse(text, "f.toml").unwrap_err();
    let whole = error.problems[0].to_string();
    (
        whole.lines().next().unwrap().to_owned(),
        error.problems[0].help.clone(),
    )
}

#[test]
fn reads_every_key() {
    let briefing = parse(COMPLETE, "f.toml").unwrap();
    assert_eq!(briefing.aim.elevation_ft, Some(310.0));
    assert_eq!(briefing.aim.name.as_deref(), Some("Larkfield strip, 09"));
    assert_eq!(briefing.aircraft.stall_landing_kcas, Some(47.0));
    assert_eq!(briefing.people.instructor.as_deref(), Some("I-02"));
    assert_eq!(briefing.events.len(), 2);
    assert_eq!(
        briefing.events[1].utc_s().unwrap() - briefing.events[0].utc_s().unwrap(),
        30.5
    );
    // Nothing was left at its default: every known key is read into its field.
    for (section, keys) in KEYS {
        for key in *keys {
            if *section == "aim" && ANOTHER_WAY.contains(key) {
                continue;
            }
            assert!(
                COMPLETE.contains(&format!("\n{key} = ")),
                "{section}.{key} is not in the example"
            );
        }
    }
    let mut known = briefing.clone();
    let other = "[aim]\nairfield = \"ZZLA\"\nrunway = \"09\"\npast_threshold_ft = 500\nlanding_magnetic_deg = 90";
    let other = parse(other, "f.toml").unwrap().aim;
    known.aim.runway = other.runway;
    known.aim.landing_magnetic_deg = other.landing_magnetic_deg;
    assert!(!format!("{known:?}").contains("None"), "{known:?}");
}

#[test]
fn every_number_has_a_limit() {
    for limit in limits::LIMITS {
        let (section, key) = limit.key.split_once('.').unwrap();
        let keys = KEYS.iter().find(|(name, _)| *name == section).unwrap().1;
        assert!(keys.contains(&key), "{}", limit.key);
        let table = match section {
            "field" => "[[field]]\nname = \"x\"\nlatitude_deg = 1\nlongitude_deg = 1\n"
                .replacen(key, "#", 1),
            _ => format!("[{section}]\n"),
        };
        let (first, _) = gist(&format!("{table}{key} = \"x\""));
        let expected = if key.contains("itude_deg") {
            "decimal degrees"
        } else {
            "a number"
        };
        assert!(first.contains(expected), "{first}");
    }
}

#[test]
fn nothing_is_an_empty_briefing() {
    for text in [
        "",
        "\u{feff}",
        "# nothing yet\r\n",
        "[aim]\r\nname = \"\"\r\n",
    ] {
        assert_eq!(parse(text, "f.toml"), Ok(Briefing::default()));
    }
}

#[test]
fn unknown_keys_name_the_nearest() {
    for (text, first, help) in [
        (
            "[aim]\nelevaton_ft = 310",
            "f.toml:2:1: unknown key `elevaton_ft` in `[aim]`",
            "did you mean `elevation_ft`?",
        ),
        (
            "[aim]\nelevation_m = 310",
            "f.toml:2:1: unknown key `elevation_m` in `[aim]`",
            "did you mean `elevation_ft`?",
        ),
        (
            "[aim]\nlattitude_deg = 51\nlongitude_deg = 2",
            "f.toml:2:1: unknown key `lattitude_deg` in `[aim]`",
            "did you mean `latitude_deg`?",
        ),
        (
            "[aim]\nlatitude = 51\nlongitude_deg = 2",
            "f.toml:2:1: unknown key `latitude` in `[aim]`",
            "did you mean `latitude_deg`?",
        ),
        (
            "[aim]\nLatitude_Deg = 51\nlongitude_deg = 2",
            "f.toml:2:1: unknown key `Latitude_Deg` in `[aim]`",
            "did you mean `latitude_deg`?",
        ),
        (
            "[aim]\nlat = 51\nlongitude_deg = 2",
            "f.toml:2:1: unknown key `lat` in `[aim]`",
            "did you mean `latitude_deg`?",
        ),
        (
            "[aim]\nlat_deg = 51\nlongitude_deg = 2",
            "f.toml:2:1: unknown key `lat_deg` in `[aim]`",
            "did you mean `latitude_deg`?",
        ),
        (
            "[aim]\naltitude_deg = 51\nlongitude_deg = 2",
            "f.toml:2:1: unknown key `altitude_deg` in `[aim]`",
            "did you mean `latitude_deg`?",
        ),
        (
            "[aim]\nlongtitude_deg = 51\nlatitude_deg = 2",
            "f.toml:2:1: unknown key `longtitude_deg` in `[aim]`",
            "did you mean `longitude_deg`?",
        ),
        (
            "[aim]\nlon = 51\nlatitude_deg = 2",
            "f.toml:2:1: unknown key `lon` in `[aim]`",
            "did you mean `longitude_deg`?",
        ),
        (
            "[aim]\naltitude_ft = 310",
            "f.toml:2:1: unknown key `altitude_ft` in `[aim]`",
            "did you mean `elevation_ft`?",
        ),
        (
            "[aim]\nelev_ft = 310",
            "f.toml:2:1: unknown key `elev_ft` in `[aim]`",
            "did you mean `elevation_ft`?",
        ),
        (
            "[aim]\nheading = 92",
            "f.toml:2:1: unknown key `heading` in `[aim]`",
            "did you mean `landing_true_deg`?",
        ),
        (
            "[air]\nqnh = 1018",
            "f.toml:2:1: unknown key `qnh` in `[air]`",
            "did you mean `qnh_hpa`?",
        ),
        (
            "[air]\ntemp = 9",
            "f.toml:2:1: unknown key `temp` in `[air]`",
            "did you mean `temperature_c`?",
        ),
        (
            "[aim]\nqnh_hpa = 1018",
            "f.toml:2:1: unknown key `qnh_hpa` in `[aim]`",
            "`qnh_hpa` belongs below `[air]`",
        ),
        (
            "[targets]\ncolour = 1",
            "f.toml:2:1: unknown key `colour` in `[targets]`",
            "`[targets]` has `abeam_height_ft`, `bank_limit_deg`, `glide_kcas`",
        ),
        (
            "[aircrft]\nx = 1",
            "f.toml:1:2: unknown table `aircrft` in a briefing",
            "did you mean `[aircraft]`?",
        ),
        (
            "qnh_hpa = 1018",
            "f.toml:1:1: unknown key `qnh_hpa` at the top of the file",
            "did you mean `qnh_hpa`, below `[air]`?",
        ),
        (
            "[[event]]\nutc = 2026-05-03T10:21:40Z\nwhat = \"x\"\nwho = \"y\"",
            "f.toml:4:1: unknown key `who` in `[event]`",
            "did you mean `what`?",
        ),
    ] {
        assert_eq!(gist(text), (first.to_owned(), Some(help.to_owned())));
    }
}

#[test]
fn a_misspelt_key_is_one_problem() {
    // not another one that the key it was meant for is missing
    for text in [
        "[aim]\nlattitude_deg = 51\nlongitude_deg = 2",
        "[aim]\nlatitude_deg = 51\nlon = 2",
        "[[field]]\nname = \"Stubble\"\nlattitude_deg = 51\nlongitude_deg = 2",
    ] {
        let problems = parse(text, "f.toml").unwrap_err().problems;
        assert_eq!(problems.len(), 1, "{problems:?}");
    }
    let two = parse("[aim]\ncolour = 51\nlongitude_deg = 2", "f.toml").unwrap_err();
    assert_eq!(two.problems.len(), 2);
}

#[test]
fn wrong_types_name_both() {
    for (text, first, help) in [
        (
            "[aim]\nelevation_ft = \"310 ft\"",
            "f.toml:2:16: expected `elevation_ft` as a number, ft, found text `\"310 ft\"`",
            Some("write elevation_ft = 310"),
        ),
        (
            "[aim]\nname = 9",
            "f.toml:2:8: expected `name` as text between quotes, found the number `9`",
            Some("write name = \"9\""),
        ),
        (
            "[air]\nqnh_hpa = true",
            "f.toml:2:11: expected `qnh_hpa` as a number, hPa, found true or false, `true`",
            None,
        ),
        (
            "aim = 3",
            "f.toml:1:7: expected `aim` as a table, `[aim]`, with keys below it, found the number",
            None,
        ),
        (
            "[event]\nutc = \"\"",
            "f.toml:1:1: expected `event` as a list of tables, `[[event]]`, found a table",
            Some("write `[[event]]`, with two brackets, above the keys of each event"),
        ),
    ] {
        assert_eq!(gist(text), (first.to_owned(), help.map(str::to_owned)));
    }
}

#[test]
fn values_out_of_range_say_what_is_likely_meant() {
    for (text, first, help) in [
        (
            "[air]\nqnh_hpa = 29.92",
            "f.toml:2:11: expected `qnh_hpa` from 870 to 1085 hPa, found `29.92`",
            Some("likely inches of mercury: 1013.2 hPa"),
        ),
        (
            "[aim]\nlatitude_deg = 910\nlongitude_deg = 1",
            "f.toml:2:16: expected `latitude_deg` from -90 to 90 degrees, found `910`",
            Some("if it is degrees and minutes, write decimal degrees: 9.166667"),
        ),
        (
            "[aim]\nlanding_true_deg = 400",
            "f.toml:2:20: expected `landing_true_deg` from 0 to 360 degrees true, found `400`",
            None,
        ),
        (
            "[aim]\nelevation_ft = nan",
            "f.toml:2:16: expected `elevation_ft` from -1500 to 16000 ft, found `nan`",
            None,
        ),
    ] {
        assert_eq!(gist(text), (first.to_owned(), help.map(str::to_owned)));
    }
}

#[test]
fn contradictions_are_found() {
    for (text, first, help) in [
        (
            "[aim]\nlatitude_deg = 51",
            "f.toml:2:16: `latitude_deg` without `longitude_deg`",
            None,
        ),
        (
            "[aim]\nlatitude_deg = 0\nlongitude_deg = 0.0",
            "f.toml:2:16: the aim point is at latitude 0, longitude 0, in the open sea",
            Some("leave both keys out where they are not known"),
        ),
        (
            "[air]\nwind_from_deg_true = 90",
            "f.toml:2:22: `wind_from_deg_true` without `wind_kt`",
            None,
        ),
        (
            "[aircraft]\nreference_weight_lb = 2400\nweight_lb = 990",
            "f.toml:3:13: a weight of 990 lb does not go with a reference weight of 2400 lb",
            Some("if `weight_lb` is in kilograms, it is 2183 lb"),
        ),
        (
            "[aircraft]\nstall_clean_kcas = 47\nstall_landing_kcas = 52",
            "f.toml:3:22: `stall_landing_kcas` of 52 kt is above `stall_clean_kcas` of 47 kt",
            Some("likely exchanged"),
        ),
        (
            "[aircraft]\nstall_clean_kcas = 47\n[targets]\nglide_kcas = 40",
            "f.toml:4:14: `glide_kcas` of 40 kt is below `stall_clean_kcas` of 47 kt",
            None,
        ),
    ] {
        assert_eq!(gist(text), (first.to_owned(), help.map(str::to_owned)));
    }
    assert!(
        parse(
            "[air]\nmetar = \"12009KT\"\nwind_from_deg_true = 90",
            "f.toml"
        )
        .is_ok()
    );
}

#[test]
fn times_must_be_instants() {
    for (utc, help) in [
        (
            "\"2026-05-03T10:21:40\"",
            Some("say which time it is: `2026-05-03T10:21:40Z` if it is UTC"),
        ),
        (
            "2026-05-03T10:21:40",
            Some("say which time it is: `2026-05-03T10:21:40Z` if it is UTC"),
        ),
        ("\"10:21:40\"", Some("put the date in front")),
        ("\"2026-13-03T10:21:40Z\"", None),
        ("\"\"", None),
    ] {
        let (first, found_help) = gist(&format!("[[event]]\nutc = {utc}\nwhat = \"flap 10\""));
        assert!(
            first.starts_with(
                "f.toml:2:7: expected `utc` as a time such as 2026-05-03T10:21:40Z, found "
            ),
            "{first}"
        );
        assert_eq!(found_help.as_deref(), help, "{utc}");
    }
    let (first, _) = gist("[[event]]\nwhat = \"flap 10\"");
    assert_eq!(first, "f.toml:1:1: `[[event]]` without `utc`");
}

#[test]
fn a_metar_points_at_its_group() {
    assert_eq!(
        error_of("[air]\nmetar = \"zzzz 241020z 27o12kt Q1003\""),
        "\
f.toml:2:23: METAR: expected wind as direction and speed, such as 27012KT, 27012G22KT, VRB03KT or 04005MPS, found `27O12KT`
  |
2 | metar = \"zzzz 241020z 27o12kt Q1003\"
  |                       ^^^^^^^
help: correct the group, or leave the METAR out and give the keys beside it"
    );
}

#[test]
fn text_that_is_not_toml_is_pointed_at() {
    let (first, help) = gist("[aim]\nelevation_ft = 310,5");
    assert!(
        first.starts_with("f.toml:2:") && first.contains("not readable as TOML"),
        "{first}"
    );
    assert_eq!(
        help.as_deref(),
        Some("write decimals with a point, not a comma")
    );
    let (_, help) = gist("[aim]\nname = Larkfield");
    assert_eq!(help.as_deref(), Some("text stands between quotes: \"…\""));
    let (_, help) = gist("[aim]\nelevation_ft = 310 ft");
    assert_eq!(
        help.as_deref(),
        Some("write the number alone: its unit is in the name of the key")
    );
    let (_, help) = gist("[aim]\nname: \"Larkfield\"");
    assert_eq!(help.as_deref(), Some("write `name = …`"));
    let (first, _) = gist("[aim]\nname = \"a\"\nname = \"b\"");
    assert!(
        first.starts_with("f.toml:3:1: not readable as TOML: duplicate key"),
        "{first}"
    );
}

#[test]
fn all_problems_are_reported_in_file_order() {
    let error = parse(
        "[air]\nwind_kt = 500\nqnh = 3\n[aim]\nlanding_true_deg = 400\n",
        "f.toml",
    )
    .unwrap_err();
    let lines: Vec<_> = error
        .problems
        .iter()
        .map(|problem| match &problem.place {
            Place::File { line, .. } => *line,
            Place::Named(_) => 0,
        })
        .collect();
    assert_eq!(lines, [2, 3, 5]);
}

#[test]
fn columns_count_characters() {
    let error = error_of("[aim]\n\"é\" = 1 # Höhe");
    assert!(error.contains("\n2 | \"é\" = 1 # Höhe\n"), "{error}");
    assert!(error.starts_with("f.toml:2:1: "), "{error}");
}

proptest! {
    #[test]
    fn never_panics(text in "(\\[{1,2}(aim|air|event)\\]{1,2}\n|(utc|metar|name|qnh_hpa|é) ?= ?|[-0-9.TZ:\"'{},\n é]{0,6}){0,12}") {
        let _ = parse(&text, "f.toml").map_err(|error| error.to_string());
    }
}

#[test]
fn the_speed_to_hold_is_the_printed_one_unless_another_is_briefed() {
    let printed = "[aircraft]\nbest_glide_kcas = 71\nreference_weight_lb = 2400\nweight_lb = 2180";
    let held = |text: &str| parse(text, "f.toml").unwrap().glide_to_hold_kcas();
    assert_eq!(held(printed), Some(71.0));
    assert_eq!(
        held(&format!("{printed}\n[targets]\nglide_kcas = 68")),
        Some(68.0)
    );
    assert_eq!(held("[targets]\nglide_kcas = 68"), Some(68.0));
    assert_eq!(held(""), None);
}
