//! Electric heaters and thermostatic valves of cooling circuits.

use super::fields::{Fields, linked};
use super::machines::number_of;
use super::{Draft, Fault, Handle};
use crate::cooling_part::{HeaterPart, ThermostatPart};
use crate::liquid::{Characteristic, LinkKind};
use crate::machines::{ElectricHeater, HeaterParams, Thermostat, ThermostatParams};
use crate::parts::{Site, ValvePart};
use crate::reading::Source;
use base::description::{Component, Description};
use base::units::Dimension as D;

impl Draft<'_> {
    /// An electric heater in a line.
    pub fn electric_heater(&mut self, d: &Description, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let (diameter, minor_loss) = (f.need("diameter", D::Length), f.need("losses", D::Number));
        let params = HeaterParams {
            power: f.need("power", D::Power),
            thermostat: (f.need("on below", D::Temperature), f.need("off above", D::Temperature)),
            capacity: f.need("element", D::HeatCapacity),
            to_water: f.need("element to water", D::HeatConductance),
            loss: f.need("element to room", D::HeatConductance),
            cut_out: f.need("cut-out at", D::Temperature),
        };
        let ends = self.liquid_ends(d, &f, "from", "to");
        f.finish(&["from", "to"], &[]);
        let Some(ends) = ends else { return };
        let kind = LinkKind::Valve { diameter, minor_loss, characteristic: Characteristic::Linear };
        let link = self.liquid_link(&c.tag, ends, kind);
        self.heaters.push(HeaterPart { link, heater: ElectricHeater::new(params, self.ambient) });
        let i = self.heaters.len() - 1;
        let (words, source) = (Some(("not heating", "heating")), Source::Heats(i));
        self.own_point(&c.tag, &c.name, c, source, source, "state", words, false);
        let name = format!("{}, contact", c.name);
        self.own_point(&format!("YS-{}", number_of(&c.tag)), &name, c, source, source, "state", words, true);
        self.control(&c.tag, &c.name, c, &["automatic", "off"], None, Handle::Heater(i));
        let told =
            ("its lamp stays dark and the water cools", "heat by another way, or start the engine and load it slowly");
        self.failing(&c.tag, "burnt out", None, told, Fault::HeaterBurntOut(i));
    }

    /// A three-way valve that a wax thermostat moves: nobody works it.
    pub fn thermostatic_valve(&mut self, d: &Description, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let kv = f.need("Kv", D::FlowCoefficient);
        let params = ThermostatParams {
            opens_from: f.need("opens from", D::Temperature),
            opens_by: f.need("full open at", D::Temperature),
            lag: f.need("lag of the bulb", D::Time),
        };
        let actuator = self.actuator(&f);
        let straight = self.liquid_ends(d, &f, "from cooler", "to");
        let other = self.liquid_ends(d, &f, "from by-pass", "to");
        let feels = linked(d, &f, "feels").and_then(|n| self.liquid_nodes.get(&n.tag).copied());
        f.finish(&["from cooler", "from by-pass", "to", "feels"], &[]);
        let (Some(a), Some(b), Some(feels)) = (straight, other, feels) else { return };
        let kind = LinkKind::ValveKv { kv, characteristic: Characteristic::Linear };
        let a = self.liquid_link(&c.tag, a, kind);
        let b = self.liquid_link(&format!("{} by-pass", c.tag), b, kind);
        self.valve(c, ValvePart::new(Site::ThreeWay(a, b), actuator), false);
        let moves = self.valves.len() - 1;
        self.thermostats.push(ThermostatPart { feels, moves, thermostat: Thermostat::new(params, self.ambient) });
    }
}
