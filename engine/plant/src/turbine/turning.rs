//! The turning gear: an electric motor that turns the rotor slowly through a clutch.
//!
//! The clutch can be engaged only with the rotor at standstill, and throws itself out once the rotor runs faster than the gear turns it.
//! The torque on the rotor is what brings it to turning speed, up to the gear's greatest: `T = T_max (1 - n/n_t) / 0.1`, at most
//! `T_max`, so that it carries the rotor's friction with a slip of up to a tenth. Its motor does not start without oil pressure at its own
//! switch (an interlock), and stops by it.
//! Units: N m at the rated shaft; speeds as parts of rated speed.

/// The gear's figures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TurningParams {
    /// Speed to which it turns the rotor, part of rated.
    pub speed: f64,
    /// Greatest torque, N m at the shaft whose speed is rated.
    pub torque: f64,
    /// Speed below which the clutch can be engaged, part of rated.
    pub standstill: f64,
    /// Oil pressure at which its motor is released, Pa absolute.
    pub released_from: f64,
}

/// What can be wrong with it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct TurningFailing {
    /// Its motor does not run.
    pub dead: bool,
    /// Its clutch does not hold.
    pub slips: bool,
}

base::kept!(TurningFailing { dead, slips });

/// The gear and its state.
#[derive(Clone, Debug, PartialEq)]
pub struct TurningGear {
    params: TurningParams,
    /// Its failings.
    pub failing: TurningFailing,
    engaged: bool,
    running: bool,
}

base::kept!(TurningGear { failing, engaged, running } fixed { params });

impl TurningGear {
    /// A gear at rest with its clutch out.
    #[must_use]
    pub fn new(params: TurningParams) -> TurningGear {
        TurningGear { params, failing: TurningFailing::default(), engaged: false, running: false }
    }

    /// Its figures.
    #[must_use]
    pub fn params(&self) -> &TurningParams {
        &self.params
    }

    /// Engages the clutch and starts the motor.
    ///
    /// # Errors
    /// A sentence that says why not: the rotor turns, or there is no oil pressure.
    pub fn engage(&mut self, n: f64, oil: f64) -> Result<(), String> {
        if self.engaged {
            return Ok(());
        }
        if n > self.params.standstill {
            return Err("the turning gear can be engaged only when the rotor stands still".into());
        }
        if oil < self.params.released_from {
            return Err("the turning gear is not released: there is no oil pressure".into());
        }
        self.engaged = true;
        self.running = !self.failing.dead;
        Ok(())
    }

    /// Stops the motor and takes the clutch out.
    pub fn disengage(&mut self) {
        self.engaged = false;
        self.running = false;
    }

    /// One tick: speed, oil pressure (Pa absolute), supply of its motor. Gives the torque on the rotor, N m.
    pub fn step(&mut self, n: f64, oil: f64, live: bool) -> f64 {
        let p = self.params;
        if n > 1.3 * p.speed {
            self.disengage();
        }
        if !live || self.failing.dead || oil < p.released_from {
            self.running = false;
        } else if self.engaged && !self.running && n <= p.standstill {
            // The motor is still switched on; it goes again when what stopped it is gone and the rotor has come to rest.
            self.running = true;
        }
        if !self.running || self.failing.slips {
            return 0.0;
        }
        p.torque * ((1.0 - n / p.speed) / 0.1).clamp(0.0, 1.0)
    }

    /// Its clutch is in.
    #[must_use]
    pub fn is_engaged(&self) -> bool {
        self.engaged
    }
    /// Its motor runs.
    #[must_use]
    pub fn is_running(&self) -> bool {
        self.running
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::turbine::sizing;

    #[test]
    fn it_is_engaged_at_standstill_only_and_throws_itself_out() {
        let mut g = TurningGear::new(sizing::turning());
        let oil = 2.8e5;
        assert!(g.engage(0.1, oil).is_err() && g.engage(0.0, 1.0e5).is_err());
        g.engage(0.0, oil).unwrap();
        assert!(g.step(0.0, oil, true) > 0.0);
        assert_eq!(g.step(1.01 * g.params().speed, oil, true), 0.0, "it only drives");
        assert!(g.is_engaged());
        g.step(1.5 * g.params().speed, oil, true);
        assert!(!g.is_engaged() && !g.is_running());
    }

    #[test]
    fn it_stops_without_oil_supply_or_when_it_fails() {
        for (oil, live, dead, slips) in [
            (1.0e5, true, false, false),
            (2.8e5, false, false, false),
            (2.8e5, true, true, false),
            (2.8e5, true, false, true),
        ] {
            let mut g = TurningGear::new(sizing::turning());
            g.engage(0.0, 2.8e5).unwrap();
            g.failing = TurningFailing { dead, slips };
            assert_eq!(g.step(0.0, oil, live), 0.0);
        }
    }
}
