//! Compressed air as the plant has it: compressors, receivers and headers, the ways between them, what uses
//! the air, and the account for the ledger.
//!
//! One tick: every compressor delivers into its receiver and heats its cooling water; what bleeds or leaks
//! leaves; then each way in turn moves air between two volumes that are up to date with all before it, so
//! that no volume can be drawn below its surroundings however many ways leave it; last the walls and safety
//! valves.
//!
//! - Reducing valve: open in proportion to how far the pressure behind it is below its set point,
//!   `opening = (set + band/2 - p)/band` between 0 and 1.
//! - Water: what condenses in the aftercooler collects in the receiver. Above the receiver's limit it is
//!   carried along, [`CARRIED`] of water for a kg of air. A dryer takes out what comes to it; one that does not
//!   work lets [`VAPOUR`] of water through for each kg, which condenses behind it. Water in the header slows the
//!   pneumatic drives down to a fifth of their pace. All of it is own choice.
//! - Drain: an open drain lets water out first, `rate` times the gauge pressure over 10 bar, and air once
//!   there is none.
//!
//! Assumptions: a way has no volume of its own. Units: Pa absolute, K, kg, s.

use crate::air::{AirPath, Around, Compressor, Receiver, Selector};
use crate::assembly::LiquidLink;
use crate::instruments::{Actual, Signal};
use crate::liquid::Network;
use crate::machines::Side;
use crate::machines::exchanger::side_of;
use base::Tag;
use base::units::ATMOSPHERE;

/// Water that a kg of air carries out of a receiver that holds too much, kg: own choice.
const CARRIED: f64 = 0.02;
/// Water that a kg of air brings through a dryer that does not work, kg: saturated air at 30 °C and 8 bar
/// (handbook of humid air, from memory).
const VAPOUR: f64 = 0.0033;
/// Water in the header that slows the drives: from here, and fully over so much more, kg. Own choice.
const WET: (f64, f64) = (0.005, 0.03);
/// Pace of a drive in very wet air. Own choice.
const WET_PACE: f64 = 0.2;
/// Water that a wide open drain lets out at 10 bar, kg/s: own choice.
const DRAIN_RATE: f64 = 0.1;

/// A volume of air: a receiver or a header.
#[derive(Clone, Debug)]
pub struct AirVessel {
    pub tag: Tag,
    pub receiver: Receiver,
    /// What bleeds from it for ever.
    pub bleed: Option<AirPath>,
    /// A failing: air leaks out.
    pub leak: Option<AirPath>,
    /// A failing: its line has parted.
    pub parted: Option<AirPath>,
    /// Its drain: how far it is open, and what passes when no water is left.
    pub drain: AirPath,
    /// Water above which the air carries it along, kg.
    pub water_limit: f64,
}

base::kept!(AirVessel { receiver, bleed, leak, parted, drain } fixed { tag, water_limit });

impl AirVessel {
    pub fn new(tag: &str, receiver: Receiver) -> AirVessel {
        // A drain cock of about 8 mm: 0.02 kg/s of air from 8 bar. Own choice.
        let conductance = AirPath::conductance_for(0.02, 8e5);
        let drain = AirPath { conductance, critical: 0.5, opening: 0.0, non_return: true };
        let water_limit = 20.0 * receiver.params().volume;
        AirVessel { tag: Tag::new(tag), receiver, bleed: None, leak: None, parted: None, drain, water_limit }
    }
}

/// What is special about a way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WayKind {
    /// A line, or a valve in one.
    Plain,
    /// A reducing valve with its set point and its band, Pa.
    Reducer { set: f64, band: f64 },
    /// A dryer; it works or not.
    Dryer { works: bool },
}

base::kept!(enum WayKind { 0 Plain, 1 Reducer { set, band }, 2 Dryer { works } });

/// A way from a volume to another, or to the surroundings.
#[derive(Clone, Debug)]
pub struct AirWay {
    pub tag: Tag,
    pub from: usize,
    pub to: Option<usize>,
    pub path: AirPath,
    pub kind: WayKind,
    /// How far its valve is open; 1 without one.
    pub opening: f64,
    /// Part that dirt has taken: a failing of filters.
    pub choked: f64,
    /// Flow of the last tick, kg/s.
    pub flow: f64,
}

base::kept!(AirWay { path, kind, opening, choked, flow } fixed { tag, from, to });

/// A compressor with what it serves.
#[derive(Clone, Debug)]
pub struct AirMachine {
    pub tag: Tag,
    pub compressor: Compressor,
    pub to: usize,
    /// Link of the cooling water that takes the heat; none for one that its own fan cools.
    pub cooling: Option<LiquidLink>,
    /// Started by hand, with an engine of its own: needs no supply and has no automatic.
    pub by_hand: bool,
}

