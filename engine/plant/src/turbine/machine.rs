//! The turbine: valves, stages, rotor, metal, bearings and what hurts them, one tick at a time.
//!
//! A tick has five parts, so that steam net and generator can be solved between them:
//! 1. [`Turbine::control`]: the trip gear on signals.
//! 2. [`Turbine::valves`]: governor and stop valve give the way for steam.
//! 3. [`Turbine::before`]: what a kilogram gives up in the stages at the speed it will find, and what metal and windage give the steam.
//! 4. [`Turbine::pull`]: torques and power on the shaft from what the steam gave; whoever has the generator steps the shaft.
//! 5. [`Turbine::after`]: friction to the bearings, windage to the exhaust, bow, vibration, damage.
//!
//! The shaft: `J dw/dt = P_steam/w + T_turning - T_bearings - T_drag - T_pump - T_windage - T_generator` (`electrical::Shaft`, exact in energy).
//! The steam's work of a tick is the net's own number, so that steam and shaft close whatever the speed did in the tick. It is worked out for the
//! speed in the middle of the tick, foreseen by the torques of the tick before, so that a rotor starts from rest.
//! Water: what lies in the inlet line or the casing is dragged along in proportion to the flow; it hurts in proportion to the
//! speed (own choice), shakes the rotor, and does no work.
//! Hurt: rubbing at the seals (vibration past the clearance, or rotor and casing grown too far apart), heat between skin and core,
//! water, overspeed, and each bearing by itself.
//! Figures: own choice in the plant file. Units: SI; `n` is speed as a part of rated speed.

use super::bearing::{Bearing, BearingParams};
use super::bow::{Bow, BowParams};
use super::expansion::{Expansion, ExpansionParams, Inlet};
use super::governor::{Governor, GovernorParams};
use super::metal::{Around, Metal, MetalHeat, MetalParams};
use super::protection::{Protection, ProtectionParams, Watched};
use super::turning::{TurningGear, TurningParams};
use super::vibration::{Shaking, Vibration, VibrationParams};
use crate::damage::Damage;
use crate::electrical::{Shaft, Turned};
use crate::vessel::Equilibrium;
use crate::water;

/// Pressure of the trip oil below which springs shut the valves, Pa absolute (own choice: 0.3 bar over atmosphere).
const HOLDS: f64 = base::units::ATMOSPHERE + 0.3e5;
/// Part of a space's volume at which water in it is dragged along in full, and the greatest part of the flow that it makes.
const DRAGGED: (f64, f64) = (0.05, 0.4);
/// Water that spoils the blades at full speed, kg (own choice).
const WATER: f64 = 5.0;
/// What a kilogram of water a second adds to the vibration at full speed, m peak to peak (own choice).
const SHAKES: f64 = 400e-6;

/// When the rotor is hurt.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Rotor grown longer than the casing by so much, m: it touches; the same for shorter.
    pub axial: (f64, f64),
    /// Skin less core of the rotor, K, and the life at twice that, s.
    pub rotor_stress: (f64, f64),
    /// Inner less outer half of the casing, K, and the life at twice that, s.
    pub casing_stress: (f64, f64),
    /// Speed from which blades and discs are strained, part of rated.
    pub overspeed: f64,
}

/// The turbine's figures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TurbineParams {
    /// Rated speed of the shaft that is reckoned with, rad/s.
    pub omega: f64,
    /// Inertia of all that turns, referred to it, kg m2.
    pub inertia: f64,
    /// Drag of glands, gear teeth and brushes at any speed, N m.
    pub drag: f64,
    /// Stages.
    pub expansion: ExpansionParams,
    /// Metal.
    pub metal: MetalParams,
    /// Bow.
    pub bow: BowParams,
    /// Vibration.
    pub vibration: VibrationParams,
    /// Forward bearing, after bearing, gear.
    pub bearings: [BearingParams; 3],
    /// Governor and valves.
    pub governor: GovernorParams,
    /// Trip gear.
    pub protection: ProtectionParams,
    /// Turning gear.
    pub turning: TurningParams,
    /// When it is hurt.
    pub limits: Limits,
}

/// What it sees of the steam net and the oil before a tick.
#[derive(Clone, Copy, Debug)]
pub struct Seen<'a> {
    /// The inlet line.
    pub line: &'a Equilibrium,
    /// Its volume, m3.
    pub line_volume: f64,
    /// The casing before the stages.
    pub casing: &'a Equilibrium,
    /// Its volume, m3.
    pub casing_volume: f64,
    /// The exhaust behind the stages.
    pub exhaust: &'a Equilibrium,
    /// Flow through the admission in the last tick, kg/s.
    pub admission: f64,
    /// Flow through the stages, kg/s.
    pub stages: f64,
    /// Temperature of the casing's inner half, K.
    pub inner: f64,
    /// The room, K.
    pub ambient: f64,
    /// Viscosity of the oil, parts of nominal.
    pub mu: f64,
    /// Power that the shaft's oil pump takes, W.
    pub oil_pump: f64,
}

