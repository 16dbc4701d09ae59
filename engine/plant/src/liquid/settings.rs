//! What is set on a network: openings, speeds, heads and demands.
//!
//! Settings are rounded when they are given, and a network is solved again only when a rounded one has changed. Most are
//! given again on every tick as they are, so that the way to find that out is short.

use super::layout::{GRAVITY, LinkId, NO_ROW, NodeId};
use super::link_law::{Law, Setting};
use super::network::Network;
use base::units::ATMOSPHERE;

impl Network {
    /// Sets a link; figures are rounded to 1e-4.
    pub fn set(&mut self, link: LinkId, setting: Setting) {
        // Mostly nothing has moved since the last tick.
        if self.links[link.0 as usize].setting == setting {
            return;
        }
        self.set_rounded(
            link,
            Setting {
                shut: setting.shut,
                opening: rounded(setting.opening),
                passing: rounded(setting.passing),
                choked: rounded(setting.choked),
                speed: rounded(setting.speed),
                head_factor: rounded(setting.head_factor),
            },
        );
    }

    fn set_rounded(&mut self, link: LinkId, setting: Setting) {
        let state = &mut self.links[link.0 as usize];
        if state.setting != setting {
            let layout = &self.layout;
            let kind = &layout.graph.raw_edges()[link.0 as usize].weight.params.kind;
            let passed = state.passes();
            state.setting = setting;
            state.law = Law::new(kind, &setting, state.viscosity);
            if !passed && state.passes() {
                state.flow = state.law.ordinary(kind);
            }
            self.changed = true;
        }
    }

    /// Opens or shuts a valve, 0 to 1.
    pub fn set_opening(&mut self, link: LinkId, opening: f64) {
        let opening = rounded(opening);
        if self.links[link.0 as usize].setting.opening != opening {
            self.set_rounded(link, Setting { opening, ..self.setting(link) });
        }
    }

    /// Lets a valve pass when shut: part of its full flow coefficient.
    pub fn set_passing(&mut self, link: LinkId, passing: f64) {
        let passing = rounded(passing);
        if self.links[link.0 as usize].setting.passing != passing {
            self.set_rounded(link, Setting { passing, ..self.setting(link) });
        }
    }

    /// Isolates a link of any kind altogether, or not.
    pub fn set_shut(&mut self, link: LinkId, shut: bool) {
        if self.links[link.0 as usize].setting.shut != shut {
            self.set_rounded(link, Setting { shut, ..self.setting(link) });
        }
    }

    /// Chokes a strainer: part of its free area taken away, 0 clean to 1.
    pub fn set_choked(&mut self, link: LinkId, choked: f64) {
        self.set(link, Setting { choked, ..self.setting(link) });
    }

    /// Turns a pump at a part of rated speed with a factor on its head curve (1 sound).
    pub fn set_pump(&mut self, link: LinkId, speed: f64, head_factor: f64) {
        let was = &self.links[link.0 as usize].setting;
        if was.speed == speed && was.head_factor == head_factor {
            return;
        }
        let (speed, head_factor) = (rounded(speed), rounded(head_factor));
        if was.speed != speed || was.head_factor != head_factor {
            self.set_rounded(link, Setting { speed, head_factor, ..self.setting(link) });
        }
    }

    /// Sets the head of a reservoir, m above the datum, rounded to 1 mm.
    ///
    /// # Panics
    /// When the node is a junction: its head is solved, never set.
    pub fn set_head(&mut self, node: NodeId, head: f64) {
        let i = node.0 as usize;
        assert!(self.layout.row[i] == NO_ROW, "only a reservoir's head can be set");
        let head = nearest(head * 1e3) / 1e3;
        if self.heads[i] != head {
            self.heads[i] = head;
            self.changed = true;
        }
    }

    /// Sets the head of a reservoir from the pressure (Pa absolute) at its connection.
    ///
    /// # Panics
    /// As [`Network::set_head`].
    pub fn set_pressure(&mut self, node: NodeId, pressure: f64) {
        let elevation = self.layout.graph.raw_nodes()[node.0 as usize].weight.elevation;
        self.set_head(node, elevation + (pressure - ATMOSPHERE) / (self.layout.fluid.density() * GRAVITY));
    }

    /// Takes this flow (m3/s) out of a junction, or puts it in when negative.
    pub fn set_demand(&mut self, node: NodeId, demand: f64) {
        let demand = nearest(demand * 1e9) / 1e9;
        if self.demand[node.0 as usize] != demand {
            self.demand[node.0 as usize] = demand;
            self.changed = true;
        }
    }
}

/// A setting's figure as it is kept.
fn rounded(x: f64) -> f64 {
    nearest(x * 1e4) / 1e4
}

/// The nearest whole number, the even one of two: where the spacing of numbers is one, the addition itself rounds. Good to
/// 2^51; beyond that it gives a number near by. The standard library's own is a call of many steps on some processors.
fn nearest(x: f64) -> f64 {
    const SPACED_BY_ONE: f64 = 6_755_399_441_055_744.0;
    (x + SPACED_BY_ONE) - SPACED_BY_ONE
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn the_nearest_whole_number() {
        for (x, whole) in [(0.4, 0.0), (0.6, 1.0), (-0.6, -1.0), (2.5, 2.0), (3.5, 4.0), (1e12 + 0.6, 1e12 + 1.0)] {
            assert_eq!(nearest(x), whole, "{x}");
        }
        assert!(nearest(f64::NAN).is_nan() && nearest(f64::INFINITY).is_infinite());
    }
}
