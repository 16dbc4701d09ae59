//! The burner: igniter, pilot, main flame, and the scanner that looks at it.
//!
//! The pilot lights when its valve is open and the igniter has sparked for a time. The main flame
//! lights from the pilot when the fuel flow, the air ratio and the atomising pressure are inside their
//! windows for a short time, and goes out when they are left. Fuel that is admitted and does not burn
//! goes into the furnace as vapour. Windows and times: own choice, of the size that burners of 1 to
//! 10 MW have (common practice).
//!
//! Actual flames and the scanner's signal are kept apart: the scanner needs a moment to see a flame and
//! another to miss it, can be blind, and can lie.

/// Figures of a burner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BurnerParams {
    /// Fuel of the pilot, kg/s.
    pub pilot_fuel: f64,
    /// Sparking until the pilot lights, s.
    pub pilot_light_time: f64,
    /// From fuel at the lit pilot to a main flame, s.
    pub main_light_time: f64,
    /// Least fuel that burns steadily, kg/s.
    pub fuel_min: f64,
    /// Most fuel that the flame holds, kg/s.
    pub fuel_max: f64,
    /// Least air over stoichiometric air.
    pub air_ratio_min: f64,
    /// Most air over stoichiometric air before the flame is blown off.
    pub air_ratio_max: f64,
    /// Atomising pressure over the furnace below which nothing lights, Pa.
    pub atomising_min: f64,
    /// Atomising pressure over the furnace at which it is good, Pa.
    pub atomising_good: f64,
    /// Stoichiometric air of the fuel, kg/kg.
    pub stoichiometric_air: f64,
    /// The scanner sees a flame after this time, s.
    pub scanner_sees: f64,
    /// The scanner misses a flame after this time, s.
    pub scanner_misses: f64,
}

/// What can be wrong with a burner.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct BurnerFailings {
    /// The main flame goes out and stays out.
    pub flame_lost: bool,
    /// The pilot does not light and goes out.
    pub pilot_dead: bool,
    /// No spark.
    pub igniter_dead: bool,
    /// The scanner sees nothing.
    pub scanner_blind: bool,
    /// The scanner says flame, always.
    pub scanner_lying: bool,
}

base::kept!(BurnerFailings { flame_lost, pilot_dead, igniter_dead, scanner_blind, scanner_lying });

/// What acts on the burner in a tick.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BurnerInput {
    /// The igniter is on and has power.
    pub igniter: bool,
    /// The pilot valve is open and there is fuel behind it.
    pub pilot_valve: bool,
    /// Fuel that comes out of the atomisers, kg/s.
    pub fuel: f64,
    /// Air through the register, kg/s.
    pub air: f64,
    /// Atomising steam or air (or fuel for a pressure jet) over the furnace, Pa.
    pub atomising_pressure: f64,
    /// Heavy oil in the fuel, kg/s, from a lance of its own.
    pub residual: f64,
    /// How well that lance atomises, 0 to 1.
    pub residual_goodness: f64,
}

/// The burner's flames and its scanner.
#[derive(Clone, Debug, PartialEq)]
pub struct Burner {
    params: BurnerParams,
    /// What is wrong with it.
    pub failings: BurnerFailings,
    pilot: bool,
    main: bool,
    sparked: f64,
    caught: f64,
    sight: f64,
    seen: bool,
    fuel_lit: f64,
    fuel_unlit: f64,
    atomising: f64,
}

base::kept!(Burner { failings, pilot, main, sparked, caught, sight, seen, fuel_lit, fuel_unlit, atomising }
    fixed { params });

impl Burner {
    /// A burner that is out.
    #[must_use]
    pub fn new(params: BurnerParams) -> Burner {
        Burner {
            params,
            failings: BurnerFailings::default(),
            pilot: false,
            main: false,
            sparked: 0.0,
            caught: 0.0,
            sight: 0.0,
            seen: false,
            fuel_lit: 0.0,
            fuel_unlit: 0.0,
            atomising: 1.0,
        }
    }

    /// One tick of `dt` seconds.
    pub fn step(&mut self, dt: f64, i: &BurnerInput) {
        let p = &self.params;
        // Pilot: a spark of long enough; then it burns by itself.
        let pilot_can = i.pilot_valve && !self.failings.pilot_dead;
        let spark = i.igniter && !self.failings.igniter_dead && pilot_can && i.air > 0.0;
        self.sparked = if spark { self.sparked + dt } else { 0.0 };
        self.pilot = pilot_can && (self.pilot || self.sparked >= p.pilot_light_time);
        // Main flame.
        self.atomising =
            ((i.atomising_pressure - p.atomising_min) / (p.atomising_good - p.atomising_min)).clamp(0.0, 1.0);
        if i.residual > 0.0 {
            // Each lance by its part of the fuel.
            let part = i.residual / i.fuel;
            self.atomising += part * (i.residual_goodness - self.atomising);
        }
        let need = i.fuel * p.stoichiometric_air;
        let holds = i.fuel >= p.fuel_min
            && i.fuel <= p.fuel_max
            && i.air >= p.air_ratio_min * need
            && i.air <= p.air_ratio_max * need
            && self.atomising > 0.0
            && !self.failings.flame_lost;
        let source = self.pilot || self.main;
        self.caught = if holds && source { self.caught + dt } else { 0.0 };
        self.main = holds && (self.main || self.caught >= p.main_light_time);
        let pilot_fuel = if i.pilot_valve { p.pilot_fuel } else { 0.0 };
        let lit = |on: bool, flow: f64| if on { (flow, 0.0) } else { (0.0, flow) };
        let (a, b) = (lit(self.pilot, pilot_fuel), lit(self.main, i.fuel));
        self.fuel_lit = a.0 + b.0;
        self.fuel_unlit = a.1 + b.1;
        self.look(dt);
    }

