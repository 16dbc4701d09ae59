//! The round of the instruments: everything that any of them looks at, read once a tick.
//!
//! Sources are gone through kind by kind and not in the order of the plant file, since a few hundred kinds in any
//! order are a few hundred jumps that no processor foresees. What is read does not depend on the order.

use crate::parts::{Parts, Plain, SwitchPart, TransmitterPart};
use crate::reading::Source;
use crate::registry::PointId;

/// The sources in order of kind, and what was read of those that are no point's true value.
#[derive(Clone, Debug, Default)]
pub struct Round {
    /// A source and the place of its point.
    truths: Vec<(Source, u16)>,
    /// What plain points say where that is another thing than what is true: sources and points.
    said: Vec<(Source, PointId)>,
    /// Room for a tick: what is said, and what was true and said of plain points on the tick before.
    says: Vec<f64>,
    last: Vec<(f64, f64)>,
}

impl Round {
    /// The round of these instruments.
    pub fn of(switches: &[SwitchPart], transmitters: &[TransmitterPart], plains: &[Plain]) -> Round {
        let switched = switches.iter().map(|s| (s.source, s.point.0));
        let sent = transmitters.iter().map(|t| (t.source, t.point.0));
        let plain = plains.iter().map(|p| (p.source, p.point.0));
        let mut truths: Vec<(Source, u16)> = switched.chain(sent).chain(plain).collect();
        // The word that a source is written with begins with its kind.
        truths.sort_by_cached_key(|(source, _)| format!("{source:?}"));
        let other = plains.iter().filter(|p| p.signal != p.source);
        let said: Vec<(Source, PointId)> = other.map(|p| (p.signal, p.point)).collect();
        Round { truths, says: vec![0.0; said.len()], last: vec![(0.0, 0.0); plains.len()], said }
    }

    /// Reads everything; what is true at a point goes to its place in `actual`.
    pub fn go(&mut self, parts: &Parts, actual: &mut [f64]) {
        for &(source, place) in &self.truths {
            actual[usize::from(place)] = source.read(parts);
        }
        for (says, (source, _)) in self.says.iter_mut().zip(&self.said) {
            *says = source.read(parts);
        }
    }

    /// Remembers what was true and said of the plain points, for those that something is wrong with.
    pub fn remember(&mut self, plains: &[Plain], actual: &[f64], signal: &[f64]) {
        for (last, p) in self.last.iter_mut().zip(plains) {
            let at = usize::from(p.point.0);
            *last = (actual[at], signal[at]);
        }
    }

    /// What was remembered, in the order of the plain points; it is forgotten with that.
    pub fn last(&mut self) -> impl Iterator<Item = (f64, f64)> {
        self.last.iter_mut().map(std::mem::take)
    }

    /// The points that say another thing than what is true, and what they say.
    pub fn said(&self) -> impl Iterator<Item = (PointId, f64)> {
        self.said.iter().map(|s| s.1).zip(self.says.iter().copied())
    }
}

/// Whether all of them are numbers: eight at a time, since whatever is a number is nothing when taken times nothing.
pub fn all_finite(values: &[f64]) -> bool {
    let mut sums = [0.0; 8];
    let eights = values.chunks_exact(8);
    let rest: f64 = eights.remainder().iter().map(|x| x * 0.0).sum();
    for eight in eights {
        for i in 0..8 {
            sums[i] += eight[i] * 0.0;
        }
    }
    sums == [0.0; 8] && rest == 0.0
}

#[cfg(test)]
mod tests {
    use super::all_finite;

    #[test]
    fn one_that_is_no_number_is_found_at_any_place() {
        for n in 1..12 {
            let mut values = vec![-3.5; n];
            assert!(all_finite(&values));
            for at in 0..n {
                for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
                    values[at] = bad;
                    assert!(!all_finite(&values), "{bad} at {at} of {n}");
                    values[at] = f64::MAX;
                }
            }
            assert!(all_finite(&values));
        }
    }
}
