//! Burner management: permission, sequence, and trips that latch.
//!
//! It reads signals and nothing else: a blind scanner or a dead cut-out misleads it.
//!
//! In automatic it runs the sequence: purging, pilot trial, main flame trial, firing; after a stop or a
//! trip the fan goes on until the furnace is purged again. In manual the orders of whoever stands at the
//! panel go through as they are, and only the trips can shut the fuel: so a careless person can light
//! without a purge. A trip shuts pilot and main fuel, keeps its first cause, and is reset by hand, when no
//! cause stands and the furnace has been purged since.
//!
//! Trips watch while pilot or main fuel is admitted or about to be; before that the same signals are
//! permissives. Emergency stop and high steam pressure trip at any time.
//! Times and limits: own choice, of the size in common use for burners of this size.

use super::draught::{Purge, PurgeParams};

/// Figures of the burner management.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ManagementParams {
    /// When a purge counts.
    pub purge: PurgeParams,
    /// Damper opening for the purge.
    pub purge_damper: f64,
    /// Damper opening for lighting up.
    pub light_up_damper: f64,
    /// Firing rate for lighting up, part of full.
    pub light_up_firing: f64,
    /// Least air flow while fuel is admitted, kg/s.
    pub air_flow_min: f64,
    /// Longest pilot trial, s.
    pub pilot_trial: f64,
    /// Longest time from main fuel to a proved flame, s; the pilot is shut in the middle of it.
    pub main_trial: f64,
    /// A credited purge is good for so long until the pilot, s.
    pub purge_keeps: f64,
    /// A cause that comes and goes faster than this does not trip, s (flame, air).
    pub trip_delay: f64,
}

/// What the burner management is told.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct BurnerSignals {
    /// The fan's motor runs.
    pub fan_running: bool,
    /// Air flow, kg/s.
    pub air_flow: f64,
    /// Gas in the furnace for the count of volumes, K.
    pub furnace_temperature: f64,
    /// Position feedback of the damper, 0 to 1.
    pub damper: f64,
    /// The scanner sees a flame.
    pub flame: bool,
    /// The low-low water level switch has operated.
    pub level_low_low: bool,
    /// The low fuel pressure switch has operated.
    pub fuel_pressure_low: bool,
    /// The high steam pressure switch has operated.
    pub steam_pressure_high: bool,
    /// The low control-air pressure switch has operated.
    pub control_air_low: bool,
    /// The emergency stop is pushed in.
    pub emergency_stop: bool,
    /// The firing master wants no fire (pressure well above its set point): in automatic the fire is let out
    /// without a trip, and lit again by the whole sequence when this goes.
    pub hold_off: bool,
}

/// Commands to the burner's equipment; in manual, what the panel's controls ask for.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct BurnerOrders {
    /// Run the fan.
    pub fan: bool,
    /// Damper, 0 shut to 1 open.
    pub damper: f64,
    /// Igniter on.
    pub igniter: bool,
    /// Pilot fuel valve open.
    pub pilot_valve: bool,
    /// Main fuel shut-off valve open.
    pub main_valve: bool,
    /// Firing rate, part of full fire, for the fuel control valve.
    pub firing: f64,
}

base::kept!(BurnerOrders { fan, damper, igniter, pilot_valve, main_valve, firing });

/// Where the burner stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BurnerState {
    /// No fuel and no intention.
    Stopped,
    /// Air washes the furnace.
    Purging,
    /// The damper goes to light-up, the pilot is lit and proved.
    PilotTrial,
    /// Main fuel is on and the flame is being proved.
    MainTrial,
    /// The main flame is proved.
    Firing,
    /// Tripped; waits for a reset by hand.
    LockedOut,
}

base::kept!(enum BurnerState { 0 Stopped, 1 Purging, 2 PilotTrial, 3 MainTrial, 4 Firing, 5 LockedOut });

impl BurnerState {
    /// The word for people.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            BurnerState::Stopped => "stopped",
            BurnerState::Purging => "purging",
            BurnerState::PilotTrial => "pilot trial",
            BurnerState::MainTrial => "main flame trial",
            BurnerState::Firing => "firing",
            BurnerState::LockedOut => "locked out",
        }
    }
}

