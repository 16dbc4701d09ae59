//! The figures of the training vessel's boiler. All of them are our own choice, fitted together for
//! about 8 t/h of steam at 16 barg from 0.16 kg/s of distillate at full fire; no maker's boiler stands
//! behind them. A plant file may say otherwise.

use super::burner::BurnerParams;
use super::circulation::CirculationParams;
use super::combustion::BurningParams;
use super::draught::{Draught, DraughtParams, PurgeParams};
use super::drum::{Bubbles, CarryOver, DrumParams};
use super::firing::{CAM_POINTS, FiringParams};
use super::fuel::Fuel;
use super::furnace::FurnaceParams;
use super::level::DrumShape;
use super::management::ManagementParams;
use super::shell::ShellParams;
use super::superheater::SuperheaterParams;
use super::tubes::TubesParams;
use super::vapour::VapourParams;
use crate::damage::HeatLimit;

/// Fuel at full fire, kg/s.
pub const FUEL_FULL: f64 = 0.16;
/// Working pressure, Pa absolute: 16 barg.
pub const WORKING_PRESSURE: f64 = 1_701_325.0;
/// Furnace and gas passes, m3.
pub const GAS_SPACE: f64 = 14.0;

/// Air over stoichiometric air at a rate of firing: 1.40 at a fifth of full fire, 1.15 at full fire.
#[must_use]
pub fn air_ratio(firing: f64) -> f64 {
    1.40 - 0.25 * ((firing - 0.2) / 0.8).clamp(0.0, 1.0)
}

/// Fan, damper and passages: 3.3 kg/s through the open damper.
#[must_use]
pub fn draught() -> DraughtParams {
    DraughtParams {
        shut_off_pressure: 5000.0,
        fan_fall: 150.0,
        run_up: 6.0,
        run_down: 8.0,
        damper_resistance: 60.0,
        damper_leak: 0.002,
        damper_stroke: 15.0,
        register_resistance: 200.0,
        stack_resistance: 60.0,
        stack_height: 12.0,
        power_nominal: 15e3,
    }
}

/// Furnace and gas passes.
#[must_use]
pub fn furnace() -> FurnaceParams {
    FurnaceParams {
        fuel: Fuel::DISTILLATE,
        burning: BurningParams::OWN,
        wall_area: 26.0,
        emissivity: 0.5,
        superheater_view: 1.0,
        superheater_ua: 650.0,
        bank_ua: 7500.0,
        gas_flow_nominal: 98.0,
        casing_loss: 60.0,
        vapour: VapourParams { volume: GAS_SPACE, lower_limit: 0.045, burn_time: 0.8, vent_area: 0.8, initial: 2.0 },
        blow_out: 2000.0,
        casing_strength: 8000.0,
        warm_wall: 373.0,
    }
}

/// The burner with its pilot.
#[must_use]
pub fn burner() -> BurnerParams {
    BurnerParams {
        pilot_fuel: 0.002,
        pilot_light_time: 1.5,
        main_light_time: 0.4,
        fuel_min: 0.012,
        fuel_max: 0.2,
        air_ratio_min: 0.6,
        air_ratio_max: 4.0,
        atomising_min: 1.5e5,
        atomising_good: 4e5,
        stoichiometric_air: Fuel::DISTILLATE.stoichiometric_air(),
        scanner_sees: 0.5,
        scanner_misses: 1.0,
    }
}

/// Burner management.
#[must_use]
pub fn management() -> ManagementParams {
    ManagementParams {
        purge: PurgeParams { volume: GAS_SPACE, volumes_needed: 5.0, flow_min: 1.6 },
        purge_damper: 1.0,
        light_up_damper: Draught::new(draught())
            .opening_for(air_ratio(0.2) * 0.2 * FUEL_FULL * Fuel::DISTILLATE.stoichiometric_air()),
        light_up_firing: 0.2,
        air_flow_min: 0.35,
        pilot_trial: 10.0,
        main_trial: 6.0,
        purge_keeps: 120.0,
        trip_delay: 1.0,
    }
}

/// The firing master, its cam made for the fan and the air ratios above.
#[must_use]
pub fn firing() -> FiringParams {
    let fan = Draught::new(draught());
    let air = Fuel::DISTILLATE.stoichiometric_air();
    let mut cam = [0.0; CAM_POINTS];
    for (i, opening) in cam.iter_mut().enumerate() {
        let rate = (i as f64 / (CAM_POINTS - 1) as f64).max(0.1);
        *opening = fan.opening_for(air_ratio(rate) * rate * FUEL_FULL * air);
    }
    FiringParams {
        gain: 0.5e-5,
        integral_time: 120.0,
        low_fire: 0.15,
        ramp_up: 0.02,
        ramp_down: 0.05,
        fuel_full: FUEL_FULL,
        stoichiometric_air: air,
        air_ratio_min: 1.06,
        cam,
        stop_above: 0.8e5,
        start_below: 0.6e5,
    }
}

/// The superheater. Its tubes last 40 h at 500 degC and half as long for every 17 K more.
#[must_use]
pub fn superheater() -> SuperheaterParams {
    SuperheaterParams {
        heat_capacity: 4.5e5,
        conductance_nominal: 6000.0,
        flow_nominal: 2.2,
        conductance_still: 15.0,
        burst_area: 3e-4,
        limit: HeatLimit { from: 773.15, life: 144_000.0, doubling: 17.0 },
    }
}

/// Metal that follows the water's temperature (riser tubes but for their hot side, downcomers, drum
/// internals), J/K: about 3.9 t of steel at 480 J/(kg K).
pub const WATER_METAL: f64 = 1.9e6;

/// The drum with risers and downcomers: 1.2 m inside and 4 m long, half full at normal water level.
#[must_use]
pub fn drum() -> DrumParams {
    DrumParams {
        shape: DrumShape::Cylinder { radius: 0.6, length: 4.0 },
        normal_level: 0.6,
        circulation: CirculationParams {
            riser_volume: 1.1,
            downcomer_volume: 0.5,
            downcomer_area: 0.05,
            friction: 150.0,
            riser_metal: 1.4e6,
            drum_metal: 0.0,
            beta: 0.3,
            residence: 4.0,
        },
        bubbles: Bubbles::Drift { distribution: 1.2, rise: 0.25 },
        onset: 3.0,
        uncover: 0.15,
        pool_exchange: 2.0,
        carry_over: CarryOver { nominal: 0.001, velocity: 0.06, height: 0.6, priming: 0.12 },
        feed_pipe: -0.35,
    }
}

/// The drum's shell: plate of 50 mm with tube holes, 6.2 t.
#[must_use]
pub fn shell() -> ShellParams {
    ShellParams {
        half_capacity: 1.5e6,
        conduction: 27_000.0,
        area: 15.0,
        h_liquid: 400.0,
        h_boiling: 3000.0,
        h_condensing: 5000.0,
        h_gas: 15.0,
        lagging: 12.0,
        chilled_part: 0.4,
        feed_nominal: 2.2,
        limit: 12.0,
        life: 1200.0,
    }
}

/// The hot side of the risers. They last 20 h at 480 degC and half as long for every 17 K more.
#[must_use]
pub fn tubes() -> TubesParams {
    TubesParams {
        heat_capacity: 3.5e5,
        wet: 60_000.0,
        dry: 800.0,
        limit: HeatLimit { from: 753.15, life: 72_000.0, doubling: 17.0 },
        burst_area: 8e-4,
    }
}
