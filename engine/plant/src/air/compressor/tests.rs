//! Compression against outside figures; filling a receiver by automatic; energy; losing its cooling.

use super::super::receiver::{Receiver, ReceiverParams};
use super::*;

fn params() -> CompressorParams {
    CompressorParams {
        stages: 2,
        displacement: 25.0 / 3600.0,
        clearance: 0.05,
        exponent: 1.25,
        friction: 500.0,
        cooler_effectiveness: (0.9, 0.9),
        block: 4e4,
        water_conductance: 400.0,
        ambient_conductance: 5.0,
        unload_time: 5.0,
        hot: 273.15 + 210.0,
        hot_delay: 3.0,
        automatic: (25e5, 30e5),
        moisture: 0.01,
        motor: MotorParams {
            run_up: 2.0,
            run_down: 3.0,
            rated_power: 6e3,
            efficiency: 0.88,
            overload: 1.2,
            overload_delay: 10.0,
        },
    }
}

struct Rig {
    machine: Compressor,
    receiver: Receiver,
    water: f64,
    /// Signal that differs from the actual pressure by this.
    lie: f64,
}

impl Rig {
    fn new(pressure: f64) -> Rig {
        let receiver =
            Receiver::new(ReceiverParams { volume: 0.25, loss: 20.0, shell: None, safety: None }, pressure, 300.0);
        Rig { machine: Compressor::new(params(), 300.0), receiver, water: 0.3, lie: 0.0 }
    }

    fn run(&mut self, seconds: f64) {
        for _ in 0..(seconds * 10.0) as u32 {
            let around = Around {
                live: true,
                ambient: 300.0,
                receiver: Actual(self.receiver.pressure()),
                pressure: Signal(self.receiver.pressure() + self.lie),
                water: Side { mass_flow: self.water, heat_capacity: 4180.0, temperature: 305.0 },
            };
            let d = self.machine.step(&around, 0.1);
            self.receiver.add(d.flow, d.energy);
            self.receiver.add_water(d.moisture * 0.1);
            self.receiver.step(300.0, 0.1);
        }
    }
}

#[test]
fn automatic_fills_stops_and_starts_again() {
    let mut rig = Rig::new(20e5);
    rig.run(1.0);
    assert!(!rig.machine.motor.is_running(), "switched off");
    rig.machine.selector = Selector::Automatic;
    rig.run(3.0);
    assert!(rig.machine.motor.is_running() && rig.machine.is_unloaded() && rig.machine.delivered() == 0.0);
    rig.run(20.0);
    assert!(!rig.machine.is_unloaded() && rig.machine.delivered() > 0.0);
    rig.run(1200.0);
    assert!(!rig.machine.motor.is_running());
    assert!(rig.receiver.pressure() > 26e5 && rig.receiver.pressure() < 30.3e5 && rig.receiver.water() > 0.0);
    rig.receiver.prepare(24e5, 300.0);
    rig.run(1.0);
    assert!(rig.machine.motor.is_running());
}

#[test]
fn mass_and_energy_close() {
    let mut rig = Rig::new(2e5);
    let (mass, energy) = (rig.receiver.mass(), rig.receiver.energy() + rig.machine.block_energy());
    rig.machine.selector = Selector::Hand;
    rig.run(600.0);
    rig.machine.failing.worn = 0.3;
    rig.run(600.0);
    rig.machine.selector = Selector::Off;
    rig.run(600.0);
    let (a, l) = (rig.machine.account(), rig.receiver.lost());
    assert!((rig.receiver.mass() - mass - a.taken + a.lost).abs() < 1e-10 * a.taken);
    let came = a.intake_energy + a.work - a.water - a.ambient - a.lost_energy - l.heat;
    let error = rig.receiver.energy() + rig.machine.block_energy() - energy - came;
    assert!(a.work > 1e5 && error.abs() < 1e-10 * energy, "{error} of {energy}");
}

#[test]
fn without_cooling_water_it_trips_hot_and_with_a_dead_switch_it_runs_on() {
    let mut rig = Rig::new(20e5);
    rig.machine.selector = Selector::Hand;
    rig.run(300.0);
    assert!(!rig.machine.trip.is_tripped() && rig.machine.discharge_temperature() < 273.15 + 190.0);
    rig.water = 0.0;
    rig.receiver.prepare(20e5, 300.0);
    rig.run(600.0);
    assert!(
        rig.machine.trip.is_tripped() && !rig.machine.motor.is_running(),
        "{}",
        rig.machine.discharge_temperature()
    );
    let mut dead = Rig::new(20e5);
    dead.machine.selector = Selector::Hand;
    dead.machine.hot_switch.failing.stuck_off = true;
    dead.water = 0.0;
    dead.run(900.0);
    assert!(dead.machine.motor.is_running() && dead.machine.discharge_temperature() > 273.15 + 215.0);
    // Cooled down it can be reset.
    rig.machine.selector = Selector::Off;
    rig.water = 0.3;
    rig.run(600.0);
    assert_eq!(rig.machine.trip.reset(), Ok(()));
}

#[test]
fn a_lying_pressure_signal_misleads_the_automatic_and_a_stuck_unloader_delivers_nothing() {
    let mut rig = Rig::new(20e5);
    rig.machine.selector = Selector::Automatic;
    rig.lie = 12e5;
    rig.run(60.0);
    assert!(!rig.machine.motor.is_running());
    rig.lie = 0.0;
    rig.machine.failing.unloader = Some(true);
    rig.run(60.0);
    assert!(rig.machine.motor.is_running() && rig.machine.delivered() == 0.0);
    assert_eq!(rig.receiver.water(), 0.0);
}

mod checks {
    use super::*;
    use crate::check_data::example;

    #[test]
    fn air_compression() {
        let e = example("air_compression");
        let (t1, r) = (e.input("T1_K"), e.input("pressure_ratio"));
        assert_eq!(e.input("R"), R);
        // Perfect intercooling: the block keeps the intake's temperature and the intercooler reaches it.
        let ideal = CompressorParams { exponent: e.input("n"), cooler_effectiveness: (1.0, 0.0), ..params() };
        let one = passage(&CompressorParams { stages: 1, ..ideal }, t1, r, t1);
        e.compare("single_stage_kJ_kg", one.work / 1e3);
        e.compare("single_stage_T2_K", one.discharge);
        let two = passage(&CompressorParams { stages: 2, ..ideal }, t1, r, t1);
        e.compare("two_stage_kJ_kg", two.work / 1e3);
        e.compare("two_stage_T2_K", two.discharge);
        // As the exponent goes to one the work goes to the isothermal work.
        let nearly = CompressorParams { exponent: 1.0 + 1e-7, stages: 1, ..ideal };
        e.compare("isothermal_kJ_kg", passage(&nearly, t1, r, t1).work / 1e3);
    }
}
