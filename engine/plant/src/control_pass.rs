//! The control pass of a tick, on the signals of the tick before: burner management and firing master; loops; standby
//! starts; what lost vacuum shuts.

use crate::boiler::BurnerState;
use crate::instruments::Signal;
use crate::parts::{Parts, StandbyMachine};
use crate::registry::PointId;
use base::tick::TICK_SECONDS as DT;

impl Parts {
    /// Controllers and protection.
    pub fn control(&mut self, signal: &[f64]) {
        let say = |p: PointId| signal[usize::from(p.0)];
        self.burner_control(signal);
        self.electrical_control();
        for l in &mut self.loops {
            let output = l.step(say, DT);
            self.valves[l.moves].actuator.set_command(output);
        }
        self.guard_dump(say);
        if let Some(t) = &mut self.turbine {
            t.control(signal, self.electrical.as_mut(), DT);
        }
        let mut started = None;
        for s in &mut self.standbys {
            // The other pump is meant to hold the pressure, whether or not it still runs.
            if s.start.step(s.armed && s.duty, Signal(say(s.pressure)), DT) {
                match s.second {
                    StandbyMachine::Pump(i) => _ = self.pumps[i].pump.motor.start(),
                    StandbyMachine::VacuumPump(i) => {
                        if let Some(c) = &mut self.condenser {
                            c.pumps[i].motor.start();
                        }
                    }
                }
                started = Some(s.second);
            }
        }
        // A pump that has come in is meant to hold the pressure from now on, and another may stand by for it.
        if let Some(pump) = started {
            for s in self.standbys.iter_mut().filter(|s| s.first == pump) {
                s.duty = true;
            }
        }
    }

    /// Lost vacuum shuts the dump valve; its controller stands by at shut.
    fn guard_dump(&mut self, say: impl Fn(PointId) -> f64) {
        let Some(guard) = self.condenser.as_mut().and_then(|c| c.dump.as_mut()) else { return };
        if guard.lost.step(say(guard.reads), DT) {
            self.valves[guard.valve].actuator.set_command(0.0);
            for l in self.loops.iter_mut().filter(|l| l.moves == guard.valve) {
                l.controller.follow(0.0, Signal(say(l.measures)));
            }
        }
    }

    fn burner_control(&mut self, signal: &[f64]) {
        let Some(b) = &mut self.boiler else { return };
        let signals = b.signals(signal);
        let say = |p: PointId| signal[usize::from(p.0)];
        let released = b.management.state() == BurnerState::Firing;
        let signals = crate::boiler::BurnerSignals { hold_off: !b.master.fire_wanted(), ..signals };
        let fuel_flow = say(b.reads.fuel_flow) + b.lance.as_ref().map_or(0.0, |l| say(l.flow));
        b.master.step(DT, say(b.reads.pressure), say(b.reads.air_flow), fuel_flow, released);
        let mut by_hand = b.by_hand;
        by_hand.firing = b.master.firing();
        if b.damper_follows {
            by_hand.damper = b.master.damper();
        }
        let orders = b.management.step(DT, &signals, &by_hand, b.master.firing(), b.master.damper());
        let live = self.electrical.as_ref().is_none_or(|e| e.live(e.feeders.fan));
        // Its contactor drops out with the supply, or when it trips; by hand it must be started again.
        let starts = b.fan_on || !b.draught.failings.fan_will_not_start;
        b.by_hand.fan &= live && starts && !b.draught.failings.fan_dead;
        b.fan_on = orders.fan && live && starts;
        let x = orders.firing.clamp(0.0, 1.0) * (b.fuel_cam.len() - 1) as f64;
        let i = (x as usize).min(b.fuel_cam.len() - 2);
        let opening = b.fuel_cam[i] + (x - i as f64) * (b.fuel_cam[i + 1] - b.fuel_cam[i]);
        self.valves[b.fuel_valve].actuator.set_command(opening);
        let heavy = b.lance.as_ref().is_some_and(|l| l.chosen);
        self.valves[b.shut_off].actuator.set_command(f64::from(u8::from(orders.main_valve && !heavy)));
        if let Some(l) = &b.lance {
            self.valves[l.fuel_valve].actuator.set_command(opening);
            self.valves[l.shut_off].actuator.set_command(f64::from(u8::from(orders.main_valve && heavy)));
        }
    }
}
