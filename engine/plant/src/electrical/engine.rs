//! A diesel engine that drives a generator.
//!
//! Equations:
//! - torque of the cylinders `T = r (T_rated + T_friction)` with the rack `r` (one gives rated power at rated speed), the rack
//!   behind its demand by one lag; friction `T_f (0.5 + 0.5 w)` opposes the turning;
//! - cranking torque falls in a straight line to none at the cranking speed and goes with the pressure of the starting
//!   air; it fires after it has turned fast enough for its time, and not at all without fuel;
//! - fuel heat is indicated work over indicated efficiency; of the rest one part warms the block (jacket, oil and
//!   charge air together), the other leaves with the exhaust; friction warms the block too;
//! - block and its water are one heat store; it gives to a cooling stream `(1 - exp(-UA/C)) C (T - T_in)`, to its own
//!   fan with speed, and to the room;
//! - oil pressure rises with speed up to its regulating valve and falls with a leak, behind one lag.
//!
//! Trips: overspeed, low oil pressure, hot jacket, failed start, stop by hand. They latch, tell which came first, and
//! are reset by hand. Low oil pressure and start failure are looked at only while they can mean something.
//! Assumptions: no turbocharger lag and no smoke limit; one temperature for block and water; heat of the oil goes with
//! the jacket's. Valid from rest to 130 % of speed; past that it races: the charge has ever less time to burn, so that the
//! torque fades to none at 140 %, and its bearings are hurt (own choice, so that a racing engine comes to an end).
//! Figures: brake efficiency about 0.40 and a quarter of the fuel's heat to jacket, oil and charge air are
//! handbook classes of value for medium-speed engines (from memory); lower heating value 42.7 MJ/kg as the distillate
//! default of the IMO NOx Technical Code (from memory). Rated figures stand in the plant's file.
//! Units: SI; speed as a part of rated; rack as a part of that at rated load.

use crate::control::{CauseParams, TripUnit};
use crate::damage::{Damage, HeatLimit};
use crate::machines::Side;
use base::maths::exp;

/// What turns it at a start.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Starting {
    /// Compressed air: pressure at which the cranking torque is rated, least pressure, Pa absolute; air at rated pressure, kg/s.
    Air {
        /// Pressure of the rated cranking torque, Pa.
        rated: f64,
        /// Below this it does not turn, Pa.
        least: f64,
        /// Air used at rated pressure, kg/s.
        flow: f64,
    },
    /// An electric starter on the battery: power drawn while it cranks, W.
    Electric {
        /// Power from the battery, W.
        power: f64,
    },
}

/// An engine's data.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EngineParams {
    /// Rated shaft power, W.
    pub power: f64,
    /// Rated speed, rad/s.
    pub omega: f64,
    /// Friction torque at rated speed, part of rated torque.
    pub friction: f64,
    /// Lag from fuel demand to torque, s.
    pub rack_time: f64,
    /// Indicated work over fuel heat.
    pub efficiency: f64,
    /// Lower heating value of its fuel, J/kg.
    pub heating_value: f64,
    /// Part of the heat that is not work which warms the block.
    pub to_block: f64,
    /// What starts it.
    pub starting: Starting,
    /// Cranking torque at rest, part of rated torque.
    pub cranking: f64,
    /// Speed at which the cranking torque is gone, part of rated.
    pub cranking_speed: f64,
    /// Speed from which it fires, part of rated.
    pub fires_from: f64,
    /// How long it must turn so fast before it fires, s.
    pub fires_after: f64,
    /// Longest cranking before the start has failed, s.
    pub cranks_for: f64,
    /// Rack limit while it runs up.
    pub start_rack: f64,
    /// Heat capacity of block and water within, J/K.
    pub block: f64,
    /// Block to the cooling stream, W/K.
    pub to_water: f64,
    /// Block to its own fan at rated speed, W/K; zero for none.
    pub to_fan: f64,
    /// Block to the room, W/K.
    pub to_room: f64,
    /// Oil pressure at the regulating valve, Pa gauge.
    pub oil_pressure: f64,
    /// Trip settings.
    pub trips: EngineTrips,
}

/// When an engine trips.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EngineTrips {
    /// Overspeed, part of rated.
    pub overspeed: f64,
    /// Oil pressure, Pa gauge; none stands for "alarm only".
    pub oil: Option<f64>,
    /// Jacket temperature, K; none stands for "alarm only".
    pub jacket: Option<f64>,
    /// How long low oil pressure and a hot jacket must stand, s.
    pub delay: f64,
}

