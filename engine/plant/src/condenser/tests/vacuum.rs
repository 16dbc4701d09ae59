//! What vacuum does: pull-down, air, lost cooling, a flooded or boiling hotwell, and that everything closes.

use super::*;

#[test]
fn water_air_and_energy_close_through_everything() {
    let mut rig = Rig::cold();
    let start = rig.account();
    let look = |rig: &Rig, when: &str| {
        let now = rig.account();
        let scale = [1000.0, 5.0, rig.cooled.max(1e9)];
        for k in 0..3 {
            let gap = (now[k] - start[k]) / scale[k];
            assert!(gap.abs() < 1e-9, "{when}: {k} {gap}");
        }
    };
    rig.pump.motor.start();
    rig.net.set_opening(rig.leak, 0.01);
    rig.run(300.0);
    look(&rig, "pulled down");
    rig.net.set_opening(rig.steam, 0.6);
    rig.run(200.0);
    look(&rig, "steam");
    rig.pumped = 3.0;
    rig.condenser.hole = 2e-5;
    rig.run(200.0);
    look(&rig, "tube leak");
    rig.water.mass_flow = 0.0;
    rig.run(60.0);
    look(&rig, "no cooling water");
    rig.net.set_opening(rig.steam, 0.0);
    rig.net.set_opening(rig.leak, 1.0);
    rig.run(100.0);
    look(&rig, "vacuum broken");
    rig.water.mass_flow = 110.0;
    rig.hotwell.mass = 985.0;
    let start = rig.account();
    rig.net.set_opening(rig.steam, 1.0);
    rig.run(100.0);
    let now = rig.account();
    assert!((now[0] - start[0]).abs() < 1e-6, "{now:?} {start:?}");
}

/// Common practice: some minutes from atmosphere to a working vacuum with a sound and sealed machine.
#[test]
fn pulling_the_vacuum_takes_minutes_and_ends_above_the_seal_waters_pressure() {
    let mut rig = Rig::cold();
    rig.net.set_opening(rig.leak, 0.01);
    rig.pump.motor.start();
    let mut seconds = 0.0;
    while rig.p() > 1.2e4 {
        rig.run(1.0);
        seconds += 1.0;
        assert!(seconds < 1800.0, "{}", rig.p());
    }
    assert!((120.0..900.0).contains(&seconds), "{seconds} s to 0.12 bara");
    rig.run(1800.0);
    let seal = water::p_sat(rig.pump.seal_temperature());
    assert!(rig.p() > seal && rig.p() < 8e3, "{} Pa, seal water {seal} Pa", rig.p());
    println!("0.12 bara after {seconds} s, then {:.0} Pa", rig.p());
}

#[test]
fn the_pump_stopped_lets_air_gather_and_pressure_rise() {
    let mut rig = Rig::steaming(0.5);
    let (before, cold) = (rig.p(), rig.net.t(rig.shell));
    rig.pump.motor.stop();
    rig.run(600.0);
    assert!(rig.p() > 1.5 * before, "{} from {before}", rig.p());
    // The air blankets the tubes, so that even the steam is warmer.
    assert!(rig.net.t(rig.shell) > cold + 0.5);
    assert!(rig.air() > 1e3);
}

/// Dalton's law: condensate leaves at saturation of the steam's part, colder than saturation at the whole pressure.
#[test]
fn air_sub_cools_the_condensate() {
    let mut rig = Rig::steaming(0.4);
    let depression = |rig: &Rig| water::t_sat(rig.p()) - rig.net.t(rig.shell);
    let tight = depression(&rig);
    rig.net.set_opening(rig.leak, 0.1);
    rig.run(900.0);
    let leaking = depression(&rig);
    let e = rig.net.state(rig.shell);
    assert!((0.0..1.5).contains(&tight), "{tight} K");
    assert!(leaking > 2.0 * tight && leaking > 1.5, "{leaking} K from {tight} K");
    assert!((water::p_sat(e.t) / e.p_steam - 1.0).abs() < 1e-9);
}

