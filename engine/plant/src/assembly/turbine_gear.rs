//! What belongs to a turbine as components of its own (bearings, governor, trip gear, turning gear), and its figures in groups.

use super::failings::part;
use super::fields::Fields;
use super::machines::number_of;
use super::turbine::ON_OFF;
use super::{Draft, Guard, Handle, Hurt, unit_of};
use crate::damage::HeatLimit;
use crate::registry::{Dial, Trip};
use crate::turbine::bearing::BearingParams;
use crate::turbine::bow::BowParams;
use crate::turbine::expansion::ExpansionParams;
use crate::turbine::governor::GovernorParams;
use crate::turbine::machine::Limits;
use crate::turbine::metal::MetalParams;
use crate::turbine::protection::ProtectionParams;
use crate::turbine::turning::TurningParams;
use crate::turbine::vibration::VibrationParams;
use crate::turbine_part::{TurbineFault, TurbineHandle, TurbineHurt, TurbineReading};
use base::Tag;
use base::description::Component;
use base::units::Dimension as D;

impl Draft<'_> {
    pub(super) fn bearing(&mut self, c: &Component) -> BearingParams {
        let f = Fields::new(c, self.wrong);
        let params = BearingParams {
            friction: f.need("friction", D::Power),
            load: f.need("load times speed", D::Power),
            mixed: f.need("mixed below", D::Fraction),
            flow: f.need("oil", D::MassFlow),
            conductance: f.need("to the oil", D::HeatConductance),
            capacity: f.need("heat capacity", D::HeatCapacity),
            loss: f.need("loss to room", D::HeatConductance),
            heat_limit: HeatLimit {
                from: f.need("hurt above", D::Temperature),
                life: f.need("life there", D::Time),
                doubling: f.need("doubles every", D::TemperatureDifference),
            },
            wiped: f.need("wiped dry in", D::Time),
        };
        f.finish(&["of"], &[]);
        let i = self.offers.hurts.iter().filter(|h| matches!(h, Hurt::Turbine(TurbineHurt::Bearing(_)))).count();
        self.offers.damageable.push(Tag::new(&c.tag));
        self.offers.hurts.push(Hurt::Turbine(TurbineHurt::Bearing(i)));
        let size = part("friction added", 10.0, 3.0);
        let seen = (
            "the temperature of the bearing rises above the others",
            "lower the load, more cooling, and stop before it trips",
        );
        self.turbine_failing(&c.tag, "hot", size, seen, TurbineFault::BearingRough(i));
        params
    }

    pub(super) fn governor(&mut self, c: &Component, rotation: f64) -> GovernorParams {
        let f = Fields::new(c, self.wrong);
        let params = GovernorParams {
            droop: f.need("droop", D::Fraction),
            range: (f.need("speed from", D::Rotation) / rotation, f.need("speed to", D::Rotation) / rotation),
            rate: f.need("speed changer", D::Fraction) / 60.0,
            lag: f.need("lag", D::Time),
            stroke: (f.need("opens in", D::Time), f.need("shuts in", D::Time)),
            wheel: f.need("wheel turns in", D::Time),
            slam: f.need("slams in", D::Time),
            stop_kv: f.need("stop valve Kv", D::FlowCoefficient),
            governor_kv: f.need("governor valve Kv", D::FlowCoefficient),
        };
        let stop = f.text("stop valve").unwrap_or_default().to_owned();
        f.finish(&["of"], &[]);
        let dial = Dial { unit: unit_of("rpm"), min: params.range.0 * rotation, max: params.range.1 * rotation };
        // A coupled generator has the speed changer: its own control, and the automatic synchroniser.
        if self.turbine.generator.is_none() {
            self.control(
                &c.tag,
                &c.name,
                c,
                &["raise", "lower", "hold"],
                Some(dial),
                Handle::Turbine(TurbineHandle::SpeedChanger),
            );
        }
        let dial = super::part_dial("% open");
        self.control(
            &stop,
            "stop valve of the turbine",
            c,
            &["open", "shut"],
            Some(dial),
            Handle::Turbine(TurbineHandle::StopValve),
        );
        self.turbine_point(&stop, "stop valve of the turbine", c, TurbineReading::StopValve, "% open", None, false);
        let n = number_of(&stop);
        let (open, shut) = (Some(("not open", "open")), Some(("not shut", "shut")));
        self.turbine_point(
            &format!("ZSH-{n}"),
            "stop valve of the turbine, open switch",
            c,
            TurbineReading::StopValveOpen,
            "state",
            open,
            true,
        );
        self.turbine_point(
            &format!("ZSL-{n}"),
            "stop valve of the turbine, shut switch",
            c,
            TurbineReading::StopValveShut,
            "state",
            shut,
            true,
        );
        self.turbine_point(
            &c.tag,
            "governor valve of the turbine",
            c,
            TurbineReading::GovernorValve,
            "% open",
            None,
            false,
        );
        let seen =
            ("speed and load swing by themselves", "lower the load, hold the load limiter or go to another machine");
        self.turbine_failing(&c.tag, "hunting", None, seen, TurbineFault::Hunting);
        let seen = ("the load no longer follows the speed changer", "take the load off and trip by hand");
        self.turbine_failing(&c.tag, "stuck", None, seen, TurbineFault::GovernorStuck);
        let seen = ("the position stands still while the wheel turns", "shut the steam off at the source valve");
        self.turbine_failing(&stop, "stuck", None, seen, TurbineFault::StopStuck);
        params
    }

    pub(super) fn trip_gear(&mut self, c: &Component, rotation: f64) -> ProtectionParams {
        let f = Fields::new(c, self.wrong);
        let params = ProtectionParams {
            mechanical: f.need("bolt acts at", D::Rotation) / rotation,
            electronic: f.need("electronic overspeed", D::Rotation) / rotation,
            oil: (f.need("oil pressure below", D::Pressure), f.need("oil delay", D::Time)),
            exhaust: (f.need("exhaust pressure above", D::Pressure), f.need("exhaust delay", D::Time)),
            vibration: (f.need("vibration above", D::Length), f.need("vibration delay", D::Time)),
            bearing: (f.need("bearing above", D::Temperature), f.need("bearing delay", D::Time)),
        };
        f.text("trip");
        f.text("set contact");
        f.finish(&["of", "speed", "oil pressure", "exhaust pressure", "vibration", "forward", "after", "gear"], &[]);
        let trip = c.fields.get("trip").map_or(String::new(), |x| x.value.clone());
        let set = c.fields.get("set contact").map_or(String::new(), |x| x.value.clone());
        self.offers.trips.push(Trip { tag: Tag::new(&trip), name: "turbine trip".into() });
        self.offers.guards.push(Guard::Turbine);
        self.control(&c.tag, &c.name, c, &["trip", "reset"], None, Handle::Turbine(TurbineHandle::TripGear));
        let words = Some(("not set", "set"));
        self.turbine_point(
            &set,
            "trip gear of the turbine, set contact",
            c,
            TurbineReading::TripGearSet,
            "state",
            words,
            true,
        );
        let seen = ("nothing, until the speed runs away", "trip by hand");
        self.turbine_failing(&c.tag, "bolt dead", None, seen, TurbineFault::BoltDead);
        self.turbine_failing(&c.tag, "electronic trip dead", None, seen, TurbineFault::ElectronicDead);
        params
    }

    pub(super) fn turning(&mut self, c: &Component, rotation: f64, rated: f64) -> TurningParams {
        let f = Fields::new(c, self.wrong);
        let params = TurningParams {
            speed: f.need("turns at", D::Rotation) / rotation,
            torque: f.need("greatest torque", D::Fraction) * rated,
            standstill: f.need("standstill below", D::Rotation) / rotation,
            released_from: f.need("released from", D::Pressure),
        };
        f.finish(&["of"], &[]);
        self.control(&c.tag, &c.name, c, &["in", "out"], None, Handle::Turbine(TurbineHandle::TurningGear));
        let words = Some(("out", "in"));
        self.turbine_point(&c.tag, &c.name, c, TurbineReading::TurningIn, "state", words, false);
        let n = number_of(&c.tag).to_owned();
        self.turbine_point(
            &format!("YS-{n}"),
            "turning gear, running contact",
            c,
            TurbineReading::TurningRuns,
            "state",
            ON_OFF,
            true,
        );
        let seen = ("the running lamp is dark though it is in", "turn by hand, and do not let steam in");
        self.turbine_failing(&c.tag, "will not run", None, seen, TurbineFault::TurningDead);
        let seen = ("it runs and the rotor stands", "turn by hand, and do not let steam in");
        self.turbine_failing(&c.tag, "slips", None, seen, TurbineFault::TurningSlips);
        params
    }
}

