//! A motor-driven centrifugal pump.
//!
//! Equations: head by its [`PumpCurve`]; shaft power a straight line from its part at shut-off to the
//! best point, `P = Pb w^3 (s + (1 - s) Q/(w Qb))`, `Pb = rho g Qb Hb / eta_b` (affinity laws; the straight
//! line is the usual shape for radial wheels, common practice). What the shaft gives and the head does
//! not take becomes heat in the liquid: the network sees to that.
//! Suction: the part of its head that it makes follows `NPSH available / NPSH required`, between none and
//! all, with NPSH required `N (0.3 + 0.7 (Q/Qb)^2)` (common practice for the shape); vapour in the
//! wheel comes and goes with the time constant `0.2 s (1 + H0/N)`, long enough that a pump drawing its
//! own suction down settles.
//! Air: a wheel that has turned without suction for 20 s has drawn air through its gland and is air-bound: it makes
//! no head although liquid may come back. Standing for 20 s with its suction flooded (0.1 bar over atmosphere,
//! about a metre of liquid) it vents itself. Own choice; only for pumps that state the suction head they need.
//! Dead-heading: with a [`Casing`] what the head does not take warms the casing first, and its liquid boils when
//! nothing flows; a wheel in vapour makes no head either.
//! Assumptions: a worn pump makes a smaller head at the same power; a gas-bound one makes none and
//! takes a third of its shut-off power (own choice); with the coupling sheared the motor turns alone.
//! Units: SI; speed as a part of rated speed.

use super::exchanger::side_of;
use super::motor::{Motor, MotorParams};
use super::pump_casing::Casing;
use crate::liquid::{Fluid, GRAVITY, LinkId, Network, NodeId, PumpCurve};
use crate::water;
use base::units::ATMOSPHERE;

/// Part of its head below which a wheel has lost its suction.
const STARVED: f64 = 0.05;
/// Seconds until a starved wheel is full of air, and until a standing one has vented itself.
const AIR_TIME: f64 = 20.0;
/// Pressure over atmosphere that floods a standing pump, Pa.
const FLOODED: f64 = 1e4;

/// A pump's data.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PumpParams {
    /// Head against flow at rated speed.
    pub curve: PumpCurve,
    /// Flow at the best point, m3/s.
    pub best_flow: f64,
    /// Efficiency there.
    pub best_efficiency: f64,
    /// Shaft power at shut-off as a part of that at the best point.
    pub shut_off_power: f64,
    /// Net positive suction head required at the best flow, m; zero for none.
    pub npsh_required: f64,
    /// Its motor.
    pub motor: MotorParams,
}

/// What can be wrong with a pump beside its motor.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct PumpFailing {
    /// Part of its head that wear has taken, 0 sound to 1.
    pub worn: f64,
    /// Air or vapour in the wheel.
    pub air_locked: bool,
    /// The coupling has sheared.
    pub coupling_sheared: bool,
    /// Power that a hot bearing takes at rated speed, as a part of the motor's rated power.
    pub bearing: f64,
}

base::kept!(PumpFailing { worn, air_locked, coupling_sheared, bearing });

/// A pump and its state.
#[derive(Clone, Debug, PartialEq)]
pub struct MotorPump {
    params: PumpParams,
    /// Its link in the network.
    pub link: LinkId,
    /// Its motor and starter.
    pub motor: Motor,
    /// Turned by another machine's shaft at this part of rated speed, and by no motor of its own.
    pub shaft: Option<f64>,
    /// Its casing, if what a dead-headed pump heats is to be seen.
    pub casing: Option<Casing>,
    /// What is wrong with it.
    pub failing: PumpFailing,
    speed: f64,
    /// Part of the wheel's head that vapour leaves.
    primed: f64,
    /// The wheel is full of air that it drew itself.
    air_bound: bool,
    /// How long it has been starved, or stood flooded, s.
    waited: f64,
    shaft_power: f64,
    /// Power at its best flow for a density of one, W/(kg/m3), and one over that flow, s/m3: worked out once.
    best: f64,
    per_best_flow: f64,
}

base::kept!(MotorPump { motor, shaft, casing, failing, speed, primed, air_bound, waited, shaft_power }
    fixed { params, link, best, per_best_flow });

