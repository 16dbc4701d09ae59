//! Forced draught: fan, damper, the resistance of register, furnace and stack, and the purge.
//!
//! ```text
//! fan      dp = p0 n2 - a q2                 n speed over rated, q mass flow
//! damper   dp = Rd q2/f(z)2,  f = leak + (1 - leak) z2
//! rest     dp = (Rr + Rs) q2                 register with furnace; stack
//! stack    draught B = g H (ra - rs)
//! balance  q = sqrt((p0 n2 + B)/(a + Rd/f2 + Rr + Rs))
//! ```
//! Quasi-steady: the air in the duct answers within a tick. Mass flow is used throughout; the change of
//! the stack's resistance with its temperature is left out. With the fan stopped only the stack draws.
//! The fan runs up and down in its own time. Figures of a plant: own choice.

use crate::machines::Seized;
use base::units::CELSIUS_ZERO;

/// Standard gravity, m/s2.
const G: f64 = 9.806_65;
/// Density of gas at 0 °C and one atmosphere, kg/m3; air and flue gas alike.
const DENSITY_ZERO: f64 = 1.293;

/// Figures of fan, damper and passages; see the head of the file.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DraughtParams {
    /// Pressure of the fan at no flow, Pa.
    pub shut_off_pressure: f64,
    /// Fall of its curve, Pa/(kg/s)2.
    pub fan_fall: f64,
    /// Time to run up to speed, s.
    pub run_up: f64,
    /// Time in which the speed falls to a third after stopping, s.
    pub run_down: f64,
    /// Damper fully open, Pa/(kg/s)2.
    pub damper_resistance: f64,
    /// Open part that is left when shut.
    pub damper_leak: f64,
    /// Damper's stroke from end to end, s.
    pub damper_stroke: f64,
    /// Air register, Pa/(kg/s)2.
    pub register_resistance: f64,
    /// Furnace to the top of the stack, Pa/(kg/s)2.
    pub stack_resistance: f64,
    /// Height of the stack, m.
    pub stack_height: f64,
    /// Electrical power at full flow, W, taken by the fan's motor.
    pub power_nominal: f64,
}

/// Something that sticks, or lets by what it should hold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DraughtFailings {
    /// The damper does not move.
    pub damper_seized: Option<Seized>,
    /// The damper's stroke takes this many times longer (1 sound).
    pub damper_sluggish: f64,
    /// Open part that is left when the damper is shut, beside its own leak.
    pub damper_passing: f64,
    /// The fan trips, and trips again as long as this lasts.
    pub fan_dead: bool,
    /// The contactor of the fan does not close.
    pub fan_will_not_start: bool,
    /// The fan's coupling has sheared: its motor turns alone.
    pub fan_sheared: bool,
    /// Part of its pressure that wear and dirt have taken from the fan's wheel.
    pub fan_worn: f64,
    /// Part of the air path that is choked, 0 clear to 1 shut.
    pub choked: f64,
}

impl Default for DraughtFailings {
    fn default() -> DraughtFailings {
        DraughtFailings {
            damper_seized: None,
            damper_sluggish: 1.0,
            damper_passing: 0.0,
            fan_dead: false,
            fan_will_not_start: false,
            fan_sheared: false,
            fan_worn: 0.0,
            choked: 0.0,
        }
    }
}

base::kept!(DraughtFailings {
    damper_seized,
    damper_sluggish,
    damper_passing,
    fan_dead,
    fan_will_not_start,
    fan_sheared,
    fan_worn,
    choked
});

/// The forced-draught fan with its damper and the passages behind it.
#[derive(Clone, Debug, PartialEq)]
pub struct Draught {
    params: DraughtParams,
    /// What is wrong with it.
    pub failings: DraughtFailings,
    speed: f64,
    damper: f64,
    flow: f64,
    windbox: f64,
    furnace: f64,
}

base::kept!(Draught { failings, speed, damper, flow, windbox, furnace } fixed { params });

impl Draught {
    /// Fan stopped, damper shut.
    #[must_use]
    pub fn new(params: DraughtParams) -> Draught {
        Draught {
            params,
            failings: DraughtFailings::default(),
            speed: 0.0,
            damper: 0.0,
            flow: 0.0,
            windbox: 0.0,
            furnace: 0.0,
        }
    }

