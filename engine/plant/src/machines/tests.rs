//! A cooling circuit as a ship has it: closed fresh water with pump, consumer, cooler, by-pass, three-way
//! valve on a controller, header tank; sea water on the other side. Everything of this module together.

use super::*;
use crate::control::{Action, Mode, PiController, PiParams};
use crate::instruments::{Actual, Transmitter, TransmitterParams};
use crate::liquid::{Characteristic, Fluid, LinkId, LinkKind, LinkParams, Network, NetworkBuilder, NodeId, PumpCurve};
use base::units::CELSIUS_ZERO;

const TICK: f64 = 0.1;
const MOTIVE: Motive = Motive { air: 8e5, live: true };

struct Circuit {
    fresh: Network,
    sea: Network,
    sea_in: NodeId,
    header: NodeId,
    supply: NodeId,
    consumer: LinkId,
    fresh_cooler: LinkId,
    sea_cooler: LinkId,
    tank: OpenTank,
    fresh_pump: MotorPump,
    sea_pump: MotorPump,
    three_way: ThreeWayValve,
    cooler: Exchanger,
    transmitter: Transmitter,
    controller: PiController,
    load: f64,
    sea_temperature: f64,
}

fn pump(curve: PumpCurve, best_flow: f64, link: LinkId) -> MotorPump {
    let motor = MotorParams {
        run_up: 2.0,
        run_down: 4.0,
        rated_power: 3e4,
        efficiency: 0.92,
        overload: f64::INFINITY,
        overload_delay: 10.0,
    };
    let params =
        PumpParams { curve, best_flow, best_efficiency: 0.72, shut_off_power: 0.45, npsh_required: 3.0, motor };
    let mut pump = MotorPump::new(params, link).unwrap();
    pump.prepare_running();
    pump
}

fn circuit() -> Circuit {
    let pipe = |length: f64, diameter: f64| LinkKind::Pipe { length, diameter, roughness: 5e-5, minor_loss: 2.0 };
    let fitting =
        |minor_loss: f64| LinkKind::Valve { diameter: 0.1, minor_loss, characteristic: Characteristic::Linear };
    let valve = LinkKind::ValveKv { kv: 110.0, characteristic: Characteristic::Linear };

    let mut b = NetworkBuilder::new(Fluid::FreshWater);
    let header = b.reservoir("header tank", 11.0);
    let [suction, delivery, mixed, split, cooled, by_passed] =
        ["suction", "delivery", "supply", "split", "after cooler", "by-pass"].map(|n| b.junction(n, 1.0, 0.03));
    let curve = PumpCurve::through([(0.0, 36.0), (0.02, 30.0), (0.035, 18.0)]).unwrap();
    let fresh_link = b.link("pump", suction, delivery, LinkParams { kind: LinkKind::Pump { curve }, non_return: true });
    b.link("main", delivery, split, pipe(6.0, 0.1));
    let fresh_cooler = b.link("cooler", split, cooled, fitting(15.0));
    b.link("by-pass pipe", split, by_passed, fitting(15.0));
    let straight = b.link("cooled way", cooled, mixed, valve);
    let other = b.link("hot way", by_passed, mixed, valve);
    let consumer = b.link("consumer", mixed, suction, fitting(40.0));
    b.link("static line", header, suction, pipe(10.0, 0.05));
    let mut fresh = b.build().unwrap();
    fresh.fill_at(CELSIUS_ZERO + 25.0);

    let mut b = NetworkBuilder::new(Fluid::SeaWater);
    let (sea_in, overboard) = (b.reservoir("sea", -2.0), b.reservoir("overboard", 0.5));
    let [s, d, after] = ["suction", "delivery", "after cooler"].map(|n| b.junction(n, -1.0, 0.05));
    b.link("inlet", sea_in, s, pipe(8.0, 0.2));
    let sea_curve = PumpCurve::through([(0.0, 22.0), (0.03, 18.0), (0.06, 8.0)]).unwrap();
    let kind = LinkKind::Pump { curve: sea_curve };
    let sea_link = b.link("pump", s, d, LinkParams { kind, non_return: true });
    let sea_cooler = b.link("cooler", d, after, fitting(20.0));
    b.link("overboard pipe", after, overboard, pipe(6.0, 0.15));
    let mut sea = b.build().unwrap();
    sea.fill_at(CELSIUS_ZERO + 25.0);
    sea.set_head(sea_in, 0.0);
    sea.set_head(overboard, 0.7);
    sea.set_temperature(overboard, CELSIUS_ZERO + 25.0);

    let tank = TankParams { fluid: Fluid::FreshWater, area: 0.5, bottom: 11.0, overflow: 1.4, loss: 0.0 };
    let cooler = ExchangerParams {
        arrangement: Arrangement::Counterflow,
        conductance: 1.2e5,
        flow_nominal: (18.0, 30.0),
        flow_exponent: 0.8,
    };
    let actuator = ActuatorParams { stroke: 30.0, drive: Drive::Pneumatic { air_min: 4e5, fails: FailTo::Open } };
    let pi = PiParams {
        gain: 1.5,
        integral_time: 40.0,
        span: 50.0,
        output_min: 0.0,
        output_max: 1.0,
        action: Action::Direct,
        set_point_rate: f64::INFINITY,
    };
    let mut controller = PiController::new(pi, CELSIUS_ZERO + 36.0, 0.0);
    controller.set_mode(Mode::Automatic);
    let span = TransmitterParams { low: CELSIUS_ZERO, high: CELSIUS_ZERO + 100.0, lag: 5.0 };
    Circuit {
        sea_in,
        header,
        supply: mixed,
        consumer,
        fresh_cooler,
        sea_cooler,
        tank: OpenTank::new(tank, 1.0, CELSIUS_ZERO + 25.0),
        fresh_pump: pump(curve, 0.02, fresh_link),
        sea_pump: pump(sea_curve, 0.033, sea_link),
        three_way: ThreeWayValve::new(actuator, straight, other, 0.0),
        cooler: Exchanger::new(cooler),
        transmitter: Transmitter::new(span, Actual(CELSIUS_ZERO + 25.0)),
        controller,
        load: 5e5,
        sea_temperature: CELSIUS_ZERO + 25.0,
        fresh,
        sea,
    }
}