impl MotorPump {
    /// A pump at rest in this link of its network.
    ///
    /// # Errors
    /// What makes no sense in its data: an efficiency above one somewhere on the curve.
    pub fn new(params: PumpParams, link: LinkId) -> Result<MotorPump, &'static str> {
        let best = params.best_flow * params.curve.head(params.best_flow, 1.0) / params.best_efficiency;
        let sound = (1..=50).all(|k| {
            let flow = params.curve.flow_max * f64::from(k) / 50.0;
            let s = params.shut_off_power;
            let shaft = best * (s + (1.0 - s) * flow / params.best_flow);
            flow * params.curve.head(flow, 1.0) < shaft
        });
        if !(best > 0.0 && sound) {
            return Err("the pump's power must lie above head times flow all along its curve");
        }
        Ok(MotorPump {
            params,
            link,
            motor: Motor::new(params.motor),
            shaft: None,
            casing: None,
            failing: PumpFailing::default(),
            speed: 0.0,
            primed: 1.0,
            air_bound: false,
            waited: 0.0,
            shaft_power: 0.0,
            best: GRAVITY * best,
            per_best_flow: 1.0 / params.best_flow,
        })
    }

    /// Its data.
    #[must_use]
    pub fn params(&self) -> &PumpParams {
        &self.params
    }

    /// Speed of the wheel as a part of rated speed.
    #[must_use]
    pub fn speed(&self) -> f64 {
        self.speed
    }

    /// Part of its head that it can make now: wear, vapour and air.
    #[must_use]
    pub fn head_factor(&self) -> f64 {
        if self.is_gas_bound() { 0.0 } else { (1.0 - self.failing.worn) * self.primed }
    }

    /// Its motor's contactor is closed, or the machine that drives it turns: what its running lamp follows.
    #[must_use]
    pub fn turns(&self) -> bool {
        self.shaft.map_or(self.motor.is_running(), |speed| speed > 0.1)
    }

    /// Air or vapour in the wheel keeps it from making any head.
    #[must_use]
    pub fn is_gas_bound(&self) -> bool {
        self.failing.air_locked || self.air_bound || self.casing.as_ref().is_some_and(Casing::boils)
    }

    /// Shaft power, W.
    #[must_use]
    pub fn shaft_power(&self) -> f64 {
        self.shaft_power
    }

    /// Hydraulic over shaft power; zero when it gives nothing.
    #[must_use]
    pub fn efficiency(&self, net: &Network) -> f64 {
        if self.shaft_power > 0.0 { net.hydraulic_power(self.link).max(0.0) / self.shaft_power } else { 0.0 }
    }

    /// Shaft power at a flow, m3/s, of liquid of this density, at a speed, W.
    #[must_use]
    pub fn power_at(&self, flow: f64, density: f64, speed: f64) -> f64 {
        let best = density * self.best;
        let w2 = speed * speed;
        let s = self.params.shut_off_power;
        let full = best * w2 * (s * speed + (1.0 - s) * flow.max(0.0) * self.per_best_flow);
        if self.is_gas_bound() { best * w2 * speed * s / 3.0 } else { full }
    }

    /// Puts it at speed at once, for a prepared start.
    pub fn prepare_running(&mut self) {
        self.motor.prepare_running();
        self.speed = 1.0;
    }

    /// Runs for `dt` seconds with the flow and suction of the last solve. `vapour_pressure` tells the liquid's at a node,
    /// Pa absolute; it is given the greatest that leaves the wheel full, and may tell any figure clearly below that for
    /// a smaller one.
    pub fn step(&mut self, net: &Network, live: bool, vapour_pressure: impl Fn(&Network, NodeId, f64) -> f64, dt: f64) {
        let p = &self.params;
        let on_shaft = if self.failing.coupling_sheared { 0.0 } else { self.shaft_power };
        let rubs = self.failing.bearing * p.motor.rated_power * self.motor.speed();
        self.motor.step(live, on_shaft + rubs, dt);
        self.speed = if self.failing.coupling_sheared {
            (self.speed - dt / p.motor.run_down).max(0.0)
        } else {
            self.shaft.unwrap_or(self.motor.speed())
        };
        if p.npsh_required > 0.0 {
            let (suction, _) = net.ends(self.link);
            let weight = net.fluid().density() * GRAVITY;
            let ratio = net.flow(self.link) * self.per_best_flow;
            let required = p.npsh_required * (0.3 + 0.7 * ratio * ratio) * weight;
            let pressure = net.pressure(suction);
            let would_do = pressure - required;
            let spare = would_do - vapour_pressure(net, suction, would_do);
            // Nearly always: its wheel is full, and stays so.
            if spare < 0.0 || self.primed < 1.0 {
                let target = (1.0 + spare / required).clamp(0.0, 1.0);
                let time = 0.2 * (1.0 + p.curve.shut_off_head / p.npsh_required);
                self.primed += dt / (dt + time) * (target - self.primed);
                // The last thousandth comes at once, so that a sound pump's network is not solved again for it.
                if target - self.primed < 1e-3 && target >= 1.0 {
                    self.primed = 1.0;
                }
            }
            self.draw_air(pressure, dt);
        }
    }

    /// A wheel that turns without suction fills with air, and vents itself when it stands flooded.
    fn draw_air(&mut self, suction: f64, dt: f64) {
        let counts = if self.air_bound {
            self.speed == 0.0 && suction > ATMOSPHERE + FLOODED
        } else {
            self.speed > 0.5 && self.primed < STARVED
        };
        self.waited = if counts { self.waited + dt } else { 0.0 };
        if self.waited > AIR_TIME {
            self.air_bound = !self.air_bound;
            self.waited = 0.0;
        }
        if self.air_bound
            && self.speed > 0.5
            && let Some(c) = &mut self.casing
        {
            c.runs_dry(dt);
        }
    }

    /// Puts speed and state into the network before it is solved.
    pub fn drive(&self, net: &mut Network) {
        net.set_pump(self.link, self.speed, self.head_factor());
    }

    /// Reads the flow after the solve and puts the shaft power in.
    pub fn load(&mut self, net: &mut Network) {
        self.shaft_power = self.power_at(net.flow(self.link), net.fluid().density(), self.speed);
        net.set_shaft_power(self.link, self.shaft_power);
    }

    /// The same for a pump with a casing, for `dt` seconds in a room of this temperature (K): the head's part goes
    /// to the liquid at once, the rest to the casing, and what the stream takes along from there to the liquid.
    pub fn warm(&mut self, net: &mut Network, room: f64, dt: f64) {
        let Some(casing) = &mut self.casing else { return };
        let (_, delivery) = net.ends(self.link);
        let boiling = |t: f64| {
            if t < SURELY_LIQUID.0 {
                return f64::INFINITY;
            }
            let pressure = net.pressure(delivery).clamp(1e4, 1e7);
            match net.fluid() {
                Fluid::SeaWater | Fluid::FreshWater | Fluid::FeedWater if t >= surely_liquid(pressure) => {
                    water::t_sat(pressure)
                }
                _ => f64::INFINITY,
            }
        };
        let hydraulic = net.hydraulic_power(self.link);
        let heat = casing.step(self.shaft_power - hydraulic, side_of(net, self.link), boiling, room, dt);
        if casing.boils() && self.speed > 0.5 {
            casing.runs_dry(dt);
        }
        net.set_shaft_power(self.link, hydraulic);
        net.set_heat(self.link, heat);
    }
}