/// What it gives to the steam net before the net is stepped.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ToSteam {
    /// Work that a kilogram gives up in the stages, J/kg.
    pub work: f64,
    /// Heat into the casing's contents, W.
    pub casing: f64,
    /// Heat into the exhaust's contents, W.
    pub exhaust: f64,
    /// Heat into the casing's inner metal, W.
    pub inner: f64,
    /// Film between casing and gas, W/K.
    pub film: f64,
    /// Water that the admission drags along, part of the flow.
    pub admission_water: f64,
    /// Water that the stages drag along, part of the flow.
    pub stages_water: f64,
}

/// What acts on the shaft during a tick.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Pull {
    /// Torque of the turning gear, N m.
    pub drive: f64,
    /// Torque of bearings, oil pump and windage, N m.
    pub brake: f64,
    /// Power of the steam, W; negative where the wheel drives it.
    pub power: f64,
}

base::kept!(Pull { drive, brake, power });

/// How the braking torque is shared, for [`Turbine::after`].
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Shares {
    bearings: [f64; 3],
    pump: f64,
    windage: f64,
    drag: f64,
}

base::kept!(Shares { bearings, pump, windage, drag });

/// Sums for the ledger, J.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct TurbineSums {
    /// Work of the turning gear.
    pub turning: f64,
    /// Heat of rotor and windage into the steam net.
    pub to_net: f64,
    /// Heat from the casing's outer half into its wall in the net.
    pub to_inner: f64,
    /// Work of the stages.
    pub worked: f64,
    /// Windage that waits for the next tick.
    pub waits: f64,
}

base::kept!(TurbineSums { turning, to_net, to_inner, worked, waits });

/// The turbine and its state.
#[derive(Clone, Debug, PartialEq)]
pub struct Turbine {
    params: TurbineParams,
    expansion: Expansion,
    /// Its shaft, with all that turns.
    pub shaft: Shaft,
    /// Its metal.
    pub metal: Metal,
    /// Its bow.
    pub bow: Bow,
    /// Its vibration.
    pub vibration: Vibration,
    /// Forward bearing, after bearing, gear.
    pub bearings: [Bearing; 3],
    /// Governor and valves.
    pub governor: Governor,
    /// Trip gear.
    pub protection: Protection,
    /// Turning gear.
    pub turning: TurningGear,
    /// The rotor has rubbed.
    pub rub: Damage,
    /// Heat has strained the rotor or casing.
    pub strain: Damage,
    /// Water has struck the blades.
    pub struck: Damage,
    /// It has run too fast.
    pub overspeed: Damage,
    shares: Shares,
    heat: MetalHeat,
    watched: Watched,
    water: f64,
    flow: f64,
    pull: Pull,
    efficiency: f64,
    sums: TurbineSums,
}

base::kept!(Turbine { expansion, shaft, metal, bow, vibration, bearings, governor, protection, turning, rub, strain,
    struck, overspeed, shares, heat, watched, water, flow, pull, efficiency, sums }
    fixed { params });

impl Turbine {
    /// A turbine at rest, as cold as the room, with the trip gear not set.
    #[must_use]
    pub fn new(params: TurbineParams, ambient: f64) -> Turbine {
        Turbine {
            expansion: Expansion::new(params.expansion),
            shaft: Shaft::at_rest(params.inertia),
            metal: Metal::new(params.metal, ambient),
            bow: Bow::new(params.bow),
            vibration: Vibration::new(params.vibration),
            bearings: params.bearings.map(|b| Bearing::new(b, ambient)),
            governor: Governor::new(params.governor),
            protection: Protection::new(params.protection),
            turning: TurningGear::new(params.turning),
            rub: Damage::none("rotor rubbed"),
            strain: Damage::none("rotor or casing strained by heat"),
            struck: Damage::none("blades struck by water"),
            overspeed: Damage::none("rotor strained by overspeed"),
            shares: Shares::default(),
            heat: MetalHeat::default(),
            watched: Watched::default(),
            water: 0.0,
            flow: 0.0,
            pull: Pull::default(),
            efficiency: 0.0,
            sums: TurbineSums::default(),
            params,
        }
    }

    /// Its figures.
    #[must_use]
    pub fn params(&self) -> &TurbineParams {
        &self.params
    }
    /// Its stages.
    #[must_use]
    pub fn expansion(&self) -> &Expansion {
        &self.expansion
    }
    /// Speed as a part of rated speed.
    #[must_use]
    pub fn n(&self) -> f64 {
        self.shaft.omega / self.params.omega
    }

