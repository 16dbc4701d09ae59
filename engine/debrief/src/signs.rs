//! Units as pages print them. Scripts, logs, JSON and CSV write them in plain letters ("degC", "m3/h"), since
//! people type those; a page prints the signs of the trade ("\u{b0}C", "m\u{b3}/h"), in charts and in sentences alike,
//! whoever wrote the sentence.

use std::borrow::Cow;

/// Units in plain letters and their signs, longer ones before those that they begin with; and whether the letters
/// are nothing else anywhere, so that no number need stand before them.
const SIGNS: [(&str, &str, bool); 15] = [
    ("degC", "\u{b0}C", true),
    ("uS/cm", "\u{b5}S/cm", true),
    ("W/m2K", "W/(m\u{b2}\u{a0}K)", true),
    ("J/kgK", "J/(kg\u{a0}K)", true),
    ("kg/m3", "kg/m\u{b3}", true),
    ("m3/h", "m\u{b3}/h", true),
    ("m3/s", "m\u{b3}/s", true),
    ("m2/s", "m\u{b2}/s", true),
    ("kgm2", "kg\u{a0}m\u{b2}", true),
    ("mm2", "mm\u{b2}", true),
    ("m3", "m\u{b3}", false),
    ("m2", "m\u{b2}", false),
    ("um", "\u{b5}m", false),
    ("kohm", "k\u{3a9}", true),
    ("ohm", "\u{3a9}", false),
];

/// A unit as it is printed; empty for plain numbers.
pub fn unit(unit: &str) -> Cow<'_, str> {
    if unit == "none" {
        return Cow::Borrowed("");
    }
    match SIGNS.iter().find(|s| unit == s.0 || unit.strip_prefix(s.0).is_some_and(|rest| rest.starts_with(' '))) {
        Some((plain, sign, _)) => Cow::Owned(unit.replacen(plain, sign, 1)),
        None => Cow::Borrowed(unit),
    }
}

/// A sentence with the units in it as they are printed. What stands between curly quotes is somebody's own words,
/// and stays as it was written.
pub fn sentence(text: &str) -> Cow<'_, str> {
    if !SIGNS.iter().any(|s| text.contains(s.0)) {
        return Cow::Borrowed(text);
    }
    let (mut out, mut at, mut quoted) = (String::with_capacity(text.len() + 8), 0, 0_u32);
    while let Some(c) = text[at..].chars().next() {
        match c {
            '\u{201c}' => quoted += 1,
            '\u{201d}' => quoted = quoted.saturating_sub(1),
            _ => {}
        }
        match SIGNS.iter().find(|s| quoted == 0 && stands(text, at, s)) {
            Some((plain, sign, _)) => {
                out.push_str(sign);
                at += plain.len();
            }
            None => {
                out.push(c);
                at += c.len_utf8();
            }
        }
    }
    Cow::Owned(out)
}

/// Whether this unit stands at this place: as a word of its own, behind a number where it must.
fn stands(text: &str, at: usize, (plain, _, alone): &(&str, &str, bool)) -> bool {
    let Some(behind) = text[at..].strip_prefix(plain) else { return false };
    let before = &text[..at];
    let word = |c: char| c.is_alphanumeric() || matches!(c, '/' | '_' | '-' | '\u{b2}' | '\u{b3}');
    if behind.starts_with(word) || before.ends_with(|c: char| word(c) && !c.is_ascii_digit()) {
        return false;
    }
    let number = |t: &str| t.ends_with(|c: char| c.is_ascii_digit());
    *alone && !number(before) || number(before.trim_end_matches([' ', '\u{a0}']))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sentence_has_the_signs_of_the_charts() {
        let told = [
            ("went 12.0 K past 420.0 degC, to 432.0 degC", "went 12.0 K past 420.0 \u{b0}C, to 432.0 \u{b0}C"),
            ("warmed above 110degC", "warmed above 110\u{b0}C"),
            ("Temperature, in degC.", "Temperature, in \u{b0}C."),
            ("112 um for 30 s", "112 \u{b5}m for 30 s"),
            ("less than 20.0 m3/h per min", "less than 20.0 m\u{b3}/h per min"),
            ("2 m3 of 12 kg/m3", "2 m\u{b3} of 12 kg/m\u{b3}"),
            ("above 40 uS/cm (salinity)", "above 40 \u{b5}S/cm (salinity)"),
            ("under 0.5 ohm, 20 kohm", "under 0.5 \u{3a9}, 20 k\u{3a9}"),
        ];
        for (plain, printed) in told {
            assert_eq!(sentence(plain), printed);
            assert_eq!(sentence(&sentence(plain)), printed, "once is enough");
        }
    }

    #[test]
    fn what_is_no_unit_or_somebodys_own_words_stays() {
        for text in [
            "um die Ecke",
            "valve m3 and M2",
            "XV-10 umbrella, 5 ummm",
            "t-05/m3/h-2",
            "reported: \u{201c}it was 400 degC\u{201d}",
            "5 m3x",
            "a 4 barg line",
        ] {
            assert_eq!(sentence(text), text);
        }
        assert_eq!(sentence("\u{201c}5 um\u{201d} at 5 um"), "\u{201c}5 um\u{201d} at 5 \u{b5}m");
    }

    /// Whatever people may write has one way of being printed, in a chart and in a sentence.
    #[test]
    fn every_unit_is_printed_alike_alone_and_in_a_sentence() {
        for known in base::units::UNITS.iter().filter(|u| u.symbol != "none") {
            let printed = unit(known.symbol);
            assert_eq!(sentence(&format!("at 5 {} now", known.symbol)), format!("at 5 {printed} now"));
            assert!(!printed.bytes().any(|b| b.is_ascii_digit()), "{printed}");
        }
        assert_eq!((unit("degC"), unit("none"), unit("barg")), ("\u{b0}C".into(), "".into(), "barg".into()));
    }
}
