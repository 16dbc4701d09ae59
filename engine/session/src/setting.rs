//! Settings as people write them: a word of the control, or a quantity on its dial.

use base::units::{self, Dimension, Unit};
use base::{Diagnostic, Place};
use plant::Order;
use plant::registry::Control;

/// Reads a quantity that belongs to a scale in `unit`, into SI. A percentage must be of the same
/// thing: "40 % firing" is no opening of a valve.
pub(crate) fn quantity(text: &str, unit: &Unit, place: &Place) -> Result<f64, Diagnostic> {
    let wrong =
        |(message, hint): (String, String)| Diagnostic::error("session::unit", place.clone(), message).hint(hint);
    let si = units::parse_as(text, unit.dimension).map_err(|e| wrong(e.told()))?;
    if unit.dimension == Dimension::Fraction
        && let Ok((_, given)) = units::parse(text)
        && given.symbol != unit.symbol
    {
        return Err(wrong((
            format!("\"{text}\" is in \"{}\", and \"{}\" is needed", given.symbol, unit.symbol),
            format!("write for example \"{}\"", unit.tell(si)),
        )));
    }
    Ok(si)
}

/// Reads a setting of a control: one of its words, or a quantity on its dial ("35 % open").
///
/// # Errors
/// A diagnostic at `place` with what the control can be set to and the nearest word.
pub fn parse_setting(control: &Control, text: &str, place: &Place) -> Result<Order, Diagnostic> {
    let text = text.trim();
    if let Some(i) = control.words.iter().position(|w| w.eq_ignore_ascii_case(text)) {
        return Ok(Order::Word(i));
    }
    let begins_like_number = text.starts_with(|c: char| c.is_ascii_digit() || "+-.".contains(c));
    if let Some(dial) = control.dial.as_ref().filter(|_| begins_like_number) {
        let si = quantity(text, dial.unit, place)?;
        if si < dial.min || si > dial.max {
            return Err(Diagnostic::error(
                "session::setting",
                place.clone(),
                format!("{} cannot be set to {text}: it is past the end of its scale", control.tag),
            )
            .hint(format!("it goes from {} to {}", dial.unit.tell(dial.min), dial.unit.tell(dial.max))));
        }
        return Ok(Order::Dial(si));
    }
    let mut can = control.words.iter().map(|w| format!("\"{w}\"")).collect::<Vec<_>>();
    if let Some(d) = &control.dial {
        can.push(format!("{} to {}", d.unit.tell(d.min), d.unit.tell(d.max)));
    }
    let near = base::nearest::nearest(text, control.words.iter().copied());
    let mean = near.map_or_else(String::new, |w| format!("did you mean \"{w}\"? "));
    Err(Diagnostic::error("session::setting", place.clone(), format!("{} cannot be set to \"{text}\"", control.tag))
        .hint(format!("{mean}it can be set to {}", can.join(", "))))
}

/// Whether two orders ask for the same. Dials agree to a thousandth of a millionth of their value:
/// the same setting may be written in two units.
pub(crate) fn same(a: Order, b: Order) -> bool {
    match (a, b) {
        (Order::Dial(x), Order::Dial(y)) => (x - y).abs() <= 1e-9 * x.abs().max(y.abs()).max(1e-9),
        (a, b) => a == b,
    }
}

/// A diagnostic as one sentence, for the reason of a refusal.
pub(crate) fn sentence(d: &Diagnostic) -> String {
    match &d.hint {
        Some(hint) => format!("{}; {hint}", d.message),
        None => d.message.clone(),
    }
}