/// A temperature, K, below which water at a pressure from 0.1 bar up is certainly liquid: a little below saturation at
/// 0.1 and at 1 bar.
fn surely_liquid(pressure: f64) -> f64 {
    if pressure < 1e5 { SURELY_LIQUID.0 } else { SURELY_LIQUID.1 }
}

/// See [`surely_liquid`].
const SURELY_LIQUID: (f64, f64) = (318.0, 372.0);

#[cfg(test)]
mod tests {
    use super::*;
    use crate::liquid::{Characteristic, Fluid, LinkKind, LinkParams, NetworkBuilder};

    fn params() -> PumpParams {
        PumpParams {
            curve: PumpCurve::through([(0.0, 30.0), (0.055, 25.0), (0.11, 10.0)]).unwrap(),
            best_flow: 0.06,
            best_efficiency: 0.75,
            shut_off_power: 0.45,
            npsh_required: 3.0,
            motor: MotorParams {
                run_up: 2.0,
                run_down: 4.0,
                rated_power: 3e4,
                efficiency: 0.92,
                overload: 1.15,
                overload_delay: 10.0,
            },
        }
    }

    struct Rig {
        net: Network,
        pump: MotorPump,
        suction: LinkId,
        delivery: LinkId,
        high: NodeId,
    }

