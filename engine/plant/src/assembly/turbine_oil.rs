//! The lube-oil system of the turbine.

use super::Draft;
use super::fields::{Fields, linked};
use super::machines::number_of;
use super::turbine::ON_OFF;
use super::{Handle, unit_of};
use crate::machines::{Arrangement, ExchangerParams, MotorParams};
use crate::registry::Size;
use crate::turbine::pressure::HeaderParams;
use crate::turbine::viscosity::Walther;
use crate::turbine::{Oil, OilParams};
use crate::turbine_part::{TurbineFault, TurbineHandle, TurbineReading};
use base::description::{Component, Description};
use base::units::{ATMOSPHERE, CELSIUS_ZERO, Dimension as D};

impl Draft<'_> {
    /// The oil system, once the cooling water's links are there.
    pub fn turbine_oil(&mut self, d: &Description, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let water = linked(d, &f, "cooled by").and_then(|w| self.liquid_links.get(&w.tag).copied());
        if water.is_none() {
            f.wrong("plant::missing-link", "its link \"cooled by\" must name a pipe of cooling water".into(), None);
        }
        let (level, t) = (f.need("level at start", D::Length), f.need("temperature at start", D::Temperature));
        let tags = Tags {
            pump: f.text("priming pump").unwrap_or_default().to_owned(),
            filter: f.text("filter").unwrap_or_default().to_owned(),
            clean: f.text("filter cleaning").unwrap_or_default().to_owned(),
            make_up: f.text("make-up valve").unwrap_or_default().to_owned(),
        };
        let params = self.oil_params(&f);
        f.finish(&["cooled by"], &[]);
        let (Some(params), Some(water)) = (params, water) else { return };
        if self.turbine.oil.is_some() {
            return Fields::new(c, self.wrong).wrong(
                "plant::two-turbines",
                "a turbine has one oil system, and here is a second".into(),
                None,
            );
        }
        self.turbine.oil = Some((c.tag.clone(), Oil::new(params, level, t), water));
        self.turbine_point(&c.tag, &c.name, c, TurbineReading::TankLevel, "m", None, false);
        self.oil_controls(c, &tags);
        self.oil_failings(c, &tags);
    }

    fn oil_params(&self, f: &Fields<'_>) -> Option<OilParams> {
        let (flow, pressure) =
            (f.need("oil to the bearings", D::VolumeFlow), f.need("at a pressure of", D::PressureDifference));
        let through = f.need("through the cooler", D::VolumeFlow);
        let set = f.need("regulated at", D::Pressure) - ATMOSPHERE;
        let relief = f.need("relief", D::Pressure) - ATMOSPHERE;
        let shaft_pump = f.need("shaft-driven pump", D::VolumeFlow);
        let priming_pump = f.need("priming pump gives", D::VolumeFlow);
        let header = HeaderParams {
            // Half of the drop in the gaps, half in the feed orifices (own choice).
            laminar: 0.5 * pressure / flow,
            turbulent: 0.5 * pressure / (flow * flow),
            set,
            // The regulating valve spills what the larger pump gives within half a bar, the relief valve all of both within 3.
            spills: shaft_pump.max(priming_pump) / 0.5e5,
            filter: f.need("drop of the filter", D::PressureDifference) / through,
            cooler: f.need("drop of the cooler", D::PressureDifference) / through,
            relief: (relief, 1.3 * (shaft_pump + priming_pump) / 3e5),
            slip: f.need("slip at 3 bar", D::VolumeFlow) / 3e5,
        };
        let oil = Walther::through(
            (CELSIUS_ZERO + 40.0, f.need("viscosity at 40 degC", D::KinematicViscosity)),
            (CELSIUS_ZERO + 100.0, f.need("viscosity at 100 degC", D::KinematicViscosity)),
        );
        let Some(oil) = oil else {
            f.wrong("plant::viscosity", "an oil must thin with heat, to 2 cSt or more at 100 degC".into(), None);
            return None;
        };
        let power = f.need("motor", D::Power);
        let rho = crate::liquid::Fluid::LubeOil.density();
        let params = OilParams {
            area: f.need("area", D::Area),
            height: f.need("height", D::Length),
            suction: f.need("suction at", D::Length),
            loss: f.need("loss to room", D::HeatConductance),
            header,
            viscosity_nominal: oil.at(f.need("nominal at", D::Temperature)),
            oil,
            shaft_pump,
            priming_pump,
            efficiency: f.need("efficiency of the pumps", D::Fraction),
            motor: MotorParams {
                run_up: 1.0,
                run_down: 2.0,
                rated_power: power,
                efficiency: 0.85,
                // Cold oil is heavy: a gear pump's motor is chosen for it (common practice).
                overload: 1.6,
                overload_delay: 20.0,
            },
            starts_below: f.need("automatic starts below", D::Pressure),
            cooler: ExchangerParams {
                arrangement: Arrangement::ShellAndTube,
                conductance: f.need("cooler", D::HeatConductance),
                flow_nominal: (rho * through, f.need("cooling water", D::MassFlow)),
                flow_exponent: 0.6,
            },
            thermostat: (f.need("thermostat opens at", D::Temperature), f.need("fully open at", D::Temperature)),
            make_up: (f.need("make-up", D::MassFlow), f.need("make-up at", D::Temperature)),
        };
        if params.thermostat.0 >= params.thermostat.1 {
            f.wrong("plant::thermostat", "it must open at less than it is fully open at".into(), None);
        }
        Some(params)
    }

    fn oil_controls(&mut self, c: &Component, tags: &Tags) {
        let words = ["start", "stop", "automatic"];
        self.control(&tags.pump, "priming oil pump", c, &words, None, Handle::Turbine(TurbineHandle::PrimingPump));
        self.turbine_point(&tags.pump, "priming oil pump", c, TurbineReading::PrimingRuns, "state", ON_OFF, false);
        let contact = format!("YS-{}", number_of(&tags.pump));
        let name = "priming oil pump, running contact";
        self.turbine_point(&contact, name, c, TurbineReading::PrimingRuns, "state", ON_OFF, true);
        let words = ["filter 1", "filter 2"];
        self.control(&tags.filter, "oil filter in use", c, &words, None, Handle::Turbine(TurbineHandle::OilFilter));
        let name = "cleaning of the oil filter out of use";
        self.control(&tags.clean, name, c, &["clean"], None, Handle::Turbine(TurbineHandle::CleanFilter));
        let name = "make-up valve of the oil tank";
        self.control(&tags.make_up, name, c, &["open", "shut"], None, Handle::Turbine(TurbineHandle::MakeUp));
    }

    fn oil_failings(&mut self, c: &Component, tags: &Tags) {
        let part = |what, max, default| Size {
            what,
            unit: unit_of("% of rated"),
            min: 0.0,
            max,
            default: Some(default),
            sound: Some(0.0),
        };
        let size =
            Size { what: "oil lost", unit: unit_of("kg/h"), min: 0.0, max: 2.0, default: Some(0.1), sound: Some(0.0) };
        let seen = (
            "level in the tank falls, later the pressure",
            "find and shut the leak, make up, stop before the pumps draw air",
        );
        self.turbine_failing(&c.tag, "leaks", Some(size), seen, TurbineFault::OilLeaks);
        let seen = ("pressure falls as the speed rises or the oil warms", "run the priming pump");
        self.turbine_failing(
            &c.tag,
            "shaft pump worn",
            Some(part("flow lost", 1.0, 0.5)),
            seen,
            TurbineFault::ShaftPumpWorn,
        );
        let seen = ("oil grows hot though cooling water flows", "open more cooling water, lower the load");
        self.turbine_failing(&c.tag, "thermostat stuck", None, seen, TurbineFault::ThermostatShut);
        let seen = ("nothing, until the oil pressure is lost", "start the priming pump by hand");
        self.turbine_failing(&tags.pump, "standby start dead", None, seen, TurbineFault::StandbyDead);
        let seen = ("the running lamp goes out, oil pressure falls", "reset and start it, else trip the turbine");
        self.turbine_failing(&tags.pump, "trips", None, seen, TurbineFault::PrimingTrips);
        let seen = ("its lamp stays dark when it is started", "do not start the turbine; trip one that loses its oil");
        self.turbine_failing(&tags.pump, "will not start", None, seen, TurbineFault::PrimingWillNotStart);
        let seen = ("oil grows hot though cooling water flows", "open more cooling water, lower the load");
        let size = part("resistance added", 5.0, 1.0);
        self.turbine_failing(&c.tag, "cooler fouled", Some(size), seen, TurbineFault::OilCoolerFouled);
        let size = Size {
            what: "choking",
            unit: unit_of("per min"),
            min: 0.0,
            max: 0.02,
            default: Some(0.1 / 60.0),
            sound: None,
        };
        let seen =
            ("the drop of the filter rises, later the pressure falls", "change over to the other filter and clean it");
        self.turbine_failing(&tags.filter, "chokes", Some(size), seen, TurbineFault::FilterChokes);
    }
}

/// Tags of what belongs to the oil system.
struct Tags {
    pump: String,
    filter: String,
    clean: String,
    make_up: String,
}
