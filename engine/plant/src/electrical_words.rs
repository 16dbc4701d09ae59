//! What is read at the electrical plant, what hands work there, and what can fail: each by an index.

use crate::electrical::engine::EngineState;
use crate::electrical::{Breaker, Closure, Hunting, RegulatorFailing};
use crate::electrical_part::ElectricalPart;
use crate::registry::{Order, Setting};

/// A contactor that may start again by itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Contactor {
    /// A pump's.
    Pump(usize),
    /// A compressor's.
    Compressor(usize),
}

/// A breaker of the board.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum BreakerOf {
    /// Of a generating set.
    Set(usize),
    /// Between two buses.
    Tie(usize),
    /// Of a shore supply.
    Shore(usize),
}

/// What can be read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reading {
    BusVoltage(usize),
    BusFrequency(usize),
    BusLoad(usize),
    BusLive(usize),
    Insulation(usize),
    Voltage(usize),
    Frequency(usize),
    Power(usize),
    Reactive(usize),
    Current(usize),
    Field(usize),
    Speed(usize),
    Rack(usize),
    Jacket(usize),
    Windings(usize),
    Oil(usize),
    Runs(usize),
    RelaysTripped(usize),
    EngineTripped(usize),
    ShoreTripped(usize),
    ShorePower(usize),
    ShoreLive(usize),
    Closed(BreakerOf),
    /// Angle at which a set last touched a live bus.
    Touched(usize),
    Angle,
    Slip,
    Lamps,
    Shed,
    ConsumerIn(usize),
    ConsumerPower(usize),
    BatteryVoltage,
    BatteryCharge,
    ControlSupply,
}

/// What hands work.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Hand {
    /// close, open, reset.
    Breaker(BreakerOf),
    /// start, stop, reset, standby.
    Engine(usize),
    /// push, release.
    EngineStop(usize),
    /// raise, lower; the no-load frequency.
    SpeedChanger(usize),
    /// automatic, manual; the voltage to hold.
    Regulator(usize),
    /// Excitation by hand.
    Excitation(usize),
    /// in, out: this machine is the incoming one.
    Incoming(usize),
    /// manual, automatic.
    Synchronising,
    /// in, by-passed.
    CheckRelay,
    /// in, out.
    Consumer(usize),
    /// on, off.
    Restart,
}

/// What can fail.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Failure {
    Regulator(usize),
    Hunting(usize),
    GovernorStuck(usize),
    WillNotStart(usize),
    OilLeak(usize),
    OverspeedDead(usize),
    WillNotClose(BreakerOf),
    FallsOut(BreakerOf),
    CheckDead,
    EarthFault(usize),
    ShoreLost(usize),
    ChargerDead,
    /// The breakers of all sources are thrown out.
    Blackout,
}

/// What stood when it was last told.
#[derive(Clone, Debug, Default)]
pub struct Was {
    pub breakers: Vec<bool>,
    pub engines: Vec<bool>,
    pub ties: Vec<bool>,
    pub shores: Vec<bool>,
    pub buses: Vec<bool>,
    pub shed: Vec<bool>,
    pub relays: Vec<bool>,
    pub engine_trips: Vec<bool>,
    pub shore_trips: Vec<bool>,
    pub closures: Vec<Option<Closure>>,
}

base::kept!(Was { breakers, engines, ties, shores, buses, shed, relays, engine_trips, shore_trips, closures });

impl Was {
    /// Takes the new state; whether it is another one.
    pub fn changed(was: &mut bool, now: bool) -> bool {
        std::mem::replace(was, now) != now
    }
}

/// Period of a hunting governor, s: own choice.
const HUNTING_PERIOD: f64 = 2.5;

impl ElectricalPart {
    /// A breaker.
    pub fn breaker(&self, of: BreakerOf) -> &Breaker {
        match of {
            BreakerOf::Set(i) => &self.board.sets[i].breaker,
            BreakerOf::Tie(i) => &self.board.ties[i].breaker,
            BreakerOf::Shore(i) => &self.board.shores[i].breaker,
        }
    }