    /// One tick: `run` when the motor has power and is started, `damper_cmd` 0 shut to 1 open, stack and
    /// ambient in K.
    pub fn step(&mut self, dt: f64, run: bool, damper_cmd: f64, stack: f64, ambient: f64) {
        let p = &self.params;
        if run && !self.failings.fan_dead && !self.failings.fan_sheared {
            self.speed = (self.speed + dt / p.run_up).min(1.0);
        } else {
            self.speed -= self.speed * (dt / p.run_down).min(1.0);
            if self.speed < 1e-3 {
                self.speed = 0.0;
            }
        }
        match self.failings.damper_seized {
            Some(Seized::WhereItStands) => {}
            Some(Seized::At(position)) => self.damper = position,
            None => {
                let most = dt / (p.damper_stroke * self.failings.damper_sluggish);
                self.damper += (damper_cmd.clamp(0.0, 1.0) - self.damper).clamp(-most, most);
            }
        }
        let leak = p.damper_leak.max(self.failings.damper_passing);
        let open = leak + (1.0 - leak) * self.damper * self.damper;
        let clear = (1.0 - self.failings.choked).max(p.damper_leak);
        let open = open * clear;
        let draw = G * p.stack_height * DENSITY_ZERO * CELSIUS_ZERO * (1.0 / ambient - 1.0 / stack);
        let rest = p.register_resistance + p.stack_resistance;
        let through = p.fan_fall + p.damper_resistance / (open * open) + rest;
        let head = p.shut_off_pressure * (1.0 - self.failings.fan_worn) * self.speed * self.speed + draw;
        // A stack colder than the air outside draws backwards; the dampers of the uptake hold that.
        self.flow = (head.max(0.0) / through).sqrt();
        let q2 = self.flow * self.flow;
        self.furnace = p.stack_resistance * q2 - draw;
        self.windbox = self.furnace + p.register_resistance * q2;
    }

    /// Air flow, kg/s.
    #[must_use]
    pub fn flow(&self) -> f64 {
        self.flow
    }

    /// Speed of the fan over rated speed.
    #[must_use]
    pub fn speed(&self) -> f64 {
        self.speed
    }

    /// Where the damper stands, 0 shut to 1 open.
    #[must_use]
    pub fn damper(&self) -> f64 {
        self.damper
    }

    /// Pressure in the windbox over atmosphere, Pa.
    #[must_use]
    pub fn windbox_pressure(&self) -> f64 {
        self.windbox
    }

    /// Pressure in the furnace over atmosphere, Pa.
    #[must_use]
    pub fn furnace_pressure(&self) -> f64 {
        self.furnace
    }

    /// Electrical power taken by the motor, W: a third at no flow, the rest with flow (own choice).
    #[must_use]
    pub fn power(&self) -> f64 {
        let p = &self.params;
        let full = (p.shut_off_pressure
            / (p.fan_fall + p.damper_resistance + p.register_resistance + p.stack_resistance))
            .sqrt();
        let n3 = self.speed * self.speed * self.speed;
        p.power_nominal * (n3 / 3.0 + self.speed * 2.0 / 3.0 * self.flow / full)
    }

    /// The damper opening that gives this air flow with the fan at speed and a cold stack; 1 when it cannot.
    #[must_use]
    pub fn opening_for(&self, flow: f64) -> f64 {
        let p = &self.params;
        let rest = p.fan_fall + p.register_resistance + p.stack_resistance;
        let left = p.shut_off_pressure / (flow * flow) - rest;
        if left <= p.damper_resistance {
            return 1.0;
        }
        let f = (p.damper_resistance / left).sqrt();
        ((f - p.damper_leak) / (1.0 - p.damper_leak)).clamp(0.0, 1.0).sqrt()
    }
}

/// When a purge counts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PurgeParams {
    /// Furnace and gas passes, m3.
    pub volume: f64,
    /// Volumes that must have passed.
    pub volumes_needed: f64,
    /// Air flow below which nothing counts and the count begins anew, kg/s.
    pub flow_min: f64,
}

/// Counts the furnace volumes of air that passed without a break.
#[derive(Clone, Debug, PartialEq)]
pub struct Purge {
    params: PurgeParams,
    volumes: f64,
    /// Failing: the count is given at once, whatever passed (a timer that is stuck made).
    pub stuck_made: bool,
    /// Failing: nothing is ever counted.
    pub dead: bool,
}

base::kept!(Purge { volumes, stuck_made, dead } fixed { params });

impl Purge {
    /// Nothing passed yet.
    #[must_use]
    pub fn new(params: PurgeParams) -> Purge {
        Purge { params, volumes: 0.0, stuck_made: false, dead: false }
    }

    /// One tick with the air flow as it is signalled, kg/s, and the gas temperature in the furnace, K.
    pub fn step(&mut self, dt: f64, air_flow: f64, temperature: f64) {
        if air_flow >= self.params.flow_min && !self.dead {
            let density = DENSITY_ZERO * CELSIUS_ZERO / temperature;
            self.volumes += air_flow / density * dt / self.params.volume;
        } else {
            self.volumes = 0.0;
        }
    }

    /// Begins anew.
    pub fn forget(&mut self) {
        self.volumes = 0.0;
    }

    /// Volumes that passed.
    #[must_use]
    pub fn volumes(&self) -> f64 {
        self.volumes
    }

    /// Whether enough has passed.
    #[must_use]
    pub fn done(&self) -> bool {
        self.stuck_made || self.volumes >= self.params.volumes_needed
    }
}
