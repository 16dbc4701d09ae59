//! One tick: Newton's method on the contents of all vessels at the end of the tick.

use super::branch::Branch;
use super::branch::Draws;
use super::branch::{End, Straight, straighten};
use super::net::{SteamNet, Trouble, VesselNode};
use super::node::Outside;
use super::stream::{Drawn, Stream, from_outside, from_vessel};
use crate::vessel::{Contents, Regime, Unsettled, Variable, equilibrium_into};

/// Most linear solutions for one part of a tick.
const ITERATIONS: usize = 8;
/// Most parts of a tick.
const PARTS: u32 = 1024;
/// Most halvings of a step that leads to contents without a state.
const HALVINGS: usize = 6;
/// Converged: pressure told by the slopes against pressure found, as a part of it (what is left is its square) ...
const PRESSURE: f64 = 1e-4;
/// ... and a flow's change against the flow its line was laid at.
const FLOW: f64 = 0.01;
/// ... to which this part of the net's largest flow is added.
const MINOR: f64 = 1e-3;

enum Outcome {
    Done,
    /// Not converged; whether the last full step is a possible state.
    Open {
        possible: bool,
    },
}

fn triple(c: &Contents) -> [f64; 3] {
    [c.water, c.air, c.energy]
}

impl SteamNet {
    /// One tick of `dt` seconds.
    ///
    /// # Errors
    /// When a vessel has no state inside the tables' range, even in the smallest part of the tick.
    pub fn step(&mut self, dt: f64) -> Result<(), Trouble> {
        for v in &mut self.vessels {
            v.wall_lost = 0.0;
        }
        for b in &mut self.branches {
            let p = match b.from {
                End::Vessel(i) => self.vessels[i].e.now().p,
                End::Outside(i) => self.outsides[i].1.p(),
            };
            b.prepare(p);
        }
        self.effort.ticks += 1;
        // Counted in the smallest parts, so that the parts add up to the tick exactly.
        let (mut left, mut part) = (PARTS, PARTS);
        while left > 0 {
            let h = dt * f64::from(part) / f64::from(PARTS);
            match self.attempt(h) {
                Ok(Outcome::Done) => {}
                Ok(Outcome::Open { possible: true }) if part == 1 => self.effort.unconverged += 1,
                Ok(Outcome::Open { .. }) | Err(_) if part > 1 => {
                    part /= 2;
                    continue;
                }
                Ok(Outcome::Open { .. }) => {
                    let (node, p) = self.least_settled();
                    return Err(self.trouble(node, Unsettled { variable: Variable::Pressure, value: p }));
                }
                Err((node, unsettled)) => return Err(self.trouble(node, unsettled)),
            }
            self.commit(h);
            self.effort.parts += 1;
            left -= part;
            // Parts grow again, as long as they stay aligned.
            while part < left && left % (2 * part) == 0 && part < PARTS {
                part *= 2;
            }
            part = part.min(left.max(1));
        }
        for b in &mut self.branches {
            if b.k2 == 0.0 {
                (b.flow, b.h, b.air) = (0.0, 0.0, 0.0);
                continue;
            }
            let mass = b.moved[0] + b.moved[1];
            b.flow = mass / dt;
            (b.h, b.air) = if mass == 0.0 { (0.0, 0.0) } else { (b.moved[2] / mass, b.moved[1] / mass) };
        }
        Ok(())
    }

    fn trouble(&self, node: usize, unsettled: Unsettled) -> Trouble {
        Trouble { node: self.vessels[node].name.clone(), unsettled }
    }

    /// The vessel whose pressure came out farthest from what was told, and that pressure: where an iteration failed.
    fn least_settled(&self) -> (usize, f64) {
        let mut worst = (0, -1.0, 0.0);
        for (i, v) in self.vessels.iter().enumerate() {
            let off = (v.e.next().p - v.e.at().p).abs() / v.e.next().p.max(1.0);
            if off > worst.1 || off.is_nan() {
                worst = (i, off, v.e.next().p);
            }
        }
        (worst.0, worst.2)
    }