#[test]
fn more_steam_warmer_water_and_foul_tubes_each_cost_vacuum() {
    let base = Rig::steaming(0.6).p();
    let more = Rig::steaming(0.9).p();
    let mut rig = Rig::steaming(0.6);
    rig.water.temperature += 6.0;
    rig.run(900.0);
    let warm = rig.p();
    let mut rig = Rig::steaming(0.6);
    rig.condenser.tubes.fouling = 1.0;
    rig.run(900.0);
    let foul = rig.p();
    let mut rig = Rig::steaming(0.6);
    rig.water.mass_flow *= 0.5;
    rig.run(900.0);
    let little = rig.p();
    println!("{base:.0} Pa; more steam {more:.0}, warm {warm:.0}, foul {foul:.0}, little water {little:.0}");
    for p in [more, warm, foul, little] {
        assert!(p > 1.07 * base, "{p} {base}");
    }
}

#[test]
fn without_cooling_water_the_shell_goes_to_what_the_steam_brings() {
    let mut rig = Rig::steaming(0.2);
    rig.water.mass_flow = 0.0;
    rig.run(600.0);
    assert!(rig.p() > 5e4, "{}", rig.p());
}

#[test]
fn a_full_hotwell_floods_the_tubes_and_costs_vacuum() {
    let mut rig = Rig::steaming(0.5);
    let sound = rig.p();
    (rig.follows, rig.pumped) = (false, 0.0);
    let mut seconds = 0.0;
    while rig.net.state(rig.shell).liquid_volume < 1.0 {
        rig.run(1.0);
        seconds += 1.0;
        assert!(seconds < 7200.0 && rig.hotwell.mass < 1000.0, "{} kg", rig.hotwell.mass);
    }
    assert!(rig.p() > 1.1 * sound, "{} from {sound}", rig.p());
}

#[test]
fn a_hot_hotwell_boils_when_vacuum_is_pulled() {
    let mut rig = Rig::cold();
    rig.hotwell.temperature = 343.15;
    rig.hotwell.enthalpy = 4190.0 * 70.0;
    rig.pump.motor.start();
    rig.run(900.0);
    assert!(rig.hotwell.temperature < 330.0, "{}", rig.hotwell.temperature);
    assert!(rig.hotwell.temperature < water::t_sat(rig.p()) + 2.0);
}

#[test]
fn warm_seal_water_costs_vacuum_and_a_standing_pump_draws_nothing() {
    let mut pump = VacuumPump::new(pump_params(), SEA_IN);
    assert_eq!(pump.volume_flow(5e3), 0.0);
    pump.motor.step(true, 0.0, 0.0);
    pump.motor.start();
    let shell = *Rig::steaming(0.3).net.state(Rig::cold().shell);
    let suction = Suction::of(&shell, SEA_IN, 0.3);
    let contents = Contents { water: 1.0, air: 0.1, energy: 0.0 };
    for _ in 0..6000 {
        pump.step(true, &suction, &contents, (SEA_IN, 1.0), DT);
    }
    let cool = (pump.seal_temperature(), pump.volume_flow(6e3));
    // Shaft power over the cooler's conductance above the inlet.
    assert!((cool.0 - SEA_IN - 5.5e3 / 2e3).abs() < 0.2, "{cool:?}");
    assert!((cool.1 - 0.06 * (1.0 - water::p_sat(cool.0) / 6e3)).abs() < 1e-12);
    let mut seconds = 0;
    while pump.volume_flow(6e3) > 0.0 {
        pump.step(true, &suction, &contents, (SEA_IN, 0.0), 1.0);
        seconds += 1;
        assert!(seconds < 3600);
    }
    assert!(seconds > 300, "{seconds} s");
    let work = pump.work();
    assert!(work > 3e6 && (pump.shaft_power() - 5.5e3).abs() < 1e-6);
}

/// The gas at the suction: Dalton holds, and it is never warmer or richer than it can be.
#[test]
fn suction_gas_adds_up() {
    for rig in [Rig::cold(), Rig::steaming(0.2), Rig::steaming(0.8)] {
        let e = rig.net.state(rig.shell);
        let s = Suction::of(e, SEA_IN, 0.3);
        assert!((s.air + s.steam - e.p).abs() < 1e-6 * e.p, "{s:?}");
        assert!(s.temperature <= e.t + 1e-9 && s.temperature >= SEA_IN - 0.5, "{s:?} {}", e.t);
        assert!(s.air >= rig.air() * 0.999, "{s:?} {}", rig.air());
    }
}