    /// The trip gear, on signals; the bolt on the true speed.
    pub fn control(&mut self, signals: &Watched, dt: f64) {
        self.watched = Watched { speed: self.n(), ..*signals };
        self.protection.step(&self.watched, dt);
    }

    /// Sets the trip gear, on the signals of the last tick.
    ///
    /// # Errors
    /// A sentence that says what stands against it.
    pub fn reset(&mut self) -> Result<(), String> {
        self.protection.reset(&self.watched, self.governor.wheel())
    }

    /// Governor and stop valve for a tick: the way for steam as a part of both full open. `oil` is the true pressure, Pa absolute.
    pub fn valves(&mut self, oil: f64, dt: f64) -> f64 {
        let holds = self.protection.is_set() && oil > HOLDS;
        self.governor.step(self.n(), holds, dt) / self.governor.kv_full()
    }

    /// What the steam is given and gives in this tick, from the net as it stands.
    pub fn before(&mut self, seen: &Seen<'_>, dt: f64) -> ToSteam {
        let (e, exhaust) = (seen.casing, seen.exhaust);
        let nominal = self.params.expansion.flow;
        let flow = seen.stages.max(0.0);
        let drags = |e: &Equilibrium, volume: f64, flow: f64| {
            let full = (e.liquid_volume / (DRAGGED.0 * volume)).min(1.0);
            DRAGGED.1 * full * full * (flow.max(0.0) / (0.2 * nominal)).min(1.0)
        };
        let admission_water = drags(seen.line, seen.line_volume, seen.admission);
        let stages_water = drags(e, seen.casing_volume, flow);
        self.water = admission_water * seen.admission.max(0.0) + stages_water * flow;
        let inlet = Inlet {
            p: e.p,
            p_steam: e.p_steam,
            t: e.t,
            h_vapour: e.h_v,
            density: e.gas_density,
            air: e.air_fraction,
            liquid: stages_water,
        };
        let n = self.middle(&inlet, exhaust.p, flow, dt);
        let given = self.expansion.gives(&inlet, exhaust.p, n, flow);
        self.efficiency = given.efficiency();
        let around = Around {
            t: e.t,
            t_dew: if e.p_steam > 1000.0 { water::t_sat(e.p_steam) } else { 0.0 },
            share: (e.p_steam / e.p).min(1.0),
            flow: flow / nominal,
        };
        let bearings = 0.5 * (self.bearings[0].temperature() + self.bearings[1].temperature());
        self.heat = self.metal.step(&around, seen.inner, bearings, seen.ambient, dt);
        let windage = self.sums.waits / dt;
        self.sums.waits = 0.0;
        self.sums.to_net += (self.heat.to_steam + windage) * dt;
        self.sums.to_inner += self.heat.to_inner * dt;
        self.brakes(e.gas_density, exhaust.gas_density, seen);
        ToSteam {
            work: given.work,
            casing: self.heat.to_steam,
            exhaust: windage,
            inner: self.heat.to_inner,
            film: self.metal.dry_film(flow / nominal),
            admission_water,
            stages_water,
        }
    }

    /// Speed in the middle of the tick, part of rated, foreseen by the torques as they were.
    fn middle(&self, inlet: &Inlet, back: f64, flow: f64, dt: f64) -> f64 {
        let p = &self.params;
        let n = self.n();
        if n >= 0.5 {
            // A generator on the bus holds its speed; by itself it hardly changes within a tick.
            return n;
        }
        let near = n.max(1e-3);
        let steam = flow * self.expansion.gives(inlet, back, near, flow).work / (near * p.omega);
        let torque = steam + self.pull.drive - self.pull.brake;
        if n == 0.0 && torque <= 0.0 {
            return 0.0;
        }
        (n + 0.5 * dt * torque / (p.inertia * p.omega)).max(0.0)
    }

    /// Works out the braking torques at the present speed. Torque is power over speed; at rest each has its limit.
    fn brakes(&mut self, before: f64, behind: f64, seen: &Seen<'_>) {
        let omega = self.params.omega;
        let near = self.n().max(1e-6);
        self.shares = Shares {
            bearings: [0, 1, 2].map(|i| self.bearings[i].friction(near, seen.mu) / (near * omega)),
            pump: if near > 1e-3 { seen.oil_pump / (near * omega) } else { 0.0 },
            windage: self.expansion.windage(near, before, behind) / (near * omega),
            drag: self.params.drag,
        };
    }

