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
}

/// A protection that latches.
#[derive(Clone, Debug, PartialEq)]
pub struct Trip {
    /// Its tag.
    pub tag: Tag,
    /// What it protects.
    pub name: String,
}
