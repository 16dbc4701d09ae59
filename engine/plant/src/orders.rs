//! Working a control, and setting a failing.

use crate::air_net::{AirNet, WayKind};
use crate::assembly::{Fault, Handle};
use crate::boiler::BurnerSignals;
use crate::control::Mode;
use crate::machines::{Drive, FailTo, Motor, Seized};
use crate::parts::{BoilerPart, Coil, Parts, StandbyMachine};
use crate::registry::{Control, Order, Setting};

/// Air that a parted line loses, kg/s at 7 bar gauge: a pipe of 30 mm, many times what a compressor gives. Own
/// choice.
const PARTED: f64 = 1.0;

impl Parts {
    /// Carries out an order on a handle.
    ///
    /// # Errors
    /// A sentence that says why it cannot be done.
    pub fn order(&mut self, control: &Control, handle: Handle, order: Order, signal: &[f64]) -> Result<(), String> {
        if let Order::Dial(x) = order {
            let Some(dial) = control.dial else {
                return Err(format!("{} has no dial", control.tag));
            };
            if !(dial.min..=dial.max).contains(&x) {
                return Err(format!(
                    "{} goes from {} to {}, and {} was asked for",
                    control.tag,
                    dial.unit.tell(dial.min),
                    dial.unit.tell(dial.max),
                    dial.unit.tell(x)
                ));
            }
        }
        if let Some(b) = &mut self.boiler
            && let Some(done) = b.order(handle, order, signal)
        {
            return done;
        }
        match (handle, order) {
            (Handle::Valve(i), Order::Word(w)) => self.valves[i].actuator.set_command(if w == 0 { 1.0 } else { 0.0 }),
            (Handle::Valve(i), Order::Dial(x)) => self.valves[i].actuator.set_command(x),
            (Handle::Pump(i), Order::Word(w)) => return self.pump_order(StandbyMachine::Pump(i), w),
            (Handle::VacuumPump(i), Order::Word(w)) => return self.pump_order(StandbyMachine::VacuumPump(i), w),
            (Handle::Heater(i), Order::Word(w)) => self.heaters[i].heater.automatic = w == 0,
            (Handle::Compressor(i), Order::Word(w)) => return self.air.machines[i].order(w),
            (Handle::LoopMode(i), Order::Word(w)) => {
                self.loops[i].controller.set_mode(if w == 1 { Mode::Automatic } else { Mode::Manual });
            }
            (Handle::LoopMode(i), Order::Dial(x)) => self.loops[i].controller.set_set_point(x),
            (Handle::LoopOutput(i), Order::Dial(x)) => {
                let c = &mut self.loops[i].controller;
                if c.mode() == Mode::Automatic {
                    return Err("its controller is in automatic; put it in manual first".into());
                }
                c.set_output(x);
            }
            (Handle::Electrical(h), o) => {
                if let Some(e) = &mut self.electrical {
                    return e.order(h, o);
                }
            }
            (Handle::LoopElements(i), Order::Word(w)) => {
                if let Some(e) = &mut self.loops[i].elements {
                    e.chosen = w == 1;
                }
            }
            (Handle::Turbine(h), _) => {
                if let Some(t) = &mut self.turbine {
                    return t.order(h, order);
                }
            }
            (_, Order::Word(_)) => return Err(format!("{} is set by its dial", control.tag)),
            (_, Order::Dial(_)) => return Err(format!("{} has no dial", control.tag)),
        }
        Ok(())
    }

    /// The motor of a machine that may stand by.
    fn standing_by(&mut self, machine: StandbyMachine) -> Option<&mut Motor> {
        match machine {
            StandbyMachine::Pump(i) => Some(&mut self.pumps[i].pump.motor),
            StandbyMachine::VacuumPump(i) => self.condenser.as_mut().map(|c| &mut c.pumps[i].motor),
        }
    }

    fn pump_order(&mut self, machine: StandbyMachine, word: usize) -> Result<(), String> {
        for s in self.standbys.iter_mut().filter(|s| s.second == machine) {
            s.armed = word == 2;
        }
        for s in self.standbys.iter_mut().filter(|s| s.first == machine && word < 2) {
            s.duty = word == 0;
        }
        let Some(motor) = self.standing_by(machine) else { return Ok(()) };
        match word {
            0 => {
                motor.reset();
                if !motor.start() {
                    return Err("it does not start".into());
                }
            }
            1 => motor.stop(),
            _ => {}
        }
        Ok(())
    }

