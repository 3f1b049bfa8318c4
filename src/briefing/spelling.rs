//! The nearest known word, for "did you mean".

/// The known word nearest to a word that is not known, where one is near enough.
///
/// # Definition
/// Least number of letters put in, left out, changed or exchanged with their
/// neighbour, upper and lower case and `-` and `_` being equal; near enough is
/// a third of the longer word, and at least two letters. The first of equals wins.
///
/// # Example
/// ```
/// use stillprop::briefing::spelling::nearest;
/// let known = ["latitude_deg", "longitude_deg", "elevation_ft"];
/// assert_eq!(nearest("elevaton_ft", known), Some("elevation_ft"));
/// assert_eq!(nearest("colour", known), None);
/// ```
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    known
        .into_iter()
        .map(|candidate| (distance(word, candidate), candidate))
        .filter(|(distance, candidate)| {
            let longer = word.chars().count().max(candidate.chars().count());
            *distance <= (longer / 3).max(2) && *distance < longer
        })
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}

/// The known key that a word is short for, where it is one only.
///
/// # Definition
/// Each part of the word, between `_`, is the start of a part of the key, in
/// order and from the first on; the first with at least three letters.
///
/// # Example
/// ```
/// use stillprop::briefing::spelling::abbreviated;
/// let known = ["latitude_deg", "longitude_deg", "wind_kt", "wind_from_deg_true"];
/// assert_eq!(abbreviated("lat", known), Some("latitude_deg"));
/// assert_eq!(abbreviated("lon_deg", known), Some("longitude_deg"));
/// assert_eq!(abbreviated("wind", known), None);
/// ```
pub fn abbreviated<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word = word.to_ascii_lowercase().replace('-', "_");
    let first = word.split('_').next().unwrap_or("");
    if first.chars().count() < 3 {
        return None;
    }
    let is_short_for = |key: &str| {
        let mut parts = key.split('_');
        key.starts_with(first)
            && word
                .split('_')
                .all(|short| parts.by_ref().any(|part| part.starts_with(short)))
    };
    let mut found = known.into_iter().filter(|key| is_short_for(key));
    let only = found.next()?;
    found.next().is_none().then_some(only)
}

/// Optimal string alignment distance of two words: letters put in, left out, changed or exchanged.
pub fn distance(one: &str, other: &str) -> usize {
    // Nobody mistypes a key of a hundred letters: this bounds the work.
    const LONGEST: usize = 100;
    let letters = |word: &str| -> Vec<char> {
        word.chars()
            .take(LONGEST)
            .map(|c| {
                if c == '-' {
                    '_'
                } else {
                    c.to_ascii_lowercase()
                }
            })
            .collect()
    };
    let (one, other) = (letters(one), letters(other));
    let mut before_last: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=other.len()).collect();
    for i in 1..=one.len() {
        let mut row = vec![i];
        for j in 1..=other.len() {
            let change = last[j - 1] + usize::from(one[i - 1] != other[j - 1]);
            let mut least = change.min(last[j] + 1).min(row[j - 1] + 1);
            if i > 1 && j > 1 && one[i - 1] == other[j - 2] && one[i - 2] == other[j - 1] {
                least = least.min(before_last[j - 2] + 1);
            }
            row.push(least);
        }
        before_last = std::mem::replace(&mut last, row);
    }
    last[other.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn distances_by_hand() {
        for (one, other, expected) in [
            ("", "", 0),
            ("qnh", "", 3),
            ("qnh", "qnh", 0),
            ("qnh", "qhn", 1),
            ("wind-kt", "Wind_kt", 0),
            ("kitten", "sitting", 3),
            ("höhe", "hohe", 1),
        ] {
            assert_eq!(distance(one, other), expected, "{one} {other}");
            assert_eq!(distance(other, one), expected, "{other} {one}");
        }
    }

    #[test]
    fn short_words_stand_for_one_key_only() {
        let known = [
            "latitude_deg",
            "weight_lb",
            "reference_weight_lb",
            "stall_clean_kcas",
            "stall_landing_kcas",
        ];
        for (word, expected) in [
            ("Lat-deg", Some("latitude_deg")),
            ("weight", Some("weight_lb")),
            ("ref_lb", Some("reference_weight_lb")),
            ("stall_land", Some("stall_landing_kcas")),
            ("stall", None),
            ("la", None),
            ("lat_ft", None),
            ("", None),
        ] {
            assert_eq!(abbreviated(word, known), expected, "{word}");
        }
    }

    #[test]
    fn nothing_is_near_a_strange_word() {
        assert_eq!(nearest("x", ["aim", "air"]), None);
        assert_eq!(nearest("", ["aim"]), None);
        assert_eq!(nearest("ari", ["aim", "air"]), Some("air"));
    }
}