    /// Newton's method over one part, leaving the result in the vessels' candidates.
    fn attempt(&mut self, dt: f64) -> Result<Outcome, (usize, Unsettled)> {
        for v in &mut self.vessels {
            v.x = v.contents;
            v.e.begin();
            v.conductance = v.wall.map_or(0.0, |w| w.conductance(v.e.now(), v.volume));
        }
        let mut possible = false;
        for iteration in 0..ITERATIONS {
            self.effort.iterations += 1;
            self.lay_lines(iteration > 0);
            self.assemble(dt);
            self.blocks.solve(&mut self.change);
            let steady = self.propose(dt);
            let part = self.settle()?;
            possible = part == 1.0;
            if possible && steady && self.told() {
                return Ok(Outcome::Done);
            }
            // What is not converged by the last of them is left as it is: the candidate may still be taken.
            if iteration + 1 == ITERATIONS {
                break;
            }
            for v in &mut self.vessels {
                v.e.go_on();
                v.x = between(&v.x, &v.candidate, part);
            }
            for (last, line) in self.last.iter_mut().zip(&self.lines) {
                *last = line.about + part * (*last - line.about);
            }
        }
        Ok(Outcome::Open { possible })
    }

    fn lay_lines(&mut self, again: bool) {
        // Written over for each branch, since they are large to hand about.
        let (mut from, mut to) = (Drawn::default(), Drawn::default());
        for (b, (line, &last)) in self.branches.iter().zip(self.lines.iter_mut().zip(&self.last)) {
            if b.k2 == 0.0 {
                if line.laid {
                    *line = Straight::default();
                }
                continue;
            }
            let (p_from, p_to) =
                (pressure(&self.vessels, &self.outsides, b.from), pressure(&self.vessels, &self.outsides, b.to));
            // Only an end that gives, by the pressures or by the last flow, is worked out in full.
            let from_gives = p_from >= p_to || (again && last > 0.0) || b.spec.fall != 0.0;
            let to_gives = p_to >= p_from || (again && last <= 0.0) || b.spec.fall != 0.0;
            let end = |into: &mut Drawn, end: End, gives: bool, draws| {
                if gives {
                    drawn(into, &self.vessels, &self.outsides, b, end, draws);
                } else {
                    taken(into, &self.vessels, &self.outsides, end);
                }
            };
            end(&mut from, b.from, from_gives, b.spec.draws);
            end(&mut to, b.to, to_gives, b.spec.draws_back);
            straighten(line, b, &from, &to, again.then_some(last));
        }
    }

    fn assemble(&mut self, dt: f64) {
        self.blocks.reset();
        for (i, v) in self.vessels.iter_mut().enumerate() {
            let (x, n) = (triple(&v.x), triple(&v.contents));
            let s = v.inflow;
            let mut energy = s.energy + v.heat;
            if let Some(w) = &v.wall {
                (v.wall_heat, v.wall_slope) = w.heat_to(v.e.at().t, v.conductance, dt);
                energy += v.wall_heat;
                self.blocks.add_row(i, 2, -dt * v.wall_slope, &v.e.at().slopes.t);
            }
            self.change[i] = [n[0] - x[0] + dt * s.water, n[1] - x[1] + dt * s.air, n[2] - x[2] + dt * energy];
        }
        for ((b, line), &(ij, ji)) in self.branches.iter().zip(&self.lines).zip(&self.pairs) {
            if b.k2 == 0.0 {
                continue;
            }
            let w = line.flow;
            // Slopes of the three flows by the contents at either end.
            let slopes = |kilogram: &[f64; 3], by: &[f64; 3], gives: bool| -> [[f64; 3]; 3] {
                let w = if gives { w } else { 0.0 };
                std::array::from_fn(|c| std::array::from_fn(|k| kilogram[c] * by[k] + w * line.gives_by[c][k]))
            };
            let lands = line.lands();
            if let End::Vessel(i) = b.from {
                let by = slopes(&line.gives, &line.by_from, line.from_gives);
                self.blocks.add(i, dt, &by);
                for (x, g) in self.change[i].iter_mut().zip(line.gives) {
                    *x -= dt * w * g;
                }
                if let End::Vessel(_) = b.to {
                    self.blocks.add(ji, -dt, &slopes(&lands, &line.by_from, line.from_gives));
                }
            }
            if let End::Vessel(j) = b.to {
                let by = slopes(&lands, &line.by_to, !line.from_gives);
                self.blocks.add(j, -dt, &by);
                for (x, g) in self.change[j].iter_mut().zip(lands) {
                    *x += dt * w * g;
                }
                if let End::Vessel(_) = b.from {
                    self.blocks.add(ij, dt, &slopes(&line.gives, &line.by_to, !line.from_gives));
                }
            }
        }
    }

