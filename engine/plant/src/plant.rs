//! The plant as the layers above see it: read points, give orders, set failings, step.

mod readings;

use crate::affects::Affects;
use crate::assembly::{Guard, Hurt, Offers};
use crate::boiler::TripCause;
use crate::ledger::{Crossings, Store};
use crate::parts::Parts;
use crate::registry::{
    Control, ControlId, Failing, FailingId, Order, Point, PointId, Setting, Surrounding, SurroundingId, Trip,
};
use base::description::Description;
use base::kept::{self, Misfit};
use base::record::Happening;
use base::{Diagnostic, Tag};
use std::sync::Arc;

pub use crate::assembly::KINDS;

/// A plant in some state. A clone is a checkpoint: it goes on with the same bits.
#[derive(Clone, Debug)]
pub struct Plant {
    offers: Arc<Offers>,
    parts: Parts,
    actual: Vec<f64>,
    signal: Vec<f64>,
    /// Damage when it was last told, by place among the damageable.
    told: Vec<f64>,
    was: Was,
    happened: Vec<Happening>,
}

base::kept!(Plant { parts, actual, signal, told, was } fixed { offers, happened });

/// How near to the end of a gauge glass no water line is seen any more, m: own choice, half of what its
/// fitting hides.
const GLASS_END: f64 = 0.002;

/// What stood at the end of the last tick, so that a change can be told once.
#[derive(Clone, Copy, Debug, Default)]
struct Was {
    trip: Option<TripCause>,
    flame: bool,
    pilot: bool,
    lifted: bool,
    /// The condenser's relief valve stands open.
    relieved: bool,
    /// A bit for each compressor that has tripped.
    compressors: u64,
    /// The turbine has tripped.
    turbine: bool,
}

base::kept!(Was { trip, flame, pilot, lifted, relieved, compressors, turbine });

impl Plant {
    /// Assembles a plant from its description.
    ///
    /// # Errors
    /// Every mistake found, at its place: unknown kinds and fields, missing links, wrong units.
    pub fn build(description: &Description) -> Result<Plant, Vec<Diagnostic>> {
        crate::assembly::build(description)
    }

    /// A plant of these parts, its instruments read once.
    pub(crate) fn of(mut parts: Parts, offers: Offers) -> Result<Plant, String> {
        let n = offers.points.len();
        let (mut actual, mut signal) = (vec![0.0; n], vec![0.0; n]);
        parts.prime()?;
        parts.instruments(&mut actual, &mut signal);
        let told = vec![0.0; offers.damageable.len()];
        let plant =
            Plant { offers: Arc::new(offers), parts, actual, signal, told, was: Was::default(), happened: vec![] };
        plant.all_are_numbers()?;
        Ok(plant)
    }

    /// The points, in order of [`PointId`].
    #[must_use]
    pub fn points(&self) -> &[Point] {
        &self.offers.points
    }

    /// The controls, in order of [`ControlId`].
    #[must_use]
    pub fn controls(&self) -> &[Control] {
        &self.offers.controls
    }

    /// What can go wrong, in order of [`FailingId`].
    #[must_use]
    pub fn failings(&self) -> &[Failing] {
        &self.offers.failings
    }

    /// What affects what.
    #[must_use]
    pub fn affects(&self) -> &Affects {
        &self.offers.affects
    }

    /// The tag of the component that a point or control belongs to: its own, or that of its valve or machine.
    #[must_use]
    pub fn owner(&self, tag: &Tag) -> Option<&str> {
        self.offers.owners.get(tag).map(String::as_str)
    }

    /// The latching protections.
    #[must_use]
    pub fn trips(&self) -> &[Trip] {
        &self.offers.trips
    }

    /// Whether a protection is latched, by its place in [`Plant::trips`].
    #[must_use]
    pub fn tripped(&self, trip: usize) -> bool {
        match self.offers.guards[trip] {
            Guard::Boiler => self.was.trip.is_some(),
            Guard::Relays(i) => {
                self.parts.electrical.as_ref().is_some_and(|e| e.board.sets[i].protection.unit.is_tripped())
            }
            Guard::Engine(i) => {
                let engine = self.parts.electrical.as_ref().and_then(|e| e.engine(i));
                engine.is_some_and(|e| e.trip.is_tripped())
            }
            Guard::Shore(i) => {
                self.parts.electrical.as_ref().is_some_and(|e| e.board.shores[i].protection.unit.is_tripped())
            }
            Guard::Compressor(i) => self.parts.air.machines[i].compressor.trip.is_tripped(),
            Guard::Turbine => self.was.turbine,
        }
    }

