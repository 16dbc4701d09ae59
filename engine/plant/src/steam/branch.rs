//! A branch: a pipe, valve, drain, trap, check or safety valve between two ends, and its flow made straight.

use super::law::{self, Characteristic, Conditions, Way};
use super::stream::Drawn;

/// Standard gravity, m/s2 (ISO 80000-3).
const GRAVITY: f64 = 9.806_65;

/// What a branch takes from the vessel it leaves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Draws {
    /// Gas; liquid as well once the vessel is all but full of it.
    Gas,
    /// Liquid if there is any, else gas: a drain.
    Liquid,
    /// Liquid alone: a steam trap; with an air vent it lets air out too.
    LiquidOnly {
        /// Whether it lets air pass.
        vents_air: bool,
    },
}

/// A spring-loaded safety valve: pops to 70 % lift at its set pressure, is fully open at the set pressure and its
/// overpressure, keeps the lift it reached as the pressure falls, and reseats at the set pressure less its blowdown
/// (the pop's size is our own choice; overpressure and blowdown are common practice).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SafetyValve {
    /// Set pressure, Pa absolute.
    pub set: f64,
    /// Overpressure for full lift, as a part of `set` (common practice 0.03 to 0.10).
    pub overpressure: f64,
    /// Blowdown as a part of `set` (common practice 0.04 to 0.07).
    pub blowdown: f64,
    /// Lift, 0 to 1: part of the state.
    pub lift: f64,
    /// What is wrong with it.
    pub failing: SafetyFailing,
}

/// What can be wrong with a safety valve.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SafetyFailing {
    /// Its spring is weak: it lifts and reseats this part of the set pressure early.
    pub early: f64,
    /// It does not leave its seat.
    pub stuck: bool,
    /// Once lifted it does not come back to its seat.
    pub holds: bool,
}

base::kept!(SafetyFailing { early, stuck, holds });
base::kept!(SafetyValve { lift, failing } fixed { set, overpressure, blowdown });

impl SafetyValve {
    const POP: f64 = 0.7;

    /// A valve on its seat.
    #[must_use]
    pub fn new(set: f64, overpressure: f64, blowdown: f64) -> SafetyValve {
        SafetyValve { set, overpressure, blowdown, lift: 0.0, failing: SafetyFailing::default() }
    }

    /// Lift at a pressure, Pa.
    pub(super) fn follow(&mut self, p: f64) -> f64 {
        let set = self.set * (1.0 - self.failing.early);
        if p >= set {
            if !self.failing.stuck || self.lift > 0.0 {
                let over = (p - set) / (set * self.overpressure);
                self.lift = self.lift.max((Self::POP + (1.0 - Self::POP) * over).min(1.0));
            }
        } else if p <= set * (1.0 - self.blowdown) && !self.failing.holds {
            self.lift = 0.0;
        }
        self.lift
    }
}

/// How a branch is made.
#[derive(Clone, Debug, PartialEq)]
pub struct BranchSpec {
    /// Its name in messages.
    pub name: String,
    /// Flow coefficient fully open, m3/h.
    pub kv: f64,
    /// How it opens.
    pub characteristic: Characteristic,
    /// What it takes from its first end, and from its second when flow is reversed.
    pub draws: Draws,
    /// See [`BranchSpec::draws`].
    pub draws_back: Draws,
    /// Critical pressure-drop ratio `x_T` (0.72 is usual for globe valves).
    pub x_t: f64,
    /// Liquid pressure-recovery factor `F_L` (0.9 is usual for globe valves).
    pub f_l: f64,
    /// For a non-return valve: the part of its Kv that reversed flow still finds (own choice 0.001 for a sound seat).
    pub seat: Option<f64>,
    /// For a safety valve: its spring.
    pub safety: Option<SafetyValve>,
    /// Volume of liquid, m3, that covers its inlet; below it a drain takes gas along. 0: 1 % of the vessel.
    pub pocket: f64,
    /// How far the second end lies below the first, m: the column of what the first end gives adds its weight.
    pub fall: f64,
    /// What gas flows through: a valve or pipe, or a turbine's stages.
    pub way: Way,
}