    /// Contents at the end of the part by the flows of the linear solution; whether no flow changed much.
    fn propose(&mut self, dt: f64) -> bool {
        for (v, change) in self.vessels.iter_mut().zip(&self.change) {
            let t = &v.e.at().slopes.t;
            if v.wall.is_some() {
                v.wall_heat += v.wall_slope * (t[0] * change[0] + t[1] * change[1] + t[2] * change[2]);
            }
            let energy = v.inflow.energy + v.heat + if v.wall.is_some() { v.wall_heat } else { 0.0 };
            v.candidate = Contents {
                water: v.contents.water + dt * v.inflow.water,
                air: v.contents.air + dt * v.inflow.air,
                energy: v.contents.energy + dt * energy,
            };
        }
        let mut steady = true;
        // A flow that hardly matters beside the net's largest need not be followed to the hundredth of itself.
        let floor = MINOR * self.lines.iter().fold(0.0f64, |m, l| m.max(l.about.abs()));
        for ((b, line), last) in self.branches.iter().zip(&mut self.lines).zip(&mut self.last) {
            if b.k2 == 0.0 {
                *last = 0.0;
                continue;
            }
            let (at_from, at_to) = (change_at(&self.change, b.from), change_at(&self.change, b.to));
            let (mut moved, w) = line.moved(&at_from, &at_to);
            (*last, line.moves) = (w, (moved, w));
            if (w > 0.0) != line.from_gives {
                let (end, draws) = if w > 0.0 { (b.from, b.spec.draws) } else { (b.to, b.spec.draws_back) };
                let mut other = Drawn::default();
                drawn(&mut other, &self.vessels, &self.outsides, b, end, draws);
                line.other = other.stream.kilogram();
                line.moves = line.moved(&at_from, &at_to);
                moved = line.moves.0;
            }
            steady &= (w - line.about).abs() <= FLOW * (line.about.abs() + line.small + floor);
            if let End::Vessel(i) = b.from {
                add(&mut self.vessels[i].candidate, moved, -dt);
            }
            if let End::Vessel(j) = b.to {
                moved[2] -= line.power(w);
                add(&mut self.vessels[j].candidate, moved, dt);
            }
        }
        steady
    }

    /// Finds the candidates' states, going only part of the way where there is none; which part.
    fn settle(&mut self) -> Result<f64, (usize, Unsettled)> {
        let mut part = 1.0;
        for halving in 0..=HALVINGS {
            let mut trouble = None;
            for (i, v) in self.vessels.iter_mut().enumerate() {
                let c = if part == 1.0 { v.candidate } else { between(&v.x, &v.candidate, part) };
                let t = &v.e.at().slopes.t;
                let (x, y) = (triple(&v.x), triple(&c));
                let told = v.e.at().t + t[0] * (y[0] - x[0]) + t[1] * (y[1] - x[1]) + t[2] * (y[2] - x[2]);
                let near = if v.e.at().regime == Regime::Dry {
                    let s = &v.e.at().slopes.p_steam;
                    v.e.at().p_steam + s[0] * (y[0] - x[0]) + s[1] * (y[1] - x[1]) + s[2] * (y[2] - x[2])
                } else {
                    0.0
                };
                if let Err(u) = equilibrium_into(v.e.next_mut(), &c, v.volume, v.metal, told, near.max(0.0)) {
                    trouble = Some(u);
                    if halving == HALVINGS {
                        return Err((i, u));
                    }
                    break;
                }
            }
            if trouble.is_none() {
                return Ok(part);
            }
            part *= 0.5;
        }
        Ok(part)
    }