impl Circuit {
    fn run(&mut self, seconds: f64) {
        for _ in 0..(seconds / TICK).round() as u32 {
            let signal = self.transmitter.step(Actual(self.fresh.temperature(self.supply)), TICK);
            self.three_way.actuator.set_command(self.controller.step(signal, TICK));
            self.three_way.actuator.step(MOTIVE, TICK);
            self.fresh_pump.step(&self.fresh, true, |_, _, _| 5e3, TICK);
            self.sea_pump.step(&self.sea, true, |_, _, _| 3e3, TICK);
            self.three_way.drive(&mut self.fresh);
            self.fresh_pump.drive(&mut self.fresh);
            self.sea_pump.drive(&mut self.sea);
            self.tank.hold(&mut self.fresh, self.header);
            self.sea.set_temperature(self.sea_in, self.sea_temperature);
            self.fresh.solve().unwrap();
            self.sea.solve().unwrap();
            self.fresh_pump.load(&mut self.fresh);
            self.sea_pump.load(&mut self.sea);
            self.fresh.set_heat(self.consumer, self.load);
            self.cooler.load((&mut self.fresh, self.fresh_cooler), (&mut self.sea, self.sea_cooler));
            self.fresh.carry(TICK);
            self.sea.carry(TICK);
            self.tank.take(&self.fresh, self.header);
            self.tank.step(300.0, TICK);
        }
    }

    fn supply_celsius(&self) -> f64 {
        self.fresh.temperature(self.supply) - CELSIUS_ZERO
    }
}

#[test]
fn the_controller_holds_the_supply_and_everything_closes() {
    let mut c = circuit();
    let start = c.fresh.stored_energy() + c.sea.stored_energy() + c.tank.energy();
    c.run(1800.0);
    assert!((c.supply_celsius() - 36.0).abs() < 0.1, "{}", c.supply_celsius());
    c.load = 8e5;
    c.run(1800.0);
    assert!((c.supply_celsius() - 36.0).abs() < 0.1, "{}", c.supply_celsius());
    // Steady: the cooler takes what the consumer and the pump give.
    let given = c.load + c.fresh_pump.shaft_power();
    assert!((c.cooler.duty() / given - 1.0).abs() < 0.01, "{} {given}", c.cooler.duty());
    let (f, s) = (c.fresh.account(), c.sea.account());
    // The tank's exchange with the fresh water is inside; the sea's is outside.
    let came = f.heat + f.work + s.energy + s.heat + s.work;
    let error = c.fresh.stored_energy() + c.sea.stored_energy() + c.tank.energy() - start - came;
    assert!(error.abs() < 1e-9 * f.heat.abs().max(s.work), "{error}");
    assert!((c.tank.level() - 1.0).abs() < 1e-6, "nothing leaves a closed circuit: {}", c.tank.level());
}

#[test]
fn a_fouled_cooler_or_a_stopped_sea_pump_lets_the_circuit_warm_up() {
    let mut c = circuit();
    c.run(1200.0);
    let position = c.three_way.actuator.position();
    c.cooler.fouling = 1.0;
    c.run(1200.0);
    assert!(c.three_way.actuator.position() > position + 0.05, "the controller asks for more cooling");
    assert!((c.supply_celsius() - 36.0).abs() < 0.2);
    c.sea_pump.motor.failing.trips = true;
    c.run(300.0);
    assert!(c.sea.flow(c.sea_cooler).abs() < 1e-6 && c.supply_celsius() > 60.0, "{}", c.supply_celsius());
    assert!(c.three_way.actuator.position() > 0.99);
}

#[test]
fn a_frozen_transmitter_misleads_the_controller() {
    let mut c = circuit();
    c.run(1200.0);
    c.transmitter.failing().frozen = true;
    c.load = 2e5;
    c.run(1200.0);
    assert!(c.supply_celsius() < 34.0, "the valve stays where it was and the water gets cold: {}", c.supply_celsius());
}
