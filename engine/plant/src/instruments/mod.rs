//! What the plant says of itself: transmitters and switches.
//!
//! An [`Actual`] is true; a [`Signal`] is what an instrument says of it. Controllers and trips act on
//! signals only, and the two are different types so that the compiler holds everybody to it.

pub mod switch;
pub mod transmitter;

pub use switch::{Acts, Switch, SwitchFailing, Threshold, ThresholdParams};
pub use transmitter::{End, SATURATION, Transmitter, TransmitterFailing, TransmitterParams};

/// A value as it is in the plant, SI. Truth values are 1.0 and 0.0.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Actual(pub f64);

/// A value as an instrument says it, SI. Truth values are 1.0 and 0.0.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Signal(pub f64);

impl base::kept::Kept for Signal {
    fn shape(shape: &mut base::kept::Shape) {
        shape.name("signal");
    }
    fn put(&self, out: &mut Vec<u8>) {
        self.0.put(out);
    }
    fn take(&mut self, from: &mut base::kept::Bytes) -> Result<(), base::kept::Misfit> {
        self.0.take(from)
    }
}

impl Signal {
    /// A switch's signal.
    #[must_use]
    pub fn of(on: bool) -> Signal {
        Signal(f64::from(u8::from(on)))
    }

    /// Whether a switch's signal says yes.
    #[must_use]
    pub fn is_on(self) -> bool {
        self.0 >= 0.5
    }
}