/// Why the burner tripped. The order is the order in which causes of one tick are taken as first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum TripCause {
    /// Stopped by hand.
    EmergencyStop,
    /// Low-low water level.
    LowLowLevel,
    /// High steam pressure.
    HighSteamPressure,
    /// The fan stopped.
    FanStopped,
    /// Too little air.
    LowAirFlow,
    /// Low fuel pressure.
    LowFuelPressure,
    /// Low control-air pressure.
    LowControlAir,
    /// The pilot was not proved in its time.
    PilotNotProved,
    /// The main flame was not proved in its time.
    MainFlameNotProved,
    /// The flame went out.
    FlameFailure,
}

base::kept!(enum TripCause { 0 EmergencyStop, 1 LowLowLevel, 2 HighSteamPressure, 3 FanStopped, 4 LowAirFlow,
    5 LowFuelPressure, 6 LowControlAir, 7 PilotNotProved, 8 MainFlameNotProved, 9 FlameFailure });

impl TripCause {
    /// All of them, in order.
    pub const ALL: [TripCause; 10] = [
        TripCause::EmergencyStop,
        TripCause::LowLowLevel,
        TripCause::HighSteamPressure,
        TripCause::FanStopped,
        TripCause::LowAirFlow,
        TripCause::LowFuelPressure,
        TripCause::LowControlAir,
        TripCause::PilotNotProved,
        TripCause::MainFlameNotProved,
        TripCause::FlameFailure,
    ];

    /// The words for people.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            TripCause::EmergencyStop => "emergency stop pushed",
            TripCause::LowLowLevel => "drum level low-low",
            TripCause::HighSteamPressure => "steam pressure high-high",
            TripCause::FanStopped => "forced-draught fan stopped",
            TripCause::LowAirFlow => "air flow low",
            TripCause::LowFuelPressure => "fuel pressure low",
            TripCause::LowControlAir => "control-air pressure low",
            TripCause::PilotNotProved => "pilot not proved",
            TripCause::MainFlameNotProved => "main flame not proved",
            TripCause::FlameFailure => "flame failure",
        }
    }
}

/// The burner management.
#[derive(Clone, Debug, PartialEq)]
pub struct BurnerManagement {
    params: ManagementParams,
    /// The count of furnace volumes.
    pub purge: Purge,
    state: BurnerState,
    automatic: bool,
    wanted: bool,
    first: Option<TripCause>,
    /// Seconds in the present state of the sequence.
    since: f64,
    /// Seconds for which a purge is still good; in manual only told.
    credit: f64,
    purged_since_trip: bool,
    dark: f64,
    starved: f64,
    main_for: f64,
    proved: bool,
    orders: BurnerOrders,
}

base::kept!(BurnerManagement { purge, state, automatic, wanted, first, since, credit, purged_since_trip, dark,
    starved, main_for, proved, orders }
    fixed { params });

impl BurnerManagement {
    /// Stopped, in manual.
    #[must_use]
    pub fn new(params: ManagementParams) -> BurnerManagement {
        BurnerManagement {
            purge: Purge::new(params.purge),
            state: BurnerState::Stopped,
            automatic: false,
            wanted: false,
            first: None,
            since: 0.0,
            credit: 0.0,
            purged_since_trip: false,
            dark: 0.0,
            starved: 0.0,
            main_for: 0.0,
            proved: false,
            orders: BurnerOrders::default(),
            params,
        }
    }

    /// Automatic or manual. Taking over a burning burner in automatic goes on firing.
    pub fn set_automatic(&mut self, automatic: bool) {
        if automatic && !self.automatic {
            self.wanted = self.state == BurnerState::Firing;
            if !matches!(self.state, BurnerState::Firing | BurnerState::LockedOut) {
                self.enter(BurnerState::Stopped);
            }
        }
        self.automatic = automatic;
    }

    /// In automatic: begin the sequence.
    ///
    /// # Errors
    /// A sentence that names what forbids it.
    pub fn start(&mut self, s: &BurnerSignals) -> Result<(), String> {
        if self.first.is_some() {
            return Err("the burner is locked out: purge the furnace and reset it first".into());
        }
        if !self.automatic {
            return Err(
                "the burner is in manual: work fan, damper, pilot and fuel valve by hand, or go to automatic".into()
            );
        }
        if let Some(cause) = self.forbids(s) {
            return Err(format!("not permitted: {}", cause.words()));
        }
        self.wanted = true;
        Ok(())
    }

