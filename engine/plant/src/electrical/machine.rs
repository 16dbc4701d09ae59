//! A synchronous generator.
//!
//! Equations (per unit of its own rating; Kundur, Power System Stability and Control (1994), sections 3.9, 5.3
//! and 13.3; Sauer and Pai, Power System Dynamics and Stability (1998), one-axis model):
//! - angle against a frame that turns at nominal frequency: `d(delta)/dt = 2 pi f_0 (w - 1)`;
//! - the shaft: see [`Shaft`]; electrical power and losses are taken off as powers;
//! - force behind the transient reactance, along the q axis: `E = w psi`, with the field's flux
//!   `T'd0 d(psi)/dt = E_fd - psi - s (psi - a)^2 - (x_d - x'_d) i_d`, the square above `a` only; transient saliency is
//!   neglected (`x'_q = x'_d`). Saturation: the exciter gives a tenth more at rated flux and two fifths more at
//!   120 % than without iron (handbook class of value, from memory), from which `a` and `s` follow;
//! - damper winding: an asynchronous power `D (w - w_bus)` of which `w_bus/w` goes to the bus and the slip's part is
//!   lost; the bus runs at the mean of its machines, weighed by their dampers, or at a stiff supply's frequency;
//! - losses: a fixed part that goes with the square of speed (windage and iron), a load part with the square of current.
//!
//! Assumptions: no stator transients; valid from standstill (no voltage) to 120 % of speed.
//! At an out-of-phase closure the first current is `|dE| / (x''_1 + x_bus)` with the subtransient reactance, an
//! estimate for the damage ledger, not part of the swing.
//! Figures: makers' classes of value for small salient-pole ship's sets (x_d 1.5 to 2.5, x'_d 0.15 to 0.3,
//! x''_d 0.1 to 0.2, T'd0 1.5 to 4 s: handbook ranges, from memory); the plant's own stand in its file.

use super::phasor::Phasor;
use super::shaft::Shaft;
use base::maths::sqrt;
use core::f64::consts::{PI, TAU};

/// A generator's data. "Of its rating" is a part of volt-amperes, "per unit" a textbook's per-unit value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MachineParams {
    /// Rating, VA.
    pub rating: f64,
    /// Rated power, W: what the protection and the load share are measured by.
    pub power: f64,
    /// Rated voltage between lines, V.
    pub voltage: f64,
    /// Nominal frequency, Hz.
    pub frequency: f64,
    /// Speed of its shaft at nominal frequency, rad/s.
    pub omega: f64,
    /// Synchronous reactance, per unit.
    pub synchronous: f64,
    /// Transient reactance, per unit.
    pub transient: f64,
    /// Subtransient reactance, per unit: for the first current of a bad closure.
    pub subtransient: f64,
    /// Open-circuit time constant of the field, s; infinite for a constant force.
    pub field_time: f64,
    /// Whether its iron saturates.
    pub saturates: bool,
    /// Damper: power per unit for a slip of one.
    pub damper: f64,
    /// Windage and iron at rated speed, W.
    pub fixed_loss: f64,
    /// Copper at rated current, W.
    pub load_loss: f64,
}

/// A generator and its state.
#[derive(Clone, Debug, PartialEq)]
pub struct Machine {
    params: MachineParams,
    /// Its shaft.
    pub shaft: Shaft,
    /// Angle of its force against the nominal frame, rad, in (-pi, pi].
    pub angle: f64,
    /// Flux of the field, per unit: force at rated speed.
    pub flux: f64,
    force: Phasor,
    terminal: Phasor,
    /// Length of it, V.
    voltage: f64,
    power: f64,
    reactive: f64,
    /// Current, A.
    current: f64,
    loss: f64,
    /// Transient reactance, ohm, and rated current, A: of its data, worked out once.
    reactance: f64,
    current_rated: f64,
}

base::kept!(Machine { shaft, angle, flux, force, terminal, voltage, power, reactive, current, loss }
    fixed { params, reactance, current_rated });

impl Machine {
    /// A generator at rest, without voltage.
    #[must_use]
    pub fn new(params: MachineParams, inertia: f64) -> Machine {
        let none = Phasor::default();
        let shaft = Shaft::at_rest(inertia);
        let (angle, flux, power, reactive, loss) = (0.0, 0.0, 0.0, 0.0, 0.0);
        let reactance = params.transient * (params.voltage * params.voltage / params.rating);
        let current_rated = params.rating / (sqrt(3.0) * params.voltage);
        Machine {
            params,
            shaft,
            angle,
            flux,
            force: none,
            terminal: none,
            voltage: 0.0,
            power,
            reactive,
            current: 0.0,
            loss,
            reactance,
            current_rated,
        }
    }

