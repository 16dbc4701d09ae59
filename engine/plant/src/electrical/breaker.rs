//! A circuit breaker that takes its time.
//!
//! From the order to the touch of its contacts goes the closing time, from the trip to their parting the opening time;
//! an order may come at any instant within a tick, and the instant of contact is kept to rounding, so that whoever
//! steps the network can end a step there. A trip that comes while it closes wins. Units: s.
//! Figures: 60 to 100 ms to close and 30 to 60 ms to open are makers' classes of value (from memory).

/// A breaker's data.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BreakerParams {
    /// From order to contact, s.
    pub closing: f64,
    /// From trip to parting, s.
    pub opening: f64,
}

/// What can be wrong with it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct BreakerFailing {
    /// It does not close.
    pub will_not_close: bool,
    /// It falls out, and does so again as long as this lasts.
    pub falls_out: bool,
    /// It is thrown out together with all others, and again as long as this lasts.
    pub thrown_out: bool,
}

base::kept!(BreakerFailing { will_not_close, falls_out, thrown_out });

/// What its contacts did.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Contact {
    /// They touched.
    Touched,
    /// They parted.
    Parted,
}

/// A breaker and its state.
#[derive(Clone, Debug, PartialEq)]
pub struct Breaker {
    params: BreakerParams,
    /// What is wrong with it.
    pub failing: BreakerFailing,
    closed: bool,
    /// Where the contacts go, and when they arrive, s.
    moving: Option<(bool, f64)>,
}

base::kept!(Breaker { failing, closed, moving } fixed { params });

impl Breaker {
    /// An open or closed breaker.
    #[must_use]
    pub fn new(params: BreakerParams, closed: bool) -> Breaker {
        Breaker { params, failing: BreakerFailing::default(), closed, moving: None }
    }

    /// Its data.
    #[must_use]
    pub fn params(&self) -> BreakerParams {
        self.params
    }

    /// Its contacts touch.
    #[must_use]
    pub fn is_closed(&self) -> bool {
        self.closed
    }

    /// Its contacts are on the way to touching.
    #[must_use]
    pub fn is_closing(&self) -> bool {
        matches!(self.moving, Some((true, _)))
    }

    /// Orders it to close, `after` seconds from now. Returns whether it obeys.
    pub fn close(&mut self, after: f64) -> bool {
        if self.failing.will_not_close || self.failing.falls_out || self.failing.thrown_out {
            return false;
        }
        if !self.closed && self.moving.is_none() {
            self.moving = Some((true, after + self.params.closing));
        }
        true
    }

    /// Trips it: by hand or by a relay.
    pub fn trip(&mut self) {
        if self.is_closing() {
            self.moving = None;
        } else if self.closed && self.moving.is_none() {
            self.moving = Some((false, self.params.opening));
        }
    }

    /// Seconds until its contacts touch or part.
    #[must_use]
    pub fn next(&self) -> Option<f64> {
        self.moving.map(|m| m.1)
    }

    /// Time goes on by `dt` seconds, no further than [`Breaker::next`] tells.
    pub fn advance(&mut self, dt: f64) -> Option<Contact> {
        if (self.failing.falls_out || self.failing.thrown_out) && self.closed {
            self.trip();
        }
        let (to, left) = self.moving?;
        // Less than a nanosecond is rounding of the sum of steps.
        if left > dt + 1e-9 {
            self.moving = Some((to, left - dt));
            return None;
        }
        (self.moving, self.closed) = (None, to);
        Some(if to { Contact::Touched } else { Contact::Parted })
    }

    /// Opened at once, for a supply that is gone or a prepared start.
    pub fn set(&mut self, closed: bool) {
        (self.moving, self.closed) = (None, closed);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FAST: BreakerParams = BreakerParams { closing: 0.08, opening: 0.05 };

    #[test]
    fn it_touches_and_parts_in_its_time() {
        let mut b = Breaker::new(FAST, false);
        assert!(b.close(0.03));
        assert_eq!(b.advance(0.1), None);
        assert!((b.next().unwrap() - 0.01).abs() < 1e-12);
        let left = b.next().unwrap();
        assert_eq!(b.advance(left), Some(Contact::Touched));
        b.trip();
        assert!(b.is_closed());
        assert_eq!(b.advance(0.05), Some(Contact::Parted));
        assert!(!b.is_closed() && b.next().is_none());
    }

    #[test]
    fn a_trip_wins_over_a_closing() {
        let mut b = Breaker::new(FAST, false);
        b.close(0.0);
        b.advance(0.04);
        b.trip();
        assert_eq!(b.advance(10.0), None);
        assert!(!b.is_closed());
    }

    #[test]
    fn failings() {
        let mut b = Breaker::new(FAST, false);
        b.failing.will_not_close = true;
        assert!(!b.close(0.0) && b.next().is_none());
        let mut b = Breaker::new(FAST, true);
        b.failing.falls_out = true;
        assert_eq!(b.advance(0.05), Some(Contact::Parted));
        assert!(!b.close(0.0));
    }
}
