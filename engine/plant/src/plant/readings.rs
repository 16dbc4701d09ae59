//! What is true and what is said at the plant's points.

use super::Plant;
use crate::instruments::{Actual, Signal};
use crate::registry::PointId;
use crate::round::all_finite;

impl Plant {
    /// What is true at a point, SI.
    #[must_use]
    pub fn actual(&self, point: PointId) -> Actual {
        Actual(self.actual[usize::from(point.0)])
    }

    /// The true values of all points, in their order, SI.
    #[must_use]
    pub fn actuals(&self) -> &[f64] {
        &self.actual
    }

    /// The signals of all points, in their order, SI.
    #[must_use]
    pub fn signals(&self) -> &[f64] {
        &self.signal
    }

    /// What its transmitter or switch says, SI; the actual value where there is none.
    #[must_use]
    pub fn signal(&self, point: PointId) -> Signal {
        Signal(self.signal[usize::from(point.0)])
    }

    /// The first point whose true value or signal is no number.
    #[must_use]
    pub fn not_a_number(&self) -> Option<PointId> {
        if (self.parts.numbers || all_finite(&self.actual)) && all_finite(&self.signal) {
            return None;
        }
        let both = self.actual.iter().zip(&self.signal);
        both.into_iter().position(|(a, s)| !(a.is_finite() && s.is_finite())).map(|i| PointId(i as u16))
    }
}
