//! Cooling beside pumps, valves and coolers: self-acting thermostats, electric heaters, casings of pumps.

use crate::assembly::{LiquidLink, LiquidNode};
use crate::machines::exchanger::side_of;
use crate::machines::{ElectricHeater, Thermostat};
use crate::parts::Parts;
use base::tick::TICK_SECONDS as DT;

/// A thermostat, where it feels and the valve that it moves.
#[derive(Clone, Copy, Debug)]
pub struct ThermostatPart {
    pub feels: LiquidNode,
    pub moves: usize,
    pub thermostat: Thermostat,
}

base::kept!(ThermostatPart { thermostat } fixed { feels, moves });

/// An electric heater in its link; its thermostat feels the node that the link runs to.
#[derive(Clone, Debug)]
pub struct HeaterPart {
    pub link: LiquidLink,
    pub heater: ElectricHeater,
}

base::kept!(HeaterPart { heater } fixed { link });

impl Parts {
    /// Thermostats move their valves; before the drives.
    pub fn thermostats(&mut self) {
        for t in &mut self.thermostats {
            let water = self.circuits[t.feels.circuit].temperature(t.feels.node);
            self.valves[t.moves].actuator.set_command(t.thermostat.step(water, DT));
        }
    }

    /// Heaters and the casings of pumps heat their liquids; after the circuits are solved.
    pub fn heaters_and_casings(&mut self, live: bool) {
        for h in &mut self.heaters {
            let net = &mut self.circuits[h.link.circuit];
            let side = side_of(net, h.link.link);
            let heat = h.heater.step(live, side, net.temperature(h.link.to), self.ambient, DT);
            net.set_heat(h.link.link, heat);
        }
        for p in self.pumps.iter_mut().filter(|p| p.pump.casing.is_some()) {
            p.pump.warm(&mut self.circuits[p.circuit], self.ambient, DT);
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::electrical_tests::ship;
    use crate::ledger::Store;
    use crate::small_plant::{Hand, plant};

    /// A high-temperature circuit with its preheater, a thermostat that holds the outlet of the engine, and a
    /// low-temperature side that runs through; the heat load stands for the engine's jackets.
    fn circuit(engine: &str) -> Hand {
        Hand(plant(&text(engine)))
    }

    fn text(engine: &str) -> String {
        format!(
            "
            CW-1300 | circuit | | fluid=fresh water
            CW-1200 | circuit | | fluid=fresh water
            N-1200 | outside | in CW-1200 | head 25 m; temperature 35 degC
            N-1201 | junction | in CW-1200 | elevation 0 m; holds 0.05 m3
            N-1202 | junction | in CW-1200 | elevation 0 m; holds 0.05 m3
            N-1209 | outside | in CW-1200 | head 5 m; temperature 35 degC
            PL-1201 | pipe | from N-1200; to N-1201 | length 5 m; diameter 80 mm; roughness 0.05 mm
            PL-1202 | pipe | from N-1202; to N-1209 | length 5 m; diameter 80 mm; roughness 0.05 mm
            T-1301 | tank | in CW-1300 | area 0.3 m2; height 1 m; elevation 9 m; level at start 0.6 m; temperature at start 22 degC
            N-1301 | junction | in CW-1300 | elevation 0 m; holds 0.05 m3
            N-1302 | junction | in CW-1300 | elevation 0 m; holds 0.05 m3
            N-1303 | junction | in CW-1300 | elevation 1 m; holds 0.15 m3
            N-1304 | junction | in CW-1300 | elevation 0 m; holds 0.05 m3
            N-1305 | junction | in CW-1300 | elevation 0 m; holds 0.02 m3
            PL-1300 | pipe | from T-1301; to N-1301 | length 10 m; diameter 32 mm; roughness 0.05 mm
            P-1301 | pump | from N-1301; to N-1302 | efficiency 60 % efficient; run up 3 s; suction head needed 3 m; casing 60 kJ/K; casing to room 4 W/K; curve m3/h m 0 26, 25 20, 40 8
            P-1302 | pump | from N-1301; to N-1305 | efficiency 50 % efficient; run up 2 s; curve m3/h m 0 8, 4 6, 6 3
            E-1303 | electric heater | from N-1305; to N-1302 | diameter 40 mm; losses 5 none; power 18 kW; on below 60 degC; off above 65 degC; element 10 kJ/K; element to water 500 W/K; element to room 2 W/K; cut-out at 130 degC
            PL-1303 | pipe | from N-1302; to N-1303 | length 6 m; diameter 80 mm; roughness 0.05 mm; losses 30 none
            E-1301 | cooler | hot from N-1303; hot to N-1304; cold from N-1201; cold to N-1202 | conductance 12 kW/K; diameter 80 mm; hot losses 20 none; cold losses 20 none
            TV-1301 | thermostatic valve | from cooler N-1304; from by-pass N-1303; to N-1301; feels N-1303 | Kv 60 Kv; stroke time 20 s; opens from 76 degC; full open at 86 degC; lag of the bulb 12 s
            XV-1303 | valve | from N-1302; to N-1303 | Kv 10 Kv; stroke time 5 s
            {engine}
            TT-1301 | transmitter | of N-1303 | reads=temperature; range=0 degC to 130 degC; lag 2 s
            TT-1302 | transmitter | of N-1301 | reads=temperature; range=0 degC to 130 degC; lag 2 s
            TT-1303 | transmitter | of P-1301 | reads=casing temperature; range=0 degC to 130 degC; lag 2 s
            TT-1304 | transmitter | of E-1303 | reads=element temperature; range=0 degC to 200 degC; lag 2 s
            FT-1301 | transmitter | of PL-1303 | reads=flow; range=0 kg/s to 20 kg/s; lag 1 s
            PT-1301 | transmitter | of N-1302 | reads=pressure; range=0 barg to 6 barg; lag 0.5 s"
        )
    }

    /// The same with the small ship's diesel set in place of the heat load; the engine turns its own pump.
    fn with_diesel() -> Hand {
        let circuit = text("").replace(
            "P-1301 | pump | from N-1301; to N-1302 |",
            "P-1301 | pump | from N-1301; to N-1302; driven by D-5011 |",
        );
        let ship = ship::text().replace("cooled by PL-1102", "cooled by PL-1303");
        let mut h = Hand(plant(&(circuit + &ship)));
        h.run(1.0);
        h.set("D-5011", "start");
        h.until("the diesel is ready", 60.0, |h| h.actual("ET-5001") > 440.0);
        h.set("HS-5001", "in");
        h.set("HS-5000", "automatic");
        h.until("synchronised", 200.0, |h| h.actual("CB-5001") > 0.5);
        h.set("HS-5000", "manual");
        h.set("L-5402", "in");
        for _ in 0..40 {
            h.set("SC-5001", "raise");
            h.run(2.0);
        }
        h
    }

    #[test]
    fn the_engine_turns_its_own_pump_and_is_held_by_its_thermostat() {
        let mut h = with_diesel();
        assert!(h.0.control(&base::Tag::new("P-1301")).is_none(), "nobody starts or stops it");
        assert!(h.actual("YS-1301") > 0.5 && h.actual("FT-1301") > 3.0, "{}", h.actual("FT-1301"));
        h.run(3600.0);
        println!(
            "{} kW, water {} degC, block {}",
            h.actual("JT-5001") / 1e3,
            h.celsius("TT-1301"),
            h.celsius("TT-5011")
        );
        assert!((70.0..90.0).contains(&h.celsius("TT-1301")), "{}", h.celsius("TT-1301"));
        assert!(h.actual("YS-5011") > 0.5);
    }

    #[test]
    fn the_diesel_trips_without_its_cooling() {
        let mut h = with_diesel();
        h.run(1200.0);
        assert!(h.actual("XS-5011") < 0.5);
        h.fail("P-1301", "worn", true, Some(0.9));
        h.fail("TV-1301", "seized", true, Some(0.0));
        let took = h.until("it trips", 3600.0, |h| h.actual("XS-5011") > 0.5);
        println!("after {took} s at {} degC", h.celsius("TT-5011"));
        assert!(h.celsius("TT-5011") > 90.0);
        h.until("it stands", 120.0, |h| h.actual("YS-5011") < 0.5);
    }

    fn energy(h: &Hand) -> (f64, f64) {
        let held = |s: Store| match s {
            Store::Liquid { fluid, mass, t, height, .. } => mass * (fluid.enthalpy(t) + 9.80665 * height),
            Store::Heat { capacity, t, .. } => capacity * t,
            _ => 0.0,
        };
        (h.0.stores().into_iter().map(held).sum(), h.0.crossings().energy)
    }

    fn closes(h: &Hand, start: (f64, f64)) {
        let now = energy(h);
        let error = now.0 - start.0 - (now.1 - start.1);
        assert!(error.abs() < 1e-9 * h.0.crossings().energy_through, "{error} of {:?}", h.0.crossings());
    }

    #[test]
    fn the_preheater_holds_an_idle_engine_warm_and_energy_closes() {
        let mut h = circuit("");
        let start = energy(&h);
        h.set("P-1302", "start");
        h.set("E-1303", "automatic");
        h.until("warm", 7200.0, |h| h.celsius("TT-1301") > 58.0);
        h.run(3600.0);
        let (mut low, mut high) = (f64::MAX, f64::MIN);
        for _ in 0..3600 {
            h.run(1.0);
            (low, high) = (low.min(h.celsius("TT-1301")), high.max(h.celsius("TT-1301")));
        }
        // Nothing cools it but the casing of the standing pump, so that it stands where the heater let go.
        assert!(low > 58.0 && high < 67.0, "{low} {high}");
        closes(&h, start);
    }

    #[test]
    fn a_preheater_without_its_pump_cuts_out_and_warms_no_water() {
        let mut h = circuit("");
        let start = energy(&h);
        h.set("E-1303", "automatic");
        let mut hottest = 0.0f64;
        for _ in 0..3600 {
            h.run(1.0);
            hottest = hottest.max(h.celsius("TT-1304"));
        }
        assert!((125.0..132.0).contains(&hottest), "{hottest}");
        assert!(h.celsius("TT-1301") < 25.0, "{}", h.celsius("TT-1301"));
        closes(&h, start);
    }

    #[test]
    fn the_thermostat_holds_the_outlet_of_the_engine() {
        // About 230 kW at 80 degC.
        let mut h =
            circuit("H-1303 | heat load | in N-1303; by PL-1303 | source temperature 120 degC; conductance 6 kW/K");
        let start = energy(&h);
        h.set("P-1301", "start");
        h.run(1800.0);
        let (mut low, mut high) = (f64::MAX, f64::MIN);
        for _ in 0..1200 {
            h.run(1.0);
            (low, high) = (low.min(h.celsius("TT-1301")), high.max(h.celsius("TT-1301")));
        }
        println!("{low} to {high} degC, valve {}", h.actual("TV-1301"));
        assert!(low > 75.0 && high < 87.0 && high - low < 2.0, "{low} {high}");
        assert!(h.celsius("TT-1303") < h.celsius("TT-1301"), "a stream keeps the casing at its own temperature");
        closes(&h, start);
        // A seized thermostat lets it overheat.
        h.fail("TV-1301", "seized", true, Some(0.0));
        h.until("hot", 1800.0, |h| h.celsius("TT-1301") > 95.0);
    }
}