/// What an engine is doing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EngineState {
    /// No fuel; it stands or runs down.
    Stopped,
    /// Turned by air or starter.
    Cranking,
    /// On fuel.
    Running,
}

base::kept!(enum EngineState { 0 Stopped, 1 Cranking, 2 Running });

/// Why it tripped, in the order of its trip unit.
pub const ENGINE_CAUSES: [&str; 5] = [
    "overspeed",
    "lube-oil pressure low",
    "jacket temperature high",
    "start failure",
    "stopped by hand in an emergency",
];

/// What can be wrong with it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct EngineFailing {
    /// It cranks and does not fire.
    pub will_not_start: bool,
    /// Part of its oil pressure that is lost.
    pub oil_leak: f64,
    /// The overspeed trip is dead.
    pub overspeed_dead: bool,
}

base::kept!(EngineFailing { will_not_start, oil_leak, overspeed_dead });

/// What went through it since the start, J and kg.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct EngineAccount {
    /// Heat of the fuel, J.
    pub fuel_heat: f64,
    /// Fuel, kg.
    pub fuel: f64,
    /// Work of cranking, J.
    pub cranking: f64,
    /// Energy drawn from the battery by an electric starter, J.
    pub starter: f64,
    /// Heat to the cooling stream, J.
    pub water: f64,
    /// Heat with exhaust, own fan and to the room, J.
    pub lost: f64,
}

base::kept!(EngineAccount { fuel_heat, fuel, cranking, starter, water, lost });

/// An engine and its state.
#[derive(Clone, Debug)]
pub struct DieselEngine {
    params: EngineParams,
    /// What is wrong with it.
    pub failing: EngineFailing,
    /// Its trip unit.
    pub trip: TripUnit,
    /// Bearings run without oil.
    pub bearings: Damage,
    /// Liners and pistons overheated.
    pub liners: Damage,
    state: EngineState,
    rack: f64,
    /// How long it has cranked, and how long fast enough, s.
    cranked: (f64, f64),
    ran: f64,
    temperature: f64,
    oil: f64,
    to_block: f64,
    stop_pushed: bool,
    account: EngineAccount,
}

base::kept!(DieselEngine { failing, trip, bearings, liners, state, rack, cranked, ran, temperature, oil, to_block,
    stop_pushed, account }
    fixed { params });

/// Hurts liners and pistons: own choice, a class of value of makers' stop limits and half an hour's grace.
const OVERHEAT: HeatLimit = HeatLimit { from: 378.15, life: 1800.0, doubling: 6.0 };
/// Seconds after firing until low oil pressure counts (common practice: the pressure must build up).
const OIL_ARMED: f64 = 8.0;
/// Seconds of running dry that spoil the bearings: own choice.
const DRY_LIFE: f64 = 90.0;
/// It races from here, and gets no faster than there, parts of rated speed: own choice.
const RACES: (f64, f64) = (1.3, 1.4);
/// Seconds until bearings are spoilt that race as fast as that: own choice.
const RACING_LIFE: f64 = 60.0;

impl DieselEngine {
    /// An engine at rest, as warm as the room.
    #[must_use]
    pub fn new(params: EngineParams, temperature: f64) -> DieselEngine {
        let delay = params.trips.delay;
        let causes = [0.0, delay, delay, 0.0, 0.0].map(|delay| CauseParams { delay });
        DieselEngine {
            params,
            failing: EngineFailing::default(),
            trip: TripUnit::new(&causes),
            bearings: Damage::none("bearings run dry or too fast"),
            liners: Damage::none("liners and pistons overheated"),
            state: EngineState::Stopped,
            rack: 0.0,
            cranked: (0.0, 0.0),
            ran: 0.0,
            temperature,
            oil: 0.0,
            to_block: 0.0,
            stop_pushed: false,
            account: EngineAccount::default(),
        }
    }

    /// Its data.
    #[must_use]
    pub fn params(&self) -> &EngineParams {
        &self.params
    }

    /// What it is doing.
    #[must_use]
    pub fn state(&self) -> EngineState {
        self.state
    }

    /// Fuel rack.
    #[must_use]
    pub fn rack(&self) -> f64 {
        self.rack
    }

