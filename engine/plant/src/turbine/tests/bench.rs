//! A turbine on a line from a boiler that holds its pressure, into a condenser that holds its vacuum, with a brake for a generator.

use crate::electrical::Turned;
use crate::machines::Side;
use crate::steam::{BranchId, BranchSpec, Gives, NodeId, Outside, SteamNet, Wall, stages_kv};
use crate::turbine::{Oil, Turbine, TurbineSet, Watched, Ways, sizing};
use crate::vessel::{Contents, Vessel};
use base::units::{ATMOSPHERE, CELSIUS_ZERO};

pub const DT: f64 = 0.1;
pub const ROOM: f64 = 308.15;

#[derive(Clone)]
pub struct Bench {
    pub net: SteamNet,
    pub set: TurbineSet,
    pub source: BranchId,
    pub line_drain: BranchId,
    pub casing_drain: BranchId,
    pub condenser: NodeId,
    /// Power that a generator takes at rated speed, W; in proportion to speed.
    pub load: f64,
    /// Signals are what is true, or what is set here.
    pub signal: Option<Watched>,
    /// What the generator took, J.
    pub drawn: f64,
    pub seconds: f64,
    pub water: Side,
}

impl Bench {
    pub fn new() -> Bench {
        let mut b = SteamNet::builder();
        let boiler = b.outside("boiler", Outside::new(17e5, CELSIUS_ZERO + 320.0, Gives::Steam));
        let condenser = b.outside("condenser", Outside::new(0.08e5, CELSIUS_ZERO + 60.0, Gives::Steam));
        let sky = b.outside("atmosphere", Outside::atmosphere(ROOM, 0.5));
        let cold = |v: f64| Vessel::new(v, 0.0, Contents::humid_air(v, 0.0, ATMOSPHERE, ROOM, 0.0, 0.5));
        let wall = |capacity: f64, dry: f64, wet: f64, loss: f64| Wall {
            t: ROOM,
            capacity,
            dry,
            wet,
            loss,
            ambient: ROOM,
            heat: 0.0,
        };
        let metal = sizing::metal();
        let line = b.vessel("inlet line", cold(0.12), Some(wall(60e3, 25.0, 500.0, 8.0)));
        let casing = b.vessel("casing", cold(0.08), Some(wall(metal.casing_inner, 60.0, metal.wet, 0.0)));
        // Metal in the flow keeps the exhaust from freezing when it is drawn empty.
        let empty = Contents::humid_air(1.5, 30e3, 0.08e5, ROOM, 0.0, 0.5);
        let exhaust = b.vessel("exhaust", Vessel::new(1.5, 30e3, empty), Some(wall(300e3, 100.0, 3e3, 20.0)));
        let p = sizing::turbine();
        let t = Turbine::new(p, ROOM);
        let e = p.expansion;
        let kv = stages_kv(e.flow, e.pressure, e.back_pressure, t.expansion().density_nominal());
        let source = b.branch(boiler, line, BranchSpec::new("source valve", 150.0));
        let admission = b.branch(line, casing, BranchSpec::new("admission", t.governor.kv_full()));
        let stages = b.branch(casing, exhaust, BranchSpec::stages("stages", kv));
        // Downwards, so that the water of wet steam goes along.
        b.branch(exhaust, condenser, BranchSpec::drain("exhaust valve", 12_000.0));
        let line_drain = b.branch(line, sky, BranchSpec::drain("line drain", 1.0));
        let casing_drain = b.branch(casing, condenser, BranchSpec::drain("casing drain", 2.0));
        let mut net = b.build().unwrap();
        for v in [source, admission, line_drain, casing_drain] {
            net.set_opening(v, 0.0);
        }
        let oil = Oil::new(sizing::oil(), 0.7, CELSIUS_ZERO + 35.0);
        let ways = Ways { line, casing, exhaust, admission, stages };
        Bench {
            net,
            set: TurbineSet { turbine: t, oil, ways },
            source,
            line_drain,
            casing_drain,
            condenser,
            load: 0.0,
            signal: None,
            drawn: 0.0,
            seconds: 0.0,
            water: Side { mass_flow: 2.5, heat_capacity: 4180.0, temperature: CELSIUS_ZERO + 30.0 },
        }
    }

    pub fn truth(&self) -> Watched {
        let t = &self.set.turbine;
        Watched {
            speed: t.n(),
            speed_signal: t.n(),
            oil: self.set.oil.pressure(),
            exhaust: self.net.p(self.set.ways.exhaust),
            vibration: t.vibration.level(),
            bearing: t.hottest_bearing(),
        }
    }

    pub fn tick(&mut self) -> Turned {
        let watched = self.signal.unwrap_or_else(|| self.truth());
        self.set.turbine.control(&watched, DT);
        let oil = crate::instruments::Signal(self.set.oil.pressure());
        let n = self.set.turbine.n();
        self.set.oil.control(oil, n, DT);
        self.set.drives(&mut self.net, self.water, true, DT);
        self.set.before(&mut self.net, ROOM, DT);
        self.net.step(DT).unwrap();
        self.set.pull(&self.net, true, DT);
        let turned = self.set.turbine.turn(self.load * n, DT);
        // The shaft's power is that of the generator less that of the steam.
        self.drawn += turned.drawn + self.set.turbine.pulled().power * DT;
        self.set.after(&turned, ROOM, DT);
        self.seconds += DT;
        assert!(self.set.turbine.n().is_finite() && self.set.oil.temperature().is_finite());
        turned
    }