    /// Its data.
    #[must_use]
    pub fn params(&self) -> &MachineParams {
        &self.params
    }

    /// Speed as a part of that at nominal frequency.
    #[must_use]
    pub fn speed(&self) -> f64 {
        self.shaft.omega / self.params.omega
    }

    /// Frequency of its voltage, Hz.
    #[must_use]
    pub fn frequency(&self) -> f64 {
        self.speed() * self.params.frequency
    }

    /// Transient reactance, ohm.
    #[must_use]
    pub fn reactance(&self) -> f64 {
        self.reactance
    }

    /// Subtransient reactance, ohm.
    #[must_use]
    pub fn first_reactance(&self) -> f64 {
        self.params.subtransient * self.base_impedance()
    }

    fn base_impedance(&self) -> f64 {
        self.params.voltage * self.params.voltage / self.params.rating
    }

    /// Its force, V.
    #[must_use]
    pub fn force(&self) -> Phasor {
        self.force
    }

    /// Voltage at its terminals.
    #[must_use]
    pub fn terminal(&self) -> Phasor {
        self.terminal
    }

    /// Power given to the bus, W; negative when it is driven as a motor.
    #[must_use]
    pub fn power(&self) -> f64 {
        self.power
    }

    /// Reactive power given, var; positive when over-excited.
    #[must_use]
    pub fn reactive(&self) -> f64 {
        self.reactive
    }

    /// Current, A.
    #[must_use]
    pub fn current(&self) -> f64 {
        self.current
    }

    /// Voltage at its terminals between lines, V.
    #[must_use]
    pub fn voltage(&self) -> f64 {
        self.voltage
    }

    /// Rated current, A.
    #[must_use]
    pub fn current_rated(&self) -> f64 {
        self.current_rated
    }

    /// What it loses within, W.
    #[must_use]
    pub fn loss(&self) -> f64 {
        self.loss
    }

    /// Damper, W for a slip of one.
    #[must_use]
    pub fn damper(&self) -> f64 {
        self.params.damper * self.params.rating
    }

    /// Lets the angle run on for `dt` seconds, and brings the force to it.
    pub fn drift(&mut self, dt: f64) {
        self.angle = wrapped(self.angle + TAU * self.params.frequency * (self.speed() - 1.0) * dt);
    }

    /// Its force as angle, flux and speed make it.
    pub fn make_force(&mut self) {
        let length = self.flux * self.speed() * self.params.voltage;
        self.force = if length > 0.0 { Phasor::polar(length, self.angle) } else { Phasor::default() };
    }

    /// Alone, with its breaker open.
    pub fn unloaded(&mut self) {
        (self.terminal, self.voltage) = (self.force, self.force.length());
        (self.power, self.reactive, self.current) = (0.0, 0.0, 0.0);
        let w = self.speed();
        self.loss = self.params.fixed_loss * w * w;
    }

    /// On a bus of this voltage that runs at `bus_speed` (part of nominal). Returns the asynchronous part of its power, W.
    pub fn loaded(&mut self, bus: Phasor, bus_speed: f64) -> f64 {
        let (p, q) = self.force.sends(bus, self.reactance());
        let slip = self.speed() - bus_speed;
        let damping = self.damper() * slip * bus_speed;
        (self.terminal, self.voltage) = (bus, bus.length());
        (self.power, self.reactive) = (p + damping, q);
        let both = sqrt(self.power * self.power + self.reactive * self.reactive);
        self.current = if self.voltage > 0.0 { both / (sqrt(3.0) * self.voltage) } else { 0.0 };
        let i = self.current / self.current_rated;
        let w = self.speed();
        self.loss = self.params.fixed_loss * w * w + self.params.load_loss * i * i + self.damper() * slip * slip;
        damping
    }