    /// Jacket temperature, K.
    #[must_use]
    pub fn temperature(&self) -> f64 {
        self.temperature
    }

    /// Oil pressure, Pa gauge.
    #[must_use]
    pub fn oil_pressure(&self) -> f64 {
        self.oil
    }

    /// What went through it.
    #[must_use]
    pub fn account(&self) -> &EngineAccount {
        &self.account
    }

    /// The emergency stop is pushed in.
    #[must_use]
    pub fn stop_pushed(&self) -> bool {
        self.stop_pushed
    }

    /// The emergency stop is pushed in or released.
    pub fn push_stop(&mut self, pushed: bool) {
        self.stop_pushed = pushed;
    }

    /// Starts it.
    ///
    /// # Errors
    /// Why it does not: a trip that is not reset, no starting air.
    pub fn start(&mut self, starting_air: f64) -> Result<(), String> {
        if self.trip.is_tripped() {
            let cause = self.trip.first_out().map_or("a trip", |i| ENGINE_CAUSES[i]);
            return Err(format!("it is tripped ({cause}); reset it first"));
        }
        if self.stop_pushed {
            return Err("its emergency stop is pushed in".into());
        }
        if let Starting::Air { least, .. } = self.params.starting
            && starting_air < least
        {
            return Err("there is not enough starting air".into());
        }
        self.crank();
        Ok(())
    }

    /// Nothing keeps it from starting.
    #[must_use]
    pub fn can_start(&self, starting_air: f64) -> bool {
        let air = !matches!(self.params.starting, Starting::Air { least, .. } if starting_air < least);
        air && !self.trip.is_tripped() && !self.stop_pushed
    }

    /// Cranks it, if it stands.
    pub fn crank(&mut self) {
        if self.state == EngineState::Stopped {
            (self.state, self.cranked) = (EngineState::Cranking, (0.0, 0.0));
        }
    }

    /// Stops it: fuel off.
    pub fn stop(&mut self) {
        self.state = EngineState::Stopped;
    }

    /// Torque of cylinders or starter and braking torque at this speed (part of rated), N m, and the fuel demand's lag.
    /// `starting` is the pressure of the starting air, Pa, or whether the battery is live (any positive number).
    pub fn torque(&mut self, speed: f64, demand: f64, starting: f64, dt: f64) -> (f64, f64) {
        let p = &self.params;
        let rated = p.power / p.omega;
        let brake = rated * p.friction * (0.5 + 0.5 * speed);
        let burns = ((RACES.1 - speed) / (RACES.1 - RACES.0)).clamp(0.0, 1.0);
        let wanted = if self.state == EngineState::Running { demand * burns } else { 0.0 };
        self.rack += (wanted - self.rack) * (dt / p.rack_time).min(1.0);
        if self.state != EngineState::Running && self.rack < 1e-9 {
            self.rack = 0.0;
        }
        let cylinders = self.rack * rated * (1.0 + p.friction);
        let crank = if self.state == EngineState::Cranking {
            let strength = match p.starting {
                Starting::Air { rated, least, .. } if starting >= least => starting / rated,
                Starting::Electric { .. } if starting > 0.0 => 1.0,
                _ => 0.0,
            };
            strength * rated * p.cranking * (1.0 - speed / p.cranking_speed).max(0.0)
        } else {
            0.0
        };
        (cylinders + crank, brake)
    }

    /// What came of the step: the torque that drove, the mean speed (rad/s), and the energy that friction took, J.
    pub fn worked(&mut self, drive: f64, mean: f64, braked: f64, dt: f64) {
        let p = &self.params;
        let cylinders = self.rack * p.power / p.omega * (1.0 + p.friction);
        let work = cylinders * mean * dt;
        let heat = work / p.efficiency;
        let a = &mut self.account;
        a.fuel_heat += heat;
        a.fuel += heat / p.heating_value;
        a.cranking += (drive - cylinders) * mean * dt;
        let left = heat - work;
        self.to_block += p.to_block * left + braked;
        a.lost += (1.0 - p.to_block) * left;
    }

