//! A water-cooled reciprocating air compressor of one or two stages.
//!
//! Equations: each stage takes the same pressure ratio `rs = r^(1/stages)` (equal work, the usual sizing);
//! volumetric efficiency of the first `1 + c - c rs^(1/n)`, c its clearance; mass flow is intake density
//! times displacement, speed and volumetric efficiency; work and temperatures by `gas::compress_stage`.
//! What the polytropic work exceeds the air's warming by goes into the block (`w - cp (T2 - T1)`), so does
//! friction. Air leaves the inter- and aftercooler at `T - eps (T - block)`.
//! The block (cylinders, jackets and coolers) is one mass of metal,
//! `C T' = heat in - G_w (T - T_water,in) - UA_a (T - ambient)`, implicit in its temperature, with
//! `G_w = m_w c_w (1 - exp(-UA/(m_w c_w)))`. Without water the block warms within minutes, the second
//! stage takes in hot air, and the discharge temperature climbs past its trip.
//! Unloaded (while running up and for the unloading time after each start) the suction valves are held
//! open: no air, no work but friction.
//! Assumptions: piston rings do not wear; pulsation is averaged; the air's moisture condenses in the
//! aftercooler as a fixed part of the flow. Figures of a machine: own choice in the plant file.
//! Units: SI; Pa absolute.

use super::gas::{CP, R, compress_stage};
use crate::control::{CauseParams, TripUnit};
use crate::instruments::{Acts, Actual, Signal, Switch, Threshold, ThresholdParams};
use crate::machines::{Motor, MotorParams, Side};
use base::maths::{exp, pow};
use base::units::ATMOSPHERE;

/// A compressor's data.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CompressorParams {
    /// Stages, 1 or 2.
    pub stages: u8,
    /// Swept by the first stage at rated speed, m3/s.
    pub displacement: f64,
    /// Clearance volume as a part of the swept volume.
    pub clearance: f64,
    /// Polytropic exponent n.
    pub exponent: f64,
    /// Friction at rated speed, W.
    pub friction: f64,
    /// Effectiveness of intercooler and aftercooler towards the block's temperature.
    pub cooler_effectiveness: (f64, f64),
    /// Heat capacity of the block, J/K.
    pub block: f64,
    /// Conductance between block and cooling water, W/K.
    pub water_conductance: f64,
    /// Conductance between block and surroundings, W/K.
    pub ambient_conductance: f64,
    /// Time unloaded after a start, s.
    pub unload_time: f64,
    /// Discharge temperature that trips it, K.
    pub hot: f64,
    /// How long it must be that hot, s.
    pub hot_delay: f64,
    /// Receiver pressure at which automatic starts it and stops it, Pa absolute.
    pub automatic: (f64, f64),
    /// Water condensed for each kg of air.
    pub moisture: f64,
    /// Its motor.
    pub motor: MotorParams,
}

/// Who starts and stops it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Selector {
    /// Stopped.
    Off,
    /// Runs until it is switched off; starts again when its trip is reset while it stands here.
    Hand,
    /// Starts and stops by the receiver's pressure.
    Automatic,
}

base::kept!(enum Selector { 0 Off, 1 Hand, 2 Automatic });

/// What can be wrong with a compressor beside its motor, trip and switch.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct CompressorFailing {
    /// The unloader is stuck: always unloaded (true) or never (false).
    pub unloader: Option<bool>,
    /// Part of its delivery lost through leaking valves or an open drain, 0 sound to 1.
    pub worn: f64,
    /// Power that a hot bearing takes at rated speed, as a part of the motor's rated power.
    pub bearing: f64,
}

base::kept!(CompressorFailing { unloader, worn, bearing });

/// What the air goes through in the machine, for each kg.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Passage {
    /// Work taken in, J/kg.
    pub work: f64,
    /// Heat given to the block, J/kg.
    pub heat: f64,
    /// Highest discharge temperature, K.
    pub discharge: f64,
    /// Temperature after the aftercooler, K.
    pub leaves: f64,
}

