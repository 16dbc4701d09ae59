//! What the plant offers to the layers above: points, controls, failings, trips and damage, each
//! by a small index that never changes after assembly.

use base::Tag;
use base::record::Layer;
use base::units::Unit;

/// A point by its place in [`crate::Plant::points`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct PointId(pub u16);
/// A control by its place in [`crate::Plant::controls`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct ControlId(pub u16);
/// A failing by its place in [`crate::Plant::failings`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct FailingId(pub u16);

/// A surrounding by its place in [`crate::Plant::surroundings`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct SurroundingId(pub u16);

/// Something that has a true value on every tick, and mostly a signal: an instrument, a limit
/// switch, or the state of a component itself.
#[derive(Clone, Debug, PartialEq)]
pub struct Point {
    /// Its tag.
    pub tag: Tag,
    /// What people call it.
    pub name: String,
    /// Index into the description's systems.
    pub system: usize,
    /// Where it is, for whoever walks there.
    pub place: String,
    /// The unit people read it in; its dimension is the point's.
    pub unit: &'static Unit,
    /// The instrument's range, SI.
    pub range: (f64, f64),
    /// For a state: what 0 and 1 are called ("shut", "open").
    pub words: Option<(&'static str, &'static str)>,
    /// Whether a transmitter or switch sends it anywhere. Without one it can only be read on the spot.
    pub has_signal: bool,
}

impl Point {
    /// A value of this point as people read it.
    #[must_use]
    pub fn tell(&self, si: f64) -> String {
        match self.words {
            Some((off, on)) => (if si >= 0.5 { on } else { off }).to_owned(),
            None => self.unit.tell(si),
        }
    }
}

/// Where a control is worked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Worked {
    /// From the panel, at once.
    OnThePanel,
    /// On the spot, by the helper, who has to walk.
    OnTheSpot,
}

/// Something a trainee may operate.
#[derive(Clone, Debug, PartialEq)]
pub struct Control {
    /// Its tag.
    pub tag: Tag,
    /// What people call it.
    pub name: String,
    /// Index into the description's systems.
    pub system: usize,
    /// Where it is.
    pub place: String,
    /// Panel or spot.
    pub worked: Worked,
    /// The words it can be set to: "open", "shut", "start", "stop", "auto" …
    pub words: Vec<&'static str>,
    /// A dial, if it has one.
    pub dial: Option<Dial>,
}

/// A continuous setting.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dial {
    /// Unit on the scale.
    pub unit: &'static Unit,
    /// Least setting, SI.
    pub min: f64,
    /// Greatest setting, SI.
    pub max: f64,
}

/// What a control is asked to do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Order {
    /// One of the control's words, by index.
    Word(usize),
    /// A dial setting, SI.
    Dial(f64),
}

/// How a control stands.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Setting {
    /// Index of the word in force, if the control keeps one (a push button keeps none).
    pub word: Option<usize>,
    /// Dial setting, SI.
    pub dial: Option<f64>,
}

/// Something around the plant that changes while it runs, and that nobody at the panel has a hand in: weather, and
/// the power that a consumer of the ship takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Surrounding {
    /// What it is known by: "sea temperature", or the tag of a consumer.
    pub what: String,
    /// What people call it.
    pub name: String,
    /// A consumer of the ship, which can also be switched in and out.
    pub consumer: bool,
    /// Where it goes.
    pub scale: Dial,
}

/// Something that can go wrong with a component or an instrument in the plant.
#[derive(Clone, Debug, PartialEq)]
pub struct Failing {
    /// The component.
    pub on: Tag,
    /// Its kind in the fault table: "seized", "passing", "trips" …
    pub kind: &'static str,
    /// Actual when it is in the plant itself, signal when it is in a transmitter or switch.
    pub layer: Layer,
    /// How big it may be, when it has a size.
    pub size: Option<Size>,
    /// What a trainee may see.
    pub seen: &'static str,
    /// What answers it.
    pub answer: &'static str,
}

/// The size of a failing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Size {
    /// What it measures, for people.
    pub what: &'static str,
    /// Unit.
    pub unit: &'static Unit,
    /// Least, SI.
    pub min: f64,
    /// Greatest, SI.
    pub max: f64,
    /// Taken when none is given; `None` when leaving it out means something of its own (a valve
    /// seized where it stands).
    pub default: Option<f64>,
    /// The size at which nothing is wrong, SI, from which a failing grows; `None` when it cannot grow: its
    /// size is a place and no amount.
    pub sound: Option<f64>,
}

impl Size {
    /// Whether a failing can be this big, SI: within its range, or on its way there from sound.
    #[must_use]
    pub fn takes(&self, size: f64) -> bool {
        let (low, high) = self.sound.map_or((self.min, self.max), |s| (self.min.min(s), self.max.max(s)));
        (low..=high).contains(&size)
    }

    /// An error of something with this unit and span. A tenth of the span when none is given: plain to see on
    /// the gauge, and within its scale (own choice).
    #[must_use]
    pub fn error(unit: &'static Unit, span: f64) -> Size {
        // A percentage's difference is a percentage of the same thing.
        let apart = unit.dimension.difference();
        let usual = if apart == unit.dimension { None } else { base::units::units_of(apart).next() };
        let unit = usual.unwrap_or(unit);
        Size { what: "error", unit, min: -span, max: span, default: Some(0.1 * span), sound: Some(0.0) }
    }

    /// How fast an instrument wanders, as a part of its range. A hundredth a minute when none is given (own
    /// choice: misleading after some minutes).
    #[must_use]
    pub fn drift() -> Size {
        let unit = unit_of("percentage points/min");
        let (most, default) = (0.2 / 60.0, Some(0.01 / 60.0));
        Size { what: "part of its range", unit, min: -most, max: most, default, sound: Some(0.0) }
    }

    /// How far an instrument dances to either side, as a part of its range. A fiftieth when none is given (own
    /// choice: twice what the accuracy class of a panel instrument hides).
    #[must_use]
    pub fn noise() -> Size {
        let unit = unit_of("% of range");
        Size { what: "to either side", unit, min: 0.0, max: 0.5, default: Some(0.02), sound: Some(0.0) }
    }

    /// The time constant that makes an instrument slow. Half a minute when none is given (own choice).
    #[must_use]
    pub fn slow() -> Size {
        Size { what: "time constant", unit: unit_of("s"), min: 0.0, max: 600.0, default: Some(30.0), sound: Some(0.0) }
    }

    /// Reading over truth of a gauge with the dial of another range. 16 to 10 when none is given: the dials of
    /// two neighbouring ranges (EN 837-1, from memory).
    #[must_use]
    pub fn scale() -> Size {
        let unit = unit_of("none");
        Size { what: "reading over truth", unit, min: 0.1, max: 10.0, default: Some(1.6), sound: Some(1.0) }
    }
}

/// A unit of the table by its symbol.
fn unit_of(symbol: &str) -> &'static Unit {
    base::units::unit(symbol).expect("units named in the code are in the table")
}

/// A protection that latches.
#[derive(Clone, Debug, PartialEq)]
pub struct Trip {
    /// Its tag.
    pub tag: Tag,
    /// What it protects.
    pub name: String,
}
