//! Transmitters and switches: from what is true to what is said.

/// A true value, SI.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Actual(pub f64);

/// What a transmitter or switch says, SI.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Signal(pub f64);