/// Takes a kg of air from intake (K) through the stages at a pressure ratio with the block at a
/// temperature (K).
#[must_use]
pub fn passage(p: &CompressorParams, intake: f64, ratio: f64, block: f64) -> Passage {
    let stages = p.stages.clamp(1, 2);
    let of_stage = if stages == 2 { base::maths::sqrt(ratio) } else { ratio };
    let (mut t, mut work, mut discharge) = (intake, 0.0, intake);
    for stage in 1..=stages {
        let (w, end) = compress_stage(t, of_stage, p.exponent);
        work += w;
        discharge = f64::max(discharge, end);
        let eps = if stage < stages { p.cooler_effectiveness.0 } else { p.cooler_effectiveness.1 };
        t = end - eps * (end - block);
    }
    // Whatever of the work the air does not take along stays in the block.
    Passage { work, heat: work - CP * (t - intake), discharge, leaves: t }
}

/// A compressor and its state.
#[derive(Clone, Debug, PartialEq)]
pub struct Compressor {
    params: CompressorParams,
    /// Its motor and starter.
    pub motor: Motor,
    /// What is wrong with it.
    pub failing: CompressorFailing,
    /// Who starts and stops it.
    pub selector: Selector,
    /// Its discharge-temperature switch.
    pub hot_switch: Switch,
    /// Its trip: one cause, the discharge temperature.
    pub trip: TripUnit,
    low: Threshold,
    asked: bool,
    since_start: f64,
    unloaded: bool,
    block: f64,
    discharge: f64,
    delivered: f64,
    lost: f64,
    shaft_power: f64,
    water_heat: f64,
    account: CompressorAccount,
}

base::kept!(Compressor { motor, failing, selector, hot_switch, trip, low, asked, since_start, unloaded, block,
    discharge, delivered, lost, shaft_power, water_heat, account }
    fixed { params });

/// What a compressor has taken and given since the start, J: for an independent ledger.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct CompressorAccount {
    /// Air taken in, kg.
    pub taken: f64,
    /// Its enthalpy, J.
    pub intake_energy: f64,
    /// Shaft work, J.
    pub work: f64,
    /// Heat to the cooling water, J.
    pub water: f64,
    /// Heat to the surroundings, J.
    pub ambient: f64,
    /// Air lost before delivery, kg.
    pub lost: f64,
    /// Its enthalpy, J.
    pub lost_energy: f64,
}

base::kept!(CompressorAccount { taken, intake_energy, work, water, ambient, lost, lost_energy });

/// What surrounds a compressor on one tick.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Around {
    /// Its supply is live.
    pub live: bool,
    /// Temperature of intake air and surroundings, K.
    pub ambient: f64,
    /// Receiver pressure, actual, Pa absolute.
    pub receiver: Actual,
    /// Receiver pressure as its automatic sees it, Pa absolute.
    pub pressure: Signal,
    /// Cooling water as it comes in.
    pub water: Side,
}

/// What a compressor gives on one tick.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Delivery {
    /// Air, kg/s.
    pub flow: f64,
    /// Enthalpy flow with it, W.
    pub energy: f64,
    /// Heat into the cooling water, W.
    pub water_heat: f64,
    /// Condensed water that goes with the air, kg/s.
    pub moisture: f64,
}

impl Compressor {
    /// A compressor at rest and at this temperature (K), switched off.
    #[must_use]
    pub fn new(params: CompressorParams, temperature: f64) -> Compressor {
        let (start, stop) = params.automatic;
        let low = ThresholdParams { setting: start, differential: stop - start, delay: 0.0, acts: Acts::Falling };
        let hot =
            ThresholdParams { setting: params.hot, differential: 10.0, delay: params.hot_delay, acts: Acts::Rising };
        Compressor {
            params,
            motor: Motor::new(params.motor),
            failing: CompressorFailing::default(),
            selector: Selector::Off,
            hot_switch: Switch::new(hot),
            trip: TripUnit::new(&[CauseParams { delay: 0.0 }]),
            low: Threshold::new(low),
            asked: false,
            since_start: 0.0,
            unloaded: true,
            block: temperature,
            discharge: temperature,
            delivered: 0.0,
            lost: 0.0,
            shaft_power: 0.0,
            water_heat: 0.0,
            account: CompressorAccount::default(),
        }
    }

    /// Its data.
    #[must_use]
    pub fn params(&self) -> &CompressorParams {
        &self.params
    }

    /// Discharge temperature, K (the hotter stage's).
    #[must_use]
    pub fn discharge_temperature(&self) -> f64 {
        self.discharge
    }

    /// Temperature of the block, K.
    #[must_use]
    pub fn block_temperature(&self) -> f64 {
        self.block
    }

    /// Energy held by the block, J above 0 K.
    #[must_use]
    pub fn block_energy(&self) -> f64 {
        self.params.block * self.block
    }