    fn trip_of(&self, guard: Guard) -> Option<Tag> {
        let i = self.offers.guards.iter().position(|g| *g == guard)?;
        Some(self.offers.trips[i].tag.clone())
    }

    /// Components that can be hurt.
    #[must_use]
    pub fn damageable(&self) -> &[Tag] {
        &self.offers.damageable
    }

    /// Damage of one, by its place in [`Plant::damageable`]: 0 none, 1 spoilt.
    #[must_use]
    pub fn damage(&self, which: usize) -> f64 {
        self.hurt(which).0
    }

    /// The point with this tag.
    #[must_use]
    pub fn point(&self, tag: &Tag) -> Option<PointId> {
        self.offers.points.iter().position(|p| p.tag == *tag).map(|i| PointId(i as u16))
    }

    /// What somebody reads who stands before a point: its actual value in words. A gauge glass whose water
    /// has left the visible part is full or empty, and has no figure.
    #[must_use]
    pub fn tell(&self, point: PointId) -> String {
        let (p, value) = (&self.offers.points[usize::from(point.0)], self.actual(point).0);
        if self.offers.glasses.contains(&point) {
            let (low, high) = p.range;
            if value >= high - GLASS_END {
                return "full".into();
            }
            if value <= low + GLASS_END {
                return "empty".into();
            }
        }
        p.tell(value)
    }

    /// The control with this tag.
    #[must_use]
    pub fn control(&self, tag: &Tag) -> Option<ControlId> {
        self.offers.controls.iter().position(|c| c.tag == *tag).map(|i| ControlId(i as u16))
    }

    /// The failing of this kind on this component.
    #[must_use]
    pub fn failing(&self, on: &Tag, kind: &str) -> Option<FailingId> {
        self.offers.failings.iter().position(|f| f.on == *on && f.kind == kind).map(|i| FailingId(i as u16))
    }

    /// How a control stands.
    #[must_use]
    pub fn setting(&self, control: ControlId) -> Setting {
        self.parts.setting(self.offers.handles[usize::from(control.0)])
    }

    /// Works a control. It takes effect in the next pass of controllers and physics.
    ///
    /// # Errors
    /// A sentence that says why it cannot be done: a dial past its scale, a reset while the cause stands.
    pub fn order(&mut self, control: ControlId, order: Order) -> Result<(), String> {
        let i = usize::from(control.0);
        let offers = Arc::clone(&self.offers);
        let before = self.parts.boiler.as_ref().and_then(|b| b.management.tripped());
        self.parts.order(&offers.controls[i], offers.handles[i], order, &self.signal)?;
        let after = self.parts.boiler.as_ref().and_then(|b| b.management.tripped());
        if before.is_some() && after.is_none() {
            self.was.trip = None;
            self.happened.extend(self.trip_of(Guard::Boiler).map(|tag| Happening::Reset { tag }));
        }
        self.tell_compressors();
        self.tell_turbine();
        Ok(())
    }

    /// Sets a failing going (with its size, SI), or mends it.
    ///
    /// # Errors
    /// A sentence when the size is past its range, or there is none where one is needed.
    pub fn set_failing(&mut self, failing: FailingId, acting: bool, size: Option<f64>) -> Result<(), String> {
        let i = usize::from(failing.0);
        let f = &self.offers.failings[i];
        match (&f.size, size) {
            (Some(s), Some(x)) if !s.takes(x) => {
                return Err(format!("its {} goes from {} to {}", s.what, s.unit.tell(s.min), s.unit.tell(s.max)));
            }
            (None, Some(_)) => return Err(format!("\"{}\" has no size", f.kind)),
            _ => {}
        }
        let size = size.or(f.size.and_then(|s| s.default));
        self.parts.fail(self.offers.faults[i], acting, size);
        Ok(())
    }

    /// What is around the plant and can change, in order of [`SurroundingId`].
    #[must_use]
    pub fn surroundings(&self) -> &[Surrounding] {
        &self.offers.surroundings
    }

    /// The surrounding that is known by these words, or by this tag of a consumer.
    #[must_use]
    pub fn surrounding(&self, what: &str) -> Option<SurroundingId> {
        self.offers.surroundings.iter().position(|s| s.what == what).map(|i| SurroundingId(i as u16))
    }

    /// How a surrounding is now, SI.
    #[must_use]
    pub fn surrounds(&self, surrounding: SurroundingId) -> f64 {
        self.parts.surrounds(self.offers.arounds[usize::from(surrounding.0)])
    }

