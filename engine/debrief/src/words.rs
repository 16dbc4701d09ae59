//! Times, numbers and outcomes as people read them, the same everywhere.

use base::Tick;
use base::record::Layer;
use base::tick::TICKS_PER_SECOND;
use marking::Outcome;

/// A moment as minutes and seconds from the start of the run: `03:07`, `72:05`.
pub fn clock(tick: Tick) -> String {
    let s = tick.0 / TICKS_PER_SECOND;
    format!("{:02}:{:02}", s / 60, s % 60)
}

/// A length of time: `42 s`, `3 min 05 s`.
pub fn lasting(ticks: u32) -> String {
    let s = (ticks + TICKS_PER_SECOND / 2) / TICKS_PER_SECOND;
    if s < 60 { format!("{s} s") } else { format!("{} min {:02} s", s / 60, s % 60) }
}

/// A number with so many decimals; a rounded minus zero is a zero, and what is no number is told so.
pub fn number(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return "no value".to_owned();
    }
    let text = format!("{value:.decimals$}");
    let digits = text.trim_start_matches('-');
    if digits.chars().all(|c| c == '0' || c == '.') { digits.to_owned() } else { text }
}

/// Decimals that people want to see in this unit.
pub fn decimals(unit: &str) -> usize {
    base::units::unit(unit).map_or(2, |u| u.decimals)
}

/// A unit as it is printed; empty for plain numbers.
pub fn unit_sign(unit: &str) -> &str {
    match unit {
        "degC" => "°C",
        "none" => "",
        "m3/h" => "m³/h",
        "m3/s" => "m³/s",
        "m3" => "m³",
        other => other,
    }
}

/// How an item came out: the word, its sign, and the class it has in the style sheet.
pub fn outcome(outcome: Outcome) -> (&'static str, &'static str, &'static str) {
    match outcome {
        Outcome::Full => ("all marks", "✓", "full"),
        Outcome::Part => ("some marks", "◐", "part"),
        Outcome::Nothing => ("no marks", "✗", "nothing"),
        Outcome::NotAssessed => ("not assessed", "–", "unassessed"),
    }
}

/// Where a fault acts, in words.
pub fn acts(layer: Layer) -> &'static str {
    match layer {
        Layer::Actual => "in the plant itself",
        Layer::Signal => "in the transmitter or switch",
        Layer::Shown => "on the panel only",
    }
}

/// `1 mark`, `2.5 marks`.
pub fn marks(marks: base::sheet::Marks) -> String {
    if marks.0 == 100 { "1 mark".to_owned() } else { format!("{marks} marks") }
}

/// A sentence with a capital at its front and a full stop at its end. A name of a file or a tag at its front
/// stays as it is.
pub fn sentence(text: &str) -> String {
    let text = text.trim();
    let mut chars = text.chars();
    let Some(first) = chars.next() else {
        return String::new();
    };
    let word = text.split_whitespace().next().unwrap_or_default().trim_end_matches(['.', ':', ',', ';']);
    let a_name = word.contains(['.', '/']) || word.contains(|c: char| c.is_ascii_digit());
    let mut out: String = if a_name { first.into() } else { first.to_uppercase().collect() };
    out.push_str(chars.as_str());
    if !out.ends_with(['.', '!', '?', ':', '…']) {
        out.push('.');
    }
    out
}

/// Paragraphs of a text: a blank line divides them, other ends of lines are only where the text was wrapped.
pub fn paragraphs(text: &str) -> Vec<String> {
    let mut out = vec![String::new()];
    for line in text.lines().map(str::trim) {
        let last = out.last_mut().expect("there is always one");
        match (line.is_empty(), last.is_empty()) {
            (true, true) => {}
            (true, false) => out.push(String::new()),
            (false, true) => last.push_str(line),
            (false, false) => {
                last.push(' ');
                last.push_str(line);
            }
        }
    }
    out.retain(|p| !p.is_empty());
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_read_as_minutes_and_seconds() {
        assert_eq!(clock(Tick(1879)), "03:07");
        assert_eq!(clock(Tick(43_250)), "72:05");
        assert_eq!(lasting(424), "42 s");
        assert_eq!(lasting(1850), "3 min 05 s");
        assert_eq!(lasting(599), "1 min 00 s");
    }

    #[test]
    fn numbers_do_not_show_a_minus_zero_or_hide_a_nan() {
        assert_eq!(number(-0.001, 1), "0.0");
        assert_eq!(number(-0.06, 1), "-0.1");
        assert_eq!(number(f64::NAN, 1), "no value");
    }

    #[test]
    fn a_wrapped_text_is_one_paragraph() {
        assert_eq!(
            paragraphs("\n The boiler\n  is cold.\n\n \nRaise\r\nsteam.\n"),
            ["The boiler is cold.", "Raise steam."]
        );
        assert!(paragraphs(" \n").is_empty());
    }

    #[test]
    fn a_sentence_is_finished_once() {
        assert_eq!(sentence("the valve stuck"), "The valve stuck.");
        assert_eq!(sentence("Done."), "Done.");
        assert_eq!(sentence("  "), "");
        assert_eq!(sentence("t-27.jsonl:1: no header"), "t-27.jsonl:1: no header.");
        assert_eq!(sentence("kept. And so on"), "Kept. And so on.");
    }
}
