//! The turbine among the other parts: what it gives to steam net, cooling water and generator, and takes from them.
//!
//! Within a tick: the trip gear and the priming pump's automatic look at signals of the tick before; the oil flows and the
//! valves move; before the steam net steps, heat, work and water are set; after it what acts on the shaft is known, and the shaft is
//! turned, by the switchboard in its sub-steps where a generator is coupled, else by itself. A trip opens the generator's breaker; the speed
//! changer is then the generator's, which the automatic synchroniser works as well.
//! Windage is on its way to the exhaust for one tick, which [`TurbinePart::crossings`] counts.

use crate::assembly::LiquidLink;
use crate::electrical::{GeneratingSet, Outside};
use crate::electrical_part::ElectricalPart;
use crate::instruments::Signal;
use crate::ledger::{Crossings, Store};
use crate::liquid::{Fluid, Network};
use crate::machines::exchanger::side_of;
use crate::registry::{Order, PointId, Setting};
use crate::steam::SteamNet;
use crate::turbine::{Changer, Pull, TurbineSet, Watched};

/// The signals that trip gear and priming pump read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TurbineReads {
    pub speed: PointId,
    pub oil: PointId,
    pub exhaust: PointId,
    pub vibration: PointId,
    pub bearings: [PointId; 3],
}

/// The turbine and what belongs to it.
#[derive(Clone, Debug)]
pub struct TurbinePart {
    pub set: TurbineSet,
    /// Rated speed of its rotor, revolutions a second: what its speed is told in.
    pub rotation: f64,
    /// The cooling water of its oil.
    pub water: LiquidLink,
    /// Place of its generator among the switchboard's sets.
    pub generator: Option<usize>,
    pub reads: TurbineReads,
    /// Work given to the shaft of a generator since the start, J.
    given: f64,
}

base::kept!(TurbinePart { set, given } fixed { rotation, water, generator, reads });

/// What a control of the turbine works.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum TurbineHandle {
    /// The stop valve's wheel: open, shut, and its dial.
    StopValve,
    /// The governor's speed changer: raise, lower, hold, and its dial.
    SpeedChanger,
    /// The trip gear: trip, reset.
    TripGear,
    /// The turning gear: in, out.
    TurningGear,
    /// The priming pump: start, stop, automatic.
    PrimingPump,
    /// Which oil filter is in use.
    OilFilter,
    /// Cleans the filter that is not in use.
    CleanFilter,
    /// The make-up valve of the oil tank.
    MakeUp,
}

/// What can be wrong with the turbine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum TurbineFault {
    /// The rotor is out of balance by its size.
    Unbalanced,
    /// The governor hunts.
    Hunting,
    /// The governor valve sticks.
    GovernorStuck,
    /// The stop valve sticks.
    StopStuck,
    /// The bolt does not act.
    BoltDead,
    /// The electronic overspeed trip does not act.
    ElectronicDead,
    /// The turning gear's motor does not run.
    TurningDead,
    /// Its clutch does not hold.
    TurningSlips,
    /// Oil leaks by its size.
    OilLeaks,
    /// The priming pump's automatic does not start it.
    StandbyDead,
    /// The priming pump trips.
    PrimingTrips,
    /// The contactor of the priming pump does not close.
    PrimingWillNotStart,
    /// The oil cooler is fouled by its size.
    OilCoolerFouled,
    /// The shaft's oil pump is worn by its size.
    ShaftPumpWorn,
    /// The filter in use chokes.
    FilterChokes,
    /// The thermostat sends no oil through the cooler.
    ThermostatShut,
    /// A bearing runs rough by its size.
    BearingRough(usize),
}

/// What can be read of the turbine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum TurbineReading {
    /// Speed of the rotor, revolutions a second.
    Speed,
    /// Vibration, m peak to peak.
    Vibration,
    /// How far the rotor is bent, m.
    Bow,
    /// Rotor's growth less the casing's, m.
    Expansion,
    /// Rotor's skin, K.
    RotorSkin,
    /// Rotor's skin less its core, K.
    RotorDifference,
    /// Casing's inner half, K.
    CasingMetal,
    /// Casing's inner less its outer half, K.
    CasingDifference,
    /// Power of the steam, W.
    Power,
    /// Steam through the stages, kg/s.
    Flow,
    /// A bearing's metal, K.
    Bearing(usize),
    /// Oil from a bearing, K.
    BearingOil(usize),
    /// Oil pressure at the bearings, Pa.
    OilPressure,
    /// Temperature of the oil to the bearings, K.
    OilTemperature,
    /// Temperature of the oil tank, K.
    TankTemperature,
    /// Level in the oil tank, m.
    TankLevel,
    /// Drop of the filter in use, Pa.
    FilterDrop,
    /// The priming pump runs.
    PrimingRuns,
    /// Position of the stop valve.
    StopValve,
    /// It is open.
    StopValveOpen,
    /// It is shut.
    StopValveShut,
    /// Position of the governor valve.
    GovernorValve,
    /// The trip gear is set.
    TripGearSet,
    /// The turning gear is in.
    TurningIn,
    /// Its motor runs.
    TurningRuns,
}

