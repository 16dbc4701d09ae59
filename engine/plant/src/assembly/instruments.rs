//! Transmitters, switches and the gauge glass: which true value each one looks at.

use super::fields::{Fields, linked};
use super::{Draft, Fault};
use crate::instrument_faults::{InstrumentFault, PlainFailing};
use crate::instruments::{Acts, Actual, Switch, ThresholdParams, Transmitter, TransmitterParams};
use crate::parts::{SwitchPart, TransmitterPart};
use crate::reading::Source;
use crate::registry::Point;
use base::description::{Component, Description};
use base::units::{self, Dimension as D, Unit};
use base::{Diagnostic, Tag};

impl Draft<'_> {
    /// All instruments.
    pub fn instruments(&mut self, d: &Description) {
        for c in &d.components {
            match c.kind.as_str() {
                "transmitter" => self.transmitter(d, c, true),
                "gauge glass" => self.transmitter(d, c, false),
                "switch" => self.switch(d, c),
                _ => {}
            }
        }
    }

    /// What `reads` means at a component, and in which dimension it is.
    fn source(&self, d: &Description, f: &Fields<'_>) -> Option<(Source, D)> {
        let of = linked(d, f, "of")?;
        let what = f.text("reads").unwrap_or_default();
        let mut choices: Vec<(&str, Source, D)> = vec![];
        if let Some(n) = self.liquid_nodes.get(&of.tag) {
            choices.push(("pressure", Source::LiquidPressure(*n), D::Pressure));
            if self.circuits[n.circuit].builder.fluid().viscosity_law().is_some() {
                choices.push(("viscosity", Source::LiquidViscosity(*n), D::KinematicViscosity));
            }
            if of.kind != "tank" {
                choices.push(("temperature", Source::LiquidTemperature(*n), D::Temperature));
            }
        }
        if let Some(l) = self.liquid_links.get(&of.tag) {
            choices.push(("flow", Source::LiquidFlow(*l), D::MassFlow));
        }
        if let Some(i) = self.tanks.iter().position(|t| t.tag == of.tag) {
            choices.push(("level", Source::TankLevel(i), D::Length));
            choices.push(("temperature", Source::TankTemperature(i), D::Temperature));
        }
        if let Some(i) = self.heated_tanks.iter().position(|t| t.0 == of.tag) {
            choices.push(("temperature", Source::HeatedTank(i), D::Temperature));
        }
        if let Some(n) = self.steam_nodes.get(&of.tag) {
            choices.push(("pressure", Source::SteamPressure(*n), D::Pressure));
            choices.push(("temperature", Source::SteamTemperature(*n), D::Temperature));
        }
        if let Some(b) = self.steam_branches.get(&of.tag) {
            choices.push(("flow", Source::SteamFlow(*b), D::MassFlow));
        }
        // Salt is followed where there is a condenser that can bring it.
        if self.condenser.is_some() {
            if let Some(n) = self.liquid_nodes.get(&of.tag).filter(|n| self.salted(n.circuit)) {
                choices.push(("conductivity", Source::Conductivity(*n), D::Conductivity));
            }
            if of.kind == "drum" {
                choices.push(("conductivity", Source::DrumConductivity, D::Conductivity));
            }
        }
        match of.kind.as_str() {
            "drum" => choices.extend([
                ("level", Source::DrumLevel, D::Length),
                ("gauge glass", Source::GaugeGlass, D::Length),
                ("shell difference", Source::ShellDifference, D::TemperatureDifference),
            ]),
            "superheater" => choices.push(("metal temperature", Source::SuperheaterMetal, D::Temperature)),
            "furnace" => choices.extend([
                ("furnace pressure", Source::FurnacePressure, D::PressureDifference),
                ("oxygen", Source::Oxygen, D::Fraction),
                ("smoke", Source::Smoke, D::Fraction),
                ("stack temperature", Source::StackTemperature, D::Temperature),
            ]),
            "draught fan" => choices.push(("air flow", Source::AirFlow, D::MassFlow)),
            _ => {}
        }
        if let Some(i) = self.pumps.iter().position(|p| p.tag.as_str() == of.tag) {
            choices.push(("power", Source::PumpPower(i), D::Power));
            if self.pumps[i].pump.casing.is_some() {
                choices.push(("casing temperature", Source::PumpCasing(i), D::Temperature));
            }
        }
        if let Some(i) = self.heaters.iter().position(|h| self.liquid_links.get(&of.tag) == Some(&h.link)) {
            choices.push(("element temperature", Source::HeaterElement(i), D::Temperature));
        }
        if let Some(i) = self.air.vessel(&of.tag) {
            choices.extend([
                ("pressure", Source::AirPressure(i), D::Pressure),
                ("temperature", Source::AirTemperature(i), D::Temperature),
                ("water", Source::AirWater(i), D::Mass),
            ]);
        }
        if let Some(i) = self.air.way(&of.tag) {
            choices.push(("flow", Source::AirFlowOf(i), D::MassFlow));
        }
        if let Some(i) = self.air.machine(&of.tag) {
            choices.push(("discharge temperature", Source::CompressorDischarge(i), D::Temperature));
        }
        self.electrical_choices(of, &mut choices);
        choices.extend(self.turbine_choices(of));
        let found = choices.iter().find(|x| x.0 == what).map(|x| (x.1, x.2));
        if found.is_none() {
            let known: Vec<&str> = choices.iter().map(|x| x.0).collect();
            let mut diagnostic = Diagnostic::error(
                "plant::reads",
                f.component().place.clone(),
                format!("{}: \"{what}\" cannot be read at {}", f.component().tag, of.tag),
            );
            if !known.is_empty() {
                diagnostic = diagnostic.hint(format!("what can be read there: {}", known.join(", ")));
            }
            self.wrong.borrow_mut().push(diagnostic);
        }
        found
    }

    /// A range as written: "0 barg to 25 barg".
    fn range(&self, f: &Fields<'_>, dimension: D) -> Option<(f64, f64, &'static Unit)> {
        let text = f.text("range").unwrap_or_default();
        let parts: Vec<_> = text.split(" to ").map(units::parse).collect();
        match parts.as_slice() {
            [Ok((low, a)), Ok((high, b))] if a == b && a.dimension == dimension && low < high => Some((*low, *high, a)),
            _ => {
                f.wrong(
                    "plant::range",
                    format!("its range \"{text}\" is not one of {}", dimension.name()),
                    Some("write it as \"0 barg to 25 barg\", the lower end first".into()),
                );
                None
            }
        }
    }

    fn transmitter(&mut self, d: &Description, c: &Component, sends: bool) {
        let f = Fields::new(c, self.wrong);
        let lag = if sends { f.need("lag", D::Time) } else { 0.0 };
        let source = self.source(d, &f);
        let range = source.and_then(|s| self.range(&f, s.1));
        f.text("range");
        f.finish(&["of"], &[]);
        let (Some((source, _)), Some((low, high, unit))) = (source, range) else { return };
        let point = self.point(Point {
            tag: Tag::new(&c.tag),
            name: c.name.clone(),
            system: self.system(c),
            place: Self::place(c),
            unit,
            range: (low, high),
            words: None,
            has_signal: sends,
        });
        if sends {
            let transmitter = Transmitter::new(TransmitterParams { low, high, lag }, Actual(low));
            self.transmitters.push(TransmitterPart { point, source, transmitter, leg: 0.0 });
            self.transmitter_failings(c, self.transmitters.len() - 1);
        } else {
            self.plains.push(crate::parts::Plain { point, source, signal: source, failing: PlainFailing::default() });
            if source == Source::GaugeGlass {
                self.offers.glasses.push(point);
                let fault = Fault::Instrument(InstrumentFault::GlassPlugged(self.plains.len() - 1));
                let told = (
                    "the level in the glass no longer moves with the drum's, and creeps up",
                    "blow the glass through, and trust no level that does not move",
                );
                self.failing(&c.tag, "water cock plugged", None, told, fault);
            }
        }
    }

    fn switch(&mut self, d: &Description, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let source = self.source(d, &f);
        let Some((source, dimension)) = source else { return };
        let (above, below) = (f.optional("above", dimension), f.optional("below", dimension));
        let back = f.need("returns at", dimension);
        f.finish(&["of"], &[]);
        let (setting, acts) = match (above, below) {
            (Some(x), None) => (x, Acts::Rising),
            (None, Some(x)) => (x, Acts::Falling),
            _ => {
                Fields::new(c, self.wrong).wrong("plant::switch", "needs either \"above\" or \"below\"".into(), None);
                return;
            }
        };
        let switch = Switch::new(ThresholdParams { setting, differential: (setting - back).abs(), delay: 0.0, acts });
        let state = super::unit_of("state");
        let point = self.point(Point {
            tag: Tag::new(&c.tag),
            name: c.name.clone(),
            system: self.system(c),
            place: Self::place(c),
            unit: state,
            range: (0.0, 1.0),
            words: Some(("normal", "acted")),
            has_signal: true,
        });
        self.switches.push(SwitchPart { point, source, switch });
        self.switch_failings(c, self.switches.len() - 1);
    }
}
