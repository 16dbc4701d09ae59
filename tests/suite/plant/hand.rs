//! A hand at the plant's controls, by tags and words as on the panel.

use base::Place;
use base::Tag;
use base::record::Happening;
use plant::{Order, Plant, PointId};
use replay::Ship;
use std::path::Path;
use std::sync::OnceLock;

/// Ticks in a second.
pub const TICKS: u32 = 10;

/// The training vessel as its file describes it, cold.
pub fn cold() -> Plant {
    static COLD: OnceLock<Plant> = OnceLock::new();
    COLD.get_or_init(|| built(&file())).clone()
}

fn file() -> String {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/plants/training-vessel.ron");
    std::fs::read_to_string(file).unwrap()
}

fn built(text: &str) -> Plant {
    let description =
        files::plant_file::read("training-vessel.ron", text.as_bytes()).unwrap_or_else(|e| panic!("{e:?}"));
    Plant::build(&description).unwrap_or_else(|e| panic!("{e:?}"))
}

/// A plant under somebody's hands.
#[derive(Clone)]
pub struct Hand {
    pub plant: Plant,
    pub ticks: u64,
    /// What happened, with the second.
    pub happened: Vec<(f64, Happening)>,
    fresh: Vec<Happening>,
}

impl Hand {
    pub fn cold() -> Hand {
        Hand { plant: cold(), ticks: 0, happened: vec![], fresh: vec![] }
    }

    /// A cold plant with figures of its file changed: what stands there, and what instead.
    pub fn with(changes: &[(&str, &str)]) -> Hand {
        let mut text = file();
        for (old, new) in changes {
            assert_eq!(text.matches(old).count(), 1, "{old}");
            text = text.replace(old, new);
        }
        Hand { plant: built(&text), ticks: 0, happened: vec![], fresh: vec![] }
    }

    /// Sets a control to one of its words.
    pub fn set(&mut self, tag: &str, word: &str) {
        self.try_set(tag, word).unwrap_or_else(|e| panic!("{tag} {word}: {e}"));
    }

    /// The same where the plant may say no.
    pub fn try_set(&mut self, tag: &str, word: &str) -> Result<(), String> {
        let id = self.plant.control(&Tag::new(tag)).unwrap_or_else(|| panic!("there is a control {tag}"));
        let words = &self.plant.controls()[usize::from(id.0)].words;
        let place = words.iter().position(|w| *w == word).unwrap_or_else(|| panic!("{tag} has {words:?}, not {word}"));
        self.plant.order(id, Order::Word(place))
    }

    /// Turns a control's dial, SI.
    pub fn dial(&mut self, tag: &str, x: f64) {
        let id = self.plant.control(&Tag::new(tag)).unwrap_or_else(|| panic!("there is a control {tag}"));
        self.plant.order(id, Order::Dial(x)).unwrap_or_else(|e| panic!("{tag} {x}: {e}"));
    }

    /// Sets something going wrong, or mends it.
    pub fn fail(&mut self, tag: &str, kind: &str, acting: bool, size: Option<f64>) {
        let id = self.plant.failing(&Tag::new(tag), kind).unwrap_or_else(|| panic!("{tag} can be {kind}"));
        self.plant.set_failing(id, acting, size).unwrap();
    }

    pub fn point(&self, tag: &str) -> PointId {
        self.plant.point(&Tag::new(tag)).unwrap_or_else(|| panic!("there is a point {tag}"))
    }

    /// What is true at a point, SI.
    pub fn actual(&self, tag: &str) -> f64 {
        self.plant.actual(self.point(tag)).0
    }

    /// Gauge pressure at a point, bar.
    pub fn barg(&self, tag: &str) -> f64 {
        (self.actual(tag) - base::units::ATMOSPHERE) / 1e5
    }

    /// Temperature at a point, degC.
    pub fn celsius(&self, tag: &str) -> f64 {
        self.actual(tag) - base::units::CELSIUS_ZERO
    }

    pub fn damage(&self, tag: &str) -> f64 {
        let at = self.plant.damageable().iter().position(|t| t.as_str() == tag);
        self.plant.damage(at.unwrap_or_else(|| panic!("{tag} can be hurt")))
    }

    pub fn greatest_damage(&self) -> f64 {
        (0..self.plant.damageable().len()).map(|i| self.plant.damage(i)).fold(0.0, f64::max)
    }

    pub fn tripped(&self, tag: &str) -> bool {
        let at = self.plant.trips().iter().position(|t| t.tag.as_str() == tag);
        self.plant.tripped(at.unwrap_or_else(|| panic!("there is a trip {tag}")))
    }

    pub fn seconds(&self) -> f64 {
        self.ticks as f64 / f64::from(TICKS)
    }

    pub fn tick(&mut self) {
        self.try_tick().unwrap_or_else(|e| panic!("at {} s: {e}", self.seconds()));
    }

    /// One tick, in the order of a session.
    pub fn try_tick(&mut self) -> Result<(), String> {
        self.plant.control_pass();
        self.plant.step()?;
        self.ticks += 1;
        self.plant.take_happenings(&mut self.fresh);
        let at = self.seconds();
        self.happened.extend(self.fresh.drain(..).map(|h| (at, h)));
        Ok(())
    }

    pub fn run(&mut self, seconds: f64) {
        for _ in 0..(seconds * f64::from(TICKS)).round() as u64 {
            self.tick();
        }
    }

    /// Goes on until something holds.
    pub fn until(&mut self, what: &str, most: f64, holds: impl Fn(&Hand) -> bool) {
        let end = self.ticks + (most * f64::from(TICKS)) as u64;
        while !holds(self) {
            assert!(self.ticks < end, "{what}: not within {most} s\n{}", self.tell());
            self.tick();
        }
    }

