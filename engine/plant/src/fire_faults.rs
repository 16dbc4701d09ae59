//! What can be wrong with the fire side of the boiler, its tubes and its safety valve.

use crate::machines::Seized;
use crate::parts::Parts;

/// What can be wrong there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FireFault {
    /// The damper sticks where it stands, or at its size.
    DamperSeized,
    /// The damper's stroke takes its size times longer.
    DamperSluggish,
    /// The shut damper passes its size.
    DamperPassing,
    /// The fan trips.
    FanTrips,
    /// The fan's contactor does not close.
    FanWillNotStart,
    /// The fan's coupling has sheared.
    FanSheared,
    /// The fan's wheel has lost its size of its head.
    FanWorn,
    /// The way of the air is choked by its size.
    AirChoked,
    /// The main flame goes out and stays out while it acts.
    FlameLost,
    /// The pilot goes out and does not light.
    PilotFails,
    /// The igniter gives no spark.
    NoSpark,
    /// The purge is credited at once, whatever passed.
    PurgeMade,
    /// The purge is never credited.
    PurgeNever,
    /// A boiler tube leaks by its size.
    TubeLeak,
    /// A superheater tube leaks by its size.
    SuperheaterLeak,
    /// The safety valve lifts early by its size.
    SafetyEarly,
    /// The safety valve does not lift.
    SafetyStuck,
    /// The safety valve does not reseat once it has lifted.
    SafetyHolds,
}

impl Parts {
    /// Sets a failing of the fire side going, or mends it.
    pub fn fail_fire(&mut self, fault: FireFault, acting: bool, size: Option<f64>) {
        let Some(b) = &mut self.boiler else { return };
        let amount = size.filter(|_| acting).unwrap_or(0.0);
        let air = &mut b.draught.failings;
        let burner = &mut b.burner.failings;
        match fault {
            FireFault::DamperSeized => {
                air.damper_seized = acting.then(|| size.map_or(Seized::WhereItStands, Seized::At));
            }
            FireFault::DamperSluggish => air.damper_sluggish = size.filter(|_| acting).unwrap_or(1.0),
            FireFault::DamperPassing => air.damper_passing = amount,
            FireFault::FanTrips => air.fan_dead = acting,
            FireFault::FanWillNotStart => air.fan_will_not_start = acting,
            FireFault::FanSheared => air.fan_sheared = acting,
            FireFault::FanWorn => air.fan_worn = amount,
            FireFault::AirChoked => air.choked = amount,
            FireFault::FlameLost => burner.flame_lost = acting,
            FireFault::PilotFails => burner.pilot_dead = acting,
            FireFault::NoSpark => burner.igniter_dead = acting,
            FireFault::PurgeMade => b.management.purge.stuck_made = acting,
            FireFault::PurgeNever => b.management.purge.dead = acting,
            FireFault::TubeLeak => b.leaks.0 = amount,
            FireFault::SuperheaterLeak => b.leaks.1 = amount,
            FireFault::SafetyEarly | FireFault::SafetyStuck | FireFault::SafetyHolds => {
                let Some(valve) = self.steam.safety_mut(b.safety) else { return };
                match fault {
                    FireFault::SafetyEarly => valve.failing.early = amount,
                    FireFault::SafetyStuck => valve.failing.stuck = acting,
                    _ => valve.failing.holds = acting,
                }
            }
        }
    }
}
