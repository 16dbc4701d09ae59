//! One cell: the plant undisturbed and with the failing, side by side.

use super::needs::Needs;
use base::record::Layer;
use base::{Place, Tag, Tick};
use panel::Panel;
use panel::lamp::Follows;
use plant::{ControlId, FailingId, Order, Plant, PointId};
use replay::Ship;
use std::collections::{BTreeMap, BTreeSet};

/// Ticks after a failing is mended.
const AFTERWARDS: u32 = 60;

/// What was found of a cell that is well.
pub struct Found {
    /// Anything differed anywhere while it acted.
    pub seen: bool,
}

/// What stands on plant and panel after a tick.
#[derive(Clone, Debug, PartialEq)]
struct Seen {
    actual: Vec<u64>,
    signal: Vec<u64>,
    lamps: Vec<bool>,
    gauges: Vec<u64>,
    alarms: Vec<&'static str>,
}

/// Where two of them differ.
#[derive(Debug, Default)]
struct Differs {
    actual: BTreeSet<usize>,
    signal: BTreeSet<usize>,
    lamps: BTreeSet<usize>,
    gauges: BTreeSet<usize>,
    alarms: BTreeSet<usize>,
}

/// A state of the plant that failings are tried in.
pub struct Stage {
    plant: Plant,
    panel: Panel,
    /// Points whose signals something acts on.
    read: BTreeSet<usize>,
    /// Undisturbed runs, by the orders that were given.
    sound: BTreeMap<String, Vec<Seen>>,
    /// The plant after every tick of a run without orders: a failing of the panel cannot change it.
    plants: Vec<Plant>,
}

/// What both runs get.
#[derive(Debug, Default)]
struct Deeds {
    /// Orders, with the tick that each is given on.
    orders: Vec<(u32, ControlId, Order)>,
    /// Other failings, each with the tick on which it comes and goes.
    also: Vec<(u32, FailingId, bool, Option<f64>)>,
}

impl Seen {
    fn of(plant: &Plant, panel: &Panel) -> Seen {
        let points = || (0..plant.points().len()).map(|i| PointId(i as u16));
        Seen {
            actual: points().map(|p| plant.actual(p).0.to_bits()).collect(),
            signal: points().map(|p| plant.signal(p).0.to_bits()).collect(),
            lamps: panel.lamps().iter().map(|l| l.lit()).collect(),
            gauges: panel.gauges().iter().map(|g| g.shown().0.to_bits()).collect(),
            alarms: panel.alarms().iter().map(|a| a.state().word()).collect(),
        }
    }

    fn differs(&self, other: &Seen) -> Differs {
        fn where_differs<T: PartialEq>(a: &[T], b: &[T]) -> BTreeSet<usize> {
            a.iter().zip(b).enumerate().filter(|(_, (a, b))| a != b).map(|(i, _)| i).collect()
        }
        Differs {
            actual: where_differs(&self.actual, &other.actual),
            signal: where_differs(&self.signal, &other.signal),
            lamps: where_differs(&self.lamps, &other.lamps),
            gauges: where_differs(&self.gauges, &other.gauges),
            alarms: where_differs(&self.alarms, &other.alarms),
        }
    }
}

impl Differs {
    fn any(&self) -> bool {
        !(self.actual.is_empty() && self.signal.is_empty() && self.shown().is_empty())
    }

    fn shown(&self) -> Vec<usize> {
        self.lamps.iter().chain(&self.gauges).chain(&self.alarms).copied().collect()
    }
}

impl Stage {
    /// The prepared state, with its panel.
    pub fn new(ship: &Ship, state: &str) -> Stage {
        let plant = ship.state(state, &Place::default()).unwrap_or_else(|e| panic!("{state}: {e:?}"));
        let mut panel = ship.panel.clone();
        panel.prime(&plant);
        // What acts on a signal says so in the plant file by a link to it; the flame scanner is burner management's own.
        let panels = ["gauge", "lamp", "alarm"];
        let acts = ship.description.components.iter().filter(|c| !panels.contains(&c.kind.as_str()));
        let read = acts.flat_map(|c| c.links.values()).filter_map(|tag| plant.point(tag));
        let scanner = ship.description.components.iter().filter_map(|c| c.fields.get("flame contact"));
        let scanner = scanner.filter_map(|f| plant.point(&Tag::new(&f.value)));
        let read = read.chain(scanner).map(|p| usize::from(p.0)).collect();
        Stage { plant, panel, read, sound: BTreeMap::new(), plants: vec![] }
    }

    fn deeds(&self, on: &Tag, needs: &Needs) -> Deeds {
        let order = |(seconds, tag, word): &(f64, &str, &str)| {
            let tag = if *tag == "on" { on.clone() } else { Tag::new(tag) };
            let id = self.plant.control(&tag)?;
            let word = self.plant.controls()[usize::from(id.0)].words.iter().position(|w| w == word)?;
            Some((Tick::count(*seconds), id, Order::Word(word)))
        };
        let also = |(from, to, tag, kind, size): &(f64, f64, &str, &str, Option<f64>)| {
            let tag = if *tag == "on" { on.clone() } else { Tag::new(tag) };
            let id = self.plant.failing(&tag, kind).unwrap_or_else(|| panic!("{tag} cannot be \"{kind}\""));
            [(Tick::count(*from), id, true, *size), (Tick::count(*to), id, false, None)]
        };
        Deeds {
            orders: needs.orders.iter().filter_map(order).collect(),
            also: needs.also.iter().flat_map(also).collect(),
        }
    }

