//! Furnace, draught, burner and their management together.

use crate::boiler::burner::BurnerFailings;
use crate::boiler::sizing;
use crate::boiler::{
    Burner, BurnerInput, BurnerManagement, BurnerOrders, BurnerSignals, BurnerState, Draught, FiringMaster, Furnace,
    FurnaceInput, TripCause,
};

/// A boiler front without a boiler: walls at a held temperature, fuel always there.
#[derive(Clone)]
pub(super) struct Front {
    pub draught: Draught,
    pub burner: Burner,
    pub furnace: Furnace,
    pub management: BurnerManagement,
    pub master: FiringMaster,
    pub manual: BurnerOrders,
    pub signals: BurnerSignals,
    pub pressure: f64,
    pub riser_wall: f64,
    pub superheater_wall: f64,
    pub fuel_pressure: f64,
    pub puffs: Vec<f64>,
}

impl Front {
    pub fn new(wall: f64) -> Front {
        Front {
            draught: Draught::new(sizing::draught()),
            burner: Burner::new(sizing::burner()),
            furnace: Furnace::new(sizing::furnace(), wall),
            management: BurnerManagement::new(sizing::management()),
            master: FiringMaster::new(sizing::firing(), sizing::WORKING_PRESSURE),
            manual: BurnerOrders::default(),
            signals: BurnerSignals::default(),
            pressure: 101_325.0,
            riser_wall: wall,
            superheater_wall: wall,
            fuel_pressure: 6e5,
            puffs: vec![],
        }
    }

    pub fn tick(&mut self) {
        let dt = 0.1;
        let s = &mut self.signals;
        s.fan_running = self.draught.speed() > 0.5;
        s.air_flow = self.draught.flow();
        s.furnace_temperature = self.furnace.exit_temperature();
        s.damper = self.draught.damper();
        s.flame = self.burner.flame_signal();
        let released = self.management.state() == BurnerState::Firing;
        let burning = self.burner.fuel_lit();
        self.master.step(dt, self.pressure, s.air_flow, burning, released);
        let o = self.management.step(dt, s, &self.manual, self.master.firing(), self.master.damper());
        self.draught.step(dt, o.fan, o.damper, self.furnace.stack_temperature(), 293.15);
        let fuel = if o.main_valve { o.firing * sizing::FUEL_FULL } else { 0.0 };
        let i = BurnerInput {
            igniter: o.igniter,
            pilot_valve: o.pilot_valve,
            fuel,
            air: self.draught.flow(),
            atomising_pressure: self.fuel_pressure,
            residual: 0.0,
            residual_goodness: 1.0,
        };
        self.burner.step(dt, &i);
        let f = FurnaceInput {
            fuel_lit: self.burner.fuel_lit(),
            fuel_unlit: self.burner.fuel_unlit(),
            residual: 0.0,
            fuel_temperature: 300.0,
            flame: self.burner.pilot_lit() || self.burner.main_lit(),
            atomising: self.burner.atomising(),
            air: self.draught.flow(),
            air_temperature: 303.0,
            riser_wall: self.riser_wall,
            superheater_wall: self.superheater_wall,
            ambient: 303.0,
        };
        self.furnace.step(dt, &f);
        if let Some(p) = self.furnace.puff() {
            self.puffs.push(p.overpressure);
        }
        if self.furnace.blown_out() {
            self.burner.blow_out();
        }
    }

    pub fn run(&mut self, seconds: f64) {
        for _ in 0..(seconds * 10.0).round() as usize {
            self.tick();
        }
    }

    /// Runs until it is in this state; how long it took.
    fn until(&mut self, state: BurnerState, most: f64) -> f64 {
        for k in 0..(most * 10.0) as usize {
            if self.management.state() == state {
                return k as f64 * 0.1;
            }
            self.tick();
        }
        panic!("not {} in {most} s but {}", state.word(), self.management.state().word());
    }

    pub fn light_automatically(&mut self) {
        self.management.set_automatic(true);
        let s = self.signals;
        self.management.start(&s).unwrap();
        self.until(BurnerState::Firing, 120.0);
    }
}

#[test]
fn in_automatic_it_purges_lights_and_fires_clean() {
    let mut f = Front::new(293.15);
    f.management.set_automatic(true);
    let s = f.signals;
    f.management.start(&s).unwrap();
    f.until(BurnerState::PilotTrial, 60.0);
    assert!(f.furnace.vapour.mass() < 0.02, "five volumes have washed it out");
    f.until(BurnerState::Firing, 60.0);
    assert!(f.puffs.is_empty() && f.furnace.casing_damage.total() == 0.0);
    f.run(120.0);
    assert!(f.burner.main_lit() && !f.burner.pilot_lit());
    let o = f.furnace.burnt().oxygen();
    assert!((0.03..0.08).contains(&o), "oxygen {o}");
    assert!(f.furnace.smoke() < 0.05);
}