    /// What acts on the shaft, from what the steam gave up in the tick (J) as it flowed (kg/s). `oil` is the pressure, Pa absolute; `live` the supply of the turning
    /// gear's motor.
    pub fn pull(&mut self, worked: f64, flow: f64, oil: f64, live: bool, dt: f64) -> Pull {
        self.flow = flow;
        let drive = self.turning.step(self.n(), oil, live);
        let s = &self.shares;
        let brake = s.bearings[0] + s.bearings[1] + s.bearings[2] + s.pump + s.windage + s.drag;
        self.sums.worked += worked;
        self.pull = Pull { drive, brake, power: worked / dt };
        self.pull
    }

    /// Turns the shaft with this tick's pull and a power taken off by a generator, W, where nobody else turns it.
    pub fn turn(&mut self, generator: f64, dt: f64) -> Turned {
        let Pull { drive, brake, power } = self.pull;
        self.shaft.step(drive, brake, generator - power, dt)
    }

    /// Ends the tick with what the shaft did, and the oil to all bearings (kg/s, K, J/(kg K)). Gives the heat into that oil and the work of
    /// the oil pump, W.
    pub fn after(&mut self, turned: &Turned, oil: (f64, f64, f64), ambient: f64, dt: f64) -> (f64, f64) {
        let (n, p) = (self.n(), &self.params);
        self.sums.turning += self.pull.drive * turned.mean * dt;
        let part = if self.pull.brake > 0.0 { turned.braked / self.pull.brake } else { 0.0 };
        let all: f64 = p.bearings.iter().map(|b| b.flow).sum();
        let mut to_oil = 0.0;
        for (i, b) in self.bearings.iter_mut().enumerate() {
            // What drags elsewhere is led away with the gear's oil.
            let drag = if i == 2 { self.shares.drag } else { 0.0 };
            let friction = (self.shares.bearings[i] + drag) * part / dt;
            // The rotor's ends lead their heat to the two bearings, none to the gear.
            let rotor = if i < 2 { 0.5 * self.heat.to_bearings } else { 0.0 };
            let flow = oil.0 * b.params().flow / all;
            b.step(n, friction, (flow, oil.1, oil.2), rotor, ambient, dt);
            to_oil += b.to_oil();
        }
        self.sums.waits += self.shares.windage * part;
        let pump = self.shares.pump * part / dt;
        let past = self.vibration.past();
        self.bow.step(n, self.metal.rotor(), ambient, past, dt);
        let shaking = Shaking {
            n,
            bow: self.bow.bow(),
            difference: self.metal.rotor_difference(),
            loose: self.bearings[0].damage.total().max(self.bearings[1].damage.total()).min(3.0),
            water: SHAKES * self.water * n.min(1.0),
        };
        self.vibration.step(&shaking, dt);
        self.hurt(n, past, dt);
        (to_oil, pump)
    }

    fn hurt(&mut self, n: f64, past: f64, dt: f64) {
        let l = self.params.limits;
        if n > 0.0 {
            // A tenth of a millimetre past the clearance at full speed spoils the seals in half a minute (own choice).
            self.rub.blow(past / 1e-4 * n * dt / 30.0);
            let grown = self.metal.differential_expansion();
            let touches = (grown - l.axial.0).max(-l.axial.1 - grown).max(0.0);
            self.rub.blow(touches / 1e-3 * n * dt / 10.0);
            self.struck.blow(self.water * n * dt / WATER);
        }
        self.strain.strain(self.metal.rotor_difference(), l.rotor_stress.0, l.rotor_stress.1, dt);
        self.strain.strain(self.metal.casing_difference(), l.casing_stress.0, l.casing_stress.1, dt);
        // A tenth of rated speed past the limit spoils the rotor in ten seconds (own choice).
        self.overspeed.blow((n - l.overspeed).max(0.0) / 0.1 * dt / 10.0);
    }

    /// Electric power of the turning gear, W: its motor and worm gear take as much again (own choice).
    #[must_use]
    pub fn turning_power(&self) -> f64 {
        2.0 * self.pull.drive * self.shaft.omega
    }
    /// Steam through the stages in the last tick, kg/s.
    #[must_use]
    pub fn flow(&self) -> f64 {
        self.flow
    }
    /// Water that is dragged through admission and stages, kg/s.
    #[must_use]
    pub fn water(&self) -> f64 {
        self.water
    }
    /// Work as a part of the drop without loss, as it last was.
    #[must_use]
    pub fn efficiency(&self) -> f64 {
        self.efficiency
    }
    /// What acted on the shaft in the last tick.
    #[must_use]
    pub fn pulled(&self) -> Pull {
        self.pull
    }
    /// The hottest bearing, K.
    #[must_use]
    pub fn hottest_bearing(&self) -> f64 {
        self.bearings.iter().fold(0.0, |m, b| b.temperature().max(m))
    }
    /// Sums for the ledger.
    #[must_use]
    pub fn sums(&self) -> TurbineSums {
        self.sums
    }
}