    /// In automatic: stop firing, without a trip.
    pub fn stop(&mut self) {
        self.wanted = false;
    }

    /// Resets a trip by hand.
    ///
    /// # Errors
    /// A sentence that says what has to be done before.
    pub fn reset(&mut self, s: &BurnerSignals) -> Result<(), String> {
        let Some(_) = self.first else {
            return Err("nothing has tripped".into());
        };
        if s.emergency_stop {
            return Err("release the emergency stop first".into());
        }
        if let Some(cause) = self.forbids(s) {
            return Err(format!("the cause still stands: {}", cause.words()));
        }
        if !self.purged_since_trip {
            return Err("purge the furnace first: fan running, damper open, until the volumes are counted".into());
        }
        self.first = None;
        self.wanted = false;
        self.enter(BurnerState::Stopped);
        Ok(())
    }

    /// What forbids lighting up, the gravest first.
    #[must_use]
    pub fn forbids(&self, s: &BurnerSignals) -> Option<TripCause> {
        let causes = [
            (s.emergency_stop, TripCause::EmergencyStop),
            (s.level_low_low, TripCause::LowLowLevel),
            (s.steam_pressure_high, TripCause::HighSteamPressure),
            (s.fuel_pressure_low, TripCause::LowFuelPressure),
            (s.control_air_low, TripCause::LowControlAir),
        ];
        causes.iter().find(|c| c.0).map(|c| c.1)
    }

    /// One tick. `manual` is what the panel asks for in manual; `firing` and `damper` are the firing
    /// master's demands, followed in automatic while firing. Returns the commands.
    pub fn step(
        &mut self,
        dt: f64,
        s: &BurnerSignals,
        manual: &BurnerOrders,
        firing: f64,
        damper: f64,
    ) -> BurnerOrders {
        // Air that passes while fuel is admitted washes nothing.
        let fuel = self.orders.pilot_valve || self.orders.main_valve;
        self.purge.step(dt, if fuel { 0.0 } else { s.air_flow }, s.furnace_temperature);
        if self.purge.done() {
            self.credit = self.params.purge_keeps;
            self.purged_since_trip = true;
        } else {
            self.credit = (self.credit - dt).max(0.0);
        }
        let mut orders = if self.automatic { self.sequence(dt, s, firing, damper) } else { *manual };
        if self.first.is_none()
            && let Some(cause) = self.watch(dt, s, &orders)
        {
            self.first = Some(cause);
            self.wanted = false;
            self.purged_since_trip = false;
            self.purge.forget();
            self.enter(BurnerState::LockedOut);
        }
        if self.first.is_some() {
            orders.igniter = false;
            orders.pilot_valve = false;
            orders.main_valve = false;
            if self.automatic {
                orders.fan = true;
                orders.damper = self.params.purge_damper;
                orders.firing = self.params.light_up_firing;
            }
        } else if !self.automatic {
            self.follow(&orders, s);
        }
        self.orders = orders;
        orders
    }

    fn enter(&mut self, state: BurnerState) {
        self.state = state;
        self.since = 0.0;
    }

    /// In manual the state is what can be seen from the orders and the scanner.
    fn follow(&mut self, o: &BurnerOrders, s: &BurnerSignals) {
        let state = if o.main_valve {
            if self.proved { BurnerState::Firing } else { BurnerState::MainTrial }
        } else if o.pilot_valve || o.igniter {
            BurnerState::PilotTrial
        } else if s.fan_running && s.air_flow >= self.params.purge.flow_min {
            BurnerState::Purging
        } else {
            BurnerState::Stopped
        };
        if state != self.state {
            self.enter(state);
        }
    }

