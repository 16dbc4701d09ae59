//! Seeded random streams, one a purpose, so that a new use never shifts an old one.

/// A stream of pseudo-random numbers (SplitMix64; Steele, Lea, Flood, "Fast splittable
/// pseudorandom number generators", OOPSLA 2014).
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stream {
    state: u64,
}

crate::kept!(Stream { state });

impl Stream {
    /// The stream of a run's `seed` for one named purpose.
    #[must_use]
    pub fn new(seed: u64, purpose: &str) -> Stream {
        // FNV-1a of the purpose keeps streams apart.
        let mut h: u64 = 0xcbf2_9ce4_8422_2325;
        for b in purpose.bytes() {
            h = (h ^ u64::from(b)).wrapping_mul(0x0000_0100_0000_01b3);
        }
        let mut s = Stream { state: seed ^ h };
        s.bits();
        s
    }

    /// The next 64 bits.
    pub fn bits(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.state;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A number in `[0, 1)`.
    pub fn unit(&mut self) -> f64 {
        (self.bits() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// A number in `[low, high)`.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// A whole number in `0..n` (zero for `n` = 0), by widening multiplication.
    pub fn below(&mut self, n: u64) -> u64 {
        ((u128::from(self.bits()) * u128::from(n)) >> 64) as u64
    }

    /// True with probability `p`.
    pub fn chance(&mut self, p: f64) -> bool {
        self.unit() < p
    }

    /// A standard normal number (Box and Muller 1958).
    pub fn normal(&mut self) -> f64 {
        let u = 1.0 - self.unit();
        let v = self.unit();
        crate::maths::sqrt(-2.0 * crate::maths::ln(u)) * crate::maths::cos(std::f64::consts::TAU * v)
    }
}

#[cfg(test)]
mod tests {
    use super::Stream;

    /// First outputs of SplitMix64 from state 1234567, as printed in the Rosetta Code task
    /// "Pseudo-random numbers/Splitmix64".
    #[test]
    fn agrees_with_the_published_sequence() {
        let mut s = Stream { state: 1_234_567 };
        let got: Vec<u64> = (0..5).map(|_| s.bits()).collect();
        assert_eq!(
            got,
            [
                6_457_827_717_110_365_317,
                3_203_168_211_198_807_973,
                9_817_491_932_198_370_423,
                4_593_380_528_125_082_431,
                16_408_922_859_458_223_821
            ]
        );
    }

    #[test]
    fn purposes_are_independent_and_seeds_repeat() {
        let a: Vec<u64> = {
            let mut s = Stream::new(7, "a");
            (0..4).map(|_| s.bits()).collect()
        };
        let b: Vec<u64> = {
            let mut s = Stream::new(7, "b");
            (0..4).map(|_| s.bits()).collect()
        };
        let c: Vec<u64> = {
            let mut s = Stream::new(7, "a");
            (0..4).map(|_| s.bits()).collect()
        };
        assert_ne!(a, b);
        assert_eq!(a, c);
    }
}
