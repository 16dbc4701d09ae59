//! From water volume to level: the shape of a drum.
//!
//! Levels are metres from the normal water level, upwards. The cylinder lies down with flat ends; its
//! segment of area `A = r2/2 (t - sin t)` is solved for the angle t by Newton's method from a series, to
//! rounding over the whole range.

use base::maths;
use core::f64::consts::{PI, TAU};

/// The shape of a drum.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum DrumShape {
    /// Upright walls: the level is volume over area.
    Prism {
        /// Free surface, m2.
        area: f64,
        /// Height inside, m.
        height: f64,
    },
    /// A cylinder that lies down.
    Cylinder {
        /// Radius inside, m.
        radius: f64,
        /// Length inside, m.
        length: f64,
    },
}

/// Where a volume stands in a shape.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Stand {
    /// Height above the bottom, m.
    pub height: f64,
    /// Free surface, m2; zero at top and bottom of a cylinder.
    pub surface: f64,
    /// Part of the wall below the surface.
    pub wetted: f64,
}

base::kept!(Stand { height, surface, wetted });

impl DrumShape {
    /// Volume of the whole, m3.
    #[must_use]
    pub fn volume(&self) -> f64 {
        match *self {
            DrumShape::Prism { area, height } => area * height,
            DrumShape::Cylinder { radius, length } => PI * radius * radius * length,
        }
    }

    /// Height inside, m.
    #[must_use]
    pub fn height(&self) -> f64 {
        match *self {
            DrumShape::Prism { height, .. } => height,
            DrumShape::Cylinder { radius, .. } => 2.0 * radius,
        }
    }

    /// Volume up to a height above the bottom, m3: the inverse of [`DrumShape::stand`].
    #[must_use]
    pub fn volume_to(&self, height: f64) -> f64 {
        match *self {
            DrumShape::Prism { area, height: top } => area * height.clamp(0.0, top),
            DrumShape::Cylinder { radius: r, length } => {
                let t = 2.0 * maths::acos((1.0 - height / r).clamp(-1.0, 1.0));
                0.5 * r * r * length * (t - maths::sin(t))
            }
        }
    }

    /// How a volume stands in it. Below empty and above full it stands at the bottom and the top: there
    /// is no level outside a drum.
    #[must_use]
    pub fn stand(&self, volume: f64) -> Stand {
        match *self {
            DrumShape::Prism { area, height } => {
                let h = (volume / area).clamp(0.0, height);
                Stand { height: h, surface: area, wetted: h / height }
            }
            DrumShape::Cylinder { radius, length } => {
                let part = (volume / (radius * radius * length)).clamp(0.0, PI);
                let t = segment(part);
                let (sine, cosine) = maths::sin_cos(0.5 * t);
                Stand { height: radius * (1.0 - cosine), surface: 2.0 * radius * sine * length, wetted: t / TAU }
            }
        }
    }
}

/// The angle t with `(t - sin t)/2 = part`, for `part` from 0 to pi.
fn segment(part: f64) -> f64 {
    let upper = part > 0.5 * PI;
    let a = 2.0 * if upper { PI - part } else { part };
    // t3/6 - t5/120 + ... = a
    let c = maths::cbrt(6.0 * a);
    let c2 = c * c;
    let mut t = c * (1.0 + c2 / 60.0 + c2 * c2 / 1400.0);
    if t > 1e-3 {
        for _ in 0..2 {
            let (sine, cosine) = maths::sin_cos(t);
            t -= (t - sine - a) / (1.0 - cosine);
        }
    }
    if upper { TAU - t } else { t }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn volume_and_height_are_each_others_inverse() {
        for shape in [DrumShape::Prism { area: 3.0, height: 1.5 }, DrumShape::Cylinder { radius: 0.6, length: 4.0 }] {
            for part in [0.0, 0.1, 0.35, 0.5, 0.8, 1.0] {
                let h = part * shape.height();
                assert!((shape.stand(shape.volume_to(h)).height - h).abs() < 1e-9, "{shape:?} at {h}");
            }
        }
    }

    #[test]
    fn a_lying_cylinder_by_its_segments() {
        let d = DrumShape::Cylinder { radius: 0.6, length: 4.0 };
        for k in 0..=1000 {
            let t = TAU * f64::from(k) / 1000.0;
            let volume = 0.5 * 0.36 * (t - maths::sin(t)) * 4.0;
            let s = d.stand(volume);
            let height = 0.6 * (1.0 - maths::cos(0.5 * t));
            assert!((s.height - height).abs() < 2e-8, "{t} {}", s.height - height);
            assert!((s.wetted - t / TAU).abs() < 1e-5);
        }
        assert_eq!(d.stand(-1.0).height, 0.0);
        assert!((d.stand(99.0).height - 1.2).abs() < 1e-12);
        assert!((d.stand(0.5 * d.volume()).surface - 4.8).abs() < 1e-9);
    }

    #[test]
    fn a_prism_is_volume_over_area() {
        let d = DrumShape::Prism { area: 20.0, height: 2.0 };
        assert_eq!(d.stand(15.0).height, 0.75);
        assert_eq!(d.volume(), 40.0);
    }
}