    fn breaker_mut(&mut self, of: BreakerOf) -> &mut Breaker {
        match of {
            BreakerOf::Set(i) => &mut self.board.sets[i].breaker,
            BreakerOf::Tie(i) => &mut self.board.ties[i].breaker,
            BreakerOf::Shore(i) => &mut self.board.shores[i].breaker,
        }
    }

    /// A true value, SI; truth values are 0 and 1.
    #[inline(never)]
    pub fn read(&self, what: Reading) -> f64 {
        let truth = |b: bool| f64::from(u8::from(b));
        let b = &self.board;
        let machine = |i: usize| &b.sets[i].machine;
        let engine = |i: usize, f: &dyn Fn(&crate::electrical::DieselEngine) -> f64| self.engine(i).map_or(0.0, f);
        match what {
            Reading::BusVoltage(i) => b.voltage(i),
            Reading::BusFrequency(i) => b.frequency(i),
            Reading::BusLoad(i) => b.load(i),
            Reading::BusLive(i) => truth(b.live(i)),
            Reading::Insulation(i) => b.insulation(i),
            Reading::Voltage(i) => machine(i).voltage(),
            // A frequency meter needs some voltage.
            Reading::Frequency(i) => {
                if b.sets[i].voltage() > 0.1 {
                    machine(i).frequency()
                } else {
                    0.0
                }
            }
            Reading::Power(i) => machine(i).power(),
            Reading::Reactive(i) => machine(i).reactive(),
            Reading::Current(i) => machine(i).current(),
            Reading::Field(i) => b.sets[i].excitation.field() * self.field_current[i],
            Reading::Speed(i) => machine(i).shaft.rotation(),
            // Of the whole travel, which ends a little above rated load.
            Reading::Rack(i) => b.sets[i].diesel.as_ref().map_or(0.0, |d| d.engine.rack() / d.governor.params().most),
            Reading::Windings(i) => b.sets[i].windings.as_ref().map_or(0.0, |w| w.temperature()),
            Reading::Jacket(i) => engine(i, &|e| e.temperature()),
            Reading::Oil(i) => engine(i, &|e| e.oil_pressure() + base::units::ATMOSPHERE),
            Reading::Runs(i) => engine(i, &|e| truth(e.state() == EngineState::Running)),
            Reading::RelaysTripped(i) => truth(b.sets[i].protection.unit.is_tripped()),
            Reading::EngineTripped(i) => engine(i, &|e| truth(e.trip.is_tripped())),
            Reading::ShoreTripped(i) => truth(b.shores[i].protection.unit.is_tripped()),
            Reading::ShorePower(i) => b.shores[i].power(),
            Reading::ShoreLive(i) => truth(b.shores[i].available),
            Reading::Closed(of) => truth(self.breaker(of).is_closed()),
            Reading::Touched(i) => b.sets[i].closure.map_or(0.0, |c| c.beside.angle),
            Reading::Angle => b.synchroniser.seen.angle,
            Reading::Slip => b.synchroniser.incoming.map_or(0.0, |_| b.synchroniser.seen.slip),
            Reading::Lamps => b.synchroniser.incoming.map_or(0.0, |_| b.synchroniser.seen.lamps),
            Reading::Shed => truth(b.preferential.acted.0 || b.preferential.acted.1),
            Reading::ConsumerIn(i) => truth(b.consumers[i].is_in()),
            Reading::ConsumerPower(i) => b.consumer_power(i),
            Reading::BatteryVoltage => b.battery.as_ref().map_or(0.0, |x| x.0.voltage()),
            Reading::BatteryCharge => b.battery.as_ref().map_or(0.0, |x| x.0.charge() / x.0.params().capacity),
            Reading::ControlSupply => truth(b.control_supply()),
        }
    }

