//! Small plants for tests, written in lines:
//!
//! ```text
//! V-1601 | air receiver | | volume 0.5 m3; loss to room 20 W/K
//! XV-1601 | air valve | from V-1601; to V-1602 | passes 0.1 kg/s
//! P-1301 | pump | from N-1301; to N-1302 | curve m3/h m 0 20, 30 16, 50 8; run up 2 s
//! ```
//!
//! The name of a field or link is one of the words that its kind asks for; here it ends where the value begins,
//! at the first number, tag or quoted word.

use crate::{Order, Plant};
use base::description::{Component, Description, Field, Table};
use base::{Place, Tag};

/// Assembles a small plant, or tells why not.
pub fn plant(text: &str) -> Plant {
    Plant::build(&description(text)).unwrap_or_else(|e| panic!("{e:#?}"))
}

/// The description that the lines make.
pub fn description(text: &str) -> Description {
    let mut d =
        Description { name: "small".into(), systems: vec![("all".into(), "All".into())], ..Description::default() };
    for line in text.lines().map(str::trim).filter(|l| !l.is_empty() && !l.starts_with("//")) {
        let parts: Vec<&str> = line.split('|').map(str::trim).collect();
        let mut c = Component {
            tag: parts[0].into(),
            kind: parts[1].into(),
            system: "all".into(),
            name: format!("{} {}", parts[1], parts[0]),
            place: Place::file("small"),
            ..Component::default()
        };
        for link in parts.get(2).unwrap_or(&"").split(';').map(str::trim).filter(|l| !l.is_empty()) {
            let (role, tag) = link.rsplit_once(' ').unwrap();
            c.links.insert(role.trim().into(), Tag::new(tag));
        }
        for field in parts.get(3).unwrap_or(&"").split(';').map(str::trim).filter(|l| !l.is_empty()) {
            if let Some(curve) = field.strip_prefix("curve ") {
                let mut words = curve.splitn(3, ' ');
                let (x, y) = (words.next().unwrap(), words.next().unwrap());
                let rows = words.next().unwrap().split(',').map(|row| {
                    let (a, b) = row.trim().split_once(' ').unwrap();
                    (a.parse().unwrap(), b.parse().unwrap())
                });
                let table = Table { x_unit: x.into(), y_unit: y.into(), rows: rows.collect(), source: "test".into() };
                c.tables.insert("curve".into(), table);
                continue;
            }
            let (name, value) = match field.split_once('=') {
                Some((name, word)) => (name.trim(), word.trim()),
                None => {
                    let at = field.find(|c: char| c.is_ascii_digit()).unwrap_or_else(|| panic!("{field}"));
                    let at = if field[..at].ends_with('-') { at - 1 } else { at };
                    (field[..at].trim(), field[at..].trim())
                }
            };
            c.fields.insert(name.into(), Field { value: value.into(), source: "test".into() });
        }
        d.components.push(c);
    }
    d
}

/// A hand at a small plant.
pub struct Hand(pub Plant);

impl Hand {
    /// Gives an order by words.
    pub fn set(&mut self, tag: &str, word: &str) {
        self.try_set(tag, word).unwrap_or_else(|e| panic!("{tag} {word}: {e}"));
    }

    /// The same where the plant may say no.
    pub fn try_set(&mut self, tag: &str, word: &str) -> Result<(), String> {
        let id = self.0.control(&Tag::new(tag)).unwrap_or_else(|| panic!("there is a control {tag}"));
        let words = &self.0.controls()[usize::from(id.0)].words;
        let i = words.iter().position(|w| *w == word).unwrap_or_else(|| panic!("{tag} has {words:?}, not {word}"));
        self.0.order(id, Order::Word(i))
    }

    /// Turns a dial, SI.
    #[allow(dead_code, reason = "not every small plant has one")]
    pub fn dial(&mut self, tag: &str, x: f64) {
        let id = self.0.control(&Tag::new(tag)).unwrap_or_else(|| panic!("there is a control {tag}"));
        self.0.order(id, Order::Dial(x)).unwrap();
    }

    /// Sets a failing.
    pub fn fail(&mut self, tag: &str, kind: &str, acting: bool, size: Option<f64>) {
        let id = self.0.failing(&Tag::new(tag), kind).unwrap_or_else(|| panic!("{tag} can be {kind}"));
        self.0.set_failing(id, acting, size).unwrap();
    }

    /// What is true at a point, SI.
    pub fn actual(&self, tag: &str) -> f64 {
        self.0.actual(self.0.point(&Tag::new(tag)).unwrap_or_else(|| panic!("there is a point {tag}"))).0
    }

    /// Gauge pressure, bar.
    pub fn barg(&self, tag: &str) -> f64 {
        (self.actual(tag) - base::units::ATMOSPHERE) / 1e5
    }

    /// Temperature, degC.
    pub fn celsius(&self, tag: &str) -> f64 {
        self.actual(tag) - base::units::CELSIUS_ZERO
    }

    /// Goes on for some seconds.
    pub fn run(&mut self, seconds: f64) {
        for _ in 0..(seconds * 10.0).round() as u32 {
            self.0.control_pass();
            self.0.step().unwrap();
        }
    }

    /// Goes on until something holds; the seconds that took.
    pub fn until(&mut self, what: &str, most: f64, holds: impl Fn(&Hand) -> bool) -> f64 {
        let mut ticks = 0u32;
        while !holds(self) {
            assert!(f64::from(ticks) < most * 10.0, "{what}: not within {most} s");
            self.run(0.1);
            ticks += 1;
        }
        f64::from(ticks) * 0.1
    }
}