    /// Once a tick, before it works: state, oil and trips. Returns the starting air used and the power from the battery;
    /// its heat comes from [`DieselEngine::cool`].
    pub fn step(&mut self, dt: f64, around: &EngineAround) -> EngineGives {
        let speed = around.speed;
        let (mut air, mut electric) = (0.0, 0.0);
        if self.state == EngineState::Cranking {
            match self.params.starting {
                Starting::Air { rated, least, flow } if around.starting >= least => {
                    air = flow * around.starting / rated;
                }
                Starting::Electric { power } if around.starting > 0.0 => electric = power,
                _ => {}
            }
            self.account.starter += electric * dt;
            self.cranked.0 += dt;
            let fires = speed >= self.params.fires_from && around.fuel && !self.failing.will_not_start;
            self.cranked.1 = if fires { self.cranked.1 + dt } else { 0.0 };
            if self.cranked.1 >= self.params.fires_after {
                (self.state, self.ran) = (EngineState::Running, 0.0);
            }
        }
        if self.state == EngineState::Running {
            self.ran += dt;
            if !around.fuel {
                self.state = EngineState::Stopped;
            }
        }
        let p = &self.params;
        let oil = p.oil_pressure * (speed / 0.6).min(1.0) * (1.0 - self.failing.oil_leak);
        self.oil += (oil - self.oil) * (dt / 0.8).min(1.0);
        let half = 0.5 * p.trips.oil.unwrap_or(0.4 * p.oil_pressure);
        if speed > 0.3 && self.oil < half {
            self.bearings.blow(dt / DRY_LIFE * (1.0 - self.oil / half));
        }
        if speed > RACES.0 {
            self.bearings.blow(dt / RACING_LIFE * (speed - RACES.0) / (RACES.1 - RACES.0));
        }
        self.trips(speed, dt);
        EngineGives { water: 0.0, air, electric }
    }

    /// Once a tick, after its work is known: the block warms.
    pub fn warm(&mut self, dt: f64) {
        self.temperature += self.to_block / self.params.block;
        self.to_block = 0.0;
        self.liners.heat(self.temperature, OVERHEAT, dt);
    }

    /// Once a tick: the block gives heat. Returns the heat to the cooling stream, W.
    pub fn cool(&mut self, dt: f64, around: &EngineAround) -> f64 {
        let p = &self.params;
        let water = around.water.map_or(0.0, |s| {
            let c = s.mass_flow * s.heat_capacity;
            if c > 0.0 { (1.0 - exp(-p.to_water / c)) * c * (self.temperature - s.temperature) } else { 0.0 }
        });
        let lost = (p.to_fan * around.speed + p.to_room) * (self.temperature - around.room);
        self.temperature -= (water + lost) * dt / p.block;
        self.account.water += water * dt;
        self.account.lost += lost * dt;
        water
    }

    fn trips(&mut self, speed: f64, dt: f64) {
        let t = &self.params.trips;
        let running = self.state == EngineState::Running;
        let present = [
            speed > t.overspeed && !self.failing.overspeed_dead,
            running && self.ran > OIL_ARMED && t.oil.is_some_and(|p| self.oil < p),
            running && t.jacket.is_some_and(|k| self.temperature > k),
            self.state == EngineState::Cranking && self.cranked.0 > self.params.cranks_for,
            self.stop_pushed,
        ];
        // While it stands nothing is present, and the unit needs no look.
        if self.trip.step(&present, dt) && self.state != EngineState::Stopped {
            self.state = EngineState::Stopped;
        }
    }

    /// Heat capacity of block and water, J/K.
    #[must_use]
    pub fn capacity(&self) -> f64 {
        self.params.block
    }

    /// Puts it on fuel at a rack and temperature at once, for a prepared start.
    pub fn prepare_running(&mut self, rack: f64, temperature: f64) {
        (self.state, self.rack, self.temperature) = (EngineState::Running, rack, temperature);
        (self.oil, self.ran) = (self.params.oil_pressure, 60.0);
    }
}

/// What surrounds an engine in a tick.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EngineAround {
    /// Speed of its shaft, part of rated.
    pub speed: f64,
    /// The cooling stream.
    pub water: Option<Side>,
    /// The room, K.
    pub room: f64,
    /// Pressure of the starting air, Pa absolute; for an electric starter anything above zero when the battery is live.
    pub starting: f64,
    /// There is fuel.
    pub fuel: bool,
}

/// What an engine gives and takes in a tick.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct EngineGives {
    /// Heat to the cooling stream, W.
    pub water: f64,
    /// Starting air used, kg/s.
    pub air: f64,
    /// Power from the battery, W.
    pub electric: f64,
}

base::kept!(EngineGives { water, air, electric });