    /// Runs with a failing for so many ticks and so many more without it, and looks after every tick.
    fn run(&self, fail: Option<(&Tag, &str)>, deeds: &Deeds, lasts: u32, mut look: impl FnMut(u32, Seen)) {
        let (mut plant, mut panel) = (self.plant.clone(), self.panel.clone());
        let in_plant = fail.and_then(|(on, kind)| plant.failing(on, kind));
        let on_panel = fail.and_then(|(on, kind)| panel.failing(on, kind));
        let mut said = vec![];
        for tick in 0..lasts + AFTERWARDS {
            for (_, control, order) in deeds.orders.iter().filter(|d| d.0 == tick) {
                // One that is refused is refused in both runs, or that is the failing's doing.
                let _refused = plant.order(*control, *order).is_err();
            }
            for (_, id, acting, size) in deeds.also.iter().filter(|d| d.0 == tick) {
                plant.set_failing(*id, *acting, *size).unwrap();
            }
            if tick == 0 || tick == lasts {
                if let Some(id) = in_plant {
                    plant.set_failing(id, tick == 0, None).unwrap();
                }
                if let Some(id) = on_panel {
                    panel.set_failing(id, tick == 0, None);
                }
            }
            plant.control_pass();
            plant.step().unwrap_or_else(|e| panic!("{fail:?} after {tick} ticks: {e}"));
            panel.update(&plant, Tick(tick), &mut said);
            look(tick, Seen::of(&plant, &panel));
        }
    }

    fn undisturbed(&mut self, deeds: &Deeds, lasts: u32) -> Vec<Seen> {
        let key = format!("{deeds:?} {lasts}");
        if !self.sound.contains_key(&key) {
            let mut all = vec![];
            self.run(None, deeds, lasts, |_, seen| all.push(seen));
            self.sound.insert(key.clone(), all);
        }
        self.sound[&key].clone()
    }

    /// Tries a failing on a target.
    ///
    /// # Errors
    /// What is not as it should be.
    pub fn cell(&mut self, on: &Tag, kind: &str, needs: &Needs, twice: bool) -> Result<Found, String> {
        let lasts = Tick::count(needs.lasts);
        let deeds = self.deeds(on, needs);
        let sound = self.undisturbed(&deeds, lasts);
        let early = deeds.orders.iter().map(|d| d.0).chain(deeds.also.iter().map(|d| d.0)).any(|tick| tick == 0);
        if !early {
            self.leaves_nothing_behind(on, kind, &sound[0])?;
        }
        let layer = self.layer(on, kind);
        if layer == Layer::Shown && deeds.orders.is_empty() && deeds.also.is_empty() {
            return self.panel_cell(on, kind, lasts, &sound);
        }
        let (mut wrong, mut seen) = (None, false);
        let mut digest = vec![];
        self.run(Some((on, kind)), &deeds, lasts, |tick, now| {
            let differs = now.differs(&sound[tick as usize]);
            seen |= differs.any() && tick < lasts;
            let told = self.judge(on, kind, layer, tick, lasts, &differs);
            if let (None, Err(why)) = (&wrong, told) {
                wrong = Some(format!("tick {tick}: {why}"));
            }
            digest.push(now);
        });
        if twice {
            let mut again = vec![];
            self.run(Some((on, kind)), &deeds, lasts, |_, now| again.push(now));
            if digest != again {
                return Err("the same again is not the same".into());
            }
        }
        wrong.map_or(Ok(Found { seen }), Err)
    }

    /// The same for a failing of the panel, which need not run the plant again.
    fn panel_cell(&mut self, on: &Tag, kind: &str, lasts: u32, sound: &[Seen]) -> Result<Found, String> {
        if self.plants.is_empty() {
            let mut plant = self.plant.clone();
            for _ in 0..lasts + AFTERWARDS {
                plant.control_pass();
                plant.step()?;
                self.plants.push(plant.clone());
            }
        }
        let id = self.panel.failing(on, kind).expect("a cell is of a failing");
        let run = || {
            let (mut panel, mut said) = (self.panel.clone(), vec![]);
            let mut all = vec![];
            for (plant, tick) in self.plants.iter().zip(0..) {
                if tick == 0 || tick == lasts {
                    panel.set_failing(id, tick == 0, None);
                }
                panel.update(plant, Tick(tick), &mut said);
                all.push(Seen::of(plant, &panel));
            }
            all
        };
        let all = run();
        let mut seen = false;
        for ((now, sound), tick) in all.iter().zip(sound).zip(0..) {
            let differs = now.differs(sound);
            seen |= differs.any() && tick < lasts;
            self.judge(on, kind, Layer::Shown, tick, lasts, &differs).map_err(|why| format!("tick {tick}: {why}"))?;
        }
        if all == run() { Ok(Found { seen }) } else { Err("the same again is not the same".into()) }
    }