#[test]
fn heat_balance_of_the_furnace_closes_at_every_fire() {
    let mut f = Front::new(450.0);
    f.pressure = 1e6;
    f.light_automatically();
    f.master.set_automatic(true);
    for _ in 0..3000 {
        f.tick();
        let h = f.furnace.heat();
        let out = h.risers() + h.superheater + h.casing + h.stack + h.unburnt;
        assert!((h.brought - out).abs() <= 1e-9 * h.brought.abs().max(1e5), "{h:?}");
    }
    let h = *f.furnace.heat();
    println!(
        "full fire: exit {:.0} K, stack {:.0} K, risers {:.2} MW, superheater {:.2} MW of {:.2} MW, O2 {:.1} %, air {:.2} kg/s",
        f.furnace.exit_temperature(),
        f.furnace.stack_temperature(),
        h.risers() / 1e6,
        h.superheater / 1e6,
        h.brought / 1e6,
        100.0 * f.furnace.burnt().oxygen(),
        f.draught.flow(),
    );
    assert!(f.master.demand() > 0.99);
    let part = (h.risers() + h.superheater) / h.brought;
    assert!((0.8..0.92).contains(&part), "part to the steam {part}");
    assert!((500.0..700.0).contains(&f.furnace.stack_temperature()));
}

fn careless(purge: f64) -> Front {
    let mut f = Front::new(293.15);
    // In manual: fan on, damper for low fire, perhaps a purge, then pilot and fuel.
    f.manual.fan = true;
    f.manual.damper = if purge > 0.0 { 1.0 } else { sizing::management().light_up_damper };
    f.run(20.0 + purge);
    f.manual.damper = sizing::management().light_up_damper;
    f.run(if purge > 0.0 { 20.0 } else { 0.0 });
    f.manual.igniter = true;
    f.manual.pilot_valve = true;
    f.run(4.0);
    f.manual.main_valve = true;
    f.manual.firing = 0.2;
    f.run(6.0);
    f
}

#[test]
fn skipping_the_purge_puffs_and_purging_does_not() {
    let mut without = Front::new(293.15);
    without.manual = BurnerOrders { fan: true, damper: 0.26, ..BurnerOrders::default() };
    without.run(8.0);
    without.manual = BurnerOrders { igniter: true, pilot_valve: true, ..without.manual };
    without.run(3.0);
    assert_eq!(without.puffs.len(), 1, "the pilot lights the old vapour");
    assert!(without.puffs[0] > 2000.0, "{} Pa", without.puffs[0]);
    assert!(without.furnace.casing_damage.total() > 0.05);
    assert!(without.furnace.smoke() > 0.1);
    let with = careless(30.0);
    assert!(with.puffs.is_empty() && with.burner.main_lit());
    assert_eq!(with.furnace.casing_damage.total(), 0.0);
}

#[test]
fn a_shut_damper_earns_no_purge_credit() {
    let mut f = Front::new(293.15);
    f.manual.fan = true;
    f.run(600.0);
    assert!(f.draught.flow() < 0.05 && f.draught.speed() == 1.0);
    assert_eq!(f.management.purge.volumes(), 0.0);
    assert!(!f.management.purged());
    assert!(f.furnace.vapour.flammable(), "the vapour is still there");
    // Nor does a choked air path whose damper shows open.
    let mut f = Front::new(293.15);
    f.draught.failings.choked = 0.9;
    f.management.set_automatic(true);
    let s = f.signals;
    f.management.start(&s).unwrap();
    f.run(300.0);
    assert!(f.draught.damper() > 0.99);
    assert_eq!(f.management.state(), BurnerState::Purging);
}