    fn sequence(&mut self, dt: f64, s: &BurnerSignals, firing: f64, damper: f64) -> BurnerOrders {
        let p = self.params;
        self.since += dt;
        let air =
            BurnerOrders { fan: true, damper: p.purge_damper, firing: p.light_up_firing, ..BurnerOrders::default() };
        let light_up = BurnerOrders { damper: p.light_up_damper, ..air };
        let wanted = self.wanted && !s.hold_off;
        if !wanted && !matches!(self.state, BurnerState::Stopped | BurnerState::LockedOut) {
            // Stopped on purpose: the furnace is washed once more before the fan is let go.
            self.purge.forget();
            self.purged_since_trip = false;
            self.credit = 0.0;
            self.enter(BurnerState::Stopped);
        }
        match self.state {
            BurnerState::LockedOut => air,
            BurnerState::Stopped => {
                if wanted {
                    self.enter(BurnerState::Purging);
                    self.purge.forget();
                    self.credit = 0.0;
                    air
                } else if self.orders.fan && !self.purge.done() {
                    air
                } else {
                    BurnerOrders::default()
                }
            }
            BurnerState::Purging => {
                if self.credit > 0.0 {
                    self.enter(BurnerState::PilotTrial);
                }
                air
            }
            BurnerState::PilotTrial => {
                let set = (s.damper - p.light_up_damper).abs() < 0.03;
                if !set && self.orders.pilot_valve {
                    // The damper left its place: begin anew with the purge.
                    self.enter(BurnerState::Purging);
                    return air;
                }
                if !set {
                    self.since = 0.0;
                    if self.credit <= 0.0 {
                        self.enter(BurnerState::Purging);
                    }
                    return light_up;
                }
                if s.flame && self.since > 3.0 {
                    self.enter(BurnerState::MainTrial);
                }
                BurnerOrders { igniter: true, pilot_valve: true, ..light_up }
            }
            BurnerState::MainTrial => {
                let pilot = self.since < 0.5 * p.main_trial;
                if self.since >= p.main_trial {
                    self.proved = s.flame;
                    if self.proved {
                        self.enter(BurnerState::Firing);
                    }
                }
                BurnerOrders { igniter: pilot, pilot_valve: pilot, main_valve: true, ..light_up }
            }
            BurnerState::Firing => {
                BurnerOrders { fan: true, damper, main_valve: true, firing, ..BurnerOrders::default() }
            }
        }
    }

    /// The first cause to trip now.
    fn watch(&mut self, dt: f64, s: &BurnerSignals, o: &BurnerOrders) -> Option<TripCause> {
        let p = self.params;
        let fuel = o.pilot_valve || o.main_valve;
        let run = |t: f64, on: bool| if on { t + dt } else { 0.0 };
        // The main flame has its trial time; after that the scanner must see it all the time.
        self.main_for = run(self.main_for, o.main_valve);
        if !o.main_valve {
            self.proved = false;
        } else if s.flame && self.main_for >= p.main_trial {
            self.proved = true;
        }
        self.dark = run(self.dark, o.main_valve && !s.flame);
        self.starved = run(self.starved, fuel && s.air_flow < p.air_flow_min);
        let always =
            [(s.emergency_stop, TripCause::EmergencyStop), (s.steam_pressure_high, TripCause::HighSteamPressure)];
        let with_fuel = [
            (s.level_low_low, TripCause::LowLowLevel),
            (!s.fan_running, TripCause::FanStopped),
            (self.starved > p.trip_delay, TripCause::LowAirFlow),
            (o.main_valve && s.fuel_pressure_low, TripCause::LowFuelPressure),
            (s.control_air_low, TripCause::LowControlAir),
            (
                self.automatic && self.state == BurnerState::PilotTrial && self.since > p.pilot_trial,
                TripCause::PilotNotProved,
            ),
            (!self.proved && o.main_valve && self.main_for > p.main_trial && !s.flame, TripCause::MainFlameNotProved),
            (self.proved && self.dark > p.trip_delay, TripCause::FlameFailure),
        ];
        let standing = with_fuel.iter().filter(|_| fuel);
        let least = always.iter().chain(standing).filter(|c| c.0).map(|c| c.1);
        least.min()
    }

    /// Where the burner stands.
    #[must_use]
    pub fn state(&self) -> BurnerState {
        self.state
    }

    /// The first cause of the latched trip.
    #[must_use]
    pub fn tripped(&self) -> Option<TripCause> {
        self.first
    }

    /// Whether it is in automatic.
    #[must_use]
    pub fn automatic(&self) -> bool {
        self.automatic
    }

    /// Whether the furnace has been purged since the last trip or stop, or lately.
    #[must_use]
    pub fn purged(&self) -> bool {
        self.credit > 0.0
    }

    /// The commands of the last tick.
    #[must_use]
    pub fn orders(&self) -> &BurnerOrders {
        &self.orders
    }
}