    /// Carries out an order.
    ///
    /// # Errors
    /// Why it cannot be done.
    pub fn order(&mut self, hand: Hand, order: Order) -> Result<(), String> {
        match (hand, order) {
            (Hand::Breaker(of), Order::Word(0)) => {
                if !self.board.control_supply() {
                    return Err("there is no control supply: the battery is flat".into());
                }
                match of {
                    BreakerOf::Set(i) => {
                        self.board.close(i)?;
                        if let Some(e) = &mut self.board.sets[i].emergency {
                            e.held_open = false;
                        }
                    }
                    BreakerOf::Tie(i) => self.board.close_tie(i)?,
                    BreakerOf::Shore(i) => self.board.close_shore(i)?,
                }
            }
            (Hand::Breaker(of), Order::Word(1)) => {
                self.breaker_mut(of).trip();
                if let BreakerOf::Set(i) = of
                    && let Some(e) = &mut self.board.sets[i].emergency
                {
                    e.held_open = true;
                }
            }
            (Hand::Breaker(of), Order::Word(_)) => {
                let unit = match of {
                    BreakerOf::Set(i) => &mut self.board.sets[i].protection.unit,
                    BreakerOf::Shore(i) => &mut self.board.shores[i].protection.unit,
                    BreakerOf::Tie(_) => return Err("it has no relays to reset".into()),
                };
                if !unit.is_tripped() {
                    return Err("nothing has tripped".into());
                }
                unit.reset().map_err(|_| "what tripped it still stands".to_owned())?;
            }
            (Hand::Engine(i), Order::Word(w)) => return self.engine_order(i, w),
            (Hand::EngineStop(i), Order::Word(w)) => {
                if let Some(d) = &mut self.board.sets[i].diesel {
                    d.engine.push_stop(w == 0);
                }
            }
            (Hand::SpeedChanger(i), Order::Word(w)) => {
                // A touch of the switch: a tenth of a hertz.
                let step = 0.1 / self.board.params().frequency;
                self.board.sets[i].changer.nudge(if w == 0 { step } else { -step });
            }
            (Hand::SpeedChanger(i), Order::Dial(x)) => {
                let nominal = self.board.params().frequency;
                self.board.sets[i].changer.ask(x / nominal);
            }
            (Hand::Regulator(i), Order::Word(w)) => self.board.sets[i].excitation.set_automatic(w == 0),
            (Hand::Regulator(i), Order::Dial(x)) => {
                let nominal = self.board.params().voltage;
                self.board.sets[i].excitation.set_set_point(x / nominal);
            }
            (Hand::Excitation(i), Order::Dial(x)) => {
                let e = &mut self.board.sets[i].excitation;
                if e.automatic() {
                    return Err("its voltage regulator is in automatic; put it in manual first".into());
                }
                e.set_by_hand(x);
            }
            (Hand::Incoming(i), Order::Word(0)) => self.board.synchroniser.incoming = Some(i),
            (Hand::Incoming(i), Order::Word(_)) => {
                if self.board.synchroniser.incoming == Some(i) {
                    self.board.synchroniser.incoming = None;
                }
            }
            (Hand::Synchronising, Order::Word(w)) => self.board.synchroniser.automatic = w == 1,
            (Hand::CheckRelay, Order::Word(w)) => self.board.synchroniser.bypassed = w == 1,
            (Hand::Consumer(i), Order::Word(w)) => self.board.consumers[i].switch(w == 0),
            (Hand::Restart, Order::Word(w)) => self.restarting = w == 0,
            (_, Order::Dial(_)) => return Err("it has no dial".into()),
            (Hand::Excitation(_), Order::Word(_)) => return Err("it is set by its dial".into()),
        }
        Ok(())
    }

    fn engine_order(&mut self, i: usize, word: usize) -> Result<(), String> {
        let set = &mut self.board.sets[i];
        if let Some(e) = &mut set.emergency {
            e.standby = word == 3;
            e.held_open &= word != 3;
        }
        let Some(d) = &mut set.diesel else { return Err("it has no engine of its own".into()) };
        match word {
            0 => return self.board.start(i),
            1 => d.engine.stop(),
            2 => {
                if !d.engine.trip.is_tripped() {
                    return Err("nothing has tripped".into());
                }
                d.engine.trip.reset().map_err(|_| "what tripped it still stands".to_owned())?;
            }
            _ => {}
        }
        Ok(())
    }