    fn layer(&self, on: &Tag, kind: &str) -> Layer {
        let mut all = self.plant.failings().iter().chain(self.panel.failings());
        all.find(|f| f.on == *on && f.kind == kind).expect("a cell is of a failing").layer
    }

    /// A failing that comes and goes before anything moved was never there.
    fn leaves_nothing_behind(&self, on: &Tag, kind: &str, sound: &Seen) -> Result<(), String> {
        let (mut plant, mut panel) = (self.plant.clone(), self.panel.clone());
        for acting in [true, false] {
            if let Some(id) = plant.failing(on, kind) {
                plant.set_failing(id, acting, None)?;
            }
            if let Some(id) = panel.failing(on, kind) {
                panel.set_failing(id, acting, None);
            }
        }
        plant.control_pass();
        plant.step()?;
        panel.update(&plant, Tick(0), &mut vec![]);
        let (now, close) = (Seen::of(&plant, &panel), |a: &[u64], b: &[u64]| {
            // A circuit that is solved again from where it stood rounds otherwise.
            let near = |a: f64, b: f64| (a - b).abs() <= 1e-9 * a.abs().max(b.abs()).max(1.0);
            a.iter().zip(b).all(|(a, b)| near(f64::from_bits(*a), f64::from_bits(*b)))
        });
        let same = close(&now.actual, &sound.actual)
            && close(&now.signal, &sound.signal)
            && close(&now.gauges, &sound.gauges)
            && (now.lamps, now.alarms) == (sound.lamps.clone(), sound.alarms.clone());
        if same { Ok(()) } else { Err("cleared at once, it leaves something".into()) }
    }

    fn judge(&self, on: &Tag, kind: &str, layer: Layer, tick: u32, lasts: u32, d: &Differs) -> Result<(), String> {
        let tags = |points: &BTreeSet<usize>| {
            let all: Vec<&str> = points.iter().take(5).map(|i| self.plant.points()[*i].tag.as_str()).collect();
            format!("{} points, such as {}", points.len(), all.join(", "))
        };
        let own = self.plant.point(on).map(|p| usize::from(p.0));
        self.panel_follows(on, layer, d)?;
        match layer {
            Layer::Shown => {
                if !d.actual.is_empty() || !d.signal.is_empty() {
                    return Err(format!("a failing of the panel moves {}", tags(&d.signal)));
                }
                // The pointer of a gauge is mended at once; an alarm that came up waits to be acknowledged.
                if tick > lasts && !d.gauges.is_empty() {
                    return Err("mended, a gauge still differs".into());
                }
            }
            Layer::Signal => {
                let nobody_acts = own.is_some_and(|i| !self.read.contains(&i));
                if (tick == 0 || nobody_acts) && !d.actual.is_empty() {
                    return Err(format!("a failing of a signal moves {}", tags(&d.actual)));
                }
                if (tick == 0 || nobody_acts) && d.signal.iter().any(|i| Some(*i) != own) {
                    return Err(format!("it changes other signals: {}", tags(&d.signal)));
                }
                // One that was slow still comes up to the others.
                if tick > lasts && nobody_acts && kind != "slow" && !d.signal.is_empty() {
                    return Err("mended, its signal still differs".into());
                }
            }
            Layer::Actual => {
                // Instruments tell what is so; only where it is otherwise may they say something else.
                let odd: BTreeSet<usize> =
                    if tick == 0 { d.signal.difference(&d.actual).copied().collect() } else { BTreeSet::new() };
                if !odd.is_empty() {
                    return Err(format!("signals change where nothing else does: {}", tags(&odd)));
                }
            }
        }
        Ok(())
    }

    /// What is shown differs only where what it follows does, or fails itself.
    fn panel_follows(&self, on: &Tag, layer: Layer, d: &Differs) -> Result<(), String> {
        let own = |tag: &Tag| layer == Layer::Shown && tag == on;
        let said = |p: PointId| d.signal.contains(&usize::from(p.0));
        for g in d.gauges.iter().map(|i| &self.panel.gauges()[*i]) {
            if !own(&g.tag) && !said(g.of) {
                return Err(format!("gauge {} differs and its signal does not", g.tag));
            }
        }
        for l in d.lamps.iter().map(|i| &self.panel.lamps()[*i]) {
            let follows = match l.follows {
                Follows::Point(p, _) => said(p),
                Follows::Standing(a, _) | Follows::Unacknowledged(a) => d.alarms.contains(&a),
                // A trip or a control moves with the plant.
                Follows::Trip(..) | Follows::Control(..) => layer != Layer::Shown,
            };
            if !own(&l.tag) && !follows {
                return Err(format!("lamp {} differs and what it follows does not", l.tag));
            }
        }
        if layer == Layer::Shown
            && let Some(a) = d.alarms.iter().map(|i| &self.panel.alarms()[*i]).find(|a| a.tag != *on)
        {
            return Err(format!("alarm {} differs", a.tag));
        }
        Ok(())
    }
}
