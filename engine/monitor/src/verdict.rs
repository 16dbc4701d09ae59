//! What is known of a formula's truth at one tick.
//!
//! Truth is a field of its own: it is never read off the sign of a robustness, which is 0 at
//! equality whether the comparison is strict or not.
//!
//! "Undecided" is careful: a window that was cut is open in all ticks beyond the end, also where a part
//! that looks back could already be told there. What is kept or broken is final; what is undecided
//! might not have been open to a cleverer reasoning.
//!
//! Two things can stand between a formula and its truth: a sample that is not a number, and a window
//! that runs past the end of the run. [`Truth`] keeps, for each, the least and the most that can be
//! said, as four bits, so that "and" and "or" over any window are plain bit operations (which keeps
//! them associative and distributive, as the sliding windows need).

/// The verdict on a formula at one tick.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// True.
    Kept,
    /// False.
    Broken,
    /// The window was cut by the end of the run, and what lies beyond could change the answer.
    Undecided,
    /// A sample that decides was not a number.
    Unknown,
}

/// Truth with what is missing from it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Truth(u8);

/// True whatever the missing samples and the ticks beyond the end may be.
const SURELY: u8 = 1;
/// True for some value of the missing samples and of the ticks beyond the end.
const POSSIBLY: u8 = 2;
/// True whatever the missing samples may be, with windows cut at the end of the run.
const SURELY_SEEN: u8 = 4;
/// True for some value of the missing samples, with windows cut at the end of the run.
const POSSIBLY_SEEN: u8 = 8;

impl Truth {
    /// True.
    pub const TRUE: Truth = Truth(SURELY | POSSIBLY | SURELY_SEEN | POSSIBLY_SEEN);
    /// False.
    pub const FALSE: Truth = Truth(0);
    /// A sample is not a number.
    pub const UNKNOWN: Truth = Truth(POSSIBLY | POSSIBLY_SEEN);
    /// Beyond the end of the run, as seen by "at some tick": false as far as was seen.
    pub(crate) const BEYOND: Truth = Truth(POSSIBLY);

    /// True as far as was seen, and open beyond the end of the run.
    pub(crate) const OPEN: Truth = Truth(POSSIBLY | SURELY_SEEN | POSSIBLY_SEEN);

    /// True or false.
    #[must_use]
    pub fn of(holds: bool) -> Truth {
        if holds { Truth::TRUE } else { Truth::FALSE }
    }

    /// Both.
    #[must_use]
    pub fn and(self, other: Truth) -> Truth {
        Truth(self.0 & other.0)
    }

    /// Either.
    #[must_use]
    pub fn or(self, other: Truth) -> Truth {
        Truth(self.0 | other.0)
    }

    /// The opposite: what is sure of one is impossible of the other.
    #[must_use]
    #[allow(clippy::should_implement_trait)] // one of the three connectives, side by side
    pub fn not(self) -> Truth {
        let swapped = ((self.0 & (SURELY | SURELY_SEEN)) << 1) | ((self.0 & (POSSIBLY | POSSIBLY_SEEN)) >> 1);
        Truth(!swapped & Truth::TRUE.0)
    }

    /// The verdict. Where both the end of the run and a sample that is not a number stand in the
    /// way, it is unknown when the sample alone would, on the ticks that were seen.
    #[must_use]
    pub fn verdict(self) -> Verdict {
        if self.0 & SURELY != 0 {
            Verdict::Kept
        } else if self.0 & POSSIBLY == 0 {
            Verdict::Broken
        } else if self.seen() == Verdict::Unknown {
            Verdict::Unknown
        } else {
            Verdict::Undecided
        }
    }

    /// The verdict on the ticks that were seen, with windows cut at the end of the run as robustness
    /// cuts them: never undecided.
    #[must_use]
    pub fn seen(self) -> Verdict {
        if self.0 & SURELY_SEEN != 0 {
            Verdict::Kept
        } else if self.0 & POSSIBLY_SEEN == 0 {
            Verdict::Broken
        } else {
            Verdict::Unknown
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_side_can_decide_alone() {
        for missing in [Truth::UNKNOWN, Truth::BEYOND] {
            assert_eq!(missing.and(Truth::FALSE).verdict(), Verdict::Broken);
            assert_eq!(missing.or(Truth::TRUE).verdict(), Verdict::Kept);
        }
        assert_eq!(Truth::UNKNOWN.and(Truth::TRUE).verdict(), Verdict::Unknown);
        assert_eq!(Truth::BEYOND.or(Truth::FALSE).verdict(), Verdict::Undecided);
        assert_eq!(Truth::BEYOND.or(Truth::FALSE).seen(), Verdict::Broken);
        assert_eq!(Truth::BEYOND.not().seen(), Verdict::Kept);
    }

    #[test]
    fn not_twice_is_nothing() {
        for t in [Truth::TRUE, Truth::FALSE, Truth::UNKNOWN, Truth::BEYOND, Truth::BEYOND.not()] {
            assert_eq!(t.not().not(), t);
        }
        assert_eq!(Truth::TRUE.not(), Truth::FALSE);
        assert_eq!(Truth::UNKNOWN.not(), Truth::UNKNOWN);
    }
}
