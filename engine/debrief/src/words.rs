//! Times, numbers and outcomes as people read them, the same everywhere.

use base::Tick;
use base::record::{Coming, Layer};
use base::tick::TICKS_PER_SECOND;
use marking::Outcome;

/// A moment from the start of the run, to the second and otherwise as findings tell it: `03:07`, `1:12:05`.
pub fn clock(tick: Tick) -> String {
    let s = tick.0 / TICKS_PER_SECOND;
    let (h, m, s) = (s / 3600, s / 60 % 60, s % 60);
    if h > 0 { format!("{h}:{m:02}:{s:02}") } else { format!("{m:02}:{s:02}") }
}

/// How moments of a run up to this one are to be read.
pub fn clock_form(end: Tick) -> &'static str {
    if end.0 >= 3600 * TICKS_PER_SECOND { "hours, minutes and seconds" } else { "minutes and seconds" }
}

/// A length of time: `42 s`, `3 min 05 s`, `1 h 03 min 05 s`.
pub fn lasting(ticks: u32) -> String {
    let s = (ticks + TICKS_PER_SECOND / 2) / TICKS_PER_SECOND;
    let (h, m, s) = (s / 3600, s / 60 % 60, s % 60);
    match (h, m) {
        (0, 0) => format!("{s} s"),
        (0, _) => format!("{m} min {s:02} s"),
        _ => format!("{h} h {m:02} min {s:02} s"),
    }
}

/// So many of something: `no alarms`, `1 fault`, `3 trips`.
pub fn count(n: usize, one: &str) -> String {
    match n {
        0 => format!("no {one}s"),
        1 => format!("1 {one}"),
        n => format!("{n} {one}s"),
    }
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

/// How a fault comes on: `at once`, `growing to 40 % open over 5 min`, `coming and going: …`.
pub fn comes(how: &Coming) -> String {
    let mut words = match (&how.size, how.over) {
        (None, _) => "at once".to_owned(),
        (Some(size), 0 | 1) => format!("{size}, at once"),
        (Some(size), over) => format!("growing to {size}, {}", in_time(over)),
    };
    if let Some([there, away]) = how.rhythm {
        let between = |(least, most)| match least == most {
            true => span(least),
            false => format!("{} to {}", span(least), span(most)),
        };
        words += &format!("; coming and going, there for {} and away for {} each time", between(there), between(away));
    }
    words
}

/// In how many ticks something changes: `at once`, `over 5 min`.
pub fn in_time(ticks: u32) -> String {
    if ticks <= 1 { "at once".to_owned() } else { format!("over {}", span(ticks)) }
}

/// A length of time as somebody planned it: `0.5 s`, `90 s`, `5 min`.
fn span(ticks: u32) -> String {
    match (ticks % TICKS_PER_SECOND, ticks / TICKS_PER_SECOND) {
        (0, s) if s > 0 && s % 60 == 0 => format!("{} min", s / 60),
        (0, s) => format!("{s} s"),
        _ => format!("{:.1} s", f64::from(ticks) / f64::from(TICKS_PER_SECOND)),
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
    fn times_read_as_on_a_clock_and_as_findings_tell_them() {
        assert_eq!(clock(Tick(1879)), "03:07");
        assert_eq!(clock(Tick(43_250)), "1:12:05");
        // A finding tells the tenth as well, and is otherwise the same.
        for t in [0, 599, 35_999, 36_000, 43_257, 400_000] {
            assert_eq!(format!("{}.{}", clock(Tick(t)), t % TICKS_PER_SECOND), Tick(t).to_string());
        }
        assert_eq!(
            [35_999, 36_000].map(|t| clock_form(Tick(t))),
            ["minutes and seconds", "hours, minutes and seconds"]
        );
        assert_eq!(lasting(37_850), "1 h 03 min 05 s");
        assert_eq!(lasting(424), "42 s");
        assert_eq!(lasting(1850), "3 min 05 s");
        assert_eq!(lasting(599), "1 min 00 s");
    }

    #[test]
    fn a_fault_is_told_with_the_way_it_comes_on() {
        let size = Some("40 % open".to_owned());
        let how = |size: &Option<String>, over, rhythm| comes(&Coming { size: size.clone(), over, rhythm });
        assert_eq!(how(&None, 0, None), "at once");
        assert_eq!(how(&size, 0, None), "40 % open, at once");
        assert_eq!(how(&size, 3000, None), "growing to 40 % open, over 5 min");
        assert_eq!(
            how(&None, 0, Some([(50, 205), (900, 900)])),
            "at once; coming and going, there for 5 s to 20.5 s and away for 90 s each time"
        );
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
