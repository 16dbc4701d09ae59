//! A heat exchanger by effectiveness and number of transfer units.
//!
//! Equations: `NTU = UA/Cmin`, `Cr = Cmin/Cmax`, `q = eps(NTU, Cr) Cmin (T_hot,in - T_cold,in)`, with C = m c of
//! each side. Effectiveness in closed form for parallel, counterflow, one shell pass and crossflow with one
//! side mixed (Kays and London; Incropera and DeWitt, table 11.3 class of formula); crossflow with
//! both sides unmixed by Mason's series, whose terms are all positive; condensing or boiling sides have
//! `Cr = 0`. Conductance: `1/UA = (1/UA_n) ( (m_1n/m_1)^x/2 + (m_2n/m_2)^x/2 + fouling )`, x 0.8 for turbulent
//! flow on both sides (Dittus and Boelter) or 0 for a fixed conductance; the even sharing of the
//! resistance is own choice. `fouling` is the added resistance as a part of the clean one.
//! Assumptions: steady within a tick; the wall holds no heat; no loss outside.
//! Energy: the very same q leaves one side and enters the other.
//! Units: W, W/K, kg/s, J/(kg K), K.

use crate::liquid::{LinkId, Network};
use base::maths::{exp, pow, power, sqrt};

/// How the two sides run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Arrangement {
    /// Against each other: plate coolers.
    Counterflow,
    /// With each other.
    Parallel,
    /// Across each other, both sides unmixed.
    CrossflowUnmixed,
    /// The same by the usual approximate formula (within about 4 %, and cheaper).
    CrossflowUnmixedApproximate,
    /// Across each other, the side of the larger capacity flow mixed.
    CrossflowMaxMixed,
    /// Across each other, the side of the smaller capacity flow mixed.
    CrossflowMinMixed,
    /// One shell pass with two tube passes or a multiple.
    ShellAndTube,
    /// One side condenses or boils at one temperature.
    Condensing,
}

impl Arrangement {
    /// Effectiveness at a number of transfer units and a ratio of capacity flows from 0 to 1.
    #[must_use]
    pub fn effectiveness(self, ntu: f64, ratio: f64) -> f64 {
        let single = 1.0 - exp(-ntu);
        // Below this ratio the other side's temperature hardly moves, and the formulas lose digits.
        if ratio < 1e-9 {
            return single;
        }
        match self {
            Arrangement::Condensing => single,
            Arrangement::Parallel => (1.0 - exp(-ntu * (1.0 + ratio))) / (1.0 + ratio),
            Arrangement::Counterflow => {
                if 1.0 - ratio < 1e-9 {
                    ntu / (1.0 + ntu)
                } else {
                    let e = exp(-ntu * (1.0 - ratio));
                    (1.0 - e) / (1.0 - ratio * e)
                }
            }
            Arrangement::CrossflowMaxMixed => (1.0 - exp(-ratio * single)) / ratio,
            Arrangement::CrossflowMinMixed => 1.0 - exp(-(1.0 - exp(-ratio * ntu)) / ratio),
            Arrangement::ShellAndTube => {
                let root = sqrt(1.0 + ratio * ratio);
                let e = exp(-ntu * root);
                2.0 / (1.0 + ratio + root * (1.0 + e) / (1.0 - e))
            }
            Arrangement::CrossflowUnmixedApproximate => {
                1.0 - exp(pow(ntu, 0.22) / ratio * (exp(-ratio * pow(ntu, 0.78)) - 1.0))
            }
            Arrangement::CrossflowUnmixed => unmixed(ntu, ratio),
        }
    }
}

/// Mason's series: `1/(Cr NTU) sum over n of [1 - e^-NTU sum NTU^m/m!] [1 - e^-CrNTU sum (Cr NTU)^m/m!]`.
fn unmixed(ntu: f64, ratio: f64) -> f64 {
    let (a, b) = (ntu, ratio * ntu);
    if b <= 0.0 {
        return 0.0;
    }
    let (mut term_a, mut term_b) = (exp(-a), exp(-b));
    let (mut left_a, mut left_b) = (1.0 - term_a, 1.0 - term_b);
    let mut sum = 0.0;
    let mut n = 0.0;
    // Terms fall faster than geometrically once n is past NTU.
    while n < 500.0 {
        let more = left_a * left_b;
        sum += more;
        if more < 1e-13 * sum && n > a {
            break;
        }
        n += 1.0;
        term_a *= a / n;
        term_b *= b / n;
        left_a = (left_a - term_a).max(0.0);
        left_b = (left_b - term_b).max(0.0);
    }
    sum / b
}

