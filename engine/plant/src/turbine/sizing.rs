//! Figures of a small geared turbo-generator for tests and as an example: all own choice, of the usual class.
//!
//! 900 kW at the stages, 1.5 kg/s of steam of 13 bar and 320 degC to 0.08 bar; shaft reckoned at the generator's 1800 rpm; rotor
//! critical at 0.55 of rated speed.

use super::bearing::BearingParams;
use super::bow::BowParams;
use super::expansion::ExpansionParams;
use super::governor::GovernorParams;
use super::machine::{Limits, TurbineParams};
use super::metal::MetalParams;
use super::oil::OilParams;
use super::pressure::HeaderParams;
use super::protection::ProtectionParams;
use super::turning::TurningParams;
use super::vibration::VibrationParams;
use super::viscosity::Walther;
use crate::damage::HeatLimit;
use crate::machines::{Arrangement, ExchangerParams, MotorParams};
use base::units::{ATMOSPHERE, CELSIUS_ZERO};

/// Rated speed of the shaft, rad/s: 1800 rpm.
pub const OMEGA: f64 = 188.495_559_215_387_6;

/// Stages.
#[must_use]
pub fn expansion() -> ExpansionParams {
    ExpansionParams {
        flow: 1.5,
        pressure: 13e5,
        temperature: CELSIUS_ZERO + 320.0,
        back_pressure: 0.08e5,
        efficiency: 0.76,
        leaving: 15e3,
        windage: 8e3,
    }
}

/// Rotor of 310 kg and casing of 1.2 t.
#[must_use]
pub fn metal() -> MetalParams {
    MetalParams {
        rotor: (60e3, 90e3),
        rotor_link: 180.0,
        casing_inner: 180e3,
        casing_outer: 400e3,
        casing_link: 3.0e3,
        loss: 15.0,
        dry: 2.0e3,
        wet: 5.0e3,
        ends: 6.0,
        length: 1.6,
    }
}

/// Rotor of 0.4 m on bearings 1.6 m apart.
#[must_use]
pub fn bow() -> BowParams {
    BowParams {
        length: 1.6,
        diameter: 0.4,
        part: 0.06,
        standing: 1500.0,
        turning: 480.0,
        rub: 2000.0,
        turned_from: 0.003,
    }
}

/// Its vibration.
#[must_use]
pub fn vibration() -> VibrationParams {
    VibrationParams { critical: 0.55, damping: 0.065, unbalance: 8e-6, thermal: 0.04e-6, time: 3.0, clearance: 250e-6 }
}

fn bearing(friction: f64, flow: f64) -> BearingParams {
    BearingParams {
        friction,
        load: 40e3,
        mixed: 0.002,
        flow,
        conductance: 600.0,
        capacity: 8e3,
        loss: 2.0,
        heat_limit: HeatLimit { from: CELSIUS_ZERO + 130.0, life: 300.0, doubling: 15.0 },
        wiped: 60.0,
    }
}

/// Forward bearing, after bearing, gear.
#[must_use]
pub fn bearings() -> [BearingParams; 3] {
    [bearing(5e3, 0.15), bearing(5e3, 0.15), BearingParams { conductance: 1500.0, ..bearing(12e3, 0.45) }]
}

/// Governor and valves.
#[must_use]
pub fn governor() -> GovernorParams {
    GovernorParams {
        droop: 0.04,
        range: (0.90, 1.10),
        rate: 0.004,
        lag: 0.1,
        stroke: (0.6, 0.4),
        wheel: 30.0,
        slam: 0.3,
        stop_kv: 110.0,
        governor_kv: 60.0,
    }
}

/// Settings of the trip gear.
#[must_use]
pub fn protection() -> ProtectionParams {
    ProtectionParams {
        mechanical: 1.12,
        electronic: 1.10,
        oil: (ATMOSPHERE + 0.6e5, 2.0),
        exhaust: (0.45e5, 1.0),
        vibration: (125e-6, 2.0),
        bearing: (CELSIUS_ZERO + 105.0, 1.0),
    }
}

/// Turning gear.
#[must_use]
pub fn turning() -> TurningParams {
    TurningParams { speed: 0.005, torque: 250.0, standstill: 0.0005, released_from: ATMOSPHERE + 0.8e5 }
}

/// The turbine.
#[must_use]
pub fn turbine() -> TurbineParams {
    TurbineParams {
        omega: OMEGA,
        inertia: 220.0,
        drag: 30.0,
        expansion: expansion(),
        metal: metal(),
        bow: bow(),
        vibration: vibration(),
        bearings: bearings(),
        governor: governor(),
        protection: protection(),
        turning: turning(),
        limits: Limits {
            axial: (1.6e-3, 1.2e-3),
            rotor_stress: (110.0, 1800.0),
            casing_stress: (110.0, 1800.0),
            overspeed: 1.15,
        },
    }
}

/// The header: 0.87 l/s at 1.8 bar through the bearings, half of it lost in gaps and half in orifices.
#[must_use]
pub fn header() -> HeaderParams {
    let (q, p) = (0.87e-3, 1.8e5);
    HeaderParams {
        laminar: 0.5 * p / q,
        turbulent: 0.5 * p / (q * q),
        set: 1.8e5,
        spills: 1.5e-3 / 0.5e5,
        filter: 0.2e5 / 1.3e-3,
        cooler: 0.3e5 / 1.3e-3,
        relief: (7e5, 4e-3 / 3e5),
        slip: 0.1e-3 / 3e5,
    }
}

/// The oil system.
#[must_use]
pub fn oil() -> OilParams {
    OilParams {
        area: 1.2,
        height: 1.0,
        suction: 0.25,
        loss: 25.0,
        header: header(),
        oil: Walther::through((CELSIUS_ZERO + 40.0, 46e-6), (CELSIUS_ZERO + 100.0, 6.8e-6))
            .expect("an oil that thins with heat"),
        viscosity_nominal: 36e-6,
        shaft_pump: 1.7e-3,
        priming_pump: 1.4e-3,
        efficiency: 0.7,
        motor: MotorParams {
            run_up: 1.0,
            run_down: 2.0,
            rated_power: 2.2e3,
            efficiency: 0.85,
            overload: 1.6,
            overload_delay: 20.0,
        },
        starts_below: ATMOSPHERE + 1.2e5,
        cooler: ExchangerParams {
            arrangement: Arrangement::ShellAndTube,
            conductance: 3.5e3,
            flow_nominal: (1.1, 2.5),
            flow_exponent: 0.6,
        },
        thermostat: (CELSIUS_ZERO + 40.0, CELSIUS_ZERO + 50.0),
        make_up: (0.5, CELSIUS_ZERO + 25.0),
    }
}