    /// How a control stands.
    pub fn setting(&self, hand: Hand) -> Setting {
        let word = |w: usize| Setting { word: Some(w), dial: None };
        let b = &self.board;
        match hand {
            Hand::Breaker(of) => word(usize::from(!self.breaker(of).is_closed())),
            Hand::Engine(i) => {
                let standby = b.sets[i].emergency.is_some_and(|e| e.standby);
                let stopped = self.engine(i).is_none_or(|e| e.state() == EngineState::Stopped);
                word(if !stopped {
                    0
                } else if standby {
                    3
                } else {
                    1
                })
            }
            Hand::EngineStop(i) => word(usize::from(!self.engine(i).is_some_and(|e| e.stop_pushed()))),
            Hand::SpeedChanger(i) => {
                Setting { word: None, dial: Some(b.sets[i].changer.wanted() * b.params().frequency) }
            }
            Hand::Regulator(i) => {
                let e = &b.sets[i].excitation;
                Setting { word: Some(usize::from(!e.automatic())), dial: Some(e.set_point() * b.params().voltage) }
            }
            Hand::Excitation(i) => Setting { word: None, dial: Some(b.sets[i].excitation.by_hand()) },
            Hand::Incoming(i) => word(usize::from(b.synchroniser.incoming != Some(i))),
            Hand::Synchronising => word(usize::from(b.synchroniser.automatic)),
            Hand::CheckRelay => word(usize::from(b.synchroniser.bypassed)),
            Hand::Consumer(i) => word(usize::from(!b.consumers[i].is_in())),
            Hand::Restart => word(usize::from(!self.restarting)),
        }
    }

    /// Sets a failing going, or mends it.
    pub fn fail(&mut self, failure: Failure, acting: bool, size: Option<f64>) {
        let b = &mut self.board;
        match failure {
            Failure::Regulator(i) => {
                let how = size.map_or(RegulatorFailing::Stands, RegulatorFailing::Gives);
                b.sets[i].excitation.failing = acting.then_some(how);
            }
            Failure::Hunting(i) => {
                let size = if acting { size.expect("the registry gives this failing a size") } else { 0.0 };
                if let Some(d) = &mut b.sets[i].diesel {
                    d.governor.hunting = Hunting { size, period: HUNTING_PERIOD };
                }
            }
            Failure::GovernorStuck(i) => {
                if let Some(d) = &mut b.sets[i].diesel {
                    d.governor.stuck = acting;
                }
            }
            Failure::WillNotStart(i) => self.fail_engine(i, |f| f.will_not_start = acting),
            Failure::OilLeak(i) => {
                let size = if acting { size.expect("the registry gives this failing a size") } else { 0.0 };
                self.fail_engine(i, |f| f.oil_leak = size);
            }
            Failure::OverspeedDead(i) => self.fail_engine(i, |f| f.overspeed_dead = acting),
            Failure::WillNotClose(of) => self.breaker_mut(of).failing.will_not_close = acting,
            Failure::FallsOut(of) => self.breaker_mut(of).failing.falls_out = acting,
            Failure::CheckDead => b.synchroniser.check_dead = acting,
            Failure::EarthFault(i) => {
                let ohm = size.expect("the registry gives this failing a size");
                b.consumers[i].earth = if acting { ohm } else { f64::INFINITY };
            }
            Failure::Blackout => {
                for set in &mut b.sets {
                    set.breaker.failing.thrown_out = acting;
                }
                for shore in &mut b.shores {
                    shore.breaker.failing.thrown_out = acting;
                }
            }
            Failure::ShoreLost(i) => b.shores[i].available = !acting,
            Failure::ChargerDead => {
                if let Some((battery, _)) = &mut b.battery {
                    battery.charger_dead = acting;
                }
            }
        }
    }

    fn fail_engine(&mut self, set: usize, how: impl FnOnce(&mut crate::electrical::engine::EngineFailing)) {
        if let Some(d) = &mut self.board.sets[set].diesel {
            how(&mut d.engine.failing);
        }
    }
}