    pub fn run(&mut self, seconds: f64) {
        for _ in 0..(seconds / DT).round() as usize {
            self.tick();
        }
    }

    /// Runs until something holds, at most so many seconds; whether it came.
    pub fn until(&mut self, most: f64, holds: impl Fn(&Bench) -> bool) -> bool {
        for _ in 0..(most / DT) as usize {
            self.tick();
            if holds(self) {
                return true;
            }
        }
        false
    }

    pub fn n(&self) -> f64 {
        self.set.turbine.n()
    }

    pub fn oil_up(&mut self) {
        self.set.oil.automatic = true;
        self.run(1.0);
        self.set.oil.priming.start();
        self.run(30.0);
    }

    /// Oil up, turning gear in.
    pub fn turning(&mut self, seconds: f64) {
        self.oil_up();
        let oil = self.set.oil.pressure();
        let n = self.n();
        self.set.turbine.turning.engage(n, oil).unwrap();
        self.run(seconds);
    }

    /// Steam to the stop valve, drains open.
    pub fn line_up(&mut self) {
        self.net.set_opening(self.line_drain, 1.0);
        self.net.set_opening(self.casing_drain, 1.0);
        self.net.set_opening(self.source, 0.05);
        self.run(300.0);
        self.net.set_opening(self.source, 1.0);
        self.run(60.0);
    }

    /// Sets the trip gear and rolls at a part of the stop valve.
    pub fn roll(&mut self, wheel: f64, seconds: f64) {
        self.set.turbine.reset().unwrap();
        self.set.turbine.governor.set_speed(0.95);
        self.set.turbine.governor.set_wheel(wheel);
        self.run(seconds);
    }

    /// Opens the stop valve step by step until the governor has it, then to rated speed at no load.
    pub fn run_up(&mut self) {
        let mut wheel = self.set.turbine.governor.wheel();
        while self.n() < 0.90 && wheel < 1.0 {
            wheel += 0.03;
            self.set.turbine.governor.set_wheel(wheel);
            self.run(4.0);
        }
        self.set.turbine.governor.set_wheel(1.0);
        self.set.turbine.governor.set_speed(1.005);
        self.until(300.0, |b| b.n() > 0.99);
    }

    /// The whole of it: turned, warmed, run up; done once for all tests.
    pub fn at_speed() -> Bench {
        static DONE: std::sync::OnceLock<Bench> = std::sync::OnceLock::new();
        DONE.get_or_init(|| {
            let mut b = Bench::new();
            b.turning(1200.0);
            b.line_up();
            b.roll(0.22, 1500.0);
            b.run_up();
            b.run(60.0);
            b.net.set_opening(b.line_drain, 0.0);
            b.net.set_opening(b.casing_drain, 0.0);
            b
        })
        .clone()
    }

    /// The same with a load, W, until the metal is warm.
    pub fn loaded(load: f64) -> Bench {
        let mut b = Bench::at_speed();
        b.load = load;
        b.run(1800.0);
        b
    }

    pub fn tell(&self) -> String {
        let (t, o) = (&self.set.turbine, &self.set.oil);
        let c = |k: f64| k - CELSIUS_ZERO;
        let b = |i: usize| &t.bearings[i];
        let w = &self.set.ways;
        format!(
            "{:.0} s n {:.4} stop {:.3} governor {:.3} flow {:.3} kg/s casing {:.2} bar {:.0} C efficiency {:.3} exhaust {:.3} bar {:.0} C\n  \
             skin {:.0} core {:.0} inner {:.0} outer {:.0} C grown {:.2} mm bow {:.0} um vibration {:.0} um\n  \
             oil {:.2} bar {:.0} C tank {:.0} C bearings {:.0} {:.0} {:.0} C set {} first {:?}\n  \
             rub {:.3} strain {:.3} water {:.3} overspeed {:.3} bearings {:.3} {:.3} {:.3} water in line {:.4} casing {:.4} m3",
            self.seconds,
            t.n(),
            t.governor.stop_valve(),
            t.governor.valve(),
            self.net.flow(w.stages),
            self.net.p(w.casing) / 1e5,
            c(self.net.t(w.casing)),
            t.efficiency(),
            self.net.p(w.exhaust) / 1e5,
            c(self.net.t(w.exhaust)),
            c(t.metal.skin()),
            c(t.metal.core()),
            c(t.metal.inner()),
            c(t.metal.outer()),
            t.metal.differential_expansion() * 1e3,
            t.bow.bow() * 1e6,
            t.vibration.level() * 1e6,
            o.header().p / 1e5,
            c(o.supply()),
            c(o.temperature()),
            c(b(0).temperature()),
            c(b(1).temperature()),
            c(b(2).temperature()),
            t.protection.is_set(),
            t.protection.first(),
            t.rub.total(),
            t.strain.total(),
            t.struck.total(),
            t.overspeed.total(),
            b(0).damage.total(),
            b(1).damage.total(),
            b(2).damage.total(),
            self.net.state(w.line).liquid_volume,
            self.net.state(w.casing).liquid_volume,
        )
    }

    pub fn damage(&self) -> f64 {
        let t = &self.set.turbine;
        let bearings: f64 = t.bearings.iter().map(|b| b.damage.total()).sum();
        t.rub.total() + t.strain.total() + t.struck.total() + t.overspeed.total() + bearings
    }
}