    /// The field over `dt` seconds under an exciter voltage (per unit).
    pub fn excite(&mut self, exciter: f64, dt: f64) {
        let p = &self.params;
        if !p.field_time.is_finite() {
            return;
        }
        // Current along the d axis from the reactive power at the force: i_d = Im(E conj(I)) / |E|.
        let (length, x) = (self.force.length(), self.reactance());
        let along = if length > 0.0 && (self.power != 0.0 || self.reactive != 0.0) {
            let v = self.terminal;
            let projected = (v.re * self.force.re + v.im * self.force.im) / length;
            (length - projected) / x * (p.voltage / p.rating)
        } else {
            0.0
        };
        let over = if p.saturates { (self.flux - SATURATION.0).max(0.0) } else { 0.0 };
        let iron = SATURATION.1 * over * over;
        let rate = (exciter - self.flux - iron - (p.synchronous - p.transient) * along) / p.field_time;
        self.flux = (self.flux + rate * dt).max(0.0);
        if exciter == 0.0 && self.flux < 1e-5 {
            self.flux = 0.0;
        }
    }

    /// Exciter voltage that holds a flux without load, per unit.
    #[must_use]
    pub fn exciter_for(&self, flux: f64) -> f64 {
        let over = if self.params.saturates { (flux - SATURATION.0).max(0.0) } else { 0.0 };
        flux + SATURATION.1 * over * over
    }
}

/// Flux from which the iron takes more, and how much by the square of what is above: a tenth at 1, two fifths of 1.2 at 1.2.
const SATURATION: (f64, f64) = (0.832_18, 3.551_2);

/// An angle brought into (-pi, pi].
#[must_use]
pub fn wrapped(angle: f64) -> f64 {
    let mut a = angle;
    while a > PI {
        a -= TAU;
    }
    while a <= -PI {
        a += TAU;
    }
    a
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;

    /// A machine of 500 kVA: 400 kW, 450 V, 60 Hz, 1,800 rpm.
    pub const SMALL: MachineParams = MachineParams {
        rating: 500e3,
        power: 400e3,
        voltage: 450.0,
        frequency: 60.0,
        omega: 60.0 * PI,
        synchronous: 1.8,
        transient: 0.22,
        subtransient: 0.14,
        field_time: 2.0,
        saturates: false,
        damper: 20.0,
        fixed_loss: 9e3,
        load_loss: 11e3,
    };

    #[test]
    fn the_field_of_an_open_machine_follows_its_exciter() {
        let mut m = Machine::new(SMALL, 60.0);
        m.shaft.omega = SMALL.omega;
        for _ in 0..200 {
            m.make_force();
            m.unloaded();
            m.excite(1.0, 0.01);
        }
        // One time constant: 1 - 1/e, to the step's 0.5 %.
        let expected = 450.0 * (1.0 - base::maths::exp(-1.0));
        assert!((m.terminal().length() / expected - 1.0).abs() < 5e-3);
        assert_eq!(m.current(), 0.0);
    }

    #[test]
    fn the_iron_takes_more_the_higher_the_voltage() {
        let mut m = Machine::new(MachineParams { saturates: true, ..SMALL }, 60.0);
        m.shaft.omega = SMALL.omega;
        assert!((m.exciter_for(1.0) - 1.1).abs() < 1e-3 && (m.exciter_for(1.2) - 1.2 * 1.4).abs() < 1e-3);
        // Full-load excitation on an open machine: not 2.4 times rated voltage.
        for _ in 0..2000 {
            m.make_force();
            m.unloaded();
            m.excite(2.4, 0.01);
        }
        let v = m.terminal().length() / 450.0;
        assert!(v > 1.25 && v < 1.45, "{v}");
        assert!((m.exciter_for(v) - 2.4).abs() < 1e-6);
    }

    #[test]
    fn a_reactive_load_takes_field_by_the_synchronous_reactance() {
        // Against a stiff bus with field for force 1.5 behind x_d: Q = (E_f V - V^2)/x_d at no power.
        let mut m = Machine::new(MachineParams { damper: 0.0, ..SMALL }, 60.0);
        m.shaft.omega = SMALL.omega;
        m.flux = 1.0;
        let bus = Phasor::polar(450.0, 0.0);
        for _ in 0..5000 {
            m.make_force();
            m.loaded(bus, 1.0);
            m.excite(1.5, 0.01);
        }
        assert!((m.reactive() / SMALL.rating - 0.5 / 1.8).abs() < 1e-6, "{}", m.reactive() / SMALL.rating);
    }

    #[test]
    fn angles_stay_between_half_turns() {
        assert!((wrapped(3.0 * PI) - PI).abs() < 1e-12);
        assert!((wrapped(-PI) - PI).abs() < 1e-12);
        assert!((wrapped(TAU + 0.5) - 0.5).abs() < 1e-12);
    }
}
