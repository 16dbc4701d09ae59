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

    /// Whether all true values and signals are numbers.
    ///
    /// # Errors
    /// A sentence that names the first point where one is not.
    pub(super) fn all_are_numbers(&self) -> Result<(), String> {
        if all_finite(&self.actual) && all_finite(&self.signal) {
            return Ok(());
        }
        let mut all = self.points().iter().zip(self.actual.iter().zip(&self.signal));
        let wrong = all.find(|(_, (a, s))| !(a.is_finite() && s.is_finite()));
        wrong.map_or(Ok(()), |(p, _)| Err(format!("{} ({}) is no longer a number", p.tag, p.name)))
    }
}

#[cfg(test)]
mod tests {
    use crate::small_plant::plant;

    const TANK: &str = "
        CF-1 | circuit | | fluid=fresh water
        T-1 | tank | in CF-1 | area 1 m2; height 2 m; elevation 3 m; level at start 1 m; temperature at start 20 degC
        N-1 | outside | in CF-1 | head 1 m; temperature 20 degC
        XV-1 | valve | from T-1; to N-1 | Kv 1 Kv; stroke time 5 s
        LT-1 | transmitter | of T-1 | reads=level; range=0 m to 2 m; lag 0.5 s";

    /// In what is true, and in what is said of something that is true.
    #[test]
    fn a_number_that_is_none_is_named_on_its_tick() {
        let mut plant = plant(TANK);
        assert_eq!(plant.step(), Ok(()));
        let mut said = plant.clone();
        plant.parts.tanks[0].tank.add(f64::NAN, 0.0);
        let told = plant.step().unwrap_err();
        assert!(told.starts_with("T-1 (") && told.ends_with("is no longer a number"), "{told}");
        said.parts.transmitters[0].transmitter.failing().offset = f64::NAN;
        let told = said.step().unwrap_err();
        assert!(told.starts_with("LT-1 ("), "{told}");
    }
}
