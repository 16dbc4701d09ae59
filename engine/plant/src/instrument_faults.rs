//! What can be wrong with instruments: transmitters, switches, contacts, position feedback, the flame scanner and
//! the gauge glass. All but the glass act on the signal alone.
//!
//! - Reference leg: a level transmitter compares the column of water in its cold leg with what stands in the
//!   drum. A leg that has lost the height `x` makes it read high by `x rho_leg / (rho_liquid - rho_gas)`, with the
//!   drum's own densities and a leg of cold water at [`LEG_DENSITY`].
//! - Gauge glass with its water cock plugged: the level no longer follows the drum; what steam condenses in the
//!   glass fills it slowly, `h' = UA (T - ambient) / (r rho A)`. With a cold drum it stands still.
//!
//! Units: SI; sizes of drift and noise are parts of the instrument's range.

use crate::boiler::BurnerFailings;
use crate::instruments::{End, SATURATION};
use crate::parts::Parts;
use base::random::Stream;
use base::record::Layer;

/// Density of the water in a cold leg, kg/m3 (at 40 °C; handbook).
const LEG_DENSITY: f64 = 992.0;
/// Heat that the glass loses to the room, W/K, and its bore, m2: own choice, a flat glass of 300 mm.
const GLASS: (f64, f64) = (0.5, 1.5e-4);

/// What can be wrong with an instrument.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum InstrumentFault {
    /// A transmitter wanders by its size.
    Drift(usize),
    /// A transmitter's signal dances by its size.
    Noise(usize),
    /// A transmitter's lag is longer by its size.
    Slow(usize),
    /// A transmitter's loop has failed to one end.
    Lost(usize, End),
    /// A level transmitter's reference leg has lost its size.
    Leg(usize),
    /// A switch stays on, or off.
    SwitchStuck(usize, bool),
    /// A contact stays made, or open: by its place among the plain points.
    ContactStuck(usize, bool),
    /// A position feedback stands still.
    FeedbackFrozen(usize),
    /// A position feedback is off by its size.
    FeedbackOffset(usize),
    /// The flame scanner sees nothing.
    ScannerBlind,
    /// The flame scanner says flame, always.
    ScannerLies,
    /// The water cock of the gauge glass is plugged.
    GlassPlugged(usize),
}

/// What is wrong with a point that is told as it is.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct PlainFailing {
    /// A contact that says no, and one that says yes: no goes before.
    pub stuck_off: bool,
    /// See [`PlainFailing::stuck_off`].
    pub stuck_on: bool,
    /// It says what it said last.
    pub frozen: bool,
    /// It is off by so much.
    pub offset: f64,
    /// A gauge glass that is cut off from the water.
    pub plugged: bool,
}

base::kept!(PlainFailing { stuck_off, stuck_on, frozen, offset, plugged });

impl PlainFailing {
    /// What it says now of what it ought to say, and of what it said last.
    pub fn says(&self, sound: f64, last: f64) -> f64 {
        if self.frozen {
            last
        } else if self.stuck_off {
            0.0
        } else if self.stuck_on {
            1.0
        } else if self.offset == 0.0 {
            sound
        } else {
            (sound + self.offset).clamp(SATURATION.0, SATURATION.1)
        }
    }
}

impl InstrumentFault {
    /// Where it acts. What stands in a glass is really there.
    pub fn layer(self) -> Layer {
        match self {
            InstrumentFault::GlassPlugged(_) => Layer::Actual,
            _ => Layer::Signal,
        }
    }
}

impl Parts {
    /// Sets a failing of an instrument going, or mends it.
    pub fn fail_instrument(&mut self, fault: InstrumentFault, acting: bool, size: Option<f64>) {
        let size = size.filter(|_| acting).unwrap_or(0.0);
        let span = |p: &Parts, i: usize| {
            let params = p.transmitters[i].transmitter.params();
            params.high - params.low
        };
        match fault {
            InstrumentFault::Drift(i) => {
                self.transmitters[i].transmitter.failing().drift = size * span(self, i);
            }
            InstrumentFault::Noise(i) => {
                let noise = size * span(self, i);
                let t = &mut self.transmitters[i].transmitter;
                if noise > 0.0 && t.failing().noise == 0.0 {
                    t.shake(Stream::new(i as u64, "noise of a transmitter"));
                }
                t.failing().noise = noise;
            }
            InstrumentFault::Slow(i) => self.transmitters[i].transmitter.failing().slow = size,
            InstrumentFault::Lost(i, End::Low) => self.transmitters[i].transmitter.failing().lost = acting,
            InstrumentFault::Lost(i, End::High) => self.transmitters[i].transmitter.failing().high = acting,
            InstrumentFault::Leg(i) => self.transmitters[i].leg = size,
            InstrumentFault::SwitchStuck(i, false) => self.switches[i].switch.failing.stuck_off = acting,
            InstrumentFault::SwitchStuck(i, true) => self.switches[i].switch.failing.stuck_on = acting,
            InstrumentFault::ContactStuck(i, false) => self.plains[i].failing.stuck_off = acting,
            InstrumentFault::ContactStuck(i, true) => self.plains[i].failing.stuck_on = acting,
            InstrumentFault::FeedbackFrozen(i) => self.plains[i].failing.frozen = acting,
            InstrumentFault::FeedbackOffset(i) => self.plains[i].failing.offset = size,
            InstrumentFault::ScannerBlind => self.scanner(|f| f.scanner_blind = acting),
            InstrumentFault::ScannerLies => self.scanner(|f| f.scanner_lying = acting),
            InstrumentFault::GlassPlugged(i) => self.plains[i].failing.plugged = acting,
        }
        self.legs_lost = self.transmitters.iter().any(|t| t.leg != 0.0);
        self.plains_fail = self.plains.iter().any(|p| p.failing != PlainFailing::default());
    }

    fn scanner(&mut self, how: impl FnOnce(&mut BurnerFailings)) {
        if let Some(b) = &mut self.boiler {
            how(&mut b.burner.failings);
        }
    }

    /// What a transmitter's lost leg adds to what it measures, m.
    pub fn leg_error(&self, lost: f64) -> f64 {
        let Some(b) = &self.boiler else { return 0.0 };
        let e = self.steam.state(b.drum_node);
        let liquid = if e.v_l > 0.0 { 1.0 / e.v_l } else { LEG_DENSITY };
        lost * LEG_DENSITY / (liquid - e.gas_density).max(1.0)
    }

    /// How fast condensate fills a glass that is cut off from the water, m/s.
    pub fn glass_fills(&self) -> f64 {
        let Some(b) = &self.boiler else { return 0.0 };
        let e = self.steam.state(b.drum_node);
        let heat = e.h_v - e.h_l;
        if heat <= 0.0 || e.v_l <= 0.0 {
            return 0.0;
        }
        GLASS.0 * (e.t - self.ambient).max(0.0) / (heat / e.v_l * GLASS.1)
    }
}