    fn rig() -> Rig {
        let mut b = NetworkBuilder::new(Fluid::SeaWater);
        let (sea, high) = (b.reservoir("sea", -2.0), b.reservoir("high", 5.0));
        let (s, d) = (b.junction("suction", -2.0, 0.05), b.junction("delivery", -2.0, 0.05));
        let valve = LinkKind::Valve { diameter: 0.2, minor_loss: 20.0, characteristic: Characteristic::Linear };
        let suction = b.link("suction valve", sea, s, valve);
        let kind = LinkKind::Pump { curve: params().curve };
        let link = b.link("pump", s, d, LinkParams { kind, non_return: true });
        let delivery = b.link("delivery valve", d, high, valve);
        let mut net = b.build().unwrap();
        net.fill_at(290.0);
        net.set_head(sea, 0.0);
        net.set_temperature(sea, 290.0);
        Rig { net, pump: MotorPump::new(params(), link).unwrap(), suction, delivery, high }
    }

    fn run(rig: &mut Rig, seconds: f64) {
        for _ in 0..(seconds * 10.0) as u32 {
            rig.pump.step(&rig.net, true, |_, _, _| 2e3, 0.1);
            rig.pump.drive(&mut rig.net);
            rig.net.solve().unwrap();
            rig.pump.load(&mut rig.net);
            rig.net.carry(0.1);
        }
    }

    #[test]
    fn it_runs_up_delivers_and_its_work_is_accounted_for() {
        let mut rig = rig();
        let start = rig.net.stored_energy();
        run(&mut rig, 1.0);
        assert_eq!(rig.net.flow(rig.pump.link), 0.0);
        rig.pump.motor.start();
        run(&mut rig, 60.0);
        let eta = rig.pump.efficiency(&rig.net);
        assert!(rig.net.flow(rig.pump.link) > 0.05 && eta > 0.6 && eta < 0.76, "{eta}");
        let a = rig.net.account();
        let error = rig.net.stored_energy() - start - a.energy - a.heat - a.work;
        assert!(a.work > 5e5 && error.abs() < 1e-9 * a.work, "{error} of {}", a.work);
    }

    #[test]
    fn worn_air_locked_and_sheared_give_less_and_less() {
        let flow = |failing: PumpFailing| {
            let mut rig = rig();
            run(&mut rig, 0.2);
            rig.pump.motor.start();
            run(&mut rig, 20.0);
            rig.pump.failing = failing;
            run(&mut rig, 20.0);
            assert!(rig.pump.motor.is_running());
            (rig.net.flow(rig.pump.link), rig.pump.shaft_power())
        };
        let sound = flow(PumpFailing::default());
        let worn = flow(PumpFailing { worn: 0.3, ..PumpFailing::default() });
        assert!(worn.0 < 0.9 * sound.0 && worn.0 > 0.0);
        let locked = flow(PumpFailing { air_locked: true, ..PumpFailing::default() });
        assert!(locked.0 == 0.0 && locked.1 < 0.3 * sound.1 && locked.1 > 0.0);
        let sheared = flow(PumpFailing { coupling_sheared: true, ..PumpFailing::default() });
        assert_eq!(sheared, (0.0, 0.0));
    }

    #[test]
    fn a_shut_suction_makes_it_lose_its_head_and_it_recovers() {
        let mut rig = rig();
        run(&mut rig, 0.2);
        rig.pump.motor.start();
        run(&mut rig, 20.0);
        let full = rig.net.flow(rig.pump.link);
        rig.net.set_opening(rig.suction, 0.05);
        run(&mut rig, 60.0);
        let starved = rig.net.flow(rig.pump.link);
        let (node, _) = rig.net.ends(rig.pump.link);
        assert!(starved < 0.5 * full && rig.net.pressure(node) > 0.0, "{starved} {}", rig.net.pressure(node));
        rig.net.set_opening(rig.suction, 1.0);
        run(&mut rig, 60.0);
        assert!((rig.net.flow(rig.pump.link) - full).abs() < 1e-9);
    }