    /// How a control stands.
    pub fn setting(&self, handle: Handle) -> Setting {
        if let Some(b) = &self.boiler
            && let Some(setting) = b.setting(handle)
        {
            return setting;
        }
        let word = |w: usize| Setting { word: Some(w), dial: None };
        let dial = |x: f64| Setting { word: None, dial: Some(x) };
        match handle {
            Handle::Valve(i) => {
                let x = self.valves[i].actuator.command();
                let w = if x >= 1.0 {
                    Some(0)
                } else if x <= 0.0 {
                    Some(1)
                } else {
                    None
                };
                Setting { word: w, dial: Some(x) }
            }
            Handle::Pump(i) => word(self.standby_word(StandbyMachine::Pump(i), self.pumps[i].pump.motor.is_running())),
            Handle::Heater(i) => word(usize::from(!self.heaters[i].heater.automatic)),
            Handle::Compressor(i) => word(self.air.machines[i].word()),
            Handle::LoopMode(i) => {
                let c = &self.loops[i].controller;
                Setting { word: Some(usize::from(c.mode() == Mode::Automatic)), dial: Some(c.set_point()) }
            }
            Handle::LoopOutput(i) => dial(self.loops[i].controller.output()),
            Handle::Turbine(h) => self.turbine.as_ref().map_or(Setting::default(), |t| t.setting(h)),
            Handle::Electrical(h) => self.electrical.as_ref().map_or(Setting::default(), |e| e.setting(h)),
            Handle::VacuumPump(i) => {
                let runs = self.condenser.as_ref().is_some_and(|c| c.pumps[i].motor.is_running());
                word(self.standby_word(StandbyMachine::VacuumPump(i), runs))
            }
            Handle::LoopElements(i) => word(usize::from(self.loops[i].elements.as_ref().is_some_and(|e| e.chosen))),
            _ => Setting::default(),
        }
    }

    /// How the control of a machine that may stand by stands.
    fn standby_word(&self, machine: StandbyMachine, runs: bool) -> usize {
        let armed = self.standbys.iter().any(|s| s.second == machine && s.armed);
        match (runs, armed) {
            (true, _) => 0,
            (false, true) => 2,
            (false, false) => 1,
        }
    }