    /// Brings a surrounding to a value, SI. It takes effect in the next step of the physics.
    ///
    /// # Errors
    /// A sentence when the value is past its range.
    pub fn surround(&mut self, surrounding: SurroundingId, si: f64) -> Result<(), String> {
        let i = usize::from(surrounding.0);
        let Surrounding { what, scale, .. } = &self.offers.surroundings[i];
        if !(scale.min..=scale.max).contains(&si) {
            let (low, high) = (scale.unit.tell(scale.min), scale.unit.tell(scale.max));
            return Err(format!("{what} goes from {low} to {high}, and not to {}", scale.unit.tell(si)));
        }
        self.parts.surround(self.offers.arounds[i], si);
        Ok(())
    }

    /// Controllers, protection and burner management: read signals of the tick before, give commands.
    pub fn control_pass(&mut self) {
        self.parts.control(&self.signal);
        let Some(b) = &self.parts.boiler else { return };
        let trip = b.management.tripped();
        if let Some(cause) = trip
            && self.was.trip.is_none()
        {
            let told = self.trip_of(Guard::Boiler).map(|tag| Happening::Trip {
                tag,
                cause: cause.words().into(),
                first: true,
            });
            self.happened.extend(told);
        }
        self.was.trip = trip;
    }

    /// One tick of physics, then the instruments.
    ///
    /// # Errors
    /// A sentence naming the variable that became not finite or not physical.
    pub fn step(&mut self) -> Result<(), String> {
        self.parts.physics()?;
        self.parts.instruments(&mut self.actual, &mut self.signal);
        self.all_are_numbers()?;
        self.tell_compressors();
        self.tell_boiler();
        self.tell_condenser();
        self.tell_turbine();
        if let Some(e) = &mut self.parts.electrical {
            e.tell(&mut self.happened);
        }
        self.tell_hammer();
        self.tell_damage();
        Ok(())
    }

    /// Moves what happened since the last call (trips, resets, damage, flames) to the end of `into`.
    pub fn take_happenings(&mut self, into: &mut Vec<Happening>) {
        into.append(&mut self.happened);
    }

    /// Its state as bytes, exact to the bit; what was assembled from its file is not in them. What happened and
    /// was not fetched yet is told news and no state: fetch it first.
    #[must_use]
    pub fn state(&self) -> Vec<u8> {
        kept::state(self)
    }

    /// Puts a state into a plant that was assembled from the same file; it goes on from there with the same bits.
    ///
    /// # Errors
    /// When the bytes are not a state of such a plant. Nothing has changed then.
    pub fn restore(&mut self, state: &[u8]) -> Result<(), Misfit> {
        *self = kept::restored(self, state)?;
        self.parts.open_the_air();
        self.happened.clear();
        Ok(())
    }

    /// Everything that holds mass or energy, for a ledger of somebody else's.
    #[must_use]
    pub fn stores(&self) -> Vec<Store> {
        self.parts.stores()
    }

    /// What has crossed the plant's boundary since it was assembled.
    #[must_use]
    pub fn crossings(&self) -> Crossings {
        self.parts.crossings()
    }

    /// Salt that stands in hotwell, tanks, lines and drum, and what crossed, kg; `None` where none is followed.
    #[must_use]
    pub fn salt(&self) -> Option<(f64, crate::condenser::SaltCrossed)> {
        self.parts.condenser.as_ref().map(|c| (c.salt.held(), c.salt.crossed()))
    }

    /// The compressed air, for tests of its parts.
    #[cfg(test)]
    pub(crate) fn air(&self) -> &crate::air_net::AirNet {
        &self.parts.air
    }

    /// How much work the steam net's solver has had, and how often it had to take what had not converged.
    #[must_use]
    pub fn steam_effort(&self) -> crate::steam::Effort {
        self.parts.steam.effort()
    }

    /// How often a circuit's solution was taken short of its tolerance; its flows are continuous all the same.
    #[must_use]
    pub fn unsettled_circuits(&self) -> u64 {
        self.parts.unsettled
    }