/// One side as it comes in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Side {
    /// Mass flow, kg/s, zero or more.
    pub mass_flow: f64,
    /// Specific heat capacity, J/(kg K).
    pub heat_capacity: f64,
    /// Temperature coming in, K.
    pub temperature: f64,
}

base::kept!(Side { mass_flow, heat_capacity, temperature });

/// An exchanger's data.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ExchangerParams {
    /// How the sides run.
    pub arrangement: Arrangement,
    /// Clean conductance at the nominal flows, W/K.
    pub conductance: f64,
    /// Nominal mass flow of each side, kg/s.
    pub flow_nominal: (f64, f64),
    /// Exponent of conductance against flow: 0.8, or 0 for a fixed conductance.
    pub flow_exponent: f64,
}

/// An exchanger and its state.
#[derive(Clone, Debug, PartialEq)]
pub struct Exchanger {
    params: ExchangerParams,
    /// Failing: added resistance as a part of the clean one.
    pub fouling: f64,
    duty: f64,
    /// Mass flows of two links, fouling and what goes over with them for a kelvin, W/K: not worked out again while they stay.
    known: ([f64; 3], f64),
}

base::kept!(Exchanger { fouling, duty } fixed { params, known });

impl Exchanger {
    /// A clean exchanger.
    #[must_use]
    pub fn new(params: ExchangerParams) -> Exchanger {
        Exchanger { params, fouling: 0.0, duty: 0.0, known: ([0.0; 3], 0.0) }
    }

    /// Its data.
    #[must_use]
    pub fn params(&self) -> ExchangerParams {
        self.params
    }

    /// Heat that last went from the first side to the second, W.
    #[must_use]
    pub fn duty(&self) -> f64 {
        self.duty
    }

    /// Conductance at these mass flows, W/K; zero when a side stands still.
    #[must_use]
    pub fn conductance(&self, first: f64, second: f64) -> f64 {
        let ExchangerParams { conductance, flow_nominal, flow_exponent, .. } = self.params;
        if first <= 0.0 || second <= 0.0 {
            return 0.0;
        }
        let films = if flow_exponent == 0.0 {
            1.0
        } else {
            0.5 * power(flow_nominal.0 / first, flow_exponent) + 0.5 * power(flow_nominal.1 / second, flow_exponent)
        };
        conductance / (films + self.fouling)
    }

    /// Heat from the first side to the second, W; negative when the second is hotter. Nothing
    /// when a side stands still.
    #[must_use]
    pub fn heat(&self, first: Side, second: Side) -> f64 {
        self.per_kelvin(first, second) * (first.temperature - second.temperature)
    }

    /// Heat that goes over for every kelvin between what comes in on both sides, W/K: effectiveness times the lesser of
    /// the sides' capacity flows.
    fn per_kelvin(&self, first: Side, second: Side) -> f64 {
        let ua = self.conductance(first.mass_flow, second.mass_flow);
        if ua == 0.0 {
            return 0.0;
        }
        let (c1, c2) = (first.mass_flow * first.heat_capacity, second.mass_flow * second.heat_capacity);
        let (least, most) = (c1.min(c2), c1.max(c2));
        self.params.arrangement.effectiveness(ua / least, least / most) * least
    }

    /// Heat from a side that condenses (or boils) at one temperature, K, to a flowing side, W.
    #[must_use]
    pub fn heat_condensing(&self, temperature: f64, cold: Side) -> f64 {
        let ua = self.conductance(self.params.flow_nominal.0, cold.mass_flow);
        let c = cold.mass_flow * cold.heat_capacity;
        if ua == 0.0 { 0.0 } else { (1.0 - exp(-ua / c)) * c * (temperature - cold.temperature) }
    }

    /// Reads both links after their networks are solved and puts the same heat into one that it takes
    /// from the other.
    pub fn load(&mut self, first: (&mut Network, LinkId), second: (&mut Network, LinkId)) {
        let (hot, cold) = (side_of(first.0, first.1), side_of(second.0, second.1));
        let at = [hot.mass_flow, cold.mass_flow, self.fouling];
        if self.known.0 != at {
            self.known = (at, self.per_kelvin(hot, cold));
        }
        let q = self.known.1 * (hot.temperature - cold.temperature);
        self.duty = q;
        first.0.set_heat(first.1, -q);
        second.0.set_heat(second.1, q);
    }
}

/// What comes into a link.
#[must_use]
pub fn side_of(net: &Network, link: LinkId) -> Side {
    Side {
        mass_flow: net.mass_flow(link).abs(),
        heat_capacity: net.fluid().heat_capacity(),
        temperature: net.temperature(net.upstream(link)),
    }
}

#[cfg(test)]
mod tests;
