//! Carry-over: the water in the steam that leaves a drum.
//!
//! ```text
//! drops  w = nominal (j/j0 h0/h)^3          h not below the priming height, w at most 0.2
//! prime  w -> water of the mixture           as h goes from the priming height to 0
//! ```
//! j velocity of the steam through the surface, h height of the outlet above the swollen level. The cubes
//! are the momentum-controlled region of entrainment from a bubbling pool (Kataoka and Ishii, Int. J. Heat
//! Mass Transfer 27 (1984) 1999, from memory); the size, the greatest part of drops, and the priming as the
//! mixture itself reaches the outlet are our own choice.

/// Figures of the carry-over; see the head of the file.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CarryOver {
    /// Water in a kilogram of steam at nominal steam velocity and height.
    pub nominal: f64,
    /// j0, steam velocity through the surface, m/s.
    pub velocity: f64,
    /// h0, height from level to outlet, m.
    pub height: f64,
    /// Height below which the drum primes, m.
    pub priming: f64,
}

/// Most that drops can carry.
const DROPS_MOST: f64 = 0.2;

impl CarryOver {
    /// Water in a kilogram of steam: at a velocity through the surface, m/s, an outlet that is `height` m
    /// above it, and a mixture below it that holds `water` kg/kg.
    #[must_use]
    pub fn moisture(&self, velocity: f64, height: f64, water: f64) -> f64 {
        let ratio = velocity / self.velocity * (self.height / height.max(self.priming));
        let drops = (self.nominal * ratio * ratio * ratio).min(DROPS_MOST);
        let near = (1.0 - height / self.priming).max(0.0);
        drops + near * (water - drops).max(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rises_with_flow_and_level_to_the_mixture_itself() {
        let c = CarryOver { nominal: 0.001, velocity: 0.06, height: 0.6, priming: 0.12 };
        assert!((c.moisture(0.06, 0.6, 0.99) - 0.001).abs() < 1e-15);
        let mut last = 0.0;
        for k in 0..=60 {
            let w = c.moisture(0.06, 0.6 - 0.01 * f64::from(k), 0.99);
            assert!(w >= last && w - last < 0.15, "{k} {w}");
            last = w;
        }
        assert!((last - 0.99).abs() < 1e-9);
        assert!(c.moisture(0.12, 0.6, 0.99) > 7.9 * c.moisture(0.06, 0.6, 0.99));
    }
}