    /// Sets a failing going, or mends it.
    ///
    /// # Panics
    /// When a failing that has a default size in the registry comes without one: our own mistake.
    pub fn fail(&mut self, fault: Fault, acting: bool, size: Option<f64>) {
        let sized = || if acting { size.expect("the registry gives this failing a size") } else { 0.0 };
        match fault {
            Fault::ValveSeized(i) => {
                self.valves[i].actuator.failing.seized = acting.then(|| size.map_or(Seized::WhereItStands, Seized::At));
            }
            Fault::ValvePassing(i) => self.valves[i].passing = sized(),
            Fault::PumpTrips(i) => {
                self.pumps[i].pump.motor.failing.trips = acting;
                if !acting {
                    self.pumps[i].pump.motor.reset();
                }
            }
            Fault::PumpWorn(i) => self.pumps[i].pump.failing.worn = sized(),
            Fault::PumpAirLocked(i) => self.pumps[i].pump.failing.air_locked = acting,
            Fault::PumpSheared(i) => self.pumps[i].pump.failing.coupling_sheared = acting,
            Fault::PumpWillNotStart(i) => self.pumps[i].pump.motor.failing.will_not_start = acting,
            Fault::StandbyDead(i) => {
                for s in self.standbys.iter_mut().filter(|s| s.second == i) {
                    s.start.dead = acting;
                }
            }
            Fault::StrainerChoked(l) => {
                self.circuits[l.circuit].set_choked(l.link, if acting { size.unwrap_or(0.0) } else { 0.0 });
            }
            Fault::CoolerFouled(i) => {
                self.coolers[i].exchanger.fouling = if acting { size.unwrap_or(0.0) } else { 0.0 };
            }
            Fault::CompressorTrips(i) => {
                let motor = &mut self.air.machines[i].compressor.motor;
                motor.failing.trips = acting;
                if !acting {
                    motor.reset();
                }
            }
            Fault::CompressorWorn(i) => {
                self.air.machines[i].compressor.failing.worn = if acting { size.unwrap_or(0.0) } else { 0.0 };
            }
            Fault::UnloaderStuck(i) => self.air.machines[i].compressor.failing.unloader = acting.then_some(true),
            Fault::AirLeak(i) => self.air.vessels[i].leak = size.filter(|_| acting).map(AirNet::leak),
            Fault::AirSafetyStuck(i) => self.air.vessels[i].receiver.safety_stuck = acting,
            Fault::ValveSluggish(i) => {
                self.valves[i].actuator.failing.sluggish = if acting { size.unwrap_or(1.0) } else { 1.0 };
            }
            Fault::ValveWrongFail(i) => {
                let actuator = &mut self.valves[i].actuator;
                actuator.failing.wrong_fail = match actuator.params().drive {
                    Drive::Pneumatic { fails: FailTo::Open, .. } if acting => Some(FailTo::Shut),
                    Drive::Pneumatic { fails: FailTo::Shut, .. } if acting => Some(FailTo::Open),
                    // What holds it without air lets go.
                    Drive::Pneumatic { fails: FailTo::Stay, .. } if acting => Some(FailTo::Shut),
                    _ => None,
                };
            }
            Fault::HeaterBurntOut(i) => self.heaters[i].heater.burnt_out = acting,
            Fault::AirChoked(i) => self.air.ways[i].choked = sized(),
            Fault::DryerStopped(i) => self.air.ways[i].kind = WayKind::Dryer { works: !acting },
            Fault::CondenserFouled
            | Fault::CondenserTubeLeak
            | Fault::CondenserDrawsAir
            | Fault::VacuumPumpTrips(_)
            | Fault::VacuumPumpWillNotStart(_)
            | Fault::VacuumPumpWorn(_)
            | Fault::VacuumPumpBearing(_) => {
                if let Some(c) = &mut self.condenser {
                    c.fail(&mut self.steam, fault, acting, size);
                }
            }
            Fault::Electrical(failure) => {
                if let Some(e) = &mut self.electrical {
                    e.fail(failure, acting, size);
                }
            }
            Fault::Turbine(f) => {
                if let Some(t) = &mut self.turbine {
                    t.fail(f, acting, size);
                }
            }
            Fault::PumpBearing(i) => self.pumps[i].pump.failing.bearing = sized(),
            Fault::CompressorWillNotStart(i) => {
                self.air.machines[i].compressor.motor.failing.will_not_start = acting;
            }
            Fault::CompressorBearing(i) => self.air.machines[i].compressor.failing.bearing = sized(),
            Fault::TrapBlocked(branch) => self.steam.set_opening(branch, 1.0 - sized()),
            Fault::CoilFouled(i) => {
                let Coil { node, clean, .. } = self.coils[i];
                if let Some(wall) = self.steam.wall_mut(node) {
                    wall.loss = clean * (1.0 - sized());
                }
            }
            Fault::CoolerTubeLeak(i) => self.coolers[i].leak.area = sized(),
            Fault::AirSafetyEarly(i) => self.air.vessels[i].receiver.safety_early = sized(),
            Fault::AirSafetyHolds(i) => self.air.vessels[i].receiver.safety_holds = acting,
            Fault::AirParted(i) => self.air.vessels[i].parted = acting.then(|| AirNet::leak(PARTED)),
            Fault::Fire(f) => self.fail_fire(f, acting, size),
            Fault::Instrument(f) => self.fail_instrument(f, acting, size),
            Fault::TransmitterFrozen(i) => self.transmitters[i].transmitter.failing().frozen = acting,
            Fault::TransmitterOffset(i) => self.transmitters[i].transmitter.failing().offset = sized(),
        }
    }
}

