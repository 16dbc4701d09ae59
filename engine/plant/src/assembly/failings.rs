//! Failings that many components have, and those of the boiler: rows of the fault table.

use super::{Draft, Fault, unit_of};
use crate::fire_faults::FireFault;
use crate::instrument_faults::InstrumentFault;
use crate::instruments::End;
use crate::reading::Source;
use crate::registry::Size;
use base::description::Component;

const SPOT: &str = "compare with a reading on the spot";

/// A part of something, sound at none of it.
pub(super) fn part(what: &'static str, max: f64, default: f64) -> Option<Size> {
    Some(Size { what, unit: unit_of("% of rated"), min: 0.0, max, default: Some(default), sound: Some(0.0) })
}

impl Draft<'_> {
    /// Failings that transmitters have.
    pub fn transmitter_failings(&mut self, c: &Component, i: usize) {
        let point = &self.offers.points[usize::from(self.transmitters[i].point.0)];
        let (unit, span) = (point.unit, point.range.1 - point.range.0);
        let level = self.transmitters[i].source == Source::DrumLevel;
        let told = ("gauge, controller and alarm stand still", SPOT);
        self.failing(&c.tag, "frozen", None, told, Fault::TransmitterFrozen(i));
        let told = ("gauge and controller are off by the same amount", SPOT);
        self.failing(&c.tag, "offset", Some(Size::error(unit, span)), told, Fault::TransmitterOffset(i));
        let mut add =
            |kind, size, seen, fault| self.failing(&c.tag, kind, size, (seen, SPOT), Fault::Instrument(fault));
        add("drift", Some(Size::drift()), "gauge and controller wander away together", InstrumentFault::Drift(i));
        add("noise", Some(Size::noise()), "the gauge dances and the controller hunts", InstrumentFault::Noise(i));
        add("slow", Some(Size::slow()), "gauge and controller come behind all else", InstrumentFault::Slow(i));
        let seen = "the gauge rests at the lower end, and whatever acts on a low value acts";
        add("signal lost", None, seen, InstrumentFault::Lost(i, End::Low));
        let seen = "the gauge rests at the upper end, and whatever acts on a high value acts";
        add("signal high", None, seen, InstrumentFault::Lost(i, End::High));
        if level {
            let size = Size {
                what: "height lost",
                unit: unit_of("mm"),
                min: 0.0,
                max: 0.6,
                default: Some(0.15),
                sound: Some(0.0),
            };
            let seen = "gauge and controller read high, and the gauge glass shows less";
            add("reference leg lost", Some(size), seen, InstrumentFault::Leg(i));
        }
    }

    /// Failings that switches have.
    pub fn switch_failings(&mut self, c: &Component, i: usize) {
        let told = ("it does not act when its gauge says that it should", "test it, watch its gauge, and stop by hand");
        self.failing(&c.tag, "stuck off", None, told, Fault::Instrument(InstrumentFault::SwitchStuck(i, false)));
        let told = ("it has acted though its gauge is well", "look on the spot before believing it");
        self.failing(&c.tag, "stuck on", None, told, Fault::Instrument(InstrumentFault::SwitchStuck(i, true)));
    }

    /// Failings of limit switches, running contacts and the like, and of position feedback.
    pub fn contact_failings(&mut self, tag: &str, i: usize, state: bool) {
        let answer = "have the equipment looked at on the spot";
        let mut add = |kind, size, seen, fault| self.failing(tag, kind, size, (seen, answer), Fault::Instrument(fault));
        if state {
            let seen = "its lamp does not come on though the equipment has done its work";
            add("stuck off", None, seen, InstrumentFault::ContactStuck(i, false));
            let seen = "its lamp stays on though the equipment has moved away";
            add("stuck on", None, seen, InstrumentFault::ContactStuck(i, true));
        } else {
            add("frozen", None, "the position shown stands still", InstrumentFault::FeedbackFrozen(i));
            let size = Size::error(unit_of("% open"), 1.0);
            add(
                "offset",
                Some(size),
                "the position shown is off by the same amount",
                InstrumentFault::FeedbackOffset(i),
            );
        }
    }

    fn fire_failing(
        &mut self,
        on: &str,
        kind: &'static str,
        size: Option<Size>,
        told: (&'static str, &'static str),
        fault: FireFault,
    ) {
        self.failing(on, kind, size, told, Fault::Fire(fault));
    }

    /// Failings of fan and damper.
    pub fn draught_failings(&mut self, fan: &Component, damper: &str) {
        let answer = "lower the fire until the air suffices";
        let position = unit_of("% open");
        let size = Size { what: "position", unit: position, min: 0.0, max: 1.0, default: None, sound: None };
        let told = ("its position does not follow", answer);
        self.fire_failing(damper, "seized", Some(size), told, FireFault::DamperSeized);
        let size = Size {
            what: "times its stroke",
            unit: unit_of("none"),
            min: 1.0,
            max: 20.0,
            default: Some(5.0),
            sound: Some(1.0),
        };
        let told = ("air comes behind the fuel: smoke when the load rises", "change the load by small steps");
        self.fire_failing(damper, "sluggish", Some(size), told, FireFault::DamperSluggish);
        let told = ("air flows on though it is shut: much oxygen at low fire", "fire no lower than the air allows");
        self.fire_failing(damper, "passing", part("part of full flow", 1.0, 0.3), told, FireFault::DamperPassing);
        let tag = &fan.tag;
        let told = ("its lamp goes out, and the boiler trips", "reset, purge and light up when it is mended");
        self.fire_failing(tag, "trips", None, told, FireFault::FanTrips);
        let told = ("its lamp stays dark when it is started", "no fire without it");
        self.fire_failing(tag, "will not start", None, told, FireFault::FanWillNotStart);
        let told = ("its lamp is lit, and no air flows", "no fire without it");
        self.fire_failing(tag, "coupling sheared", None, told, FireFault::FanSheared);
        let told = ("air flow is low at every opening of the damper", answer);
        self.fire_failing(tag, "worn", part("pressure lost", 0.9, 0.3), told, FireFault::FanWorn);
        let told = ("air flow is low, oxygen falls and smoke rises", answer);
        self.fire_failing(tag, "choked", part("part choked", 0.98, 0.6), told, FireFault::AirChoked);
    }

    /// Failings of the burner.
    pub fn burner_failings(&mut self, c: &Component) {
        let answer = "purge, reset the trip, light up again";
        let told = ("the flame lamp goes out and the boiler trips", answer);
        self.fire_failing(&c.tag, "flame lost", None, told, FireFault::FlameLost);
        let told =
            ("the pilot lamp stays dark, and the trial of the pilot fails", "look for the cause before the next try");
        self.fire_failing(&c.tag, "pilot fails", None, told, FireFault::PilotFails);
        self.fire_failing(&c.tag, "no spark", None, told, FireFault::NoSpark);
    }

    /// Failings of burner management and its flame scanner.
    pub fn management_failings(&mut self, c: &Component, scanner: &str) {
        let told = ("the furnace counts as purged at once", "wait for the time of a purge all the same");
        self.fire_failing(&c.tag, "purge counts at once", None, told, FireFault::PurgeMade);
        let told = ("the purge never ends", "do not light up; look for the cause");
        self.fire_failing(&c.tag, "purge never counts", None, told, FireFault::PurgeNever);
        let mut add = |kind, told, fault| self.failing(scanner, kind, None, told, Fault::Instrument(fault));
        let told =
            ("the flame lamp goes out and the boiler trips though there was fire", "look into the furnace on the spot");
        add("blind", told, InstrumentFault::ScannerBlind);
        let told = ("the flame lamp is lit when no fire can be", "shut the fuel by hand when the flame is lost");
        add("lies", told, InstrumentFault::ScannerLies);
    }

    /// Failings of the boiler's and the superheater's tubes.
    pub fn tube_failings(&mut self, drum: &str, superheater: &str) {
        let seen = "more feed than steam goes through, white smoke at the stack";
        let told = (seen, "lower the fire and the pressure, keep the level, take the boiler off");
        let size = part("of a burst tube", 1.0, 0.1);
        self.fire_failing(drum, "tube leak", size, told, FireFault::TubeLeak);
        let told = (
            "less steam arrives than leaves the drum, white smoke",
            "lower the fire and the pressure, take the boiler off",
        );
        self.fire_failing(superheater, "tube leak", size, told, FireFault::SuperheaterLeak);
    }

    /// Failings of the boiler's safety valve.
    pub fn safety_failings(&mut self, c: &Component) {
        let told = ("it blows below its pressure", "lower the pressure until it is adjusted");
        self.fire_failing(&c.tag, "lifts early", part("below its pressure", 0.5, 0.2), told, FireFault::SafetyEarly);
        let told = ("nothing, until the pressure is past its own", "shut the fire off by hand in time");
        self.fire_failing(&c.tag, "stuck", None, told, FireFault::SafetyStuck);
        let told =
            ("it blows on though the pressure has fallen, and the level falls", "lower the fire, keep the level");
        self.fire_failing(&c.tag, "will not reseat", None, told, FireFault::SafetyHolds);
    }
}