    fn look(&mut self, dt: f64) {
        let bright = self.pilot || self.main;
        // The sight runs between 0 (dark) and 1 (seen), and the signal follows at its ends.
        self.sight += if bright { dt / self.params.scanner_sees } else { -dt / self.params.scanner_misses };
        self.sight = self.sight.clamp(0.0, 1.0);
        if self.sight >= 1.0 {
            self.seen = true;
        } else if self.sight <= 0.0 {
            self.seen = false;
        }
    }

    /// A puff blew the flames out.
    pub fn blow_out(&mut self) {
        self.pilot = false;
        self.main = false;
        self.sparked = 0.0;
        self.caught = 0.0;
    }

    /// Whether the pilot burns.
    #[must_use]
    pub fn pilot_lit(&self) -> bool {
        self.pilot
    }

    /// Whether the main flame burns.
    #[must_use]
    pub fn main_lit(&self) -> bool {
        self.main
    }

    /// What the scanner says. A scanner that is both blind and lying lies.
    #[must_use]
    pub fn flame_signal(&self) -> bool {
        self.failings.scanner_lying || (self.seen && !self.failings.scanner_blind)
    }

    /// Fuel burning in pilot and main flame, kg/s.
    #[must_use]
    pub fn fuel_lit(&self) -> f64 {
        self.fuel_lit
    }

    /// Fuel admitted without a flame, kg/s.
    #[must_use]
    pub fn fuel_unlit(&self) -> f64 {
        self.fuel_unlit
    }

    /// Goodness of atomising, 0 to 1.
    #[must_use]
    pub fn atomising(&self) -> f64 {
        self.atomising
    }

    /// Its figures.
    #[must_use]
    pub fn params(&self) -> &BurnerParams {
        &self.params
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::boiler::sizing;

    const FED: BurnerInput = BurnerInput {
        igniter: true,
        pilot_valve: true,
        fuel: 0.032,
        air: 0.65,
        atomising_pressure: 6e5,
        residual: 0.0,
        residual_goodness: 1.0,
    };

    fn after(b: &mut Burner, seconds: f64, i: BurnerInput) {
        for _ in 0..(seconds * 10.0).round() as usize {
            b.step(0.1, &i);
        }
    }

    fn lit() -> Burner {
        let mut b = Burner::new(sizing::burner());
        after(&mut b, 5.0, FED);
        assert!(b.pilot_lit() && b.main_lit() && b.flame_signal());
        b
    }

    #[test]
    fn no_pilot_no_main_flame_and_the_fuel_goes_unlit() {
        let mut b = Burner::new(sizing::burner());
        after(&mut b, 20.0, BurnerInput { igniter: false, ..FED });
        assert!(!b.main_lit() && !b.flame_signal());
        assert!(b.fuel_unlit() > FED.fuel);
    }

    #[test]
    fn the_main_flame_holds_without_the_pilot_inside_its_windows() {
        let mut b = lit();
        let alone = BurnerInput { igniter: false, pilot_valve: false, ..FED };
        after(&mut b, 20.0, alone);
        assert!(b.main_lit() && !b.pilot_lit() && b.flame_signal());
        for wrong in [
            BurnerInput { fuel: 0.001, ..alone },
            BurnerInput { air: 0.05, ..alone },
            BurnerInput { air: 9.0, ..alone },
            BurnerInput { atomising_pressure: 0.0, ..alone },
        ] {
            let mut b = b.clone();
            after(&mut b, 0.1, wrong);
            assert!(!b.main_lit(), "{wrong:?}");
        }
    }

    #[test]
    fn failings_act_where_they_say() {
        let mut b = lit();
        b.failings.scanner_blind = true;
        after(&mut b, 2.0, FED);
        assert!(b.main_lit() && !b.flame_signal());
        b.failings = BurnerFailings { flame_lost: true, ..BurnerFailings::default() };
        after(&mut b, 0.1, BurnerInput { pilot_valve: false, ..FED });
        assert!(!b.main_lit() && b.flame_signal(), "the scanner needs a moment");
        after(&mut b, 2.0, BurnerInput { pilot_valve: false, ..FED });
        assert!(!b.flame_signal());
        b.failings.scanner_lying = true;
        assert!(b.flame_signal() && !b.main_lit());
    }

    #[test]
    fn badly_atomised_heavy_oil_loses_the_flame_and_half_of_it_smokes() {
        let heavy = |goodness: f64| BurnerInput {
            pilot_valve: false,
            igniter: false,
            atomising_pressure: 0.0,
            residual: 0.032,
            residual_goodness: goodness,
            ..FED
        };
        let mut b = lit();
        after(&mut b, 20.0, heavy(1.0));
        assert!(b.main_lit() && b.atomising() == 1.0, "its own lance counts, not the diesel oil's pressure");
        after(&mut b, 1.0, heavy(0.4));
        assert!(b.main_lit() && (b.atomising() - 0.4).abs() < 1e-12);
        after(&mut b, 0.1, heavy(0.0));
        assert!(!b.main_lit());
        let mut b = lit();
        after(&mut b, 1.0, BurnerInput { residual: 0.016, residual_goodness: 0.5, ..FED });
        assert!((b.atomising() - 0.75).abs() < 1e-12, "half and half: {}", b.atomising());
    }
}