base::kept!(AirMachine { compressor } fixed { tag, to, cooling, by_hand });

/// All the compressed air.
#[derive(Clone, Debug, Default)]
pub struct AirNet {
    pub vessels: Vec<AirVessel>,
    pub ways: Vec<AirWay>,
    pub machines: Vec<AirMachine>,
    /// The volume that the pneumatic drives draw from.
    pub header: Option<usize>,
    /// Air for a full stroke of a pneumatic drive, kg.
    pub stroke_air: f64,
    /// Left by bleeds, leaks, drains, ways outside, strokes and engines since the start, kg and J.
    used: (f64, f64),
    /// Water that was drained or left with air, kg.
    water_out: f64,
    /// Water that condensed, kg.
    water_in: f64,
}

base::kept!(AirNet { vessels, ways, machines, stroke_air, used, water_out, water_in } fixed { header });

impl AirNet {
    /// A leak that loses so much, kg/s, at 7 bar gauge.
    pub fn leak(flow: f64) -> AirPath {
        let conductance = AirPath::conductance_for(flow, 7e5 + ATMOSPHERE);
        AirPath { conductance, critical: 0.3, opening: 1.0, non_return: true }
    }

    /// Pressure that the pneumatic drives have, Pa.
    pub fn drive_pressure(&self) -> f64 {
        self.header.map_or(ATMOSPHERE, |h| self.vessels[h].receiver.pressure())
    }

    /// Pace of the pneumatic drives: 1 with dry air.
    pub fn drive_pace(&self) -> f64 {
        let water = self.header.map_or(0.0, |h| self.vessels[h].receiver.water());
        1.0 - (1.0 - WET_PACE) * ((water - WET.0) / WET.1).clamp(0.0, 1.0)
    }

    /// One tick; `live` tells whether a compressor's supply is. The heat goes into the cooling water's links.
    pub fn step(&mut self, circuits: &mut [Network], live: impl Fn(usize) -> bool, ambient: f64, dt: f64) {
        for (i, m) in self.machines.iter_mut().enumerate() {
            let receiver = &mut self.vessels[m.to].receiver;
            let pressure = receiver.pressure();
            let dry = Side { mass_flow: 0.0, heat_capacity: 4180.0, temperature: ambient };
            let around = Around {
                live: live(i) || m.by_hand,
                ambient,
                receiver: Actual(pressure),
                pressure: Signal(pressure),
                water: m.cooling.map_or(dry, |c| side_of(&circuits[c.circuit], c.link)),
            };
            let d = m.compressor.step(&around, dt);
            if let Some(c) = m.cooling {
                circuits[c.circuit].set_heat(c.link, d.water_heat);
            }
            receiver.add(d.flow, d.energy);
            receiver.add_water(d.moisture * dt);
            self.water_in += d.moisture * dt;
        }
        for v in &mut self.vessels {
            for path in [v.bleed, v.leak, v.parted].into_iter().flatten() {
                let enthalpy = v.receiver.enthalpy();
                let flow = path.out_of(&mut v.receiver, ATMOSPHERE, dt);
                self.used.0 += flow * dt;
                self.used.1 += flow * enthalpy * dt;
            }
            if v.drain.opening > 0.0 {
                let force = ((v.receiver.pressure() - ATMOSPHERE) / 1e6).max(0.0);
                self.water_out += v.receiver.drain(DRAIN_RATE * v.drain.opening * force, dt);
                if v.receiver.water() <= 0.0 {
                    let enthalpy = v.receiver.enthalpy();
                    let flow = v.drain.out_of(&mut v.receiver, ATMOSPHERE, dt);
                    self.used.0 += flow * dt;
                    self.used.1 += flow * enthalpy * dt;
                }
            }
        }
        for i in 0..self.ways.len() {
            self.move_air(i, dt);
        }
        for v in &mut self.vessels {
            v.receiver.step(ambient, dt);
        }
    }

