//! What hands and relays do at the switchboard: closing, tripping, starting, and the automatics of a tick.

use super::engine::EngineState;
use super::switchboard::Switchboard;

/// Voltage below which the under-voltage release of a tie acts, part of nominal.
const RELEASE: f64 = 0.7;

impl Switchboard {
    /// Closes the breaker of a set by hand.
    ///
    /// # Errors
    /// Why it does not close, for people.
    pub fn close(&mut self, set: usize) -> Result<(), String> {
        let s = &self.sets[set];
        if s.breaker.is_closed() || s.breaker.is_closing() {
            return Ok(());
        }
        if s.protection.unit.is_tripped() {
            let first = s.protection.first().unwrap_or("a relay");
            return Err(format!("its relays have tripped it ({first}); reset them first"));
        }
        if s.voltage() < 0.85 {
            return Err("the machine has no voltage to speak of".into());
        }
        if !self.dead(s.bus) {
            if self.synchroniser.incoming != Some(set) && !self.synchroniser.bypassed {
                return Err("the bus is live; select this machine as the incoming one first".into());
            }
            self.synchroniser.check(&self.beside(set))?;
        }
        // A breaker that will not close is not told: it is seen.
        self.sets[set].breaker.close(0.0);
        Ok(())
    }

    /// Closes a tie by hand: only when at most one side is live.
    ///
    /// # Errors
    /// When both sides are live.
    pub fn close_tie(&mut self, tie: usize) -> Result<(), String> {
        let (a, b) = self.ties[tie].buses;
        if self.buses_apart(a, b) && !self.dead(a) && !self.dead(b) {
            return Err("both sides are live; open the breaker of one side first".into());
        }
        self.ties[tie].breaker.close(0.0);
        Ok(())
    }

    fn buses_apart(&self, a: usize, b: usize) -> bool {
        !self.ties.iter().any(|t| t.breaker.is_closed() && (t.buses == (a, b) || t.buses == (b, a)))
    }

    /// Closes a shore breaker by hand: only on a dead bus.
    ///
    /// # Errors
    /// When the bus is live, the shore dead, or its relay has tripped.
    pub fn close_shore(&mut self, shore: usize) -> Result<(), String> {
        let s = &self.shores[shore];
        if s.breaker.is_closed() {
            return Ok(());
        }
        if s.protection.unit.is_tripped() {
            return Err("its over-current relay has tripped; reset it first".into());
        }
        if !s.available {
            return Err("there is no voltage from the shore".into());
        }
        if !self.dead(s.bus) {
            return Err("the bus is live: the shore supply closes on a dead bus only".into());
        }
        self.shores[shore].breaker.close(0.0);
        Ok(())
    }

    /// Starts a set's engine by hand.
    ///
    /// # Errors
    /// Why it does not start.
    pub fn start(&mut self, set: usize) -> Result<(), String> {
        let air = self.sets[set].around.starting;
        match &mut self.sets[set].diesel {
            Some(d) => d.engine.start(air),
            None => Err("it has no engine of its own".into()),
        }
    }

    /// Relays and automatics, once a tick before the physics: protection, releases, preferential trip, automatic
    /// synchroniser, automatic start of emergency sets.
    pub fn control(&mut self, dt: f64) {
        self.relays(dt);
        let nominal = self.params().voltage;
        for i in 0..self.ties.len() {
            let bus = self.ties[i].buses.0;
            let low = self.voltage(bus) < RELEASE * nominal;
            let t = &mut self.ties[i];
            t.stood = if low && t.breaker.is_closed() { t.stood + dt } else { 0.0 };
            if t.stood > t.release {
                t.breaker.trip();
            }
        }
        self.automatic_synchroniser(dt);
        self.emergency_sets(dt);
    }

    fn relays(&mut self, dt: f64) {
        let mut greatest = 0.0_f64;
        for s in &mut self.sets {
            let measured = s.measured();
            if s.breaker.is_closed() {
                greatest = greatest.max(measured.current);
            }
            let engine_out = s.diesel.as_ref().is_some_and(|d| d.engine.trip.is_tripped());
            let closed = s.breaker.is_closed();
            // A standing machine needs no look.
            if (closed || !s.at_rest()) && (s.protection.step(closed, &measured, dt) || engine_out) {
                s.breaker.trip();
            }
        }
        for s in &mut self.shores {
            let rated = s.rating;
            let power = (s.power(), s.reactive());
            let current = base::maths::sqrt(power.0 * power.0 + power.1 * power.1) / rated;
            if s.feeds() {
                greatest = greatest.max(current);
            }
            let measured = super::protection::Measured { power: 0.0, current, voltage: 1.0, frequency: 1.0 };
            if s.protection.step(s.feeds(), &measured, dt) || !s.available {
                s.breaker.trip();
            }
        }
        self.preferential.step(greatest, &mut self.consumers, dt);
    }

    fn automatic_synchroniser(&mut self, dt: f64) {
        let Some(i) = self.synchroniser.incoming else { return };
        let s = &self.sets[i];
        if !self.synchroniser.automatic || s.breaker.is_closed() || s.breaker.is_closing() {
            return;
        }
        if s.protection.unit.is_tripped() || s.voltage() < 0.85 || self.dead(s.bus) {
            return;
        }
        let frequency = self.params().frequency;
        let closing = s.breaker.params().closing;
        let step = self.synchroniser.step(&self.beside(i), closing, dt);
        let s = &mut self.sets[i];
        if step.speed != 0.0 {
            s.changer.nudge(step.speed / frequency);
        }
        let voltage = s.excitation.set_point() + step.voltage;
        s.excitation.set_set_point(voltage);
        if let Some(after) = step.close {
            s.breaker.close(after);
        }
    }

    fn emergency_sets(&mut self, dt: f64) {
        for i in 0..self.sets.len() {
            let bus = self.sets[i].bus;
            let dead = self.dead(bus);
            let open = !self.sets[i].breaker.is_closed();
            let Some(e) = &mut self.sets[i].emergency else { continue };
            e.stood = if dead { e.stood + dt } else { 0.0 };
            // A hand that opens it is not undone; live from elsewhere, the bus may call on it again.
            e.held_open &= dead || !open;
            let held_open = e.held_open;
            if !e.standby || e.stood <= e.after {
                continue;
            }
            let stopped = |d: &super::set::Diesel| d.engine.state() == EngineState::Stopped;
            if self.sets[i].diesel.as_ref().is_some_and(stopped) {
                let air = self.sets[i].around.starting;
                // What keeps it from starting is seen at its lamps; it is tried again.
                if let Some(d) = &mut self.sets[i].diesel
                    && d.engine.can_start(air)
                {
                    d.engine.crank();
                }
            } else if !held_open && self.sets[i].ready() && !self.sets[i].protection.unit.is_tripped() {
                self.sets[i].breaker.close(0.0);
            }
        }
    }
}
