//! Text that is safe inside XML and HTML.

/// `text` with markup characters as entities. Characters XML forbids, and the invisible ones that
/// turn the direction of writing, are left out.
pub fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\t' | '\n' | '\r' => out.push(' '),
            c if is_unprintable(c) => {}
            c => out.push(c),
        }
    }
    out
}

/// Control characters, non-characters and direction overrides.
pub fn is_unprintable(character: char) -> bool {
    character.is_control()
        || matches!(
            character,
            '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{fffe}' | '\u{ffff}'
        )
}

#[cfg(test)]
mod tests {
    use super::escape;

    #[test]
    fn markup_is_text_and_control_characters_are_dropped() {
        assert_eq!(
            escape("<script>\u{1}a&'\"\u{202e}"),
            "&lt;script&gt;a&amp;&#39;&quot;"
        );
    }
}
