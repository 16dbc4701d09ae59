//! A condenser on a test bench: shell, hotwell and pumps without the rest of the plant.

mod checks;
mod salt;
mod vacuum;

use super::*;
use crate::machines::MotorParams;
use crate::steam::{BranchId, BranchSpec, Gives, NodeId, Outside, SteamNet, Wall};
use crate::vessel::{Contents, T_ZERO, Vessel};
use crate::water;
use base::units::ATMOSPHERE;

pub(super) const DT: f64 = 0.1;
const SEA_IN: f64 = 297.15;
const VOLUME: f64 = 4.0;

pub(super) fn tubes() -> TubesParams {
    TubesParams { wet: 1.75e6, dry: 1.5e4, water: 8.8e5, flow_nominal: 110.0, capacity: 9e5 }
}

pub(super) fn pump_params() -> VacuumPumpParams {
    VacuumPumpParams {
        capacity: 0.06,
        power: 5.5e3,
        seal_capacity: 4e5,
        seal_cooling: 2e3,
        motor: MotorParams {
            run_up: 2.0,
            run_down: 3.0,
            rated_power: 7.5e3,
            efficiency: 0.88,
            overload: 1.15,
            overload_delay: 20.0,
        },
    }
}

/// Shell, hotwell as a plain store, one vacuum pump, a steam valve and an air leak.
#[derive(Clone)]
pub(super) struct Rig {
    pub net: SteamNet,
    pub shell: NodeId,
    pub steam: BranchId,
    pub leak: BranchId,
    pub condenser: Condenser,
    pub pump: VacuumPump,
    pub water: CoolingWater,
    pub hotwell: Below,
    /// Drawn from the hotwell, kg/s: as much as steam comes, or so much.
    pub follows: bool,
    pub pumped: f64,
    /// Given to the cooling water, J.
    pub cooled: f64,
    /// Drawn out by the pump: water, air, J.
    pub drawn: [f64; 3],
    /// Pumped away: kg, J.
    pub away: (f64, f64),
    /// Came in with the tube leak: kg, J.
    pub leaked: (f64, f64),
    /// Came by the branches: water, air, J.
    pub came: [f64; 3],
}

impl Rig {
    /// Cold, full of air, cooling water running, steam at 6 bar behind a shut valve.
    pub fn cold() -> Rig {
        let mut b = SteamNet::builder();
        let sky = b.outside("atmosphere", Outside::atmosphere(SEA_IN, 0.6));
        let main = b.outside("main", Outside::new(6e5, 450.0, Gives::Steam));
        let start = Contents::humid_air(VOLUME, 0.0, ATMOSPHERE, SEA_IN, 0.0, 0.6);
        let wall =
            Wall { t: SEA_IN, capacity: tubes().capacity, dry: 0.0, wet: 0.0, loss: 0.0, ambient: SEA_IN, heat: 0.0 };
        let shell = b.vessel("condenser", Vessel::new(VOLUME, 0.0, start), Some(wall));
        let steam = b.branch(main, shell, BranchSpec::new("dump valve", 170.0));
        let leak = b.branch(sky, shell, BranchSpec::new("in-leakage", 10.0));
        let mut net = b.build().unwrap();
        net.set_opening(steam, 0.0);
        net.set_opening(leak, 0.0);
        let params = ShellParams { tubes: tubes(), volume: VOLUME, approach: 0.3 };
        let hotwell = Below { mass: 500.0, most: 1000.0, temperature: SEA_IN, enthalpy: 4190.0 * (SEA_IN - 273.15) };
        let mut pump = VacuumPump::new(pump_params(), SEA_IN);
        pump.motor.step(true, 0.0, 0.0);
        Rig {
            net,
            shell,
            steam,
            leak,
            condenser: Condenser::new(params),
            pump,
            water: CoolingWater { mass_flow: 110.0, heat_capacity: 3993.0, temperature: SEA_IN },
            hotwell,
            follows: false,
            pumped: 0.0,
            cooled: 0.0,
            drawn: [0.0; 3],
            away: (0.0, 0.0),
            leaked: (0.0, 0.0),
            came: [0.0; 3],
        }
    }

    /// Under vacuum with some steam, settled.
    pub fn steaming(opening: f64) -> Rig {
        let mut rig = Rig::cold();
        rig.net.set_opening(rig.leak, 0.01);
        rig.follows = true;
        rig.pump.motor.start();
        rig.net.set_opening(rig.steam, 0.1 * opening);
        rig.run(600.0);
        rig.net.set_opening(rig.steam, opening);
        rig.run(600.0);
        rig
    }

    pub fn tick(&mut self) {
        let e = *self.net.state(self.shell);
        let contents = self.net.contents(self.shell);
        let suction = self.condenser.suction(&e, self.water);
        let flow = self.water.mass_flow / 110.0;
        let drawn = self.pump.step(true, &suction, &contents, (self.water.temperature, flow), DT);
        let taken = self.condenser.fall(&e, &self.hotwell);
        let leak = self.condenser.leak(&e, 2e5, 1025.0);
        let leak = Taken { water: leak, energy: leak * 3993.0 * (self.water.temperature - 273.15) };
        let inflow = self.condenser.inflow(taken, drawn, leak);
        self.net.set_inflow(self.shell, inflow);
        let wall = self.net.wall_mut(self.shell).unwrap();
        self.condenser.set_wall(wall, &e, self.water);
        self.net.step(DT).unwrap();
        let lost = self.net.wall_lost(self.shell);
        self.condenser.settle(lost);
        self.cooled += lost;
        for (sum, x) in self.drawn.iter_mut().zip([drawn.water, drawn.air, drawn.energy]) {
            *sum += x * DT;
        }
        self.leaked.0 += leak.water * DT;
        self.leaked.1 += leak.energy * DT;
        for b in [self.steam, self.leak].map(|b| self.net.branch(b)) {
            self.came[0] += b.flow() * (1.0 - b.air_fraction()) * DT;
            self.came[1] += b.flow() * b.air_fraction() * DT;
            self.came[2] += b.enthalpy_flow() * DT;
        }
        if self.follows {
            self.pumped = self.net.flow(self.steam);
        }
        // The hotwell as a plain store.
        let h = &mut self.hotwell;
        let held = h.mass * h.enthalpy + (taken.energy - self.pumped * h.enthalpy) * DT;
        self.away.0 += self.pumped * DT;
        self.away.1 += self.pumped * h.enthalpy * DT;
        h.mass += (taken.water - self.pumped) * DT;
        h.enthalpy = held / h.mass;
        h.temperature = 273.15 + h.enthalpy / 4190.0;
    }

    pub fn run(&mut self, seconds: f64) {
        for _ in 0..(seconds / DT).round() as u32 {
            self.tick();
        }
    }

    pub fn p(&self) -> f64 {
        self.net.p(self.shell)
    }

    pub fn air(&self) -> f64 {
        let e = self.net.state(self.shell);
        e.p - e.p_steam
    }

    /// Water, air and energy held and gone, less what came: constant.
    pub fn account(&self) -> [f64; 3] {
        let c = self.net.contents(self.shell);
        let wall = self.net.wall(self.shell).unwrap();
        let h = &self.hotwell;
        [
            c.water + h.mass + self.away.0 + self.drawn[0] - self.leaked.0 - self.came[0],
            c.air + self.drawn[1] - self.came[1],
            c.energy
                + wall.capacity * (wall.t - T_ZERO)
                + h.mass * h.enthalpy
                + self.away.1
                + self.cooled
                + self.drawn[2]
                - self.leaked.1
                - self.came[2],
        ]
    }
}
