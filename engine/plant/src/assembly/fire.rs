//! Furnace, fan, burner and burner management, with their contacts, controls and failings.

use super::boiler;
use super::fields::{Fields, linked};
use super::machines::number_of;
use super::{Draft, Guard, Handle, Hurt, part_dial, unit_of};
use crate::boiler::{Burner, BurnerManagement, Draught, FiringMaster, Furnace, TripCause};
use crate::reading::Source;
use crate::registry::{Dial, Trip};
use base::Tag;
use base::description::{Component, Description};

impl Draft<'_> {
    /// Everything about the fire.
    pub fn fire(&mut self, d: &Description) {
        for c in &d.components {
            match c.kind.as_str() {
                "furnace" => self.furnace(c),
                "draught fan" => self.draught_fan(c),
                "burner" => self.burner(d, c),
                "heavy-oil lance" => self.lance(d, c),
                _ => {}
            }
        }
        for c in d.components.iter().filter(|c| c.kind == "burner management") {
            self.management(d, c);
        }
        for c in d.components.iter().filter(|c| c.kind == "first-cause contact") {
            self.first_cause(c);
        }
        for c in d.components.iter().filter(|c| c.kind == "push button") {
            self.push_button(c);
        }
        self.hurts();
        let tags = (&self.boiler.drum, &self.boiler.superheater);
        if let (Some(drum), Some(superheater)) = tags {
            let (drum, superheater) = (drum.0.clone(), superheater.0.clone());
            self.tube_failings(&drum, &superheater);
        }
    }

    fn furnace(&mut self, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let params = boiler::furnace(&f);
        f.finish(&["heats", "superheater"], &[]);
        self.boiler.furnace = Some((c.tag.clone(), Furnace::new(params, self.ambient), params.vapour.volume));
    }

    fn draught_fan(&mut self, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let params = boiler::draught(&f);
        let damper = f.text("damper").unwrap_or("FCV-0").to_owned();
        f.finish(&["blows"], &[]);
        self.boiler.draught = Some((c.tag.clone(), Draught::new(params)));
        let words = Some(("stopped", "running"));
        let runs = Source::FanRuns;
        self.own_point(&c.tag, &c.name, c, runs, runs, "state", words, false);
        let number = number_of(&c.tag);
        self.own_point(
            &format!("YS-{number}"),
            &format!("{}, running contact", c.name),
            c,
            runs,
            runs,
            "state",
            words,
            true,
        );
        self.control(&c.tag, &c.name, c, &["start", "stop"], None, Handle::Fan);
        let position = Source::Damper;
        let name = "combustion-air damper";
        self.own_point(&damper, name, c, position, position, "% open", None, false);
        self.own_point(
            &format!("ZT-{}", number_of(&damper)),
            "combustion-air damper, position",
            c,
            position,
            position,
            "% open",
            None,
            true,
        );
        self.control(
            &damper,
            name,
            c,
            &["by hand", "with the firing master"],
            Some(part_dial("% open")),
            Handle::Damper,
        );
        self.draught_failings(c, &damper);
    }

    fn burner(&mut self, d: &Description, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let params = boiler::burner(&f);
        let tag = |role: &'static str| linked(d, &f, role).map(|c| c.tag.clone()).unwrap_or_default();
        let links = [tag("fuel"), tag("shut-off"), tag("atomised at"), tag("nozzle")];
        f.finish(&["into", "fuel", "shut-off", "atomised at", "nozzle"], &[]);
        self.boiler.burner = Some((c.tag.clone(), Burner::new(params), links));
        self.burner_failings(c);
    }

    fn management(&mut self, d: &Description, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let gas_space = self.boiler.furnace.as_ref().map_or(1.0, |x| x.2);
        let params = boiler::management(&f, gas_space);
        let tag = |role: &'static str| linked(d, &f, role).map(|c| c.tag.clone()).unwrap_or_default();
        let reads = [tag("low water"), tag("high pressure"), tag("low fuel"), tag("low air")];
        let text = |name: &'static str| f.text(name).unwrap_or_default().to_owned();
        let (trip, flame, pilot, purged) =
            (text("trip"), text("flame contact"), text("pilot contact"), text("purged contact"));
        f.finish(&["burner", "fan", "low water", "high pressure", "low fuel", "low air"], &[]);
        self.boiler.management = Some((c.tag.clone(), BurnerManagement::new(params), reads));
        self.offers.trips.push(Trip { tag: Tag::new(&trip), name: "boiler trip".into() });
        self.offers.guards.push(Guard::Boiler);
        let seen = Some(("no flame", "flame"));
        self.own_point(&flame, "flame scanner", c, Source::Flame, Source::FlameSignal, "state", seen, true);
        self.own_point(&pilot, "pilot flame", c, Source::Pilot, Source::Pilot, "state", seen, true);
        self.management_failings(c, &flame);
        let words = Some(("not purged", "purged"));
        self.own_point(&purged, "purge credited", c, Source::Purged, Source::Purged, "state", words, true);
    }

    /// A contact that tells which cause tripped the boiler first.
    fn first_cause(&mut self, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let words = TripCause::ALL.map(|cause| (cause.words(), cause));
        let cause = f.word("cause", &words);
        f.finish(&["of"], &[]);
        let source = Source::FirstCause(cause);
        self.own_point(&c.tag, &c.name, c, source, source, "state", Some(("not first", "first")), true);
    }

    fn push_button(&mut self, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let (words, handle): (&[&'static str], Handle) = f.word(
            "works",
            &[
                ("mode", (&["manual", "automatic"] as &[&'static str], Handle::BurnerMode)),
                ("start", (&["start", "stop"], Handle::BurnerStart)),
                ("emergency stop", (&["push", "release"], Handle::EmergencyStop)),
                ("reset", (&["reset"], Handle::TripReset)),
                ("pilot", (&["on", "off"], Handle::Pilot)),
                ("fuel", (&["diesel oil", "heavy oil"], Handle::FuelChoice)),
                ("main fuel", (&["open", "shut"], Handle::MainFuel)),
            ],
        );
        f.finish(&["of"], &[]);
        self.control(&c.tag, &c.name, c, words, None, handle);
    }

    /// The firing master and its dials.
    pub fn firing_master(&mut self, d: &Description, c: &Component) {
        let figures = self.firing(d, c);
        let set = Dial { unit: unit_of("barg"), min: figures.set_point_range.0, max: figures.set_point_range.1 };
        let master = FiringMaster::new(figures.params, figures.set_point);
        self.boiler.master = Some((master, figures));
        self.control(&c.tag, &c.name, c, &["manual", "automatic"], Some(set), Handle::FiringMode);
        let named = |name: &str| c.fields.get(name).map(|f| f.value.clone()).unwrap_or_default();
        let name = format!("{}, output by hand", c.name);
        self.control(&named("output"), &name, c, &[], Some(part_dial("% firing")), Handle::FiringOutput);
        let name = format!("{}, limit on output", c.name);
        self.control(&named("limit"), &name, c, &[], Some(part_dial("% firing")), Handle::FiringLimit);
    }

    fn hurts(&mut self) {
        let b = &self.boiler;
        let of = [
            (b.drum.as_ref().map(|x| x.0.clone()), Hurt::Shell),
            (b.drum.as_ref().map(|x| format!("{} tubes", x.0)), Hurt::Tubes),
            (b.superheater.as_ref().map(|x| x.0.clone()), Hurt::Superheater),
            (b.furnace.as_ref().map(|x| x.0.clone()), Hurt::Casing),
        ];
        for (tag, hurt) in of {
            if let Some(tag) = tag {
                self.offers.damageable.push(Tag::new(&tag));
                self.offers.hurts.push(hurt);
            }
        }
    }
}