impl BranchSpec {
    /// A pipe or a valve with gas in it.
    #[must_use]
    pub fn new(name: &str, kv: f64) -> BranchSpec {
        BranchSpec {
            name: name.to_owned(),
            kv,
            characteristic: Characteristic::Linear,
            draws: Draws::Gas,
            draws_back: Draws::Gas,
            x_t: 0.72,
            f_l: 0.9,
            seat: None,
            safety: None,
            pocket: 0.0,
            fall: 0.0,
            way: Way::Valve,
        }
    }
    /// A liquid drain.
    #[must_use]
    pub fn drain(name: &str, kv: f64) -> BranchSpec {
        BranchSpec { draws: Draws::Liquid, ..BranchSpec::new(name, kv) }
    }
    /// A steam trap with an air vent, which lets nothing back.
    #[must_use]
    pub fn trap(name: &str, kv: f64) -> BranchSpec {
        BranchSpec { draws: Draws::LiquidOnly { vents_air: true }, seat: Some(0.0), ..BranchSpec::new(name, kv) }
    }
    /// A non-return valve with a sound seat.
    #[must_use]
    pub fn non_return(name: &str, kv: f64) -> BranchSpec {
        BranchSpec { seat: Some(0.001), ..BranchSpec::new(name, kv) }
    }
    /// A safety valve.
    #[must_use]
    pub fn safety(name: &str, kv: f64, valve: SafetyValve) -> BranchSpec {
        BranchSpec { safety: Some(valve), ..BranchSpec::new(name, kv) }
    }
    /// The stages of a turbine: see [`super::stages_kv`].
    #[must_use]
    pub fn stages(name: &str, kv: f64) -> BranchSpec {
        BranchSpec { way: Way::Stages, ..BranchSpec::new(name, kv) }
    }
    /// The same with its second end so far below its first, m.
    #[must_use]
    pub fn falling(mut self, fall: f64) -> BranchSpec {
        self.fall = fall;
        self
    }
    /// The same with this characteristic.
    #[must_use]
    pub fn opening_as(mut self, characteristic: Characteristic) -> BranchSpec {
        self.characteristic = characteristic;
        self
    }
}

/// Where a branch ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum End {
    Vessel(usize),
    Outside(usize),
}

/// A branch with its state and the results of the last tick.
#[derive(Clone, Debug, PartialEq)]
pub struct Branch {
    pub(super) spec: BranchSpec,
    pub(super) from: End,
    pub(super) to: End,
    /// Travel, 0 to 1.
    pub(super) opening: f64,
    /// Share of Kv at that travel.
    pub(super) share: f64,
    /// Part of Kv that passes when shut.
    pub(super) leak: f64,
    /// Mass fraction of liquid that gas carries along.
    pub(super) carry: f64,
    /// For a safety valve: its spring, with its lift.
    pub(super) safety: Option<SafetyValve>,
    /// For a safety valve: lift it is held at.
    pub(super) held: Option<f64>,
    /// Shaft work that a kilogram gives up on its way forward, J/kg; none when it runs backwards.
    pub(super) work: f64,
    /// Shaft work of the tick, J.
    pub(super) worked: f64,
    /// `K^2` of the tick.
    pub(super) k2: f64,
    /// What went through in the tick: water, air (kg), enthalpy (J).
    pub(super) moved: [f64; 3],
    pub(super) flow: f64,
    pub(super) h: f64,
    pub(super) air: f64,
}

base::kept!(Branch { opening, share, leak, carry, held, safety, work, worked, k2, moved, flow, h, air }
    fixed { spec, from, to });

