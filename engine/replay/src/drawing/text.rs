//! How wide text is, and where it breaks.

/// Width of a text, by a bound for sans-serif letters: 0.6 of their size each, which holds for words in small
/// letters and tags of the usual fonts (own choice, looked at).
pub fn width(text: &str, size: f64) -> f64 {
    0.6 * size * text.chars().count() as f64
}

/// Breaks a text into lines of about so many letters, whole words each; the last of `most` ends with dots
/// when something is left.
pub fn wrapped(text: &str, letters: usize, most: usize) -> Vec<String> {
    let mut lines: Vec<String> = vec![];
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= letters => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    if lines.len() > most {
        lines.truncate(most);
        if let Some(last) = lines.last_mut() {
            last.push_str(" …");
        }
    }
    lines
}

/// A text in SVG.
pub fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_breaks_between_words() {
        assert_eq!(wrapped("main sea-water pump", 14, 3), ["main sea-water", "pump"]);
        assert_eq!(wrapped("a b c d", 1, 2), ["a", "b …"]);
        assert!(wrapped("", 10, 3).is_empty());
    }
}
