//! The emergency battery with its charger.
//!
//! Equations: charge `dQ/dt = efficiency * charger - drawn` as energy, J, between empty and full; the charger gives up to
//! its power while its bus is live, and tapers in a straight line over the last tenth; it first carries the load that
//! hangs on the battery's board. Voltage on discharge from 0.9 to 1.06 of nominal with the charge, 1.12 while charged:
//! open-circuit and float voltages of lead cells (1.9 to 2.12 and 2.25 V for a nominal 2 V: handbooks, from memory).
//! Assumptions: capacity does not depend on current or temperature; inner resistance is left out.
//! Units: J, W, V.

/// A battery's data.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BatteryParams {
    /// Full charge, J.
    pub capacity: f64,
    /// Nominal voltage, V.
    pub voltage: f64,
    /// What always hangs on it: control supply and emergency lighting, W.
    pub load: f64,
    /// Most that the charger gives, W.
    pub charger: f64,
    /// Charge that stays of what the charger gives into the cells.
    pub efficiency: f64,
}

/// A battery and its state.
#[derive(Clone, Debug, PartialEq)]
pub struct Battery {
    params: BatteryParams,
    charge: f64,
    charging: bool,
    /// Since the start, J: from the bus, to its load, lost in charging.
    account: (f64, f64, f64),
    /// The charger is dead.
    pub charger_dead: bool,
}

base::kept!(Battery { charge, charging, account, charger_dead } fixed { params });

impl Battery {
    /// A battery with this part of its full charge.
    #[must_use]
    pub fn new(params: BatteryParams, part: f64) -> Battery {
        let charge = params.capacity * part;
        Battery { params, charge, charging: false, account: (0.0, 0.0, 0.0), charger_dead: false }
    }

    /// Its data.
    #[must_use]
    pub fn params(&self) -> &BatteryParams {
        &self.params
    }

    /// Charge, J.
    #[must_use]
    pub fn charge(&self) -> f64 {
        self.charge
    }

    /// Whether the control supply is there.
    #[must_use]
    pub fn live(&self) -> bool {
        self.charge > 0.0 || self.charging
    }

    /// Voltage, V.
    #[must_use]
    pub fn voltage(&self) -> f64 {
        let part = self.charge / self.params.capacity;
        if self.charging {
            1.12 * self.params.voltage
        } else if self.charge > 0.0 {
            (0.9 + 0.16 * part) * self.params.voltage
        } else {
            0.0
        }
    }

    /// From the bus, to its load, and lost in charging since the start, J.
    #[must_use]
    pub fn account(&self) -> (f64, f64, f64) {
        self.account
    }

    /// Runs for `dt` seconds: whether the charger's bus is live, and what else is drawn, W. Returns what the charger takes
    /// from the bus, W.
    pub fn step(&mut self, live: bool, more: f64, dt: f64) -> f64 {
        let p = &self.params;
        let load = if self.live() || (live && !self.charger_dead) { p.load + more } else { 0.0 };
        self.charging = live && !self.charger_dead;
        let room = ((1.0 - self.charge / p.capacity) / 0.1).clamp(0.0, 1.0);
        let (bus, into) = if self.charging {
            let direct = load.min(p.charger);
            let spare = (p.charger - direct) * room;
            (direct + spare, spare)
        } else {
            (0.0, 0.0)
        };
        let direct = if self.charging { load.min(p.charger) } else { 0.0 };
        let wanted = (load - direct) * dt;
        let drawn = wanted.min(self.charge);
        let stored = (p.efficiency * into * dt).min(p.capacity - self.charge + drawn);
        self.charge += stored - drawn;
        self.account.0 += bus * dt;
        self.account.1 += direct * dt + drawn;
        self.account.2 += into * dt - stored;
        bus
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SMALL: BatteryParams =
        BatteryParams { capacity: 7.2e6, voltage: 24.0, load: 600.0, charger: 1500.0, efficiency: 0.85 };

    #[test]
    fn it_lasts_as_long_as_its_charge_and_comes_back() {
        let mut b = Battery::new(SMALL, 1.0);
        let empty = (1..).find(|_| {
            b.step(false, 0.0, 1.0);
            !b.live()
        });
        assert_eq!(empty, Some(12_000));
        assert_eq!(b.voltage(), 0.0);
        let mut bus = 0.0;
        for _ in 0..10_800 {
            bus += b.step(true, 0.0, 1.0);
        }
        assert!(b.charge() > 0.9 * SMALL.capacity, "three hours of charging: {}", b.charge());
        let a = b.account();
        assert!((bus - a.0).abs() < 1e-6 * bus);
        assert!((b.charge() - SMALL.capacity - (a.0 - a.1 - a.2)).abs() < 1e-9 * a.0, "energy closes");
    }

    #[test]
    fn a_dead_charger_leaves_it_discharging() {
        let mut b = Battery::new(SMALL, 0.5);
        b.charger_dead = true;
        assert_eq!(b.step(true, 0.0, 1.0), 0.0);
        assert!(b.charge() < 0.5 * SMALL.capacity && b.voltage() < 24.0);
    }
}
