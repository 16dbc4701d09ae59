//! Control air as the plant has it: compressor, receiver, what uses it, and its account for the ledger.

use crate::air::{AirPath, Around, Compressor, Receiver, Selector};
use crate::assembly::LiquidLink;
use crate::instruments::{Actual, Signal};
use crate::liquid::Network;
use crate::machines::exchanger::side_of;
use base::units::ATMOSPHERE;

/// Compressor and receiver of control air.
#[derive(Clone, Debug)]
pub struct AirPart {
    pub compressor: Compressor,
    pub receiver: Receiver,
    /// Link of the cooling water that takes the heat.
    pub cooling: LiquidLink,
    /// What positioners and dryer bleed for ever.
    pub bleed: AirPath,
    /// Air for a full stroke of a pneumatic drive, kg.
    pub stroke_air: f64,
    /// Used by bleed and strokes since the start, kg and J.
    used: (f64, f64),
}

impl AirPart {
    /// A compressor at rest beside its receiver.
    pub fn new(
        compressor: Compressor,
        receiver: Receiver,
        cooling: LiquidLink,
        bleed: AirPath,
        stroke_air: f64,
    ) -> AirPart {
        AirPart { compressor, receiver, cooling, bleed, stroke_air, used: (0.0, 0.0) }
    }

    /// One tick; the heat goes into the cooling water's link.
    pub fn step(&mut self, net: &mut Network, ambient: f64, dt: f64) {
        let pressure = self.receiver.pressure();
        let around = Around {
            live: true,
            ambient,
            receiver: Actual(pressure),
            pressure: Signal(pressure),
            water: side_of(net, self.cooling.link),
        };
        let d = self.compressor.step(&around, dt);
        net.set_heat(self.cooling.link, d.water_heat);
        self.receiver.add(d.flow, d.energy);
        let enthalpy = self.receiver.enthalpy();
        let flow = self.bleed.out_of(&mut self.receiver, ATMOSPHERE, dt);
        self.used.0 += flow * dt;
        self.used.1 += flow * enthalpy * dt;
        self.receiver.step(ambient, dt);
    }

    /// A pneumatic drive moved by this part of its stroke in a tick of `dt` seconds.
    pub fn stroke(&mut self, part: f64, dt: f64) {
        let (mass, enthalpy) = (part * self.stroke_air, self.receiver.enthalpy());
        self.receiver.add(-mass / dt, -mass / dt * enthalpy);
        self.used.0 += mass;
        self.used.1 += mass * enthalpy;
    }

    /// Selector: automatic, start, stop; or the reset of its trip.
    ///
    /// # Errors
    /// When the trip cannot be reset yet.
    pub fn order(&mut self, word: usize) -> Result<(), String> {
        match word {
            0 => self.compressor.selector = Selector::Automatic,
            1 => self.compressor.selector = Selector::Hand,
            2 => self.compressor.selector = Selector::Off,
            _ => {
                if !self.compressor.trip.is_tripped() {
                    return Err("nothing has tripped".into());
                }
                self.compressor.trip.reset().map_err(|_| "it is still too hot".to_owned())?;
            }
        }
        Ok(())
    }

    /// The word in force.
    pub fn word(&self) -> usize {
        match self.compressor.selector {
            Selector::Automatic => 0,
            Selector::Hand => 1,
            Selector::Off => 2,
        }
    }

    /// What came in less what left, J, but for the heat to the cooling water, which is inside the plant.
    pub fn energy_in(&self) -> f64 {
        let (a, l) = (self.compressor.account(), self.receiver.lost());
        a.intake_energy + a.work - a.ambient - a.lost_energy - l.blown_off_energy - l.heat - self.used.1
    }

    /// Air that came in less what left, kg.
    pub fn air_in(&self) -> f64 {
        let a = self.compressor.account();
        a.taken - a.lost - self.receiver.lost().blown_off - self.used.0
    }
}