impl Branch {
    pub(super) fn new(spec: BranchSpec, from: End, to: End) -> Branch {
        // A safety valve sits on its seat, anything else stands open until it is told where it stands.
        let opening = if spec.safety.is_some() { 0.0 } else { 1.0 };
        let share = spec.characteristic.share(opening);
        Branch {
            safety: spec.safety,
            spec,
            from,
            to,
            opening,
            share,
            leak: 0.0,
            carry: 0.0,
            held: None,
            work: 0.0,
            worked: 0.0,
            k2: 0.0,
            moved: [0.0; 3],
            flow: 0.0,
            h: 0.0,
            air: 0.0,
        }
    }
    /// How it is made.
    #[must_use]
    pub fn spec(&self) -> &BranchSpec {
        &self.spec
    }
    /// Travel, 0 to 1; for a safety valve its lift.
    #[must_use]
    pub fn opening(&self) -> f64 {
        self.opening
    }
    /// Mean flow of the last tick, kg/s, positive from the first end to the second.
    #[must_use]
    pub fn flow(&self) -> f64 {
        self.flow
    }
    /// Enthalpy of what went through in the last tick, J/kg; 0 if nothing did.
    #[must_use]
    pub fn enthalpy(&self) -> f64 {
        self.h
    }
    /// Mass fraction of air of what went through in the last tick.
    #[must_use]
    pub fn air_fraction(&self) -> f64 {
        self.air
    }
    /// Enthalpy flow of the last tick, W, the way the flow is counted.
    #[must_use]
    pub fn enthalpy_flow(&self) -> f64 {
        self.flow * self.h
    }

    /// Shaft work given up in the last tick, J: what lands at the second end carries so much less.
    #[must_use]
    pub fn worked(&self) -> f64 {
        self.worked
    }

    /// Fixes `K^2` for a tick, with the pressure before a safety valve.
    pub(super) fn prepare(&mut self, p_from: f64) {
        if let Some(valve) = &mut self.safety {
            self.opening = self.held.unwrap_or_else(|| valve.follow(p_from));
            self.share = self.opening;
        }
        self.k2 = law::k_squared(self.spec.kv * (self.leak + (1.0 - self.leak) * self.share));
        self.moved = [0.0; 3];
        self.worked = 0.0;
    }
}

/// A branch's flows made straight about an iterate.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Straight {
    /// Flow the line was laid at, and `W_l` as a scale for flows that hardly matter.
    pub about: f64,
    pub small: f64,
    /// Flow at the iterate's pressures on that line, its slopes by either end's contents.
    pub flow: f64,
    pub by_from: [f64; 3],
    pub by_to: [f64; 3],
    /// Water, air and enthalpy of a kilogram, and their slopes by the giver's contents.
    pub gives: [f64; 3],
    /// The same of the other end, filled in when the flow turns.
    pub other: [f64; 3],
    pub gives_by: [[f64; 3]; 3],
    /// What moves by the last solution, and the total flow: see [`Straight::moved`].
    pub moves: ([f64; 3], f64),
    pub from_gives: bool,
    /// There is a line: nothing goes through a branch that is shut.
    pub laid: bool,
    /// Work that a kilogram gives up if it runs forward, J/kg.
    pub work: f64,
}

