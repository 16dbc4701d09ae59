//! A run that another one leads: the same but for one fault, for [`crate::Onlooker`].

use super::Session;
use super::watching::Watching;
use crate::drift::Comparison;
use crate::fault::Fault;
use crate::growth::Presence;
use base::observable::Verb;
use base::record::Layer;

/// What a run that follows another is told of it.
#[derive(Clone, Debug)]
pub(super) struct Led {
    /// The fault that never acts here.
    without: usize,
    /// That fault acts on the panel alone, so that the other run's plant is this one's too.
    panel_alone: bool,
    /// Which faults act there, on the tick that comes next, and what of each is there.
    acting: Vec<(bool, Presence)>,
}

impl Led {
    /// Sets faults as they are in the run that leads, but that of one nothing is ever there.
    pub fn lead(&self, faults: &mut [Fault]) {
        for (i, (fault, (acting, presence))) in faults.iter_mut().zip(&self.acting).enumerate() {
            fault.acting = *acting;
            fault.presence = if i == self.without { Presence::Away } else { *presence };
        }
    }
}

impl Session {
    /// The same run from here on without one fault: it has the same actions, its other faults come on
    /// and clear as this one's do, and the helper is as busy with repairs. It tells no story, keeps no record and
    /// gives no marks.
    pub(crate) fn without(&self, fault: usize) -> Session {
        let acting = self.faults.iter().map(|f| (f.acting, f.presence)).collect();
        let panel_alone = self.faults[fault].layer() == Layer::Shown;
        Session {
            saw: Comparison::default(),
            watching: Watching::default(),
            coroutines: vec![],
            commands: vec![],
            by_trainee: vec![],
            events: vec![],
            trends: vec![],
            led: Some(Led { without: fault, panel_alone, acting }),
            ..self.clone()
        }
    }

    /// Ticks a run that is [`Session::without`] a fault along with the run that it follows, which has
    /// done this tick already.
    pub(crate) fn tick_along(&mut self, leader: &Session) {
        let Some(led) = &mut self.led else { return };
        for (mine, theirs) in led.acting.iter_mut().zip(&leader.faults) {
            *mine = (theirs.acting, theirs.presence);
        }
        if led.panel_alone {
            self.look_along(leader);
        } else {
            // What the story changed around that run's plant it changed around this one's as well.
            self.by_trainee = vec![false; leader.surroundings.commanded().len()];
            self.commands = leader.surroundings.commanded().to_vec();
            self.tick(&mut crate::NoStory);
        }
        self.events.clear();
    }

    /// A tick of the panel before the plant of the run that leads: the helper and everything that works on the
    /// plant have been seen to there.
    fn look_along(&mut self, leader: &Session) {
        self.done.clear();
        while self.due.front().is_some_and(|a| a.tick <= self.now) {
            let due = self.due.pop_front();
            if let Some(action) = due.filter(|a| matches!(a.verb, Verb::Acknowledge | Verb::LampTest)) {
                self.carry_out(action);
            }
        }
        // What a fault does to this run's own plant, which stands still, nobody sees.
        if self.commands_and_faults().is_ok() {
            self.panel.update(&leader.plant, self.now, &mut self.happened);
        }
        self.happened.clear();
        self.now = self.now.after(1);
    }

    /// Whether the trainee did something on the tick that is over that moves the plant or the alarms.
    pub(crate) fn worked_on_something(&self) -> bool {
        self.done.iter().any(|d| matches!(d.verb, Verb::Operate | Verb::Acknowledge))
    }
}
