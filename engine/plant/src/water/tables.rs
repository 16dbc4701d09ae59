//! The tables: grids, columns, and the bits themselves.
//!
//! Made by `examples/make_water_tables.rs` from IAPWS-IF97 and embedded as little-endian doubles,
//! decoded by the compiler, so that the program reads the same bits everywhere and starts without
//! work. Slopes are stored multiplied by the grid's step.

/// Specific gas constant of water, J/(kg K): IAPWS R7-97(2012), equation 1.
pub const VAPOUR_CONSTANT: f64 = 461.526;
/// First temperature of the grid, K.
pub const T_FIRST: f64 = 273.15;
/// Step of the temperature grid, K.
pub const T_STEP: f64 = 2.5;
/// Temperatures of the whole grid: to 873.15 K.
pub const SCALE_NODES: usize = 241;
/// Temperatures of the saturation line: to 598.15 K, 120.5 bar.
pub const SATURATION_NODES: usize = 131;
/// Nodes of the vapour over `s`, pressure as a part of the pressure scale: 0 to 1.125, 1 being saturation.
pub const S_NODES: usize = 37;
/// Step of `s`. A power of two, so that `s = 1` is a node to the bit.
pub const S_STEP: f64 = 0.03125;
/// First fourth root of saturation pressure of the inverse grid, Pa^(1/4).
pub const ROOT_FIRST: f64 = 4.9722;
/// Step of the inverse grid.
pub const ROOT_STEP: f64 = 0.2;
/// Nodes of the inverse grid.
pub const ROOT_NODES: usize = 271;

/// Columns of a row of the pressure scale.
pub(crate) const SCALE_WIDTH: usize = 4;
/// Columns of a row of the saturation line.
pub(crate) const SATURATION_WIDTH: usize = 20;
/// Columns of a vapour node.
pub(super) const VAPOUR_WIDTH: usize = 8;

const SCALE_LEN: usize = SCALE_NODES * SCALE_WIDTH;
const SATURATION_LEN: usize = SATURATION_NODES * SATURATION_WIDTH;
const VAPOUR_LEN: usize = SCALE_NODES * S_NODES * VAPOUR_WIDTH;
const ROOT_LEN: usize = ROOT_NODES * 2;
const LEN: usize = SCALE_LEN + SATURATION_LEN + VAPOUR_LEN + ROOT_LEN;

static BYTES: &[u8; LEN * 8] = include_bytes!("tables.bin");

// The lint guards against endless loops in constants; this one is bounded by the file.
#[allow(long_running_const_eval)]
const fn decode<const N: usize>(first: usize) -> [f64; N] {
    let mut out = [0.0; N];
    let mut i = 0;
    let b: &[u8; LEN * 8] = include_bytes!("tables.bin");
    while i < N {
        let k = (first + i) * 8;
        out[i] = f64::from_le_bytes([b[k], b[k + 1], b[k + 2], b[k + 3], b[k + 4], b[k + 5], b[k + 6], b[k + 7]]);
        i += 1;
    }
    out
}

pub(crate) static SCALE: [f64; SCALE_LEN] = decode(0);
pub(crate) static SATURATION: [f64; SATURATION_LEN] = decode(SCALE_LEN);
pub(super) static VAPOUR: [f64; VAPOUR_LEN] = decode(SCALE_LEN + SATURATION_LEN);
pub(super) static ROOT: [f64; ROOT_LEN] = decode(SCALE_LEN + SATURATION_LEN + VAPOUR_LEN);

/// The embedded bytes, for their checksum.
#[must_use]
pub fn bytes() -> &'static [u8] {
    BYTES
}

/// FNV-1a, 64 bits: enough to tell that the tables are the ones that were checked.
#[must_use]
pub fn checksum(bytes: &[u8]) -> u64 {
    let mut hash = 0xcbf2_9ce4_8422_2325u64;
    for &b in bytes {
        hash = (hash ^ u64::from(b)).wrapping_mul(0x0000_0100_0000_01b3);
    }
    hash
}

/// Where a value lies in a uniform grid: index of the cell and the place in it, 0 to 1 inside the grid.
/// Beyond the ends the last cell goes on, so that a look-up is total and smooth; whoever cares about
/// the range asks `water::in_range`.
#[inline]
pub(super) fn cell(x: f64, first: f64, step_inverse: f64, nodes: usize) -> (usize, f64) {
    let place = (x - first) * step_inverse;
    // A float-to-integer cast saturates, and NaN becomes 0 with the fraction still NaN: it shows in the result.
    // Through 32 bits, which takes the processor half the steps of 64.
    let i = (place as i32).clamp(0, nodes as i32 - 2);
    (i as usize, place - f64::from(i))
}

/// The four cubic Hermite weights in cell units and their slopes.
#[derive(Clone, Copy)]
pub(super) struct Hermite {
    w: [f64; 4],
    d: [f64; 4],
}

impl Hermite {
    #[inline]
    pub(super) fn at(x: f64) -> Hermite {
        let (x2, y) = (x * x, x - 1.0);
        let h01 = x2 * (3.0 - 2.0 * x);
        let d01 = -6.0 * x * y;
        Hermite { w: [1.0 - h01, x * y * y, h01, x2 * y], d: [-d01, y * (3.0 * x - 1.0), d01, x * (3.0 * x - 2.0)] }
    }
    /// Value and slope (in cell units) from two nodes' value and slope.
    #[inline]
    pub(super) fn both(&self, a: f64, ma: f64, b: f64, mb: f64) -> (f64, f64) {
        let (w, d) = (&self.w, &self.d);
        (w[0] * a + w[1] * ma + w[2] * b + w[3] * mb, d[0] * a + d[1] * ma + d[2] * b + d[3] * mb)
    }
    /// Value alone.
    #[inline]
    pub(super) fn value(&self, a: f64, ma: f64, b: f64, mb: f64) -> f64 {
        self.w[0] * a + self.w[1] * ma + self.w[2] * b + self.w[3] * mb
    }
}
