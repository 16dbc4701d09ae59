//! What the ship lies in, and what her own people ask of the switchboard: the sea, the air, and the power of each
//! consumer. They belong to nobody at the panel, and change while the plant runs.
//!
//! The sea's temperature is that of every end of a sea-water circuit. The air's temperature is that of the open
//! air, of the engine room that loses heat to it (the plant holds the two to be the same), and of what
//! compressors, fan and vents draw in; its humidity stays. A consumer's power is the mean about which it swings.
//! All three act only through what crosses the plant's boundary, which the ledger counts anyhow.
//!
//! Ranges: the sea from its freezing to warmer than any rule designs for, -2 to 36 degC; the air from frost to
//! a hot engine room, 0 to 55 degC (IACS M28, from memory, designs for 32 degC of sea and 45 degC of air; the water
//! tables begin at 0 degC); a consumer from nothing to twice what its file says (own choice).

use crate::assembly::{LiquidNode, unit_of};
use crate::parts::Parts;
use crate::registry::{Dial, Surrounding};
use crate::steam::{NodeId, Outside};
use base::units::CELSIUS_ZERO;

/// Where the sea's temperature goes, K.
pub const SEA: (f64, f64) = (CELSIUS_ZERO - 2.0, CELSIUS_ZERO + 36.0);
/// Where the air's temperature goes, K.
pub const AIR: (f64, f64) = (CELSIUS_ZERO, CELSIUS_ZERO + 55.0);
/// The most that a consumer takes, as a multiple of what its file says.
pub const MOST: f64 = 2.0;

/// What stands behind a surrounding.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Around {
    /// The sea.
    Sea,
    /// The air.
    Air,
    /// A consumer of the ship, by its place.
    Consumer(usize),
}

/// The surroundings' state besides the air, which is everybody's ambient, and the consumers, which keep their own.
#[derive(Clone, Debug, Default)]
pub struct Weather {
    /// Ends of sea-water circuits.
    pub seas: Vec<LiquidNode>,
    /// The sea's temperature, K.
    pub sea: f64,
    /// Nodes of the steam net that are open air, with its humidity.
    pub open_air: Vec<(NodeId, f64)>,
}

base::kept!(Weather { sea } fixed { seas, open_air });

impl Parts {
    /// How a surrounding is now, SI.
    pub fn surrounds(&self, around: Around) -> f64 {
        match around {
            Around::Sea => self.weather.sea,
            Around::Air => self.ambient,
            Around::Consumer(i) => self.electrical.as_ref().map_or(0.0, |e| e.board.consumers[i].power),
        }
    }

    /// Brings a surrounding to a value, SI, for the physics of the next tick.
    pub fn surround(&mut self, around: Around, si: f64) {
        match around {
            Around::Sea => {
                self.weather.sea = si;
                for s in &self.weather.seas {
                    self.circuits[s.circuit].set_temperature(s.node, si);
                }
            }
            Around::Air => {
                self.ambient = si;
                // Coils and condenser lose to something else, and say to what before every step of the net.
                let vessels: Vec<NodeId> = self.steam.vessels().collect();
                for node in vessels {
                    if let Some(wall) = self.steam.wall_mut(node) {
                        wall.ambient = si;
                    }
                }
                self.open_the_air();
            }
            Around::Consumer(i) => {
                if let Some(e) = &mut self.electrical {
                    e.board.consumers[i].power = si;
                }
            }
        }
    }

    /// The open air at the steam net's vents is as warm as the ambient. Asked after a state was taken up, which
    /// holds the ambient and not the ends of the net.
    pub fn open_the_air(&mut self) {
        for (node, humidity) in &self.weather.open_air {
            if self.steam.t(*node) != self.ambient {
                self.steam.set_outside(*node, Outside::atmosphere(self.ambient, *humidity));
            }
        }
    }
}

/// The sea as a surrounding.
pub fn sea() -> Surrounding {
    let scale = Dial { unit: unit_of("degC"), min: SEA.0, max: SEA.1 };
    Surrounding { what: "sea temperature".into(), name: "the sea".into(), consumer: false, scale }
}

/// The air as a surrounding.
pub fn air() -> Surrounding {
    let scale = Dial { unit: unit_of("degC"), min: AIR.0, max: AIR.1 };
    Surrounding { what: "air temperature".into(), name: "the air".into(), consumer: false, scale }
}

/// A consumer of the ship as a surrounding: its tag, its name, and the power that its file says, W.
pub fn consumer(tag: &str, name: &str, power: f64) -> Surrounding {
    let scale = Dial { unit: unit_of("kW"), min: 0.0, max: MOST * power };
    Surrounding { what: tag.into(), name: name.into(), consumer: true, scale }
}