    fn hurt(&self, which: usize) -> (f64, &'static str) {
        let p = &self.parts;
        let damage = match self.offers.hurts[which] {
            // The worst of several.
            Hurt::Turbine(h) => return p.turbine.as_ref().map_or((0.0, ""), |t| t.hurt(h)),
            Hurt::Condenser => p.condenser.as_ref().map(|c| &c.overheated),
            Hurt::Line(i) => Some(&p.hammers[i].hammer.damage),
            Hurt::Seal(i) => p.pumps[i].pump.casing.as_ref().map(|c| &c.seal),
            Hurt::Shell => p.boiler.as_ref().and_then(|b| b.drum.shell.as_ref()).map(|s| &s.damage),
            Hurt::Tubes => p.boiler.as_ref().and_then(|b| b.drum.tubes.as_ref()).map(|t| &t.damage),
            Hurt::Superheater => p.boiler.as_ref().map(|b| &b.superheater.damage),
            Hurt::Casing => p.boiler.as_ref().map(|b| &b.furnace.casing_damage),
            of_a_set @ (Hurt::Windings(_) | Hurt::EngineBearings(_) | Hurt::Liners(_) | Hurt::Insulation(_)) => {
                p.electrical.as_ref().and_then(|e| e.hurt(of_a_set))
            }
        };
        damage.map_or((0.0, ""), |d| (d.total(), d.what))
    }

    fn tell_compressors(&mut self) {
        for i in 0..self.parts.air.machines.len() {
            let tripped = self.parts.air.machines[i].compressor.trip.is_tripped();
            let bit = 1u64 << i;
            if tripped == (self.was.compressors & bit != 0) {
                continue;
            }
            self.was.compressors ^= bit;
            if let Some(tag) = self.trip_of(Guard::Compressor(i)) {
                self.happened.push(if tripped {
                    Happening::Trip { tag, cause: "discharge temperature high".into(), first: true }
                } else {
                    Happening::Reset { tag }
                });
            }
        }
    }

    fn tell_boiler(&mut self) {
        let Some(b) = &self.parts.boiler else { return };
        let now = (b.burner.main_lit(), b.burner.pilot_lit(), self.parts.steam.branch(b.safety).opening() > 0.0);
        let mut say = |on: &Tag, says: String| self.happened.push(Happening::Plant { on: on.clone(), says });
        if now.0 != self.was.flame {
            say(&b.furnace_tag, (if now.0 { "the main flame burns" } else { "the main flame is out" }).into());
        }
        if now.1 != self.was.pilot {
            say(&b.furnace_tag, (if now.1 { "the pilot burns" } else { "the pilot is out" }).into());
        }
        if now.2 != self.was.lifted {
            say(&b.tag, (if now.2 { "the safety valve lifts" } else { "the safety valve reseats" }).into());
        }
        if let Some(puff) = b.furnace.puff() {
            let told = format!("unburnt vapour lights at once: a puff of {:.0} mbar", puff.overpressure / 100.0);
            say(&b.furnace_tag, told);
        }
        (self.was.flame, self.was.pilot, self.was.lifted) = now;
    }

    fn tell_hammer(&mut self) {
        for h in &self.parts.hammers {
            if let Some(blow) = h.hammer.blow() {
                let says = format!("water hammer: a blow of about {:.0} bar", blow / 1e5);
                self.happened.push(Happening::Plant { on: h.tag.clone(), says });
            }
        }
    }

    fn tell_condenser(&mut self) {
        let Some(c) = &self.parts.condenser else { return };
        let lifted = self.parts.steam.branch(c.relief).opening() > 0.0;
        if lifted != self.was.relieved {
            let says = if lifted { "the relief valve lifts" } else { "the relief valve reseats" };
            self.happened.push(Happening::Plant { on: c.tag.clone(), says: says.into() });
        }
        self.was.relieved = lifted;
    }

    fn tell_turbine(&mut self) {
        let Some(t) = &self.parts.turbine else { return };
        let gear = &t.set.turbine.protection;
        let tripped = gear.is_tripped();
        if tripped != self.was.turbine
            && let Some(tag) = self.trip_of(Guard::Turbine)
        {
            self.happened.push(if tripped {
                let cause = gear.first().map_or("by hand", |c| c.words()).into();
                Happening::Trip { tag, cause, first: true }
            } else {
                Happening::Reset { tag }
            });
        }
        self.was.turbine = tripped;
    }

    /// Damage is told when it begins to count, and again with every tenth of what spoils.
    fn tell_damage(&mut self) {
        for i in 0..self.told.len() {
            let (total, what) = self.hurt(i);
            if total < 0.01 {
                continue;
            }
            let (step, before) = ((total * 10.0) as u32, (self.told[i] * 10.0) as u32);
            let first = self.told[i] < 0.01;
            if first || (step > before && total >= 0.1) {
                let on = self.offers.damageable[i].clone();
                self.happened.push(Happening::Damage { on, what: what.into(), total });
                self.told[i] = total;
            }
        }
    }
}
