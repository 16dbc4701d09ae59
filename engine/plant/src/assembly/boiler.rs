//! The boiler from its components: drum, furnace, fan, burner, burner management, firing master, superheater.

use super::Draft;
use super::fields::{Fields, linked};
use crate::boiler::burner::BurnerParams;
use crate::boiler::circulation::CirculationParams;
use crate::boiler::combustion::BurningParams;
use crate::boiler::draught::{DraughtParams, PurgeParams};
use crate::boiler::drum::{Bubbles, CarryOver, DrumParams};
use crate::boiler::firing::{CAM_POINTS, FiringParams};
use crate::boiler::furnace::FurnaceParams;
use crate::boiler::management::ManagementParams;
use crate::boiler::shell::ShellParams;
use crate::boiler::superheater::SuperheaterParams;
use crate::boiler::tubes::TubesParams;
use crate::boiler::vapour::VapourParams;
use crate::boiler::{DrumShape, Fuel};
use crate::damage::HeatLimit;
use base::description::{Component, Description};
use base::units::Dimension as D;

/// Figures of a drum and what is about it.
#[derive(Clone, Copy, Debug)]
pub struct DrumFigures {
    pub drum: DrumParams,
    pub shell: ShellParams,
    pub tubes: TubesParams,
    /// Metal that follows the water, J/K.
    pub metal: f64,
    /// Water level at the start, m from normal.
    pub level_start: f64,
    pub temperature_start: f64,
}

/// Figures and links of a firing master.
#[derive(Clone, Debug)]
pub struct FiringFigures {
    pub params: FiringParams,
    pub set_point: f64,
    pub set_point_range: (f64, f64),
    /// Opening of the fuel valve at evenly spaced rates of firing.
    pub fuel_cam: [f64; CAM_POINTS],
    pub pressure: String,
    pub air_flow: String,
    pub fuel_flow: String,
}

fn heat_limit(f: &Fields<'_>) -> HeatLimit {
    HeatLimit {
        from: f.need("hurt above", D::Temperature),
        life: f.need("life there", D::Time),
        doubling: f.need("doubles every", D::TemperatureDifference),
    }
}

pub fn drum(f: &Fields<'_>) -> DrumFigures {
    let radius = f.need("radius", D::Length);
    let figures = DrumFigures {
        drum: DrumParams {
            shape: DrumShape::Cylinder { radius, length: f.need("length", D::Length) },
            normal_level: f.need("normal level", D::Length),
            circulation: CirculationParams {
                riser_volume: f.need("riser volume", D::Volume),
                downcomer_volume: f.need("downcomer volume", D::Volume),
                downcomer_area: f.need("downcomer area", D::Area),
                friction: f.need("circulation friction", D::Number),
                riser_metal: f.need("riser metal", D::HeatCapacity),
                drum_metal: 0.0,
                beta: f.need("condensing part", D::Number),
                residence: f.need("residence of bubbles", D::Time),
            },
            bubbles: Bubbles::Drift {
                distribution: f.need("drift distribution", D::Number),
                rise: f.need("bubble rise", D::Velocity),
            },
            onset: f.need("onset of boiling", D::TemperatureDifference),
            uncover: f.need("downcomers uncover over", D::Volume),
            pool_exchange: f.need("pool exchange", D::MassFlow),
            carry_over: CarryOver {
                nominal: f.need("moisture", D::Number),
                velocity: f.need("moisture velocity", D::Velocity),
                height: f.need("moisture height", D::Length),
                priming: f.need("priming height", D::Length),
            },
            feed_pipe: f.need("feed pipe", D::Length),
        },
        shell: ShellParams {
            half_capacity: f.need("half of the shell", D::HeatCapacity),
            conduction: f.need("conduction through the shell", D::HeatConductance),
            area: f.need("shell area", D::Area),
            h_liquid: f.need("film of still water", D::HeatTransferCoefficient),
            h_boiling: f.need("film of boiling water", D::HeatTransferCoefficient),
            h_condensing: f.need("film of condensing steam", D::HeatTransferCoefficient),
            h_gas: f.need("film of gas", D::HeatTransferCoefficient),
            lagging: f.need("loss through lagging", D::HeatConductance),
            chilled_part: f.need("chilled part", D::Number),
            feed_nominal: f.need("nominal feed", D::MassFlow),
            limit: f.need("shell difference limit", D::TemperatureDifference),
            life: f.need("shell life at twice the limit", D::Time),
        },
        tubes: TubesParams {
            heat_capacity: f.need("hot side of the tubes", D::HeatCapacity),
            wet: f.need("tubes to water", D::HeatConductance),
            dry: f.need("tubes to steam", D::HeatConductance),
            burst_area: f.need("area of a burst tube", D::Area),
            limit: heat_limit(f),
        },
        metal: f.need("water-side metal", D::HeatCapacity),
        level_start: f.need("level at start", D::Length),
        temperature_start: f.need("temperature at start", D::Temperature),
    };
    if figures.drum.normal_level >= 2.0 * radius {
        f.wrong("plant::drum", "its normal level is above the drum".into(), None);
    }
    figures
}

