//! A boiler on a test bench: all parts in the documented order, with simple outlets to atmosphere.

use super::fire::Front;
use crate::boiler::sizing;
use crate::boiler::{Drum, DrumFlows, Shell, Superheater, Tubes};
use crate::vessel::{Contents, Equilibrium, Vessel};
use base::units::ATMOSPHERE;

pub(super) const DT: f64 = 0.1;
pub(super) const COLD: f64 = 293.15;

/// What went over the boundary, for the balance: water and air in less out, kg; energy in less out, J.
#[derive(Clone, Copy, Default)]
pub(super) struct Ledger {
    pub water: f64,
    pub air: f64,
    pub energy: f64,
}

#[derive(Clone)]
pub(super) struct Bench {
    pub front: Front,
    pub vessel: Vessel,
    pub e: Equilibrium,
    pub drum: Drum,
    pub superheater: Superheater,
    /// Open areas, m2, discharge coefficient included.
    pub vent: f64,
    pub drain: f64,
    /// Steam taken, kg/s.
    pub load: f64,
    /// Feed, kg/s and J/kg.
    pub feed: f64,
    pub feed_enthalpy: f64,
    /// Water drawn from the bottom, kg/s.
    pub blowdown: f64,
    pub ledger: Ledger,
    pub steam: f64,
}

/// Flow of gas out of an orifice, kg/s.
fn blow(area: f64, p: f64, density: f64) -> f64 {
    if p <= ATMOSPHERE {
        return 0.0;
    }
    // Ratio of choking for steam near 0.55; 0.66 makes both branches meet within a few per cent.
    let free = (2.0 * density * (p - ATMOSPHERE)).sqrt();
    area * free.min(0.66 * (density * p).sqrt())
}

impl Bench {
    /// Water to a level (m from normal), air above, everything cold.
    pub fn cold(level: f64) -> Bench {
        let p = sizing::drum();
        let drum_part = level_volume(level);
        let water = p.circulation.riser_volume + p.circulation.downcomer_volume + drum_part;
        let contents = Contents::humid_air(p.volume(), sizing::WATER_METAL, ATMOSPHERE, COLD, water, 1.0);
        Bench::with(contents, COLD)
    }

    /// Saturated at a pressure, at a collapsed level, all metal warm.
    pub fn hot(pressure: f64, level: f64) -> Bench {
        let p = sizing::drum();
        let water = p.circulation.riser_volume + p.circulation.downcomer_volume + level_volume(level);
        let t = crate::water::t_sat(pressure);
        Bench::with(Contents::saturated(p.volume(), sizing::WATER_METAL, pressure, water), t)
    }

    fn with(contents: Contents, t: f64) -> Bench {
        let p = sizing::drum();
        let mut vessel = Vessel::new(p.volume(), sizing::WATER_METAL, contents);
        vessel.t_start = t;
        let e = vessel.equilibrium().unwrap();
        let mut drum = Drum::new(p, &e);
        drum.shell = Some(Shell::new(sizing::shell(), t));
        drum.tubes = Some(Tubes::new(sizing::tubes(), t));
        Bench {
            front: Front::new(t),
            vessel,
            e,
            drum,
            superheater: Superheater::new(sizing::superheater(), t),
            vent: 0.0,
            drain: 0.0,
            load: 0.0,
            feed: 0.0,
            feed_enthalpy: 4200.0 * (COLD - 273.16),
            blowdown: 0.0,
            ledger: Ledger::default(),
            steam: 0.0,
        }
    }

    pub fn tick(&mut self) {
        let e = self.e;
        self.front.pressure = e.p;
        self.front.riser_wall = self.drum.riser_wall();
        self.front.superheater_wall = self.superheater.temperature();
        let burst = self.drum.tubes.as_ref().unwrap().leak_area();
        if burst > 0.0 {
            self.front.burner.blow_out();
        }
        self.front.tick();
        let heat = *self.front.furnace.heat();
        let vent = blow(self.vent + burst, e.p, e.gas_density);
        let drain = blow(self.drain, e.p, e.gas_density);
        self.superheater.step(DT, heat.superheater, drain + self.load, e.t);
        let (risers, shell) = self.drum.warm(DT, heat.risers(), COLD);
        let gas = vent + drain + self.load;
        let m = self.drum.moisture();
        let (water_in_gas, air) =
            (gas * (1.0 - m) * (1.0 - e.air_fraction) + gas * m, gas * (1.0 - m) * e.air_fraction);
        let h = gas * ((1.0 - m) * e.h_gas + m * e.h_l);
        let drawn = if e.liquid_mass > self.blowdown * DT { self.blowdown } else { 0.0 };
        let water = self.feed - water_in_gas - drawn;
        let energy = risers + shell + self.feed * self.feed_enthalpy - h - drawn * e.h_l;
        let c = &mut self.vessel.contents;
        c.water += water * DT;
        c.air = (c.air - air * DT).max(0.0);
        c.energy += energy * DT;
        self.ledger.water += water * DT;
        self.ledger.air -= air * DT;
        self.ledger.energy += energy * DT;
        self.steam = gas;
        self.e = self.vessel.equilibrium().unwrap();
        let flows = DrumFlows { heat: risers, feed: self.feed, feed_enthalpy: self.feed_enthalpy, steam: gas };
        self.drum.distribute(DT, &self.e, &flows);
    }

    pub fn run(&mut self, seconds: f64) {
        for _ in 0..(seconds / DT).round() as usize {
            self.tick();
        }
    }

    pub fn gauge(&self) -> f64 {
        (self.e.p - ATMOSPHERE) / 1e5
    }

    pub fn difference(&self) -> f64 {
        self.drum.shell.as_ref().unwrap().difference()
    }

    pub fn shell_damage(&self) -> f64 {
        self.drum.shell.as_ref().unwrap().damage.total()
    }

    /// Lights up by the automatic sequence and fires by hand at this rate.
    pub fn fire(&mut self, rate: f64) {
        self.front.management.set_automatic(true);
        let s = self.front.signals;
        self.front.management.start(&s).unwrap();
        self.front.master.set_manual(rate);
        for _ in 0..1200 {
            if self.front.management.state() == crate::boiler::BurnerState::Firing {
                return;
            }
            self.tick();
        }
        panic!("does not light: {}", self.front.management.state().word());
    }
}

/// Volume of drum water at a level (m from normal), by halving.
fn level_volume(level: f64) -> f64 {
    let p = sizing::drum();
    let (mut low, mut high) = (0.0, p.shape.volume());
    for _ in 0..60 {
        let mid = 0.5 * (low + high);
        if p.shape.stand(mid).height - p.normal_level < level { low = mid } else { high = mid }
    }
    low
}