/// Ways in which the turbine is hurt, as the plant tells them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum TurbineHurt {
    /// Rotor and casing: the worst of rubbing, heat, water and overspeed.
    Rotor,
    /// A bearing, or the gear.
    Bearing(usize),
}

/// The generating set that is coupled, if any.
fn generating(which: Option<usize>, electrical: Option<&mut ElectricalPart>) -> Option<&mut GeneratingSet> {
    electrical?.board.sets.get_mut(which?)
}

/// What a turbine is made of, from the assembly.
pub struct Made {
    pub set: TurbineSet,
    pub rotation: f64,
    pub water: LiquidLink,
    pub generator: Option<usize>,
    pub reads: TurbineReads,
}

impl TurbinePart {
    pub fn new(made: Made) -> TurbinePart {
        let Made { set, rotation, water, generator, reads } = made;
        TurbinePart { set, rotation, water, generator, reads, given: 0.0 }
    }

    /// Trip gear, priming pump and speed changer, on the signals of the tick before.
    pub fn control(&mut self, signal: &[f64], electrical: Option<&mut ElectricalPart>, dt: f64) {
        let say = |p: PointId| signal[usize::from(p.0)];
        let r = &self.reads;
        let watched = Watched {
            speed: 0.0,
            speed_signal: say(r.speed) / self.rotation,
            oil: say(r.oil),
            exhaust: say(r.exhaust),
            vibration: say(r.vibration),
            bearing: r.bearings.iter().fold(0.0, |m, b| say(*b).max(m)),
        };
        let n = self.set.turbine.n();
        self.set.turbine.control(&watched, dt);
        self.set.oil.control(Signal(watched.oil), n, dt);
        if let Some(set) = generating(self.generator, electrical) {
            self.set.turbine.governor.follow(set.changer.setting());
            if self.set.turbine.protection.is_tripped() && set.breaker.is_closed() {
                set.breaker.trip();
            }
        }
    }

    /// Gives its generator's shaft the inertia of all that turns.
    pub fn coupled(&self, electrical: &mut ElectricalPart) {
        if let Some(set) = generating(self.generator, Some(electrical)) {
            set.machine.shaft.inertia = self.set.turbine.params().inertia;
        }
    }

    /// Motors have their supply before the first tick.
    pub fn prime(&mut self, live: bool) {
        self.set.oil.priming.step(live, 0.0, 0.0);
    }

    /// Oil and valves, before circuits and net are solved.
    pub fn drives(&mut self, circuits: &mut [Network], steam: &mut SteamNet, live: bool, dt: f64) {
        let net = &mut circuits[self.water.circuit];
        let heat = self.set.drives(steam, side_of(net, self.water.link), live, dt);
        net.set_heat(self.water.link, heat);
    }

    /// Before the steam net steps.
    pub fn before_steam(&mut self, steam: &mut SteamNet, ambient: f64, dt: f64) {
        self.set.before(steam, ambient, dt);
    }

    /// After it: what acts on the shaft, given to the generator's where there is one.
    pub fn pull(&mut self, steam: &SteamNet, live: bool, electrical: Option<&mut ElectricalPart>, dt: f64) {
        let Pull { drive, brake, power } = self.set.pull(steam, live, dt);
        if let Some(set) = generating(self.generator, electrical) {
            set.outside = Outside { drive, brake, power };
        }
    }

    /// Ends the tick: the shaft has been turned with the generator's, or is turned by itself.
    pub fn after(&mut self, electrical: Option<&ElectricalPart>, ambient: f64, dt: f64) {
        let turned = match self.generator.zip(electrical) {
            Some((i, e)) => {
                let (set, pull) = (&e.board.sets[i], self.set.turbine.pulled());
                self.set.turbine.shaft.omega = set.machine.shaft.omega;
                // The very work that the electrical plant counts as coming in.
                self.given += pull.drive * set.turned.mean * dt + pull.power * dt - set.turned.braked;
                set.turned
            }
            None => self.set.turbine.turn(0.0, dt),
        };
        self.set.after(&turned, ambient, dt);
    }