    fn move_air(&mut self, i: usize, dt: f64) {
        let way = &mut self.ways[i];
        let mut path = way.path;
        path.opening = way.opening * (1.0 - way.choked);
        let Some(to) = way.to else {
            let v = &mut self.vessels[way.from];
            v.receiver.settle(dt);
            let enthalpy = v.receiver.enthalpy();
            way.flow = path.out_of(&mut v.receiver, ATMOSPHERE, dt);
            self.used.0 += way.flow * dt;
            self.used.1 += way.flow * enthalpy * dt;
            self.water_out += carry(v, way.flow, dt);
            return;
        };
        let [from, to] = self.vessels.get_disjoint_mut([way.from, to]).expect("a way joins two volumes");
        from.receiver.settle(dt);
        to.receiver.settle(dt);
        if let WayKind::Reducer { set, band } = way.kind {
            path.opening *= ((set + 0.5 * band - to.receiver.pressure()) / band).clamp(0.0, 1.0);
        }
        way.flow = path.between(&mut from.receiver, &mut to.receiver, dt);
        let (up, down) = if way.flow >= 0.0 { (from, to) } else { (to, from) };
        let mut water = carry(up, way.flow.abs(), dt);
        if let WayKind::Dryer { works } = way.kind {
            if works {
                self.water_out += water;
                water = 0.0;
            } else {
                // Vapour that the dryer would have taken condenses behind it.
                water += VAPOUR * way.flow.abs() * dt;
                self.water_in += VAPOUR * way.flow.abs() * dt;
            }
        }
        down.receiver.add_water(water);
    }

    /// A pneumatic drive moved by this part of its stroke in a tick of `dt` seconds.
    pub fn stroke(&mut self, part: f64, dt: f64) {
        if let Some(h) = self.header {
            self.take(h, part * self.stroke_air / dt, dt);
        }
    }

    /// Takes air out of a volume at a rate (kg/s) for a tick of `dt` seconds: an engine that is turned by it.
    pub fn take(&mut self, vessel: usize, flow: f64, dt: f64) {
        let receiver = &mut self.vessels[vessel].receiver;
        let (mass, enthalpy) = (flow * dt, receiver.enthalpy());
        receiver.add(-mass / dt, -mass / dt * enthalpy);
        self.used.0 += mass;
        self.used.1 += mass * enthalpy;
    }

    /// Lets air out of a volume through a way of somebody else's for a tick of `dt` seconds, such as the
    /// starting valve of an engine. Returns the flow, kg/s.
    #[allow(dead_code, reason = "for engines that are started by air")]
    pub fn blow(&mut self, vessel: usize, path: &AirPath, dt: f64) -> f64 {
        let receiver = &mut self.vessels[vessel].receiver;
        receiver.settle(dt);
        let enthalpy = receiver.enthalpy();
        let flow = path.out_of(receiver, ATMOSPHERE, dt);
        self.used.0 += flow * dt;
        self.used.1 += flow * enthalpy * dt;
        flow
    }

    /// What came in less what left, J, but for the heat to the cooling water, which is inside the plant.
    pub fn energy_in(&self) -> f64 {
        let mut sum = 0.0;
        for m in &self.machines {
            let a = m.compressor.account();
            sum += a.intake_energy + a.work - a.ambient - a.lost_energy;
            if m.cooling.is_none() {
                sum -= a.water;
            }
        }
        for v in &self.vessels {
            let l = v.receiver.lost();
            sum = sum - l.blown_off_energy - l.heat;
        }
        sum - self.used.1
    }

    /// Air that came in less what left, kg.
    pub fn air_in(&self) -> f64 {
        let taken = self.machines.iter().map(|m| m.compressor.account()).map(|a| a.taken - a.lost).sum::<f64>();
        taken - self.vessels.iter().map(|v| v.receiver.lost().blown_off).sum::<f64>() - self.used.0
    }

    /// Water that condensed less what left, kg.
    #[cfg(test)]
    pub fn water_in(&self) -> f64 {
        self.water_in - self.water_out
    }
}

/// Water that air takes along out of a volume that holds too much, kg over a tick.
fn carry(v: &mut AirVessel, flow: f64, dt: f64) -> f64 {
    if v.receiver.water() > v.water_limit { v.receiver.drain(CARRIED * flow, dt) } else { 0.0 }
}

impl AirMachine {
    /// Selector: automatic, start, stop; or the reset of its trip.
    ///
    /// # Errors
    /// When the trip cannot be reset yet.
    pub fn order(&mut self, word: usize) -> Result<(), String> {
        match word + usize::from(self.by_hand) {
            0 => self.compressor.selector = Selector::Automatic,
            1 => self.compressor.selector = Selector::Hand,
            2 => self.compressor.selector = Selector::Off,
            _ => {
                if !self.compressor.trip.is_tripped() {
                    return Err("nothing has tripped".into());
                }
                self.compressor.trip.reset().map_err(|_| "it is still too hot".to_owned())?;
            }
        }
        Ok(())
    }

    /// The word in force.
    pub fn word(&self) -> usize {
        let word = match self.compressor.selector {
            Selector::Automatic => 0,
            Selector::Hand => 1,
            Selector::Off => 2usize,
        };
        word.saturating_sub(usize::from(self.by_hand))
    }
}

#[cfg(test)]
mod tests;
