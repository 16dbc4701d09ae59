//! A small board for tests: two diesel sets and a shore supply on a main bus, an emergency set on its own bus.

use crate::electrical::breaker::{Breaker, BreakerParams};
use crate::electrical::loads::{Preferential, PreferentialParams};
use crate::electrical::machine::tests::SMALL as MACHINE;
use crate::electrical::protection::tests::SMALL as RELAYS;
use crate::electrical::synchronising::tests::SMALL as SYNCHRONISER;
use crate::electrical::*;

pub const BREAKER: BreakerParams = BreakerParams { closing: 0.08, opening: 0.05 };
pub const DT: f64 = base::tick::TICK_SECONDS;
pub const ROOM: f64 = 298.15;

/// Cooling water for an engine.
pub const WATER: crate::machines::Side =
    crate::machines::Side { mass_flow: 6.0, heat_capacity: 4180.0, temperature: 333.15 };

pub const DIESEL: EngineParams = EngineParams {
    power: 430e3,
    omega: 60.0 * core::f64::consts::PI,
    friction: 0.1,
    rack_time: 0.08,
    efficiency: 0.44,
    heating_value: 42.7e6,
    to_block: 0.4,
    starting: Starting::Air { rated: 31e5, least: 11e5, flow: 0.4 },
    cranking: 0.25,
    cranking_speed: 0.3,
    fires_from: 0.12,
    fires_after: 0.6,
    cranks_for: 8.0,
    start_rack: 0.45,
    block: 2.5e6,
    to_water: 14e3,
    to_fan: 0.0,
    to_room: 80.0,
    oil_pressure: 4.5e5,
    trips: EngineTrips { overspeed: 1.15, oil: Some(2e5), jacket: Some(368.15), delay: 2.0 },
};

pub fn diesel_set(bus: usize, machine: MachineParams, engine: EngineParams) -> GeneratingSet {
    let inertia = Shaft::inertia_of(1.3, machine.rating, machine.omega);
    let mut s = GeneratingSet::new(
        bus,
        Machine::new(machine, inertia),
        Excitation::new(crate::electrical::excitation::tests::SMALL),
        SpeedChanger::new(0.003, (0.9, 1.1)),
        Breaker::new(BREAKER, false),
        Protection::new(RELAYS),
    );
    s.diesel = Some(Diesel {
        engine: DieselEngine::new(engine, ROOM),
        governor: Governor::new(crate::electrical::governor::tests::SMALL),
    });
    s.around.starting = 31e5;
    s.around.water = Some(WATER);
    s
}

pub fn board() -> Switchboard {
    let bus = Bus::new(1e6);
    Switchboard::new(
        BoardParams { voltage: 450.0, frequency: 60.0, fine: SUB_STEPS.0, coarse: SUB_STEPS.1 },
        vec![bus; 2],
        Synchroniser::new(SYNCHRONISER),
        Preferential::new(PreferentialParams { setting: 1.0, delays: (5.0, 10.0) }),
    )
}

/// Sets 0 and 1 on the main bus (bus 0), set 2 for emergencies on bus 1, a tie, and the shore.
pub fn ship() -> Switchboard {
    let mut b = board();
    b.sets.push(diesel_set(0, MACHINE, DIESEL));
    b.sets.push(diesel_set(0, MACHINE, DIESEL));
    let small = MachineParams { rating: 100e3, power: 80e3, fixed_loss: 2.5e3, load_loss: 3e3, ..MACHINE };
    let engine = EngineParams {
        power: 88e3,
        starting: Starting::Electric { power: 5e3 },
        block: 0.4e6,
        to_water: 0.0,
        to_fan: 1200.0,
        to_room: 20.0,
        trips: EngineTrips { oil: None, jacket: None, ..DIESEL.trips },
        ..DIESEL
    };
    let mut emergency = diesel_set(1, small, engine);
    emergency.emergency = Some(EmergencyStart { after: 1.0, standby: true, held_open: false, stood: 0.0 });
    b.sets.push(emergency);
    b.ties.push(Tie::new((0, 1), Breaker::new(BREAKER, true), 0.5));
    let stiff = ProtectionParams { reverse: f64::INFINITY, undervoltage: 0.0, frequency: (0.0, 9.0), ..RELAYS };
    b.shores.push(ShoreSupply::new(0, Breaker::new(BREAKER, true), Protection::new(stiff), 0.02, 250e3));
    b.prime();
    b
}

pub fn load(b: &mut Switchboard, bus: usize, power: f64, reactive: f64) {
    b.buses[bus].motors = Load { p: power, q: reactive, g: 0.0, b: 0.0 };
}

pub fn run(b: &mut Switchboard, seconds: f64) {
    for _ in 0..(seconds / DT).round() as usize {
        for s in &mut b.sets {
            s.cool(ROOM, DT);
        }
        b.control(DT);
        b.step(ROOM, DT);
    }
}

/// Runs until something holds; fails after `seconds`. Returns how long it took.
pub fn until(b: &mut Switchboard, seconds: f64, what: &str, holds: impl Fn(&Switchboard) -> bool) -> f64 {
    for k in 0..(seconds / DT).round() as usize {
        if holds(b) {
            return k as f64 * DT;
        }
        run(b, DT);
    }
    panic!("after {seconds} s still not: {what}");
}

/// The main bus on set 0 alone with this load, shore open.
pub fn on_first(power: f64, reactive: f64) -> Switchboard {
    let mut b = ship();
    b.shores[0].breaker.set(false);
    b.sets[2].emergency.as_mut().unwrap().standby = false;
    b.sets[0].prepare_running();
    b.sets[0].breaker.set(true);
    b.prime();
    load(&mut b, 0, power, reactive);
    run(&mut b, 40.0);
    b
}