    /// Carries out an order.
    ///
    /// # Errors
    /// A sentence that says why it cannot be done.
    pub fn order(&mut self, handle: TurbineHandle, order: Order) -> Result<(), String> {
        let (t, oil) = (&mut self.set.turbine, &mut self.set.oil);
        match (handle, order) {
            (TurbineHandle::StopValve, Order::Word(w)) => t.governor.set_wheel(if w == 0 { 1.0 } else { 0.0 }),
            (TurbineHandle::StopValve, Order::Dial(x)) => t.governor.set_wheel(x),
            (TurbineHandle::SpeedChanger, Order::Word(w)) => {
                t.governor.work(match w {
                    0 => Changer::Raise,
                    1 => Changer::Lower,
                    _ => Changer::Still,
                });
            }
            (TurbineHandle::SpeedChanger, Order::Dial(x)) => t.governor.set_speed(x / self.rotation),
            (TurbineHandle::TripGear, Order::Word(0)) => t.protection.trip(),
            (TurbineHandle::TripGear, Order::Word(_)) => return t.reset(),
            (TurbineHandle::TurningGear, Order::Word(0)) => {
                let n = t.n();
                return t.turning.engage(n, oil.pressure());
            }
            (TurbineHandle::TurningGear, Order::Word(_)) => t.turning.disengage(),
            (TurbineHandle::PrimingPump, Order::Word(w)) => match w {
                0 => {
                    oil.priming.reset();
                    if !oil.priming.start() {
                        return Err("it does not start".into());
                    }
                }
                1 => {
                    oil.automatic = false;
                    oil.priming.stop();
                }
                _ => oil.automatic = true,
            },
            (TurbineHandle::OilFilter, Order::Word(w)) => oil.in_use = w.min(1),
            (TurbineHandle::CleanFilter, Order::Word(_)) => oil.filters[1 - oil.in_use].choked = 0.0,
            (TurbineHandle::MakeUp, Order::Word(w)) => oil.make_up = if w == 0 { 1.0 } else { 0.0 },
            (_, Order::Dial(_)) => return Err("it has no dial".into()),
        }
        Ok(())
    }

    /// How a control stands.
    pub fn setting(&self, handle: TurbineHandle) -> Setting {
        let (t, oil) = (&self.set.turbine, &self.set.oil);
        let word = |w: usize| Setting { word: Some(w), dial: None };
        match handle {
            TurbineHandle::StopValve => {
                let x = t.governor.wheel_command();
                let w = if x >= 1.0 {
                    Some(0)
                } else if x <= 0.0 {
                    Some(1)
                } else {
                    None
                };
                Setting { word: w, dial: Some(x) }
            }
            TurbineHandle::SpeedChanger => {
                let w = match t.governor.changer {
                    Changer::Raise => 0,
                    Changer::Lower => 1,
                    Changer::Still => 2,
                };
                Setting { word: Some(w), dial: Some(t.governor.no_load_speed() * self.rotation) }
            }
            TurbineHandle::TripGear | TurbineHandle::CleanFilter => Setting::default(),
            TurbineHandle::TurningGear => word(usize::from(!t.turning.is_engaged())),
            TurbineHandle::PrimingPump => word(if oil.priming.is_running() {
                0
            } else if oil.automatic {
                2
            } else {
                1
            }),
            TurbineHandle::OilFilter => word(oil.in_use),
            TurbineHandle::MakeUp => word(usize::from(oil.make_up == 0.0)),
        }
    }

    /// Sets a failing going, or mends it.
    pub fn fail(&mut self, fault: TurbineFault, acting: bool, size: Option<f64>) {
        let (t, oil) = (&mut self.set.turbine, &mut self.set.oil);
        let size = if acting { size.unwrap_or(0.0) } else { 0.0 };
        match fault {
            TurbineFault::Unbalanced => t.vibration.more_unbalance = size,
            TurbineFault::Hunting => t.governor.failing.hunting = acting,
            TurbineFault::GovernorStuck => t.governor.failing.valve_stuck = acting,
            TurbineFault::StopStuck => t.governor.failing.stop_stuck = acting,
            TurbineFault::BoltDead => t.protection.failing.bolt_dead = acting,
            TurbineFault::ElectronicDead => t.protection.failing.electronic_dead = acting,
            TurbineFault::TurningDead => t.turning.failing.dead = acting,
            TurbineFault::TurningSlips => t.turning.failing.slips = acting,
            TurbineFault::OilLeaks => oil.failing.leak = size,
            TurbineFault::StandbyDead => oil.failing.standby_dead = acting,
            TurbineFault::PrimingTrips => {
                oil.priming.failing.trips = acting;
                if !acting {
                    oil.priming.reset();
                }
            }
            TurbineFault::PrimingWillNotStart => oil.priming.failing.will_not_start = acting,
            TurbineFault::OilCoolerFouled => oil.cooler.fouling = size,
            TurbineFault::ShaftPumpWorn => oil.failing.shaft_pump_worn = size,
            TurbineFault::FilterChokes => {
                let i = oil.in_use;
                for f in &mut oil.filters {
                    f.rate = 0.0;
                }
                oil.filters[i].rate = size;
            }
            TurbineFault::ThermostatShut => oil.failing.thermostat_shut = acting,
            TurbineFault::BearingRough(i) => t.bearings[i].rough = size,
        }
    }