    /// The same, looking at something on every tick.
    pub fn watch(&mut self, seconds: f64, mut look: impl FnMut(&Hand)) {
        for _ in 0..(seconds * f64::from(TICKS)).round() as u64 {
            self.tick();
            look(self);
        }
    }

    /// Where the boiler stands, for a failed test's message.
    pub fn tell(&self) -> String {
        format!(
            "{:.0} s: drum {:.2} barg, level {:.3} m, shell {:.1} K, superheater {:.0} degC, steam {:.2} kg/s, feed {:.2} kg/s, air {:.1} barg, damage {:?}, happened {:?}",
            self.seconds(),
            self.barg("PT-2001"),
            self.actual("LT-2001"),
            self.actual("TDT-2001"),
            self.celsius("TT-2102"),
            self.actual("FT-2101"),
            self.actual("FT-3001"),
            self.barg("PT-1401"),
            (0..self.plant.damageable().len()).map(|i| self.plant.damage(i)).collect::<Vec<_>>(),
            self.happened,
        )
    }

    /// Cooling before heat, air, fuel, water: everything that is wanted before the fire.
    pub fn prepare(&mut self) {
        for valve in ["XV-1101", "XV-1106", "XV-1103", "XV-1104"] {
            self.set(valve, "open");
        }
        self.run(12.0);
        self.set("P-1101", "start");
        for valve in ["XV-1201", "XV-1202", "XV-1211"] {
            self.set(valve, "open");
        }
        self.run(10.0);
        self.set("P-1201", "start");
        self.set("TIC-1201", "automatic");
        self.run(5.0);
        self.set("K-1401", "automatic");
        self.set("XV-1501", "open");
        self.run(3.0);
        self.set("P-1501", "start");
        self.set("XV-3000", "open");
        self.set("XV-3001", "open");
        self.run(10.0);
        self.set("P-3001", "start");
        self.until("control air is up", 300.0, |h| h.barg("PT-1401") > 6.0);
        self.dial("HIC-3001", 0.5);
        self.until("the drum is filled to below normal", 600.0, |h| h.actual("LT-2001") > -0.06);
        self.dial("HIC-3001", 0.0);
        self.run(20.0);
    }

    /// Lights up by the automatic sequence at a firing rate, with drum vent and superheater drain open.
    pub fn light_up(&mut self, firing: f64) {
        self.set("XV-2001", "open");
        self.set("XV-2101", "open");
        self.run(15.0);
        self.set("HS-2001", "automatic");
        self.dial("HIC-2001", firing);
        self.set("HS-2002", "start");
        self.until("the main flame is proved", 240.0, |h| h.actual("BSH-2001") > 0.5);
    }

    /// From a lit burner to the first consumer, as practice has it.
    pub fn raise_steam(&mut self) {
        self.set("LIC-3001", "manual");
        self.until("1 barg", 5400.0, |h| h.barg("PT-2001") > 1.0);
        self.set("XV-2001", "shut");
        self.until("3 barg", 3600.0, |h| h.barg("PT-2001") > 3.0);
        self.set("LIC-3001", "automatic");
        self.set("XV-2104", "open");
        self.dial("XV-2103", 0.08);
        self.until("5 barg", 3600.0, |h| h.barg("PT-2001") > 5.0);
        self.set("XV-2103", "open");
        self.run(120.0);
        self.dial("XV-2201", 0.3);
        self.run(60.0);
    }

    /// After the first consumer: drain shut, automatic firing, the second consumer.
    pub fn load(&mut self) {
        self.set("XV-2101", "shut");
        self.set("XV-2104", "shut");
        self.dial("XV-2201", 1.0);
        self.until("8 barg", 3600.0, |h| h.barg("PT-2001") > 8.0);
        self.set("PIC-2001", "automatic");
        self.set("FCV-2001", "with the firing master");
        self.until("15 barg", 3600.0, |h| h.barg("PT-2001") > 15.0);
        self.dial("XV-2202", 0.5);
    }
}

/// A plant ready to light up: cooled, with air, fuel and water.
pub fn ready() -> Hand {
    static READY: OnceLock<Hand> = OnceLock::new();
    READY
        .get_or_init(|| {
            let mut h = Hand::cold();
            h.prepare();
            h
        })
        .clone()
}

/// A plant half way up, at about 3 barg with the vent shut, reached once and cloned.
pub fn raising() -> Hand {
    static RAISING: OnceLock<Hand> = OnceLock::new();
    RAISING
        .get_or_init(|| {
            let mut h = ready();
            h.light_up(0.2);
            h.until("1 barg", 5400.0, |h| h.barg("PT-2001") > 1.0);
            h.set("XV-2001", "shut");
            h.until("3 barg", 3600.0, |h| h.barg("PT-2001") > 3.0);
            h
        })
        .clone()
}

/// A plant that steams with both consumers, reached once and cloned.
pub fn steaming() -> Hand {
    static STEAMING: OnceLock<Hand> = OnceLock::new();
    STEAMING
        .get_or_init(|| {
            let mut h = ready();
            h.light_up(0.2);
            h.raise_steam();
            h.load();
            h.run(300.0);
            h
        })
        .clone()
}

/// A plant in a prepared state of the program, made once and cloned.
pub fn in_state(name: &str) -> Hand {
    static SHIP: OnceLock<Ship> = OnceLock::new();
    let ship = SHIP.get_or_init(|| Ship::named("training-vessel", &Place::default()).unwrap());
    let plant = ship.state(name, &Place::default()).unwrap_or_else(|e| panic!("{name}: {e:?}"));
    Hand { plant, ticks: 0, happened: vec![], fresh: vec![] }
}
