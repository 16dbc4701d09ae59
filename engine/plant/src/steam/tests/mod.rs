mod closure;
mod law;
mod lines;
mod steady;

use super::*;
use crate::vessel::{Contents, T_ZERO, Vessel, air_energy};
use crate::water;

/// A vessel of steam at a pressure and temperature.
pub(super) fn steam(volume: f64, p: f64, t: f64) -> Vessel {
    Vessel::new(volume, 0.0, Contents::steam(volume, 0.0, p, t))
}

/// A vessel of ordinary air at a temperature.
pub(super) fn air(volume: f64, t: f64) -> Vessel {
    Vessel::new(volume, 0.0, Contents::humid_air(volume, 0.0, 101_325.0, t, 0.0, 0.5))
}

/// A vessel at saturation with so much liquid.
pub(super) fn boiler(volume: f64, p: f64, liquid: f64, metal: f64) -> Vessel {
    Vessel::new(volume, metal, Contents::saturated(volume, metal, p, liquid))
}

/// Something of everything: a boiler part with metal, superheater, a small node, a line with a cold wall and a trap,
/// a consumer, a non-return valve, a safety valve, a vent and a condenser-like space.
pub(super) struct Mixed {
    pub net: SteamNet,
    pub boiler: NodeId,
    pub main: BranchId,
    pub vent: BranchId,
    pub use_valve: BranchId,
    pub safety: BranchId,
    pub blowdown: BranchId,
    pub condenser: NodeId,
    pub all: Vec<BranchId>,
    pub nodes: Vec<NodeId>,
}

pub(super) fn mixed(start: Vessel) -> Mixed {
    let mut b = SteamNet::builder();
    let sky = b.outside("atmosphere", Outside::atmosphere(298.15, 0.6));
    let tank = b.outside("drain tank", Outside::new(101_325.0, 298.15, Gives::Air { humidity: 1.0 }));
    let boiler = b.vessel("boiler", start, None);
    let superheater = b.vessel("superheater", air(0.08, 298.15), None);
    let header = b.vessel("header", air(0.005, 298.15), None);
    let wall = Wall { t: 298.15, capacity: 6e4, dry: 60.0, wet: 4000.0, loss: 8.0, ambient: 298.15, heat: 0.0 };
    let line = b.vessel("main line", air(0.2, 298.15), Some(wall));
    let coil = b.vessel(
        "coil",
        air(0.05, 298.15),
        Some(Wall { t: 298.15, capacity: 3e4, dry: 20.0, wet: 2000.0, loss: 500.0, ambient: 313.15, heat: 0.0 }),
    );
    let condenser = b.vessel("condenser", air(3.0, 298.15), None);
    let eq = Characteristic::EqualPercentage(50.0);
    let all = vec![
        b.branch(boiler, superheater, BranchSpec::new("drum outlet", 90.0)),
        b.branch(superheater, header, BranchSpec::non_return("non-return valve", 80.0)),
        b.branch(header, line, BranchSpec::new("main valve", 60.0).opening_as(eq)),
        b.branch(superheater, sky, BranchSpec::new("superheater vent", 6.0)),
        b.branch(line, coil, BranchSpec::new("coil valve", 10.0).opening_as(eq)),
        b.branch(boiler, sky, BranchSpec::safety("safety valve", 60.0, SafetyValve::new(18e5, 0.03, 0.05))),
        b.branch(boiler, tank, BranchSpec::drain("blowdown", 3.0)),
        b.branch(line, tank, BranchSpec::trap("line trap", 1.5)),
        b.branch(line, tank, BranchSpec::drain("line drain", 2.0).opening_as(Characteristic::QuickOpening)),
        b.branch(coil, tank, BranchSpec::trap("coil trap", 2.0)),
        b.branch(line, condenser, BranchSpec::new("dump", 20.0)),
        b.branch(condenser, sky, BranchSpec::new("vacuum breaker", 5.0)),
    ];
    let net = b.build().unwrap();
    let at = |k: usize| all[k];
    Mixed {
        main: at(2),
        vent: at(3),
        use_valve: at(4),
        safety: at(5),
        blowdown: at(6),
        boiler,
        condenser,
        nodes: vec![boiler, superheater, header, line, coil, condenser],
        net,
        all: all.clone(),
    }
}