    #[test]
    fn a_shut_delivery_heats_the_pump() {
        let mut rig = rig();
        run(&mut rig, 0.2);
        rig.pump.motor.start();
        rig.net.set_opening(rig.delivery, 0.0);
        run(&mut rig, 60.0);
        let (_, after) = rig.net.ends(rig.pump.link);
        assert!(rig.net.temperature(after) > 290.0 + 2.0 && rig.net.flow(rig.pump.link).abs() < 1e-9);
        let _ = rig.high;
    }

    #[test]
    fn a_pump_that_ran_without_suction_stays_air_bound_until_it_has_stood_flooded() {
        let mut rig = rig();
        run(&mut rig, 0.2);
        rig.pump.motor.start();
        run(&mut rig, 20.0);
        let full = rig.net.flow(rig.pump.link);
        rig.net.set_shut(rig.suction, true);
        run(&mut rig, 120.0);
        assert!(rig.pump.is_gas_bound());
        rig.net.set_shut(rig.suction, false);
        run(&mut rig, 120.0);
        assert!(rig.pump.is_gas_bound() && rig.net.flow(rig.pump.link) == 0.0, "it turns in air");
        rig.pump.motor.stop();
        run(&mut rig, 40.0);
        assert!(!rig.pump.is_gas_bound());
        rig.pump.motor.start();
        run(&mut rig, 120.0);
        assert!((rig.net.flow(rig.pump.link) - full).abs() < 1e-6 * full);
    }

    #[test]
    fn dead_headed_it_boils_its_casing_and_the_work_is_accounted_for() {
        use super::super::pump_casing::CasingParams;
        let mut rig = rig();
        rig.pump.casing = Some(Casing::new(CasingParams { capacity: 2e5, loss: 10.0 }, 290.0));
        let held = |rig: &Rig| rig.net.stored_energy() + 2e5 * rig.pump.casing.as_ref().unwrap().temperature();
        let start = held(&rig);
        let go = |rig: &mut Rig, seconds: f64| {
            for _ in 0..(seconds * 10.0) as u32 {
                rig.pump.step(&rig.net, true, |_, _, _| 2e3, 0.1);
                rig.pump.drive(&mut rig.net);
                rig.net.solve().unwrap();
                rig.pump.load(&mut rig.net);
                rig.pump.warm(&mut rig.net, 290.0, 0.1);
                rig.net.carry(0.1);
            }
        };
        go(&mut rig, 0.2);
        rig.pump.motor.start();
        go(&mut rig, 60.0);
        let flowing = rig.pump.casing.as_ref().unwrap().temperature();
        assert!(flowing < 291.0, "a stream keeps it cool: {flowing}");
        rig.net.set_opening(rig.delivery, 0.0);
        go(&mut rig, 7200.0);
        assert!(rig.pump.is_gas_bound() && rig.pump.casing.as_ref().unwrap().seal.total() > 0.0);
        let casing = rig.pump.casing.as_ref().unwrap();
        assert!(casing.temperature() > 373.0, "{}", casing.temperature());
        let a = rig.net.account();
        let error = held(&rig) - start - a.energy - a.work - casing.energy_in();
        assert!(error.abs() < 1e-9 * a.work.max(casing.energy_in()), "{error} of {}", a.work);
    }

    #[test]
    fn turned_by_another_shaft_it_needs_no_motor() {
        let mut rig = rig();
        rig.pump.shaft = Some(0.5);
        run(&mut rig, 20.0);
        let half = rig.net.flow(rig.pump.link);
        rig.pump.shaft = Some(1.0);
        run(&mut rig, 20.0);
        assert!(!rig.pump.motor.is_running() && half < 0.7 * rig.net.flow(rig.pump.link));
    }

    #[test]
    fn more_efficient_than_possible_is_refused() {
        let p = PumpParams { best_efficiency: 1.2, ..params() };
        assert!(MotorPump::new(p, LinkId(0)).is_err());
    }
}