pub(super) fn expansion(f: &Fields<'_>) -> ExpansionParams {
    ExpansionParams {
        flow: f.need("rated flow", D::MassFlow),
        pressure: f.need("rated pressure", D::Pressure),
        temperature: f.need("rated temperature", D::Temperature),
        back_pressure: f.need("rated back pressure", D::Pressure),
        efficiency: f.need("efficiency of the blades", D::Fraction),
        leaving: f.need("leaving loss", D::SpecificEnergy),
        windage: f.need("windage", D::Power),
    }
}

pub(super) fn metal(f: &Fields<'_>) -> MetalParams {
    MetalParams {
        rotor: (f.need("rotor, skin", D::HeatCapacity), f.need("rotor, core", D::HeatCapacity)),
        rotor_link: f.need("skin to core", D::HeatConductance),
        casing_inner: f.need("casing, inner half", D::HeatCapacity),
        casing_outer: f.need("casing, outer half", D::HeatCapacity),
        casing_link: f.need("inner to outer", D::HeatConductance),
        loss: f.need("loss to room", D::HeatConductance),
        dry: f.need("film at rated flow", D::HeatConductance),
        wet: f.need("condensing film", D::HeatConductance),
        ends: f.need("rotor to bearings", D::HeatConductance),
        length: f.need("length", D::Length),
    }
}

