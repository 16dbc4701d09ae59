//! The firing master: steam pressure to firing rate, and fuel and air in proportion.
//!
//! ```text
//! automatic  y = K (e + (1/Ti) integral e dt),  e = p_set - p     (a [`PiController`])
//! manual     y as set, no bump at either change-over
//! limit      low fire <= y <= limit
//! ramp       the demand follows y at no more than its rates up and down
//! air leads  air demand = max(demand, fuel flow);  fuel demand = min(demand, what the air carries)
//! ```
//! Rate of firing as a part of full fire, 0 to 1. The damper follows the air demand by a cam of seven
//! points. Cross limiting of fuel and air in this form is common practice.

use crate::control::{Action, Mode, PiController, PiParams};
use crate::instruments::Signal;

/// Points of the cam.
pub const CAM_POINTS: usize = 7;

/// Figures of the firing master.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FiringParams {
    /// Gain, part of full fire a pascal.
    pub gain: f64,
    /// Integral time, s.
    pub integral_time: f64,
    /// Low fire, part of full.
    pub low_fire: f64,
    /// Rise of the demand, 1/s.
    pub ramp_up: f64,
    /// Fall of the demand, 1/s.
    pub ramp_down: f64,
    /// Fuel at full fire, kg/s.
    pub fuel_full: f64,
    /// Stoichiometric air of the fuel, kg/kg.
    pub stoichiometric_air: f64,
    /// Air ratio below which fuel is held back.
    pub air_ratio_min: f64,
    /// Damper opening at evenly spaced rates of firing from 0 to 1.
    pub cam: [f64; CAM_POINTS],
    /// Pressure above the set point at which the fire is let out, Pa.
    pub stop_above: f64,
    /// Pressure below the set point at which it is lit again, Pa.
    pub start_below: f64,
}

/// The firing master.
#[derive(Clone, Debug, PartialEq)]
pub struct FiringMaster {
    params: FiringParams,
    /// Steam pressure wanted, Pa absolute.
    pub set_point: f64,
    /// Most it may ask for, part of full.
    pub limit: f64,
    automatic: bool,
    manual: f64,
    pressure: PiController,
    demand: f64,
    fuel: f64,
    air: f64,
    wanted: bool,
}

base::kept!(FiringMaster { set_point, limit, automatic, manual, pressure, demand, fuel, air, wanted }
    fixed { params });

impl FiringMaster {
    /// In manual at low fire.
    #[must_use]
    pub fn new(params: FiringParams, set_point: f64) -> FiringMaster {
        // With a span of one pascal the gain is a part of full fire a pascal.
        let pi = PiParams {
            gain: params.gain,
            integral_time: params.integral_time,
            span: 1.0,
            output_min: params.low_fire,
            output_max: 1.0,
            action: Action::Reverse,
            set_point_rate: f64::INFINITY,
        };
        FiringMaster {
            set_point,
            limit: 1.0,
            automatic: false,
            manual: params.low_fire,
            pressure: PiController::new(pi, set_point, params.low_fire),
            demand: params.low_fire,
            fuel: params.low_fire,
            air: params.low_fire,
            wanted: true,
            params,
        }
    }

    /// Automatic or manual; manual takes over at the present output.
    pub fn set_automatic(&mut self, automatic: bool) {
        if !automatic && self.automatic {
            self.manual = self.demand;
        }
        self.automatic = automatic;
    }

    /// The output in manual, part of full fire.
    pub fn set_manual(&mut self, output: f64) {
        self.manual = output;
    }

    /// One tick with the signals of steam pressure, Pa, air and fuel flow, kg/s; `released` while the
    /// burner management lets it fire; before that it waits at low fire.
    pub fn step(&mut self, dt: f64, pressure: f64, air_flow: f64, fuel_flow: f64, released: bool) {
        let p = &self.params;
        let error = self.set_point - pressure;
        if error > p.start_below {
            self.wanted = true;
        } else if -error > p.stop_above {
            self.wanted = false;
        }
        self.pressure.set_set_point(self.set_point);
        self.pressure.limit = self.limit;
        let automatic = self.automatic && released;
        self.pressure.set_mode(if automatic { Mode::Automatic } else { Mode::Manual });
        self.pressure.set_output(if released { self.manual } else { p.low_fire });
        let output = self.pressure.step(Signal(pressure), dt);
        let step = (output - self.demand).clamp(-p.ramp_down * dt, p.ramp_up * dt);
        self.demand += step;
        let carried = air_flow / (p.stoichiometric_air * p.air_ratio_min * p.fuel_full);
        // Low fire is the burner's own affair; above it fuel waits for air.
        self.fuel = self.demand.min(carried.max(p.low_fire));
        self.air = self.demand.max(fuel_flow / p.fuel_full);
    }

    /// Demand after the ramp, part of full fire.
    #[must_use]
    pub fn demand(&self) -> f64 {
        self.demand
    }

    /// Fuel demand, part of full fire.
    #[must_use]
    pub fn firing(&self) -> f64 {
        self.fuel
    }

    /// Fuel demand, kg/s.
    #[must_use]
    pub fn fuel(&self) -> f64 {
        self.fuel * self.params.fuel_full
    }

    /// Damper opening for the air demand.
    #[must_use]
    pub fn damper(&self) -> f64 {
        let x = self.air.clamp(0.0, 1.0) * (CAM_POINTS - 1) as f64;
        let i = (x as usize).min(CAM_POINTS - 2);
        let part = x - i as f64;
        self.params.cam[i] * (1.0 - part) + self.params.cam[i + 1] * part
    }

    /// Whether the pressure asks for a fire at all: off above the set point by a band, on again below it.
    #[must_use]
    pub fn fire_wanted(&self) -> bool {
        self.wanted
    }

    /// Whether it is in automatic.
    #[must_use]
    pub fn automatic(&self) -> bool {
        self.automatic
    }

    /// Its figures.
    #[must_use]
    pub fn params(&self) -> &FiringParams {
        &self.params
    }
}
