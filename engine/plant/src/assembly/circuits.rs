//! Liquid circuits: junctions, pipes, orifices, strainers, cooler sides, valves and pumps into networks.

use super::fields::{Fields, linked};
use super::{Draft, Fault, LiquidLink, LiquidNode, unit_of};
use crate::liquid::{Characteristic, Fluid, LinkKind, LinkParams, NetworkBuilder, PumpCurve};
use crate::registry::Size;
use base::description::{Component, Description};
use base::units::Dimension as D;

/// A circuit under assembly.
pub struct CircuitDraft {
    pub tag: String,
    pub builder: NetworkBuilder,
    /// Temperatures at the start, for junctions that say so.
    pub temperatures: Vec<(crate::liquid::NodeId, f64)>,
}

/// A node that holds its head and temperature for ever: the sea, a main, the air at a nozzle.
#[derive(Clone, Copy, Debug)]
pub struct Outside {
    pub at: LiquidNode,
    pub head: f64,
    pub temperature: f64,
}

pub fn characteristic(f: &Fields<'_>) -> Characteristic {
    f.word(
        "characteristic",
        &[("linear", Characteristic::Linear), ("equal percentage", Characteristic::EqualPercentage(30.0))],
    )
}

impl Draft<'_> {
    /// Circuits first, then every node, so that links may name nodes that are written later.
    pub fn circuits_and_nodes(&mut self, d: &Description) {
        for c in d.components.iter().filter(|c| c.kind == "circuit") {
            let f = Fields::new(c, self.wrong);
            let fluid = f.word(
                "fluid",
                &[
                    ("sea water", Fluid::SeaWater),
                    ("fresh water", Fluid::FreshWater),
                    ("feed water", Fluid::FeedWater),
                    ("diesel oil", Fluid::DieselOil),
                    ("heavy oil", Fluid::HeavyOil),
                ],
            );
            self.circuits.push(CircuitDraft {
                tag: c.tag.clone(),
                builder: NetworkBuilder::new(fluid),
                temperatures: vec![],
            });
            f.finish(&[], &[]);
        }
        for c in &d.components {
            match c.kind.as_str() {
                "junction" => self.junction(c),
                "outside" => self.outside(c),
                "into drum" => self.drum_inlet(c),
                "tank" => self.tank(c),
                _ => {}
            }
        }
    }

    fn circuit_of(&mut self, f: &Fields<'_>) -> Option<usize> {
        let tag = f.optional_link("in");
        let found = tag.and_then(|t| self.circuits.iter().position(|x| x.tag == t.as_str()));
        if found.is_none() {
            f.wrong("plant::circuit", "its link \"in\" must name a circuit".into(), None);
        }
        found
    }

    fn junction(&mut self, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let (elevation, holds) = (f.need("elevation", D::Length), f.need("holds", D::Volume));
        let temperature = f.optional("temperature at start", D::Temperature);
        let to_room = f.optional("to room", D::HeatConductance);
        if let Some(k) = self.circuit_of(&f) {
            let node = self.circuits[k].builder.junction(&c.tag, elevation, holds);
            if let Some(conductance) = to_room {
                self.circuits[k].builder.to_room(node, conductance);
            }
            if let Some(t) = temperature {
                self.circuits[k].temperatures.push((node, t));
            }
            self.liquid_nodes.insert(c.tag.clone(), LiquidNode { circuit: k, node });
        }
        f.finish(&["in"], &[]);
    }

    fn outside(&mut self, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let (head, temperature) = (f.need("head", D::Length), f.need("temperature", D::Temperature));
        if let Some(k) = self.circuit_of(&f) {
            // The connection is told at the height of its surface: gauge pressure zero.
            let node = self.circuits[k].builder.reservoir(&c.tag, head);
            let at = LiquidNode { circuit: k, node };
            self.liquid_nodes.insert(c.tag.clone(), at);
            self.outsides.push(Outside { at, head, temperature });
        }
        f.finish(&["in"], &[]);
    }

    fn drum_inlet(&mut self, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let elevation = f.need("elevation", D::Length);
        if let Some(k) = self.circuit_of(&f) {
            let node = self.circuits[k].builder.reservoir(&c.tag, elevation);
            let at = LiquidNode { circuit: k, node };
            self.liquid_nodes.insert(c.tag.clone(), at);
            self.drum_inlet = Some(at);
        }
        f.finish(&["in", "of"], &[]);
    }

    /// The two ends of a link; both must be nodes of one circuit.
    pub fn liquid_ends(
        &self,
        d: &Description,
        f: &Fields<'_>,
        from: &'static str,
        to: &'static str,
    ) -> Option<(LiquidNode, LiquidNode)> {
        let (a, b) = (linked(d, f, from)?, linked(d, f, to)?);
        let node = |c: &Component| {
            let found = self.liquid_nodes.get(&c.tag).copied();
            if found.is_none() {
                f.wrong("plant::not-a-node", format!("{} is not a node of a liquid circuit", c.tag), None);
            }
            found
        };
        let (a, b) = (node(a)?, node(b)?);
        if a.circuit != b.circuit {
            f.wrong("plant::two-circuits", "its two ends are in different circuits".into(), None);
            return None;
        }
        Some((a, b))
    }

    pub fn liquid_link(
        &mut self,
        tag: &str,
        ends: (LiquidNode, LiquidNode),
        params: impl Into<LinkParams>,
    ) -> LiquidLink {
        let (a, b) = ends;
        let mut params = params.into();
        // What runs into a tank falls in from above its surface, and nothing can be drawn back by that way.
        params.non_return |= self.tanks.iter().any(|t| t.at == b);
        let link = self.circuits[a.circuit].builder.link(tag, a.node, b.node, params);
        let at = LiquidLink { circuit: a.circuit, link, from: a.node, to: b.node };
        self.liquid_links.insert(tag.to_owned(), at);
        at
    }

    /// Pipes, orifices and strainers: links that nobody works.
    pub fn plain_links(&mut self, d: &Description) {
        for c in &d.components {
            let f = Fields::new(c, self.wrong);
            let kind = match c.kind.as_str() {
                "pipe" => LinkKind::Pipe {
                    length: f.need("length", D::Length),
                    diameter: f.need("diameter", D::Length),
                    roughness: f.need("roughness", D::Length),
                    minor_loss: f.or("losses", D::Number, 0.0),
                },
                "orifice" => {
                    LinkKind::ValveKv { kv: f.need("Kv", D::FlowCoefficient), characteristic: Characteristic::Linear }
                }
                "strainer" => LinkKind::Strainer {
                    diameter: f.need("diameter", D::Length),
                    minor_loss: f.need("losses", D::Number),
                },
                _ => continue,
            };
            if let Some(ends) = self.liquid_ends(d, &f, "from", "to") {
                let at = self.liquid_link(&c.tag, ends, kind);
                if c.kind == "strainer" {
                    self.strainers.push((c.tag.clone(), at));
                    let size = Size {
                        what: "part choked",
                        unit: unit_of("% of rated"),
                        min: 0.0,
                        max: 0.98,
                        default: Some(0.8),
                        sound: Some(0.0),
                    };
                    let told = ("pressure behind it falls with flow", "change over to another strainer, and clean it");
                    self.failing(&c.tag, "choked", Some(size), told, Fault::StrainerChoked(at));
                }
            }
            f.finish(&["from", "to"], &[]);
        }
    }

    /// A pump's curve from its table.
    pub fn curve(&self, f: &Fields<'_>) -> Option<PumpCurve> {
        let rows = f.table("curve", D::VolumeFlow, D::Length);
        let curve = match rows.as_deref() {
            Some(&[a, b, c]) => PumpCurve::through([a, b, c]),
            _ => None,
        };
        if curve.is_none() {
            f.wrong(
                "plant::curve",
                "needs a table \"curve\" of three points: the first at no flow, flows rising, heads falling".into(),
                None,
            );
        }
        curve
    }
}