/// Lays the line. `last` is the flow of the iteration before, if there was one.
///
/// Near zero difference the law is like a square root, on which Newton's method in the pressures runs to and fro;
/// on the same law read as pressure over flow it converges. So the line is laid at the larger of the flow by the law and
/// the last iteration's flow: both are the same solution, and the flatter line of the two is the careful one.
pub(super) fn straighten(line: &mut Straight, b: &Branch, from: &Drawn, to: &Drawn, last: Option<f64>) {
    let column = GRAVITY * b.spec.fall;
    let dp = from.stream.p - to.stream.p + column * from.stream.density;
    let forward = dp >= 0.0;
    let giver = if forward { from } else { to };
    // A non-return valve is on its seat where the last flow says so as well: the pressures alone let it slam to and fro.
    let seated = !forward && last.is_none_or(|l| l <= 0.0);
    let k2 = if seated { b.k2 * b.spec.seat.map_or(1.0, |s| s * s) } else { b.k2 };
    let s = &giver.stream;
    let base = k2 * giver.passes * giver.passes;
    (line.laid, line.from_gives, line.work) = (true, forward, b.work);
    (line.about, line.small) = (0.0, 0.0);
    (line.by_from, line.by_to) = ([0.0; 3], [0.0; 3]);
    (line.other, line.moves) = ([0.0; 3], ([0.0; 3], 0.0));
    let (mut w, mut slope) = (0.0, 0.0);
    if base * s.density > 0.0 {
        let c = Conditions {
            p_1: s.p,
            dp: dp.abs(),
            p_steam: s.p_steam,
            liquid: s.liquid,
            air: s.air,
            x_t: b.spec.x_t,
            f_l: b.spec.f_l,
            way: b.spec.way,
        };
        let d = law::drive(&c);
        let low = base * s.density * law::LAMINAR;
        let sign = if forward { 1.0 } else { -1.0 };
        let square = sign * base * s.density * d.f;
        let by_law = law::flow(square, low);
        w = match last {
            Some(l) if l.abs() > by_law.abs() || (b.spec.seat.is_some() && !forward && l > 0.0) => l,
            _ => by_law,
        };
        let (left, by_flow) = law::resistance(w, low);
        slope = 1.0 / by_flow;
        line.about = w;
        line.small = low.sqrt();
        w += (square - left) * slope;
        let (mut giver_by, mut taker_by) = ([0.0; 3], [0.0; 3]);
        let taker = if forward { to } else { from };
        for k in 0..3 {
            // The column's weight follows the first end, whichever that is.
            let weight = column * from.density[k];
            let (giver_weight, taker_weight) = if forward { (weight, 0.0) } else { (0.0, weight) };
            let drive = d.by_dp * (giver.p[k] + giver_weight)
                + d.by_p1 * giver.p[k]
                + d.by_steam * giver.p_steam[k]
                + d.by_liquid * giver.liquid[k];
            let opens = 2.0 * d.f / giver.passes * giver.passes_by[k];
            giver_by[k] = sign * slope * base * (d.f * giver.density[k] + s.density * (drive + opens));
            taker_by[k] = -sign * slope * base * s.density * d.by_dp * (taker.p[k] + taker_weight);
        }
        (line.by_from, line.by_to) = if forward { (giver_by, taker_by) } else { (taker_by, giver_by) };
    }
    line.flow = w;
    if slope > 0.0 && w != 0.0 {
        // Whoever gave in the last solution gives in this one: the contents at the iterate were moved so.
        line.from_gives = last.unwrap_or(w) > 0.0;
    }
    let g = if line.from_gives { from } else { to };
    line.gives = g.stream.kilogram();
    line.gives_by = [g.air.map(|a| -a), g.air, g.h];
}

impl Straight {
    /// Water, air and enthalpy of a kilogram as it lands: what was given less the work.
    pub(super) fn lands(&self) -> [f64; 3] {
        let work = if self.from_gives { self.work } else { 0.0 };
        [self.gives[0], self.gives[1], self.gives[2] - work]
    }

    /// Power given up at a flow, W.
    pub(super) fn power(&self, w: f64) -> f64 {
        self.work * w.max(0.0)
    }

    /// Water, air (kg/s) and enthalpy (W) for changes of contents at both ends, and the total flow.
    pub(super) fn moved(&self, from: &[f64; 3], to: &[f64; 3]) -> ([f64; 3], f64) {
        let dot = |a: &[f64; 3], b: &[f64; 3]| a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
        let w = self.flow + dot(&self.by_from, from) + dot(&self.by_to, to);
        if (w > 0.0) != self.from_gives {
            // It turned: what it carries comes from the other end, else an end would lose what it never had.
            return (self.other.map(|o| w * o), w);
        }
        let giver = if self.from_gives { from } else { to };
        let m: [f64; 3] = std::array::from_fn(|c| w * self.gives[c] + self.flow * dot(&self.gives_by[c], giver));
        (m, w)
    }
}