    /// Air delivered, kg/s.
    #[must_use]
    pub fn delivered(&self) -> f64 {
        self.delivered
    }

    /// Shaft power, W.
    #[must_use]
    pub fn shaft_power(&self) -> f64 {
        self.shaft_power
    }

    /// It runs without compressing.
    #[must_use]
    pub fn is_unloaded(&self) -> bool {
        self.unloaded
    }

    /// What it has taken and given since the start.
    #[must_use]
    pub fn account(&self) -> CompressorAccount {
        self.account
    }

    /// Starts and stops the motor by selector, pressure and trip.
    fn command(&mut self, around: &Around, dt: f64) {
        let low = self.low.step(around.pressure.0, dt);
        let hot = self.hot_switch.step(Actual(self.discharge), dt).is_on();
        let tripped = self.trip.step(&[hot], dt);
        let wanted = match self.selector {
            Selector::Off => false,
            Selector::Hand => true,
            Selector::Automatic => low,
        } && !tripped;
        if wanted && !self.motor.is_running() {
            // In hand it is asked once; the automatic asks until it runs.
            if self.selector == Selector::Automatic || !self.asked {
                self.motor.start();
            }
        } else if !wanted {
            self.motor.stop();
        }
        self.asked = wanted;
    }

    /// Runs for `dt` seconds. The caller puts the delivery into the receiver and the heat into the
    /// cooling water's link.
    pub fn step(&mut self, around: &Around, dt: f64) -> Delivery {
        let ran = self.motor.is_running();
        let rubs = self.failing.bearing * self.params.motor.rated_power * self.motor.speed();
        self.motor.step(around.live, self.shaft_power + rubs, dt);
        self.command(around, dt);
        self.since_start = if ran { self.since_start + dt } else { 0.0 };
        let p = self.params;
        let speed = self.motor.speed();
        let starting = speed < 1.0 || self.since_start < p.unload_time;
        self.unloaded = self.failing.unloader.unwrap_or(starting || !self.motor.is_running());
        let ratio = around.receiver.0.max(ATMOSPHERE) / ATMOSPHERE;
        let friction = p.friction * speed;
        let mut heat = friction;
        let mut out = Delivery::default();
        self.shaft_power = friction;
        self.lost = 0.0;
        if self.unloaded || speed == 0.0 {
            // The thermometer pocket cools towards the block, in about half a minute.
            self.discharge += dt / (dt + 30.0) * (self.block - self.discharge);
        } else {
            let of_stage = pow(ratio, 1.0 / f64::from(p.stages.clamp(1, 2)));
            let filled = (1.0 + p.clearance - p.clearance * pow(of_stage, 1.0 / p.exponent)).max(0.0);
            let flow = ATMOSPHERE / (R * around.ambient) * p.displacement * speed * filled;
            let air = passage(&p, around.ambient, ratio, self.block);
            self.discharge += dt / (dt + 3.0) * (air.discharge - self.discharge);
            self.shaft_power += flow * air.work;
            heat += flow * air.heat;
            self.lost = flow * self.failing.worn;
            out.flow = flow - self.lost;
            out.energy = out.flow * CP * air.leaves;
            out.moisture = out.flow * p.moisture;
            let account = &mut self.account;
            account.taken += dt * flow;
            account.intake_energy += dt * flow * CP * around.ambient;
            account.lost += dt * self.lost;
            account.lost_energy += dt * self.lost * CP * air.leaves;
        }
        self.delivered = out.flow;
        let carried = around.water.mass_flow * around.water.heat_capacity;
        let by_water = if carried > 0.0 { carried * (1.0 - exp(-p.water_conductance / carried)) } else { 0.0 };
        let outside = by_water * around.water.temperature + p.ambient_conductance * around.ambient;
        let conductance = by_water + p.ambient_conductance;
        self.block = (p.block * self.block + dt * (heat + outside)) / (p.block + dt * conductance);
        out.water_heat = by_water * (self.block - around.water.temperature);
        self.water_heat = out.water_heat;
        self.account.work += dt * self.shaft_power;
        self.account.water += dt * out.water_heat;
        self.account.ambient += dt * p.ambient_conductance * (self.block - around.ambient);
        out
    }

    /// Heat to the cooling water, W.
    #[must_use]
    pub fn water_heat(&self) -> f64 {
        self.water_heat
    }
}

#[cfg(test)]
mod tests;