    /// What is true, SI; truth values are 0 and 1.
    #[inline(never)]
    pub fn read(&self, what: TurbineReading) -> f64 {
        let (t, oil) = (&self.set.turbine, &self.set.oil);
        let truth = |b: bool| f64::from(u8::from(b));
        match what {
            TurbineReading::Speed => t.n() * self.rotation,
            TurbineReading::Vibration => t.vibration.level(),
            TurbineReading::Bow => t.bow.bow(),
            TurbineReading::Expansion => t.metal.differential_expansion(),
            TurbineReading::RotorSkin => t.metal.skin(),
            TurbineReading::RotorDifference => t.metal.rotor_difference(),
            TurbineReading::CasingMetal => t.metal.inner(),
            TurbineReading::CasingDifference => t.metal.casing_difference(),
            TurbineReading::Power => t.pulled().power,
            TurbineReading::Flow => t.flow(),
            TurbineReading::Bearing(i) => t.bearings[i].temperature(),
            TurbineReading::BearingOil(i) => t.bearings[i].oil_out(),
            TurbineReading::OilPressure => oil.pressure(),
            TurbineReading::OilTemperature => oil.supply(),
            TurbineReading::TankTemperature => oil.temperature(),
            TurbineReading::TankLevel => oil.level(),
            TurbineReading::FilterDrop => oil.header().filter_drop,
            TurbineReading::PrimingRuns => truth(oil.priming.is_running()),
            TurbineReading::StopValve => t.governor.stop_valve(),
            TurbineReading::StopValveOpen => truth(t.governor.stop_valve() > 0.98),
            TurbineReading::StopValveShut => truth(t.governor.stop_valve() < 0.005),
            TurbineReading::GovernorValve => t.governor.valve(),
            TurbineReading::TripGearSet => truth(t.protection.is_set()),
            TurbineReading::TurningIn => truth(t.turning.is_engaged()),
            TurbineReading::TurningRuns => truth(t.turning.is_running()),
        }
    }

    /// How far one way of being hurt has gone, and what it is.
    pub fn hurt(&self, which: TurbineHurt) -> (f64, &'static str) {
        let t = &self.set.turbine;
        let told = |d: &crate::damage::Damage| (d.total(), d.what);
        match which {
            TurbineHurt::Bearing(i) => told(&t.bearings[i].damage),
            TurbineHurt::Rotor => {
                let all = [&t.rub, &t.strain, &t.struck, &t.overspeed].map(told);
                all.into_iter().fold(all[0], |worst, d| if d.0 > worst.0 { d } else { worst })
            }
        }
    }

    /// What holds mass or energy beside the steam net.
    pub fn stores(&self, all: &mut Vec<Store>) {
        let (t, oil) = (&self.set.turbine, &self.set.oil);
        let m = t.metal.params();
        all.push(Store::Heat { name: "skin of the rotor", capacity: m.rotor.0, t: t.metal.skin() });
        all.push(Store::Heat { name: "core of the rotor", capacity: m.rotor.1, t: t.metal.core() });
        all.push(Store::Heat { name: "outer half of the casing", capacity: m.casing_outer, t: t.metal.outer() });
        for b in &t.bearings {
            all.push(Store::Heat { name: "bearing", capacity: b.params().capacity, t: b.temperature() });
        }
        let (mass, temperature) = (oil.mass(), oil.temperature());
        all.push(Store::Liquid { name: "oil tank".into(), fluid: Fluid::LubeOil, mass, t: temperature, height: 0.0 });
        if self.generator.is_none() {
            all.push(Store::Rotor { inertia: t.shaft.inertia, omega: t.shaft.omega });
        }
    }

    /// What crossed the boundary, and what is on its way.
    pub fn crossings(&self, c: &mut Crossings) {
        let (t, oil) = (&self.set.turbine, self.set.oil.crossed());
        let sums = t.sums();
        let mut energy = |x: f64| {
            c.energy += x;
            c.energy_through += x.abs();
        };
        // The net counts heat from metal and windage as coming in and work as going out; both are inside.
        energy(-sums.to_net - sums.to_inner);
        energy(sums.worked);
        energy(sums.turning + oil.priming);
        energy(oil.oil_energy);
        let lost: f64 = t.bearings.iter().map(|b| b.lost()).sum();
        energy(-lost - t.metal.lost() - oil.lost);
        // Windage on its way to the exhaust; work that a generator's shaft got is counted there as coming in.
        energy(-sums.waits - self.given);
        c.other_liquids += oil.oil;
    }
}

#[cfg(test)]
mod tests;