#[test]
fn trips_latch_with_their_first_cause_and_want_a_purge() {
    type Do = fn(&mut Front);
    let cases: [(TripCause, Do); 7] = [
        (TripCause::LowLowLevel, |f| f.signals.level_low_low = true),
        (TripCause::HighSteamPressure, |f| f.signals.steam_pressure_high = true),
        (TripCause::LowFuelPressure, |f| f.signals.fuel_pressure_low = true),
        (TripCause::LowControlAir, |f| f.signals.control_air_low = true),
        (TripCause::EmergencyStop, |f| f.signals.emergency_stop = true),
        (TripCause::FanStopped, |f| f.draught.failings.fan_dead = true),
        (TripCause::FlameFailure, |f| f.burner.failings.flame_lost = true),
    ];
    for (cause, fail) in cases {
        let mut f = Front::new(400.0);
        f.light_automatically();
        f.run(20.0);
        assert_eq!(f.management.tripped(), None, "{}", cause.words());
        fail(&mut f);
        f.run(30.0);
        let got = f.management.tripped();
        // A fan that runs down may be caught by the air flow first.
        let fan = cause == TripCause::FanStopped && got == Some(TripCause::LowAirFlow);
        assert!(got == Some(cause) || fan, "{} {got:?}", cause.words());
        assert!(!f.burner.main_lit() && !f.management.orders().main_valve);
        let s = f.signals;
        if !matches!(cause, TripCause::FlameFailure | TripCause::FanStopped) {
            assert!(f.management.reset(&s).is_err(), "the cause still stands");
        }
        // Mended: but only after a purge can it be reset.
        f.signals = BurnerSignals::default();
        f.draught.failings.fan_dead = false;
        f.burner.failings = BurnerFailings::default();
        f.run(90.0);
        let s = f.signals;
        f.management.reset(&s).unwrap();
        assert_eq!(f.management.state(), BurnerState::Stopped);
        f.light_automatically();
    }
}

#[test]
fn a_reset_without_purge_is_refused() {
    let mut f = careless(30.0);
    f.signals.emergency_stop = true;
    f.run(1.0);
    f.signals.emergency_stop = false;
    f.manual = BurnerOrders { fan: true, damper: 0.05, ..BurnerOrders::default() };
    f.run(60.0);
    let s = f.signals;
    let told = f.management.reset(&s).unwrap_err();
    assert!(told.contains("purge"), "{told}");
    f.manual.damper = 1.0;
    f.run(60.0);
    let s = f.signals;
    f.management.reset(&s).unwrap();
}

#[test]
fn a_dead_pilot_ends_in_lock_out_and_a_lying_scanner_fools_the_sequence() {
    let mut f = Front::new(293.15);
    f.burner.failings.pilot_dead = true;
    f.management.set_automatic(true);
    let s = f.signals;
    f.management.start(&s).unwrap();
    f.run(120.0);
    assert_eq!(f.management.tripped(), Some(TripCause::PilotNotProved));
    // With the scanner lying, fuel goes unlit into the furnace until it is rich.
    let mut f = Front::new(293.15);
    f.burner.failings = BurnerFailings { pilot_dead: true, scanner_lying: true, ..BurnerFailings::default() };
    f.light_automatically();
    f.run(60.0);
    assert_eq!(f.management.tripped(), None);
    assert!(!f.burner.main_lit() && f.furnace.vapour.mass() > 0.3);
    assert!(f.furnace.white_smoke() > 0.5);
}

#[test]
fn in_manual_fuel_without_a_flame_trips_after_its_trial() {
    let mut f = Front::new(293.15);
    f.manual = BurnerOrders { fan: true, damper: 0.3, main_valve: false, firing: 0.2, ..BurnerOrders::default() };
    f.run(20.0);
    f.manual.main_valve = true;
    f.run(5.0);
    assert_eq!(f.management.tripped(), None);
    f.run(5.0);
    assert_eq!(f.management.tripped(), Some(TripCause::MainFlameNotProved));
}

#[test]
fn the_firing_master_leads_with_air_and_keeps_its_limit() {
    let mut f = Front::new(450.0);
    f.pressure = 1.2e6;
    f.light_automatically();
    f.master.set_automatic(true);
    f.master.limit = 0.6;
    let mut least: f64 = 9.0;
    for _ in 0..1500 {
        f.tick();
        least = least.min(f.furnace.burnt().air_ratio);
    }
    assert!((f.master.demand() - 0.6).abs() < 1e-9, "{}", f.master.demand());
    f.pressure = sizing::WORKING_PRESSURE + 0.5e5;
    for _ in 0..600 {
        f.tick();
        least = least.min(f.furnace.burnt().air_ratio);
    }
    assert!(f.master.demand() < 0.3, "it comes down: {}", f.master.demand());
    assert!(least > 1.04, "air never fell short: {least}");
    assert_eq!(f.furnace.smoke(), 0.0);
}

#[test]
fn held_off_it_goes_out_without_a_trip_and_lights_again_by_itself() {
    let mut f = Front::new(450.0);
    f.light_automatically();
    f.pressure = sizing::WORKING_PRESSURE + 1e5;
    f.run(5.0);
    assert!(!f.master.fire_wanted());
    f.signals.hold_off = true;
    f.run(60.0);
    assert_eq!((f.management.state(), f.management.tripped()), (BurnerState::Stopped, None));
    assert!(!f.burner.main_lit() && !f.management.orders().fan, "purged, then the fan is let go");
    f.pressure = sizing::WORKING_PRESSURE - 1e5;
    f.run(1.0);
    assert!(f.master.fire_wanted());
    f.signals.hold_off = false;
    f.until(BurnerState::Firing, 120.0);
}
