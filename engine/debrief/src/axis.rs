//! Round numbers along an axis.

use crate::words;
use base::Tick;
use base::tick::TICKS_PER_SECOND;

/// A value axis: its ends and the values that carry a label.
#[derive(Clone, Debug, PartialEq)]
pub struct Axis {
    /// Lowest value drawn.
    pub low: f64,
    /// Highest value drawn.
    pub high: f64,
    /// Values with a label, rising.
    pub labels: Vec<f64>,
    /// Decimals that the labels need.
    pub decimals: usize,
}

impl Axis {
    /// An axis that holds both values, with about four steps of 1, 2 or 5 times a power of ten.
    pub fn around(low: f64, high: f64) -> Axis {
        // A flat line lies in the middle of a band of a tenth of its size.
        let (low, high) = if high - low > 1e-9 * (high.abs() + low.abs()) {
            (low, high)
        } else {
            let half = (low.abs() * 0.05).max(0.5);
            (low - half, high + half)
        };
        let rough = (high - low) / 4.0;
        let (mut power, mut decimals) = (1.0, 0_usize);
        while power * 10.0 <= rough {
            power *= 10.0;
        }
        while power > rough {
            power /= 10.0;
            decimals += 1;
        }
        let step = [1.0, 2.0, 5.0, 10.0].into_iter().map(|m| m * power).find(|s| *s >= rough).unwrap_or(10.0 * power);
        if step >= 10.0 * power {
            decimals = decimals.saturating_sub(1);
        }
        let first = (low / step + 1e-9).floor();
        let last = (high / step - 1e-9).ceil();
        let count = (last - first) as usize;
        let labels: Vec<f64> = (0..=count).map(|i| (first + i as f64) * step).collect();
        Axis { low: first * step, high: last * step, labels, decimals }
    }

    /// The axis of a state that is either 0 or 1.
    pub fn of_states() -> Axis {
        Axis { low: -0.1, high: 1.1, labels: vec![0.0, 1.0], decimals: 0 }
    }

    /// A value as its label stands beside the axis: a large one in powers of ten, since no more than some
    /// seven letters have room there.
    pub fn label(&self, value: f64) -> String {
        let greatest = self.low.abs().max(self.high.abs());
        if greatest >= 1e6 && value != 0.0 { format!("{value:e}") } else { words::number(value, self.decimals) }
    }

    /// How far up the axis a value lies: 0 at the bottom, 1 at the top.
    pub fn up(&self, value: f64) -> f64 {
        (value - self.low) / (self.high - self.low)
    }
}

/// Moments along a run that carry a label: every one of a round step, at most seven of them.
pub fn moments(end: Tick) -> Vec<Tick> {
    const STEPS: [u32; 13] = [1, 2, 5, 10, 20, 30, 60, 120, 300, 600, 900, 1200, 1800];
    let step = STEPS.into_iter().map(|s| s * TICKS_PER_SECOND).find(|s| end.0 / s <= 6).unwrap_or_else(|| {
        // Longer than three hours and a half: whole hours, as many as keep to the seven.
        let hour = 3600 * TICKS_PER_SECOND;
        hour * (end.0 / hour / 6 + 1)
    });
    (0..=end.0 / step).map(|i| Tick(i * step)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn axes_hold_their_values_on_round_numbers() {
        let a = Axis::around(0.13, 5.2);
        assert_eq!((a.low, a.high, a.decimals), (0.0, 6.0, 0));
        assert_eq!(a.labels, [0.0, 2.0, 4.0, 6.0]);
        let b = Axis::around(-0.031, 0.044);
        assert_eq!(b.decimals, 2);
        assert!(b.low <= -0.031 && b.high >= 0.044);
        assert!((b.up(b.high) - 1.0).abs() < 1e-12); // one rounding
    }

    #[test]
    fn every_label_has_room_beside_its_axis() {
        for (low, high) in [(0.0, 2.3e9), (-3e7, 1e6), (0.0, 999_999.0), (-0.031, 0.044), (-12_345.6, -12_345.1)] {
            let a = Axis::around(low, high);
            let labels: Vec<String> = a.labels.iter().map(|v| a.label(*v)).collect();
            assert!(labels.iter().all(|l| l.len() <= 8), "{labels:?}");
            assert!(labels.windows(2).all(|l| l[0] != l[1]), "{labels:?}");
        }
    }

    #[test]
    fn a_flat_line_still_has_an_axis() {
        for v in [0.0, 20.0, -3.0, 1e6] {
            let a = Axis::around(v, v);
            assert!(a.low < v && a.high > v, "{v}: {a:?}");
            assert!(a.labels.len() <= 7, "{v}: {a:?}");
        }
    }

    #[test]
    fn moments_are_few_and_round() {
        let eighty = moments(Tick(48_000));
        assert_eq!(eighty.len(), 6);
        assert_eq!(eighty[1], Tick(9_000));
        assert_eq!(moments(Tick(0)), [Tick(0)]);
        for end in [1, 77, 999, 12_345, 60_000, 400_000, 4_000_000] {
            assert!(moments(Tick(end)).len() <= 7, "{end}");
        }
    }
}