impl BoilerPart {
    /// Carries out an order on one of the boiler's handles; `None` when it is not one of them.
    fn order(&mut self, handle: Handle, order: Order, signal: &[f64]) -> Option<Result<(), String>> {
        match (handle, order) {
            (Handle::Fan, Order::Word(w)) => {
                if self.management.automatic() {
                    return Some(Err("burner management is in automatic and has the fan".into()));
                }
                self.by_hand.fan = w == 0;
            }
            (Handle::Damper, Order::Word(w)) => {
                self.damper_follows = w == 1;
                if !self.damper_follows {
                    self.by_hand.damper = self.draught.damper();
                }
            }
            (Handle::Damper, Order::Dial(x)) => {
                self.damper_follows = false;
                self.by_hand.damper = x;
            }
            (Handle::BurnerMode, Order::Word(w)) => {
                let automatic = w == 1;
                self.management.set_automatic(automatic);
                self.called = automatic && self.management.state() == crate::boiler::BurnerState::Firing;
                // Manual takes over what automatic had.
                if !automatic {
                    self.by_hand = *self.management.orders();
                }
            }
            (Handle::BurnerStart, Order::Word(0)) => {
                let signals = self.signals(signal);
                if let Err(e) = self.management.start(&signals) {
                    return Some(Err(e));
                }
                self.called = true;
            }
            (Handle::BurnerStart, Order::Word(_)) => {
                self.management.stop();
                self.called = false;
            }
            (Handle::EmergencyStop, Order::Word(w)) => self.emergency_stop = w == 0,
            (Handle::TripReset, Order::Word(_)) => {
                let signals = self.signals(signal);
                if let Err(e) = self.management.reset(&signals) {
                    return Some(Err(e));
                }
                // Nothing of what was asked for before the trip lights up by itself.
                self.by_hand.pilot_valve = false;
                self.by_hand.igniter = false;
                self.by_hand.main_valve = false;
                self.called = false;
            }
            (Handle::Pilot, Order::Word(w)) => {
                if let Err(e) = self.in_manual() {
                    return Some(Err(e));
                }
                if let (0, Err(e)) = (w, self.not_tripped()) {
                    return Some(Err(e));
                }
                self.by_hand.pilot_valve = w == 0;
                self.by_hand.igniter = w == 0;
            }
            (Handle::MainFuel, Order::Word(w)) => {
                if let Err(e) = self.in_manual() {
                    return Some(Err(e));
                }
                if let (0, Err(e)) = (w, self.not_tripped()) {
                    return Some(Err(e));
                }
                self.by_hand.main_valve = w == 0;
            }
            (Handle::FuelChoice, Order::Word(w)) => match &mut self.lance {
                Some(l) => l.chosen = w == 1,
                None => return Some(Err("there is no lance for heavy oil".into())),
            },
            (Handle::FiringMode, Order::Word(w)) => self.master.set_automatic(w == 1),
            (Handle::FiringMode, Order::Dial(x)) => self.master.set_point = x,
            (Handle::FiringOutput, Order::Dial(x)) => {
                if self.master.automatic() {
                    return Some(Err("the firing master is in automatic; put it in manual first".into()));
                }
                self.master.set_manual(x);
            }
            (Handle::FiringLimit, Order::Dial(x)) => self.master.limit = x,
            _ => return None,
        }
        Some(Ok(()))
    }

    /// How one of the boiler's handles stands; `None` when it is not one of them.
    fn setting(&self, handle: Handle) -> Option<Setting> {
        let word = |w: usize| Setting { word: Some(w), dial: None };
        let dial = |x: f64| Setting { word: None, dial: Some(x) };
        Some(match handle {
            Handle::Fan => word(usize::from(!self.fan_on)),
            Handle::Damper => {
                Setting { word: Some(usize::from(self.damper_follows)), dial: Some(self.management.orders().damper) }
            }
            Handle::BurnerMode => word(usize::from(self.management.automatic())),
            Handle::BurnerStart => word(usize::from(!self.called)),
            Handle::EmergencyStop => word(usize::from(!self.emergency_stop)),
            Handle::TripReset => Setting::default(),
            Handle::Pilot => word(usize::from(!self.management.orders().pilot_valve)),
            Handle::MainFuel => word(usize::from(!self.management.orders().main_valve)),
            Handle::FuelChoice => word(usize::from(self.lance.as_ref().is_some_and(|l| l.chosen))),
            Handle::FiringMode => {
                Setting { word: Some(usize::from(self.master.automatic())), dial: Some(self.master.set_point) }
            }
            Handle::FiringOutput => dial(self.master.demand()),
            Handle::FiringLimit => dial(self.master.limit),
            _ => return None,
        })
    }

    fn in_manual(&self) -> Result<(), String> {
        if self.management.automatic() {
            Err("burner management is in automatic and does this itself".into())
        } else {
            Ok(())
        }
    }

    /// A trip holds the fuel shut, whoever asks for fire.
    fn not_tripped(&self) -> Result<(), String> {
        match self.management.tripped() {
            Some(cause) => Err(format!(
                "it has no effect: the boiler has tripped ({}), which holds the fuel shut until the trip is reset",
                cause.words()
            )),
            None => Ok(()),
        }
    }

    /// What the burner management is told, from the signals of the last tick.
    pub fn signals(&self, signal: &[f64]) -> BurnerSignals {
        let say = |p: crate::PointId| signal[usize::from(p.0)];
        let on = |p: crate::PointId| say(p) >= 0.5;
        BurnerSignals {
            fan_running: self.fan_on && !self.draught.failings.fan_dead,
            air_flow: say(self.reads.air_flow),
            furnace_temperature: self.furnace.exit_temperature(),
            damper: self.draught.damper(),
            flame: self.burner.flame_signal(),
            level_low_low: on(self.reads.low_water),
            fuel_pressure_low: match &self.lance {
                Some(l) if l.chosen => on(l.low_fuel),
                _ => on(self.reads.low_fuel),
            },
            steam_pressure_high: on(self.reads.high_pressure),
            control_air_low: on(self.reads.low_air),
            emergency_stop: self.emergency_stop,
            hold_off: false,
        }
    }
}
