//! The round of the instruments: everything that any of them looks at, read once a tick.
//!
//! Sources are gone through kind by kind and not in the order of the plant file, since a few hundred kinds in any
//! order are a few hundred jumps that no processor foresees; the kinds that there are most of stand in lists of their own.
//! What is read does not depend on the order.

use crate::electrical_words::Reading;
use crate::liquid::{LinkId, NodeId};
use crate::parts::{Parts, Plain, SwitchPart, TransmitterPart};
use crate::reading::Source;
use crate::registry::PointId;
use crate::turbine_part::TurbineReading;

/// What is looked at, each with the place of its point.
type Looks<T> = Vec<(T, u16)>;

/// The sources in order of kind, and what was read of those that are no point's true value.
#[derive(Clone, Debug, Default)]
pub struct Round {
    /// Of each circuit.
    circuits: Vec<InCircuit>,
    positions: Looks<u16>,
    open: Looks<u16>,
    shut: Looks<u16>,
    pumps: Looks<u16>,
    electrical: Looks<Reading>,
    turbine: Looks<TurbineReading>,
    /// All others.
    truths: Looks<Source>,
    /// What plain points say where that is another thing than what is true: sources and points.
    said: Vec<(Source, PointId)>,
    /// Room for a tick: what is said, and what was true and said of plain points on the tick before.
    says: Vec<f64>,
    last: Vec<(f64, f64)>,
}

#[derive(Clone, Debug, Default)]
struct InCircuit {
    pressures: Looks<NodeId>,
    temperatures: Looks<NodeId>,
    flows: Looks<LinkId>,
}

fn read<T: Copy>(looks: &Looks<T>, actual: &mut [f64], value: impl Fn(T) -> f64) {
    for &(at, place) in looks {
        actual[usize::from(place)] = value(at);
    }
}

impl Round {
    /// The round of these instruments.
    pub fn of(switches: &[SwitchPart], transmitters: &[TransmitterPart], plains: &[Plain]) -> Round {
        let switched = switches.iter().map(|s| (s.source, s.point.0));
        let sent = transmitters.iter().map(|t| (t.source, t.point.0));
        let plain = plains.iter().map(|p| (p.source, p.point.0));
        let mut round = Round::default();
        for (source, place) in switched.chain(sent).chain(plain) {
            round.take(source, place);
        }
        // The word that a source is written with begins with its kind.
        round.truths.sort_by_cached_key(|(source, _)| format!("{source:?}"));
        round.electrical.sort_by_cached_key(|(what, _)| format!("{what:?}"));
        round.turbine.sort_by_cached_key(|(what, _)| format!("{what:?}"));
        let other = plains.iter().filter(|p| p.signal != p.source);
        round.said = other.map(|p| (p.signal, p.point)).collect();
        Round { says: vec![0.0; round.said.len()], last: vec![(0.0, 0.0); plains.len()], ..round }
    }

    fn take(&mut self, source: Source, place: u16) {
        match source {
            Source::LiquidPressure(n) => self.circuit(n.circuit).pressures.push((n.node, place)),
            Source::LiquidTemperature(n) => self.circuit(n.circuit).temperatures.push((n.node, place)),
            Source::LiquidFlow(l) => self.circuit(l.circuit).flows.push((l.link, place)),
            Source::ValvePosition(i) => self.positions.push((i as u16, place)),
            Source::ValveOpen(i) => self.open.push((i as u16, place)),
            Source::ValveShut(i) => self.shut.push((i as u16, place)),
            Source::PumpRuns(i) => self.pumps.push((i as u16, place)),
            Source::Electrical(what) => self.electrical.push((what, place)),
            Source::Turbine(what) => self.turbine.push((what, place)),
            other => self.truths.push((other, place)),
        }
    }

    fn circuit(&mut self, i: usize) -> &mut InCircuit {
        let circuits = self.circuits.len().max(i + 1);
        self.circuits.resize(circuits, InCircuit::default());
        &mut self.circuits[i]
    }

    /// Reads everything; what is true at a point goes to its place in `actual`.
    pub fn go(&mut self, parts: &Parts, actual: &mut [f64]) {
        for (look, net) in self.circuits.iter().zip(&parts.circuits) {
            read(&look.pressures, actual, |n| net.pressure(n));
            read(&look.temperatures, actual, |n| net.temperature(n));
            read(&look.flows, actual, |l| net.mass_flow(l));
        }
        let valve = |i: u16| &parts.valves[usize::from(i)].actuator;
        read(&self.positions, actual, |i| valve(i).position());
        read(&self.open, actual, |i| valve(i).is_open().0);
        read(&self.shut, actual, |i| valve(i).is_shut().0);
        read(&self.pumps, actual, |i| f64::from(u8::from(parts.pumps[usize::from(i)].pump.turns())));
        if let Some(e) = &parts.electrical {
            read(&self.electrical, actual, |what| e.read(what));
        }
        if let Some(t) = &parts.turbine {
            read(&self.turbine, actual, |what| t.read(what));
        }
        read(&self.truths, actual, |source| source.read(parts));
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

/// Whether all of them are numbers. Summed eight side by side, since a sum with one in it that is no number is none either;
/// a sum that is none may have run over, and then each is looked at.
pub fn all_finite(values: &[f64]) -> bool {
    let mut sums = [0.0; 8];
    let eights = values.chunks_exact(8);
    let rest: f64 = eights.remainder().iter().sum();
    for eight in eights {
        for i in 0..8 {
            sums[i] += eight[i];
        }
    }
    (sums.iter().all(|s| s.is_finite()) && rest.is_finite()) || values.iter().all(|v| v.is_finite())
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