pub fn furnace(f: &Fields<'_>) -> FurnaceParams {
    FurnaceParams {
        fuel: Fuel::DISTILLATE,
        burning: BurningParams::OWN,
        wall_area: f.need("wall area", D::Area),
        emissivity: f.need("emissivity", D::Number),
        superheater_view: f.need("superheater sees walls", D::Area),
        superheater_ua: f.need("superheater conductance", D::HeatConductance),
        bank_ua: f.need("bank conductance", D::HeatConductance),
        gas_flow_nominal: f.need("gas flow", D::Number),
        casing_loss: f.need("casing loss", D::HeatConductance),
        vapour: VapourParams {
            volume: f.need("gas space", D::Volume),
            lower_limit: f.need("lower limit", D::Density),
            burn_time: f.need("burn time", D::Time),
            vent_area: f.need("vent area", D::Area),
            initial: f.need("vapour at start", D::Mass),
        },
        blow_out: f.need("blow-out", D::PressureDifference),
        casing_strength: f.need("casing strength", D::PressureDifference),
        warm_wall: f.need("warm wall", D::Temperature),
    }
}

pub fn draught(f: &Fields<'_>) -> DraughtParams {
    DraughtParams {
        shut_off_pressure: f.need("shut-off pressure", D::PressureDifference),
        fan_fall: f.need("fan fall", D::Number),
        run_up: f.need("run up", D::Time),
        run_down: f.need("run down", D::Time),
        damper_resistance: f.need("damper resistance", D::Number),
        damper_leak: f.need("damper leak", D::Number),
        damper_stroke: f.need("damper stroke", D::Time),
        register_resistance: f.need("register resistance", D::Number),
        stack_resistance: f.need("stack resistance", D::Number),
        stack_height: f.need("stack height", D::Length),
        power_nominal: f.need("power", D::Power),
    }
}

pub fn burner(f: &Fields<'_>) -> BurnerParams {
    BurnerParams {
        pilot_fuel: f.need("pilot fuel", D::MassFlow),
        pilot_light_time: f.need("pilot light time", D::Time),
        main_light_time: f.need("main light time", D::Time),
        fuel_min: f.need("least fuel", D::MassFlow),
        fuel_max: f.need("most fuel", D::MassFlow),
        air_ratio_min: f.need("least air ratio", D::Number),
        air_ratio_max: f.need("most air ratio", D::Number),
        atomising_min: f.need("atomising fails below", D::PressureDifference),
        atomising_good: f.need("atomising good from", D::PressureDifference),
        stoichiometric_air: Fuel::DISTILLATE.stoichiometric_air(),
        scanner_sees: f.need("scanner sees after", D::Time),
        scanner_misses: f.need("scanner misses after", D::Time),
    }
}

pub fn management(f: &Fields<'_>, gas_space: f64) -> ManagementParams {
    ManagementParams {
        purge: PurgeParams {
            volume: gas_space,
            volumes_needed: f.need("purge volumes", D::Number),
            flow_min: f.need("purge air", D::MassFlow),
        },
        purge_damper: f.need("purge damper", D::Fraction),
        light_up_damper: f.need("light-up damper", D::Fraction),
        light_up_firing: f.need("light-up firing", D::Fraction),
        air_flow_min: f.need("least air", D::MassFlow),
        pilot_trial: f.need("pilot trial", D::Time),
        main_trial: f.need("main trial", D::Time),
        purge_keeps: f.need("purge keeps", D::Time),
        trip_delay: f.need("trip delay", D::Time),
    }
}

pub fn superheater(f: &Fields<'_>) -> SuperheaterParams {
    SuperheaterParams {
        heat_capacity: f.need("heat capacity", D::HeatCapacity),
        conductance_nominal: f.need("conductance", D::HeatConductance),
        flow_nominal: f.need("flow", D::MassFlow),
        conductance_still: f.need("conductance standing", D::HeatConductance),
        burst_area: f.need("area of a burst tube", D::Area),
        limit: heat_limit(f),
    }
}

impl Draft<'_> {
    pub fn firing(&self, d: &Description, c: &Component) -> FiringFigures {
        let f = Fields::new(c, self.wrong);
        let cam = |name: &str| {
            let mut cam = [0.0; CAM_POINTS];
            let rows = f.table(name, D::Fraction, D::Fraction).unwrap_or_default();
            let even = rows.iter().enumerate().all(|(i, r)| (r.0 - i as f64 / (CAM_POINTS - 1) as f64).abs() < 1e-3);
            if rows.len() != CAM_POINTS || !even {
                let told =
                    format!("needs a table \"{name}\" of {CAM_POINTS} rows, evenly spaced from 0 to 100 % firing");
                f.wrong("plant::cam", told, None);
            } else {
                for (x, r) in cam.iter_mut().zip(&rows) {
                    *x = r.1;
                }
            }
            cam
        };
        let link = |role: &'static str| linked(d, &f, role).map(|c| c.tag.clone()).unwrap_or_default();
        let figures = FiringFigures {
            params: FiringParams {
                gain: f.need("gain", D::Number) / 1e5,
                integral_time: f.need("integral time", D::Time),
                low_fire: f.need("low fire", D::Fraction),
                ramp_up: f.need("ramp up", D::Rate),
                ramp_down: f.need("ramp down", D::Rate),
                fuel_full: f.need("fuel at full fire", D::MassFlow),
                stoichiometric_air: Fuel::DISTILLATE.stoichiometric_air(),
                air_ratio_min: f.need("least air ratio", D::Number),
                cam: cam("air cam"),
                stop_above: f.need("stops above", D::PressureDifference),
                start_below: f.need("starts below", D::PressureDifference),
            },
            set_point: f.need("set point", D::Pressure),
            set_point_range: (f.need("set point from", D::Pressure), f.need("set point to", D::Pressure)),
            fuel_cam: cam("fuel cam"),
            pressure: link("measures"),
            air_flow: link("air flow"),
            fuel_flow: link("fuel flow"),
        };
        f.text("output");
        f.text("limit");
        f.finish(&["measures", "air flow", "fuel flow", "fuel valve", "burner management"], &["air cam", "fuel cam"]);
        figures
    }
}
