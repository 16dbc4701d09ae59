//! The lance for heavy oil beside the burner's pressure jet.

use super::Draft;
use super::fields::{Fields, linked};
use crate::PointId;
use crate::boiler::AtomiserParams;
use crate::heavy_oil_part::LancePart;
use base::description::{Component, Description};
use base::units::Dimension as D;
use base::{Diagnostic, Place};

/// A lance under assembly.
pub struct LanceDraft {
    tag: String,
    place: Place,
    atomiser: AtomiserParams,
    /// Fuel valve, shut-off, nozzle, node, flow, low fuel.
    links: [String; 6],
    /// Steam and air.
    medium: [Option<String>; 2],
}

impl Draft<'_> {
    /// Reads a lance.
    pub fn lance(&mut self, d: &Description, c: &Component) {
        let f = Fields::new(c, self.wrong);
        let atomiser = AtomiserParams {
            pressure: (
                f.need("atomising fails below", D::PressureDifference),
                f.need("atomising good from", D::PressureDifference),
            ),
            viscosity: (
                f.need("viscosity good to", D::KinematicViscosity),
                f.need("viscosity fails above", D::KinematicViscosity),
            ),
        };
        let tag = |role: &'static str| linked(d, &f, role).map(|c| c.tag.clone()).unwrap_or_default();
        let links = ["fuel", "shut-off", "nozzle", "oil at", "flow", "low fuel"].map(tag);
        let medium = ["steam", "air"].map(|role| f.optional_link(role).map(|_| tag(role)));
        if medium.iter().all(Option::is_none) {
            f.wrong(
                "plant::atomising",
                "has nothing that atomises".into(),
                Some("add a link \"steam\" to a steam space, or \"air\" to an air receiver".into()),
            );
        }
        f.finish(&["of", "fuel", "shut-off", "nozzle", "oil at", "flow", "low fuel", "steam", "air"], &[]);
        self.boiler.lance = Some(LanceDraft { tag: c.tag.clone(), place: c.place.clone(), atomiser, links, medium });
    }

    /// The lance with everything that it names; each name that is something else than it should is told.
    pub fn lance_part(&self, l: &LanceDraft) -> Option<LancePart> {
        fn found<T>(draft: &Draft<'_>, l: &LanceDraft, role: &str, x: Option<T>) -> Option<T> {
            if x.is_none() {
                let message = format!("{}: \"{role}\" names something else than it should", l.tag);
                draft.wrong.borrow_mut().push(Diagnostic::error("plant::lance", l.place.clone(), message));
            }
            x
        }
        let valve = |role: &str, tag: &String| found(self, l, role, self.valve_tags.iter().position(|t| t == tag));
        let point = |role: &str, tag: &str| {
            let at = self.offers.points.iter().position(|p| p.tag.as_str() == tag);
            found(self, l, role, at.map(|i| PointId(i as u16)))
        };
        let [fuel, shut_off, nozzle, oil, flow, low_fuel] = &l.links;
        let steam = l.medium[0].as_ref().map(|tag| found(self, l, "steam", self.steam_nodes.get(tag).copied()));
        let air = l.medium[1].as_ref().map(|tag| found(self, l, "air", self.air.vessel(tag)));
        Some(LancePart {
            atomiser: l.atomiser,
            nozzle: found(self, l, "nozzle", self.liquid_links.get(nozzle).copied())?,
            shut_off: valve("shut-off", shut_off)?,
            fuel_valve: valve("fuel", fuel)?,
            oil: found(self, l, "oil at", self.liquid_nodes.get(oil).copied())?,
            steam: match steam {
                Some(x) => Some(x?),
                None => None,
            },
            air: match air {
                Some(x) => Some(x?),
                None => None,
            },
            flow: point("flow", flow)?,
            low_fuel: point("low fuel", low_fuel)?,
            chosen: false,
        })
    }
}