pub(super) fn bow(f: &Fields<'_>) -> BowParams {
    BowParams {
        length: f.need("length", D::Length),
        diameter: f.need("diameter", D::Length),
        part: f.need("bow standing", D::Fraction),
        standing: f.need("bow grows in", D::Time),
        turning: f.need("bow dies away in", D::Time),
        // Rubbing 0.1 mm past the clearance heats one side by 0.2 K a second: own choice.
        rub: 2000.0,
        turned_from: 0.003,
    }
}

pub(super) fn vibration(f: &Fields<'_>) -> VibrationParams {
    VibrationParams {
        critical: f.need("critical speed", D::Rotation) / f.need("rated speed", D::Rotation),
        damping: f.need("damping", D::Fraction),
        unbalance: f.need("unbalance", D::Length),
        thermal: f.need("bow for a kelvin", D::Length),
        time: f.need("vibration follows in", D::Time),
        clearance: f.need("clearance", D::Length),
    }
}

pub(super) fn limits(f: &Fields<'_>) -> Limits {
    Limits {
        axial: (f.need("rotor longer at most", D::Length), f.need("rotor shorter at most", D::Length)),
        rotor_stress: (f.need("rotor strained above", D::TemperatureDifference), f.need("rotor life", D::Time)),
        casing_stress: (f.need("casing strained above", D::TemperatureDifference), f.need("casing life", D::Time)),
        overspeed: f.need("strained by speed above", D::Rotation) / f.need("rated speed", D::Rotation),
    }
}
