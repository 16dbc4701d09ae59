//! A trip unit: several causes, each with its delay, latched, with the first one remembered.
//!
//! A cause that has stood for its delay trips the unit. The unit stays tripped until somebody resets
//! it by hand, which works only when no cause stands any more. The cause that tripped it stays
//! marked as the first out until the reset; of causes that come due on the same tick the one that is
//! listed first is it. Units: seconds.

/// One cause of a trip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CauseParams {
    /// How long it must stand, s.
    pub delay: f64,
}

#[derive(Clone, Debug, PartialEq)]
struct Cause {
    delay: f64,
    stood: f64,
    /// It stands now.
    stands: bool,
    /// It has come due since the last reset.
    came: bool,
    dead: bool,
}

base::kept!(Cause { stood, stands, came, dead } fixed { delay });

/// A trip unit and its state.
#[derive(Clone, Debug, PartialEq)]
pub struct TripUnit {
    causes: Vec<Cause>,
    tripped: bool,
    first: Option<usize>,
    /// The whole unit is dead: it never trips.
    pub dead: bool,
}

base::kept!(TripUnit { causes, tripped, first, dead });

impl TripUnit {
    /// A unit that is not tripped, with these causes.
    #[must_use]
    pub fn new(causes: &[CauseParams]) -> TripUnit {
        let cause = |c: &CauseParams| Cause { delay: c.delay, stood: 0.0, stands: false, came: false, dead: false };
        TripUnit { causes: causes.iter().map(cause).collect(), tripped: false, first: None, dead: false }
    }

    /// Whether it is tripped.
    #[must_use]
    pub fn is_tripped(&self) -> bool {
        self.tripped
    }

    /// The cause that tripped it, by its place in the list.
    #[must_use]
    pub fn first_out(&self) -> Option<usize> {
        self.first
    }

    /// Whether a cause has come due since the last reset, the first or a later one.
    #[must_use]
    pub fn came(&self, cause: usize) -> bool {
        self.causes[cause].came
    }

    /// Whether a cause stands now.
    #[must_use]
    pub fn stands(&self, cause: usize) -> bool {
        self.causes[cause].stands
    }

    /// Makes one cause dead, such as a low-water cut-out that no longer acts, or sound again.
    pub fn set_dead(&mut self, cause: usize, dead: bool) {
        self.causes[cause].dead = dead;
    }

    /// Looks for `dt` seconds at which causes are present, in the order of the list.
    ///
    /// # Panics
    /// When the list is not as long as the list of causes.
    pub fn step(&mut self, present: &[bool], dt: f64) -> bool {
        assert_eq!(present.len(), self.causes.len(), "one entry for each cause of the trip unit");
        for (i, (cause, &present)) in self.causes.iter_mut().zip(present).enumerate() {
            cause.stands = present && !cause.dead && !self.dead;
            cause.stood = if cause.stands { cause.stood + dt } else { 0.0 };
            // A thousandth of a tick is rounding of the sum, not time.
            if cause.stands && (cause.delay <= 0.0 || cause.stood > cause.delay + 1e-4 * dt) {
                cause.came = true;
                if !self.tripped {
                    self.tripped = true;
                    self.first = Some(i);
                }
            }
        }
        self.tripped
    }

    /// Trips it by hand or from outside, with no cause marked.
    pub fn trip(&mut self) {
        self.tripped = true;
    }

    /// Resets it by hand.
    ///
    /// # Errors
    /// The first cause that still stands; the unit stays tripped.
    pub fn reset(&mut self) -> Result<(), usize> {
        if let Some(standing) = self.causes.iter().position(|c| c.stands) {
            return Err(standing);
        }
        self.tripped = false;
        self.first = None;
        for cause in &mut self.causes {
            cause.came = false;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn unit() -> TripUnit {
        TripUnit::new(&[CauseParams { delay: 1.0 }, CauseParams { delay: 0.0 }, CauseParams { delay: 0.0 }])
    }

    #[test]
    fn it_latches_and_remembers_the_first() {
        let mut t = unit();
        for _ in 0..5 {
            assert!(!t.step(&[true, false, false], 0.1));
        }
        assert!(t.step(&[true, false, true], 0.1));
        for _ in 0..20 {
            t.step(&[true, true, false], 0.1);
        }
        assert_eq!(t.first_out(), Some(2));
        assert!(t.came(0) && t.came(1) && t.came(2));
        assert_eq!(t.reset(), Err(0));
        t.step(&[false, false, false], 0.1);
        assert!(t.is_tripped(), "only a hand resets it");
        assert_eq!(t.reset(), Ok(()));
        assert!(!t.is_tripped() && t.first_out().is_none() && !t.came(0));
    }

    #[test]
    fn a_cause_that_goes_within_its_delay_does_nothing() {
        let mut t = unit();
        for _ in 0..100 {
            for _ in 0..9 {
                assert!(!t.step(&[true, false, false], 0.1));
            }
            t.step(&[false, false, false], 0.1);
        }
        let ticks = (1..100).find(|_| t.step(&[true, false, false], 0.1));
        assert_eq!(ticks, Some(11));
    }

    #[test]
    fn dead_causes_and_a_dead_unit_do_not_act() {
        let mut t = unit();
        t.set_dead(1, true);
        assert!(!t.step(&[false, true, false], 0.1));
        t.set_dead(1, false);
        t.dead = true;
        assert!(!t.step(&[false, true, true], 0.1));
        t.dead = false;
        assert!(t.step(&[false, true, true], 0.1));
        assert_eq!(t.first_out(), Some(1), "of two on one tick the one listed first");
    }
}