    /// Whether every vessel's pressure came out as its slopes told.
    fn told(&self) -> bool {
        self.vessels.iter().zip(&self.change).all(|(v, d)| {
            let s = &v.e.at().slopes.p;
            let told = v.e.at().p + s[0] * d[0] + s[1] * d[1] + s[2] * d[2];
            (v.e.next().p - told).abs() <= PRESSURE * v.e.next().p
        })
    }

    /// Makes the candidates the contents, and writes down what crossed the net's boundary.
    fn commit(&mut self, dt: f64) {
        for v in &mut self.vessels {
            v.contents = v.candidate;
            v.e.commit();
            let s = v.inflow;
            self.ledger.add([dt * s.water, dt * s.air, dt * s.energy]);
            self.ledger.add([0.0, 0.0, dt * v.heat]);
            if let Some(w) = &mut v.wall {
                let (t, lost) = w.after(v.wall_heat, dt);
                w.t = t;
                v.wall_lost += dt * lost;
                self.ledger.add([0.0, 0.0, dt * (w.heat - lost)]);
            }
        }
        for k in 0..self.branches.len() {
            let (from, to) = (self.branches[k].from, self.branches[k].to);
            if self.branches[k].k2 == 0.0 {
                continue;
            }
            let (moved, w) = self.lines[k].moves;
            let moved = moved.map(|m| m * dt);
            let worked = self.lines[k].power(w) * dt;
            self.branches[k].worked += worked;
            for (sum, m) in self.branches[k].moved.iter_mut().zip(moved) {
                *sum += m;
            }
            match (from, to) {
                (End::Outside(_), _) => self.ledger.add(moved),
                (_, End::Outside(_)) => self.ledger.add(moved.map(|m| -m)),
                _ if worked != 0.0 => self.ledger.add([0.0, 0.0, -worked]),
                _ => {}
            }
        }
    }
}

fn add(c: &mut Contents, m: [f64; 3], k: f64) {
    c.water += k * m[0];
    c.air += k * m[1];
    c.energy += k * m[2];
}

fn between(a: &Contents, b: &Contents, part: f64) -> Contents {
    Contents {
        water: a.water + part * (b.water - a.water),
        air: a.air + part * (b.air - a.air),
        energy: a.energy + part * (b.energy - a.energy),
    }
}

fn change_at(change: &[[f64; 3]], end: End) -> [f64; 3] {
    match end {
        End::Vessel(i) => change[i],
        End::Outside(_) => [0.0; 3],
    }
}

fn pressure(vessels: &[VesselNode], outsides: &[(String, Outside)], end: End) -> f64 {
    match end {
        End::Vessel(i) => vessels[i].e.at().p,
        End::Outside(i) => outsides[i].1.p(),
    }
}

/// What a branch draws from an end at the iterate.
fn drawn(into: &mut Drawn, vessels: &[VesselNode], outsides: &[(String, Outside)], b: &Branch, end: End, draws: Draws) {
    match end {
        End::Vessel(i) => {
            let v = &vessels[i];
            let pocket = if b.spec.pocket > 0.0 { b.spec.pocket } else { 0.01 * v.volume };
            from_vessel(into, v.e.at(), v.volume, draws, b.carry, pocket);
        }
        End::Outside(i) => from_outside(into, &outsides[i].1, draws),
    }
}

/// An end that only takes: its pressure and its slopes.
fn taken(into: &mut Drawn, vessels: &[VesselNode], outsides: &[(String, Outside)], end: End) {
    let stream = Stream { p: pressure(vessels, outsides, end), ..Stream::default() };
    let p = match end {
        End::Vessel(i) => vessels[i].e.at().slopes.p,
        End::Outside(_) => [0.0; 3],
    };
    *into = Drawn { stream, passes: 1.0, p, ..Drawn::default() };
}
